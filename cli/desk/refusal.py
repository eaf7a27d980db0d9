"""What cannot be answered, as a page of the desk's own: plain words, no trace of the program."""

from typing import Any

from benchleaf.cli.desk.show import problem
from benchleaf.graph.errors import BenchleafError
from flask import current_app, g, render_template
from werkzeug.exceptions import HTTPException, InternalServerError

_SAID = {
    400: ("That could not be understood.", "Go back and try again."),
    404: ("There is no such page.", "Search above, or choose one of the pages named above."),
    405: ("That page is not asked in this way.", "Go back and use the form on it."),
    413: (
        "That is too large to take in one go.",
        "Add fewer files at a time, up to 200 MB; larger ones with `benchleaf add`.",
    ),
    500: (
        "This is a defect in benchleaf, not in your papers.",
        "Nothing was changed by it. Please report what you did.",
    ),
}
_SLOW = ("That took too long and was stopped.", "Ask for less: a longer word, a single page, one unit.")


def refusal(error: HTTPException) -> Any:
    """A refused or unknown address as a page; a redirect passes as it is."""
    if error.code is None or error.code < 400:
        return error
    if error.response is not None:
        return error.response
    known = _SAID.get(error.code)
    words, remedy = known or (error.description or error.name, "")
    return _page(words, remedy, error.code)


def slow_or(error: BenchleafError) -> Any:
    """A problem that has a name; of a query that was stopped for its length, that it was."""
    return _page(*_SLOW, 503) if g.get("slow") else problem(error)


def fault(error: Exception) -> Any:
    """What nobody foresaw: told to whoever runs the desk, not to the browser."""
    if g.get("slow"):
        return _page(*_SLOW, 503)
    current_app.logger.exception("a page failed")
    return refusal(InternalServerError(original_exception=error))


def _page(words: str, remedy: str, status: int) -> Any:
    return render_template("refusal.html", words=words, remedy=remedy), status

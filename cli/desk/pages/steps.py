"""A step's history: the manual's words and every note on them, by date."""

from benchleaf.cli.desk.show import asked, store
from benchleaf.cli.sheets.stepview import step_history
from benchleaf.graph.book import book
from benchleaf.graph.errors import NotHeld
from benchleaf.graph.page import PageAnswer, PageItem, page_answer
from benchleaf.graph.places import best_places
from flask import Blueprint, render_template

blueprint = Blueprint("steps", __name__)


@blueprint.get("/step/<publication>/<page>/<item>")
def step(publication: str, page: str, item: str) -> str:
    """What a step said, what each note made of it, and what is in force."""
    answer = page_answer(store(), publication, page)
    printed = book(store(), answer.publication).date
    found = [step_history(answer, one, printed) for one in _items(answer, item)]
    return render_template("step.html", answer=answer, histories=found)


@blueprint.get("/step")
def step_asked() -> str:
    """The same, for numbers that do not go into an address."""
    return step(asked("publication") or "", asked("page") or "", asked("item") or "")


def _items(answer: PageAnswer, item: str) -> tuple[PageItem, ...]:
    """The steps of the page with that number. Raises NotHeld with those that the page has."""
    found = best_places(item, answer.items, lambda i: i.item)
    if found:
        return found
    near = tuple(i.item for i in answer.items)
    raise NotHeld(
        f"page {answer.page} of {answer.publication} has no step {item}",
        (),
        f"Its steps are {', '.join(near)}." if near else "No numbered steps were read on it.",
    )

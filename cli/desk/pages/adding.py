"""Adding files: chosen or dropped, read one batch at a time, and what became of each."""

from typing import cast

from benchleaf.cli.desk.taking import Taking
from benchleaf.graph.errors import BenchleafError, NotHeld
from flask import (
    Blueprint,
    current_app,
    flash,
    jsonify,
    make_response,
    redirect,
    render_template,
    request,
    url_for,
)
from flask.typing import ResponseReturnValue

blueprint = Blueprint("adding", __name__)
_AGAIN = "1"
"""Seconds after which a browser asks again while files are read."""


@blueprint.get("/adding")
def choose() -> str:
    """The form that takes files, and the batch that is being read."""
    return render_template(
        "adding.html", busy=_taking().reading(), most=current_app.config["MAX_CONTENT_LENGTH"]
    )


@blueprint.post("/adding")
def take() -> ResponseReturnValue:
    """Takes files and shows the page on which their reading is told; a script is told its address."""
    files = [(f.filename or "", f.save) for f in request.files.getlist("files") if f.filename]
    scripted = request.headers.get("X-Token") is not None
    try:
        batch = _taking().begin(files)
    except BenchleafError as problem:
        if scripted:
            return jsonify(problem=problem.sentence), 409
        flash(problem.sentence)
        return redirect(url_for("adding.choose"))
    at = url_for("adding.batch", id=batch.id)
    return jsonify(at=at) if scripted else redirect(at)


@blueprint.get("/adding/<id>")
def batch(id: str) -> ResponseReturnValue:
    """A batch: still being read (the page asks again by itself), or what became of each file."""
    found = _taking().find(id)
    if found is None:
        raise NotHeld(
            "these files are not remembered any more", remedy="The notes and publications tell all."
        )
    answer = make_response(render_template("batch.html", batch=found))
    if found.state == "reading":
        answer.headers["Refresh"] = _AGAIN
    return answer


def _taking() -> Taking:
    return cast(Taking, current_app.extensions["taking"])

"""The door of a desk that others may reach: the pass phrase, and leaving again."""

from typing import cast
from urllib.parse import urlsplit

from benchleaf.cli.desk.guard import inside
from benchleaf.cli.desk.passphrase import fits
from benchleaf.cli.desk.show import desk
from benchleaf.cli.desk.tries import Tries
from benchleaf.cli.desk.visitors import Visitors
from flask import Blueprint, current_app, make_response, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

blueprint = Blueprint("door", __name__)


@blueprint.get("/door")
def enter() -> Response | str:
    """Asks for the pass phrase, where one is set; lets a visitor who is in leave."""
    to = _inside(request.args.get("to", ""))
    if not desk().pass_hash:
        return redirect(to)
    return render_template("door.html", to=to, wait=0, wrong=False, inside=inside())


@blueprint.post("/door")
def tried() -> Response:
    """Lets in whoever gives the pass phrase; after some wrong ones a wait comes first."""
    to, kept = _inside(request.form.get("to", "")), desk().pass_hash
    if not kept:
        return redirect(to)
    tries: Tries = current_app.extensions["tries"]
    caller = request.remote_addr or ""
    wait = tries.admit(caller)
    if wait or not fits(kept, request.form.get("phrase", "")):
        return _again(to, wait)
    tries.passed(caller)
    session.clear()  # what was set before the door holds nothing inside
    session["in"] = _visitors().let_in()
    session.permanent = True
    return redirect(to)


@blueprint.post("/door/leave")
def leave() -> Response:
    """Closes this visitor's session."""
    _visitors().leave(session.get("in"))
    session.clear()
    answer = redirect(url_for("door.enter"))
    # what was shown here stays in no browser (W3C, Clear Site Data)
    answer.headers["Clear-Site-Data"] = '"cache", "storage"'
    return answer


def _visitors() -> Visitors:
    return cast(Visitors, current_app.extensions["visitors"])


def _again(to: str, wait: int) -> Response:
    answer = make_response(render_template("door.html", to=to, wait=wait, wrong=not wait, inside=False))
    answer.status_code = 429 if wait else 403
    if wait:
        answer.headers["Retry-After"] = str(wait)
    return answer


def _inside(asked: str) -> str:
    """The page of this desk that was asked for; nothing that leads elsewhere."""
    try:
        parts = urlsplit(asked)
    except ValueError:
        return "/"
    plain = asked.startswith("/") and not asked.startswith("//") and asked.isprintable() and "\\" not in asked
    return asked if plain and not parts.scheme and not parts.netloc else "/"

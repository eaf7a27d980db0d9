"""Who may call the desk, and what its pages may load.

Only the names of this machine are answered (a foreign Host is how a web page elsewhere would reach in), every
change needs the form's own token, no page elsewhere may load ours as a part of its own, and pages load
nothing but what the desk itself serves.
"""

import hmac
import secrets
import time
from ipaddress import ip_address
from typing import TYPE_CHECKING, TypeVar
from urllib.parse import urlsplit

from benchleaf.cli.desk.visitors import Visitors
from benchleaf.graph.store import Store
from flask import Flask, Response, abort, current_app, g, redirect, request, session, url_for
from werkzeug.wrappers import Response as AnyResponse

if TYPE_CHECKING:
    from benchleaf.cli.desk.app import Desk

Held = TypeVar("Held", bound=Store)
POLICY = (
    "default-src 'none'; img-src 'self'; style-src 'self'; script-src 'self'; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
MOST_FORM_BYTES = 20 * 1024 * 1024
"""The largest form; adding files takes more (`app.MOST_BYTES`)."""
MOST_SECONDS = 2.0
"""Time in the store's queries for one page."""
_LARGE = ("adding.take",)
_STYLES = ("static", "sheet_css")
_OPEN = (*_STYLES, "door.enter", "door.tried")
_PICTURE = "pictures.picture"
_SAFE = ("GET", "HEAD", "OPTIONS")
_OPCODES = 20_000  # of SQLite's machine between two looks at the clock, about a millisecond
_LONGEST_GAP = 0.05  # what lies between two looks beyond this was spent outside of queries


def install(app: Flask, desk: "Desk") -> None:
    """Put the guard before and behind every page."""

    def before() -> AnyResponse | None:
        _own_name(desk)
        changes = request.method not in _SAFE
        if changes:
            _own_origin()
            _fitting_size()
        else:
            _not_embedded()
        if desk.pass_hash and request.endpoint not in _OPEN and not inside():
            asked = request.full_path if request.method == "GET" else "/"
            return redirect(url_for("door.enter", to=asked))
        if changes:
            _own_token()  # reads the form, so nobody outside may come this far
        return None

    app.before_request(before)
    app.after_request(lambda answer: _headers(answer, closed=desk.pass_hash is not None))
    app.jinja_env.globals["token"] = token


def inside() -> bool:
    """Whether this visitor gave the pass phrase, and has not left since."""
    visitors: Visitors = current_app.extensions["visitors"]
    return visitors.inside(session.get("in"))


def token() -> str:
    """The token that every form of this visitor carries."""
    if "token" not in session:
        session["token"] = secrets.token_urlsafe(24)
        session.permanent = True  # it expires by the application's time, not with the browser's window
    return str(session["token"])


def bounded(store: Held, seconds: float = MOST_SECONDS) -> Held:
    """The store, its queries stopped once they have taken so long together. `g.slow` tells that they were."""
    spent, last = 0.0, time.monotonic()

    def look() -> int:
        nonlocal spent, last
        now = time.monotonic()
        spent, last = spent + min(now - last, _LONGEST_GAP), now
        if spent > seconds:
            g.slow = True
        return int(spent > seconds)

    store.connection.set_progress_handler(look, _OPCODES)
    return store


def _own_name(desk: "Desk") -> None:
    try:
        name = (urlsplit(f"//{request.host}").hostname or "").lower()
    except ValueError:
        name = ""
    if name in {h.strip("[]").lower() for h in desk.hosts} or (desk.any_address and _is_address(name)):
        return
    abort(403, "This desk is not called by that name.")


def _is_address(name: str) -> bool:
    """True for an address in figures: a foreign page reaches in by a name of its own, never by one."""
    try:
        ip_address(name)
    except ValueError:
        return False
    return True


def _own_origin() -> None:
    origin = request.headers.get("Origin")
    if origin is not None and origin == f"{request.scheme}://{request.host}":
        return
    if origin is None and request.headers.get("Sec-Fetch-Site", "same-origin") in ("same-origin", "none"):
        return
    abort(403, "This form was sent from another place.")


def _not_embedded() -> None:
    """Refuses what a page elsewhere loads as a part of itself: a link that leads here is followed, but no
    picture, script or frame is given to it (W3C, Fetch Metadata Request Headers)."""
    said = request.headers
    if said.get("Sec-Fetch-Site", "none") in ("same-origin", "none"):
        return
    if (said.get("Sec-Fetch-Mode"), said.get("Sec-Fetch-Dest")) != ("navigate", "document"):
        abort(403, "This page cannot be shown as a part of another.")


def _fitting_size() -> None:
    if (request.content_length or 0) > MOST_FORM_BYTES and request.endpoint not in _LARGE:
        abort(413)


def _own_token() -> None:
    held = str(session.get("token") or "")
    given = (request.headers.get("X-Token") or request.form.get("token") or "") if held else ""
    if not held or not hmac.compare_digest(given.encode("utf-8", "replace"), held.encode()):
        abort(403, "This form is out of date: go back, load the page anew and send it again.")


def _headers(answer: Response, *, closed: bool) -> Response:
    answer.headers["Content-Security-Policy"] = POLICY
    answer.headers["X-Content-Type-Options"] = "nosniff"
    answer.headers["X-Frame-Options"] = "DENY"
    answer.headers["Referrer-Policy"] = "same-origin"
    answer.headers["Cross-Origin-Opener-Policy"] = "same-origin"
    answer.headers["Cross-Origin-Resource-Policy"] = "same-origin"
    if request.endpoint == _PICTURE and answer.status_code in (200, 206, 304):
        if closed:  # asked for again each time: who left sees none
            answer.headers["Cache-Control"] = "private, no-cache"
    elif request.endpoint not in _STYLES or answer.status_code >= 300:
        answer.headers["Cache-Control"] = "no-store"
    return answer

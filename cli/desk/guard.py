"""Who may call the desk, and what its pages may load.

Only the names of this machine are answered (a foreign Host is how a web page elsewhere would reach in), every
change needs the form's own token, and pages load nothing but what the desk itself serves.
"""

import hmac
import secrets
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from flask import Flask, Response, abort, redirect, request, session, url_for
from werkzeug.wrappers import Response as AnyResponse

if TYPE_CHECKING:
    from benchleaf.cli.desk.app import Desk

POLICY = (
    "default-src 'none'; img-src 'self'; style-src 'self'; script-src 'self'; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
_OPEN = ("static", "sheet_css", "door.enter", "door.tried")
_SAFE = ("GET", "HEAD", "OPTIONS")


def install(app: Flask, desk: "Desk") -> None:
    """Put the guard before and behind every page."""

    def before() -> AnyResponse | None:
        _own_name(desk)
        if request.method not in _SAFE:
            _own_origin(desk)
            _own_token()
        if desk.pass_hash and not session.get("in") and request.endpoint not in _OPEN:
            return redirect(url_for("door.enter", to=request.full_path))
        return None

    app.before_request(before)
    app.after_request(_headers)
    app.jinja_env.globals["token"] = token


def token() -> str:
    """The token that every form of this visitor carries."""
    if "token" not in session:
        session["token"] = secrets.token_urlsafe(24)
    return str(session["token"])


def _own_name(desk: "Desk") -> None:
    name = urlsplit(f"//{request.host}").hostname or ""
    if name not in {h.strip("[]") for h in desk.hosts}:
        abort(403, "This desk is not called by that name.")


def _own_origin(desk: "Desk") -> None:
    origin = request.headers.get("Origin")
    if origin and origin != "null" and urlsplit(origin).netloc == request.host:
        return
    if origin is None and request.headers.get("Sec-Fetch-Site", "same-origin") in ("same-origin", "none"):
        return
    abort(403, "This form was sent from another place.")


def _own_token() -> None:
    given = request.form.get("token") or request.headers.get("X-Token") or ""
    if not hmac.compare_digest(given, str(session.get("token", " "))):
        abort(403, "This form is out of date: go back, load the page anew and send it again.")


def _headers(answer: Response) -> Response:
    answer.headers["Content-Security-Policy"] = POLICY
    answer.headers["X-Content-Type-Options"] = "nosniff"
    answer.headers["Referrer-Policy"] = "same-origin"
    answer.headers["Cross-Origin-Opener-Policy"] = "same-origin"
    if answer.mimetype == "text/html":
        answer.headers["Cache-Control"] = "no-store"
    return answer

"""The desk's application: one page a question, each reading the store anew."""

import datetime as dt
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from hashlib import blake2b
from pathlib import Path
from typing import Any

from benchleaf.cli.desk import guard
from benchleaf.cli.desk.pages import BLUEPRINTS
from benchleaf.cli.desk.refusal import fault, refusal, slow_or
from benchleaf.cli.desk.show import NAMES, picture_address
from benchleaf.cli.desk.taking import Taking
from benchleaf.cli.desk.tries import Tries
from benchleaf.cli.desk.visitors import UNUSED, Visitors
from benchleaf.cli.sheets.render import style, templates
from benchleaf.graph.errors import BenchleafError
from flask import Flask, Response, g, make_response
from werkzeug.exceptions import HTTPException

MOST_BYTES = 200 * 1024 * 1024
"""The largest upload taken in one go."""
MOST_PARTS, MOST_WORDS = 1000, 500_000
"""Fields and files of one form, and the bytes of what was typed into it."""
WORKING_DAY = dt.timedelta(seconds=UNUSED)
"""A session that nobody uses for so long ends."""


@dataclass(frozen=True, slots=True)
class Desk:
    """What a desk works on: the store's folder, the names under which a browser may call it (with
    `any_address` every address in figures too), and, where one is set, the hash of the pass phrase.
    `over_tls` tells that browsers call it by https. `today` gives the day."""

    folder: Path
    hosts: tuple[str, ...] = ("127.0.0.1", "localhost", "[::1]")
    pass_hash: str | None = None
    any_address: bool = False
    over_tls: bool = False
    secret: str = field(default_factory=lambda: secrets.token_hex(32))
    today: Callable[[], dt.date] = dt.date.today


def application(desk: Desk) -> Flask:
    """The application that serves the desk; nothing is started yet."""
    made = Flask(__name__, static_folder="static", template_folder="templates")
    made.config |= {
        "DESK": desk,
        "SECRET_KEY": desk.secret,
        "MAX_CONTENT_LENGTH": MOST_BYTES,
        "MAX_FORM_PARTS": MOST_PARTS,
        "MAX_FORM_MEMORY_SIZE": MOST_WORDS,
        "SESSION_COOKIE_HTTPONLY": True,
        "SESSION_COOKIE_SAMESITE": "Strict",
        "SESSION_COOKIE_SECURE": desk.over_tls,
        # the prefix keeps out a cookie that another port or name of this machine sets (RFC 6265bis)
        "SESSION_COOKIE_NAME": f"{'__Host-' if desk.over_tls else ''}benchleaf-{_short(desk.folder)}",
        "PERMANENT_SESSION_LIFETIME": WORKING_DAY,
    }
    made.extensions |= {"tries": Tries(), "visitors": Visitors(), "taking": Taking(desk.folder)}
    _share_templates(made)
    guard.install(made, desk)
    for blueprint in BLUEPRINTS:
        made.register_blueprint(blueprint)
    made.register_error_handler(BenchleafError, slow_or)
    made.register_error_handler(HTTPException, refusal)
    made.register_error_handler(Exception, fault)
    made.add_url_rule("/sheet.css", "sheet_css", _sheet_css)
    made.teardown_appcontext(_close_store)
    return made


def _short(folder: Path) -> str:
    """A store's name for a cookie: browsers keep cookies by host, and two desks may answer on two ports."""
    return blake2b(str(folder.resolve()).encode("utf-8", "replace"), digest_size=4).hexdigest()


def _share_templates(made: Flask) -> None:
    """The sheets' templates and filters serve the desk too, with addresses in place of the pictures
    themselves."""
    from jinja2 import ChoiceLoader, StrictUndefined

    shared = templates()
    loaders = [x for x in (made.jinja_loader, shared.loader) if x is not None]
    made.jinja_loader = ChoiceLoader(loaders)
    made.jinja_env.undefined = StrictUndefined
    made.jinja_env.finalize = shared.finalize
    made.jinja_env.trim_blocks = made.jinja_env.lstrip_blocks = True
    made.jinja_env.filters |= shared.filters
    own: Mapping[str, Any] = {"changes": shared.globals["changes"], "dated": shared.globals["dated"]}
    made.jinja_env.globals |= {**own, **NAMES, "url": picture_address}


def _sheet_css() -> Response:
    answer = make_response(style())
    answer.mimetype = "text/css"
    return answer


def _close_store(_: BaseException | None) -> None:
    store = g.pop("store", None)
    if store is not None:
        store.close()

"""What the desk's pages share: the open store, addresses of answers and pictures, and problems in words."""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from benchleaf.graph.errors import BenchleafError, NotHeld, StoreProblem, WrongUse
from benchleaf.graph.store import Store
from flask import current_app, g, render_template, url_for

if TYPE_CHECKING:
    from benchleaf.cli.desk.app import Desk

PICTURE_NAME = re.compile(r"[0-9a-f]{32}\.png")


def desk() -> "Desk":
    """The desk that is being served."""
    return cast("Desk", current_app.config["DESK"])


def store() -> Store:
    """The store, opened for reading, once a request."""
    if "store" not in g:
        g.store = Store.open(desk().folder, busy=2.0)
    return cast(Store, g.store)


def writing() -> Store:
    """The store, opened for writing; close it, as with any store."""
    return Store.open(desk().folder, write=True, create=True, busy=5.0)


def picture_address(path: Path) -> str:
    """The address of a kept picture."""
    return url_for("pictures.picture", name=path.name)


def page_address(publication: str, page: str) -> str:
    """The address of a manual page."""
    return url_for("pages.page", publication=publication, page=page)


def problem(error: BenchleafError) -> tuple[str, int]:
    """A problem as a page: what happened, what to do, what is near."""
    near = error.near if isinstance(error, NotHeld) else ()
    status = 404 if isinstance(error, NotHeld) else 400 if isinstance(error, WrongUse) else 503
    if isinstance(error, StoreProblem) and "no store" in error.message:
        return render_template("empty.html"), 200
    return render_template("problem.html", error=error, near=near), status


NAV: tuple[tuple[str, str], ...] = (("Papers", "pages.home"),)
"""The desk's own signposts: the words and the page's endpoint."""
NAMES: Mapping[str, Any] = {"page_address": page_address, "nav": NAV}
"""What the templates may call."""

"""What the desk's pages share: the open store, what was asked, and problems in words."""

import datetime as dt
import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, cast

from benchleaf.cli.desk import addresses, signing
from benchleaf.cli.desk.addresses import page_address, picture_address
from benchleaf.cli.desk.guard import bounded
from benchleaf.cli.desk.holdsnow import HoldsNow
from benchleaf.graph.db.overview import Overview
from benchleaf.graph.errors import BenchleafError, NotHeld, RefusedFile, StoreProblem, WrongUse
from benchleaf.graph.kits.holding import StandingHold
from benchleaf.graph.store import Store
from flask import Response, current_app, g, make_response, render_template, request, url_for

if TYPE_CHECKING:
    from benchleaf.cli.desk.app import Desk

__all__ = ["NAMES", "PICTURE_NAME", "page_address", "picture_address", "problem", "store", "writing"]

PICTURE_NAME = re.compile(r"[0-9a-f]{32}\.png")
MOST_SIGNS = 4000
"""The longest answer to one field of a form that is looked at."""


class DeskStore(Overview, Store):
    """The store as the desk reads it: with what it holds at a glance."""


def desk() -> "Desk":
    """The desk that is being served."""
    return cast("Desk", current_app.config["DESK"])


def store() -> DeskStore:
    """The store, opened for reading, once a request."""
    if "store" not in g:
        g.store = bounded(DeskStore.open(desk().folder, busy=2.0))
        g.store.connection.execute("PRAGMA query_only = ON")  # it is opened read-only already
    return cast(DeskStore, g.store)


def writing() -> Store:
    """The store, opened for writing; close it, as with any store."""
    return Store.open(desk().folder, write=True, create=True, busy=5.0)


def holds(kit: str | None = None) -> tuple[StandingHold, ...]:
    """The holds in effect, of all kits or of one."""
    kept: HoldsNow = current_app.extensions.setdefault("benchleaf-holds", HoldsNow())
    return kept.of(store()) if kit is None else kept.of_kit(store(), kit)


def asked(name: str) -> str | None:
    """What was typed into a field of the form or given in the address; None where it is empty."""
    return request.values.get(name, "").strip()[:MOST_SIGNS] or None


def day_asked(name: str) -> dt.date | None:
    """A day that was asked for. Raises WrongUse for what is no date."""
    words = asked(name)
    try:
        return None if words is None else dt.date.fromisoformat(words)
    except ValueError as error:
        raise WrongUse(f"“{words}” is no date", "Write it as 2026-11-24.") from error


def again(endpoint: str, *names: str) -> str:
    """The address of a page with what was asked here, of these fields; any other is left behind."""
    given: dict[str, Any] = {name: words for name in names if (words := asked(name)) is not None}
    return url_for(endpoint, **given)


def download(words: str, name: str) -> Response:
    """A sheet to keep: one file that needs nothing else."""
    answer = make_response(words)
    answer.mimetype = "text/html"
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


def remedy(error: BenchleafError) -> str:
    """What to do, in the words of a page: a form has no options to type."""
    return re.sub(r"(?:in )?--[a-z]{1,12} (?=\")", "", error.remedy)


def problem(error: BenchleafError) -> tuple[str, int]:
    """A problem as a page: what happened, what to do, what is near."""
    near = error.near if isinstance(error, NotHeld) else ()
    status = 404 if isinstance(error, NotHeld) else 400 if isinstance(error, (WrongUse, RefusedFile)) else 503
    if isinstance(error, StoreProblem) and "no store" in error.message:
        return render_template("empty.html"), 200
    return render_template("problem.html", error=error, near=near), status


NAV: tuple[tuple[str, str], ...] = (
    ("Start", "pages.home"),
    ("Procedure", "procedures.procedure"),
    ("Kit", "kits.kit"),
    ("Jobs", "jobs.held"),
    ("Week", "weeks.week"),
    ("Missing", "weeks.missing"),
    ("Notes", "papers.notes"),
    ("Publications", "papers.publications"),
    ("Doubts", "doubts.waiting"),
    ("Add papers", "adding.choose"),
    ("Shop notes", "shopnotes.held"),
)
"""The desk's own signposts: the words and the page's endpoint."""
NAMES: Mapping[str, Any] = {
    "page_address": page_address,
    "page_sheet_address": addresses.page_sheet_address,
    "book_address": addresses.book_address,
    "step_address": addresses.step_address,
    "measure_address": addresses.measure_address,
    "part_address": addresses.part_address,
    "kit_address": addresses.kit_address,
    "note_address": addresses.note_address,
    "job_address": addresses.job_address,
    "remedy": remedy,
    "initials": signing.initials,
    "nav": NAV,
}
"""What the templates may call."""

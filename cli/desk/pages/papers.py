"""The papers that are held: notes and publications, and what was read out of each note."""

from dataclasses import dataclass
from itertools import groupby

from benchleaf.cli.desk.noteview import note_view
from benchleaf.cli.desk.show import asked, store
from benchleaf.cli.lookup import note_or_near
from benchleaf.graph.book import book
from benchleaf.graph.model import ManualPage
from flask import Blueprint, redirect, render_template, url_for
from werkzeug.wrappers import Response

blueprint = Blueprint("papers", __name__)


@dataclass(frozen=True, slots=True)
class Section:
    """Pages that follow each other under one heading."""

    heading: str | None
    pages: tuple[ManualPage, ...]


A_PAGE = 100
"""Notes on one page of the list."""


@blueprint.get("/notes")
def notes() -> str:
    """The notes held, the newest first, a hundred at a time."""
    words = asked("from") or "0"
    first = int(words) if words.isdecimal() and len(words) < 9 else 0
    held = store()
    return render_template(
        "notes.html",
        notes=held.notes_from(first, A_PAGE),
        first=first,
        a_page=A_PAGE,
        count=held.note_count(),
    )


@blueprint.get("/note/<number>")
def note(number: str) -> str | Response:
    """A note: its head, what was read out of it with its own words, what it touches and speaks of."""
    found = note_or_near(store(), number)
    if found.source == "shop" and found.number.startswith("SHOP-"):
        return redirect(url_for("shopnotes.look", number=found.number))
    return render_template("note.html", view=note_view(store(), found))


@blueprint.get("/note")
def note_asked() -> str | Response:
    """The same, for numbers that do not go into an address."""
    return note(asked("number") or "")


@blueprint.get("/publications")
def publications() -> str:
    """The manuals held, by their covers."""
    return render_template("publications.html", books=store().book_heads())


@blueprint.get("/publication")
def publication() -> str:
    """One manual: its pages by section."""
    found = book(store(), asked("number") or "")
    runs = groupby(found.pages, key=lambda p: p.section)
    sections = tuple(Section(heading, tuple(pages)) for heading, pages in runs)
    return render_template("publication.html", book=found, sections=sections)

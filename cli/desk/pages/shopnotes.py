"""The shop's own notes: written on a step, with a photo, marked as the shop's and not the maker's."""

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.cli.desk import signing
from benchleaf.cli.desk.show import desk, download, store, writing
from benchleaf.cli.say import does
from benchleaf.cli.sheets.files import file_name
from benchleaf.cli.sheets.noteview import shop_note_view, shop_notes
from benchleaf.cli.sheets.render import sheet
from benchleaf.cli.sheets.stamp import stamp
from benchleaf.cli.shopnote import Wish, held_step, stored_note
from benchleaf.graph.errors import BenchleafError, NotHeld, RefusedFile, WrongUse
from benchleaf.graph.model import Applies
from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

if TYPE_CHECKING:
    from benchleaf.graph.model import Item, Target

blueprint = Blueprint("shopnotes", __name__)
ACTIONS = tuple(
    (a, f"it {does(a)}")
    for a in ("caution", "insert-after", "insert-before", "replace", "change-value", "delete")
)
_MOST_SIGNS = 4000
_FIELDS = (
    "pub", "page", "item", "action", "text", "was", "now", "models", "serial_from", "serial_to", "subject"
)  # fmt: skip
_LABELS = {"--text": "new words", "--was": "an old value", "--now": "a new value", "--action": "kind"}


@dataclass(frozen=True, slots=True)
class Filled:
    """The form as filled in so far; an empty text for what is not."""

    pub: str = ""
    page: str = ""
    item: str = ""
    action: str = "caution"
    text: str = ""
    was: str = ""
    now: str = ""
    models: str = ""
    serial_from: str = ""
    serial_to: str = ""
    subject: str = ""

    def wish(self) -> Wish:
        """What the form asks for; fields of other actions than the chosen one are left out."""
        worded, valued = self.action not in ("delete", "change-value"), self.action == "change-value"
        models = tuple(m.strip() for m in self.models.split(",") if m.strip())
        applies = Applies(
            models=models, serial_from=self.serial_from or None, serial_to=self.serial_to or None
        )
        return Wish(
            self.pub,
            self.page,
            self.item,
            self.action,
            (self.text or None) if worded else None,
            (self.was or None) if valued else None,
            (self.now or None) if valued else None,
            applies,
            self.subject or None,
        )


@blueprint.get("/shop-notes")
def held() -> str:
    """Every note of the shop's own."""
    return render_template("shopnotes.html", notes=shop_notes(store()))


@blueprint.get("/shop-note")
def write() -> str:
    """The form, filled with the step that the address names."""
    return _form(_filled(), "")


@blueprint.post("/shop-note")
def written() -> Response | tuple[str, int]:
    """Stores the note; what cannot be stored is told above the form as it was filled."""
    filled = _filled()
    try:
        photo = request.files.get("photo")
        data = photo.read() if photo is not None and photo.filename else None
        if filled.action not in dict(ACTIONS):
            raise WrongUse("the form does not say what the note does", "Choose it.")
        by = signing.signer()
        with writing() as held:
            note = stored_note(held, filled.wish(), by, dt.datetime.now(dt.UTC), data)
    except (WrongUse, NotHeld, RefusedFile) as error:
        return _form(filled, _plain(error)), 400
    flash(f"{note.number} is kept. It is the shop's own note, not the maker's.")
    return redirect(url_for("shopnotes.look", number=note.number))


@blueprint.get("/shop-note/<number>")
def look(number: str) -> str:
    """One note of the shop's own, with its photo."""
    return render_template("shopnote.html", view=shop_note_view(store(), number))


@blueprint.get("/shop-note/<number>/sheet")
def note_sheet(number: str) -> Response:
    """The note as a sheet to hand on: one file that needs nothing else."""
    view = shop_note_view(store(), number)
    words = sheet("note.html", view=view, stamp=stamp(store(), (view.note.number,), desk().today()))
    return download(words, file_name(f"note {view.note.number}"))


def _form(filled: Filled, problem: str) -> str:
    target, item = _step(filled)
    return render_template(
        "shopnoteform.html",
        filled=filled,
        problem=problem,
        target=target,
        step=item,
        actions=ACTIONS,
        initials=signing.initials(),
    )


def _step(filled: Filled) -> "tuple[Target | None, Item | None]":
    """The step that the form names, where it is held."""
    if not (filled.pub and filled.page and filled.item):
        return None, None
    try:
        return held_step(store(), filled.wish())
    except BenchleafError:
        return None, None


def _filled() -> Filled:
    given = {n: request.values.get(n, "").replace("\r\n", "\n").strip()[:_MOST_SIGNS] for n in _FIELDS}
    return Filled(**{n: words for n, words in given.items() if words})


def _plain(error: BenchleafError) -> str:
    near = f" Near it: {', '.join(error.near)}." if isinstance(error, NotHeld) and error.near else ""
    words = f"{error.message.rstrip('.')}.{near} {error.remedy}".strip()
    for option, label in _LABELS.items():
        words = words.replace(option, label)
    return words[:1].upper() + words[1:]

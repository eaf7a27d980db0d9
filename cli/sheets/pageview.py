"""A manual page as a picture: which places are marked, in which words, and the notes' own words beside."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Literal

from benchleaf.cli.sheets.crops import statement_crops
from benchleaf.cli.shopphoto import photo_picture
from benchleaf.ingest.pictures.whole import SheetPicture, sheet_picture

if TYPE_CHECKING:
    from benchleaf.graph.model import Box
    from benchleaf.graph.page import OverrideView, PageAnswer, PageItem
    from benchleaf.graph.store import Store

GUTTER = 128.0
"""The width in points of the margin beside the picture, in which the marks' words stand."""
TAG_SIGNS, TAG_LINE, TAG_GAP = 17, 14.0, 6.0
"""A tag's signs a line, the height of a line and the gap below, in points; the style sheet sets its type."""
_ROOM = 3.0
Force = Literal["in force", "in doubt"]
_DONE = {
    "replace": "replaced by",
    "insert-after": "a step added after it by",
    "insert-before": "a step added before it by",
    "delete": "deleted by",
    "change-value": "value changed by",
    "caution": "caution added by",
}


@dataclass(frozen=True, slots=True)
class NoteView:
    """One override beside the page: what it is, the cut-out of the note's own words, if one can be drawn,
    and the photo of a note that the shop wrote itself."""

    view: "OverrideView"
    words: str
    crop: Path | None
    photo: Path | None = None

    @property
    def added(self) -> str | None:
        """The words of a step or a caution that it adds and that is in force."""
        adds = self.view.action in ("insert-after", "insert-before", "caution")
        return self.view.text if adds and self.view.in_force else None


@dataclass(frozen=True, slots=True)
class Mark:
    """A marked step: its place on the picture in points (None where it has none), and the mark's words.

    `tag` is how far down the words stand in the margin beside the picture.
    """

    item: "PageItem"
    words: str
    force: Force
    notes: tuple[NoteView, ...]
    place: "Box | None" = None
    tag: float = 0.0

    @property
    def lines(self) -> tuple[str, ...]:
        """The mark's words, with the step's number before them, as lines of the margin; a note's number is
        not broken at its hyphens and blanks."""
        said = f"{self.item.item}: {self.words}"
        for number in {n.view.note for n in self.notes}:
            said = said.replace(number, number.replace(" ", "\u00a0"))
        return tuple(wrap(said.replace("-", "\u2011"), TAG_SIGNS, break_on_hyphens=False))

    @property
    def tag_height(self) -> float:
        """The height in points of the words in the margin."""
        return len(self.lines) * TAG_LINE + 3

    @property
    def checks(self) -> tuple[str, ...]:
        """What to check on this step, apart from the units and kits that stand with each note."""
        told = tuple(f"{n.view.note} holds " for n in self.notes)
        return tuple(w for w in self.item.warnings if not w.startswith(told))


@dataclass(frozen=True, slots=True)
class PageView:
    """A page to look at: its answer, the sheet's picture (None for typed papers), and the marked steps."""

    answer: "PageAnswer"
    picture: SheetPicture | None
    marks: tuple[Mark, ...]

    @property
    def wide(self) -> float:
        """The width in points of the picture and, where steps are marked, of the margin beside it."""
        if self.picture is None:
            return 0.0
        return self.picture.width + (GUTTER if any(m.place for m in self.marks) else 0.0)


def page_view(store: "Store", answer: "PageAnswer") -> PageView:
    """The page with its picture and the notes' cut-outs, drawn where they are not kept yet."""
    file = store.file_of_page(answer.publication, answer.page)
    picture = sheet_picture(store, file, answer.sheet) if file else None
    views = [v for item in answer.items for v in _speaking(item)]
    cut, photos = _crops(store, views), _photos(store, views)
    marks = [_mark(item, picture, cut, photos) for item in answer.items if _speaking(item)]
    return PageView(answer, picture, _tagged(marks, picture))


def _tagged(marks: Sequence[Mark], picture: SheetPicture | None) -> tuple[Mark, ...]:
    """The marks with their words set beside them, from the top down, none over another."""
    if picture is None:
        return tuple(marks)
    free, tags = 0.0, {}
    for mark in sorted((m for m in marks if m.place), key=lambda m: m.place.top if m.place else 0.0):
        tags[mark.item.item, mark.words] = at = max(mark.place.top if mark.place else 0.0, free)
        free = at + mark.tag_height + TAG_GAP
    return tuple(replace(m, tag=round(tags.get((m.item.item, m.words), 0.0), 1)) for m in marks)


def mark_words(view: "OverrideView") -> str:
    """The words of a mark: what the note does to the step, or may do."""
    words = f"{_DONE.get(view.action, 'touched by')} {view.note}"
    return words if view.in_force else f"DOUBT: {words}"


def _speaking(item: "PageItem") -> list["OverrideView"]:
    """The overrides that a mark tells: those in force first, then the doubts."""
    doubts = [v for v in item.overrides if v.standing == "doubtful"]
    return [v for v in item.overrides if v.in_force] + doubts


def _crops(store: "Store", views: Sequence["OverrideView"]) -> dict[int, Path]:
    """By the statement's id: the picture of its own words."""
    said = [store.statement(v.statement) for v in views if v.statement is not None]
    return statement_crops(store, [s for s in said if s is not None])


def _photos(store: "Store", views: Sequence["OverrideView"]) -> dict[int, Path]:
    """By the statement's id: the photo of a note that was written in the shop."""
    written = [v.statement for v in views if v.statement is not None and v.source.sheet == 0]
    notes = {id: note for id in written if (note := store.note_of_statement(id)) is not None}
    shown = {id: photo_picture(store, note) for id, note in notes.items()}
    return {id: photo for id, photo in shown.items() if photo is not None}


def _mark(
    item: "PageItem", picture: SheetPicture | None, cut: dict[int, Path], photos: dict[int, Path]
) -> Mark:
    told = _speaking(item)
    notes = tuple(
        NoteView(v, mark_words(v), cut.get(v.statement or 0), photos.get(v.statement or 0)) for v in told
    )
    force: Force = "in force" if told[0].in_force else "in doubt"
    words = "; ".join(dict.fromkeys(n.words for n in notes))
    place = None if picture is None or item.box is None else _roomy(item.box, picture)
    return Mark(item, words, force, notes, place)


def _roomy(box: "Box", picture: SheetPicture) -> "Box":
    """A box with a little room around it, inside the picture."""
    from benchleaf.graph.model import Box

    sides = (
        max(0.0, box.x0 - _ROOM),
        max(0.0, box.top - _ROOM),
        min(picture.width, box.x1 + _ROOM),
        min(picture.height, box.bottom + _ROOM),
    )
    return Box(*(round(side, 1) for side in sides))

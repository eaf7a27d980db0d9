"""A manual page as a picture: which places are marked, in which words, and the notes' own words beside."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from benchleaf.ingest.pictures.crops import Clip, crops
from benchleaf.ingest.pictures.whole import SheetPicture, sheet_picture

if TYPE_CHECKING:
    from benchleaf.graph.model import Box
    from benchleaf.graph.page import OverrideView, PageAnswer, PageItem
    from benchleaf.graph.store import Store

TAG_SIGNS, TAG_LINE, TAG_GAP = 15, 2.9, 1.2
"""A tag's signs a line, the height of a line and the gap below, in hundredths of the picture's width; the
style sheet sets tags in just that size."""
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
    """One override beside the page: what it is, and the cut-out of the note's own words, if one can be
    drawn."""

    view: "OverrideView"
    words: str
    crop: Path | None


@dataclass(frozen=True, slots=True)
class Mark:
    """A marked step: its place in hundredths of the picture's width and height, and the words of the mark.

    `left`, `top`, `width` and `height` are None where the step has no place on the picture. `tag` is where
    the words stand beside it, in hundredths of the picture's width from its top.
    """

    item: "PageItem"
    words: str
    force: Force
    notes: tuple[NoteView, ...]
    left: float | None = None
    top: float | None = None
    width: float | None = None
    height: float | None = None
    tag: float = 0.0

    @property
    def said(self) -> str:
        """The mark's words with the step's number before them; a note's number is not broken at its
        hyphens."""
        return f"{self.item.item}: {self.words}".replace("-", "\u2011")

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


def page_view(store: "Store", answer: "PageAnswer") -> PageView:
    """The page with its picture and the notes' cut-outs, drawn where they are not kept yet."""
    file = store.file_of_page(answer.publication, answer.page)
    picture = sheet_picture(store, file, answer.sheet) if file else None
    cut = _crops(store, answer)
    marks = [_mark(item, picture, cut) for item in answer.items if _speaking(item)]
    return PageView(answer, picture, _tagged(marks, picture))


def _tagged(marks: Sequence[Mark], picture: SheetPicture | None) -> tuple[Mark, ...]:
    """The marks with their tags set beside them, from the top down, none over another."""
    if picture is None:
        return tuple(marks)
    down, free = picture.height / picture.width, 0.0
    tags: dict[int, float] = {}
    for mark in sorted((m for m in marks if m.top is not None), key=lambda m: m.top or 0.0):
        at = max((mark.top or 0.0) * down, free)
        tags[id(mark)] = round(at, 2)
        free = at + -(-len(mark.said) // TAG_SIGNS) * TAG_LINE + TAG_GAP
    return tuple(replace(m, tag=tags.get(id(m), 0.0)) for m in marks)


def mark_words(view: "OverrideView") -> str:
    """The words of a mark: what the note does to the step, or may do."""
    words = f"{_DONE.get(view.action, 'touched by')} {view.note}"
    return words if view.in_force else f"DOUBT: {words}"


def _speaking(item: "PageItem") -> list["OverrideView"]:
    """The overrides that a mark tells: those in force first, then the doubts."""
    doubts = [v for v in item.overrides if v.standing == "doubtful"]
    return [v for v in item.overrides if v.in_force] + doubts


def _crops(store: "Store", answer: "PageAnswer") -> dict[int, Path]:
    clips: dict[int, Clip] = {}
    for view in (v for item in answer.items for v in _speaking(item)):
        file = store.file_of_statement(view.statement) if view.statement is not None else None
        if file is not None and view.statement is not None and view.source.box is not None:
            clips[view.statement] = Clip(file.sha256, view.source.sheet, view.source.box)
    made = crops(store, clips.values())
    return {statement: made[clip] for statement, clip in clips.items() if clip in made}


def _mark(item: "PageItem", picture: SheetPicture | None, cut: dict[int, Path]) -> Mark:
    told = _speaking(item)
    notes = tuple(NoteView(v, mark_words(v), cut.get(v.statement or 0)) for v in told)
    force: Force = "in force" if told[0].in_force else "in doubt"
    words = "; ".join(dict.fromkeys(n.words for n in notes))
    if picture is None or item.box is None:
        return Mark(item, words, force, notes)
    left, top, width, height = _share(item.box, picture)
    return Mark(item, words, force, notes, left, top, width, height)


def _share(box: "Box", picture: SheetPicture) -> Sequence[float]:
    """A box in hundredths of the picture, with a little room around it."""
    room = 3.0
    x0, y0 = max(0.0, box.x0 - room), max(0.0, box.top - room)
    x1, y1 = min(picture.width, box.x1 + room), min(picture.height, box.bottom + room)
    across, down = 100 / picture.width, 100 / picture.height
    return [round(v, 2) for v in (x0 * across, y0 * down, (x1 - x0) * across, (y1 - y0) * down)]

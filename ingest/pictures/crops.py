"""Pictures of the source: the place where words were read, cut out of the original, kept in the store."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.graph.keys import key
from benchleaf.graph.model import Box, Note, Statement
from benchleaf.graph.store import Store
from benchleaf.ingest.pictures.drawer import DPI, drawer, kept, upright_sheet, writing

if TYPE_CHECKING:
    from PIL import Image

MOST = 100
"""Pictures made in one call; what is kept already does not count."""
_MARGIN = 18.0  # points around the words
_HEAD = 0.4  # share of a sheet's height in which a note's head stands
_DARK = 190  # of 255; below it a dot is ink, if a faint one
_CUT = "whole lines"  # how the margins end; part of a picture's name


@dataclass(frozen=True, slots=True)
class Clip:
    """A place on a sheet of a held original; without a box the sheet's top, where a note's head stands."""

    sha256: str
    sheet: int
    box: Box | None = None


def clip_of_statement(store: Store, statement: Statement) -> Clip | None:
    """The place of a statement's words; None for the shop's own notes and for words without a place."""
    file = store.file_of_statement(statement.id) if statement.id is not None else None
    if file is None or statement.source.box is None or statement.source.sheet < 1:
        return None
    return Clip(file.sha256, statement.source.sheet, statement.source.box)


def clip_of_head(store: Store, note: Note) -> Clip | None:
    """The place of a note's head: the top of its file's first sheet, or, where the file holds several notes,
    of the sheet on which its first words stand."""
    file = next((f for f in store.files_of(note.number) if f.name == note.file), None)
    document = None if file is None else store.document(file.sha256)
    if file is None or document is None:
        return None
    own = [n for n in document.notes if key(n.number) == key(note.number)]
    sheets = [s.source.sheet for n in own for s in n.statements if s.source.sheet > 0]
    return Clip(file.sha256, min(sheets, default=1) if len(document.notes) > 1 else 1)


def kept_crop(store: Store, clip: Clip) -> Path | None:
    """The picture of a place, if it was made before."""
    path = _path(store, clip)
    return path if path.is_file() else None


def crops(store: Store, clips: Iterable[Clip], most: int = MOST) -> dict[Clip, Path]:
    """A PNG for each place that can be drawn, made where it is not kept yet, `most` anew at most.

    Plain text, lists and the like have none. Raises StoreProblem if the folder cannot be written.
    """
    wanted = tuple(dict.fromkeys(clips))
    found = {clip: path for clip in wanted if (path := kept_crop(store, clip)) is not None}
    missing = sorted((c for c in wanted if c not in found), key=lambda c: (c.sha256, c.sheet))[:most]
    with writing(store):
        for sheet in dict.fromkeys((c.sha256, c.sheet) for c in missing):
            found |= _made(store, [c for c in missing if (c.sha256, c.sheet) == sheet])
    return found


def _made(store: Store, clips: Sequence[Clip]) -> dict[Clip, Path]:
    """The pictures of places on one sheet."""
    picture = upright_sheet(store, clips[0].sha256, clips[0].sheet)
    if picture is None:
        return {}
    return {clip: kept(_path(store, clip), _cut(picture, clip.box)) for clip in clips}


def _cut(picture: "Image.Image", box: Box | None) -> "Image.Image":
    """The part of a sheet that holds the box, with a margin that ends where no line is cut through."""
    if box is None:
        return picture.crop((0, 0, picture.width, max(1, round(picture.height * _HEAD))))
    scale = DPI / 72
    top = max(0, min(round((box.top - _MARGIN) * scale), picture.height - 1))
    bottom = max(top + 1, min(round((box.bottom + _MARGIN) * scale), picture.height))
    left = max(0, min(round((box.x0 - _MARGIN) * scale), picture.width - 1))
    right = max(left + 1, min(round((box.x1 + _MARGIN) * scale), picture.width))
    cut = picture.crop((left, top, right, bottom))
    above = _half_line(cut, range(0, round(box.top * scale) - top))
    below = _half_line(cut, range(cut.height - 1, round(box.bottom * scale) - top, -1))
    return cut.crop((0, above, cut.width, cut.height - below))


def _half_line(cut: "Image.Image", rows: range) -> int:
    """How many of the margin's rows, from its edge inwards, show a line that the edge cuts; none where
    no row is blank, as beside a frame."""
    grey = cut.convert("L")
    for count, row in enumerate(rows):
        darkest, _ = grey.crop((0, row, grey.width, row + 1)).getextrema()
        if not isinstance(darkest, tuple) and darkest >= _DARK:
            return count
    return 0


def _path(store: Store, clip: Clip) -> Path:
    """Named by what it shows: the original's bytes, the sheet, the place and how it is drawn."""
    box = None if clip.box is None else tuple(round(side, 1) for side in clip.box)
    return drawer(store, f"{clip.sha256} {clip.sheet} {box} {DPI} {_MARGIN} {_HEAD} {_CUT} {_DARK}")

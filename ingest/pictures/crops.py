"""Pictures of the source: the place where words were read, cut out of the original, kept in the store."""

import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from hashlib import blake2b
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.graph.db.schema import settle_file
from benchleaf.graph.errors import RefusedFile, StoreProblem
from benchleaf.graph.keys import key
from benchleaf.graph.model import Box, Note, Statement
from benchleaf.graph.store import Store

if TYPE_CHECKING:
    from PIL import Image

PICTURES = "pictures"
"""The folder in the store; what lies in it can be made again at any time."""
DPI = 150
MOST = 100
"""Pictures made in one call; what is kept already does not count."""
_MARGIN = 18.0  # points around the words
_HEAD = 0.4  # share of a sheet's height in which a note's head stands


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
    try:
        for sheet in dict.fromkeys((c.sha256, c.sheet) for c in missing):
            found |= _made(store, [c for c in missing if (c.sha256, c.sheet) == sheet])
    except OSError as error:
        raise StoreProblem(
            f"pictures cannot be kept in {store.folder / PICTURES}: {error}", "Check room and permissions."
        ) from error
    return found


def _made(store: Store, clips: Sequence[Clip]) -> dict[Clip, Path]:
    """The pictures of places on one sheet."""
    picture = _sheet(store, clips[0].sha256, clips[0].sheet)
    if picture is None:
        return {}
    return {clip: _written(_path(store, clip), _cut(picture, clip.box)) for clip in clips}


def _sheet(store: Store, sha256: str, sheet: int) -> "Image.Image | None":
    """A sheet as it was read, turned and straightened; None for what has no picture."""
    from benchleaf.ingest.scan.pictures import is_picture
    from benchleaf.ingest.scan.reading import upright_picture
    from benchleaf.ingest.sheets.pdf import is_pdf

    original = store.original(sha256)
    if not original.is_file():
        return None
    data = original.read_bytes()
    if not (is_pdf(data) or is_picture(data)):
        return None
    kept = {scan.sheet: scan for scan in store.scans(sha256)}
    try:
        return upright_picture(data, sheet, kept.get(sheet), DPI)
    except (RefusedFile, StoreProblem):
        return None


def _cut(picture: "Image.Image", box: Box | None) -> "Image.Image":
    """The part of a sheet that holds the box, with a margin."""
    if box is None:
        return picture.crop((0, 0, picture.width, max(1, round(picture.height * _HEAD))))
    scale = DPI / 72
    top = max(0, min(round((box.top - _MARGIN) * scale), picture.height - 1))
    bottom = max(top + 1, min(round((box.bottom + _MARGIN) * scale), picture.height))
    left = max(0, min(round((box.x0 - _MARGIN) * scale), picture.width - 1))
    right = max(left + 1, min(round((box.x1 + _MARGIN) * scale), picture.width))
    return picture.crop((left, top, right, bottom))


def _path(store: Store, clip: Clip) -> Path:
    """Named by what it shows: the original's bytes, the sheet, the place and how it is drawn."""
    box = None if clip.box is None else tuple(round(side, 1) for side in clip.box)
    marks = f"{clip.sha256} {clip.sheet} {box} {DPI} {_MARGIN} {_HEAD}"
    return store.folder / PICTURES / f"{blake2b(marks.encode(), digest_size=16).hexdigest()}.png"


def _written(path: Path, picture: "Image.Image") -> Path:
    path.parent.mkdir(exist_ok=True)
    temporary = path.with_name(f"{path.name}.{os.getpid()}.part")
    try:
        picture.save(temporary, format="PNG")
        settle_file(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)
    return path

"""Whole sheets as pictures, to lay marks over."""

from dataclasses import dataclass
from pathlib import Path

from benchleaf.graph.store import Store
from benchleaf.ingest.pictures.drawer import drawer, kept, upright_sheet, writing

WHOLE_DPI = 110
"""Dots per inch of a whole sheet: print of nine points stays readable on paper and on a screen."""
_SHADES = 16


@dataclass(frozen=True, slots=True)
class SheetPicture:
    """A sheet drawn upright in grey: its file, and its size in points, in which the boxes of words count."""

    path: Path
    width: float
    height: float


def sheet_picture(store: Store, sha256: str, sheet: int) -> SheetPicture | None:
    """The picture of a held sheet (1-based), made once; None for plain text and what cannot be drawn.

    Raises StoreProblem if the folder cannot be written.
    """
    path = drawer(store, f"{sha256} {sheet} whole {WHOLE_DPI} {_SHADES}")
    if not path.is_file():
        drawn = upright_sheet(store, sha256, sheet, WHOLE_DPI)
        if drawn is None:
            return None
        with writing(store):
            kept(path, drawn.convert("L").quantize(_SHADES))
    return _measured(path)


def _measured(path: Path) -> SheetPicture:
    from PIL import Image

    with Image.open(path) as picture:
        return SheetPicture(path, picture.width * 72 / WHOLE_DPI, picture.height * 72 / WHOLE_DPI)

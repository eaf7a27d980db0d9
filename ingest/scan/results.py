"""What OCR read of one sheet, as the store keeps it, so that a sheet is read once."""

import json
import zlib
from collections.abc import Sequence

from benchleaf.graph.errors import StoreProblem
from benchleaf.graph.model import Box, ScanSheet
from benchleaf.ingest.scan.placing import WHOLE, Placing
from benchleaf.ingest.shapes import Page, Word
from benchleaf.ingest.sheets.grid import grids
from benchleaf.ingest.sheets.ruledtables import ruled

_MOST = 1 << 26  # bytes that one sheet's reading may unpack to
_REMEDY = "Read the file again: benchleaf reread."


def written(page: Page, placing: Placing) -> bytes:
    """A page read by OCR, and how its picture lies, packed for the store."""
    held = {
        "width": round(page.width, 2),
        "height": round(page.height, 2),
        "turn": placing.turn,
        "skew": round(placing.skew, 3),
        "corners": [[round(v, 6) for v in corner] for corner in placing.corners],
        "words": [[w.text, *_short(w.box), round(w.size, 2), int(w.bold), w.confidence] for w in page.words],
        "strokes": [_short(b) for b in page.strokes],
        "frames": [_short(b) for b in page.frames],
        "curves": [_short(b) for b in page.curves],
    }
    return zlib.compress(json.dumps(held, ensure_ascii=False, separators=(",", ":")).encode(), 6)


def _short(box: Box) -> list[float]:
    return [round(v, 2) for v in box]


def page_of(kept: ScanSheet) -> Page:
    """The page as it was read; its ruled tables are worked out again from words and strokes.

    Raises StoreProblem if the kept reading is damaged.
    """
    try:
        held = _unpacked(kept.body)
        words = tuple(_word(row) for row in held["words"])
        strokes, frames, curves = (tuple(Box(*b) for b in held[k]) for k in ("strokes", "frames", "curves"))
        return assembled(
            kept.sheet, float(held["width"]), float(held["height"]), words, strokes, frames, curves
        )
    except (KeyError, ValueError, TypeError, zlib.error) as error:
        raise _damaged(kept) from error


def placing_of(kept: ScanSheet) -> Placing:
    """How the sheet's picture lies. Raises StoreProblem if the kept reading is damaged."""
    try:
        held = _unpacked(kept.body)
        a, b, c, d = ((float(x), float(y)) for x, y in held["corners"])
        size = float(held["width"]), float(held["height"])
        corners = (a, b, c, d)
        return Placing(*size, WHOLE if corners == WHOLE else corners, int(held["turn"]), float(held["skew"]))
    except (KeyError, ValueError, TypeError, zlib.error) as error:
        raise _damaged(kept) from error


def assembled(
    sheet: int,
    width: float,
    height: float,
    words: Sequence[Word],
    strokes: Sequence[Box],
    frames: Sequence[Box] = (),
    curves: Sequence[Box] = (),
) -> Page:
    """A page read by OCR with the ruled tables that its strokes make."""
    words, strokes, frames = tuple(words), tuple(strokes), tuple(frames)
    tables = ruled(sheet, words, grids(strokes, frames))
    return Page(sheet, width, height, words, strokes, frames, tuple(curves), (), tables, by_ocr=True)


def _unpacked(body: bytes) -> dict:  # type: ignore[type-arg]  # JSON's own shape; it stays in this module
    unpacker = zlib.decompressobj()
    held = json.loads(unpacker.decompress(body, _MOST))
    if not isinstance(held, dict):
        raise ValueError
    return held


def _word(row: Sequence) -> Word:  # type: ignore[type-arg]  # JSON's own shape
    text, x0, top, x1, bottom, size, bold, confidence = row
    box = Box(float(x0), float(top), float(x1), float(bottom))
    return Word(str(text), box, float(size), bool(bold), float(confidence))


def _damaged(kept: ScanSheet) -> StoreProblem:
    return StoreProblem(f"the kept reading of sheet {kept.sheet} is damaged", _REMEDY)

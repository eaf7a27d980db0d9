"""Small marks that the text detector passes over: step numerals in the margin, page numbers at the foot."""

from collections.abc import Sequence
from typing import Any

from benchleaf.ingest.scan.readings import Quad, Reading
from benchleaf.ingest.sheets.lines import is_label

Array = Any  # a numpy array: numpy is there with the extra alone

_LEAST, _MOST = 0.3, 1.3  # a mark's height as a share of the lines' usual height
_WIDEST = 6.0  # times that height
_MOST_MARKS = 40
_SURE = 0.75  # a mark read with less confidence is taken for dirt


def overlooked(ink: Array, rules: Array, quads: Sequence[Quad], usual: float) -> list[Quad]:
    """Frames around ink of a letter's size that no found line covers. `usual` is the lines' height in pixels.

    None where there are very many: that is a drawing.
    """
    import cv2
    import numpy as np

    free = _outside(cv2.bitwise_and(ink, cv2.bitwise_not(rules)), quads)
    size = 0.75 * usual
    joined = cv2.dilate(free, np.ones((max(1, round(0.15 * size)), max(1, round(0.6 * size))), np.uint8))
    count, _, stats, _ = cv2.connectedComponentsWithStats(joined, connectivity=8)
    boxes = [_inked(free, tuple(int(v) for v in stats[i][:4])) for i in range(1, count)]
    marks = [b for b in boxes if b is not None and _is_mark(b, usual, free.shape)]
    return [_framed(b, usual) for b in marks] if len(marks) <= _MOST_MARKS else []


def _outside(free: Array, quads: Sequence[Quad]) -> Array:
    """The ink without every blot that reaches into a found line: half a letter is no mark."""
    import cv2
    import numpy as np

    covered = np.zeros_like(free)
    for quad in quads:
        grown = 0.15 * quad.high
        corner = (int(quad.x0 - grown), int(quad.top - grown))
        cv2.rectangle(covered, corner, (int(quad.x1 + grown), int(quad.bottom + grown)), 255, -1)
    count, labels = cv2.connectedComponents(free, connectivity=8)
    within = np.zeros(count, bool)
    within[np.unique(labels[covered > 0])] = True
    within[0] = True
    return np.where(within[labels], 0, 255).astype(np.uint8)


def _inked(free: Array, grown: tuple[int, ...]) -> tuple[int, int, int, int] | None:
    """The ink's own box within a grown one."""
    import numpy as np

    x, y, wide, high = grown
    part = free[y : y + high, x : x + wide]
    rows, columns = np.flatnonzero(part.any(axis=1)), np.flatnonzero(part.any(axis=0))
    if not rows.size:
        return None
    return x + int(columns[0]), y + int(rows[0]), x + int(columns[-1]) + 1, y + int(rows[-1]) + 1


def _is_mark(box: tuple[int, int, int, int], usual: float, shape: tuple[int, ...]) -> bool:
    x0, top, x1, bottom = box
    high, wide = bottom - top, x1 - x0
    edge = 0.01 * max(shape)
    inside = x0 > edge and top > edge and x1 < shape[1] - edge and bottom < shape[0] - edge
    return inside and _LEAST * usual < high < _MOST * usual and 0.08 * usual < wide < _WIDEST * usual


def _framed(box: tuple[int, int, int, int], usual: float) -> Quad:
    """The mark with paper around it, as the recogniser knows lines."""
    x0, top, x1, bottom = box
    room = max(0.15 * usual, (usual - (bottom - top)) / 2)
    top_, bottom_ = top - room, bottom + room
    side = 0.1 * usual
    return Quad(((x0 - side, top_), (x1 + side, top_), (x1 + side, bottom_), (x0 - side, bottom_)))


def is_number(reading: Reading) -> bool:
    """True if a mark reads surely as a step's or a page's number."""
    text = reading.text.strip()
    figures = any(c.isdigit() for c in text) or (len(text) > 1 and is_label(text))
    return figures and len(text) < 12 and text.isascii() and reading.confidence >= _SURE

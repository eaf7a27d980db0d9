"""Columns: a sheet's words and blocks in reading order.

Band by band: an area is cut at its best gutter; what stands above and below the gutter spans the columns.
"""

from collections.abc import Sequence
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Word
from benchleaf.ingest.sheets.beside import Slice
from benchleaf.ingest.sheets.figures import Block
from benchleaf.ingest.sheets.gutters import best_gutter
from benchleaf.ingest.sheets.lines import rows, usual_size
from benchleaf.ingest.sheets.words import bounds

_DEEPEST = 12


class Area(NamedTuple):
    """Words and blocks that belong together; a leaf of the cutting is one column in one band."""

    words: tuple[Word, ...]
    blocks: tuple[Block, ...]

    @property
    def box(self) -> Box:
        """The box around everything in the area."""
        return bounds([*(w.box for w in self.words), *(b.box for b in self.blocks)])


def columns(words: Sequence[Word], blocks: Sequence[Block]) -> list[Area]:
    """The columns of a sheet in reading order."""
    if not words and not blocks:
        return []
    return _cut(Area(tuple(words), tuple(blocks)), usual_size(words), 0)


def _cut(area: Area, size: float, depth: int) -> list[Area]:
    slices = _slices(area)
    gutter = best_gutter(slices, size) if depth < _DEEPEST and len(slices) > 1 else None
    if gutter is None:
        return [area]
    top, bottom = slices[gutter.first].top, slices[gutter.last].bottom
    above, band, below = _bands(area, top, bottom)
    left, right = _sides(band, (gutter.x0 + gutter.x1) / 2)
    parts = [p for p in (above, left, right, below) if p.words or p.blocks]
    if len(parts) < 2:
        return [area]
    return [leaf for part in parts for leaf in _cut(part, size, depth + 1)]


def _middle(box: Box) -> float:
    return (box.top + box.bottom) / 2


def _bands(area: Area, top: float, bottom: float) -> tuple[Area, Area, Area]:
    parts: list[tuple[list[Word], list[Block]]] = [([], []), ([], []), ([], [])]
    for word in area.words:
        parts[_band(word.box, top, bottom)][0].append(word)
    for block in area.blocks:
        beside = block.box.top < bottom - 1 and block.box.bottom > top + 1
        parts[1 if beside else _band(block.box, top, bottom)][1].append(block)
    above, band, below = (Area(tuple(w), tuple(b)) for w, b in parts)
    return above, band, below


def _band(box: Box, top: float, bottom: float) -> int:
    return 0 if _middle(box) < top else 2 if _middle(box) > bottom else 1


def _sides(area: Area, x: float) -> tuple[Area, Area]:
    def left(box: Box) -> bool:
        return (box.x0 + box.x1) / 2 < x

    return (
        Area(tuple(w for w in area.words if left(w.box)), tuple(b for b in area.blocks if left(b.box))),
        Area(
            tuple(w for w in area.words if not left(w.box)), tuple(b for b in area.blocks if not left(b.box))
        ),
    )


def _slices(area: Area) -> list[Slice]:
    """The area's rows of words with the ink of blocks beside them; blocks alone make slices of their own."""
    found = []
    for row in rows(area.words):
        box = bounds(w.box for w in row)
        beside = [b.box for b in area.blocks if b.box.top < box.bottom - 1 and b.box.bottom > box.top + 1]
        found.append(Slice(box.top, box.bottom, _ink([*(w.box for w in row), *beside]), row))
    for block in area.blocks:
        if not any(s.top < block.box.bottom - 1 and s.bottom > block.box.top + 1 for s in found):
            found.append(Slice(block.box.top, block.box.bottom, ((block.box.x0, block.box.x1),), ()))
    return sorted(found, key=lambda s: s.top + s.bottom)


def _ink(boxes: Sequence[Box]) -> tuple[tuple[float, float], ...]:
    found: list[tuple[float, float]] = []
    for box in sorted(boxes):
        if found and box.x0 <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], box.x1))
        else:
            found.append((box.x0, box.x1))
    return tuple(found)

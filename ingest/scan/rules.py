"""Ruled lines in a sheet's picture: long thin runs of ink, level or upright."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from benchleaf.graph.model import Box

Array = Any  # a numpy array: numpy is there with the extra alone

_LEVEL, _UPRIGHT = 30.0, 20.0  # points: the shortest line; letters are lower, dashes shorter
_CELL, _MEETS = 9.0, 2.5  # points: the lowest cell's side, and how near it comes to the lines across it
_THICK = 4.0  # points: a thicker run is a bar or a picture
_BROKEN = 2.5  # points: breaks that are closed


class Ruled(NamedTuple):
    """The ruled lines of a sheet in points, and where their ink is (255) in its picture."""

    strokes: tuple[Box, ...]
    mask: Array


def ruled_lines(ink: Array, dpi: float) -> Ruled:
    """The level and upright lines in a picture of ink."""
    import cv2

    level, level_mask = _lines(ink, dpi, _LEVEL)
    across = [Box(b.top, b.x0, b.bottom, b.x1) for b in level]
    upright, upright_mask = _lines(cv2.transpose(ink), dpi, _UPRIGHT, across)
    turned = [Box(b.top, b.x0, b.bottom, b.x1) for b in upright]
    return Ruled((*level, *turned), cv2.bitwise_or(level_mask, cv2.transpose(upright_mask)))


def _joins(line: Box, across: Sequence[Box]) -> bool:
    """True if both ends of a level line meet lines across it, as the short sides of a table's cells do."""
    met = [
        any(abs(c.x0 - end) <= _MEETS and c.top - _MEETS <= line.top <= c.bottom + _MEETS for c in across)
        for end in (line.x0, line.x1)
    ]
    return all(met)


def _lines(ink: Array, dpi: float, least: float, across: Sequence[Box] = ()) -> tuple[list[Box], Array]:
    """Level lines: what stays of the ink when runs shorter than the least are taken away.

    Shorter ones count where both their ends meet lines `across` them.
    """
    import cv2
    import numpy as np

    unit = dpi / 72
    # A line that falls by a pixel now and then hangs together once it is made a little thicker.
    thick = cv2.dilate(ink, np.ones((3, 1), np.uint8))
    run = cv2.getStructuringElement(
        cv2.MORPH_RECT, (max(3, round((_CELL if across else least) * 0.6 * unit)), 1)
    )
    kept = cv2.morphologyEx(thick, cv2.MORPH_OPEN, run)
    bridge = cv2.getStructuringElement(cv2.MORPH_RECT, (max(3, round(_BROKEN * unit)), 3))
    joined = cv2.morphologyEx(kept, cv2.MORPH_CLOSE, bridge)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(joined, connectivity=8)
    found: list[Box] = []
    mine = np.zeros(count, bool)
    for index in range(1, count):
        x, y, wide, high, area = (int(v) for v in stats[index][:5])
        thickness = area / max(wide, 1) / unit
        middle = (y + high / 2) / unit
        line = Box(x / unit, middle, (x + wide) / unit, middle)
        long = wide >= least * unit or (wide >= _CELL * unit and _joins(line, across))
        if long and thickness <= _THICK and high / unit <= _THICK + 0.03 * wide / unit:
            mine[index] = True
            found.append(line)
    mask = np.where(mine[labels], 255, 0).astype(np.uint8)
    return found, cv2.bitwise_and(
        cv2.dilate(mask, np.ones((3, 3), np.uint8)), cv2.dilate(ink, np.ones((3, 3), np.uint8))
    )

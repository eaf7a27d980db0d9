"""Ruled lines in a sheet's picture: long thin runs of ink, level or upright."""

from typing import Any, NamedTuple

from benchleaf.graph.model import Box

Array = Any  # a numpy array: numpy is there with the extra alone

_LEVEL, _UPRIGHT = 30.0, 20.0  # points: the shortest line; letters are lower, dashes shorter
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
    upright, upright_mask = _lines(cv2.transpose(ink), dpi, _UPRIGHT)
    turned = [Box(b.top, b.x0, b.bottom, b.x1) for b in upright]
    return Ruled((*level, *turned), cv2.bitwise_or(level_mask, cv2.transpose(upright_mask)))


def _lines(ink: Array, dpi: float, least: float) -> tuple[list[Box], Array]:
    """Level lines: what stays of the ink when runs shorter than the least are taken away."""
    import cv2
    import numpy as np

    unit = dpi / 72
    # A line that falls by a pixel now and then hangs together once it is made a little thicker.
    thick = cv2.dilate(ink, np.ones((3, 1), np.uint8))
    run = cv2.getStructuringElement(cv2.MORPH_RECT, (max(3, round(least * 0.6 * unit)), 1))
    kept = cv2.morphologyEx(thick, cv2.MORPH_OPEN, run)
    bridge = cv2.getStructuringElement(cv2.MORPH_RECT, (max(3, round(_BROKEN * unit)), 3))
    joined = cv2.morphologyEx(kept, cv2.MORPH_CLOSE, bridge)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(joined, connectivity=8)
    found: list[Box] = []
    mine = np.zeros(count, bool)
    for index in range(1, count):
        x, y, wide, high, area = (int(v) for v in stats[index][:5])
        thickness = area / max(wide, 1) / unit
        if wide >= least * unit and thickness <= _THICK and high / unit <= _THICK + 0.03 * wide / unit:
            mine[index] = True
            middle = (y + high / 2) / unit
            found.append(Box(x / unit, middle, (x + wide) / unit, middle))
    mask = np.where(mine[labels], 255, 0).astype(np.uint8)
    return found, cv2.bitwise_and(cv2.dilate(mask, np.ones((3, 3), np.uint8)), cv2.dilate(ink, np.ones((3, 3), np.uint8)))

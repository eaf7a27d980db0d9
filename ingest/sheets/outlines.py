"""Drawn outlines sorted by what they are: strokes, frames, other shapes."""

import itertools
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.sheets.glyphs import Sheet
from benchleaf.ingest.sheets.words import bounds

THIN = 2.5  # points: a filled shape thinner than this is a stroke
MANY_SEGMENTS = 400  # from which a path counts as one drawing

Point = tuple[float, float]


class Drawing(NamedTuple):
    """The drawn shapes of a sheet, as `Page` holds them."""

    strokes: tuple[Box, ...] = ()
    frames: tuple[Box, ...] = ()
    curves: tuple[Box, ...] = ()
    images: tuple[Box, ...] = ()


class Shapes:
    """The shapes of one sheet as they are found, in displayed points."""

    def __init__(self) -> None:
        self.strokes: list[Box] = []
        self.frames: list[Box] = []
        self.curves: list[Box] = []
        self.images: list[Box] = []

    def drawing(self, sheet: Sheet) -> Drawing:
        """What was found, cut to the sheet, each shape once."""
        kinds = (self.strokes, self.frames, self.curves, self.images)
        return Drawing(*(tuple(dict.fromkeys(_on_sheet(k, sheet))) for k in kinds))

    def take(self, points: Sequence[Point], curved: bool, stroked: bool) -> None:
        """One sub-path to where it belongs. Rounded frames count as frames."""
        box = bounds(Box(x, y, x, y) for x, y in points)
        wide, high = box.x1 - box.x0, box.bottom - box.top
        if max(wide, high) < 0.5:
            return
        if min(wide, high) < THIN and not curved:
            middle_x, middle_y = (box.x0 + box.x1) / 2, (box.top + box.bottom) / 2
            self.strokes.append(
                box._replace(top=middle_y, bottom=middle_y)
                if wide >= high
                else box._replace(x0=middle_x, x1=middle_x)
            )
        elif _rectangle(points, curved, box):
            self.frames.append(box)
        elif curved or not _square_edges(points):
            self.curves.append(box)
        elif stroked:
            self.strokes.extend(_edges(points))
        else:
            self.curves.append(box)


def _on_sheet(boxes: Sequence[Box], sheet: Sheet) -> Iterator[Box]:
    """Boxes cut to the sheet; what lies outside falls away."""
    for x0, top, x1, bottom in boxes:
        cut = Box(max(x0, 0.0), max(top, 0.0), min(x1, sheet.width), min(bottom, sheet.height))
        if cut.x1 >= cut.x0 and cut.bottom >= cut.top:
            yield cut


def _rectangle(points: Sequence[Point], curved: bool, box: Box) -> bool:
    """True for a closed path along its own bounding box, corners rounded or not."""
    if abs(points[0][0] - points[-1][0]) > 1 or abs(points[0][1] - points[-1][1]) > 1 or len(points) < 5:
        return False
    reach = 0.25 * min(box.x1 - box.x0, box.bottom - box.top) if curved else 0.6
    for x, y in points:
        if min(x - box.x0, box.x1 - x) > 0.6 and min(y - box.top, box.bottom - y) > 0.6 and not curved:
            return False
    near = [
        p
        for p in points
        if min(p[0] - box.x0, box.x1 - p[0]) <= reach and min(p[1] - box.top, box.bottom - p[1]) <= reach
    ]
    return len(near) == len(points) and len(points) <= 20


def _square_edges(points: Sequence[Point]) -> bool:
    return all(abs(a[0] - b[0]) < 0.6 or abs(a[1] - b[1]) < 0.6 for a, b in itertools.pairwise(points))


def _edges(points: Sequence[Point]) -> Iterator[Box]:
    for (ax, ay), (bx, by) in itertools.pairwise(points):
        if abs(ax - bx) + abs(ay - by) > 0.5:
            yield Box(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))

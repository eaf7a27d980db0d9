"""Drawn strokes to grids of cells: what strokes enclose, whole rectangles and open-sided tables alike."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.sheets.words import bounds

_TOUCH = 3.0  # points: strokes this near meet
_MANY = 300  # boxes from which they are grouped coarsely
_SQUARE = 12.0  # points: the coarse grouping's squares
_MOST_STROKES = 1500
_MOST_CELLS = 6000


class Grid(NamedTuple):
    """One drawn grid: its outline, and its cells with the row and column where each begins.

    `regular` tells that every cell is a rectangle, as in a table and hardly ever in a drawing.
    """

    box: Box
    cells: tuple[tuple[int, int, Box], ...]
    across: int
    down: int
    regular: bool = True


@lru_cache(maxsize=8)
def grids(strokes: tuple[Box, ...], frames: tuple[Box, ...]) -> tuple[Grid, ...]:
    """The grids that strokes and frames make, a lone rectangle being a grid of one cell, top to bottom."""
    edges = [*strokes, *(e for f in frames for e in _sides(f))]
    if len(edges) > _MOST_STROKES:
        return ()
    found = (_grid(group) for group in _groups(edges) if len(group) >= 3)
    return tuple(sorted((g for g in found if g is not None), key=lambda g: (g.box.top, g.box.x0)))


def _sides(frame: Box) -> tuple[Box, ...]:
    x0, top, x1, bottom = frame
    return (
        Box(x0, top, x1, top),
        Box(x0, bottom, x1, bottom),
        Box(x0, top, x0, bottom),
        Box(x1, top, x1, bottom),
    )


def touching(one: Box, two: Box, reach: float) -> bool:
    """True if two boxes meet or come within `reach` points of each other."""
    return (
        one.x0 <= two.x1 + reach
        and two.x0 <= one.x1 + reach
        and one.top <= two.bottom + reach
        and two.top <= one.bottom + reach
    )


class _Sets:
    """Numbers 0 to n-1 in sets that can be joined; the least number of a set stands for it."""

    def __init__(self, count: int) -> None:
        self._parent = list(range(count))

    def of(self, number: int) -> int:
        parent = self._parent
        while parent[number] != number:
            parent[number] = parent[parent[number]]
            number = parent[number]
        return number

    def join(self, one: int, two: int) -> None:
        a, b = self.of(one), self.of(two)
        self._parent[max(a, b)] = min(a, b)


def clusters(boxes: Sequence[Box], reach: float) -> list[list[Box]]:
    """Boxes in groups that hang together within `reach` points (coarsely, by squares, where they are
    many)."""
    waiting = sorted(boxes, key=lambda b: b.top)
    sets = _Sets(len(waiting))
    if len(waiting) > _MANY:
        _join_by_squares(waiting, sets, reach)
    else:
        _join_touching(waiting, sets, reach)
    found: dict[int, list[Box]] = {}
    for i, box in enumerate(waiting):
        found.setdefault(sets.of(i), []).append(box)
    return list(found.values())


def _join_touching(waiting: Sequence[Box], sets: _Sets, reach: float) -> None:
    for i, box in enumerate(waiting):
        for j in range(i + 1, len(waiting)):
            if waiting[j].top > box.bottom + reach:
                break
            if touching(box, waiting[j], reach):
                sets.join(i, j)


def _join_by_squares(waiting: Sequence[Box], sets: _Sets, reach: float) -> None:
    """Joins boxes that fall into the same square of the sheet: quick for thousands of strokes."""
    first: dict[tuple[int, int], int] = {}
    for i, (x0, top, x1, bottom) in enumerate(waiting):
        for column in range(int((x0 - reach) // _SQUARE), int((x1 + reach) // _SQUARE) + 1):
            for row in range(int((top - reach) // _SQUARE), int((bottom + reach) // _SQUARE) + 1):
                sets.join(first.setdefault((column, row), i), i)


def _groups(edges: Sequence[Box]) -> list[list[Box]]:
    return clusters(edges, _TOUCH)


def _flat(edge: Box) -> bool:
    return edge.x1 - edge.x0 >= edge.bottom - edge.top


def snapped(values: Iterable[float]) -> list[float]:
    """Sorted values, those nearer than the touching distance taken as one."""
    found: list[list[float]] = []
    for value in sorted(values):
        if found and value - found[-1][-1] <= _TOUCH:
            found[-1].append(value)
        else:
            found.append([value])
    return [sum(v) / len(v) for v in found]


def _grid(edges: Sequence[Box]) -> Grid | None:
    flat = [e for e in edges if _flat(e)]
    upright = [e for e in edges if not _flat(e)]
    xs, ys = snapped(e.x0 for e in upright), snapped(e.top for e in flat)
    if len(flat) >= 2 and len(ys) >= 2 and upright:
        xs = _opened(xs, [e.x0 for e in flat], [e.x1 for e in flat])
    if len(upright) >= 2 and len(xs) >= 2 and flat:
        ys = _opened(ys, [e.top for e in upright], [e.bottom for e in upright])
    across, down = len(xs) - 1, len(ys) - 1
    if across < 1 or down < 1 or across * down > _MOST_CELLS:
        return None
    cells = _cells(xs, ys, flat, upright)
    box = Box(xs[0], ys[0], xs[-1], ys[-1])
    regular = abs(sum(_area(c) for _, _, c in cells) - _area(box)) < 0.01 * _area(box)
    return Grid(box, cells, across, down, regular)


def _area(box: Box) -> float:
    return (box.x1 - box.x0) * (box.bottom - box.top)


def _opened(at: list[float], firsts: Sequence[float], lasts: Sequence[float]) -> list[float]:
    """Grid lines with the outer sides added that an open table leaves undrawn."""
    first, last = min(firsts), max(lasts)
    before = [first] if at and first < at[0] - 2 * _TOUCH else []
    after = [last] if at and last > at[-1] + 2 * _TOUCH else []
    return [*before, *at, *after]


def _cells(
    xs: Sequence[float], ys: Sequence[float], flat: Sequence[Box], upright: Sequence[Box]
) -> tuple[tuple[int, int, Box], ...]:
    """Elementary cells, those without a stroke between them merged."""
    across, down = len(xs) - 1, len(ys) - 1
    walls = {
        (i, j)
        for e in upright
        for i in _near(xs, e.x0)
        for j in range(down)
        if _covers(e.top, e.bottom, ys, j)
    }
    floors = {
        (i, j) for e in flat for j in _near(ys, e.top) for i in range(across) if _covers(e.x0, e.x1, xs, i)
    }
    sets = _Sets(across * down)
    for j in range(down):
        for i in range(across):
            if i and (i, j) not in walls:
                sets.join(j * across + i - 1, j * across + i)
            if j and (i, j) not in floors:
                sets.join(j * across - across + i, j * across + i)
    areas: dict[int, list[Box]] = {}
    for number in range(across * down):
        j, i = divmod(number, across)
        areas.setdefault(sets.of(number), []).append(Box(xs[i], ys[j], xs[i + 1], ys[j + 1]))
    return tuple((*divmod(first, across), bounds(boxes)) for first, boxes in sorted(areas.items()))


def _near(at: Sequence[float], value: float) -> list[int]:
    return [i for i, v in enumerate(at) if abs(v - value) <= 2 * _TOUCH]


def _covers(start: float, end: float, at: Sequence[float], index: int) -> bool:
    middle = (at[index] + at[index + 1]) / 2
    return start <= middle <= end

"""What stands beside what: whether a free stripe parts columns or only words of the same lines.

Hanging numbers, margin headings and the cells of tables stand beside their text on the same lines, and are no
columns.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from benchleaf.ingest.shapes import Word
from benchleaf.ingest.sheets.lines import Row, is_label, label_words, pieces, text_of

_WIDE = 1.5  # ems: a gutter that needs fewer lines to be believed
_LEAST, _FEW, _MORE = 2, 3, 5  # lines on either side
_KEPT = 10  # lines that keep a gutter free and so vouch for it, though few stand on its other side
_NARROW_SIDE = 0.25  # share of the width up to which lines beside lines are margin numbers or headings
_HANG = 5.0  # ems from a hanging number's start to its text, at most
_CELL = 4  # words in most cells of a table
_RAGGED = 1.5  # ems by which hanging numbers of one column may start unevenly


class Slice(NamedTuple):
    """One row of ink: its height, its ink from left to right, and its words."""

    top: float
    bottom: float
    ink: tuple[tuple[float, float], ...]
    row: Row


class Gutter(NamedTuple):
    """A free stripe from x0 to x1 over the slices first to last; a higher score parts more text."""

    x0: float
    x1: float
    first: int
    last: int
    score: float


def wanted_lines(
    slices: Sequence[Slice], lefts: Sequence[int], rights: Sequence[int], gutter: Gutter, size: float
) -> int:
    """How many lines on either side make a gutter: fewer where it is wide or looks like columns."""
    left = [row for i in lefts if (row := _left(slices[i], gutter))]
    right = [row for i in rights if (row := _right(slices[i], gutter))]
    if _numbered_on(left, right, 1) and not _hanging(left, gutter.x0, size):
        return 1 if len(_numbers(left)) + len(_numbers(right)) > _LEAST else _LEAST
    even = bool(left and right) and _even(left) and _even(right)
    if even and gutter.last - gutter.first >= _KEPT:
        return _LEAST
    starts = even and not left[0][0].text[0].islower() and not right[0][0].text[0].islower()
    return _FEW if starts or gutter.x1 - gutter.x0 >= _WIDE * size else _MORE


def _even(side: Sequence[Sequence[Word]]) -> bool:
    """True if lines begin at one or two places."""
    return len({round(row[0].box.x0) for row in side}) <= 2 + len(side) // 8


def stands_beside(
    slices: Sequence[Slice], lefts: Sequence[int], rights: Sequence[int], gutter: Gutter, size: float
) -> bool:
    """True if what stands left and right of a gutter belongs to the same lines: numbers, headings, cells."""
    both = set(lefts) & set(rights)
    if _hanging([_left(slices[i], gutter) for i in (sorted(both) or lefts)], gutter.x0, size):
        return True
    if _numbered_on([_left(slices[i], gutter) for i in lefts], [_right(slices[i], gutter) for i in rights]):
        return False
    x0 = min(slices[i].ink[0][0] for i in (*lefts, *rights))
    x1 = max(slices[i].ink[-1][1] for i in (*lefts, *rights))
    narrow_left = gutter.x0 - x0 < _NARROW_SIDE * (x1 - x0) and set(lefts) <= both
    narrow_right = x1 - gutter.x1 < 0.6 * _NARROW_SIDE * (x1 - x0) and set(rights) <= both
    if narrow_left or narrow_right:
        return True
    return _tabular(slices, both, len(set(lefts) | set(rights)), gutter, size)


def _hanging(lefts: Sequence[Sequence[Word]], x: float, size: float) -> bool:
    """True if what stands next to a gutter's left edge are step numbers, and hardly any text reaches in
    among them."""
    last = [pieces(row, 0.7 * size)[-1] for row in lefts if row]
    near = [p for p in last if is_label(text_of(p)) and x - p[0].box.x0 < _HANG * size]
    if not near:
        return False
    inmost = max(p[0].box.x0 for p in near)
    near = [p for p in near if p[0].box.x0 > inmost - _RAGGED * size]
    start = min(p[0].box.x0 for p in near)
    others = sum(p[-1].box.x1 > start + 1 for p in last if not is_label(text_of(p)))
    return others == 0 or len(near) >= 4 * others


def _tabular(slices: Sequence[Slice], both: set[int], either: int, gutter: Gutter, size: float) -> bool:
    """True if left and right are cells: nearly every line has both, and the cells are short on one side."""
    if len(both) < 0.8 * either:
        return False
    lefts = sorted(len(_left(slices[i], gutter)) or 99 for i in both)
    rights = sorted(len(_right(slices[i], gutter)) or 99 for i in both)
    upper = 3 * len(both) // 4
    return bool(both) and min(lefts[upper], rights[upper]) <= _CELL


def _left(one: Slice, gutter: Gutter) -> list[Word]:
    return [w for w in one.row if w.box.x1 <= gutter.x0 + 1]


def _right(one: Slice, gutter: Gutter) -> list[Word]:
    return [w for w in one.row if w.box.x0 >= gutter.x1 - 1]


def _numbered_on(lefts: Sequence[Sequence[Word]], rights: Sequence[Sequence[Word]], least: int = 2) -> bool:
    """True if the lines at the left are numbered and the right ones go on with the numbers."""
    left, right = _numbers(lefts), _numbers(rights)
    if len(left) < least or len(right) < least:
        return False
    pairs = list(pairwise([*left, *right]))
    rising = all(a < b for a, b in pairs)
    anew = all(b in (1, a + 1) for a, b in pairs)  # headings within a column start the count anew
    return (rising or anew) and right[0] == left[-1] + 1


def _numbers(pieces_: Sequence[Sequence[Word]]) -> list[int]:
    """The step numbers that pieces begin with: those with marks (`3.`, `Step 3`), else bare ones."""
    found = [(n, p[n - 1].text) for p in pieces_ if (n := label_words(p))]
    marked = [t for n, t in found if n > 1 or not t[-1].isalnum()]
    plain = (t.strip("().[]:-") for t in marked or (t for _, t in found))
    return [int(t) for t in plain if t.isdecimal()]

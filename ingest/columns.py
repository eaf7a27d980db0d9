"""Columns: a sheet's words and blocks in reading order, by gutters that stay free over several lines.

Band by band: the best gutter of an area is the tallest stripe without ink that has text lines on both sides;
what stands above and below it spans the columns. Hanging numbers, margin headings and the cells of tables
stand
beside their text on the same lines, and are no columns.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.figures import Block
from benchleaf.ingest.lines import Row, is_label, label_words, pieces, rows, text_of, usual_size
from benchleaf.ingest.shapes import Word
from benchleaf.ingest.words import bounds

_NARROW, _WIDE = 0.85, 1.5  # ems: the least gutter, and one that needs fewer lines to be believed
_LEAST, _FEW, _MORE = 2, 3, 5  # lines on either side
_KEPT = 10  # lines that keep a gutter free and so vouch for it, though few stand on its other side
_NARROW_SIDE = 0.25  # share of the width up to which lines beside lines are margin numbers or headings
_HANG = 5.0  # ems from a hanging number's start to its text, at most
_CELL = 4  # words in most cells of a table
_RAGGED = 1.5  # ems by which hanging numbers of one column may start unevenly
_DEEPEST = 12


class Area(NamedTuple):
    """Words and blocks that belong together; a leaf of the cutting is one column in one band."""

    words: tuple[Word, ...]
    blocks: tuple[Block, ...]

    @property
    def box(self) -> Box:
        """The box around everything in the area."""
        return bounds([*(w.box for w in self.words), *(b.box for b in self.blocks)])


class _Slice(NamedTuple):
    """One row of ink: its height, its ink from left to right, and its words."""

    top: float
    bottom: float
    ink: tuple[tuple[float, float], ...]
    row: Row


class _Gutter(NamedTuple):
    x0: float
    x1: float
    first: int
    last: int
    score: float


def columns(words: Sequence[Word], blocks: Sequence[Block]) -> list[Area]:
    """The columns of a sheet in reading order."""
    if not words and not blocks:
        return []
    return _cut(Area(tuple(words), tuple(blocks)), usual_size(words), 0)


def _cut(area: Area, size: float, depth: int) -> list[Area]:
    slices = _slices(area)
    gutter = _best(slices, size) if depth < _DEEPEST and len(slices) > 1 else None
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


def _slices(area: Area) -> list[_Slice]:
    """The area's rows of words with the ink of blocks beside them; blocks alone make slices of their own."""
    found = []
    for row in rows(area.words):
        box = bounds(w.box for w in row)
        beside = [b.box for b in area.blocks if b.box.top < box.bottom - 1 and b.box.bottom > box.top + 1]
        found.append(_Slice(box.top, box.bottom, _ink([*(w.box for w in row), *beside]), row))
    for block in area.blocks:
        if not any(s.top < block.box.bottom - 1 and s.bottom > block.box.top + 1 for s in found):
            found.append(_Slice(block.box.top, block.box.bottom, ((block.box.x0, block.box.x1),), ()))
    return sorted(found, key=lambda s: s.top + s.bottom)


def _ink(boxes: Sequence[Box]) -> tuple[tuple[float, float], ...]:
    found: list[tuple[float, float]] = []
    for box in sorted(boxes):
        if found and box.x0 <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], box.x1))
        else:
            found.append((box.x0, box.x1))
    return tuple(found)


def _best(slices: Sequence[_Slice], size: float) -> _Gutter | None:
    """The gutter with the most text beside it, if any."""
    tried: list[_Gutter] = []
    best: _Gutter | None = None
    edges = min(s.ink[0][0] for s in slices), max(s.ink[-1][1] for s in slices)
    for index, one in enumerate(slices):
        for x0, x1 in _openings(one, edges, size):
            if any(g.first <= index <= g.last and x0 <= g.x0 and g.x1 <= x1 for g in tried):
                continue
            gutter = _run(slices, index, x0, x1, size)
            tried.append(gutter)
            judged = _judged(slices, gutter, size)
            if judged is not None and (best is None or judged.score > best.score):
                best = judged
    return best


def _openings(one: _Slice, edges: tuple[float, float], size: float) -> list[tuple[float, float]]:
    """The free spans of a slice that a gutter may run through: between its ink, and wide ones beside it."""
    inner = [(a[1], b[0]) for a, b in pairwise(one.ink) if b[0] - a[1] >= _NARROW * size]
    outer = [(edges[0], one.ink[0][0]), (one.ink[-1][1], edges[1])]
    return inner + [s for s in outer if s[1] - s[0] > 0.2 * (edges[1] - edges[0])]


def _run(slices: Sequence[_Slice], start: int, x0: float, x1: float, size: float) -> _Gutter:
    """A free stripe followed up and down as far as it stays wide enough."""
    first = last = start
    for step in (-1, 1):
        index = start + step
        while 0 <= index < len(slices):
            free = _free(slices[index], x0, x1)
            if free is None or free[1] - free[0] < _NARROW * size:
                break
            x0, x1 = free
            first, last = min(first, index), max(last, index)
            index += step
    return _Gutter(x0, x1, first, last, 0.0)


def _free(one: _Slice, x0: float, x1: float) -> tuple[float, float] | None:
    """The widest part of a stripe that a slice leaves free."""
    edges = [x0]
    for a, b in one.ink:
        if b > x0 and a < x1:
            edges += [max(a, x0), min(b, x1)]
    edges.append(x1)
    spans = [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b > a]
    return max(spans, key=lambda s: s[1] - s[0]) if spans else None


def _judged(slices: Sequence[_Slice], gutter: _Gutter, size: float) -> _Gutter | None:
    """The gutter cut down to where it parts columns, with its score, or None if it parts none."""
    run = range(gutter.first, gutter.last + 1)
    left = [i for i in run if slices[i].ink[0][0] < gutter.x0 + 1]
    right = [i for i in run if slices[i].ink[-1][1] > gutter.x1 - 1]
    if not left or not right:
        return None
    from_, to = max(left[0], right[0]), min(left[-1], right[-1])
    lefts, rights = [i for i in left if from_ <= i <= to], [i for i in right if from_ <= i <= to]
    wanted = _wanted(slices, left, right, gutter, size)
    tall = slices[to].bottom - slices[from_].top if to >= from_ else 0.0
    blocks = any(not slices[i].row for i in (*lefts, *rights))
    if min(len(lefts), len(rights)) < wanted and not (blocks and tall > 4 * size and lefts and rights):
        return None
    if _beside(slices, lefts, rights, gutter, size):
        return None
    first, last = _trimmed(slices, gutter, left, right, size)
    last = _paused(slices, gutter, first, last, size)
    width = gutter.x1 - gutter.x0
    return gutter._replace(first=first, last=last, score=tall + min(width, 3 * size))


def _wanted(
    slices: Sequence[_Slice], lefts: Sequence[int], rights: Sequence[int], gutter: _Gutter, size: float
) -> int:
    """How many lines on either side make a gutter: fewer where it is wide or the right side begins like a
    column."""
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


def _beside(
    slices: Sequence[_Slice], lefts: Sequence[int], rights: Sequence[int], gutter: _Gutter, size: float
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


def _tabular(slices: Sequence[_Slice], both: set[int], either: int, gutter: _Gutter, size: float) -> bool:
    """True if left and right are cells: nearly every line has both, and the cells are short on one side."""
    if len(both) < 0.8 * either:
        return False
    lefts = sorted(len(_left(slices[i], gutter)) or 99 for i in both)
    rights = sorted(len(_right(slices[i], gutter)) or 99 for i in both)
    upper = 3 * len(both) // 4
    return bool(both) and min(lefts[upper], rights[upper]) <= _CELL


def _left(one: _Slice, gutter: _Gutter) -> list[Word]:
    return [w for w in one.row if w.box.x1 <= gutter.x0 + 1]


def _right(one: _Slice, gutter: _Gutter) -> list[Word]:
    return [w for w in one.row if w.box.x0 >= gutter.x1 - 1]


def _numbered_on(lefts: Sequence[Sequence[Word]], rights: Sequence[Sequence[Word]], least: int = 2) -> bool:
    """True if the lines at the left are numbered and the right ones go on with the numbers."""
    left, right = _numbers(lefts), _numbers(rights)
    if len(left) < least or len(right) < least:
        return False
    rising = all(a < b for a, b in zip([*left, *right], [*left[1:], *right], strict=False))
    return rising and right[0] == left[-1] + 1


def _numbers(pieces_: Sequence[Sequence[Word]]) -> list[int]:
    """The step numbers that pieces begin with: those with marks (`3.`, `Step 3`), bare ones if there are
    none."""
    found = [(n, p[n - 1].text) for p in pieces_ if (n := label_words(p))]
    marked = [t for n, t in found if n > 1 or not t[-1].isalnum()]
    plain = (t.strip("().[]:-") for t in marked or (t for _, t in found))
    return [int(t) for t in plain if t.isdecimal()]


def _trimmed(
    slices: Sequence[_Slice], gutter: _Gutter, left: Sequence[int], right: Sequence[int], size: float
) -> tuple[int, int]:
    """Where the columns begin and end: lines of one side that cling to what spans the columns go with
    that."""
    first, last = gutter.first, gutter.last
    start, end = max(left[0], right[0]), min(left[-1], right[-1])
    if first > 0:
        while first < start and slices[first].top - slices[first - 1].bottom < 0.6 * size:
            first += 1
    while first < start and first not in left and slices[left[0]].top - slices[first].top > 2.5 * size:
        first += 1
    if last < len(slices) - 1:
        while last > end and slices[last + 1].top - slices[last].bottom < 0.6 * size:
            last -= 1
    return first, last


def _paused(slices: Sequence[_Slice], gutter: _Gutter, first: int, last: int, size: float) -> int:
    """The last slice before a heading at the left on which both columns pause and after which both begin
    anew."""
    for i in range(first + 2, last):
        head, above, below = slices[i], slices[i - 1], slices[i + 1]
        if not head.row or head.ink[-1][1] > gutter.x0 + 1 or not _heads(head.row, size):
            continue
        both = below.ink[0][0] < gutter.x0 and below.ink[-1][1] > gutter.x1
        far = head.top - above.bottom > 0.7 * size and below.top - above.bottom > 3 * size
        if both and far:
            return i - 1
    return last


def _heads(row: Row, size: float) -> bool:
    """True for a line that looks like a heading."""
    return all(w.bold for w in row) or row[0].size > 1.15 * size

"""Gutters: the free stripes between columns of text.

The best gutter is the tallest stripe without ink that has text lines on both sides; `beside.py` says which
stripes only part numbers, headings or cells from what stands on the same lines.
"""

from collections.abc import Sequence
from itertools import pairwise

from benchleaf.ingest.sheets.beside import Gutter, Slice, stands_beside, wanted_lines
from benchleaf.ingest.sheets.lines import Row

_NARROW = 0.85  # ems: the least gutter


def best_gutter(slices: Sequence[Slice], size: float) -> Gutter | None:
    """The gutter with the most text beside it, if any."""
    tried: list[Gutter] = []
    best: Gutter | None = None
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


def _openings(one: Slice, edges: tuple[float, float], size: float) -> list[tuple[float, float]]:
    """The free spans of a slice that a gutter may run through: between its ink, and wide ones beside it."""
    inner = [(a[1], b[0]) for a, b in pairwise(one.ink) if b[0] - a[1] >= _NARROW * size]
    outer = [(edges[0], one.ink[0][0]), (one.ink[-1][1], edges[1])]
    return inner + [s for s in outer if s[1] - s[0] > 0.2 * (edges[1] - edges[0])]


def _run(slices: Sequence[Slice], start: int, x0: float, x1: float, size: float) -> Gutter:
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
    return Gutter(x0, x1, first, last, 0.0)


def _free(one: Slice, x0: float, x1: float) -> tuple[float, float] | None:
    """The widest part of a stripe that a slice leaves free."""
    edges = [x0]
    for a, b in one.ink:
        if b > x0 and a < x1:
            edges += [max(a, x0), min(b, x1)]
    edges.append(x1)
    spans = [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b > a]
    return max(spans, key=lambda s: s[1] - s[0]) if spans else None


def _judged(slices: Sequence[Slice], gutter: Gutter, size: float) -> Gutter | None:
    """The gutter cut down to where it parts columns, with its score, or None if it parts none."""
    run = range(gutter.first, gutter.last + 1)
    left = [i for i in run if slices[i].ink[0][0] < gutter.x0 + 1]
    right = [i for i in run if slices[i].ink[-1][1] > gutter.x1 - 1]
    if not left or not right:
        return None
    from_, to = max(left[0], right[0]), min(left[-1], right[-1])
    lefts, rights = [i for i in left if from_ <= i <= to], [i for i in right if from_ <= i <= to]
    wanted = wanted_lines(slices, left, right, gutter, size)
    tall = slices[to].bottom - slices[from_].top if to >= from_ else 0.0
    blocks = any(not slices[i].row for i in (*lefts, *rights))
    if min(len(lefts), len(rights)) < wanted and not (blocks and tall > 4 * size and lefts and rights):
        return None
    if stands_beside(slices, lefts, rights, gutter, size):
        return None
    first, last = _trimmed(slices, gutter, left, right, size)
    last = _paused(slices, gutter, first, last, size)
    width = gutter.x1 - gutter.x0
    return gutter._replace(first=first, last=last, score=tall + min(width, 3 * size))


def _trimmed(
    slices: Sequence[Slice], gutter: Gutter, left: Sequence[int], right: Sequence[int], size: float
) -> tuple[int, int]:
    """Where the columns begin and end, lines left aside that cling to what spans the columns."""
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


def _paused(slices: Sequence[Slice], gutter: Gutter, first: int, last: int, size: float) -> int:
    """The last slice before a heading at the left for which both columns pause and then begin anew."""
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

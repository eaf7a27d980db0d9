"""Pages read by OCR set level and even: what a printer aligned, recognition gives back a little scattered.

Word boxes wander by a point, sizes by a tenth, and lines may still slant by a fraction of a degree. Layout
and steps go by small differences of height and indent, so the scatter is taken out first. Texts stay as read.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from statistics import median

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Page, Word
from benchleaf.ingest.sheets.lines import pieces, rows, usual_size

_LONG = 12.0  # ems: a line from this length on tells the slant
_LEAST_SLANT, _MOST_SLANT = 0.0004, 0.03  # rise over run
_ALIKE = 0.14  # share by which the size of a line of running text may seem to differ
_APART = 1.6  # ems between pieces of a row that need not share a baseline
_LEVEL = 0.3  # ems by which a piece may stand off the baseline of the piece beside it
_EDGE = 0.28  # ems by which the left edges of one indent may wander
_EDGES = 3  # lines that make an indent
_GLUED = re.compile(r"(?P<number>[0-9]{1,3})(?P<rest>[1lI|Vv/!√✓\\])")  # a change bar or a pencilled tick


def steadied(page: Page) -> Page:
    """A page read by OCR with its lines level, its sizes and left edges even; any other page unchanged."""
    if not page.by_ocr or len(page.words) < 2:
        return page
    words = _level(page)
    size = usual_size(words)
    lines = [piece for row in _rows(words, size) for piece in _set(row, size)]
    aligned = _bared(list(_aligned(lines, size)))
    return replace(page, words=tuple(w for piece in aligned for w in piece))


def _level(page: Page) -> tuple[Word, ...]:
    """The words turned about the sheet's middle so that lines no longer slant."""
    slant = _slant(page.words)
    if not _LEAST_SLANT < abs(slant) < _MOST_SLANT:
        return page.words
    x, y = page.width / 2, page.height / 2
    return tuple(w._replace(box=_turned(w.box, slant, x, y)) for w in page.words)


def _turned(box: Box, slant: float, x: float, y: float) -> Box:
    down = -slant * ((box.x0 + box.x1) / 2 - x)
    right = slant * ((box.top + box.bottom) / 2 - y)
    return Box(box.x0 + right, box.top + down, box.x1 + right, box.bottom + down)


def _slant(words: Sequence[Word]) -> float:
    """By how much long lines fall per point to the right: the median, longer lines counting more."""
    size = usual_size(words)
    found: list[float] = []
    for row in rows(words):
        for piece in pieces(row, 3 * size):
            long = piece[-1].box.x1 - piece[0].box.x0
            if long > _LONG * size and len(piece) > 3:
                found += [_fall(piece)] * int(long / (_LONG * size))
    return median(found) if found else 0.0


def _rows(words: Sequence[Word], size: float) -> Iterable[list[Word]]:
    """Rows by the middles of the words: boxes of close lines overlap where recognition drew them too high."""
    whole: dict[int, Word] = {}
    thin: list[Word] = []
    for word in words:
        middle = (word.box.top + word.box.bottom) / 2
        half = 0.28 * min(size, word.size or size) if word.box.bottom - word.box.top < 2.2 * size else None
        box = word.box if half is None else word.box._replace(top=middle - half, bottom=middle + half)
        made = word._replace(box=box)
        whole[id(made)] = word
        thin.append(made)
    for row in rows(thin):
        yield [whole[id(w)] for w in row]


def _fall(piece: Sequence[Word]) -> float:
    """The least-squares slope through the middles of a line's words."""
    places = [((w.box.x0 + w.box.x1) / 2, (w.box.top + w.box.bottom) / 2) for w in piece]
    x = sum(p[0] for p in places) / len(places)
    y = sum(p[1] for p in places) / len(places)
    across = sum((p[0] - x) ** 2 for p in places)
    return sum((p[0] - x) * (p[1] - y) for p in places) / across if across else 0.0


def _set(row: Sequence[Word], size: float) -> Iterable[list[Word]]:
    """The pieces of a row, each on one baseline, in one size and of one height."""
    parts = pieces(row, _APART * size)
    middles = [median((w.box.top + w.box.bottom) / 2 for w in part) for part in parts]
    for at, part in enumerate(parts):
        near = [i for i in (at - 1, at + 1) if 0 <= i < len(parts) and len(parts[i]) > len(part)]
        level = [middles[i] for i in near if abs(middles[i] - middles[at]) < _LEVEL * size]
        yield _even(part, level[0] if level else middles[at], size)


def _even(part: Sequence[Word], middle: float, body: float) -> list[Word]:
    """Words of one piece; what stands far higher or lower than the rest, as a bracket over lines, is left."""
    size = median(w.size for w in part)
    size = body if abs(size - body) < _ALIKE * body else size
    half = size / 2
    return [
        w
        if w.box.bottom - w.box.top > 2.2 * size
        else w._replace(size=size, box=w.box._replace(top=middle - half, bottom=middle + half))
        for w in part
    ]


def _aligned(lines: Sequence[list[Word]], size: float) -> Iterable[list[Word]]:
    """The pieces with their left edges set on the indents that several of them share."""
    slack = _EDGE * size
    indents = _indents(sorted(p[0].box.x0 for p in lines), slack)
    for piece in lines:
        first = piece[0]
        x0 = indents.get(first.box.x0, first.box.x0)
        yield [first._replace(box=first.box._replace(x0=min(x0, first.box.x1 - 0.5))), *piece[1:]]


def _indents(edges: Sequence[float], slack: float) -> Mapping[float, float]:
    """For each left edge the indent it belongs to: edges without a gap between them are of one indent."""
    found: dict[float, float] = {}
    group: list[float] = []
    for edge, after in pairwise([*edges, float("inf")]):
        group.append(edge)
        if after - edge > slack / 2 or after - group[0] > 2 * slack:
            if len(group) >= _EDGES:
                found.update(dict.fromkeys(group, median(group)))
            group = []
    return found


def _bared(lines: list[list[Word]]) -> list[list[Word]]:
    """The lines with a bar or tick taken off a step's number where the steps around count on without it."""
    indents: Mapping[float, list[int]] = defaultdict(list)
    for at, line in enumerate(lines):
        if line[0].text[:1].isdecimal():
            indents[line[0].box.x0].append(at)
    for places in indents.values():
        for k, at in enumerate(places):
            before = lines[places[k - 1]][0].text if k else ""
            after = lines[places[k + 1]][0].text if k + 1 < len(places) else ""
            first = lines[at][0]
            lines[at] = [first._replace(text=_plain_mark(before, first.text, after)), *lines[at][1:]]
    return lines


def _plain_mark(before: str, mark: str, after: str) -> str:
    """A mark without a last sign that is none of its own: a figure only if the marks on both sides prove it,
    another sign if one does and none speaks against it."""
    found = _GLUED.fullmatch(mark)
    if found is None:
        return mark
    value = int(found["number"])
    sides = [(before, value - 1), (after, value + 1)]
    proofs = sum(text.rstrip(".)") == str(wanted) for text, wanted in sides)
    known = sum(text.rstrip(".)").isdecimal() for text, _ in sides)
    needed = 2 if found["rest"].isdecimal() else max(1, known)
    return found["number"] if proofs >= needed else mark

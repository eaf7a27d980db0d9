"""Tables without rules: lines whose cells stand in columns, known by free stripes that run through them."""

import itertools
import re
from bisect import bisect
from collections.abc import Iterator, Sequence
from dataclasses import replace
from statistics import median
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Cell, Line, Table, Word
from benchleaf.ingest.sheets.lines import cell_text, is_label, label_words, text_of
from benchleaf.ingest.sheets.words import bounds

_BLANKS = 1.6  # usual blanks that a gap between columns is wide, at least
_STRIPE, _CLEAR = 0.6, 1.4  # ems of free space between columns: the least, and one that convinces in few rows
_ROOM = 1.6  # line heights of free space between two rows, at most
_EVEN = 0.35  # ems by which cells of one column may start unevenly
_FIELD = re.compile(r".{1,40}:", re.DOTALL)
_FIGURES = re.compile(r"[0-9]")
_COUNT = re.compile(r"[0-9]{1,3}|none|nil|[-–—]", re.IGNORECASE)
_LEADER = re.compile(r"[.…_·]{1,200}")
_PIECES = re.compile(r"[.…_·]{4,200}|(?:(?![.…_·]{4}).){1,200}")
_NEARER = 1.5  # points by which the lines of one row stand nearer than rows
_TRIED = 4  # ends of a run of lines that are tried
_PROSE = 7  # words in a cell from which it reads as running text

Span = tuple[float, float]
Cells = list[list[Word]]


class Aligned(NamedTuple):
    """A table found in lines: the first line's index, the one after the last, and the table."""

    first: int
    after: int
    table: Table


def aligned(lines: Sequence[Line], bars: Sequence[Box] = ()) -> tuple[Aligned, ...]:
    """The tables that the lines of one column make by alignment alone; none reaches over a bar.

    At least a header row and one more, or three rows; the cells of a column start evenly, end evenly or are
    centred; a line that stands wholly under a later column goes on with that cell. Hanging step numbers and
    `Field: value` lists are no tables.
    """
    found: list[Aligned] = []
    lines = [_unled(line) for line in lines]
    index = 0
    least = max(_STRIPE, _BLANKS * _usual_blank(lines))
    parted = [bool(_gaps(line, least)) for line in lines]
    while index < len(lines):
        table = _table_from(lines, index, least, bars) if parted[index] else None
        if table is not None:
            found.append(table)
        index = table.after if table is not None else index + 1
    return tuple(found)


def _unled(line: Line) -> Line:
    """A line of two long numbers with leaders between them ("40-1177 ........ 40-1182"), without these."""
    if not ("..." in line.text or "…" in line.text or "___" in line.text):
        return line
    words = tuple(part for w in line.words for part in _parted(w) if not _LEADER.fullmatch(part.text))
    coded = len(words) > 1 and _coded(words[:1]) and _coded(words[-1:])
    return replace(line, words=words) if coded and len(words) < 4 else line


def _parted(word: Word) -> Iterator[Word]:
    """A word parted at the leaders within it, its width shared out evenly over its letters."""
    step = (word.box.x1 - word.box.x0) / len(word.text)
    for part in _PIECES.finditer(word.text):
        x0, x1 = word.box.x0 + step * part.start(), word.box.x0 + step * part.end()
        yield word._replace(text=part[0], box=word.box._replace(x0=x0, x1=x1))


def _usual_blank(lines: Sequence[Line]) -> float:
    """The usual free space between words, in ems: wider for typewriters than for book type."""
    seen = [
        (b[0] - a[2]) / (size or 10.0) for line in lines for (_, a, size, _, _), (_, b, *_) in _pairs(line)
    ]
    words = [s for s in seen if s < _CLEAR]
    return median(words) if words else 0.25


def _table_from(lines: Sequence[Line], first: int, least: float, bars: Sequence[Box]) -> Aligned | None:
    """The longest table that starts with a line."""
    if lines[first].place != "text":
        return None
    after = first + 1
    stripes = _indented(lines[first : first + 2], least) + _gaps(lines[first], least)
    runs: list[tuple[int, list[Span]]] = []
    while stripes and after < len(lines) and _follows(lines[after - 1], lines[after]):
        if any(_parts(bar, lines[after - 1], lines[after]) for bar in bars):
            break
        stripes = [s for one in stripes if (s := _narrowed(one, lines[after], least)) is not None]
        if not stripes or (lines[after].box.x1 <= stripes[0][0] and not _near(lines[first : after + 1])):
            break
        after += 1
        runs.append((after, stripes))
    for end, spans in _ends(runs):
        made = _made(lines[first:end], spans)
        if made is not None:
            return Aligned(first, end, made)
    return None


def _near(lines: Sequence[Line]) -> bool:
    """True if the last of these lines is one number and stands nearer than rows do: a cell of two lines."""
    gaps = [b.box.top - a.box.bottom for a, b in itertools.pairwise(lines)]
    return len(gaps) > 1 and gaps[-1] < min(gaps[:-1]) - _NEARER and _coded(lines[-1].words)


def _ends(runs: Sequence[tuple[int, list[Span]]]) -> list[tuple[int, list[Span]]]:
    """The ends worth trying, longest first: the last ones, and those where a column was lost."""
    lost = [a for a, b in itertools.pairwise(runs) if len(b[1]) < len(a[1])]
    return [*reversed(runs[-_TRIED:]), *(r for r in reversed(lost) if r not in runs[-_TRIED:])]


def _gaps(line: Line, least: float) -> list[Span]:
    wide = least * (line.size or 10.0)
    return [(a[2], b[0]) for (_, a, *_), (_, b, *_) in _pairs(line) if b[0] - a[2] >= wide]


def _pairs(line: Line) -> Iterator[tuple[Word, Word]]:
    """Each word with the next one."""
    return itertools.pairwise(line.words)


def _indented(lines: Sequence[Line], least: float) -> list[Span]:
    """The room left of a header that names no first column, over a second line that has one."""
    if len(lines) < 2 or not _gaps(lines[0], least) or not _gaps(lines[1], least):
        return []
    start, end = lines[1].box.x0, lines[0].box.x0
    indented = end - start > 3 * (lines[0].size or 10.0) and lines[1].words[0].box.x1 < end
    return [(start, end)] if indented else []


def _follows(above: Line, line: Line) -> bool:
    """True if a line stands near enough under another to be of one table."""
    height = max(above.box.bottom - above.box.top, line.box.bottom - line.box.top)
    return line.place == "text" and -height < line.box.top - above.box.bottom < _ROOM * height


def _parts(bar: Box, above: Line, line: Line) -> bool:
    """True if a bar lies between two lines."""
    return above.box.top < bar.top < line.box.bottom and bar.x0 < line.box.x1 and bar.x1 > line.box.x0


def _narrowed(stripe: Span, line: Line, least: float) -> Span | None:
    """The widest part of a stripe that a line leaves free, if it is still wide enough."""
    start, best = stripe[0], (0.0, 0.0)
    for word in line.words:
        if word.box.x1 <= stripe[0] or word.box.x0 >= stripe[1]:
            continue
        best = max(best, (start, word.box.x0), key=lambda s: s[1] - s[0])
        start = max(start, word.box.x1)
    best = max(best, (start, stripe[1]), key=lambda s: s[1] - s[0])
    return best if best[1] - best[0] >= least * (line.size or 10.0) else None


def _made(lines: Sequence[Line], stripes: Sequence[Span]) -> Table | None:
    """The table of these lines parted at these stripes, or None if it is none."""
    if len(stripes) == 1 and _hangs(lines, stripes[0]):
        return None
    split = [_cells(line.words, stripes) for line in lines]
    if sum(sum(map(bool, cells)) > 1 for cells in split) < 2 or not split[-1]:
        return None
    size = max(line.size for line in lines) or 10.0
    even = [s for i, s in enumerate(stripes) if _even([c[i + 1] for c in split if c[i + 1]], size)]
    if len(even) < len(stripes):
        return _made(lines, even) if even else None
    body = _joined(lines, split)
    widest = max(b - a for a, b in stripes)
    if not _is_table(body, widest, size):
        return None
    return _table(lines, body)


def _hangs(lines: Sequence[Line], stripe: Span) -> bool:
    """True if only step numbers stand left of a stripe."""
    for line in lines:
        left = [w.text for w in line.words if w.box.x1 <= stripe[0] + 0.1]
        if left and not is_label(" ".join(left)):
            return False
    return True


def _cells(words: Sequence[Word], stripes: Sequence[Span]) -> Cells:
    cells: Cells = [[] for _ in range(len(stripes) + 1)]
    middles = [(a + b) / 2 for a, b in stripes]
    for word in words:
        cells[bisect(middles, (word.box.x0 + word.box.x1) / 2)].append(word)
    return cells


def _even(column: Sequence[Sequence[Word]], size: float) -> bool:
    """True if most cells of a column start, end or centre at one place."""
    boxes = [bounds(w.box for w in cell) for cell in column]
    if len(boxes) < 2:
        return False
    places = ([b.x0 for b in boxes], [b.x1 for b in boxes], [(b.x0 + b.x1) / 2 for b in boxes])
    return any(_together(p, _EVEN * size) for p in places)


def _together(places: Sequence[float], slack: float) -> bool:
    usual = sorted(places)[len(places) // 2]
    return sum(abs(p - usual) <= slack for p in places) >= max(2.0, 0.75 * len(places))


def _joined(lines: Sequence[Line], split: Sequence[Cells]) -> list[Cells]:
    """Lines to rows: a line without first cell goes on with the row above if it has one cell or is near,
    a number alone in the first column if it is nearer than rows are."""
    gaps = [b.box.top - a.box.bottom for a, b in itertools.pairwise(lines)]
    whole = [g for g, cells in zip(gaps, split[1:], strict=True) if cells[0] and any(cells[1:])]
    wide = min(whole, default=0.0)
    body: list[Cells] = [[list(c) for c in split[0]]]
    for gap, cells in zip(gaps, split[1:], strict=True):
        one, near = sum(map(bool, cells)) == 1, gap < wide - _NEARER
        if (not cells[0] and (one or near)) or (one and near and _coded(cells[0])):
            for held, more in zip(body[-1], cells, strict=True):
                held.extend(more)
        else:
            body.append([list(c) for c in cells])
    return body


def _is_table(body: Sequence[Cells], widest: float, size: float) -> bool:
    """True if the rows are more than a hanging number, a list of fields, running text or two stray pieces."""
    if len(body) < 2:
        return False
    first = [text_of(row[0]) for row in body if row[0]]
    if sum(_FIELD.fullmatch(t) is not None for t in first) * 2 >= len(first):
        return False
    columns = list(zip(*body, strict=True))
    if sum(map(_numbered, columns)) > 1 or sum(map(_talks, columns)) > 1:
        return False
    if _is_prose(body, widest < _CLEAR * size):
        return False
    header = _has_header(body)
    if not header and any(map(_talks, columns)):
        return False
    full = sum(all(row) for row in body)
    if full == len(body) and widest >= _CLEAR * size and all(_coded(cell) for row in body for cell in row):
        return True
    if widest < _CLEAR * size:
        return full >= 3
    return (header and full >= 2) or full >= 3


def _coded(cell: Sequence[Word]) -> bool:
    """True for a cell that is one long number: rows of such cells are a table, however few."""
    plain = re.sub(r"[^A-Za-z0-9]", "", text_of(cell))
    return len(plain) > 4 and sum(ch.isdigit() for ch in plain) * 2 > len(plain) and len(cell) < 5


def _numbered(column: Sequence[Sequence[Word]]) -> bool:
    """True if most cells of a column begin with a step's number and go on: a list, not cells."""
    led = [0 < (n := label_words(c)) < len(c) and c[n - 1].text[-1] in ".):-" for c in column if c]
    return sum(led) * 2 >= max(len(led), 1)


def _talks(column: Sequence[Sequence[Word]]) -> bool:
    """True if the cells of a column are mostly whole lines of running text."""
    counts = sorted(len(c) for c in column if c)
    return bool(counts) and counts[len(counts) // 2] >= _PROSE


def _is_prose(body: Sequence[Cells], narrow: bool) -> bool:
    """True if the rows read on from line to line: they begin in the middle of sentences."""
    starts = [next(c[0].text for c in row if c) for row in body[1:] if not _counts(row)]
    if starts and sum(t[0].islower() for t in starts) * 5 >= len(starts) * 2:
        return True
    cells = [c[0].text for row in body[1:] for c in row if c]
    return narrow and sum(t[0].islower() for t in cells) * 10 > len(cells) * 3


def _counts(row: Cells) -> bool:
    """True for a name with counts behind it ("steel disc | 6 | 7"), which no running text has."""
    counts = [text_of(c) for c in row[1:] if c]
    return bool(row[0]) and bool(counts) and all(_COUNT.fullmatch(c) for c in counts)


def _has_header(body: Sequence[Cells]) -> bool:
    """True if the first row names the columns: words without figures, or the only bold row."""
    head = [w for cell in body[0] for w in cell]
    rest = [w for row in body[1:] for cell in row for w in cell]
    bold = all(w.bold for w in head) and not all(w.bold for w in rest)
    plain = not any(_FIGURES.search(w.text) for w in head) and any(_FIGURES.search(w.text) for w in rest)
    return bold or plain


def _table(lines: Sequence[Line], body: Sequence[Cells]) -> Table:
    box = bounds(line.box for line in lines)
    made = []
    for row in body:
        within = bounds(w.box for cell in row for w in cell)
        empty = Cell("", Box(box.x0, within.top, box.x1, within.bottom))
        made.append(tuple(Cell(cell_text(c), bounds(w.box for w in c)) if c else empty for c in row))
    return Table(lines[0].sheet, box, tuple(made), False)

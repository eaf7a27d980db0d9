"""Tables of typed text: cells between bars, and rows under a header that a typed rule underlines."""

from collections.abc import Callable, Sequence
from itertools import chain
from statistics import median
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Cell, Table, Word
from benchleaf.ingest.sheets.lines import Row, cell_text, pieces
from benchleaf.ingest.sheets.words import bounds

_TWO_BLANKS = 1.5  # letter widths of free space between cells, at least
_ROOM = 1.7  # line heights of free space between two rows, at most
_PROSE = 8  # words in a first cell from which a line is running text

_NO_BLANK = 0.9  # line heights of free space that no blank line leaves
_MEASURES: tuple[Callable[[Box], float], ...] = (
    lambda box: box.x0,
    lambda box: box.x1,
    lambda box: (box.x0 + box.x1) / 2,
)

Cells = list[list[Word]]
Span = tuple[float, float]


class Underlined(NamedTuple):
    """A table under a header, and how many of the rows below its rule it takes."""

    table: Table
    rows: int


def box_table(parts: Sequence[Sequence[Row]], sheet: int, bars: str) -> Table | None:
    """The table of rows whose cells stand between bars, in the groups that rules part; None if none holds
    words.

    The lines between two rules are one row, but those that begin anew with two cells or more are rows
    themselves. Lines without figures above the first rule are one heading.
    """
    lines = list(chain.from_iterable(parts))
    wide = _letter(lines)
    walls = _walls([w.box for line in lines for w in line if w.text in bars], wide)
    counts = {sum(w.text in bars for w in line) for line in lines}
    if len(counts) == 1:  # cells that are counted need no bars above each other
        split = [[_counted(line, bars) for line in part] for part in parts]
    else:
        split = [[_between(line, walls, bars) for line in part] for part in parts]
    used = [i for i in range(len(split[0][0])) if any(cells[i] for part in split for cells in part)]
    if not used:
        return None
    split = [[[cells[i] for i in used] for cells in part] for part in split]
    headed = len(split) > 1 and not any(c.isdecimal() for line in parts[0] for w in line for c in w.text)
    body = [_merged(split[0])] if headed else []
    for part in split[1:] if headed else split:
        body.extend(_grouped(part))
    box = bounds(w.box for line in lines for w in line)
    return _table(sheet, box, body, True)


def _grouped(part: Sequence[Cells]) -> list[Cells]:
    """The rows of the lines between two rules."""
    body: list[Cells] = []
    for cells in part:
        first = cells[0][0].text if cells[0] else ""
        anew = bool(first) and not first[0].islower() and (sum(map(bool, cells)) > 1 or len(cells) == 1)
        if body and not anew:
            body[-1] = _merged([body[-1], cells])
        elif any(cells):
            body.append(cells)
    return body


def _letter(lines: Sequence[Row]) -> float:
    """The usual width of a letter in points."""
    return median((w.box.x1 - w.box.x0) / len(w.text) for line in lines for w in line)


def _walls(bars: Sequence[Box], wide: float) -> list[float]:
    """Where bars stand above each other, left to right, in points."""
    found: list[list[float]] = []
    for x in sorted((b.x0 + b.x1) / 2 for b in bars):
        if found and x - found[-1][-1] < wide:
            found[-1].append(x)
        else:
            found.append([x])
    return [sum(f) / len(f) for f in found]


def _counted(line: Row, bars: str) -> Cells:
    cells: Cells = [[]]
    for word in line:
        if word.text in bars:
            cells.append([])
        else:
            cells[-1].append(word)
    return cells


def _between(line: Row, walls: Sequence[float], bars: str) -> Cells:
    cells: Cells = [[] for _ in range(len(walls) + 1)]
    for word in line:
        if word.text not in bars:
            middle = (word.box.x0 + word.box.x1) / 2
            cells[sum(w < middle for w in walls)].append(word)
    return cells


def _merged(lines: Sequence[Cells]) -> Cells:
    return [list(chain.from_iterable(column)) for column in zip(*lines, strict=True)]


def underlined(head: Row, rule: Row, below: Sequence[tuple[Row, bool]], sheet: int) -> Underlined | None:
    """The table that a header, the rule beneath it and the rows below make, or None if they make none.

    The header's parts, two blanks or more from each other, or the rule's own parts tell the columns. The rows
    below are (words, is a rule); a closing rule is taken with the table.
    """
    wide = _letter([head])
    columns = [(p[0].box.x0, p[-1].box.x1) for p in pieces(head, _TWO_BLANKS * wide)]
    if len(rule) > 1 and all(len(w.text) > 1 for w in rule):
        columns = [(w.box.x0, w.box.x1) for w in rule]
    beneath = abs(rule[0].box.x0 - columns[0][0]) < 2.5 * wide and rule[-1].box.x1 > columns[-1][0]
    first = _placed(head, columns, wide)
    if len(columns) < 2 or not beneath or first is None:
        return None
    body, taken = _rows(below, columns, wide, rule[0].box.bottom)
    full = sum(len(pieces(row, _TWO_BLANKS * wide)) > 1 for row, is_rule in below[:taken] if not is_rule)
    fields = sum(bool(row[0]) and row[0][-1].text.endswith(":") for row in body)
    if not full or full * 2 < len(body) or fields * 2 >= len(body) or not _aligned(first, body, wide):
        return None
    words = [w for row in (first, *body) for cell in row for w in cell]
    return Underlined(_table(sheet, bounds(w.box for w in words), [first, *body], False), taken)


def _rows(
    below: Sequence[tuple[Row, bool]], columns: Sequence[Span], wide: float, bottom: float
) -> tuple[list[Cells], int]:
    """The table's rows, and how many rows of the sheet they take. A blank line ends rows that have none."""
    body: list[Cells] = []
    taken, room = 0, _ROOM
    for count, (row, is_rule) in enumerate(below, 1):
        box = bounds(w.box for w in row)
        gap = (box.top - bottom) / (box.bottom - box.top)
        if gap > room:
            break
        bottom = box.bottom
        if is_rule:
            room = _NO_BLANK if body else room
            continue
        cells = _placed(row, columns, wide)
        closed = below[count - 2][1] and bool(body) and len(pieces(row, _TWO_BLANKS * wide)) == 1
        if cells is None or closed or not _belongs(cells, body, columns, below[count:], wide):
            break
        if body and _goes_on(body[-1], cells, wide):
            body[-1] = _merged([body[-1], cells])
        else:
            room = _NO_BLANK if body and gap < _NO_BLANK else room
            body.append(cells)
        taken = count
    return body, taken


def _goes_on(above: Cells, cells: Cells, wide: float) -> bool:
    """True for one cell under a later column, and for a row whose first cell begins on the line above."""
    if not cells[0]:
        return sum(map(bool, cells)) == 1
    hung = cells[0][0].box.x0 - above[0][0].box.x0 > wide if above[0] else False
    return not any(above[1:]) and (hung or cells[0][0].text[0].islower())


def _aligned(head: Cells, body: Sequence[Cells], wide: float) -> bool:
    """True if the cells of every column mostly start, end or centre where its heading does."""
    for at, name in enumerate(head):
        boxes = [bounds(w.box for w in row[at]) for row in body if row[at]]
        if name and boxes:
            own = bounds(w.box for w in name)
            fits = [sum(abs(m(b) - m(own)) < 1.2 * wide for b in boxes) for m in _MEASURES]
            if max(fits) * 3 < 2 * len(boxes):
                return False
    return True


def _belongs(
    cells: Cells,
    body: Sequence[Cells],
    columns: Sequence[Span],
    after: Sequence[tuple[Row, bool]],
    wide: float,
) -> bool:
    """True if a line's cells go on with a table: more than a first cell, or one that rows come after."""
    if any(cells[1:]):
        return bool(cells[0]) or bool(body)
    runs_on = cells[0][-1].box.x1 > columns[1][0] or len(cells[0]) >= _PROSE
    following = next((row for row, is_rule in after if not is_rule), None)
    placed = _placed(following, columns, wide) if following is not None else None
    near = following is not None and (
        bounds(w.box for w in following).top - cells[0][0].box.bottom
        < _ROOM * (cells[0][0].box.bottom - cells[0][0].box.top)
    )
    return not runs_on and near and placed is not None and sum(map(bool, placed)) > 1


def _placed(row: Row, columns: Sequence[Span], wide: float) -> Cells | None:
    """A row's parts in their columns; None if two parts fall into one."""
    cells: Cells = [[] for _ in columns]
    for part in _cut(row, columns, wide):
        at = _column(part[0].box.x0, part[-1].box.x1, columns)
        if cells[at]:
            return None
        cells[at] = list(part)
    return cells


def _cut(row: Row, columns: Sequence[Span], wide: float) -> list[Row]:
    """A row cut at two blanks, and where a word begins just where a column does."""
    found: list[Row] = []
    for part in pieces(row, _TWO_BLANKS * wide):
        held: list[Word] = []
        for word in part:
            if held and any(abs(word.box.x0 - x0) < 0.5 * wide for x0, _ in columns[1:]):
                found.append(tuple(held))
                held = []
            held.append(word)
        found.append(tuple(held))
    return found


def _column(x0: float, x1: float, columns: Sequence[Span]) -> int:
    """The column that a part shares most width with, else the last one that begins before it."""
    shared = [min(x1, b) - max(x0, a) for a, b in columns]
    best = max(range(len(columns)), key=lambda i: shared[i])
    if shared[best] > 0:
        return best
    return max((i for i, (a, _) in enumerate(columns) if a <= x0), default=0)


def _table(sheet: int, box: Box, body: Sequence[Cells], ruled: bool) -> Table:
    made = []
    for row in body:
        within = bounds(w.box for cell in row for w in cell)
        blank = Cell("", Box(box.x0, within.top, box.x1, within.bottom))
        made.append(tuple(Cell(cell_text(c), bounds(w.box for w in c)) if c else blank for c in row))
    return Table(sheet, box, tuple(made), ruled)

"""Step tables without rules: a head such as `Step | Operation | Value` tells the columns of what is below.

They are found before columns of text, since a column of values with free space beside it looks like one.
Pages read by OCR come this way too where their rules were not seen.
"""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Cell, Table, Word
from benchleaf.ingest.sheets.figures import Block
from benchleaf.ingest.sheets.lines import Row, cell_text, is_label, pieces, rows, text_of
from benchleaf.ingest.sheets.words import bounds

_NUMBERS = re.compile(
    r"(?:step|op(?:eration)?|opn|oper|seq(?:uence)?|item|task|no|nr|#)\b\.?(?:\s(?:no|nr)\.?)?\s{0,2}$",
    re.IGNORECASE,
)
_WORK = re.compile(
    r"(?:description\sof\s)?(?:actions?|operations?|procedures?|instructions?|work(?:\sto\sbe\sdone)?|tasks?|activity|method|"
    r"what\sto\sdo)\b",
    re.IGNORECASE,
)
_PARTS = re.compile(r"\b(?:part|qty|quantity|designation|stock)\b", re.IGNORECASE)
_NOTICE = re.compile(r"(?:CAUTION|WARNING|NOTES?|DANGER|IMPORTANT)\b")
_LIKE_NUMBER = re.compile(r"[(\[]?[0-9lI|!OoSBZ]{1,3}[)\].,:]{0,2}")  # as OCR may give a number
_HEAD_WORDS = 4
_CUT = 0.9  # ems between two names in the head, at least
_STRIPE = 0.4  # ems of free space between two columns
_FAR = 4.0  # ems of free height that end a table


class Grid(NamedTuple):
    """A head's row number and the left edges of its columns after the first."""

    head: int
    edges: tuple[float, ...]


def step_tables(words: Sequence[Word], size: float, sheet: int) -> tuple[list[Block], Sequence[Word]]:
    """The step tables among words that stand in no ruled table, and the words left. `size` in points."""
    lines = rows(words)
    found: list[Block] = []
    taken: set[int] = set()
    for at, row in enumerate(lines):
        if id(row[0]) in taken or not is_head([text_of(p) for p in pieces(row, _CUT * size)]):
            continue
        body = _body(lines, at, size)
        if len(body) < 2:
            continue
        table = _table(body, _edges(body, size), sheet, size)
        if table is not None:
            held = tuple(w for line in body for w in line)
            found.append(Block(table.box, "table", held, table))
            taken.update(map(id, held))
    return found, tuple(w for w in words if id(w) not in taken) if taken else words


def is_head(names: Sequence[str]) -> bool:
    """True for the names of a step table's columns."""
    return work_column(names) is not None


def work_column(names: Sequence[str]) -> int | None:
    """Which column holds the work where the names are a step table's: a number's first, no parts list."""
    if len(names) < 2 or any(len(n.split()) > _HEAD_WORDS for n in names) or not _NUMBERS.match(names[0]):
        return None
    if any(_PARTS.search(n) for n in names):
        return None
    return next((i for i, n in enumerate(names) if i and _WORK.match(n)), None)


def _body(lines: Sequence[Row], head: int, size: float) -> list[Row]:
    """The head and the rows below it that stand in its columns."""
    names = pieces(lines[head], _CUT * size)
    first, second = names[0], names[1]
    limit = (first[-1].box.x1 + second[0].box.x0) / 2
    body = [lines[head]]
    start = second[0].box.x0
    for above, row in pairwise(lines[head:]):
        if row[0].box.top - above[0].box.bottom > _FAR * size or _ends(row, first, limit, start, size):
            break
        if is_head([text_of(p) for p in pieces(row, _CUT * size)]):
            break
        body.append(row)
    return body


def _ends(row: Row, first: Row, limit: float, start: float, size: float) -> bool:
    """True for a row that is not of the table: words that are no number below the number's name."""
    own = [w for w in row if (w.box.x0 + w.box.x1) / 2 < min(limit, start - 0.3 * size)]
    if row[0].box.x0 < first[0].box.x0 - 2 * size:
        return True
    if own and not (is_label(text_of(own)) or _LIKE_NUMBER.fullmatch(text_of(own))):
        return True
    bold = all(w.bold for w in row) and len(row) > 1
    return bold and not first[0].bold


def _edges(body: Sequence[Row], size: float) -> list[float]:
    """The middle of the free stripe before each later column, the one nearest to its name."""
    names = pieces(body[0], _CUT * size)
    ink = _merged(sorted((w.box.x0, w.box.x1) for row in body for w in row))
    found = []
    for before, name in pairwise(names):
        stripes = [
            (a[1], b[0])
            for a, b in pairwise(ink)
            if b[0] - a[1] >= _STRIPE * size and b[0] <= name[0].box.x0 + 1 and a[1] > before[0].box.x0
        ]
        found.append(sum(stripes[-1]) / 2 if stripes else name[0].box.x0 - 0.2 * size)
    return found


def _merged(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    for x0, x1 in spans:
        if found and x0 <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], x1))
        else:
            found.append((x0, x1))
    return found


def _table(body: Sequence[Row], edges: Sequence[float], sheet: int, size: float) -> Table | None:
    """The table, or None if no row below its head bears a number."""
    made = list(_rows(body, edges))
    if not any(row[0] for row in made[1:]):
        return None
    box = bounds(w.box for row in body for w in row)
    cells = tuple(tuple(_cell(c, box, row) for c in row) for row in made)
    return Table(sheet, box, cells, False)


def _cell(words: Sequence[Word], box: Box, row: Sequence[Sequence[Word]]) -> Cell:
    if words:
        return Cell(cell_text(words), bounds(w.box for w in words))
    within = bounds(w.box for cell in row for w in cell)
    return Cell("", Box(box.x0, within.top, box.x1, within.bottom))


def _rows(body: Sequence[Row], edges: Sequence[float]) -> Iterator[list[list[Word]]]:
    """Lines to rows: a line without a number goes on with the row above, unless a notice begins in it."""
    current: list[list[Word]] | None = None
    for at, line in enumerate(body):
        cells: list[list[Word]] = [[] for _ in range(len(edges) + 1)]
        for word in line:
            cells[sum((word.box.x0 + word.box.x1) / 2 > e for e in edges)].append(word)
        notice = not cells[0] and _NOTICE.match(text_of(line)) is not None
        if current is None or at == 1 or cells[0] or notice:
            if current is not None:
                yield current
            current = cells
        else:
            for held, more in zip(current, cells, strict=True):
                held.extend(more)
    if current is not None:
        yield current

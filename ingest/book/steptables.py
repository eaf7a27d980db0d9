"""Steps set as a table: its columns are headed `Step` and `Operation` or the like."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from benchleaf.graph.model import Box
from benchleaf.ingest.book.marks import read_mark
from benchleaf.ingest.shapes import Cell, LaidPage, Line, Table, Word

_NUMBERS = re.compile(
    r"(?:step|op(?:eration)?|seq(?:uence)?|item|task|no|nr|#)\b\.?(?:\s(?:no|nr)\.?)?\s{0,2}$", re.I
)
_WORK = re.compile(
    r"\b(?:actions?|operations?|procedure|instructions?|work|tasks?|activity|method|what to do)\b", re.I
)
_PARTS = re.compile(r"\b(?:part|qty|quantity|description|designation|stock)\b", re.I)
_LEAST_WORDS = 3


def with_steps(page: LaidPage) -> LaidPage:
    """The page with the rows of step tables turned into lines of text, the number first."""
    for table in page.tables:
        work = _work_column(table)
        if work is not None:
            page = _turned(page, table)
    return page


def _work_column(table: Table) -> int | None:
    """The column that holds the work, if this is a table of steps."""
    if len(table.rows) < 3 or len(table.rows[0]) < 2:
        return None
    head = [c.text.strip() for c in table.rows[0]]
    if not _NUMBERS.match(head[0]) or any(_PARTS.search(h) for h in head):
        return None
    column = next((i for i, h in enumerate(head) if i and _WORK.search(h)), None)
    if column is None:
        return None
    worded = [r for r in table.rows[1:] if len(r[column].text.split()) >= _LEAST_WORDS]
    return column if 2 * len(worded) > len(table.rows) - 1 else None


def _turned(page: LaidPage, table: Table) -> LaidPage:
    """The table's lines replaced by one line a row."""
    inside = [i for i, li in enumerate(page.lines) if _within(li.box, table.box)]
    if not inside:
        return page
    model = page.lines[inside[0]]
    made = [line for row in table.rows[1:] if (line := _line(row, model)) is not None]
    before = [li for i, li in enumerate(page.lines) if i < inside[0]]
    after = [li for i, li in enumerate(page.lines) if i > inside[0] and i not in inside]
    return replace(page, lines=(*before, *made, *after))


def _within(inner: Box, outer: Box) -> bool:
    x, y = (inner.x0 + inner.x1) / 2, (inner.top + inner.bottom) / 2
    return outer.x0 - 1 <= x <= outer.x1 + 1 and outer.top - 1 <= y <= outer.bottom + 1


def _line(row: Sequence[Cell], model: Line) -> Line | None:
    """One row as a line; a row without a number goes on with the step above."""
    filled = [c for c in row if c.text.strip()]
    if not filled:
        return None
    size = model.words[0].size
    words = tuple(_words(filled, size))
    bounds = Box(
        words[0].box.x0, min(c.box.top for c in filled), words[-1].box.x1, max(c.box.bottom for c in filled)
    )
    return replace(model, words=words, box=bounds, place="text", frame=None, gap=size)


def _words(cells: Sequence[Cell], size: float) -> Iterable[Word]:
    """The words of the cells in order, set evenly from the second cell's left edge on."""
    first, *rest = cells
    marked = read_mark(f"{first.text.strip()} ") is not None and bool(rest)
    groups = [([first], first.box.x0), (rest, rest[0].box.x0)] if marked else [(list(cells), cells[0].box.x0)]
    for group, x in groups:
        at = x
        for text in (w for c in group for w in c.text.split()):
            width = 0.5 * size * len(text)
            yield Word(text, Box(at, group[0].box.top, at + width, group[0].box.top + size), size)
            at += width + 0.3 * size

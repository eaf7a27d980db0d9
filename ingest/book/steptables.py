"""Steps set as a table: its columns are headed `Step` and `Operation` or the like."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from benchleaf.graph.model import Box
from benchleaf.ingest.book.marks import read_mark
from benchleaf.ingest.shapes import Cell, LaidPage, Line, Table, Word
from benchleaf.ingest.sheets.stepgrid import work_column

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
    head = [c.text.strip() for c in table.rows[0]] if len(table.rows) > 1 else []
    column = work_column(head)
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

"""Workbooks to sheets and to lists, by openpyxl: values as the cells show them."""

import csv
import io
from collections.abc import Iterator, Sequence

from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.papers.blocks import Block, Grid, NewSheet, Para, Piece, Reading, squared
from benchleaf.ingest.papers.setting import set_pages
from benchleaf.ingest.papers.workcells import Sheet, Shown, held
from benchleaf.ingest.shapes import Page

_SAMPLE = 65_536  # letters in which the heads of a list are looked for
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_PROSE = 6  # words in a row's only cell from which it is running text within a table

_Row = tuple[int, tuple[Shown, ...]]


def read_workbook(data: bytes) -> tuple[Page, ...]:
    """The worksheets that show, each a sheet: rows of several cells as tables, lone cells as paragraphs.

    Raises RefusedFile if openpyxl is missing, or the file is damaged, locked, too large or blank.
    """
    return workbook_reading(data).pages


def workbook_reading(data: bytes) -> Reading:
    """The worksheets, and what is to be said of their reading. Raises what read_workbook raises."""
    found = held(data)
    blocks: list[Block] = []
    for at, sheet in enumerate(found.sheets):
        blocks.extend([NewSheet()] if at else [])
        blocks.extend(_blocks(sheet))
    if not any(not isinstance(b, NewSheet) for b in blocks):
        raise RefusedFile("the workbook shows no text", "Show its hidden sheets, or save it as PDF.")
    return Reading(set_pages(blocks), found.said)


def workbook_lists(data: bytes) -> tuple[tuple[str, bytes], ...]:
    """Each worksheet that shows and holds something, as its title and CSV bytes (UTF-8, commas).

    Raises what read_workbook raises.
    """
    return tuple((sheet.title, _csv(sheet)) for sheet in held(data).sheets if sheet.rows)


def _csv(sheet: Sheet) -> bytes:
    text = _written(sheet, ())
    if any(cell.day for _, row in sheet.rows for cell in row):
        from benchleaf.ingest.lists.lists import form_of

        form = form_of(text[:_SAMPLE])
        numbers = (*form.columns["old"], *form.columns["new"]) if form is not None else ()
        text = _written(sheet, numbers) if numbers else text
    return text.encode("utf-8")


def _written(sheet: Sheet, numbers: Sequence[int]) -> str:
    """The rows as CSV. In columns of part `numbers` a date is written as a spreadsheet shows one that it made
    of a number, `7-May-2003`, so that the reader of lists doubts it."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    wide = max(len(row) for _, row in sheet.rows)
    for _, row in sheet.rows:
        cells = [
            f"{cell.day.day}-{_MONTHS[cell.day.month - 1]}-{cell.day.year}"
            if cell.day is not None and at in numbers
            else cell.text
            for at, cell in enumerate(row)
        ]
        writer.writerow([*cells, *[""] * (wide - len(row))])
    return out.getvalue()


def _blocks(sheet: Sheet) -> Iterator[Block]:
    """The blocks of a worksheet: a blank row parts them."""
    run: list[_Row] = []
    for row in sheet.rows:
        if run and row[0] > run[-1][0] + 1:
            yield from _region([cells for _, cells in run])
            run = []
        run.append(row)
    yield from _region([cells for _, cells in run])


def _region(rows: Sequence[tuple[Shown, ...]]) -> Iterator[Block]:
    """Rows without a blank one among them: lone cells above, below, or of running text are paragraphs."""
    table: list[tuple[Shown, ...]] = []
    waiting: list[tuple[Shown, ...]] = []
    for row in rows:
        full = [cell for cell in row if cell.text]
        if len(full) > 1:
            table.extend([*waiting, row])
            waiting = []
        elif table and len(full[0].text.split()) < _PROSE:
            waiting.append(row)
        else:
            yield from _grid(table)
            yield from _paragraphs([*waiting, row])
            table, waiting = [], []
    yield from _grid(table)
    yield from _paragraphs(waiting)


def _grid(rows: Sequence[tuple[Shown, ...]]) -> Iterator[Block]:
    if rows:
        yield Grid(squared([[(Piece(c.text, c.bold),) if c.text else () for c in row] for row in rows]))


def _paragraphs(rows: Sequence[tuple[Shown, ...]]) -> Iterator[Block]:
    for row in rows:
        yield Para(tuple(Piece(cell.text, cell.bold) for cell in row if cell.text))

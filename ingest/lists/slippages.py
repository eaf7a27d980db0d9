"""The tables of a packing slip on pages: typed, or read by OCR from a photo or scan, with what it was unsure
of."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.standing import SURE_OCR
from benchleaf.ingest.lists.slipcolumns import Row
from benchleaf.ingest.shapes import Cell, LaidPage, Word


@dataclass(frozen=True, slots=True)
class SlipTable:
    """Rows as text; `unsure` are the places (row, column) of cells that OCR was not sure of."""

    rows: tuple[Row, ...]
    unsure: frozenset[tuple[int, int]] = frozenset()
    by_ocr: bool = False


@dataclass(frozen=True, slots=True)
class SlipPages:
    """The tables of all pages, and what was not read of them, in plain words."""

    tables: tuple[SlipTable, ...]
    told: tuple[str, ...] = ()


def page_tables(data: bytes, name: str) -> SlipPages:
    """The tables on the pages of a file of any kind.

    Raises RefusedFile, with the remedy, for a file that cannot be read, and for a picture where nothing that
    reads pictures is installed.
    """
    from benchleaf.ingest.add import engine_chosen
    from benchleaf.ingest.scans import with_scans
    from benchleaf.ingest.sheets.layout import lay_out
    from benchleaf.ingest.sheets.pages import read_pages

    pages, _, findings = with_scans(data, read_pages(data, name), name, (), engine_chosen())
    laid = lay_out(pages)
    tables = tuple(_table(page, [list(row) for row in table.rows]) for page in laid for table in page.tables)
    return SlipPages(tables, tuple(f.message for f in findings))


def _table(page: LaidPage, rows: Sequence[Sequence[Cell]]) -> SlipTable:
    text = tuple([cell.text for cell in row] for row in rows)
    if not page.by_ocr:
        return SlipTable(text)
    words = [w for line in (*page.heads, *page.lines, *page.feet) for w in line.words]
    unsure = frozenset(
        (i, j)
        for i, row in enumerate(rows)
        for j, cell in enumerate(row)
        if cell.text and not _sure(cell, words)
    )
    return SlipTable(text, unsure, by_ocr=True)


def _sure(cell: Cell, words: Iterable[Word]) -> bool:
    """True if every word of the cell was read above the bar; a cell whose words are not found is not sure."""
    inside = [w for w in words if _within(w, cell)]
    bearing = [w for w in inside if any(c.isdigit() for c in w.text)] or inside
    return bool(bearing) and all(w.confidence >= SURE_OCR for w in bearing)


def _within(word: Word, cell: Cell) -> bool:
    x, y = (word.box.x0 + word.box.x1) / 2, (word.box.top + word.box.bottom) / 2
    box = cell.box
    return box.x0 - 1 <= x <= box.x1 + 1 and box.top - 1 <= y <= box.bottom + 1

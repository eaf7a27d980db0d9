"""Ruled tables: drawn grids with words in their cells."""

import re
from collections.abc import Sequence

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Cell, Table, Word
from benchleaf.ingest.sheets.grid import Grid, touching
from benchleaf.ingest.sheets.lines import cell_text, within

_BORDER = 0.7  # share of the sheet from which a lone rectangle is its border
_NOTICES = 2  # lone rectangles on a sheet that frame notices, at most
_COVERED = 0.95  # share of a table that pdfplumber's cells must cover
_NOTICE = re.compile(r"[A-ZÀ-Ý!⚠ ]{4,24}:?")


def ruled(sheet: int, words: Sequence[Word], drawn: Sequence[Grid]) -> tuple[Table, ...]:
    """The ruled tables of a sheet: drawn grids of at least two cells with words in two of them or more.

    A cell that spans several places has its text in the first of them. A framed notice (one cell, or a signal
    word beside or above one cell of text) is no table.
    """
    found = (_ruled(sheet, words, grid) for grid in drawn if len(grid.cells) > 1 and grid.regular)
    return tuple(t for t in found if t is not None)


def framed_words(words: Sequence[Word], drawn: Sequence[Grid], area: float) -> bool:
    """True if a drawn grid or box holds words: one that may be a table or a figure, and no sheet's border.

    `area` is the sheet's, in square points. One or two lone boxes frame notices: no second reader is needed.
    """
    if len(drawn) <= _NOTICES and all(len(grid.cells) == 1 for grid in drawn):
        return False
    for grid in drawn:
        border = len(grid.cells) == 1 and _area(grid.box) > _BORDER * area
        if not border and any(within(w.box, grid.box) for w in words):
            return True
    return False


def merged(plumbed: Sequence[Table], own: Sequence[Table], drawn: Sequence[Grid]) -> tuple[Table, ...]:
    """The tables of two readings of one sheet: pdfplumber's, and pdfium's where the other finds less.

    pdfplumber leaves out the cells of a side that is not drawn. What it sees in a grid that pdfium's reading
    takes for a drawing or a notice is no table.
    """
    found: list[Table] = []
    for table in own:
        same = [t for t in plumbed if within(t.box, table.box)]
        enough = sum(_area(t.box) for t in same) > _COVERED * _area(table.box)
        found.extend(same if enough else [table])
    found.extend(t for t in plumbed if not any(touching(t.box, g.box, 0.0) for g in drawn))
    return tuple(sorted(found, key=lambda t: (t.box.top, t.box.x0)))


def _area(box: Box) -> float:
    return (box.x1 - box.x0) * (box.bottom - box.top)


def _ruled(sheet: int, words: Sequence[Word], grid: Grid) -> Table | None:
    inside = [w for w in words if within(w.box, grid.box)]
    if len(inside) < 2:
        return None
    cells = [[Cell("", grid.box)] * grid.across for _ in range(grid.down)]
    full = 0
    for down, across, box in grid.cells:
        held = [w for w in inside if within(w.box, box, 0.0)]
        cells[down][across] = Cell(cell_text(held), box)
        full += bool(held)
    table = Table(sheet, grid.box, _filled(cells), True)
    if full < 2 or full * 3 < len(grid.cells) or _is_notice(table):
        return None
    return table


def _filled(cells: Sequence[Sequence[Cell]]) -> tuple[tuple[Cell, ...], ...]:
    """Rows without those, and columns without those, that hold nothing at all."""
    kept = [row for row in cells if any(c.text for c in row)]
    used = [i for i in range(len(cells[0])) if any(row[i].text for row in kept)]
    return tuple(tuple(row[i] for i in used) for row in kept)


def _is_notice(table: Table) -> bool:
    texts = [c.text for row in table.rows for c in row]
    return len(texts) == 2 and _NOTICE.fullmatch(texts[0]) is not None and len(texts[1]) > len(texts[0])

"""Layout: words on sheets to lines in reading order, running heads and page numbers taken off."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from benchleaf.ingest.columns import Area, columns
from benchleaf.ingest.figures import Block, blocks
from benchleaf.ingest.lines import line_of, rows
from benchleaf.ingest.runningheads import Furniture, furniture
from benchleaf.ingest.shapes import LaidPage, Line, Page, Table, Word
from benchleaf.ingest.tables import aligned

_TOP_GAP = 1000.0


def lay_out(pages: Sequence[Page]) -> tuple[LaidPage, ...]:
    """The sheets in reading order: columns, lines, tables, frames, figures, running heads and page numbers.

    Call it with all sheets of one document, since heads and page numbers show by their repetition.
    """
    return tuple(_laid(page, extra) for page, extra in zip(pages, furniture(pages), strict=True))


def _laid(page: Page, extra: Furniture) -> LaidPage:
    gone = {id(w) for row in (*extra.heads, *extra.feet) for w in row}
    words = [w for w in page.words if id(w) not in gone]
    held, free = blocks(page, words)
    lines: list[Line] = []
    tables: list[Table] = list(page.tables)
    for column, area in enumerate(columns(free, held)):
        found, made = _column(area, column, page.sheet)
        lines.extend(found)
        tables.extend(made)
    return LaidPage(
        sheet=page.sheet,
        width=page.width,
        height=page.height,
        lines=tuple(lines),
        folio=extra.folio,
        heads=tuple(line_of(r, page.sheet) for r in extra.heads),
        feet=tuple(line_of(r, page.sheet) for r in extra.feet),
        tables=tuple(sorted(tables, key=lambda t: (t.box.top, t.box.x0))),
        by_ocr=page.by_ocr,
        picture=not page.words and bool(page.images),
    )


def _column(area: Area, column: int, sheet: int) -> tuple[list[Line], list[Table]]:
    """The lines of one column from top to bottom, blocks at their place, and the aligned tables found."""
    text = [line_of(row, sheet) for row in rows(area.words)]
    parts = [(line.box.top, [line]) for line in text]
    parts += [(b.box.top, list(_block_lines(b, sheet))) for b in area.blocks]
    ordered = [line for _, lines in sorted(parts, key=lambda p: p[0]) for line in lines]
    found = aligned(ordered)
    for one in found:
        for index in range(one.first, one.after):
            ordered[index] = replace(ordered[index], place="table")
    return list(_gapped(ordered, column)), [one.table for one in found]


def _block_lines(block: Block, sheet: int) -> Iterator[Line]:
    for row in rows(block.words):
        frame = block.box if block.place == "frame" else None
        yield replace(line_of(row, sheet), place=block.place, frame=frame)


def _gapped(lines: Iterable[Line], column: int) -> Iterator[Line]:
    bottom: float | None = None
    for line in lines:
        gap = _TOP_GAP if bottom is None else line.box.top - bottom
        yield replace(line, column=column, gap=gap)
        bottom = line.box.bottom


def words_of(lines: Iterable[Line]) -> list[Word]:
    """Every word of the lines in their order."""
    return [w for line in lines for w in line.words]

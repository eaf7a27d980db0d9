"""Layout: words on sheets to lines in reading order, running heads and page numbers taken off."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import LaidPage, Line, Page, Table, Word
from benchleaf.ingest.sheets.changebars import unbarred
from benchleaf.ingest.sheets.columns import Area, columns
from benchleaf.ingest.sheets.figures import Block, blocks, set_upright
from benchleaf.ingest.sheets.lines import line_of, rows, usual_size
from benchleaf.ingest.sheets.pressed import pressed, pressed_laid
from benchleaf.ingest.sheets.runningheads import Furniture, furniture
from benchleaf.ingest.sheets.steady import steadied
from benchleaf.ingest.sheets.stepgrid import step_tables
from benchleaf.ingest.sheets.tables import Aligned, aligned
from benchleaf.ingest.sheets.typedrules import untyped

_TOP_GAP = 1000.0  # the free height told above a column's first line
_CELL_WORDS = 5  # words in a cell of a table over the sheet's width, at most


def lay_out(pages: Sequence[Page]) -> tuple[LaidPage, ...]:
    """The sheets in reading order: columns, lines, tables, frames, figures, running heads and page numbers.

    Call it with all sheets of one document, since heads and page numbers show by their repetition.
    """
    clear: list[Page] = []
    bars: list[tuple[Box, ...]] = []
    for at, page in enumerate(pages):
        plain = untyped(steadied(page))
        clear.append(pressed(unbarred(plain.page), at))
        bars.append(plain.bars)
    laid = map(_laid, clear, bars, furniture(clear))
    return tuple(pressed_laid(page, at) for at, page in enumerate(laid))


def _laid(page: Page, bars: Sequence[Box], extra: Furniture) -> LaidPage:
    every = page.words
    gone = {id(every[at]) for at in extra.places}
    aside = [w for w in set_upright(every) if id(w) not in gone]
    gone.update(map(id, aside))
    words = tuple(w for w in every if id(w) not in gone) if gone else every
    held, free = blocks(page, words)
    steps, free = step_tables(free, usual_size(free), page.sheet)
    across = _Across(free, [line_of(row, page.sheet) for row in rows(free)], bars)
    wide, free = _wide_tables(across, page.sheet)
    held += [*steps, *wide]
    lines: list[Line] = []
    tables: list[Table] = [b.table for b in held if b.table is not None]
    for column, area in enumerate(columns(free, held)):
        found, made = _column(area, across, column, page.sheet)
        lines.extend(found)
        tables.extend(made)
    lines.extend(replace(line_of([w], page.sheet), place="figure", gap=_TOP_GAP) for w in aside)
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
        picture=not every and bool(page.images),
    )


class _Across:
    """A sheet's words as lines over its whole width, with the tables that these make."""

    def __init__(self, words: Sequence[Word], lines: Sequence[Line], bars: Sequence[Box]) -> None:
        self.words, self.lines, self.bars = words, lines, bars
        self.tables = aligned(lines, bars)

    def lines_of(self, area: Area, sheet: int) -> Sequence[Line]:
        """The lines of one column's words."""
        return self.lines if area.words is self.words else [line_of(row, sheet) for row in rows(area.words)]

    def tables_of(self, area: Area, lines: Sequence[Line]) -> tuple[Aligned, ...]:
        """The tables that the lines of one column make: found already if that is the whole sheet."""
        whole = area.words is self.words and not area.blocks
        return self.tables if whole else aligned(lines, self.bars)


def _wide_tables(across: _Across, sheet: int) -> tuple[list[Block], Sequence[Word]]:
    """Aligned tables of short cells over the sheet's width, found before columns, which they resemble."""
    found: list[Block] = []
    taken: set[int] = set()
    for one in across.tables:
        if not (_short(one.table) and _alone(across.lines, one.first, one.after)):
            continue
        held = tuple(w for line in across.lines[one.first : one.after] for w in line.words)
        found.append(Block(one.table.box, "table", held, one.table))
        taken.update(map(id, held))
    return found, tuple(w for w in across.words if id(w) not in taken) if taken else across.words


def _short(table: Table) -> bool:
    """True if no cell reads like a line of running text."""
    cells = [c.text for row in table.rows for c in row]
    return len(table.rows) > 2 and all(len(text.split()) <= _CELL_WORDS for text in cells)


def _alone(lines: Sequence[Line], first: int, after: int) -> bool:
    """True if more free height parts a table from the lines around it than its own rows from each other."""
    own = max(
        b.box.top - a.box.bottom for a, b in zip(lines[first:after], lines[first + 1 : after], strict=False)
    )
    least = max(own, 0.0) + 0.4 * lines[first].size
    above = first == 0 or lines[first].box.top - lines[first - 1].box.bottom > least
    below = after == len(lines) or lines[after].box.top - lines[after - 1].box.bottom > least
    return above and below


def _column(area: Area, across: _Across, column: int, sheet: int) -> tuple[list[Line], list[Table]]:
    """The lines of one column from top to bottom, blocks at their place, and the aligned tables found."""
    parts = [(line.box.top, [line]) for line in across.lines_of(area, sheet)]
    parts += [(b.box.top, list(_block_lines(b, sheet))) for b in area.blocks]
    ordered = [line for _, lines in sorted(parts, key=lambda p: p[0]) for line in lines]
    found = across.tables_of(area, ordered)
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
        yield Line(line.words, line.box, line.sheet, column, gap, line.place, line.frame)
        bottom = line.box.bottom

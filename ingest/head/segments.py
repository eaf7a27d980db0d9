"""The head of a note as rows of segments: pieces of a line that stand apart, or cells of a table."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import LaidPage, Line, Table, Word

BARS = " |│┃║"
"""Blanks and the sides of boxes drawn with characters."""

_DRAWN = re.compile(r"[+=_|─-╿-]{3,}|[*#~]{3,}|[.·…]{4,}")
"""A word of rule marks alone, `+-------+`, `=====`, or the dots that lead from a label to its value."""

_APART = 1.6  # blanks wider than this many type sizes part a line


@dataclass(frozen=True, slots=True)
class Segment:
    """Words that stand together. `line` is the index of their line on the page, None for a cell or a running
    head; `table` is the index of the table that the cell is from."""

    words: tuple[Word, ...]
    box: Box
    text: str
    line: int | None = None
    table: int | None = None

    @property
    def size(self) -> float:
        """The largest type size, in points."""
        return max((w.size for w in self.words), default=10.0)

    @property
    def bold(self) -> bool:
        """True if every word is bold."""
        return bool(self.words) and all(w.bold for w in self.words)

    def words_in(self, start: int, end: int) -> tuple[Word, ...]:
        """The words that lie in a span of the text."""
        found: list[Word] = []
        at = 0
        for word in self.words:
            if at < end and at + len(word.text) > start:
                found.append(word)
            at += len(word.text) + 1
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Row:
    """Segments at one height, left to right."""

    segments: tuple[Segment, ...]

    @property
    def top(self) -> float:
        """The upper edge of its highest segment, in points."""
        return min(s.box.top for s in self.segments)


def segments_of(line: Line, index: int | None) -> tuple[Segment, ...]:
    """A line cut where its blanks are wide."""
    groups: list[list[Word]] = []
    for word in line.words:
        if _is_bar(word):
            groups.append([])  # a box drawn with characters: its bars part cells
            continue
        apart = groups and groups[-1] and word.box.x0 - groups[-1][-1].box.x1 > _APART * (word.size or 10.0)
        if not groups or apart:
            groups.append([])
        groups[-1].append(word)
    return tuple(_segment(g, index, None) for g in groups if g)


def _is_bar(word: Word) -> bool:
    """True for the sides of a box drawn with characters."""
    return not word.text.strip(BARS) or _DRAWN.fullmatch(word.text) is not None


def cells_of(table: Table, index: int, words: Sequence[Word]) -> tuple[tuple[Segment, ...], ...]:
    """A table's rows as segments, each cell with the words that lie in it."""
    rows = []
    for row in table.rows:
        cells: list[Segment] = []
        for cell in row:
            if not cell.text.strip():
                continue
            own = tuple(w for w in words if _inside(w.box, cell.box) and not _is_bar(w))
            if not cell.text.strip(BARS):
                continue
            if cells and own and _runs_over(cells[-1].words, own):
                cells[-1] = _over(cells[-1], own, cell.box)
            else:
                cells.append(Segment(own, cell.box, cell.text.strip(BARS), None, index))
        rows.append(tuple(cells))
    return tuple(rows)


def _runs_over(left: Sequence[Word], right: Sequence[Word]) -> bool:
    """True if one line of words runs through a cell's edge, as where empty cells share one entry."""
    if not left:
        return False
    end, start = left[-1], right[0]
    level = abs(end.box.top - start.box.top) < 2.0 and abs(end.box.bottom - start.box.bottom) < 2.0
    return level and -1.0 < start.box.x0 - end.box.x1 < 0.45 * (end.size or 10.0)


def _over(cell: Segment, more: tuple[Word, ...], box: Box) -> Segment:
    joined = Box(cell.box.x0, cell.box.top, box.x1, max(cell.box.bottom, box.bottom))
    words = (*cell.words, *more)
    return Segment(words, joined, " ".join(w.text for w in words), None, cell.table)


def rows_of(page: LaidPage, header_tables: Iterable[int]) -> tuple[Row, ...]:
    """The page's rows from the top: running heads, lines outside tables, cells of the header tables."""
    words = [w for line in page.lines for w in line.words]
    cells = [c for i in header_tables for row in cells_of(page.tables[i], i, words) for c in row]
    loose = [s for line in page.heads for s in segments_of(line, None)]
    for index, line in enumerate(page.lines):
        if line.place != "figure" and not any(_inside(line.box, t.box) for t in page.tables):
            loose += segments_of(line, index)
    return grouped([*cells, *loose])


def grouped(segments: Iterable[Segment]) -> tuple[Row, ...]:
    """Segments put into rows by their height."""
    rows: list[list[Segment]] = []
    for segment in sorted(segments, key=lambda s: (_middle(s), s.box.x0)):
        if rows and _level(rows[-1][0], segment):
            rows[-1].append(segment)
        else:
            rows.append([segment])
    return tuple(Row(tuple(sorted(r, key=lambda s: s.box.x0))) for r in rows)


def _level(first: Segment, other: Segment) -> bool:
    if first.table is not None and first.table == other.table:
        return abs(first.box.top - other.box.top) < 3.0
    return abs(_middle(first) - _middle(other)) < 0.45 * max(min(first.size, other.size), 5.0)


def _middle(segment: Segment) -> float:
    return (segment.box.top + segment.box.bottom) / 2


def _segment(words: Sequence[Word], line: int | None, table: int | None) -> Segment:
    box = Box(
        min(w.box.x0 for w in words),
        min(w.box.top for w in words),
        max(w.box.x1 for w in words),
        max(w.box.bottom for w in words),
    )
    return Segment(tuple(words), box, " ".join(w.text for w in words), line, table)


def _inside(inner: Box, outer: Box) -> bool:
    x, y = (inner.x0 + inner.x1) / 2, (inner.top + inner.bottom) / 2
    return outer.x0 - 1 <= x <= outer.x1 + 1 and outer.top - 1 <= y <= outer.bottom + 1

"""Setting blocks on sheets: every paragraph one line, every word a box, as the layout step wants them.

Lines are broken only where the file breaks them. A sheet is as wide and as high as its text needs, so that
nothing must be wrapped, and a paragraph can be neither parted nor joined to the next by a guess.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.papers.blocks import Block, Grid, NewSheet, Para, Piece, Text, words_of
from benchleaf.ingest.shapes import Cell, Page, Table, Word
from benchleaf.ingest.sheets.words import bounds, clean

_MARGIN, _EDGE = 60.0, 24.0  # points: body from the sheet's edge, running heads and feet from it
_CLEAR = 20.0  # points of free height between a running head and the body
_LETTER, _BLANK, _TYPED = 0.5, 0.28, 0.6  # ems: a letter and a blank of book type, both on a typewriter
_STOP, _LEAST = 54.0, 1.8  # points between tab stops, ems of a tab at least
_LEADING, _APART, _NEAR = 1.2, 1.9, 0.3  # ems: line to line, free height between blocks and between tab lines
_PAD, _COLUMN = 4.0, 24.0  # points around a cell's words, and the least width of a column
_TOKENS = re.compile(r"\n|\t|[^\S\n\t]+|[^\s]+")


class _Set(NamedTuple):
    """Words set from a place on, their reach to the right and where they end."""

    words: tuple[Word, ...]
    x1: float
    bottom: float


class _Sheet:
    """One sheet in the making."""

    def __init__(self, number: int, running: "Running") -> None:
        self.number = number
        heads = _set(running.heads, _MARGIN, _EDGE, False)
        self.words: list[Word] = list(heads.words)
        self.tables: list[Table] = []
        self.frames: list[Box] = []
        self.bottom = max(_MARGIN, heads.bottom + _CLEAR)
        self.x1 = heads.x1
        self._feet = running.feet
        self._above: Block | None = None

    def add(self, block: Para | Grid) -> None:
        """Set one block under what is there."""
        if isinstance(block, Para):
            self._paragraph(block)
        elif block.rows:
            self._grid(block)
        self._above = block

    def _paragraph(self, block: Para) -> None:
        top = self.bottom + self._room(block)
        done = _set(_labelled(block), _MARGIN, top, block.typed)
        self._take(done)
        if block.framed and done.words:
            box = bounds(w.box for w in done.words)
            self.frames.append(Box(box.x0 - _PAD, box.top - _PAD, box.x1 + _PAD, box.bottom + _PAD))

    def _room(self, block: Para) -> float:
        above = self._above
        if above is None:
            return 0.0
        size = max((p.size for p in block.pieces), default=10.0)
        if isinstance(above, Para):
            if _tabbed(above) and _tabbed(block):
                return _NEAR * size
            size = max(size, *(p.size for p in above.pieces), 0.0)
        return _APART * size

    def _take(self, done: _Set) -> None:
        self.words.extend(done.words)
        self.bottom, self.x1 = done.bottom, max(self.x1, done.x1)

    def _grid(self, block: Grid) -> None:
        top = self.bottom + (_APART * 10 if self._above is not None else 0.0)
        edges = _edges(block)
        rows: list[tuple[Cell, ...]] = []
        for row in block.rows:
            cells = [_set(c, x + _PAD, top + _PAD, False) for c, x in zip(row, edges, strict=False)]
            low = max((c.bottom for c in cells if c.words), default=top + _PAD) + _PAD
            boxes = [Box(a, top, b, low) for a, b in pairwise(edges)]
            rows.append(tuple(Cell(_cell(t), box) for t, box in zip(row, boxes, strict=True)))
            self.words.extend(w for c in cells for w in c.words)
            top = low
        box = Box(edges[0], rows[0][0].box.top, edges[-1], top)
        self.tables.append(Table(self.number, box, tuple(rows), True))
        self.bottom, self.x1 = top, max(self.x1, edges[-1])

    def page(self) -> Page:
        """The sheet with its running foot."""
        deep = _set(self._feet, _MARGIN, 0.0, False).bottom if self._feet else 0.0
        height = max(842.0, self.bottom + _MARGIN + deep)
        feet = _set(self._feet, _MARGIN, height - _EDGE - deep, False)
        return Page(
            sheet=self.number,
            width=max(595.0, self.x1 + _MARGIN, feet.x1 + _MARGIN),
            height=height,
            words=(*self.words, *feet.words),
            frames=tuple(self.frames),
            tables=tuple(self.tables),
        )


class Running(NamedTuple):
    """The running head and foot of one sheet; line feeds part their lines."""

    heads: Text = ()
    feet: Text = ()


def set_pages(blocks: Iterable[Block], running: Sequence[Running] = ()) -> tuple[Page, ...]:
    """The sheets of a paper. `running` holds the heads and feet, sheet by sheet; the last goes on.

    A sheet on which nothing stands is kept blank, so that sheets are counted as the file counts them.
    """
    lines = running or (Running(),)
    sheets = [_Sheet(1, lines[0])]
    for block in blocks:
        if isinstance(block, NewSheet):
            sheets.append(_Sheet(len(sheets) + 1, lines[min(len(sheets), len(lines) - 1)]))
        else:
            sheets[-1].add(block)
    return tuple(sheet.page() for sheet in sheets)


def _labelled(block: Para) -> Text:
    if not block.label:
        return block.pieces
    size = block.pieces[0].size if block.pieces else 10.0
    bold = all(p.bold for p in block.pieces if p.text.strip())
    return (Piece(f"{block.label} ", bold, size), *block.pieces)


def _tabbed(block: Para) -> bool:
    return any("\t" in p.text.strip() for p in block.pieces) and not block.typed


def _cell(text: Text) -> str:
    return " ".join(c for part in words_of(text).split() if (c := clean(part)))


def _edges(block: Grid) -> list[float]:
    """Where the columns of a table begin and the last one ends, in points."""
    edges = [_MARGIN]
    for column in zip(*block.rows, strict=True):
        wide = max(_set(t, 0.0, 0.0, False).x1 for t in column)
        edges.append(edges[-1] + max(wide, _COLUMN) + 2 * _PAD)
    return edges


class _Open:
    """A word in the making: pieces may change dress within it."""

    def __init__(self) -> None:
        self.parts: list[Piece] = []
        self.x0 = 0.0

    def word(self, x1: float, base: float) -> Word | None:
        """The word, standing on a base line, or None if no letter of it can be shown."""
        text = clean("".join(p.text for p in self.parts))
        size = max(p.size for p in self.parts)
        if not text:
            return None
        return Word(text, Box(self.x0, base - size, x1, base), size, all(p.bold for p in self.parts))


def _set(text: Text, x: float, top: float, typed: bool) -> _Set:
    """Words set line by line from a place on."""
    words: list[Word] = []
    reach = x
    for line in _lines(text):
        size = max((p.size for p in line if p.text.strip()), default=10.0)
        found = list(_line(line, x, top + size, typed))
        words.extend(found)
        reach = max([reach, *(w.box.x1 for w in found)])
        top += _LEADING * size
    return _Set(tuple(words), reach, max((w.box.bottom for w in words), default=top))


def _lines(text: Text) -> Iterator[list[Piece]]:
    line: list[Piece] = []
    for piece in text:
        first, *more = piece.text.split("\n")
        line.append(piece._replace(text=first))
        for part in more:
            yield line
            line = [piece._replace(text=part)]
    if any(p.text.strip() for p in line):
        yield line


def _line(line: Sequence[Piece], x: float, base: float, typed: bool) -> Iterator[Word]:
    start, held = x, _Open()
    for piece in line:
        for token in _TOKENS.findall(piece.text):
            if token.isspace():
                if held.parts and (word := held.word(x, base)):
                    yield word
                held = _Open()
                x = _over(token, x, start, piece.size, typed)
                continue
            if not held.parts:
                held.x0 = x
            held.parts.append(piece._replace(text=token))
            x += (_TYPED if typed else _LETTER) * piece.size * len(token)
    if held.parts and (word := held.word(x, base)):
        yield word


def _over(token: str, x: float, start: float, size: float, typed: bool) -> float:
    """Where words go on after blanks or a tab."""
    if typed:
        blanks = 8 - round((x - start) / (_TYPED * size)) % 8 if token == "\t" else len(token)
        return x + _TYPED * size * blanks
    if token != "\t":
        return x + _BLANK * size
    least = x + _LEAST * size
    return start + _STOP * -(-(least - start) // _STOP)

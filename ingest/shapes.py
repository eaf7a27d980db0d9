"""Shapes between the reading steps: words on pages, lines in reading order, paragraphs and tables."""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple

from benchleaf.graph.model import Applies, Box, Finding, NoteSource

Place = Literal["text", "table", "figure", "frame"]


class Word(NamedTuple):
    """One word: box (points, top left origin), font size in points, weight, reading confidence 0 to 1."""

    text: str
    box: Box
    size: float = 10.0
    bold: bool = False
    confidence: float = 1.0


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a table: its text (lines joined by blanks) and its box."""

    text: str
    box: Box


@dataclass(frozen=True, slots=True)
class Table:
    """A table, ruled or only aligned: rows of equal length; a blank cell has text ""."""

    sheet: int
    box: Box
    rows: tuple[tuple[Cell, ...], ...]
    ruled: bool


@dataclass(frozen=True, slots=True)
class Page:
    """One sheet as a reader delivers it: words in no promised order, strokes, frames, ruled tables.

    `frames` are rectangles drawn on the sheet, `strokes` straight lines (boxes of no width or no height),
    `curves` the boxes of other drawn shapes, `images` the boxes of bitmaps. A page with neither words nor
    strokes is blank; one with no words but an image is a picture that needs OCR.
    """

    sheet: int
    width: float
    height: float
    words: tuple[Word, ...]
    strokes: tuple[Box, ...] = ()
    frames: tuple[Box, ...] = ()
    curves: tuple[Box, ...] = ()
    images: tuple[Box, ...] = ()
    tables: tuple[Table, ...] = ()
    by_ocr: bool = False


@dataclass(frozen=True)
class Line:
    """Words of one line within one column, left to right. `gap` is the free height above it in its column, in
    points (a large number at a column's top). `place` says whether it stands in running text, inside a table,
    inside a figure, or inside a drawn frame around text (a notice box); `frame` is that frame's box."""

    words: tuple[Word, ...]
    box: Box
    sheet: int
    column: int = 0
    gap: float = 0.0
    place: Place = "text"
    frame: Box | None = None

    @cached_property
    def text(self) -> str:
        """The words joined by single blanks."""
        return " ".join(w.text for w in self.words)

    @cached_property
    def size(self) -> float:
        """The largest font size of its words, in points."""
        return max((w.size for w in self.words), default=0.0)

    @cached_property
    def bold(self) -> bool:
        """True if every word is bold."""
        return all(w.bold for w in self.words)


@dataclass(frozen=True, slots=True)
class LaidPage:
    """One sheet in reading order, its running head and foot taken off, its printed page number found.

    `lines` hold every remaining line, also those inside tables and figures (see `Line.place`).
    """

    sheet: int
    width: float
    height: float
    lines: tuple[Line, ...]
    folio: str | None = None
    heads: tuple[Line, ...] = ()
    feet: tuple[Line, ...] = ()
    tables: tuple[Table, ...] = ()
    by_ocr: bool = False
    picture: bool = False


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Lines that belong together; `text` has the lines joined and hyphenated line ends mended."""

    text: str
    box: Box
    sheet: int
    folio: str | None = None
    bold: bool = False
    size: float = 0.0
    by_ocr: bool = False
    confidence: float = 1.0


@dataclass(frozen=True, slots=True)
class Header:
    """The fields at a note's head, and its body: paragraphs and tables in reading order.

    `unclear` holds doubts in plain words (an ambiguous date, a bound that may be exclusive).
    """

    number: str | None
    date: dt.date | None
    subject: str | None
    issuer: str | None
    source: NoteSource
    revision: str | None
    applies: Applies
    unclear: tuple[str, ...]
    body: tuple[Paragraph | Table, ...]
    supersedes: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()

"""What a reader of office papers makes of a file before it is set on sheets: paragraphs, tables, breaks."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from benchleaf.graph.model import Finding, Source
from benchleaf.ingest.shapes import Page

BODY = 10.0
"""Font size in points of running text; only the difference to headings tells anything."""


class Piece(NamedTuple):
    """A stretch of text in one dress. A line feed in it breaks the line, a tab goes on at the next stop."""

    text: str
    bold: bool = False
    size: float = BODY


Text = tuple[Piece, ...]


class Para(NamedTuple):
    """A paragraph; `label` is the number or bullet that the file's own numbering puts before it.

    `typed` keeps blanks as they stand, as on a typewriter; `framed` is text in a drawn frame.
    """

    pieces: Text
    label: str = ""
    typed: bool = False
    framed: bool = False


class Grid(NamedTuple):
    """A table: rows of equal length, each cell a text; what a cell spans beyond its own place is blank."""

    rows: tuple[tuple[Text, ...], ...]


class NewSheet(NamedTuple):
    """The next block begins a sheet."""


Block = Para | Grid | NewSheet


class Said(NamedTuple):
    """What a reader has to say about its reading, and the words in question."""

    message: str
    sheet: int = 1
    quote: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """The sheets of a paper and what is to be said of their reading."""

    pages: tuple[Page, ...]
    said: tuple[Said, ...] = ()

    def findings(self, name: str) -> tuple[Finding, ...]:
        """What was said, as findings about the file of this name."""
        return tuple(Finding(s.message, Source(name, s.sheet), s.quote) for s in self.said)


def words_of(text: Sequence[Piece]) -> str:
    """The words of a text, joined by single blanks."""
    return " ".join("".join(p.text for p in text).split())


def squared(rows: Sequence[Sequence[Text]]) -> tuple[tuple[Text, ...], ...]:
    """Rows filled up to equal length; rows and columns that hold nothing are left out."""
    wide = max((len(row) for row in rows), default=0)
    full = [(*row, *((),) * (wide - len(row))) for row in rows]
    kept = [row for row in full if any(words_of(c) for c in row)]
    used = [i for i in range(wide) if any(words_of(row[i]) for row in kept)]
    return tuple(tuple(row[i] for i in used) for row in kept)


def quoted(words: str, most: int = 160) -> str:
    """Words as a finding quotes them: on one line, cut where they are many."""
    text = " ".join(words.split())
    return text if len(text) <= most else text[: most - 1] + "…"

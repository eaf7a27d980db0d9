"""Rows: a document's lines in one sequence, with what the reading of steps must know of each line's place."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from statistics import median

from benchleaf.graph.model import Box
from benchleaf.ingest.book.marks import read_mark, read_marks
from benchleaf.ingest.shapes import Cell, LaidPage, Line, Word
from benchleaf.ingest.sheets.changebars import BARS

_SIGNS = BARS | frozenset({"*", "#", "►", "▶", "→", "R", "+", "†"})
_LARGE = 0.05  # share of larger lines, as a cover's, up to which type tells nothing
_FRAME_OF_A_PAGE = 0.45  # a frame higher than this part of the sheet is a border, not a box around a notice


@dataclass(frozen=True)
class Row:
    """One line: its number in the reading order, its page's index, and the left edge of its column in points.

    `apart` is True if it stands further below the line above than lines of one paragraph do; `fresh` if it is
    the first of its column. `mark_words` are words of a number that the layout left as a line of its own.
    """

    n: int
    page: int
    line: Line
    left: float
    apart: bool = False
    fresh: bool = False
    mark_words: tuple[Word, ...] = ()

    @cached_property
    def words(self) -> tuple[Word, ...]:
        """The number's words, if it stood alone, and the line's own."""
        return (*self.mark_words, *self.line.words) if self.mark_words else self.line.words

    @cached_property
    def text(self) -> str:
        """All words joined by blanks."""
        return " ".join(w.text for w in self.words) if self.mark_words else self.line.text

    @cached_property
    def x(self) -> float:
        """The indent from the column's left edge, in points."""
        return min(w.box.x0 for w in self.words) - self.left


@dataclass(frozen=True, slots=True)
class Look:
    """A document's usual type: size of its body text in points, whether that is bold, and the usual free
    height
    between lines of one paragraph."""

    size: float
    bold: bool
    leading: float


def usual_look(pages: Sequence[LaidPage]) -> Look:
    """Measure the body text of a document by counting characters."""
    sizes: Counter[float] = Counter()
    weights: Counter[bool] = Counter()
    for line in _text_lines(pages):
        for word in line.words:
            sizes[round(word.size * 2) / 2] += len(word.text)
            weights[word.bold] += len(word.text)
    size = sizes.most_common(1)[0][0] if sizes else 10.0
    return Look(size, weights[True] > weights[False], _usual_gap(pages, size))


def typeless(rows: Sequence[Row]) -> bool:
    """True if neither weight nor size sets any line apart, as on pages read by OCR or set on a typewriter."""
    if any(w.bold for row in rows for w in row.words):
        return False
    sizes = sorted(row.line.size for row in rows if row.line.place == "text" and row.words)
    if not sizes:
        return True
    usual = sizes[len(sizes) // 2]
    return sum(size > 1.1 * usual for size in sizes) <= _LARGE * len(sizes)


def _text_lines(pages: Sequence[LaidPage]) -> Iterable[Line]:
    return (line for page in pages for line in page.lines if line.place in ("text", "frame"))


def _usual_gap(pages: Sequence[LaidPage], size: float) -> float:
    """The free height inside paragraphs: the commonest small gap, found as the lower quartile of all."""
    gaps = sorted(g.gap for g in _text_lines(pages) if g.gap < 2 * size and abs(g.size - size) < 1)
    if not gaps:
        return 0.25 * size
    return gaps[len(gaps) // 4]


def rows_of(pages: Sequence[LaidPage], look: Look) -> tuple[Row, ...]:
    """Every line as a row, in reading order, with the left edge of its column."""
    edges = _edges(pages)
    rows: list[Row] = []
    for index, page in enumerate(pages):
        columns = 1 + max((line.column for line in page.lines), default=0)
        last: Line | None = None
        lists = _lists(page)
        for line in page.lines:
            if line.place == "table" and any(_inside(line.box, box) for box in lists):
                line = replace(line, place="text")
            left = edges[index, line.column, columns]
            fresh = last is None or last.column != line.column
            apart = fresh or line.gap > look.leading + 0.35 * look.size
            rows.append(Row(len(rows), index, line, left, apart, fresh))
            last = line
    return tuple(rows)


def tidied(page: LaidPage) -> LaidPage:
    """The page without signs of change in the margin and without a figure's numbers beside the text."""
    lines = (_without_callout(_without_signs(line)) for line in page.lines)
    return replace(page, lines=tuple(line for line in lines if line.words))


def _without_signs(line: Line) -> Line:
    """The line without a change bar that is printed as a character before or after it."""
    words = line.words
    if words and words[0].text in _SIGNS and (len(words) == 1 or words[0].text in BARS or _marked(words[1:])):
        words = words[1:]
    if words and words[-1].text in BARS:
        words = words[:-1]
    return line if len(words) == len(line.words) else _shortened(line, words)


def _marked(words: Sequence[Word]) -> bool:
    return read_mark(" ".join(w.text for w in words[:3])) is not None


def _shortened(line: Line, words: Sequence[Word]) -> Line:
    if not words:
        return replace(line, words=())
    x0, x1 = min(w.box.x0 for w in words), max(w.box.x1 for w in words)
    return replace(line, words=tuple(words), box=line.box._replace(x0=x0, x1=x1))


def _without_callout(line: Line) -> Line:
    """The line without a figure's number that happens to stand at the same height, far to its right."""
    if line.place != "text" or len(line.words) < 4:
        return line
    *before, last = line.words
    far = last.box.x0 - before[-1].box.x1 > 3 * line.size
    return _shortened(line, before) if far and last.text.isdigit() and len(last.text) < 3 else line


def _lists(page: LaidPage) -> list[Box]:
    """Aligned tables that are no tables: numbers or letters in the first column, their text in the second."""
    return [t.box for t in page.tables if not t.ruled and all(_is_listed(r, page.by_ocr) for r in t.rows)]


def _is_listed(row: Sequence[Cell], by_ocr: bool) -> bool:
    filled = [c.text for c in row if c.text.strip()]
    if len(filled) == 1:
        return not row[0].text.strip() or len(filled[0].split()) > 3
    marks = read_marks(f"{filled[0]} ", by_ocr) if len(filled) == 2 else ()
    return any(m.length >= len(filled[0]) for m in marks) and len(filled[1].split()) > 1


def _inside(inner: Box, outer: Box) -> bool:
    x, y = (inner.x0 + inner.x1) / 2, (inner.top + inner.bottom) / 2
    return outer.x0 - 1 <= x <= outer.x1 + 1 and outer.top - 1 <= y <= outer.bottom + 1


def _edges(pages: Sequence[LaidPage]) -> dict[tuple[int, int, int], float]:
    """The left edge of each column: a document's columns stand at the same place on sheets of the same
    side."""
    own: dict[tuple[int, int, int], float] = {}
    shared: dict[tuple[int, int, int], list[float]] = defaultdict(list)
    for index, page in enumerate(pages):
        columns = 1 + max((line.column for line in page.lines), default=0)
        for column in range(columns):
            lines = [li for li in page.lines if li.column == column and li.place != "figure"]
            lines = lines or [li for li in page.lines if li.column == column]
            if not lines:
                continue
            left = min(li.box.x0 for li in lines)
            own[index, column, columns] = left
            shared[page.sheet % 2, column, columns].append(left)
    usual = {k: _outermost(v) for k, v in shared.items()}
    return {k: _edge(v, usual[pages[k[0]].sheet % 2, k[1], k[2]], pages[k[0]].by_ocr) for k, v in own.items()}


def _outermost(lefts: Sequence[float]) -> float:
    """The leftmost edge of any sheet that is not far from most: some sheets hold only indented lines."""
    middle = median(lefts)
    return min(x for x in lefts if x > middle - 60)


def _edge(own: float, usual: float, by_ocr: bool) -> float:
    """A page's own edge, or the usual one if its lines merely happen to be indented; scans wander."""
    return usual if 0 < own - usual < 60 and not by_ocr else own


def is_border(row: Row, page: LaidPage) -> bool:
    """True if the frame around this row is the border of the page rather than a box."""
    frame = row.line.frame
    return frame is not None and frame.bottom - frame.top > _FRAME_OF_A_PAGE * page.height

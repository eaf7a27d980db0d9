"""Rows: a document's lines in one sequence, with what the reading of steps must know of each line's place."""

from array import array
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from operator import is_
from statistics import median

from benchleaf.graph.model import Box
from benchleaf.ingest.book.marks import read_mark, read_marks
from benchleaf.ingest.shapes import Cell, LaidPage, Line, Place, Word
from benchleaf.ingest.sheets.changebars import BARS

_SIGNS = BARS | frozenset({"*", "#", "►", "▶", "→", "R", "+", "†"})
_LARGE = 0.05  # share of larger lines, as a cover's, up to which type tells nothing
_FRAME_OF_A_PAGE = 0.45  # a frame higher than this part of the sheet is a border, not a box around a notice


@dataclass(frozen=True, slots=True)
class Row:
    """One line: its number in the reading order, its page's index, its sheet and its place among the sheet's
    lines, and the left edge of its column in points.

    `apart` is True if it stands further below the line above than lines of one paragraph do; `fresh` if it is
    the first of its column. What is asked often is held here, since a long document's lines are unpacked anew
    when they are asked for: the text, size and place, the number of words, whether all, the first, or any of
    them are bold, whether any is less than sure, and the indent from the column's left edge, in points.
    """

    n: int
    page: int
    sheet: LaidPage
    at: int
    left: float
    apart: bool
    fresh: bool
    text: str
    size: float
    place: Place
    count: int
    bold: bool
    led: bool
    stressed: bool
    unsure: bool
    x: float

    @property
    def line(self) -> Line:
        """The line itself."""
        return self.sheet.lines[self.at]

    @property
    def words(self) -> tuple[Word, ...]:
        """The line's words."""
        return self.line.words


@dataclass(frozen=True, slots=True)
class Look:
    """A document's usual type: size of its body text in points, whether that is bold, and the usual free
    height
    between lines of one paragraph."""

    size: float
    bold: bool
    leading: float


class Measured:
    """The lines of a document measured sheet by sheet: what its body text looks like, by characters, and
    where its columns begin."""

    def __init__(self) -> None:
        self._sizes: Counter[float] = Counter()
        self._weights: Counter[bool] = Counter()
        self._gaps, self._high = array("d"), array("d")
        self._own: dict[tuple[int, int, int], tuple[float, bool, bool]] = {}

    def add(self, page: LaidPage, index: int) -> None:
        """Measure one more sheet, whose index is given."""
        for line in page.lines:
            if line.place not in ("text", "frame"):
                continue
            self._gaps.append(line.gap)
            self._high.append(line.size)
            for text, _, size, bold, _ in line.words:
                self._sizes[round(size * 2) / 2] += len(text)
                self._weights[bold] += len(text)
        columns = 1 + max((line.column for line in page.lines), default=0)
        for column in range(columns):
            lines = [li for li in page.lines if li.column == column and li.place != "figure"]
            lines = lines or [li for li in page.lines if li.column == column]
            if lines:
                left = min(li.box.x0 for li in lines)
                self._own[index, column, columns] = left, page.sheet % 2 == 1, page.by_ocr

    def look(self) -> Look:
        """The body text's usual type."""
        size = self._sizes.most_common(1)[0][0] if self._sizes else 10.0
        return Look(size, self._weights[True] > self._weights[False], self._usual_gap(size))

    def _usual_gap(self, size: float) -> float:
        """The free height inside paragraphs: the commonest small gap, found as the lower quartile of all."""
        measured = zip(self._gaps, self._high, strict=True)
        gaps = sorted(gap for gap, high in measured if gap < 2 * size and abs(high - size) < 1)
        if not gaps:
            return 0.25 * size
        return gaps[len(gaps) // 4]

    def edges(self) -> dict[tuple[int, int, int], float]:
        """The left edge of each column, by the sheet's index, the column and how many there are: a document's
        columns stand at the same place on sheets of the same side."""
        shared: dict[tuple[bool, int, int], list[float]] = defaultdict(list)
        for (_, column, columns), (left, odd, _) in self._own.items():
            shared[odd, column, columns].append(left)
        usual = {k: _outermost(v) for k, v in shared.items()}
        return {
            key: _edge(left, usual[odd, key[1], key[2]], by_ocr)
            for key, (left, odd, by_ocr) in self._own.items()
        }


def typeless(rows: Sequence[Row]) -> bool:
    """True if neither weight nor size sets any line apart, as on pages read by OCR or set on a typewriter."""
    if any(row.stressed for row in rows):
        return False
    sizes = sorted(row.size for row in rows if row.place == "text" and row.count)
    if not sizes:
        return True
    usual = sizes[len(sizes) // 2]
    return sum(size > 1.1 * usual for size in sizes) <= _LARGE * len(sizes)


def rows_of(pages: Sequence[LaidPage], measured: Measured) -> tuple[Row, ...]:
    """Every line as a row, in reading order, with the left edge of its column."""
    edges, look = measured.edges(), measured.look()
    rows: list[Row] = []
    for index, page in enumerate(pages):
        lines = page.lines
        columns = 1 + max((line.column for line in lines), default=0)
        last: Line | None = None
        for at, line in enumerate(lines):
            left = edges[index, line.column, columns]
            fresh = last is None or last.column != line.column
            apart = fresh or line.gap > look.leading + 0.35 * look.size
            rows.append(_row(len(rows), index, page, at, left, apart, fresh, line))
            last = line
    return tuple(rows)


def _row(
    n: int, page: int, sheet: LaidPage, at: int, left: float, apart: bool, fresh: bool, line: Line
) -> Row:
    words = line.words
    bolds = [w.bold for w in words]
    return Row(
        n,
        page,
        sheet,
        at,
        left,
        apart,
        fresh,
        line.text,
        line.size,
        line.place,
        len(words),
        all(bolds),
        bolds[0] if bolds else False,
        any(bolds),
        any(w.confidence < 1.0 for w in words),
        min([w.box.x0 for w in words], default=left) - left,
    )


def unlisted(page: LaidPage) -> LaidPage:
    """The page with the lines of tables that are no tables as lines of text."""
    lists = _lists(page)
    if not lists:
        return page
    lines = (
        replace(line, place="text")
        if line.place == "table" and any(_inside(line.box, b) for b in lists)
        else line
        for line in page.lines
    )
    return replace(page, lines=tuple(lines))


def tidied(page: LaidPage) -> LaidPage:
    """The page without signs of change in the margin and without a figure's numbers beside the text."""
    every = page.lines
    lines = tuple(made for line in every if (made := _without_callout(_without_signs(line))).words)
    same = len(lines) == len(every) and all(map(is_, lines, every))
    return page if same else replace(page, lines=lines)


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

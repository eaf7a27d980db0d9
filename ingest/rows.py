"""Rows: a document's lines in one sequence, with what the reading of steps must know of each line's place."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from benchleaf.ingest.shapes import LaidPage, Line, Word

_FRAME_OF_A_PAGE = 0.45  # a frame higher than this part of the sheet is a border, not a box around a notice


@dataclass(frozen=True, slots=True)
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

    @property
    def words(self) -> tuple[Word, ...]:
        """The number's words, if it stood alone, and the line's own."""
        return (*self.mark_words, *self.line.words)

    @property
    def text(self) -> str:
        """All words joined by blanks."""
        return " ".join(w.text for w in self.words)

    @property
    def x(self) -> float:
        """The indent from the column's left edge, in points."""
        return min(w.box.x0 for w in self.words) - self.left

    @property
    def own_x(self) -> float:
        """The indent of the line's own words, without a number set apart."""
        return self.line.box.x0 - self.left


@dataclass(frozen=True, slots=True)
class Look:
    """A document's usual type: size of its body text in points, whether that is bold, and the usual free height
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
        for line in page.lines:
            left = edges[index, line.column, columns]
            fresh = last is None or last.column != line.column
            apart = fresh or line.gap > look.leading + 0.35 * look.size
            rows.append(Row(len(rows), index, line, left, apart, fresh))
            last = line
    return tuple(rows)


def _edges(pages: Sequence[LaidPage]) -> dict[tuple[int, int, int], float]:
    """The left edge of each column: a document's columns stand at the same place on sheets of the same side."""
    own: dict[tuple[int, int, int], float] = {}
    shared: dict[tuple[int, int, int], list[float]] = defaultdict(list)
    for index, page in enumerate(pages):
        columns = 1 + max((line.column for line in page.lines), default=0)
        for column in range(columns):
            lines = [li for li in page.lines if li.column == column and li.place in ("text", "frame")]
            if not lines:
                lines = [li for li in page.lines if li.column == column]
            left = min((li.box.x0 for li in lines), default=0.0)
            own[index, column, columns] = left
            shared[page.sheet % 2, column, columns].append(left)
    return {k: _edge(v, shared[pages[k[0]].sheet % 2, k[1], k[2]], pages[k[0]].by_ocr) for k, v in own.items()}


def _edge(own: float, others: Sequence[float], by_ocr: bool) -> float:
    """A page's own edge, or the usual one if its lines merely happen to be indented; scans wander, so not there."""
    usual = min(others, key=lambda x: (sum(abs(x - o) > 3 for o in others), x))
    close = 0 < own - usual < 60
    return usual if close and not by_ocr else own


def is_border(row: Row, page: LaidPage) -> bool:
    """True if the frame around this row is the border of the page rather than a box."""
    frame = row.line.frame
    return frame is not None and frame.bottom - frame.top > _FRAME_OF_A_PAGE * page.height


def typical(values: Sequence[float], default: float = 0.0) -> float:
    """The median, or the default for no values."""
    return median(values) if values else default

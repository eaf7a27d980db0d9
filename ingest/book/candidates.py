"""Candidates for numbered steps: every line that leads with a mark, and what speaks for and against it."""

import re
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from benchleaf.ingest.book.chain import Candidate
from benchleaf.ingest.book.marks import Mark, read_marks
from benchleaf.ingest.book.rows import Look, Row
from benchleaf.ingest.book.sections import is_heading

_UNIT = re.compile(
    r"(?:(?:mm|cm|m|in|inch(?:es)?|ft|N·?m|kN|N|kgf?|kg|g|lbs?|lbf|oz|bar|kPa|MPa|Pa|hPa|psi|ml|l|lit(?:re|er)s?|cc|"
    r"r/min|rpm|min(?:utes?)?|hours?|s|sec(?:onds?)?|to|and|or|off|x|pcs?|kW|Hz|deg(?:rees)?|[Oo]hms?|turns?)"
    r"(?![0-9A-Za-z])|[%×±°]|"
    r"(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)[a-z]{0,6}\.?,?\s[0-9]{2,4}\b)"
)
_LEADERS = re.compile(r"(?:\.\s?){4,}[^.]{0,12}$|…{2,}|_{4,}")
_ENDED = re.compile(r"[.:;!?]['\"”’)]?$")
_EXPECTS_NUMBER = re.compile(
    r"\b(?:figs?|nos?|items?|steps?|pages?|paras?|tables?|sections?|chapters?|positions?|pos|grade|valve|port|size|"
    r"and|or|to|of|from|by|with|the|than|about|approx|between|at|least|in|than|is|are|be)\.?$",
    re.IGNORECASE,
)
_PART_LIKE = re.compile(r"[A-Z]{0,4}-?[0-9][0-9A-Z./-]{2,}$")
_STYLE_WORTH = {"n": 0.1, "n-": 0.5, "n:": 0.4, "A.": 0.5, "a.": 0.4, "levels 2": 0.5, "levels A": 0.5}
_REACH = 90.0  # points between a number in the margin and its text


def find_candidates(
    rows: Sequence[Row], look: Look, barred: frozenset[int], heads: Sequence[int], scanned: frozenset[int]
) -> list[Candidate]:
    """All candidates in reading order. `barred` rows (notices, captions) have none; `heads` are headings'
    rows;
    `scanned` are the indices of pages read by OCR."""
    neighbours = _Neighbours(rows, barred)
    found: list[Candidate] = []
    for row in rows:
        if row.n in barred or row.place in ("table", "figure"):
            continue
        for mark in read_marks(row.text, row.page in scanned):
            section = bisect_right(heads, row.n)
            found.extend(_of_row(row, mark, neighbours, look, section))
    return sorted(found, key=lambda c: (c.row, c.lone is not None))


class _Neighbours:
    """The rows beside and before a row."""

    def __init__(self, rows: Sequence[Row], barred: frozenset[int]) -> None:
        self.rows = rows
        self.barred = barred
        self.by_page: Mapping[int, list[Row]] = defaultdict(list)
        for row in rows:
            self.by_page[row.page].append(row)

    def before(self, row: Row) -> Row | None:
        """The row above in the same column."""
        above = self.rows[row.n - 1] if row.n else None
        return above if above and above.page == row.page and not row.fresh else None

    def beside(self, row: Row) -> Row | None:
        """The nearest text to the right at the same height, for a number that stands alone."""
        box = row.line.box
        level = [
            r
            for r in self.by_page[row.page]
            if 0 < r.line.box.x0 - box.x1 < _REACH and _overlap(row, r) and r.place in ("text", "frame")
        ]
        return min(level, key=lambda r: r.line.box.x0, default=None)


def _overlap(a: Row, b: Row) -> bool:
    low, high = max(a.line.box.top, b.line.box.top), min(a.line.box.bottom, b.line.box.bottom)
    least = min(a.line.box.bottom - a.line.box.top, b.line.box.bottom - b.line.box.top)
    return high - low > 0.5 * least


def _of_row(row: Row, mark: Mark, near: _Neighbours, look: Look, section: int) -> Iterator[Candidate]:
    alone = not row.text[mark.length :].strip()
    beside = near.beside(row) if alone else None
    if beside is not None and beside.n not in near.barred and not read_marks(beside.text):
        yield _beside(row, beside, mark, near, look, section)
    elif not (alone and mark.bare):
        yield _leading(row, mark, near, look, section)


def _leading(row: Row, mark: Mark, near: _Neighbours, look: Look, section: int) -> Candidate:
    x1, text_x = _edges_after(row, mark)
    worth = _worth(row.text, mark, (text_x - x1) / max(look.size, 1), row, near.before(row), look)
    return Candidate(row.n, mark, row.x, x1, text_x, worth, row.page, section, look.size)


def _beside(lone: Row, row: Row, mark: Mark, near: _Neighbours, look: Look, section: int) -> Candidate:
    """A number that the layout left alone, with its text at the same height to the right."""
    text = f"{lone.text} {row.text}"
    x1, text_x = lone.line.box.x1 - lone.left, row.line.box.x0 - lone.left
    worth = _worth(text, mark, (text_x - x1) / max(look.size, 1), row, near.before(row), look)
    return Candidate(row.n, mark, lone.x, x1, text_x, worth, row.page, section, look.size, lone.n)


def _edges_after(row: Row, mark: Mark) -> tuple[float, float]:
    """The right edge of the mark and the left edge of the text after it, from the column's edge."""
    at, x1 = 0, row.x
    for word in row.words:
        end = at + len(word.text)
        if end > mark.length:
            part = max(0, mark.length - at) / len(word.text)
            glued = word.box.x0 + part * (word.box.x1 - word.box.x0) - row.left
            return (glued, glued) if part else (x1, word.box.x0 - row.left)
        x1 = word.box.x1 - row.left
        at = end + 1
    return x1, x1


def _worth(text: str, mark: Mark, gap: float, row: Row, above: Row | None, look: Look) -> float:
    """What speaks for a candidate by itself; gap is the space after the mark in ems."""
    rest = text[mark.length :].strip()
    worth = _STYLE_WORTH.get(mark.style, 0.8)
    worth += 0.4 if gap > 0.5 else 0.0
    worth += _worth_of_words(rest, mark)
    worth += _worth_of_place(row, above)
    worth -= 0.3 if mark.guessed else 0.0
    worth -= 0.6 if row.size < 0.85 * look.size else 0.0
    worth -= 0.4 if is_heading(row, look) else 0.0  # `3 Pressure test` in bold above step 1
    return worth - 0.5 * min(3, _wide_gaps(row, look, mark))


def _worth_of_words(rest: str, mark: Mark) -> float:
    if not rest:
        return 0.1 if mark.style.startswith("word") else -1.0
    if _LEADERS.search(rest[-200:]):
        return -4.0
    if _UNIT.match(rest):
        return -1.8
    first = rest.split(maxsplit=1)[0]
    if _PART_LIKE.match(first) or not any(c.isalpha() for c in rest):
        return -1.2
    return 0.3 if not rest[0].islower() else -0.5


def _worth_of_place(row: Row, above: Row | None) -> float:
    """A step begins a paragraph: apart from the line above, or after its full stop."""
    if above is None or row.apart:
        return 0.3
    if _EXPECTS_NUMBER.search(above.text[-24:]):
        return -1.5
    return 0.1 if _ENDED.search(above.text) else -0.4


def _wide_gaps(row: Row, look: Look, mark: Mark) -> int:
    """Gaps as between cells, after the mark's own."""
    words = row.words
    skip = 1 + mark.label.count(" ") + (1 if mark.style.startswith("word") else 0)
    pairs = zip(words[skip:], words[skip + 1 :], strict=False)
    return sum(b.box.x0 - a.box.x1 > 1.8 * look.size for a, b in pairs)

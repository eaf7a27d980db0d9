"""Words to lines: rows of words on one baseline, pieces of a row between wide gaps, hyphens mended."""

import re
from collections import deque
from collections.abc import Iterable, Sequence

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Line, Word
from benchleaf.ingest.sheets.words import bounds

Row = tuple[Word, ...]

_LABEL = re.compile(
    r"(?:(?:step|item|para|paragraph|punkt|pos|schritt|operation|op)\.? ?)?"
    r"[(\[]?(?:[0-9]{1,3}(?:[.][0-9]{1,3}){0,3}|[A-Za-z]|[ivxIVX]{1,5})[)\].:/]{0,2}[-–]?"
    r"|[•◦▪■□●○–—*·►>✓-]|[0-9]{1,3}[A-Za-z][.)]?",
    re.IGNORECASE,
)

_NAMES = frozenset(("step", "item", "para", "paragraph", "pos", "punkt", "schritt", "operation", "op"))
_LINKS = frozenset(("and", "or", "to", "und", "oder", "bis"))  # after `three-`: the second half comes later
_COMPOUNDS = frozenset(
    [
        "double",
        "single",
        "triple",
        "left",
        "right",
        "self",
        "non",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "twelve",
        "high",
        "low",
        "half",
        "quarter",
        "full",
        "first",
        "second",
        "third",
    ]
)


_asked: deque[tuple[tuple[Word, ...], list[Row]]] = deque(maxlen=2)


def rows(words: Iterable[Word]) -> list[Row]:
    """Words by rows, top to bottom, left to right: a word joins a row if half of it stands beside the row.

    Several steps of the layout ask for the rows of one and the same tuple: the last answers are kept.
    """
    for asked, answer in _asked:
        if asked is words:
            return list(answer)
    found = _rows(words)
    if isinstance(words, tuple):
        _asked.append((words, found))
        return list(found)
    return found


def _rows(words: Iterable[Word]) -> list[Row]:
    found: list[tuple[float, float, list[Word]]] = []
    top = bottom = 0.0
    row: list[Word] = []
    for word in sorted(words, key=_height):
        _, (_, high, _, low), _, _, _ = word
        own = low - high
        if (
            row
            and own <= bottom - top
            and (bottom if bottom < low else low) - (top if top > high else high) >= 0.5 * own
        ):
            row.append(word)  # nearly every word stands in the row of the one before
            continue
        for index in range(len(found) - 1, max(-1, len(found) - 4), -1):
            top, bottom, row = found[index]
            shared = (bottom if bottom < low else low) - (top if top > high else high)
            if shared >= 0.5 * own or shared >= 0.5 * (bottom - top):
                row.append(word)
                if own > bottom - top:
                    found[index] = (high, low, row)
                break
        else:
            found.append((high, low, [word]))
        top, bottom, row = found[-1]
    found.sort(key=lambda r: r[0] + r[1])
    return [tuple(sorted(row, key=_left)) for _, _, row in found]


def _height(word: Word) -> tuple[float, float]:
    x0, top, _, bottom = word[1]
    return top + bottom, x0


def _left(word: Word) -> float:
    return word[1][0]


def pieces(row: Sequence[Word], gap: float) -> list[Row]:
    """A row split where the free space is wider than `gap` points."""
    found: list[list[Word]] = []
    reach = 0.0
    for word in row:
        if found and word.box.x0 - reach <= gap:
            found[-1].append(word)
        else:
            found.append([word])
        reach = max(reach, word.box.x1) if len(found[-1]) > 1 else word.box.x1
    return [tuple(p) for p in found]


def line_of(words: Sequence[Word], sheet: int) -> Line:
    """A line of running text."""
    return Line(tuple(words), bounds([w.box for w in words]), sheet)


_sized: deque[tuple[tuple[Word, ...], float]] = deque(maxlen=2)


def usual_size(words: Iterable[Word]) -> float:
    """The font size of the running text in points: the median over characters. The last answers are kept, as
    those of `rows` are."""
    for asked, answer in _sized:
        if asked is words:
            return answer
    found = _usual_size(words)
    if isinstance(words, tuple):
        _sized.append((words, found))
    return found


def _usual_size(words: Iterable[Word]) -> float:
    counts: dict[float, int] = {}
    for text, _, size, _, _ in words:
        counts[size] = counts.get(size, 0) + min(len(text), 20)
    half = sum(counts.values()) / 2
    return _middle(sorted(counts.items()), half) if half else 10.0


def _middle(counts: Sequence[tuple[float, int]], half: float) -> float:
    """The median of values that occur so many times each; `half` is half of all."""
    seen = 0
    for at, (value, count) in enumerate(counts):
        seen += count
        if seen > half:
            return value
        if seen == half:
            return (value + next(v for v, n in counts[at + 1 :] if n)) / 2
    return 0.0


def is_label(text: str) -> bool:
    """True for what may stand before a step and name it: `1.`, `(12)`, `a)`, `Step 3`, a bullet."""
    return len(text) < 14 and _LABEL.fullmatch(text) is not None


def label_words(words: Sequence[Word]) -> int:
    """How many words at a line's start name a step: 1 for `3.`, 2 for `Step 3.`, 0 for none."""
    if len(words) > 1 and words[0].text.lower().rstrip(".") in _NAMES and is_label(words[1].text):
        return 2
    return int(
        bool(words) and is_label(words[0].text) and words[0].text not in ("A", "I", "a", "-", "–", "—")
    )


def text_of(words: Iterable[Word]) -> str:
    """The words joined by blanks."""
    return " ".join(w.text for w in words)


def mended(lines: Iterable[str]) -> str:
    """Lines joined to one text: a word cut at a line end is mended.

    The hyphen stays where a digit or a capital follows (`T-` `458`) or precedes, where one stands within the
    word already, and after words that nearly always take one (`double-` `row`).
    """
    text = ""
    for line in lines:
        if not text:
            text = line
        elif not line:
            continue
        elif _cut(text, line) and line.split(" ", 1)[0] not in _LINKS:
            text = text[:-1] + line if _drops(text, line) else text + line
        else:
            text = f"{text} {line}"
    return text


def _cut(text: str, line: str) -> bool:
    """True if the text ends in the middle of a word or a number."""
    return len(text) > 1 and text[-1] == "-" and text[-2].isalnum() and line[0].isalnum()


def _drops(text: str, line: str) -> bool:
    """True if the hyphen at the line end only cuts the word."""
    first, last = line.split(" ", 1)[0], text.rsplit(" ", 1)[-1][:-1]
    plain = last.isalpha() and last[-1].islower() and len(last) > 1
    return plain and first[0].islower() and last.lower() not in _COMPOUNDS


def within(inner: Box, outer: Box, slack: float = 1.0) -> bool:
    """True if the middle of a box stands inside another."""
    x, y = (inner.x0 + inner.x1) / 2, (inner.top + inner.bottom) / 2
    return outer.x0 - slack <= x <= outer.x1 + slack and outer.top - slack <= y <= outer.bottom + slack


def cell_text(words: Iterable[Word]) -> str:
    """The words of one cell, its lines joined."""
    return mended(text_of(row) for row in rows(words))

"""Words to lines: rows of words on one baseline, pieces of a row between wide gaps, hyphens mended."""

import re
from collections.abc import Iterable, Sequence
from statistics import median

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


def rows(words: Iterable[Word]) -> list[Row]:
    """Words by rows, top to bottom, left to right: a word joins a row if half of it stands beside the row."""
    found: list[tuple[float, float, list[Word]]] = []
    for word in sorted(words, key=lambda w: (w.box.top + w.box.bottom, w.box.x0)):
        for index in range(len(found) - 1, max(-1, len(found) - 4), -1):
            top, bottom, row = found[index]
            shared = min(bottom, word.box.bottom) - max(top, word.box.top)
            if shared >= 0.5 * min(bottom - top, word.box.bottom - word.box.top):
                row.append(word)
                if word.box.bottom - word.box.top > bottom - top:
                    found[index] = (word.box.top, word.box.bottom, row)
                break
        else:
            found.append((word.box.top, word.box.bottom, [word]))
    found.sort(key=lambda r: r[0] + r[1])
    return [tuple(sorted(row, key=lambda w: w.box.x0)) for _, _, row in found]


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
    return Line(tuple(words), bounds(w.box for w in words), sheet)


def usual_size(words: Iterable[Word]) -> float:
    """The font size of the running text in points: the median over characters."""
    sizes = [w.size for w in words for _ in range(min(len(w.text), 20))]
    return median(sizes) if sizes else 10.0


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

"""Wording: lines of a step joined to running text, with hyphenated line ends mended."""

import re
from collections.abc import Iterable, Sequence

_WORD_END = re.compile(r"([A-Za-zÀ-ÿ]{1,40})[-\u00ad\u2010]$")
_WORD_START = re.compile(r"([a-zà-ÿ]{1,40})")
_NUMBER_END = re.compile(r"[0-9A-Z]{1,20}[-\u2010/]$")
_WORD = re.compile(r"[A-Za-zÀ-ÿ]+(?:-[A-Za-zÀ-ÿ]+)*")


def vocabulary(lines: Iterable[str]) -> frozenset[str]:
    """The words of a document in lower case, hyphenated ones as they are, those broken at line ends left
    out."""
    words: set[str] = set()
    for line in lines:
        words.update(w.lower() for w in _WORD.findall(line[:2000]))
    return frozenset(words)


def join_lines(lines: Sequence[str], known: frozenset[str] = frozenset()) -> str:
    """Lines as one text. A hyphen at a line's end goes if the word is known without it or is not known with
    it.

    >>> join_lines(["Fit the hous-", "ing cover."])
    'Fit the housing cover.'
    >>> join_lines(["Order TH 65-", "573 only."])
    'Order TH 65-573 only.'
    """
    text = ""
    for line in (li.strip() for li in lines):
        text = _joined(text, line, known) if text and line else text or line
    return text.replace("\u00ad", "")


def _joined(text: str, line: str, known: frozenset[str]) -> str:
    end, start = _WORD_END.search(text), _WORD_START.match(line)
    if end and start:
        whole, hyphened = (end[1] + start[1]).lower(), f"{end[1]}-{start[1]}".lower()
        keep = hyphened in known and whole not in known and not text.endswith("\u00ad")
        return f"{text}{line}" if keep else f"{text[:-1]}{line}"
    if _NUMBER_END.search(text) and line[:1].isalnum():
        return f"{text}{line}"
    return f"{text} {line}"

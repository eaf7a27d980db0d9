"""Wording: lines of a step joined to running text, with hyphenated line ends mended."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

_WORD_END = re.compile(r"([A-Za-zÀ-ÿ]{1,40})[-\u00ad\u2010]$")
_WORD_START = re.compile(r"([a-zà-ÿ]{1,40})")
_NUMBER_END = re.compile(r"[0-9A-Z]{1,20}[-\u2010/]$")
_WORD = re.compile(r"[A-Za-zÀ-ÿ]+(?:-[A-Za-zÀ-ÿ]+)*")

_LETTERS = re.compile(r"(?<![^\s(])[A-Za-z][a-z]{5,30}(?=[.,;:)]{0,2}(?:\s|$))")
_LEAST = 3  # letters of either half of two words that OCR ran together
_OFTEN = 2  # times that either half stands apart in the document, at least


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


@dataclass(frozen=True, slots=True)
class Parting:
    """How often a document's words, and pairs of neighbours among them, stand apart; all in lower case."""

    words: Counter[str]
    pairs: Counter[tuple[str, str]]

    def parted(self, text: str) -> str:
        """The text with words that OCR ran together set apart again.

        A word is parted only if it stands nowhere else in the document, both halves stand in it often, and
        just so, side by side: `setscrew` and `input` `flange` both come through as the book has them. Words
        with figures are never touched.
        """
        return _LETTERS.sub(lambda m: self._halves(m[0]), text)

    def _halves(self, word: str) -> str:
        low = word.lower()
        if self.words[low] > 1:
            return word
        cuts = range(_LEAST, len(low) - _LEAST + 1)
        sound = [at for at in cuts if self._stands_apart(low[:at], low[at:])]
        return f"{word[: sound[0]]} {word[sound[0] :]}" if len(sound) == 1 else word

    def _stands_apart(self, first: str, second: str) -> bool:
        often = min(self.words[first], self.words[second]) >= _OFTEN
        return often and self.pairs[first, second] > 0


def parting(lines: Iterable[str]) -> Parting:
    """What stands apart in a document, from its lines."""
    words: Counter[str] = Counter()
    pairs: Counter[tuple[str, str]] = Counter()
    for line in lines:
        found = [w.strip(".,;:()").lower() for w in line[:2000].split()]
        words.update(found)
        pairs.update(pairwise(found))
    return Parting(words, pairs)

"""Where phrases of the book match a passage, which of overlapping matches to believe first."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.phrasebook import Phrase, PhraseBook
from benchleaf.ingest.phrases.tags import KINDS

_RECENT = 128  # paragraphs whose matches are kept, with each set of types
_READ = ("supersession", "withdrawn", "override", "contents", "cancels")

_REPLACED = re.compile(
    r"\b(?:replaced|superseded|succeeded|supplanted) (?:[a-z]+ ){0,2}(?P<by>by|with)\b[^.;?!]{1,160}$",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Match:
    """One phrase found at folded[start:end] of a passage. `start` and `end` leave out {text} and {lines}."""

    phrase: Phrase
    found: re.Match[str]
    start: int
    end: int

    def span(self, name: str) -> tuple[int, int] | None:
        """The stretch of a field, or None if the wording has none."""
        if name not in self.found.re.groupindex or self.found.start(name) < 0:
            return None
        return self.found.span(name)

    def spans(self, name: str) -> tuple[tuple[int, int], ...]:
        """The stretches of a field and its repeats, in order."""
        names = [n for n in self.found.re.groupindex if n == name or re.fullmatch(rf"{name}_[0-9]+", n)]
        return tuple(sorted(s for s in (self.span(n) for n in names) if s is not None))

    @property
    def texts(self) -> bool:
        """True if new words follow."""
        return "text" in self.found.re.groupindex


def matches(book: PhraseBook, passage: Passage, *types: str) -> list[Match]:
    """Every match of the phrases of some types (by default those that state something), best first."""
    return list(_matches(book, passage.folded, types or _READ))


@lru_cache(maxsize=_RECENT)
def _matches(book: PhraseBook, folded: str, types: tuple[str, ...]) -> tuple[Match, ...]:
    """Kept, as every reading of a note asks anew what its paragraphs hold."""
    likely = book.wordings(*types).likely(folded)
    found = [m for phrase, pattern in likely for m in _of(phrase, pattern, folded)]
    found = [m for m in found if m.phrase.follows != "likewise" or _likewise(m, folded)]
    return tuple(sorted(found, key=lambda m: _order(m, folded)))


def _likewise(match: Match, folded: str) -> bool:
    """True for "and C by D" behind "A is replaced by B", with the same little word."""
    before = _REPLACED.search(folded, max(0, match.start - 200), match.start)
    said = folded[match.start : match.end]
    return before is not None and re.search(rf"\b{before['by']}\b", said, re.I) is not None


def _of(phrase: Phrase, pattern: re.Pattern[str], folded: str) -> Iterator[Match]:
    for found in _found(pattern, folded, phrase.follows == "chain"):
        if found.end() > found.start():
            open_end = "text" in pattern.groupindex or "lines" in pattern.groupindex
            name = "text" if "text" in pattern.groupindex else "lines"
            blank = len(found.group()) - len(found.group().lstrip(" ,"))
            end = found.start(name) if open_end else found.end()
            yield Match(phrase, found, min(found.start() + blank, end), end)


def _found(pattern: re.Pattern[str], folded: str, chain: bool) -> Iterator[re.Match[str]]:
    """Matches from left to right; in a chain ("a → b → c") the next one starts at the last one's new
    number."""
    at = 0
    while (found := pattern.search(folded, at)) is not None:
        yield found
        at = max(found.start("new") if chain else found.end(), found.start() + 1)


def _order(match: Match, folded: str) -> tuple[bool, bool, bool, int, int, int, int]:
    said = folded[match.start : match.end]
    signs = sum(ch in KINDS for ch in said)
    hedged = any(match.found.start(n) >= 0 for n in match.found.re.groupindex if n.startswith("hedge"))
    return (match.phrase.weak, not match.texts, hedged, -match.phrase.rank, -signs, -len(said), match.start)


def overlaps(match: Match, taken: Sequence[tuple[int, int]]) -> bool:
    """True if a match touches a stretch that another reading holds."""
    start = match.start + (match.phrase.follows == "chain")
    return any(
        start < b and a < match.end - (a == match.end - 1 and match.phrase.follows == "chain")
        for a, b in taken
    )

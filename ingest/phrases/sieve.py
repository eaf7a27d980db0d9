"""Wordings that are searched only where their words stand, and become expressions when they first are."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Generic, TypeVar

from benchleaf.ingest.phrases.needs import Need, in_order, words_in
from benchleaf.ingest.phrases.pattern import compiled

Owner = TypeVar("Owner")
_RECENT = 128  # texts whose words are kept: a note asks for the same ones again and again

_ordered = lru_cache(maxsize=_RECENT)(words_in)


@lru_cache(maxsize=_RECENT)
def _words_in(text: str) -> frozenset[str]:
    return frozenset(_ordered(text))


@dataclass(frozen=True, eq=False)
class Wording:
    """One pattern of the phrase book as printed, what it needs, and its expression, which is made when first
    asked for: a note meets few of a book's wordings."""

    printed: str
    name: str
    words: Mapping[str, str]
    needs: tuple[Need, ...]

    @cached_property
    def pattern(self) -> re.Pattern[str]:
        """The expression. Raises WrongUse, naming the phrase, if the wording is malformed."""
        return compiled(self.printed, self.words, self.name)

    def worth_a_search(self, text: str) -> bool:
        """False if the words that it needs stand in another order: an expression that is not yet made costs
        more than this look, one that is made less."""
        return "pattern" in self.__dict__ or in_order(self.needs, _ordered(text))


class Wordings(Generic[Owner]):
    """Wordings in the order in which they are tried, each with the phrase or guard that owns it."""

    def __init__(self, owned: Sequence[tuple[Owner, Wording]]) -> None:
        self._owned = owned
        self._all = (1 << len(owned)) - 1
        self._kept = _kept([wording.needs for _, wording in owned])

    def likely(self, text: str) -> Iterator[tuple[Owner, re.Pattern[str]]]:
        """The wordings that may match a folded text, in their order; those left out match nowhere in it."""
        passing = self._passing(text)
        while passing:
            lowest = passing & -passing
            owner, wording = self._owned[lowest.bit_length() - 1]
            if wording.worth_a_search(text):
                yield owner, wording.pattern
            passing ^= lowest

    def without(self, text: str) -> str:
        """A text with a blank for every match, one wording after the other."""
        done, passing = 0, self._passing(text)
        while passing:
            lowest = passing & -passing
            done = lowest | (lowest - 1)
            wording = self._owned[lowest.bit_length() - 1][1]
            changed = wording.pattern.sub(" ", text) if wording.worth_a_search(text) else text
            passing = passing ^ lowest if changed == text else self._passing(changed) & ~done
            text = changed
        return text

    def _passing(self, text: str) -> int:
        """One bit a wording: set if all that it needs stands in the text."""
        words = _words_in(text)
        passing = self._all
        for free, by_word in self._kept:
            for word in words:
                free |= by_word.get(word, 0)
            passing &= free
        return passing


def _kept(needs: Sequence[Sequence[Need]]) -> tuple[tuple[int, Mapping[str, int]], ...]:
    """The first needs of all wordings, the second, and so on: the bits of wordings that have none, and those
    of the wordings that each word satisfies."""
    rows: list[tuple[int, Mapping[str, int]]] = []
    for row in range(max((len(n) for n in needs), default=0)):
        free, by_word = 0, dict[str, int]()
        for place, mine in enumerate(needs):
            if row >= len(mine):
                free |= 1 << place
            for word in mine[row] if row < len(mine) else ():
                by_word[word] = by_word.get(word, 0) | 1 << place
        rows.append((free, by_word))
    return tuple(rows)

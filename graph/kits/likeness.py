"""How alike the names of two parts are: words, kinds of plates, sizes."""

import re
from collections.abc import Sequence

from benchleaf.graph.kits.partnames import name_words
from benchleaf.graph.kits.plates import plate_kind

_SAME_WORD = 0.82
_MEASURE = re.compile(r"([0-9]{1,4}(?:[.,][0-9]{1,3})?)\s?mm\b")
_THREAD = re.compile(r"\b(m[0-9]{1,2})\s?[x×]\s?([0-9]{1,3})\b")


def same_name(one: str, other: str) -> float:
    """Likeness of two part names, 0 to 100: every word of the shorter must stand in the longer.

    >>> same_name("lined disk", "friction plates"), same_name("seal ring", "retaining ring")
    (95.0, 0.0)
    """
    first, second = name_words(one), name_words(other)
    if not first or not second or _other_size(one, other):
        return 0.0
    kinds = plate_kind(one), plate_kind(other)
    if kinds[0] != kinds[1]:
        return 0.0
    alike = _words_alike(first, second)
    return max(alike, 95.0) if kinds[0] is not None else alike


def sizes(text: str) -> frozenset[str]:
    """The sizes that a name tells: millimetres, and threads with their lengths.

    >>> sorted(sizes("shim 0,10 mm")), sorted(sizes("screw M6 x 20"))
    (['0.1'], ['m6x20'])
    """
    low = text.lower()
    threads = {f"{a}x{b}" for a, b in _THREAD.findall(low)}
    return frozenset({_plain(m) for m in _MEASURE.findall(low)} | threads)


def _plain(figure: str) -> str:
    plain = figure.replace(",", ".")
    return plain.rstrip("0").rstrip(".") if "." in plain else plain


def _other_size(one: str, other: str) -> bool:
    here, there = sizes(one), sizes(other)
    return bool(here and there and not here & there)


def _words_alike(first: Sequence[str], second: Sequence[str]) -> float:
    short, long = sorted((first, second), key=len)
    best = [1.0 if a in long else max(_word_alike(a, b) for b in long) for a in short]
    if min(best) < _SAME_WORD:
        return 0.0
    missing = len(long) - len(short)
    return max(100.0 * sum(best) / len(best) - 12.0 * missing, 0.0)


def _word_alike(one: str, other: str) -> float:
    """How alike two words are, 0 to 1 (rapidfuzz's ratio); 0 where the letters that they share tell already
    that it is less than `_SAME_WORD`, so that the library is not imported for most kits."""
    shared = sum(min(one.count(letter), other.count(letter)) for letter in set(one))
    if 2 * shared < _SAME_WORD * (len(one) + len(other)):
        return 0.0
    from rapidfuzz import fuzz

    return fuzz.ratio(one, other) / 100

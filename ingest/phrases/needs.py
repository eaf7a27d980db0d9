"""What a text must hold for a wording to match it: words and signs in order, found in the wording itself.

A wording is only searched where all that it needs stands in the text. What may be missing is never needed: a
wording of which nothing can be said needs nothing and is searched everywhere.
"""

import re
from collections.abc import Mapping, Sequence

from benchleaf.ingest.phrases.pattern import SIGNS, TELLING, tokens_of
from benchleaf.ingest.phrases.tags import KINDS

Need = frozenset[str]
"""Words in lower case, and signs of folded text: one of them must stand in the text."""

_DEEPEST = 7
_WORD = re.compile(r"\w+")
_WORD_OR_SIGN = re.compile(rf"\w+|[{''.join(sorted(KINDS))}]")
# Letters that match a plain one where case is ignored, beside those that `lower` turns into it.
_LIKE_PLAIN = str.maketrans("İıſ", "iis")


def words_in(text: str) -> tuple[str, ...]:
    """The words and signs of a folded text in their order, as needs name them.

    >>> words_in("Up-to-date rings")
    ('up', 'to', 'date', 'rings')
    """
    return tuple(_WORD_OR_SIGN.findall(text.translate(_LIKE_PLAIN).lower()))


def in_order(needs: Sequence[Need], words: Sequence[str]) -> bool:
    """True if every need is met by a word of its own, behind that of the need before it.

    >>> in_order([frozenset({"item"}), frozenset({"is", "was"})], ["was", "item", "is"])
    True
    """
    left = iter(words)
    return all(any(word in need for word in left) for need in needs)


class Needing:
    """Finds what wordings need, with the book's `[words]` at hand."""

    def __init__(self, words: Mapping[str, str]) -> None:
        self._words = words
        self._known: dict[str, tuple[Need, ...]] = {}

    def of(self, printed: str) -> tuple[Need, ...]:
        """What a wording needs, in the order of its words; nothing if nothing can be said.

        >>> [sorted(n) for n in Needing({}).of("[the] item (is|was) [now] deleted")]
        [['item'], ['is', 'was'], ['deleted']]
        """
        return tuple(self._sequence(tokens_of(printed, ""), 0))

    def _sequence(self, tokens: list[str], depth: int) -> Sequence[Need]:
        """The needs of what stands up to the closing mark, or the end."""
        options: list[list[Need]] = [[]]
        while tokens:
            token = tokens.pop(0)
            if token in (")", "]"):
                break
            if token == "|":
                options.append([])
            elif token == "[":
                self._sequence(tokens, depth)
            elif token == "(":
                options[-1] += self._sequence(tokens, depth)
            else:
                options[-1] += self._single(token, depth)
        return options[0] if len(options) == 1 else _either(options)

    def _single(self, token: str, depth: int) -> Sequence[Need]:
        if token.startswith("{"):
            return _of_field(token[1:-1])
        if token.startswith("<"):
            return () if token.endswith("*") or depth > _DEEPEST else self._named(token[1:-1], depth)
        if token.startswith("\\"):
            return ()
        # A word's end is asked for where it begins or ends with a letter or a figure.
        words = _WORD.findall(token)
        return [frozenset((w.lower(),)) for w in words if w.isascii() and "_" not in w]

    def _named(self, name: str, depth: int) -> tuple[Need, ...]:
        if name not in self._known:
            self._known[name] = tuple(self._sequence(tokens_of(self._words.get(name, ""), ""), depth + 1))
        return self._known[name]


def _of_field(name: str) -> Sequence[Need]:
    if name in TELLING:
        return (frozenset(TELLING[name]),)
    return (frozenset(SIGNS[name]),) if name in SIGNS else ()


def _either(options: Sequence[Sequence[Need]]) -> Sequence[Need]:
    """What alternatives need together: the rarest need of the one or of the other."""
    if not all(options):
        return ()
    return [frozenset().union(*(min(o, key=_frequency) for o in options))]


def _frequency(need: Need) -> float:
    """How often about a need is met: long words are rare, signs frequent."""
    return sum(1.0 / len(word) ** 2 for word in need)

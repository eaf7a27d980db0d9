"""Counts in kit lists: figures and words, pairs, counts per side, counts compared with those before."""

import re
from collections.abc import Sequence

from benchleaf.ingest.phrases.tags import REF

NUMBER_WORDS = {
    "a": 1,
    "an": 1,
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
    "twenty": 20,
    "twenty-one": 21,
    "twenty-two": 22,
    "twenty-three": 23,
    "twenty-four": 24,
    "thirty": 30,
    "a pair of": 2,
    "a dozen": 12,
    "both": 2,
    "a single": 1,
}
_COUNT_WORDS = "|".join(sorted(NUMBER_WORDS, key=len, reverse=True))
COUNT = rf"(?:[0-9]{{1,3}}(?![0-9]|[.,][0-9])|\b(?:{_COUNT_WORDS})\b)"
# "the one before it" is folded as if it named a step
_THAN = (
    rf"(?:before|previously|formerly|hitherto|until now|up to now|so far|in the past|{REF}"
    r"|(?:(?:in|with|there (?:was|were) in) )?(?:the |its |that )?(?:old|previous|former|earlier"
    r"|superseded|one before"
    r"|predecessor|last|original|kit before|set before|kit it replaces|kit replaced)[^,;.()]{0,30})"
)
_COMPARED = re.compile(
    rf"[ ,;(\u2013-]{{0,3}}(?:(?:which|that|this) (?:is|are|means|makes) "
    rf"|i\.? ?e\.?,? )?(?<![A-Za-z0-9])(?P<q>{COUNT})"
    rf"(?P<name> (?!more|fewer|less)[a-z][a-z -]{{2,30}}?)? (?P<sign>more|fewer|less) than {_THAN}\)?",
    re.IGNORECASE,
)
_PAIRS = re.compile(rf"\b(?P<q>{COUNT}) (?:pairs?\b|prs?\b\.?)(?: of)? ", re.IGNORECASE)
# "4 seals per side" says nothing of how many sides there are.
_PER = re.compile(
    r",? \b(?:per|for each|for every|to each|on each|in each) (?!kits?\b|sets?\b)[a-z-]{3,20}\b"
    r"|,? each (?:side|end|half)\b|,? (?:both|either) (?:sides|ends)\b",
    re.IGNORECASE,
)
_PER_KIT = re.compile(r",? (?:per|for each|in each|in every|to the|in the) (?:kit|set)\b", re.IGNORECASE)


def quantity(word: str) -> int | None:
    """A count in digits or words; None if it is neither.

    >>> quantity("eleven")
    11
    """
    plain = word.strip().lower()
    return int(plain) if plain.isdecimal() and plain.isascii() else NUMBER_WORDS.get(plain)


def paired(words: str) -> str:
    """Pairs counted singly.

    >>> paired("2 pairs of circlips")
    '4 circlips'
    """
    return _PAIRS.sub(lambda m: f"{2 * (quantity(m['q']) or 0)} ", words)


def without_per(words: str) -> tuple[str, tuple[str, ...]]:
    """A line without "per side" and its like, and the doubt that they leave: the kit's own count is not said.

    >>> without_per("4 seals per kit")
    ('4 seals', ())
    """
    plain = _PER_KIT.sub("", words)
    found = _PER.search(plain)
    if found is None:
        return plain, ()
    said = found.group().strip(" ,")
    return _PER.sub("", plain), (f"the count is given “{said}”: how many the kit holds is not said",)


def without_compared(body: str) -> tuple[str, tuple[tuple[int, int], ...]]:
    """A list without ", three more than before", its length kept, and where each stood with what it adds."""
    found: list[tuple[int, int]] = []

    def blank(match: re.Match[str]) -> str:
        found.append((match.start(), more_by(match)))
        return " " * len(match.group())

    return _COMPARED.sub(blank, body), tuple(found)


def comparison(said: str) -> tuple[int, str] | None:
    """What a sentence "(that is) three gaskets more than the old kit had" adds, and the name, or None.

    >>> comparison("three gaskets more than the old one had.")
    (3, 'gaskets')
    """
    match = _COMPARED.fullmatch(said.strip(" ."))
    return (more_by(match), (match["name"] or "").strip()) if match else None


def more_by(match: re.Match[str]) -> int:
    """How many more there are now: less than nothing for "fewer"."""
    count = quantity(match["q"]) or 0
    return count if match["sign"].lower() == "more" else -count


def before_each(
    counts: Sequence[int | None], places: Sequence[int], moves: Sequence[tuple[int, int]]
) -> list[int | None]:
    """The earlier count of each line from the moves that stand right behind it; None where none does."""
    out: list[int | None] = [None] * len(counts)
    for at, more in moves:
        i = max((n for n, place in enumerate(places) if place <= at), default=None)
        if i is not None and (now := counts[i]) is not None and now - more >= 0:
            out[i] = now - more
    return out

"""Part numbers that a text may hold: every run of number-like tokens, so that a later look-up finds the item.

Which run is a part number is not decided here: whoever asks brings a number, and its key either is among the
runs or is not. Runs are therefore read generously.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from benchleaf.graph.keys import key

LONGEST_RUN = 5  # tokens
SHORTEST_KEY, LONGEST_KEY, FEWEST_DIGITS = 5, 20, 4

_DASHES = str.maketrans(dict.fromkeys("‐‑‒–—−", "-"))  # noqa: RUF001 — they are the characters meant
_TOKEN = re.compile(r"[0-9A-Z](?:[0-9A-Z./-]{0,28}[0-9A-Z])?+(?![^\W_])")
_JOINT = re.compile(r"\s{1,3}+|\s{0,2}+[/-]\s{0,2}+")  # a full stop and a blank end a sentence and a chain
_PREFIX = re.compile(r"[A-Z]{1,4}+")
_DIGIT = re.compile(r"[0-9]")


@dataclass(frozen=True, slots=True)
class Run:
    """A run of tokens as printed, and its comparing key.

    `whole` is true if nothing beside the run could belong to the same number: it starts with a prefix of
    letters or is the first of its chain, and neither a number nor a single letter follows. In `KB 4410-21`,
    `4410-21` is not whole.
    """

    printed: str
    key: str
    whole: bool


def runs(text: str) -> tuple[Run, ...]:
    """Every run of one to five neighbouring tokens that could be a part number, each key once.

    A token is made of digits, capitals and `- . /` and holds a digit, or is a prefix of one to four capitals.
    A run's key has 5 to 20 characters, at least 4 of them digits.

    >>> [(run.printed, run.whole) for run in runs("Fit seal KB 4410-21 first.")]
    [('KB 4410-21', True), ('4410-21', False)]
    """
    plain = unicodedata.normalize("NFKC", text).translate(_DASHES)
    found: dict[str, Run] = {}
    for chain in _chains(plain):
        tokens = [plain[start:end] for start, end in chain]
        for first in range(len(chain)):
            for last in range(first, min(len(chain), first + LONGEST_RUN)):
                printed = " ".join(plain[chain[first][0] : chain[last][1]].split())
                _keep(found, printed, _whole(tokens, first, last))
    return tuple(found.values())


def _whole(tokens: list[str], first: int, last: int) -> bool:
    begins = first == 0 or _PREFIX.fullmatch(tokens[first]) is not None
    after = tokens[last + 1] if last + 1 < len(tokens) else "END"
    return begins and len(after) > 1 and not _DIGIT.search(after)


def _keep(found: dict[str, Run], printed: str, whole: bool) -> None:
    joined = key(printed)
    if not (SHORTEST_KEY <= len(joined) <= LONGEST_KEY and len(_DIGIT.findall(joined)) >= FEWEST_DIGITS):
        return
    if joined not in found or (whole and not found[joined].whole):
        found[joined] = Run(printed, joined, whole)


def _chains(plain: str) -> Iterator[list[tuple[int, int]]]:
    chain: list[tuple[int, int]] = []
    for start, end in _tokens(plain):
        if chain and not _JOINT.fullmatch(plain, chain[-1][1], start):
            yield chain
            chain = []
        chain.append((start, end))
    if chain:
        yield chain


def _tokens(plain: str) -> Iterator[tuple[int, int]]:
    for match in _TOKEN.finditer(plain):
        token = match.group()
        if match.start() and plain[match.start() - 1].isalnum():
            continue
        if not (_DIGIT.search(token) or _PREFIX.fullmatch(token)):
            continue
        start = match.start()
        for piece in token.split(
            "/"
        ):  # `4410-21/22` names two numbers, or one with a stroke in it: both are runs
            if piece:
                yield start, start + len(piece)
            start += len(piece) + 1

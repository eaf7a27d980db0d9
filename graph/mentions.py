"""Part numbers that a text may hold: every run of number-like tokens, so that a later look-up finds the item.

Which run is a part number is not decided here: whoever asks brings a number, and its key either is among the
runs or is not. Runs are therefore read generously.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from benchleaf.graph.keys import folded, key

LONGEST_RUN = 5  # tokens
SHORTEST_KEY, LONGEST_KEY, FEWEST_DIGITS = 5, 20, 4

_DASHES = str.maketrans(dict.fromkeys("‐‑‒–—−", "-"))  # noqa: RUF001 — they are the characters meant
_TOKEN = re.compile(r"[0-9A-Z](?:[0-9A-Z./-]{0,28}[0-9A-Z])?+(?![0-9A-Za-z])")
_JOINT = re.compile(r"[\s./-]{1,5}+")
_PREFIX = re.compile(r"[A-Z]{1,4}+")
_DIGIT = re.compile(r"[0-9]")


@dataclass(frozen=True, slots=True)
class Run:
    """A run of tokens as printed, and its comparing key."""

    printed: str
    key: str


def runs(text: str) -> tuple[Run, ...]:
    """Every run of one to five neighbouring tokens that could be a part number, each key once.

    A token is made of digits, capitals and `- . /` and holds a digit, or is a prefix of one to four capitals.
    A run's key has 5 to 20 characters, at least 4 of them digits.

    >>> [run.key for run in runs("Fit seal 4410-21 first.")]
    ['441021']
    """
    plain = unicodedata.normalize("NFKC", text).translate(_DASHES)
    found: dict[str, Run] = {}
    for chain in _chains(plain):
        for start in range(len(chain)):
            for end in range(start, min(len(chain), start + LONGEST_RUN)):
                printed = " ".join(plain[chain[start][0] : chain[end][1]].split())
                _keep(found, printed)
    return tuple(found.values())


def _keep(found: dict[str, Run], printed: str) -> None:
    joined = key(printed)
    if SHORTEST_KEY <= len(joined) <= LONGEST_KEY and len(_DIGIT.findall(joined)) >= FEWEST_DIGITS:
        found.setdefault(joined, Run(printed, joined))


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


def folded_key(run: Run) -> str:
    """The run's key with look-alikes folded, for near numbers."""
    return folded(run.key)

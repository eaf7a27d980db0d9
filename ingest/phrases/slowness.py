"""Is a pattern of a phrase book quick on text made to hurt it? A shop's own pattern that is not is refused.

The texts are repeated signs, and the pattern's own words: said as it wants them, then anyhow, so that what
runs away only behind a good beginning runs away here. They grow word by word: a pattern whose time doubles
with each is stopped while that is still short.
"""

import random
import re
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence

from benchleaf.graph.errors import WrongUse
from benchleaf.ingest.phrases.pattern import saying
from benchleaf.ingest.phrases.sieve import Wording

SLOWEST = 0.05
"""Seconds of processor time that a search of 20,000 letters may take."""
_LETTERS = 20_000
_HOSTILE = (
    *("a ", "item 3 on page 4 ", "\ue001 and ", "\ue001, ", "\ue008 , the ", "no. \ue002 (", "the kit "),
    *("\ue009 to ", "new ", ": "),
)
_TRIES = 8
_GROWTH = (*range(2, 41), 60, 100, 300, 1000, _LETTERS)
"""Words, or pieces, of the texts tried one after the other."""


def refuse_slow(owner: str, wordings: Iterable[Wording]) -> None:
    """Raises WrongUse, naming the phrase or guard that owns them, for a pattern that is slow on 20,000
    letters."""
    for one in wordings:
        for run in _runs(one.printed, one.words):
            for count in _GROWTH:
                if seconds(one.pattern, _text(run, count)) > SLOWEST:
                    problem = f"{owner}: the pattern “{one.printed}” is too slow."
                    raise WrongUse(problem, "Make it shorter, with fewer optional words.")


def seconds(pattern: "re.Pattern[str]", text: str) -> float:
    """The processor time of a search; a slow one is measured again, for other work may have run beside it."""
    best = 9.0
    for _ in range(3):
        started = time.process_time()
        pattern.search(text)
        best = min(best, time.process_time() - started)
        if best <= SLOWEST or best > 10 * SLOWEST:
            break
    return best


def _runs(said: str, words: Mapping[str, str]) -> Iterator[tuple[Sequence[str], Sequence[str]]]:
    """The opening words of a text, and the words that go on without end behind them."""
    pick = random.Random(said)
    tries = [saying(said, words, pick) for _ in range(_TRIES)]
    own = sorted({word for one in tries for word in one})
    yield from (((), (piece,)) for piece in (*_HOSTILE, *(f"{word} " for word in own)))
    for one in tries:
        opening = [f"{word} " for word in one[: pick.randint(1, max(1, len(one)))]]
        yield opening, [f"{pick.choice(own)} " for _ in range(200)] if own else opening
        yield (), [*(f"{word} " for word in one[:-1]), "; "]


def _text(run: tuple[Sequence[str], Sequence[str]], count: int) -> str:
    opening, endless = run
    whole = "".join(opening) + "".join(endless[at % len(endless)] for at in range(min(count, _LETTERS)))
    return whole[:_LETTERS]

"""Numbers in a box that stand for listed ones: one for one along settled supersession, or as a set.

A set is a split (one number became several that are fitted together) or a merge (one number for several).
"""

import datetime as dt
import itertools
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key
from benchleaf.graph.kits.packmarks import NUMBER_WORDS
from benchleaf.graph.model import Supersession
from benchleaf.graph.ways import Ways

_LIMIT = 1200
_COUNT = re.compile(rf"(?<![\w-])([0-9]{{1,2}}|{'|'.join(NUMBER_WORDS)})(?![\w.,-])", re.IGNORECASE)
_THE_ONE = re.compile(r"[ ]?(?:the|a|an)(?: [a-z-]{1,20}){0,3} ([a-z-]{2,20}),? ?", re.IGNORECASE)
_PARTED = re.compile(r"[,;:]|\band\b|\bby\b|\bof (?=(?:an?|one|two|the)\b)|\b(?:plus|with)\b", re.IGNORECASE)

Linked = Callable[[str, str], tuple[str, ...] | None]
"""For two part numbers: the notes that lead from one to the other, or None if nothing held links them."""


@dataclass(frozen=True, slots=True)
class Exchange:
    """Several numbers that together stand for one, or one for several, and the note that says so.

    `sure` is False where the note may also mean that the new number stands for each of the old ones.
    `old_counts` and `new_counts` are how many of each the note speaks of; empty where it does not say.
    """

    old: tuple[str, ...]
    new: tuple[str, ...]
    note: str
    sure: bool = True
    old_counts: tuple[int, ...] = ()
    new_counts: tuple[int, ...] = ()

    def share(self, listed: Sequence[int | None]) -> int | None:
        """How many sets stand for so many of each old number; None where the note or the list leaves that
        open or the quantities do not go together."""
        if len(self.old_counts) != len(listed):
            return None
        sets = {
            have / each if have is not None else None
            for have, each in zip(listed, self.old_counts, strict=True)
        }
        one = sets.pop()
        return int(one) if not sets and one is not None and one == int(one) and one > 0 else None


def linked_by(told: Sequence[Supersession]) -> Linked:
    """The notes by which a number that came stands for a listed one; old stock counts where both ways fit or
    where it is to be used up.

    Half of a set stands for nothing: those links are left out, see `exchanges`. `told` are settled
    statements.
    """
    together = [s for s in told if not _split(s)]
    whole, back = Ways(together), Ways(s for s in together if _old_will_do(s))

    def linked(listed: str, came: str) -> tuple[str, ...] | None:
        newer = _path(whole, listed, came)
        return newer if newer is not None else _path(back, came, listed)

    return linked


def overtaken(told: Sequence[Supersession], part: str, since: dt.date | None) -> Supersession | None:
    """The statement by which a listed number was replaced after the day of its list; None if it stands."""
    later = (s for s in told if key(part) in {key(n) for n in s.old} and _after(s.date, since))
    return next(later, None)


def barred(s: Supersession) -> bool:
    """Whether the old number must not be fitted any more: its stock is scrap.

    Where only the new one may stand for the old, the old is still right where it is listed (common practice,
    no source).
    """
    return s.stock == "scrap"


def replaced_later(told: Sequence[Supersession], listed: str, came: str) -> tuple[str, ...] | None:
    """The notes by which the listed number took the place of the older one that came; None if none did."""
    return _path(Ways(s for s in told if not _split(s)), came, listed)


def _old_will_do(s: Supersession) -> bool:
    return s.interchange == "both ways" or (s.stock == "use up" and s.interchange != "none")


def _after(day: dt.date | None, since: dt.date | None) -> bool:
    return day is None or since is None or day > since


def exchanges(told: Sequence[Supersession]) -> tuple[Exchange, ...]:
    """The sets among settled statements, newest first."""
    sets = [s for s in told if _split(s) or len(s.old) > 1]
    return tuple(
        Exchange(
            s.old,
            s.new,
            s.note,
            _split(s) or s.relation == "all of",
            counts_in(s.quote, s.old),
            counts_in(s.quote, s.new),
        )
        for s in reversed(sets)
    )


def counts_in(quote: str, numbers: Sequence[str]) -> tuple[int, ...]:
    """How many of each number a sentence speaks of, by the count before it; empty unless it says so of all.

    >>> counts_in("One set 44-350 takes the place of one ring 44-140 and two 44-144.", ("44-140", "44-144"))
    (1, 2)
    """
    plain = " ".join(quote.split())[:_LIMIT]
    found = []
    for number in numbers:
        places = (m.start() for m in re.finditer(re.escape(number), plain))
        told = [count for at in places if (count := _count_before(plain, at)) is not None]
        if not told:
            return ()
        found.append(told[0])
    return tuple(found)


def _count_before(plain: str, at: int) -> int | None:
    """The count before a number; "the ring" is one."""
    clause = _clause(plain[max(0, at - 80) : at])
    told = _COUNT.findall(clause)
    if told:
        return _figure(told[-1])
    one = _THE_ONE.fullmatch(clause)
    return 1 if one and not one[1].lower().endswith("s") else None


def _clause(before: str) -> str:
    """The words right before a number, back to the last comma, "and" or other number."""
    return _PARTED.split(before)[-1]


def _figure(word: str) -> int:
    return int(word) if word.isdigit() else NUMBER_WORDS.index(word.lower())


def _split(s: Supersession) -> bool:
    return len(s.new) > 1 and s.relation != "one of"


def _path(ways: Ways, old: str, new: str) -> tuple[str, ...] | None:
    way = ways.path(key(old), key(new))
    if way is None:
        return None
    return tuple(dict.fromkeys(ways.ahead[a][b][0].note for a, b in itertools.pairwise(way)))

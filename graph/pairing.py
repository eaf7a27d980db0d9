"""Which statement of an earlier reading is which of the present one: by what it says, its words and place."""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key
from benchleaf.graph.model import Cancels, Contents, Override, Statement, Supersession, Withdrawn

ALIKE = 80.0
"""Quotes this much alike (0 to 100, share of equal signs) are the same words (a rule of ours)."""
MOST_PAIRS = 1_000_000  # compared by their words; where there are more, only what they say counts
_SHORT = 15  # characters; a shorter quote stands within many others by chance


@dataclass(frozen=True, slots=True)
class Earlier:
    """A held statement for pairing: as it was read and as it stands now.

    `exact` is for one that a person refused: his no is a word on that very reading of those very words.
    """

    read: Statement
    present: Statement
    exact: bool = False


def pair(earlier: Sequence[Earlier], present: Sequence[Statement]) -> dict[int, int]:
    """Index into `present` → index into `earlier`, each used once at most.

    First those that say the same in the same words, then the same in like words, then, of one kind and on one
    sheet, other things in like words.
    """
    found: dict[int, int] = {}
    marks: tuple[Callable[[Statement], Hashable], ...] = (
        lambda s: (body(s), _plain(s.quote), s.source.sheet, s.source.box, s.why),
        lambda s: (body(s), _plain(s.quote), s.source.sheet),
        lambda s: (body(s), s.source.sheet),
        body,
    )
    for mark in marks:
        _take_same(earlier, present, found, mark)
    _take_alike(earlier, present, found)
    return found


def body(statement: Statement) -> Hashable:
    """What a statement says, as keys and plain words: equal for two readings that say the same."""
    match statement:
        case Override(target=t):
            said = (statement.text, statement.was, statement.now)
            place = (key(t.publication or ""), key(t.page or ""), key(t.item or ""))
            return ("override", statement.action, place, *map(_plain, said))
        case Supersession():
            return ("supersession", _keys(statement.old), _keys(statement.new), statement.relation)
        case Contents():
            sides = (statement.lines, statement.previous)
            lines = (tuple((key(x.part or ""), _plain(x.description), x.quantity) for x in s) for s in sides)
            return ("contents", key(statement.kit), *lines)
        case Cancels():
            return ("cancels", key(statement.cancels))
        case Withdrawn():
            return ("withdrawn", key(statement.part))
    raise TypeError(f"no such statement: {type(statement).__name__}")


def same_words(one: Statement, other: Statement) -> bool:
    """Whether two statements of one kind were read from the same words of one sheet."""
    return type(one) is type(other) and one.source.sheet == other.source.sheet and _likeness(one, other) > 0


def _likeness(one: Statement, other: Statement) -> float:
    """How far two quotes are alike, 0 to 100; 0 below `ALIKE`."""
    from rapidfuzz import fuzz

    a, b = _plain(one.quote), _plain(other.quote)
    whole = fuzz.ratio(a, b, score_cutoff=ALIKE)
    if not whole and min(len(a), len(b)) >= _SHORT and (a in b or b in a):
        return ALIKE
    return float(whole)


def _take_same(
    earlier: Sequence[Earlier],
    present: Sequence[Statement],
    found: dict[int, int],
    mark: Callable[[Statement], Hashable],
) -> None:
    """Pairs, in order, those whose marks are equal, the earlier ones as read or as they stand."""
    free: dict[Hashable, list[int]] = defaultdict(list)
    used = set(found.values())
    for i, one in enumerate(earlier):
        if i not in used:
            for m in {mark(one.read), mark(one.present)}:
                free[m].append(i)
    for j, statement in enumerate(present):
        if j not in found:
            left = [
                i
                for i in free.get(mark(statement), ())
                if i not in used and (not earlier[i].exact or same_words(earlier[i].read, statement))
            ]
            if left:
                found[j] = left[0]
                used.add(left[0])


def _take_alike(earlier: Sequence[Earlier], present: Sequence[Statement], found: dict[int, int]) -> None:
    used = set(found.values())
    olds = [i for i, one in enumerate(earlier) if i not in used and not one.exact]
    news = [j for j in range(len(present)) if j not in found]
    if len(olds) * len(news) > MOST_PAIRS:
        return
    ranked = sorted(_ranks(earlier, present, olds, news), reverse=True)
    for _, i, j in ranked:
        if -i not in used and -j not in found:
            found[-j] = -i
            used.add(-i)


def _ranks(
    earlier: Sequence[Earlier], present: Sequence[Statement], olds: Iterable[int], news: Sequence[int]
) -> Iterable[tuple[float, int, int]]:
    """Likeness with both places, negative so that of equal ones the first come first."""
    for i in olds:
        for j in news:
            old, new = earlier[i].read, present[j]
            if type(old) is type(new) and old.source.sheet == new.source.sheet:
                likeness = _likeness(old, new)
                if likeness:
                    yield likeness, -i, -j


def _plain(words: str | None) -> str:
    return " ".join((words or "").casefold().split())


def _keys(numbers: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(map(key, numbers)))

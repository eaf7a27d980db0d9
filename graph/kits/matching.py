"""Which line of what came is which line of what was expected: by number, through supersession, by
description.

The pairing as a whole is the best one (maximum-weight matching), not the first that fits.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.keys import key
from benchleaf.graph.kits.partnames import name_words
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.kits.received import Received
from benchleaf.graph.model import KitLine

LEAST = 60.0
"""Likeness out of 100 below which two lines are not the same thing."""
_SAME_WORD = 0.82
_MEASURE = re.compile(r"([0-9]{1,4}(?:[.,][0-9]{1,3})?)\s?mm\b")

Linked = Callable[[str, str], tuple[str, ...] | None]
"""For two part numbers: the notes that lead from one to the other, or None if nothing held links them."""


@dataclass(frozen=True, slots=True)
class Pair:
    """An expected line and what came for it; either may be missing. `because` are the notes that link the two
    numbers, `stranger` is True where the numbers differ and nothing held links them."""

    expected: KitLine | None
    received: Received | None
    because: tuple[str, ...] = ()
    stranger: bool = False


def pair_up(expected: Sequence[KitLine], received: Sequence[Received], linked: Linked) -> tuple[Pair, ...]:
    """Pair every line once: first the expected ones in their order, then what nobody expected."""
    wanted, came = _level(expected, received)
    partner = best_pairs(
        [[likeness(e, r, linked) for r in came] for e in wanted],
    )
    pairs = [_pair(e, came[partner[i]] if i in partner else None, linked) for i, e in enumerate(wanted)]
    taken = set(partner.values())
    return (*pairs, *(Pair(None, r) for j, r in enumerate(came) if j not in taken))


def best_pairs(scores: Sequence[Sequence[float]]) -> dict[int, int]:
    """The pairing of rows with columns whose scores sum highest; a score below `LEAST` makes no pair."""
    import networkx as nx

    graph = nx.Graph()
    for i, row in enumerate(scores):
        for j, score in enumerate(row):
            if score >= LEAST:
                graph.add_edge(("row", i), ("column", j), weight=score)
    found = {}
    for one, other in nx.max_weight_matching(graph):
        row, column = (one, other) if one[0] == "row" else (other, one)
        found[row[1]] = column[1]
    return dict(sorted(found.items()))


def likeness(expected: KitLine, received: Received, linked: Linked) -> float:
    """How surely the two are the same thing, 0 to about 100; equal quantities break ties."""
    bonus = 0.5 if expected.quantity == received.quantity else 0.0
    if expected.part and received.part:
        if key(expected.part) == key(received.part):
            return 200.0 + bonus
        if linked(expected.part, received.part) is not None:
            return 150.0 + bonus
    return same_name(expected.description, received.description) + bonus


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


def _other_size(one: str, other: str) -> bool:
    sizes = [{m.replace(",", ".").rstrip("0") for m in _MEASURE.findall(t.lower())} for t in (one, other)]
    return bool(sizes[0] and sizes[1] and not sizes[0] & sizes[1])


def _words_alike(first: Sequence[str], second: Sequence[str]) -> float:
    from rapidfuzz import fuzz

    short, long = sorted((first, second), key=len)
    best = [max(fuzz.ratio(a, b) / 100 for b in long) for a in short]
    if min(best) < _SAME_WORD:
        return 0.0
    missing = len(long) - len(short)
    return max(100.0 * sum(best) / len(best) - 12.0 * missing, 0.0)


def _pair(expected: KitLine, received: Received | None, linked: Linked) -> Pair:
    if received is None or not expected.part or not received.part or key(expected.part) == key(received.part):
        return Pair(expected, received)
    notes = linked(expected.part, received.part)
    return Pair(expected, received, notes or (), stranger=notes is None)


def _level(expected: Sequence[KitLine], received: Sequence[Received]) -> tuple[list[KitLine], list[Received]]:
    """Bring both sides to one grain: a person counts "11 steel discs" where the list has two thicknesses of
    them, or counts one listed line in two heaps."""
    wanted, came = list(expected), _heaped(received)
    for kind in ("friction", "steel"):
        want = [e for e in wanted if plate_kind(e.description) == kind]
        have = [r for r in came if plate_kind(r.description) == kind]
        if len(want) > 1 and len(have) == 1 and not have[0].part and not _MEASURE.search(have[0].description):
            at = wanted.index(want[0])
            wanted = [e for e in wanted if e not in want]
            wanted.insert(at, _sum(want))
    return wanted, came


def _sum(lines: Sequence[KitLine]) -> KitLine:
    counts = [line.quantity for line in lines]
    total = None if None in counts else sum(c for c in counts if c is not None)
    names = " + ".join(dict.fromkeys(line.description for line in lines))
    return KitLine(None, names, total)


def _heaped(received: Sequence[Received]) -> list[Received]:
    heaps: dict[tuple[str, str], Received] = {}
    for r in received:
        at = (key(r.part or ""), " ".join(r.description.lower().split()))
        held = heaps.get(at)
        heaps[at] = r if held is None else replace(held, quantity=_plus(held.quantity, r.quantity))
    return list(heaps.values())


def _plus(one: int | None, other: int | None) -> int | None:
    return None if one is None or other is None else one + other

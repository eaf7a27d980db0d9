"""Rings of numbers that replace each other, found among a million links in bounded memory.

Whatever nothing leads to, or nothing leads on from, lies on no ring; without it little is left to look at.
"""

from array import array
from collections.abc import Iterable

Link = tuple[int, int]
"""From one number to the one that took its place, each by its id."""


def rings(linked: Iterable[Link]) -> list[frozenset[int]]:
    """The rings, each with all numbers that can be reached from one another in it; the lowest id first.

    >>> rings([(1, 2), (2, 3), (3, 2), (3, 4)])
    [frozenset({2, 3})]
    """
    import networkx as nx

    graph = nx.DiGraph(_core(_core(linked), back=True))
    found = (frozenset(ring) for ring in nx.strongly_connected_components(graph) if len(ring) > 1)
    return sorted(found, key=min)


def _core(linked: Iterable[Link], *, back: bool = False) -> Iterable[Link]:
    """The links that remain when numbers that nothing leads to are taken away until there are none; with
    `back`, those that lead nowhere."""
    olds, news = array("q"), array("q")
    for old, new in linked:
        olds.append(new if back else old)
        news.append(old if back else new)
    into = _living(olds, news)
    left = ((o, n) for o, n in zip(olds, news, strict=True) if into[o] and into[n])
    return ((n, o) for o, n in left) if back else left


def _living(olds: "array[int]", news: "array[int]") -> "array[int]":
    """For each id, how many links lead to it when whatever nothing leads to was taken away."""
    size = max(max(olds, default=0), max(news, default=0)) + 1
    into, first = array("q", bytes(8 * size)), array("q", bytes(8 * (size + 1)))
    for old, new in zip(olds, news, strict=True):
        into[new] += 1
        first[old + 1] += 1
    for at in range(size):
        first[at + 1] += first[at]
    after, at_place = array("q", bytes(8 * len(olds))), array("q", first)
    for old, new in zip(olds, news, strict=True):
        after[at_place[old]] = new
        at_place[old] += 1
    waiting = [n for n in range(size) if not into[n]]
    while waiting:
        gone = waiting.pop()
        for new in after[first[gone] : first[gone + 1]]:
            into[new] -= 1
            if not into[new]:
                waiting.append(new)
    return into

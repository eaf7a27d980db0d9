"""What became of part numbers as a small graph: edges that carry their statements, paths and rings.

It does for a few statements what networkx does, and takes the same one of several equally short paths; to
import that takes longer than fifty answers.
"""

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence

from benchleaf.graph.keys import key
from benchleaf.graph.model import Supersession

Fringe = dict[str, str | None]
"""Each number reached, with the one from which it was reached."""


class Ways:
    """Part keys, each as last printed, and the statements on the way from each old to each new one."""

    def __init__(self, statements: Iterable[Supersession] = ()) -> None:
        self.printed: dict[str, str] = {}
        self.ahead: dict[str, dict[str, list[Supersession]]] = {}
        self.back: dict[str, dict[str, list[Supersession]]] = {}
        for statement in statements:
            olds, news = ([(key(n), n) for n in side] for side in (statement.old, statement.new))
            for node, number in (*olds, *news):
                self.printed[node] = number
                self.ahead.setdefault(node, {})
                self.back.setdefault(node, {})
            for (old, _), (new, _) in itertools.product(olds, news):
                if old != new:
                    self.ahead[old].setdefault(new, []).append(statement)
                    self.back[new].setdefault(old, []).append(statement)

    def __contains__(self, node: str) -> bool:
        """Whether any statement names that number."""
        return node in self.printed

    def edges(self) -> Iterator[tuple[str, str]]:
        """Each old with each new number, once for every statement."""
        return ((o, n) for o, news in self.ahead.items() for n, said in news.items() for _ in said)

    def path(self, old: str, new: str) -> list[str] | None:
        """The numbers on a shortest way from one number to another, both included; None if none leads
        there."""
        if old not in self or new not in self:
            return None
        if old == new:
            return [old]
        before: Fringe = {old: None}
        after: Fringe = {new: None}
        met = self._meeting(before, after)
        if met is None:
            return None
        return [*list(_followed(before, met))[::-1], *list(_followed(after, met))[1:]]

    def _meeting(self, before: Fringe, after: Fringe) -> str | None:
        """Where the ways on from the one and back from the other meet: the smaller side goes on."""
        one, other = list(before), list(after)
        while one and other:
            forward = len(one) <= len(other)
            linked, seen, ends = (self.ahead, before, after) if forward else (self.back, after, before)
            found: list[str] = []
            for node in one if forward else other:
                for following in linked[node]:
                    if following not in seen:
                        seen[following] = node
                        found.append(following)
                    if following in ends:
                        return following
            one, other = (found, other) if forward else (one, found)
        return None


def _followed(reached: Fringe, start: str) -> Iterator[str]:
    at: str | None = start
    while at is not None:
        yield at
        at = reached[at]


def strong(linked: Mapping[str, Sequence[str]]) -> list[set[str]]:
    """The groups of numbers of which each leads to every other (Tarjan's algorithm without recursion); a
    number alone is a group too. `linked` has every number.

    >>> strong({"A": ["B"], "B": ["A"], "C": ["A"]}) == [{"A", "B"}, {"C"}]
    True
    """
    low: dict[str, int] = {}
    held: dict[str, None] = {}
    groups: list[set[str]] = []
    for start in linked:
        work = [(start, iter(linked[start]))] if start not in low else []
        at = {start: len(low)}
        if work:
            low[start] = len(low)
            held[start] = None
        while work:
            node, following = work[-1]
            step = next((n for n in following if n not in low or n in held), None)
            if step is None:
                work.pop()
                _close(node, at, low, held, groups)
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
            elif step in low:
                low[node] = min(low[node], low[step])
            else:
                at[step] = low[step] = len(low)
                held[step] = None
                work.append((step, iter(linked[step])))
    return groups


def _close(
    node: str, at: Mapping[str, int], low: Mapping[str, int], held: dict[str, None], groups: list[set[str]]
) -> None:
    """Takes a group off the numbers held, once its first number is done."""
    if low[node] != at[node]:
        return
    group: set[str] = set()
    while node not in group:
        last, _ = held.popitem()
        group.add(last)
    groups.append(group)

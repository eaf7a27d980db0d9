"""Walking a few supersessions without a graph library: importing one takes longer than a page's answer."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from benchleaf.graph.keys import key
from benchleaf.graph.model import Supersession

Links = Mapping[str, frozenset[str]]


def links(statements: Iterable[Supersession], *, back: bool = False) -> Links:
    """Part key → the keys that took its place; with `back`, the keys that it stands in for."""
    found: dict[str, set[str]] = defaultdict(set)
    for statement in statements:
        for old in map(key, statement.old):
            for new in map(key, statement.new):
                if old != new:
                    one, other = (new, old) if back else (old, new)
                    found[one].add(other)
    return {one: frozenset(others) for one, others in found.items()}


def distances(start: str, linked: Links) -> dict[str, int]:
    """Every key reached from `start`, with the number of steps; `start` itself is left out.

    >>> distances("A", {"A": frozenset("B"), "B": frozenset("AC")})
    {'B': 1, 'C': 2}
    """
    far: dict[str, int] = {}
    ahead, step = {start}, 0
    while ahead:
        step += 1
        ahead = {n for one in ahead for n in linked.get(one, ())} - {start, *far}
        far.update(dict.fromkeys(sorted(ahead), step))
    return far

"""Supersession: what a part number became, by directed and dated statements.

Only settled statements count; doubtful ones are reported. A return to an earlier number is resolved by
date; a true cycle is a problem to tell, and never an empty answer.
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key, natural
from benchleaf.graph.model import Relation, Supersession
from benchleaf.graph.walk import distances
from benchleaf.graph.ways import Ways, strong

_AGO = dt.date.min


@dataclass(frozen=True, slots=True)
class Current:
    """The current numbers (as printed), how they relate, the statements followed, and what is wrong."""

    numbers: tuple[str, ...]
    relation: Relation
    path: tuple[Supersession, ...]
    problems: tuple[str, ...]


def graph_of(statements: Iterable[Supersession]) -> Ways:
    """Part keys as nodes (with `printed`), an edge from each old to each new number (with its statement)."""
    return Ways(statements)


def settled(statements: Iterable[Supersession], on: dt.date | None = None) -> tuple[Supersession, ...]:
    """The settled statements dated up to `on` (undated ones too), in an order that does not depend on
    theirs."""
    kept = {s for s in statements if s.standing == "settled" and (on is None or (s.date or _AGO) <= on)}
    return tuple(sorted(kept, key=_order))


def _order(s: Supersession) -> tuple[object, ...]:
    return (s.date or _AGO, natural(s.note), s.note, s.old, s.new)


def current(number: str, statements: Iterable[Supersession], on: dt.date | None = None) -> Current:
    """Follow `number` to its current numbers as of `on`. Unknown numbers are their own current number."""
    return _Walk(settled(statements, on)).answer(number)


def earlier(number: str, statements: Iterable[Supersession], on: dt.date | None = None) -> tuple[str, ...]:
    """Every number that `number` stands in for, nearest first, as printed."""
    graph = graph_of(settled(statements, on))
    if key(number) not in graph:
        return ()
    far = distances(key(number), {new: frozenset(olds) for new, olds in graph.back.items()})
    found = sorted((d, natural(graph.printed[n]), n) for n, d in far.items())
    return tuple(graph.printed[n] for _, _, n in found)


class _Walk:
    """One walk over settled statements: what each number became, and where a return ends it."""

    def __init__(self, statements: Sequence[Supersession]) -> None:
        self.graph = graph_of(statements)
        rings = strong({node: list(news) for node, news in self.graph.ahead.items()})
        self.ring = {n: i for i, ring in enumerate(rings) for n in ring}
        self.problems: list[str] = []

    def answer(self, number: str) -> Current:
        steps = self._steps(key(number))
        ends = [n for n, told in steps.items() if not told or any(n in _news(s) for s in told)]
        ends += [n for ring in self._circles(steps) for n in ring if n not in ends]
        path = tuple(dict.fromkeys(s for told in steps.values() for s in told))
        numbers = tuple(self._printed(n, number) for n in ends)
        relation: Relation = self._relation(steps) if len(numbers) > 1 else "one"
        return Current(numbers, relation, path, tuple(dict.fromkeys(self.problems)))

    def _printed(self, node: str, asked: str) -> str:
        return self.graph.printed.get(node, asked)

    def _steps(self, start: str) -> dict[str, list[Supersession]]:
        """Every number on the way, nearest first, with the statements that lead on from it."""
        steps: dict[str, list[Supersession]] = {}
        ahead = [start]
        while ahead:
            steps.update({n: self._next(n) for n in ahead})
            found = [key(new) for n in ahead for s in steps[n] for new in s.new]
            ahead = [n for n in dict.fromkeys(found) if n not in steps]
        return steps

    def _next(self, node: str) -> list[Supersession]:
        """The statements that say what `node` became: the newest ones, unless a later return made it
        current."""
        if node not in self.graph:
            return []
        out = sorted({s for said in self.graph.ahead[node].values() for s in said}, key=_order)
        if not out or self._returned(node, out[-1]):
            return []
        return self._newest(node, out)

    def _returned(self, node: str, last: Supersession) -> bool:
        back = [s for old, said in self.graph.back[node].items() if self._beside(old, node) for s in said]
        return any(s.date and last.date and s.date > last.date for s in back)

    def _beside(self, one: str, other: str) -> bool:
        return self.ring[one] == self.ring[other]

    def _newest(self, node: str, out: list[Supersession]) -> list[Supersession]:
        date = out[-1].date
        newest = [s for s in out if s.date in (date, None)]
        printed = self._printed(node, node)
        for old in out:
            if old not in newest and not self._leads_on(old, newest[-1]):
                later = f"the later {newest[-1].note} is followed"
                self.problems.append(f"{old.note} gave {' and '.join(old.new)} for {printed}; {later}")
        if len({_news(s) for s in newest}) > 1:
            names = "; ".join(f"{s.note}: {' and '.join(s.new)}" for s in newest)
            self.problems.append(f"several numbers are given for {printed} with no later word: {names}")
        return newest

    def _leads_on(self, old: Supersession, new: Supersession) -> bool:
        """A later list often gives the end of a chain at once: no contradiction."""
        return all(self.graph.path(o, n) is not None for o in _news(old) for n in _news(new))

    def _circles(self, steps: dict[str, list[Supersession]]) -> list[list[str]]:
        """Numbers that replace each other with no way out. Those with one are told as a problem too: what
        leads out is followed."""
        live: dict[str, dict[str, None]] = {}
        for n, told in steps.items():
            for new in (new for s in told for new in _news(s) if new != n):
                live.setdefault(n, {})[new] = None
                live.setdefault(new, {})
        circles = [sorted(ring) for ring in strong({n: list(news) for n, news in live.items()})]
        circles = [ring for ring in circles if len(ring) > 1]
        for circle in circles:
            names = ", ".join(self._printed(n, n) for n in circle)
            self.problems.append(
                f"{names} replace each other in a circle and the dates do not tell the last: ask the maker"
            )
        return [ring for ring in circles if all(new in ring for n in ring for new in live[n])]

    def _relation(self, steps: dict[str, list[Supersession]]) -> Relation:
        """One word for a way with forks: the first fork's; a mixture is told as a problem."""
        forks: list[Relation] = []
        for told in steps.values():
            forks += ["one of"] if len({_news(s) for s in told}) > 1 else []
            forks += [s.relation for s in told if len(_news(s)) > 1]
        forks = [f for f in forks if f != "one"]
        if len(set(forks)) > 1:
            self.problems.append("some of these numbers are a choice and some go together: see the path")
        return forks[0] if forks else "one of"


def _news(statement: Supersession) -> frozenset[str]:
    return frozenset(key(n) for n in statement.new)

"""A part's history as a picture: its numbers from the top down, the notes between them, forks and doubts."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from textwrap import wrap
from typing import TYPE_CHECKING

from benchleaf.cli.say import dated, listed, many
from benchleaf.graph.keys import key

if TYPE_CHECKING:
    from benchleaf.graph.model import Supersession
    from benchleaf.graph.part import PartAnswer
    from benchleaf.graph.store import Store

WIDE, GAP_X, GAP_Y = 208.0, 22.0, 32.0
"""The width of a box, and the room beside and below it, in the picture's own units."""
_HEAD, _LINE, _PAD, _SIGNS, _NUMBER_SIGNS = 21.0, 16.0, 8.0, 29, 19
MOST = 60
"""So many statements are drawn; the rest are counted."""


@dataclass(frozen=True, slots=True)
class Knot:
    """A box of the picture: a part number, or the notes that made one number another.

    `number` and `note` are what the box leads to. `strong` marks the number to use today, `dashed` what is in
    doubt. `title` is set large, `lines` small below it.
    """

    title: tuple[str, ...]
    lines: tuple[str, ...]
    number: str | None
    note: str | None
    strong: bool
    dashed: bool
    x: float = 0.0
    y: float = 0.0

    @property
    def high(self) -> float:
        """The height of the box."""
        return _PAD * 2 + len(self.title) * _HEAD + len(self.lines) * _LINE

    @property
    def middle(self) -> float:
        """The middle of the box, across."""
        return self.x + WIDE / 2

    def places(self) -> list[tuple[str, str, float]]:
        """Each line of words: its style, the words, and how far down it stands."""
        titles = [("title", t, self.y + _PAD + (i + 0.8) * _HEAD) for i, t in enumerate(self.title)]
        top = self.y + _PAD + len(self.title) * _HEAD
        return titles + [("small", t, top + (i + 0.75) * _LINE) for i, t in enumerate(self.lines)]


@dataclass(frozen=True, slots=True)
class Thread:
    """A line from one box to the next, as an SVG path; `tip` is its arrow head, empty where it has none."""

    path: str
    tip: str
    dashed: bool


@dataclass(frozen=True, slots=True)
class History:
    """The whole picture, and how many statements had no room in it."""

    knots: tuple[Knot, ...]
    threads: tuple[Thread, ...]
    wide: float
    high: float
    left_out: int = 0

    @property
    def narrow(self) -> bool:
        """Whether something else has room beside the picture."""
        return self.wide < 2 * WIDE + 2 * GAP_X


@dataclass(frozen=True, slots=True)
class PartView:
    """A part's answer, with its history (None where no note speaks of the number)."""

    answer: "PartAnswer"
    history: History | None


def part_view(store: "Store", answer: "PartAnswer", on: dt.date | None = None) -> PartView:
    """The answer with the picture of all that the notes up to `on` made of the number, and what they made it
    of."""
    if answer.part is None:
        return PartView(answer, None)
    told = [s for s in store.supersessions([key(answer.part)]) if s.standing != "refused"]
    told = [s for s in told if on is None or s.date is None or s.date <= on]
    lines = _of_its_line(key(answer.part), told)
    return PartView(answer, _drawn(answer, lines) if lines else None)


def _of_its_line(asked: str, told: "Sequence[Supersession]") -> "list[Supersession]":
    """The statements that lead to the number or on from it; those that only touch a relative are left out."""
    found: list[Supersession] = []
    for here, there in ((_olds, _news), (_news, _olds)):
        reached, before = {asked}, 0
        while len(reached) != before:
            before = len(reached)
            for s in told:
                if reached & here(s):
                    found.append(s)
                    reached |= there(s)
    return list(dict.fromkeys(found))


def _olds(s: "Supersession") -> set[str]:
    return {key(n) for n in s.old}


def _news(s: "Supersession") -> set[str]:
    return {key(n) for n in s.new}


def _drawn(answer: "PartAnswer", lines: "Sequence[Supersession]") -> History:
    said: dict[tuple[object, ...], list[Supersession]] = {}
    for s in sorted(lines, key=lambda s: (str(s.date or ""), s.note)):
        same = (tuple(map(key, s.old)), tuple(map(key, s.new)), s.standing == "doubtful")
        said.setdefault(same, []).append(s)
    groups = list(said.values())[:MOST]
    ranks = _ranks(groups)
    knots: dict[str, Knot] = {key(n): _number_knot(answer, n) for g in groups for n in (*g[0].old, *g[0].new)}
    above: dict[str, set[str]] = {}
    for i, group in enumerate(groups):
        name = f"note {i}"
        knots[name], above[name] = _note_knot(answer, group), _olds(group[0])
        ranks[name] = max(ranks[o] for o in above[name]) + 1
        for new in _news(group[0]):
            above.setdefault(new, set()).add(name)
    placed = _placed(knots, _pulled_down(ranks, above), above)
    threads = [t for i, g in enumerate(groups) for t in _threads(placed, f"note {i}", g[0])]
    wide = max(k.x for k in placed.values()) + WIDE + 2
    high = max(k.y + k.high for k in placed.values()) + 2
    return History(tuple(placed.values()), tuple(threads), wide, high, len(lines) - sum(map(len, groups)))


def _ranks(groups: "Sequence[list[Supersession]]") -> dict[str, int]:
    """How far down each number stands; a ring of numbers is cut where it comes round."""
    numbers = {n for g in groups for n in (_olds(g[0]) | _news(g[0]))}
    ranks = dict.fromkeys(numbers, 0)
    for _ in range(len(numbers)):
        for g in groups:
            below = max(ranks[o] for o in _olds(g[0])) + 2
            for n in _news(g[0]) - _olds(g[0]):
                if ranks[n] < below <= 2 * len(numbers):
                    ranks[n] = below
    used = {r: i * 2 for i, r in enumerate(sorted(set(ranks.values())))}
    return {n: used[r] for n, r in ranks.items()}


def _pulled_down(ranks: dict[str, int], above: dict[str, set[str]]) -> dict[str, int]:
    """The rows with each number that nothing leads to set right above its first note, so that its line passes
    behind no other box."""
    firsts = {n: [ranks[note] for note, olds in above.items() if n in olds] for n in ranks if n not in above}
    return ranks | {n: min(rows) - 1 for n, rows in firsts.items() if rows}


def _number_knot(answer: "PartAnswer", number: str) -> Knot:
    now = key(number) in {key(n) for n in answer.current}
    words = ["the number asked for"] if key(number) == key(answer.part or "") else []
    words += ["current"] if now else []
    return Knot(tuple(wrap(number, _NUMBER_SIGNS)), tuple(words), number, None, now, dashed=False)


def _note_knot(answer: "PartAnswer", group: "Sequence[Supersession]") -> Knot:
    """What one or several notes say alike."""
    first, doubtful = group[0], group[0].standing == "doubtful"
    told = [dated(s.note, s.date) for s in group[:2]]
    told += [f"and {many(len(group) - 2, 'more note')}"] if len(group) > 2 else []
    words = [line for one in told for line in wrap(one, _SIGNS)]
    words += [f"{listed(first.old)} together"] if len(first.old) > 1 else []
    words += [] if first.relation == "one" else [f"becomes {first.relation} these"]
    words += [] if first.interchange == "unstated" else [f"interchange: {first.interchange}"]
    words += [f"old stock: {first.stock}"] if first.stock else []
    if doubtful:
        words.append("DOUBT, not followed")
    elif not _followed(answer, group):
        words.append("not followed")
    return Knot((), tuple(w for one in words for w in wrap(one, _SIGNS)), None, first.note, False, doubtful)


def _followed(answer: "PartAnswer", group: "Sequence[Supersession]") -> bool:
    """Whether the answer's way, or the way that led to the number, goes through this."""
    way = {step.statement for step in answer.path}
    before = {key(n) for n in (*answer.was, answer.part or "")}
    return any(s.id in way for s in group) or bool(before & _news(group[0]))


def _placed(knots: dict[str, Knot], ranks: dict[str, int], above: dict[str, set[str]]) -> dict[str, Knot]:
    """The boxes in rows, every row in the middle of the picture, each box as near as may be below those that
    lead to it."""
    rows = [[n for n in knots if ranks[n] == rank] for rank in sorted({ranks[n] for n in knots})]
    widest = max(len(row) for row in rows)
    placed: dict[str, Knot] = {}
    y = 1.0
    for row in rows:
        x = (widest - len(row)) * (WIDE + GAP_X) / 2 + 1
        for i, name in enumerate(sorted(row, key=lambda n: _aim(placed, above.get(n, ())))):
            placed[name] = replace(knots[name], x=round(x + i * (WIDE + GAP_X), 1), y=round(y, 1))
        y += max(knots[n].high for n in row) + GAP_Y
    return placed


def _aim(placed: dict[str, Knot], above: Iterable[str]) -> float:
    """Where the boxes that lead to one stand, on the average; far right without any."""
    found = [placed[n].middle for n in above if n in placed]
    return sum(found) / len(found) if found else float("inf")


def _threads(placed: dict[str, Knot], name: str, s: "Supersession") -> Iterable[Thread]:
    note = placed[name]
    for old in sorted(_olds(s)):
        yield _thread(placed[old], note, tip=False)
    for new in sorted(_news(s)):
        yield _thread(note, placed[new], tip=True)


def _thread(one: Knot, other: Knot, *, tip: bool) -> Thread:
    x0, y0, x1, y1 = one.middle, one.y + one.high, other.middle, other.y
    end, bend = y1 - (7 if tip else 0), (y1 - y0) / 2
    path = f"M{x0:g} {y0:g}C{x0:g} {y0 + bend:g} {x1:g} {y1 - bend:g} {x1:g} {end:g}"
    head = f"M{x1 - 5:g} {y1 - 9:g}L{x1 + 5:g} {y1 - 9:g}L{x1:g} {y1:g}Z" if tip else ""
    return Thread(path, head, one.dashed or other.dashed)

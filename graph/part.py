"""A part number's answer: what it became, what it was, where it is used, what is wrong."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph import supersession
from benchleaf.graph.applicability import apart, words
from benchleaf.graph.cancelled import Cancelled, cancelled_notes
from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies, Interchange, Relation, Standing, Stock, Supersession
from benchleaf.graph.shelf import Shelf


@dataclass(frozen=True, slots=True)
class PartStep:
    """One step of a number's way: `old` became `new`. `applies` are the units that its note names."""

    old: tuple[str, ...]
    new: tuple[str, ...]
    note: str
    date: dt.date | None
    relation: Relation
    interchange: Interchange
    stock: Stock | None
    standing: Standing
    statement: int | None
    applies: Applies | None = None
    by_ocr: bool = False


@dataclass(frozen=True, slots=True)
class PartUse:
    """A step that names the part (a parts list has no item); `part` is the number as asked or an earlier
    one that it replaced."""

    publication: str
    page: str | None
    item: str | None
    part: str


@dataclass(frozen=True, slots=True)
class PartAnswer:
    """`part` is the number as written in the sources, None if unknown; `near` are then likely numbers.

    `current` is never empty for a known number. `was` are earlier numbers, nearest first. `in_kits` are kits
    said to contain the asked number, by settled words of notes or by the manuals themselves. `problems` are
    sentences for a person.
    """

    asked: str
    part: str | None
    current: tuple[str, ...]
    relation: Relation
    path: tuple[PartStep, ...]
    was: tuple[str, ...]
    used: tuple[PartUse, ...]
    in_kits: tuple[str, ...]
    problems: tuple[str, ...]
    near: tuple[str, ...] = ()


def part_answer(store: Shelf, number: str, on: dt.date | None = None) -> PartAnswer:
    """All that is held on `number`, as of `on` (None: everything held, whatever its date)."""
    printed = store.printed(key(number))
    if printed is None:
        return PartAnswer(number, None, (), "one", (), (), (), (), (), store.near_parts(number))
    statements = store.supersessions([key(number)])
    found = supersession.current(printed, statements, on)
    found = _by_units(store, found, statements, on)
    doubts = _doubtful_on_the_way(found, printed, statements, on)
    was = supersession.earlier(printed, statements, on)
    problems = [
        *found.problems,
        *_doubt_words(doubts),
        *_cancelled_words(found.path, cancelled_notes(store, on, {s.note for s in found.path})),
        *_interchange_words(found.path),
        *_withdrawn_words(store, found.numbers, on),
    ]
    return PartAnswer(
        asked=number,
        part=printed,
        current=found.numbers,
        relation=found.relation,
        path=tuple(_step(store, s) for s in (*found.path, *doubts)),
        was=tuple(n for n in was if key(n) != key(printed)),
        used=_uses(store, (printed, *was)),
        in_kits=_kits(store, printed, on),
        problems=tuple(dict.fromkeys(problems)),
    )


def _by_units(
    store: Shelf, found: supersession.Current, statements: Sequence[Supersession], on: dt.date | None
) -> supersession.Current:
    """Two notes that give different numbers for different units are a choice by unit: the later does not
    win."""
    rivals = _rivals(store, found.path, supersession.settled(statements, on))
    if not rivals:
        return found
    numbers, path, problems = list(found.numbers), list(found.path), list(found.problems)
    for rival in rivals:
        later = [s for s in statements if s.note != rival.note or s == rival]
        for new in rival.new:
            branch = supersession.current(new, later, on)
            numbers += [n for n in branch.numbers if key(n) not in {key(m) for m in numbers}]
            path += [rival, *branch.path]
        units = words(_applies(store, rival) or Applies())
        problems.append(f"{' and '.join(rival.new)} for other units ({rival.note}: {units})")
    return supersession.Current(tuple(numbers), "one of", tuple(dict.fromkeys(path)), tuple(problems))


def _rivals(
    store: Shelf, path: Sequence[Supersession], statements: Sequence[Supersession]
) -> list[Supersession]:
    found = []
    for step in path:
        olds = {key(o) for o in step.old}
        for other in statements:
            if other in path or not olds & {key(o) for o in other.old} or set(other.new) == set(step.new):
                continue
            one, two = _applies(store, step), _applies(store, other)
            if one and two and apart(one, two):
                found.append(other)
    return found


def _applies(store: Shelf, statement: Supersession) -> Applies | None:
    note = store.note_head(statement.note)
    return note.applies if note else None


def _step(store: Shelf, s: Supersession) -> PartStep:
    units = _applies(store, s)
    said = (s.note, s.date, s.relation, s.interchange, s.stock, s.standing, s.id)
    return PartStep(s.old, s.new, *said, units, s.source.by_ocr)


def _doubtful_on_the_way(
    found: supersession.Current, asked: str, statements: Sequence[Supersession], on: dt.date | None
) -> tuple[Supersession, ...]:
    """Doubtful statements that would lead on from, or into, a number of the way."""
    way = {key(asked), *(key(n) for n in found.numbers)}
    way |= {key(n) for s in found.path for n in s.new}
    doubtful = [
        s for s in statements if s.standing == "doubtful" and (on is None or not s.date or s.date <= on)
    ]
    return tuple(s for s in doubtful if way & {key(n) for n in (*s.old, *s.new)})


def _doubt_words(doubts: Sequence[Supersession]) -> list[str]:
    return [
        f"doubtful, not followed: {d.note} may say that {' and '.join(d.old)} became {' or '.join(d.new)}"
        + (f" (reading {d.id}; {'; '.join(d.why)})" if d.id is not None else f" ({'; '.join(d.why)})")
        for d in doubts
    ]


def _cancelled_words(path: Sequence[Supersession], cancelled: dict[str, Cancelled]) -> list[str]:
    said = []
    for step in path:
        gone = cancelled.get(key(step.note))
        if gone:
            said.append(
                f"{step.note}, which gave {' and '.join(step.new)}, was cancelled by {gone.by}: "
                "the number at the parts desk did change, but check with the maker"
            )
    return said


def _interchange_words(path: Sequence[Supersession]) -> list[str]:
    return [
        f"{' and '.join(s.new)} cannot be fitted in place of {' and '.join(s.old)} without more ({s.note})"
        for s in path
        if s.interchange == "none"
    ]


def _withdrawn_words(store: Shelf, numbers: Sequence[str], on: dt.date | None) -> list[str]:
    said = []
    for number in numbers:
        for w in store.withdrawals(number):
            if w.standing == "refused" or (on is not None and w.date is not None and w.date > on):
                continue
            doubt = "" if w.standing == "settled" else " (doubtful reading)"
            said.append(f"{number} is no longer supplied and nothing takes its place ({w.note}){doubt}")
    return said


def _uses(store: Shelf, numbers: Sequence[str]) -> tuple[PartUse, ...]:
    uses = [PartUse(m.publication, m.page, m.item, n) for n in numbers for m in store.mentions(n)]
    return tuple(dict.fromkeys(uses))


def _kits(store: Shelf, number: str, on: dt.date | None) -> tuple[str, ...]:
    """Kits whose present lines name the number, by a note's settled word or by a manual's own list."""
    said = [
        c
        for c in store.contents_with(number)
        if c.standing == "settled" and key(number) in {key(line.part) for line in c.lines if line.part}
    ]
    return tuple(dict.fromkeys(c.kit for c in said if on is None or c.date is None or c.date <= on))

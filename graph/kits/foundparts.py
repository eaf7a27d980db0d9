"""Part numbers found inside a unit: of before or after which notes, and whether old and new are mixed.

A note's date is the day on which it was written, not the day on which a shop fitted the part: what follows
from a number is told as evidence. Not mixing old and new parts is common practice, no source.
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph import supersession
from benchleaf.graph.keys import key
from benchleaf.graph.kits.received import Received
from benchleaf.graph.model import Contents, KitLine, Supersession
from benchleaf.graph.shelf import Shelf
from benchleaf.graph.walk import distances, links


@dataclass(frozen=True, slots=True)
class FoundPart:
    """A number found: `part` as the sources write it, else as found. `came_with` and `replaced_by` are the
    notes that brought it and that put others in its place, `sentences` what follows, for a person. `near` are
    likely numbers where no paper names it."""

    part: str
    known: bool
    came_with: tuple[str, ...]
    replaced_by: tuple[str, ...]
    sentences: tuple[str, ...]
    near: tuple[str, ...] = ()


def found_part(store: Shelf, number: str, on: dt.date | None = None) -> FoundPart:
    """What the notes held say of one number that was found, as of `on`."""
    printed = store.printed(key(number))
    told = [s for s in store.supersessions([key(number)]) if _counts(s, on)]
    if printed is None and not told:
        near = store.near_parts(number)
        hint = f"; near: {', '.join(near)}" if near else ""
        said = f"part {number} was found: no paper held names it{hint}"
        return FoundPart(number, False, (), (), (said,), near)
    sure = supersession.settled(told)
    news = [s for s in sure if key(number) in {key(n) for n in s.new}]
    olds = [s for s in sure if key(number) in {key(n) for n in s.old}]
    name = printed or number
    said_all = [*_since(name, news), *_until(name, olds), *_doubts(name, told)]
    return FoundPart(
        part=name,
        known=True,
        came_with=tuple(dict.fromkeys(s.note for s in news)),
        replaced_by=tuple(dict.fromkeys(s.note for s in olds)),
        sentences=tuple(said_all) or (f"part {name} was found: no note held brings it or replaces it",),
    )


def mixtures(
    found: Sequence[Received], told: Sequence[Supersession], kits: Iterable[Contents]
) -> tuple[str, ...]:
    """What was found of before a note together with what is of after it, a sentence for each note; where the
    note lets old and new be fitted for each other, that is no mixture. `told` are settled statements."""
    parts = {key(r.part): r.part for r in found if r.part and r.quantity != 0}
    strict = [s for s in told if s.interchange != "both ways"]
    sides: list[tuple[set[str], set[str], str]] = []
    for note in dict.fromkeys(s.note for s in strict):
        ours = [s for s in strict if s.note == note]
        olds, news = _keys(n for s in ours for n in s.old), _keys(n for s in ours for n in s.new)
        sides.append((olds - news, news - olds, note))
    for c in kits:
        before, now = _numbers(c.previous), _numbers(c.lines)
        free = _keys(n for s in told if s.interchange == "both ways" for n in (*s.old, *s.new))
        sides.append((before - now - free, now - before - free, c.note))
    said = [_mixed(parts, before, now, note) for before, now, note in sides]
    return tuple(dict.fromkeys([*(w for w in said if w), *_far(parts, strict)]))


def _mixed(parts: dict[str, str], before: set[str], now: set[str], note: str) -> str:
    old, new = ([parts[k] for k in parts if k in side] for side in (before, now))
    if not old or not new:
        return ""
    return (
        f"{' and '.join(old)} is of before note {note} and {' and '.join(new)} of after it: old and new parts"
        " are mixed; do not intermix unless a note says so"
    )


def _far(parts: dict[str, str], told: Sequence[Supersession]) -> list[str]:
    """Two numbers found of which one stands in for the other over several notes."""
    ahead = links(told)
    return [
        f"{parts[old]} was found beside {parts[new]}, which replaced it over several notes: old and new parts"
        " are mixed; do not intermix unless a note says so"
        for old in parts
        for new, steps in distances(old, ahead).items()
        if new in parts and steps > 1
    ]


def _since(name: str, news: Sequence[Supersession]) -> list[str]:
    return [
        f"part {name} was found: it came in place of {' and '.join(s.old)} with note {s.note}{_of(s.date)},"
        " so the unit was built or opened after that"
        for s in news[:1]
    ]


def _until(name: str, olds: Sequence[Supersession]) -> list[str]:
    return [
        f"part {name} was found: superseded by {' and '.join(s.new)} in note {s.note}{_of(s.date)}, so it was"
        " fitted before that reached the workshop, or from old stock"
        for s in olds[-1:]
    ]


def _doubts(name: str, told: Iterable[Supersession]) -> list[str]:
    return [
        f"a doubtful reading{'' if s.id is None else f' {s.id}'} of {s.note} may say that"
        f" {' and '.join(s.old)} became {' and '.join(s.new)}: settle it first"
        for s in told
        if s.standing == "doubtful" and key(name) in _keys((*s.old, *s.new))
    ]


def _counts(s: Supersession, on: dt.date | None) -> bool:
    return s.standing != "refused" and (on is None or s.date is None or s.date <= on)


def _of(date: dt.date | None) -> str:
    return f" of {date.isoformat()}" if date else ""


def _keys(numbers: Iterable[str]) -> set[str]:
    return {key(n) for n in numbers}


def _numbers(lines: Iterable[KitLine]) -> set[str]:
    return {key(line.part) for line in lines if line.part}

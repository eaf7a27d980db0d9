"""What is said beside a kit's lines: whose word they are, what is doubtful, cancelled, later, or like it."""

import datetime as dt
from collections.abc import Iterable, Sequence

from benchleaf.graph import supersession
from benchleaf.graph.applicability import Unit, covers, words
from benchleaf.graph.binding import plate_counts
from benchleaf.graph.cancelled import cancelled_notes
from benchleaf.graph.keys import key
from benchleaf.graph.kits.expected import Expected
from benchleaf.graph.kits.listing import alike
from benchleaf.graph.kits.matching import Pair
from benchleaf.graph.kits.received import Received, as_lines
from benchleaf.graph.model import KitLine, Supersession
from benchleaf.graph.shelf import Searched, Shelf

_PLACES = 5


def doubts(e: Expected) -> list[str]:
    """The doubtful readings of the kit's contents."""
    return [
        f"{c.note} lists the kit in a doubtful reading ({c.id}: {'; '.join(c.why) or 'not settled'}):"
        " settle it first"
        for c in e.doubtful
    ]


def newer_doubts(e: Expected, got: Sequence[Received]) -> list[str]:
    """Doubtful readings that are newer than the list in force and that what came does not agree with: if they
    hold, what came is wrong."""
    if e.basis == "nothing" or not got:
        return []
    newer = [c for c in e.doubtful if e.date is None or c.date is None or c.date >= e.date]
    said = []
    for c in newer:
        unlike = [line for line in c.lines if not _came(line, as_lines(got))]
        said += [f"{c.note} lists {_line(x)} by reading {c.id}, which is not settled" for x in unlike]
    return said


def _came(line: KitLine, came: Iterable[KitLine]) -> bool:
    """Something like the line came in its quantity, or nothing like it was counted at all."""
    like = [c for c in came if alike(line, c)]
    return not like or any(line.quantity in (None, c.quantity) and _one_number(line, c) for c in like)


def _one_number(one: KitLine, other: KitLine) -> bool:
    return not one.part or not other.part or key(one.part) == key(other.part)


def whose_word(store: Shelf, e: Expected, on: dt.date | None) -> list[str]:
    """Whose word the expected lines are; a cancelled note may still be the only one on what is in the box."""
    if e.note is None:
        return []
    before = told(e.before)
    changed = f" (before: {before})" if before and e.basis == "contents" else ""
    said = [f"{e.note} lists: {told(e.own)}{changed}"]
    for note in dict.fromkeys(c.note for c in e.carried):
        rest = told(c.line for c in e.carried if c.note == note)
        said.append(f"{e.note} does not speak of the rest; {note} lists: {rest}")
    gone = cancelled_notes(store, on, (e.note,)).get(key(e.note))
    if gone:
        said.append(f"{e.note} was cancelled by {gone.by}, but no other word on what is in the box is held")
    return said


def look_alike(e: Expected, got: Sequence[Received]) -> list[str]:
    """What came may be just what another word lists: the earlier kit, a doubtful or a cancelled reading."""
    came = plate_counts(as_lines(got))
    if None in came or came == plate_counts(e.lines):
        return []
    said = []
    if e.before and came == plate_counts(e.before):
        said.append("the plates that came are those of before: old stock, or the older kit in this box?")
    said += [
        f"the plates that came are those of the doubtful reading {c.id} ({c.note})"
        for c in e.doubtful
        if came == plate_counts(c.lines)
    ]
    return said


def cancelled_words(
    pairs: Sequence[Pair], gone: Sequence[Supersession], e: Expected, on: dt.date | None, store: Shelf
) -> list[str]:
    """What rests on a cancelled note: numbers that it brought, a list that it gave."""
    notes = {s.note for s in (*gone, *e.cancelled)}
    out = cancelled_notes(store, on, notes) if notes else {}
    came = {key(p.received.part) for p in pairs if p.received is not None and p.received.part}
    said = []
    for s in gone:
        new = [n for n in s.new if key(n) in came]
        if new:
            by = out[key(s.note)].by
            said.append(f"{' and '.join(new)} came by {s.note}, which {by} cancelled")
    for c in e.cancelled:
        said.append(f"{c.note}, which listed {told(c.lines)}, was cancelled by {out[key(c.note)].by}")
    return said


def other_units(store: Shelf, e: Expected, unit: Unit) -> list[str]:
    """The note that lists the kit is headed for other units."""
    note = store.note_head(e.note) if e.note else None
    if note is None or (unit.model is None and unit.serial is None):
        return []
    if covers(note.applies, unit).answer != "no":
        return []
    return [f"{note.number} is headed for {words(note.applies)}, not for this unit: is it the right kit?"]


def later_kit(store: Shelf, kit: str, on: dt.date | None) -> list[str]:
    """What the kit itself became."""
    found = supersession.current(kit, store.supersessions([key(kit)]), on)
    if [key(n) for n in found.numbers] == [key(kit)]:
        return []
    notes = ", ".join(dict.fromkeys(s.note for s in found.path))
    return [f"kit {kit} has been replaced by {' and '.join(found.numbers)} ({notes})"]


def spoken_of(store: Shelf, kit: str) -> list[str]:
    """Where the papers' words name a kit of which nothing was read: a person should look there."""
    if not isinstance(store, Searched) or sum(c.isdigit() for c in kit) < 3:
        return []
    said = []
    for hit in store.search(f'"{kit}"', limit=_PLACES):
        paper = hit.note or hit.publication or hit.file
        page = f", page {hit.page}" if hit.page else f", sheet {hit.sheet}" if hit.sheet else ""
        if paper and hit.kind != "part":
            said.append(f"{paper}{page} names {kit}: look there")
    return list(dict.fromkeys(said))


def told(lines: Iterable[KitLine]) -> str:
    """Kit lines in a row."""
    return ", ".join(_line(x) for x in lines)


def _line(x: KitLine) -> str:
    return f"{'as required' if x.quantity is None else x.quantity} {x.description}"

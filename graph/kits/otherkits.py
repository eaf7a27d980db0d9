"""Which other kit's lines came, where what came is not as listed: the wrong box, or two kits in one.

What is found here is offered to the person and explains nothing.
"""

import datetime as dt
from collections.abc import Iterable, Sequence

from benchleaf.graph.binding import plate_counts
from benchleaf.graph.keys import key
from benchleaf.graph.kits.matching import Pair, pair_up
from benchleaf.graph.kits.received import Received
from benchleaf.graph.model import Contents, KitLine
from benchleaf.graph.shelf import Shelf

_KITS = 40
"""Other kits looked at, of the family first."""


def other_kits(
    store: Shelf, kit: str, pairs: Sequence[Pair], got: Sequence[Received], on: dt.date | None = None
) -> tuple[str, ...]:
    """Sentences that name the kits whose lines came: of the kit's own family (what it replaced and what
    replaced it), or with the numbers that are not listed. Empty if nothing differs or nothing is like it."""
    strange = [p.received for p in pairs if p.received is not None and (p.expected is None or p.stranger)]
    if not strange and all(_same(p) for p in pairs):
        return ()
    said = []
    expected = plate_counts(p.expected for p in pairs if p.expected is not None)
    for other in _others(store, kit, strange, on):
        told = _like(other, got, strange, expected)
        if told is not None:
            said.append(told)
    return tuple(dict.fromkeys(said))


def _same(pair: Pair) -> bool:
    if pair.expected is None or pair.received is None or pair.received.quantity is None:
        return pair.received is None
    return pair.expected.quantity in (None, pair.received.quantity)


def _others(store: Shelf, kit: str, strange: Iterable[Received], on: dt.date | None) -> list[Contents]:
    """The newest settled list of each other kit that may be meant."""
    family = {
        n: None for s in store.supersessions([key(kit)]) if s.standing == "settled" for n in (*s.old, *s.new)
    }
    told = [c for n in family for c in (*store.contents(n), *store.manual_contents(n))]
    told += [c for r in strange if r.part for c in store.contents_with(r.part)]
    newest: dict[str, Contents] = {}
    for c in told:
        if (
            c.standing != "settled"
            or not c.lines
            or key(c.kit) == key(kit)
            or (on and c.date and c.date > on)
        ):
            continue
        held = newest.get(key(c.kit))
        if held is None or (held.date or dt.date.min) < (c.date or dt.date.min):
            newest[key(c.kit)] = c
    return list(newest.values())[:_KITS]


def _like(
    other: Contents,
    got: Sequence[Received],
    strange: Sequence[Received],
    expected: tuple[int | None, int | None],
) -> str | None:
    """What came, as far as it is the other kit's: all of it, its plates, or the lines not listed here."""
    whose = f"kit {other.kit} ({other.note})"
    if _whole(other, got):
        return f"what came is just what {whose} contains: is it the right kit in the box?"
    plates = plate_counts(KitLine(r.part, r.description, r.quantity) for r in got)
    theirs = plate_counts(other.lines)
    if None not in plates and plates == theirs and plates != expected:
        return f"the plates that came are those of {whose}: is it the right kit in the box?"
    numbers = {key(line.part) for line in other.lines if line.part}
    mixed = [r.part for r in strange if r.part and key(r.part) in numbers]
    if mixed:
        are = "is a line" if len(mixed) == 1 else "are lines"
        return f"{' and '.join(mixed)} {are} of {whose}: are two kits mixed in the box?"
    return None


def _whole(other: Contents, got: Sequence[Received]) -> bool:
    """Every line of the other kit came in its quantity, and nothing else did."""
    pairs = pair_up(other.lines, got, lambda listed, came: None)
    return all(
        p.expected is not None
        and p.received is not None
        and not p.stranger
        and p.received.quantity is not None
        and p.expected.quantity == p.received.quantity
        for p in pairs
    )

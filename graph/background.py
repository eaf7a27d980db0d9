"""What the overrides at hand are judged by: the case on the bench, and the papers around them."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from benchleaf.graph.applicability import Unit
from benchleaf.graph.binding import Binding, Family, bindings
from benchleaf.graph.cancelled import Cancelled, cancelled_notes, unsure_cancellations
from benchleaf.graph.keys import key
from benchleaf.graph.lean import Lean
from benchleaf.graph.model import Note, Override
from benchleaf.graph.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Case:
    """What is on the bench: the unit, the kits at hand, and the date asked for (None: no limit).

    With `any_unit`, what depends on an unknown model or serial is taken to hold (and said): a kit is checked
    before anybody has opened the unit it is for.
    """

    unit: Unit = field(default_factory=Unit)
    kits: tuple[str, ...] = ()
    on: dt.date | None = None
    any_unit: bool = False


@dataclass(frozen=True, slots=True)
class Background:
    """What the overrides at hand need to be judged: cancelled notes, the newest revision
    of those held in several, bindings to kits, the kits' family, notes that may
    be cancelled (`unsure`, a sentence each), and the notes that cancel others at hand."""

    cancelled: Mapping[str, Cancelled]
    revised: Mapping[str, Note]
    bound: Mapping[Override, Binding]
    family: Family
    on: dt.date | None = None
    unsure: Mapping[str, str] = field(default_factory=dict)
    cancellers: Mapping[str, Note] = field(default_factory=dict)


def background(
    store: Shelf, overrides: Sequence[Override], kits: Sequence[str] = (), on: dt.date | None = None
) -> Background:
    """Gather once, for any number of steps, what judging their overrides needs."""
    told = [o for o in overrides if o.standing == "settled"]
    bound = bindings(store, told)
    named = {k for b in bound.values() for k in b.kits}
    family = Family(store, [*named, *kits] if named else [])
    spoken = {o.note for o in overrides}
    cancelled = cancelled_notes(store, on, spoken)
    numbers = {cancelled[key(o.note)].by for o in told if key(o.note) in cancelled}
    cancellers = {key(n): found for n in numbers if (found := store.note_head(n)) is not None}
    unsure = unsure_cancellations(store, on, spoken)
    return Background(cancelled, _revised(store, told, on), bound, family, on, unsure, cancellers)


def _revised(store: Shelf, told: Iterable[Override], on: dt.date | None) -> dict[str, Note]:
    """Notes held in more than one revision: the newest takes the place of the others as a whole."""
    newest = {}
    for number in {o.note for o in told}:
        held = store.note_heads(number) if isinstance(store, Lean) else store.notes_like(number)
        dated = [n for n in held if n.date is not None and (on is None or n.date <= on)]
        if len({n.date for n in dated}) > 1:
            newest[key(number)] = max(dated, key=lambda n: n.date or dt.date.min)
    return newest

"""Notes out of force: which notes were cancelled, by which, and what is doubtful about it."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from benchleaf.graph.keys import key, natural
from benchleaf.graph.lean import Lean
from benchleaf.graph.model import Cancels
from benchleaf.graph.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Cancelled:
    """A note was cancelled `by` another. `doubts` are sentences: the canceller was cancelled, or is
    undated."""

    note: str
    by: str
    date: dt.date | None
    doubts: tuple[str, ...] = ()


def cancelled_notes(
    store: Shelf, on: dt.date | None = None, among: Iterable[str] | None = None
) -> dict[str, Cancelled]:
    """Cancelled notes by their key, as of `on` (None: whatever the date); `among` are the notes that matter,
    by their numbers (None: all).

    A cancelled note stays out of force even if its canceller is cancelled in turn: that is told as a doubt,
    since notes seldom say whether the first one is meant to come back (common practice, no source).
    """
    told = [c for c in _told(store, among) if _counts(c, on)]
    told.sort(key=lambda c: (c.date or dt.date.min, natural(c.note), c.note))
    gone: dict[str, Cancels] = {}
    for c in told:
        gone.setdefault(key(c.cancels), c)
    return {note: Cancelled(c.cancels, c.note, c.date, _doubts(c, gone)) for note, c in gone.items()}


def _told(store: Shelf, among: Iterable[str] | None) -> tuple[Cancels, ...]:
    if among is None or not isinstance(store, Lean):
        return store.cancellations()
    return store.cancellations_of(set(among))


def unsure_cancellations(
    store: Shelf, on: dt.date | None = None, among: Iterable[str] | None = None
) -> dict[str, str]:
    """Notes (by key) that a doubtful reading may have taken out of force, and the sentence that says so;
    `among` as in `cancelled_notes`."""
    said = {}
    for c in _told(store, among):
        dated = on is None or c.date is None or c.date <= on
        if c.standing == "doubtful" and dated and key(c.note) != key(c.cancels):
            doubt = f"doubtful reading {c.id}, settle it first"
            said[key(c.cancels)] = f"{c.cancels} may have been cancelled by {c.note}: {doubt}"
    return said


def _counts(c: Cancels, on: dt.date | None) -> bool:
    """Settled, dated up to `on`, and not a note's new issue naming its own number."""
    dated = on is None or c.date is None or c.date <= on
    return c.standing == "settled" and dated and key(c.note) != key(c.cancels)


def _doubts(c: Cancels, gone: dict[str, Cancels]) -> tuple[str, ...]:
    doubts = []
    again = gone.get(key(c.note))
    if again is not None:
        doubts.append(
            f"{c.cancels} was cancelled by {c.note}, which was itself cancelled by {again.note}: "
            f"whether {c.cancels} is in force again is not known; ask the maker"
        )
    if c.date is None:
        doubts.append(f"{c.note}, which cancels {c.cancels}, bears no date; it is taken as in force")
    return tuple(doubts)

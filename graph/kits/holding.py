"""Holds judged anew: a kit stays on hold until a note explains what came, or a person lifts it.

A hold is on one box: the kit by its own number and what came in it. It says nothing of the kit before it or
after it. A hold that a person lifted is over. One that a note explained comes back if the explanation falls
(the note was read wrongly, say), since nothing wrong may look settled. A rule of ours.
"""

import datetime as dt
from collections.abc import Collection
from dataclasses import dataclass
from typing import Protocol, runtime_checkable

from benchleaf.graph.binding import Family
from benchleaf.graph.db.holds import Hold
from benchleaf.graph.keys import key
from benchleaf.graph.kits.expected import expected_contents
from benchleaf.graph.kits.kit import KitAnswer, KitStep, kit_answer
from benchleaf.graph.kits.verdict import Verdict
from benchleaf.graph.shelf import Shelf
from benchleaf.graph.store import Store


@runtime_checkable
class Held(Protocol):
    """What keeps holds."""

    def holds(self, kit: str | None = None, *, lifted: bool = False) -> tuple[Hold, ...]:
        """The holds not lifted, of one kit or of all; with `lifted`, the lifted ones too."""


class HoldShelf(Shelf, Held, Protocol):
    """A shelf that keeps holds too."""


@dataclass(frozen=True, slots=True)
class StandingHold:
    """A hold as the papers judge it now.

    `verdict` is the present verdict on what came, None where that is not kept; `reasons` are the present
    answer's sentences. If it is not `in_effect`, `explained_by` are the notes (or publications) that account
    for what came. `back` is True for a hold that notes had explained and explain no longer. `steps` are those
    that the kit concerns.
    """

    hold: Hold
    in_effect: bool
    verdict: Verdict | None
    reasons: tuple[str, ...] = ()
    explained_by: tuple[str, ...] = ()
    steps: tuple[KitStep, ...] = ()
    back: bool = False

    @property
    def kit(self) -> str:
        """The kit's number."""
        return self.hold.kit

    @property
    def since(self) -> dt.date:
        """The day on which it was set."""
        return self.hold.set_at.date()

    @property
    def sentence(self) -> str:
        """The hold in one line, for a person about to use the kit."""
        said = f"kit {self.kit} is on hold since {self.since.isoformat()}: {self.hold.reason}"
        return f"{said} (was {self.hold.lifted_reason}, which no longer holds)" if self.back else said

    @property
    def ending(self) -> str:
        """Why it is no longer in effect, in words; empty while it is."""
        if self.in_effect:
            return ""
        if not self.explained_by:
            return "explained: what came is as listed by now"
        return f"explained by {' and '.join(self.explained_by)}"


def standing_holds(
    store: HoldShelf, kit: str | None = None, on: dt.date | None = None
) -> tuple[StandingHold, ...]:
    """The holds in effect, of one kit number or of all, oldest first.

    With `on`, as of that day: the papers up to it, and the holds set by then and not lifted by then.
    """
    return tuple(h for h in judged_holds(store, kit, on) if h.in_effect)


def ended_holds(
    store: HoldShelf, kit: str | None = None, on: dt.date | None = None
) -> tuple[StandingHold, ...]:
    """The holds that no person lifted and that are explained by now, written down so or not."""
    return tuple(h for h in judged_holds(store, kit, on) if not h.in_effect)


def judged_holds(
    store: HoldShelf, kit: str | None = None, on: dt.date | None = None
) -> tuple[StandingHold, ...]:
    """Every hold that no person lifted, judged by what came; of one arrival held twice the later."""
    newest = {h.arrival: h for h in store.holds(kit, lifted=True) if on is None or h.set_at.date() <= on}
    waiting = sorted((h for h in newest.values() if not _over(h, on)), key=lambda h: h.id)
    return tuple(_judged(store, h, on) for h in waiting)


def settle_holds(store: Store, at: dt.datetime) -> tuple[StandingHold, ...]:
    """Writes down which holds the papers have explained, and sets anew those that they explain no longer.

    What was written is given back. To be called inside a transaction whenever papers or readings changed.
    """
    changed = []
    for judged in judged_holds(store):
        hold = judged.hold
        if judged.back:
            store.set_hold(hold.kit, hold.reason, at, hold.came, hold.model, hold.serial)
        elif not judged.in_effect and hold.lifted_at is None:
            store.end_hold(hold, judged.ending, at)
        else:
            continue
        changed.append(judged)
    return tuple(changed)


def holds_on(store: Shelf, kits: Collection[str]) -> tuple[StandingHold, ...]:
    """The holds in effect on just these kit numbers, for a procedure or a job that uses them."""
    if not isinstance(store, Held):
        return ()
    numbers = dict.fromkeys(key(k) for k in kits)
    return tuple(h for number in numbers if number for h in standing_holds(store, number))


def uses_of(hold: StandingHold) -> tuple[KitStep, ...]:
    """The steps that would use the kit on hold."""
    return hold.steps


def _over(hold: Hold, on: dt.date | None) -> bool:
    """True for a hold that a person lifted, or that ended unseen: lifted, and what came is not kept."""
    if hold.lifted_at is None or (on is not None and hold.lifted_at.date() > on):
        return False
    return hold.by_person or not hold.came


def _judged(store: Shelf, hold: Hold, on: dt.date | None) -> StandingHold:
    """Judged once while the store stays as it is; one that is open for writing may change in between."""
    if isinstance(store, Store) and not store.writable:
        return store.once(("hold", hold, on), lambda: _judge(store, hold, on))
    return _judge(store, hold, on)


def _judge(store: Shelf, hold: Hold, on: dt.date | None) -> StandingHold:
    answer = kit_answer(store, hold.kit, hold.came, hold.model, hold.serial, on)
    if not hold.came:
        return StandingHold(hold, True, None, steps=answer.steps)
    back = answer.hold and hold.lifted_at is not None and (on is None or hold.lifted_at.date() <= on)
    notes = () if answer.hold else _explaining(store, answer, on)
    return StandingHold(hold, answer.hold, answer.verdict, answer.reasons, notes, answer.steps, back)


def _explaining(store: Shelf, answer: KitAnswer, on: dt.date | None) -> tuple[str, ...]:
    """The notes behind an answer that holds nothing: whose word the contents are, those that account for a
    line, and those that brought the steps; without any, the publication that lists the kit."""
    told = expected_contents(store, answer.kit, Family(store, [answer.kit]), on).note
    notes = [told, *(n for line in answer.lines for n in line.because), *(s.note for s in answer.steps)]
    named = tuple(dict.fromkeys(n for n in notes if n))
    return named or tuple(dict.fromkeys(s.publication for s in answer.steps if s.publication))

"""An arrived kit written down: its hold, or the end of one, as the command line and the desk both do it."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.cli.show_kit import why_words
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.kits.holding import StandingHold, settle_holds, standing_holds

if TYPE_CHECKING:
    from benchleaf.graph.db.holds import Hold
    from benchleaf.graph.kits.kit import KitAnswer
    from benchleaf.graph.kits.received import Received
    from benchleaf.graph.store import Store


@dataclass(frozen=True, slots=True)
class Written:
    """What is held after an arrival was written down; `told` is set if this very box was held before and a
    person lifted it."""

    holds: tuple[StandingHold, ...]
    told: str = ""


def to_write(store: "Store", answer: "KitAnswer", came: "Sequence[Received]") -> bool:
    """Whether an arrival is to be written down: something came, a paper names the kit, and it is on hold."""
    return bool(came) and answer.verdict != "not-known" and (answer.hold or bool(store.holds(answer.kit)))


def write_arrival(
    store: "Store",
    answer: "KitAnswer",
    came: "Sequence[Received]",
    model: str | None,
    serial: str | None,
    now: dt.datetime,
) -> Written:
    """Write the hold down, and what notes explain by now. The store is open for writing."""
    told = ""
    with store.transaction():
        settle_holds(store, now)
        if answer.hold:
            told = _told_lifted(store.set_hold(answer.kit, why_words(answer), now, came, model, serial))
    return Written(standing_holds(store, answer.kit), told)


def lift(store: "Store", kit: str, by: str, reason: str, now: dt.datetime) -> "tuple[Hold, ...]":
    """Lift the holds of a kit in a person's name; those lifted. Raises WrongUse without a reason."""
    if not reason.strip():
        raise WrongUse("lifting a hold needs a reason", "Say why.")
    with store.transaction():
        settle_holds(store, now)
        return store.lift_hold(kit, by, reason, now)


def _told_lifted(hold: "Hold") -> str:
    if hold.lifted_at is None:
        return ""
    day = hold.lifted_at.date()
    return f"This very box was held before; {hold.lifted_by} lifted it on {day}: {hold.lifted_reason}"

"""Kits on hold: an arrived kit that nothing explains stays on hold until a note explains it or a person lifts
it, and says why."""

import datetime as dt
import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields
from typing import TYPE_CHECKING, Any

from benchleaf.graph.db.connection import OpenStore
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.keys import key

if TYPE_CHECKING:
    from benchleaf.graph.kits.received import Received

RULE = "rule"
"""Who lifted a hold that a note explained."""


@dataclass(frozen=True, slots=True)
class Hold:
    """A kit on hold since `set_at` for a reason; lifted if `lifted_at` is set, by whom and why.

    `came` is what had come, empty where it is not known (holds of before version 4 of the store); `model` and
    `serial` are of the unit that it came for, if one was named. `lifted_by` is a person's initials, or "rule"
    where a note explained the arrival.
    """

    id: int
    kit: str
    reason: str
    set_at: dt.datetime
    lifted_at: dt.datetime | None = None
    lifted_by: str | None = None
    lifted_reason: str | None = None
    came: "tuple[Received, ...]" = ()
    model: str | None = None
    serial: str | None = None

    @property
    def by_person(self) -> bool:
        """True if a person lifted it."""
        return self.lifted_at is not None and self.lifted_by != RULE

    @property
    def arrival(self) -> "Arrival":
        """What makes two holds the same arrival: kit, unit, lines in whatever order, and reason."""
        return arrival(self.kit, self.reason, self.came, self.model, self.serial)


Arrival = tuple[object, ...]


def arrival(
    kit: str, reason: str, came: "Sequence[Received]", model: str | None = None, serial: str | None = None
) -> Arrival:
    """The mark by which an arrival is known again."""
    lines = sorted(
        (
            key(r.part or ""),
            " ".join(r.description.casefold().split()),
            -1 if r.quantity is None else r.quantity,
        )
        for r in came
    )
    return (key(kit), " ".join(reason.split()), key(model or ""), key(serial or ""), *lines)


class Holds(OpenStore):
    """Sets, lifts and lists holds. None is ever deleted."""

    def holds(self, kit: str | None = None, *, lifted: bool = False) -> tuple[Hold, ...]:
        """The holds in effect, of one kit or of all, oldest first; with `lifted`, the lifted ones too."""
        sql = """SELECT * FROM hold WHERE (?1 IS NULL OR kit_key = ?1) AND (?2 OR lifted_at IS NULL)
                 ORDER BY id"""
        return tuple(map(_hold, self._rows(sql, None if kit is None else key(kit), int(lifted))))

    def set_hold(
        self,
        kit: str,
        reason: str,
        at: dt.datetime,
        came: "Sequence[Received]" = (),
        model: str | None = None,
        serial: str | None = None,
    ) -> Hold:
        """Puts a kit on hold, with what came and for which unit. Inside a transaction.

        The same arrival (kit, lines in whatever order, unit, reason) is held once: its hold is given back as
        it is, also where a person has lifted it, since asking again is no new arrival. One that a note
        explained is set anew, for whoever sets it found that the explanation stands no longer. A hold of
        which the lines are not known is no such arrival: it may have been another box. Raises WrongUse
        without a kit number or a reason.
        """
        if not key(kit) or not reason.strip():
            raise WrongUse("a hold needs a kit number and a reason.")
        held = self._same_arrival(kit, arrival(kit, reason, came, model, serial))
        if held is not None:
            return held
        unit = {"came": write_came(came), "model": model, "serial": serial}
        columns = {"kit": kit.strip(), "kit_key": key(kit), "reason": reason.strip()}
        return self._hold_of(self._insert("hold", {**columns, "set_at": at.isoformat(), **unit}))

    def _same_arrival(self, kit: str, meant: Arrival) -> Hold | None:
        """The newest hold of that arrival that is in effect, or that a person lifted."""
        for hold in reversed(self.holds(kit, lifted=True)):
            lasting = hold.lifted_at is None or (hold.by_person and hold.came)
            if lasting and hold.arrival == meant:
                return hold
        return None

    def lift_hold(self, kit: str, by: str, reason: str, at: dt.datetime) -> tuple[Hold, ...]:
        """Lifts every hold in effect on a kit; the holds lifted. Inside a transaction.

        Raises NotHeld if the kit is not on hold, WrongUse without a person's initials or a reason.
        """
        if not by.strip() or by.strip() == RULE or not reason.strip():
            raise WrongUse("lifting a hold needs a person's initials and a reason.")
        open_holds = self.holds(kit)
        if not open_holds:
            raise NotHeld(f"kit {kit} is not on hold.")
        return tuple(self._end(hold, by.strip(), reason, at) for hold in open_holds)

    def end_hold(self, hold: Hold, reason: str, at: dt.datetime) -> Hold:
        """Writes down that a note explained a hold in effect: lifted by "rule"; the hold as it is then.

        Inside a transaction. Raises NotHeld if it was lifted already, WrongUse without a reason."""
        if not reason.strip():
            raise WrongUse("a hold is ended only with what explains it.")
        if self._hold_of(hold.id).lifted_at is not None:
            raise NotHeld(
                f"the hold of {hold.set_at.date().isoformat()} on kit {hold.kit} was lifted already."
            )
        return self._end(hold, RULE, reason, at)

    def _end(self, hold: Hold, by: str, reason: str, at: dt.datetime) -> Hold:
        sql = "UPDATE hold SET lifted_at = ?, lifted_by = ?, lifted_reason = ? WHERE id = ?"
        self._change(sql, at.isoformat(), by, reason.strip(), hold.id)
        return self._hold_of(hold.id)

    def _hold_of(self, id: int) -> Hold:
        return _hold(self._row("SELECT * FROM hold WHERE id = ?", id))


def _hold(row: Any) -> Hold:
    lifted = row["lifted_at"]
    return Hold(
        id=row["id"],
        kit=row["kit"],
        reason=row["reason"],
        set_at=dt.datetime.fromisoformat(row["set_at"]),
        lifted_at=None if lifted is None else dt.datetime.fromisoformat(lifted),
        lifted_by=row["lifted_by"],
        lifted_reason=row["lifted_reason"],
        came=read_came(row["came"]),
        model=row["model"],
        serial=row["serial"],
    )


def write_came(came: "Sequence[Received]") -> str | None:
    """What came as a JSON text; None where it is not known."""
    lines = ({name: value for name, value in asdict(r).items() if value not in (None, "")} for r in came)
    return json.dumps(list(lines), ensure_ascii=False) if came else None


def read_came(text: str | None) -> "tuple[Received, ...]":
    """What came from its JSON text; a name that this version does not know is passed over."""
    if not text:
        return ()
    from benchleaf.graph.kits.received import Received

    known = {f.name for f in fields(Received)}
    told = ({n: v for n, v in line.items() if n in known} for line in json.loads(text))
    return tuple(Received(**_values(line)) for line in told)


def _values(named: dict[str, Any]) -> dict[str, Any]:
    values: dict[str, Any] = {"description": "", "quantity": None}
    for name, value in named.items():
        values[name] = tuple(value) if isinstance(value, list) else value
    return values

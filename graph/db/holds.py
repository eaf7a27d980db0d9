"""Kits on hold: an arrived kit that nothing explains stays on hold until a person lifts it, and says why."""

import datetime as dt
from dataclasses import dataclass
from typing import Any

from benchleaf.graph.db.connection import OpenStore
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.keys import key


@dataclass(frozen=True, slots=True)
class Hold:
    """A kit on hold since `set_at` for a reason; lifted if `lifted_at` is set, by whom and why."""

    id: int
    kit: str
    reason: str
    set_at: dt.datetime
    lifted_at: dt.datetime | None = None
    lifted_by: str | None = None
    lifted_reason: str | None = None


class Holds(OpenStore):
    """Sets, lifts and lists holds. None is ever deleted."""

    def holds(self, kit: str | None = None, *, lifted: bool = False) -> tuple[Hold, ...]:
        """The holds in effect, of one kit or of all, oldest first; with `lifted`, the lifted ones too."""
        sql = """SELECT * FROM hold WHERE (?1 IS NULL OR kit_key = ?1) AND (?2 OR lifted_at IS NULL)
                 ORDER BY id"""
        return tuple(map(_hold, self._rows(sql, None if kit is None else key(kit), int(lifted))))

    def set_hold(self, kit: str, reason: str, at: dt.datetime) -> Hold:
        """Puts a kit on hold. For the same reason it is not held twice. Inside a transaction."""
        if not key(kit) or not reason.strip():
            raise WrongUse("a hold needs a kit number and a reason.")
        for hold in self.holds(kit):
            if hold.reason == reason.strip():
                return hold
        columns = {
            "kit": kit.strip(),
            "kit_key": key(kit),
            "reason": reason.strip(),
            "set_at": at.isoformat(),
        }
        return self._hold_of(self._insert("hold", columns))

    def lift_hold(self, kit: str, by: str, reason: str, at: dt.datetime) -> tuple[Hold, ...]:
        """Lifts every hold in effect on a kit; the holds lifted. Inside a transaction.

        Raises NotHeld if the kit is not on hold, WrongUse without initials or a reason.
        """
        if not by.strip() or not reason.strip():
            raise WrongUse("lifting a hold needs a person's initials and a reason.")
        open_holds = self.holds(kit)
        if not open_holds:
            raise NotHeld(f"kit {kit} is not on hold.")
        sql = "UPDATE hold SET lifted_at = ?, lifted_by = ?, lifted_reason = ? WHERE id = ?"
        for hold in open_holds:
            self._change(sql, at.isoformat(), by.strip(), reason.strip(), hold.id)
        return tuple(self._hold_of(hold.id) for hold in open_holds)

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
    )

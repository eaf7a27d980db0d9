"""What a person decided about a reading: yes or no, with corrections, initials and time, kept for ever."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from benchleaf.graph.db import rows
from benchleaf.graph.db.corrections import corrected, incomplete
from benchleaf.graph.db.notes import Notes
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.model import Override, Statement, Supersession, Target

Verdict = Literal["yes", "no"]


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that a settlement changed: its name in the interface, and its words before and after."""

    name: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class Settlement:
    """A person's decision on one statement. Later ones do not delete earlier ones."""

    statement: int
    verdict: Verdict
    initials: str
    at: dt.datetime
    changes: tuple[Change, ...]


class Settlements(Notes):
    """Changes standings: by rule, and by a person."""

    def replace_statement(self, statement: Statement, *, force: bool = False) -> bool:
        """Stores a statement's standing, reasons, settler and target as worked out anew; nothing else
        changes.

        One that a person settled is left alone unless `force`; the answer is whether it was stored. Inside a
        transaction. Raises NotHeld for a statement that is not stored.
        """
        held = self._held_statement(statement.id)
        if held.settled_by not in (None, "rule") and not force:
            return False
        target = rows.write_target(statement.target) if isinstance(statement, Override) else {}
        self._update(held, {**_standing(statement), **target})
        return True

    def settle(
        self,
        id: int,
        verdict: Verdict,
        initials: str,
        at: dt.datetime,
        fields: Mapping[str, str] | None = None,
    ) -> Statement:
        """A person's yes (settled, as corrected by `fields`) or no (refused); the statement as it stands
        then.

        `fields` are those of the interface: publication, page, item, text, was, now, from, to, kit, cancels,
        part; an empty text takes a value away. The decision is kept for ever with old and new values. Inside
        a transaction. Raises NotHeld for an unknown id, and WrongUse for a field that the statement's type
        does not have, for corrections with a no, and for a yes to what would still be incomplete.
        """
        before = self._held_statement(id)
        if not initials.strip() or initials.strip() == "rule":
            raise WrongUse("a settlement needs a person's initials.", "Give them with --initials.")
        if verdict not in ("yes", "no"):
            raise WrongUse(f"the verdict is yes or no, not {verdict!r}.")
        after = self._accepted(before, fields or {}) if verdict == "yes" else _refused(before, fields or {})
        after = replace(after, settled_by=initials.strip())
        self._update(before, {**_standing(after), **rows.write_body(after)})
        if isinstance(after, Supersession) and isinstance(before, Supersession):
            self._renumber(id, before, after)
        self._keep(id, verdict, initials.strip(), at, before, after)
        return after

    def settlements(self, statement: int | None = None) -> tuple[Settlement, ...]:
        """Every decision ever taken, on one statement or on all, oldest first."""
        found = self._rows(
            "SELECT * FROM settlement WHERE ?1 IS NULL OR statement_id = ?1 ORDER BY id", statement
        )
        return tuple(
            Settlement(
                row["statement_id"],
                row["verdict"],
                row["initials"],
                dt.datetime.fromisoformat(row["at"]),
                tuple(Change(*change) for change in rows.read_list(row["changes"])),
            )
            for row in found
        )

    def _held_statement(self, id: int | None) -> Statement:
        held = None if id is None else self.statement(id)
        if held is None:
            raise NotHeld(f"no statement {id} is held.", remedy="`benchleaf doubts` lists those that wait.")
        return held

    def _accepted(self, before: Statement, fields: Mapping[str, str]) -> Statement:
        after = corrected(before, fields)
        if isinstance(after, Override):
            after = replace(after, target=self._full_target(after.target))
        lacking = incomplete(after)
        if lacking:
            raise WrongUse(
                f"statement {before.id} cannot be settled yet: {lacking}", "Add what is missing, or say no."
            )
        return replace(after, standing="settled", why=())

    def _full_target(self, target: Target) -> Target:
        """The target, completed where exactly one held item fits. Raises WrongUse if the page has no such
        item."""
        found = self.item(target)
        if len(found) == 1 and found[0].id is not None:
            return Target(self.publication_of_item(found[0].id), found[0].page, found[0].label)
        if found or target.publication is None or target.page is None or target.item is None:
            return target
        page = self.page(target.publication, target.page)
        if page is not None:
            have = ", ".join(item.label for item in page.items) or "none"
            place = f"page {page.page} of {target.publication}"
            raise WrongUse(
                f"{place} has no item {target.item} (it has {have}).", "Correct the item or the page."
            )
        return target

    def _update(self, held: Statement, columns: Mapping[str, object]) -> None:
        places = ", ".join(f"{column} = ?" for column in columns)
        self._change(f"UPDATE statement SET {places} WHERE id = ?", *columns.values(), held.id)

    def _renumber(self, id: int, before: Supersession, after: Supersession) -> None:
        if (before.old, before.new) != (after.old, after.new):
            self._change("DELETE FROM superseded WHERE statement_id = ?", id)
            self._insert_numbers(id, after)

    def _keep(
        self, id: int, verdict: str, initials: str, at: dt.datetime, before: Statement, after: Statement
    ) -> None:
        old, new = _shown(before), _shown(after)
        changes = [(name, old.get(name), new.get(name)) for name in old if old.get(name) != new.get(name)]
        columns = {"statement_id": id, "verdict": verdict, "initials": initials, "at": at.isoformat()}
        self._insert("settlement", {**columns, "changes": rows.write_list(changes)})


def _refused(before: Statement, fields: Mapping[str, str]) -> Statement:
    if fields:
        raise WrongUse(
            "corrections go with a yes.", "Settle it with yes and the corrections, or no without them."
        )
    return replace(before, standing="refused")


def _standing(statement: Statement) -> dict[str, object]:
    why = rows.write_list(statement.why)
    return {"standing": statement.standing, "why": why, "settled_by": statement.settled_by}


def _shown(statement: Statement) -> dict[str, str | None]:
    """A statement's changeable values as words, by their names in the interface."""
    values: dict[str, Any] = {**_standing(statement), **rows.write_body(statement)}
    if isinstance(statement, Supersession):
        values |= {"from": ", ".join(statement.old), "to": ", ".join(statement.new)}
    if "subject" in values:
        values[{"contents": "kit", "cancels": "cancels"}.get(rows.kind_of(statement), "part")] = values.pop(
            "subject"
        )
    return {name: value for name, value in values.items() if not name.endswith("_key")}

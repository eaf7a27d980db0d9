"""What a person decided about a reading: yes or no, with corrections, initials and time, kept for ever."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from benchleaf.graph.db import rows
from benchleaf.graph.db.corrections import corrected, incomplete
from benchleaf.graph.db.entries import standing_columns
from benchleaf.graph.db.notes import Notes
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.model import Applies, Contents, Override, Statement, Supersession, Target
from benchleaf.graph.shortening import strikes_sentence

Verdict = Literal["yes", "no", "back"]


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
        """Stores a statement's standing, reasons, settler and target as worked out anew, and the words that
        follow from its target (`shortening.py`); nothing else changes.

        One that a person settled is left alone unless `force`; the answer is whether it was stored. Inside a
        transaction. Raises NotHeld for a statement that is not stored.
        """
        held = self._held_statement(statement.id)
        if held.settled_by not in (None, "rule") and not force:
            return False
        target = rows.write_target(statement.target) if isinstance(statement, Override) else {}
        told = {}
        if isinstance(statement, Override) and strikes_sentence(statement):
            told = {"text": statement.text}
        self._update(held, {**standing_columns(statement), **target, **told})
        return True

    def settle(
        self,
        id: int,
        verdict: Verdict,
        initials: str,
        at: dt.datetime,
        fields: Mapping[str, str] | None = None,
    ) -> Statement:
        """A person's yes (settled, as corrected by `fields`), no (refused), or back (as it was read, before
        any person's word); the statement as it stands then.

        `fields` are those of `corrections.FIELDS`; an empty text takes a value away. The decision is kept for
        ever with old and new values. After a `back`, judge the statement anew. Inside a transaction. Raises
        NotHeld for an unknown id, and WrongUse for a field that the statement's type does not have, for
        corrections with a no or a back, for a yes to what would still be incomplete, and for a back to what
        no person settled.
        """
        before = self._held_statement(id)
        person = person_of(initials)
        match verdict:
            case "yes":
                after = replace(self._accepted(before, fields or {}), settled_by=person)
            case "no":
                after = replace(_refused(before, fields or {}), settled_by=person)
            case "back":
                after = self._as_it_was_read(before, fields or {})
            case _:
                raise WrongUse(f"the verdict is yes, no or back, not {verdict!r}.")
        self._restate(before, after)
        self._keep(id, verdict, person, at, before, after)
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
                read_changes(row["changes"]),
            )
            for row in found
        )

    def reading(self, id: int) -> Statement:
        """A statement as it was read, before any person's word and before it was judged. Raises NotHeld.

        Of one that a person settled before version 3 of the store, what was read is not known: it is given as
        it stands.
        """
        held, row = self._held_statement(id), self._as_read(id)
        plain = replace(held, standing="doubtful", why=rows.read_list(row["read_why"]), settled_by=None)
        if row["read_body"] is not None:
            return rows.read_reading(row["read_body"], plain)
        return replace(plain, target=self.reading_target(id)) if isinstance(plain, Override) else plain

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

    def _as_it_was_read(self, before: Statement, fields: Mapping[str, str]) -> Statement:
        if fields:
            raise WrongUse("corrections go with a yes.", "Take it back without them.")
        if before.settled_by in (None, "rule") or not self.settlements(before.id):
            raise WrongUse(f"nobody has settled statement {before.id}.", "Nothing needs taking back.")
        if self._as_read(before.id or 0)["read_body"] is None:
            raise WrongUse(
                f"statement {before.id} was settled by an older benchleaf, which did not keep what was read.",
                "Settle it anew with yes and corrections, or with no.",
            )
        read = self.reading(before.id or 0)
        return replace(read, applies=self._settled_units(read)) if isinstance(read, Override) else read

    def _settled_units(self, read: Override) -> Applies:
        """The units of an override as read, or its note's present ones where it had its note's."""
        sql = "SELECT note.* FROM note JOIN statement ON note_id = note.id WHERE statement.id = ?"
        row = self._row(sql, read.id)
        if row is None or row["read_head"] is None:
            return read.applies
        note = rows.read_note(row, None)
        same = rows.read_head(row["read_head"], note).applies == read.applies
        return note.applies if same else read.applies

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

    def _restate(self, before: Statement, after: Statement) -> None:
        """Stores what a statement says and its standing, with the numbers and lines that hang on it."""
        self._update(before, {**standing_columns(after), **rows.write_body(after)})
        if rows.own_fields(before) != rows.own_fields(after):
            for table in ("superseded", "kit_line"):
                self._change(f"DELETE FROM {table} WHERE statement_id = ?", before.id)
            self._insert_numbers(before.id or 0, after)

    def _update(self, held: Statement, columns: Mapping[str, object]) -> None:
        places = ", ".join(f"{column} = ?" for column in columns)
        self._change(f"UPDATE statement SET {places} WHERE id = ?", *columns.values(), held.id)

    def _keep(
        self, id: int, verdict: str, initials: str, at: dt.datetime, before: Statement, after: Statement
    ) -> None:
        columns = {"statement_id": id, "verdict": verdict, "initials": initials, "at": at.isoformat()}
        self._insert("settlement", {**columns, "changes": write_changes(_shown(before), _shown(after))})


def person_of(initials: str) -> str:
    """Initials without blanks around them. Raises WrongUse for none, and for the name of the rules."""
    person = initials.strip()
    if not person or person == "rule":
        raise WrongUse("a settlement needs a person's initials.", "Give them with --initials.")
    return person


def write_changes(old: Mapping[str, str | None], new: Mapping[str, str | None]) -> str:
    """What differs between two sets of values, as a JSON text of name, before and after."""
    names = dict.fromkeys((*old, *new))
    return rows.write_list((n, old.get(n), new.get(n)) for n in names if old.get(n) != new.get(n))


def read_changes(text: str) -> tuple[Change, ...]:
    """Changes from their JSON text."""
    return tuple(Change(*change) for change in rows.read_list(text))


def _refused(before: Statement, fields: Mapping[str, str]) -> Statement:
    if fields:
        raise WrongUse(
            "corrections go with a yes.", "Settle it with yes and the corrections, or no without them."
        )
    return replace(before, standing="refused")


def _shown(statement: Statement) -> dict[str, str | None]:
    """A statement's changeable values as words, by their names in the interface."""
    values: dict[str, Any] = {**standing_columns(statement), **rows.write_body(statement)}
    if isinstance(statement, Supersession):
        values |= {"from": ", ".join(statement.old), "to": ", ".join(statement.new)}
    if isinstance(statement, Contents):
        values["lines"] = rows.write_list((x.quantity, x.description, x.part) for x in statement.lines)
    if "subject" in values:
        values[{"contents": "kit", "cancels": "cancels"}.get(rows.kind_of(statement), "part")] = values.pop(
            "subject"
        )
    return {name: value for name, value in values.items() if not name.endswith("_key")}

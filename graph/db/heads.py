"""What a person decided about the head of a note: its date and its units, kept for ever."""

import datetime as dt
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from benchleaf.graph.db import rows
from benchleaf.graph.db.corrections import corrected_head
from benchleaf.graph.db.settlements import Change, Settlements, person_of, read_changes, write_changes
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies, Note, Override

HeadVerdict = Literal["yes", "back"]


@dataclass(frozen=True, slots=True)
class HeadSettlement:
    """A person's decision on a note's head: what was put right, and what that changed."""

    note: str
    verdict: HeadVerdict
    initials: str
    at: dt.datetime
    fields: Mapping[str, str]
    changes: tuple[Change, ...]


class Heads(Settlements):
    """Settles the heads of notes."""

    def settle_head(
        self,
        number: str,
        verdict: HeadVerdict,
        initials: str,
        at: dt.datetime,
        fields: Mapping[str, str] | None = None,
        file: str | None = None,
    ) -> Note:
        """A person's yes to a note's head, as corrected by `fields` (`corrections.HEAD_FIELDS`), or back (as
        it was read); the note as it stands then, with its statements.

        Nothing stays unclear in a settled head. What the note states gets its date, and its units where they
        were the note's. Of several notes of one number `file` tells which. Judge the note's statements anew
        afterwards. Inside a transaction. Raises NotHeld, and WrongUse as `settle` does.
        """
        person, given = person_of(initials), dict(fields or {})
        row = self._head_row(number, file)
        before = self._filled([row])[0]
        if verdict == "yes":
            after = corrected_head(before, given)
            _complete(after)
        elif verdict == "back":
            after = self._head_as_read(row, before, given)
        else:
            raise WrongUse(f"the verdict on a note's head is yes or back, not {verdict!r}.")
        self._put_head(row["id"], before, after)
        kept = {"note_id": row["id"], "verdict": verdict, "initials": person, "at": at.isoformat()}
        changes = write_changes(_shown(before), _shown(after))
        self._insert("head_settlement", {**kept, "fields": json.dumps(given), "changes": changes})
        return self._with_statements(self._rows("SELECT * FROM note WHERE id = ?", row["id"]))[0]

    def head_settlements(self, number: str | None = None) -> tuple[HeadSettlement, ...]:
        """Every decision ever taken on heads, of the notes of one number or of all, oldest first."""
        sql = """SELECT head_settlement.*, note.number FROM head_settlement JOIN note ON note.id = note_id
                 WHERE ?1 IS NULL OR note.number_key = ?1 ORDER BY head_settlement.id"""
        return tuple(map(_head_settlement, self._rows(sql, rows.key_or_none(number))))

    def _head_is_settled(self, note: int) -> bool:
        """True if the last decision on a note's head was a yes."""
        sql = "SELECT verdict FROM head_settlement WHERE note_id = ? ORDER BY id DESC LIMIT 1"
        row = self._row(sql, note)
        return row is not None and row["verdict"] == "yes"

    def _head_row(self, number: str, file: str | None) -> Any:
        sql = """SELECT * FROM note WHERE number_key = ?1 AND (?2 IS NULL OR file = ?2)
                 ORDER BY coalesce(date, '') DESC, coalesce(revision, '') DESC, id DESC"""
        found = self._rows(sql, key(number), file)
        if not found:
            raise NotHeld(f"there is no note {number}.", remedy="See benchleaf notes.")
        if len(found) > 1:
            unsure = [row for row in found if row["unclear"] != "[]"]
            found = unsure if len(unsure) == 1 else found
        if len(found) > 1:
            files = ", ".join(row["file"] for row in found)
            raise WrongUse(f"several notes are numbered {number} ({files}).", "Say which with --file.")
        return found[0]

    def _head_as_read(self, row: Any, before: Note, given: Mapping[str, str]) -> Note:
        if given:
            raise WrongUse("corrections go with a yes.", "Take it back without them.")
        if not self._head_is_settled(row["id"]):
            raise WrongUse(f"nobody has settled the head of {before.number}.", "Nothing needs taking back.")
        return rows.read_head(row["read_head"], before)

    def _put_head(self, id: int, before: Note, after: Note) -> None:
        """Stores a head, and hands its date and units on to what the note states."""
        head = {"date": rows.write_date(after.date), "applies": rows.write_applies(after.applies)}
        head["unclear"] = rows.write_list(after.unclear)
        places = ", ".join(f"{column} = ?" for column in head)
        # a store of version 2 kept no head as read: it is what stands now
        sql = f"UPDATE note SET read_head = coalesce(read_head, ?), {places} WHERE id = ?"
        self._change(sql, rows.write_head(before), *head.values(), id)
        self._change("UPDATE statement SET date = ? WHERE note_id = ?", head["date"], id)
        for kit in after.applies.kits:
            self._name_part(kit)
        sql = "UPDATE statement SET applies = ? WHERE note_id = ? AND kind = 'override' AND applies = ?"
        self._change(sql, head["applies"], id, rows.write_applies(before.applies))


def with_head_of(statement: Override, read: Applies, settled: Applies) -> Override:
    """An override whose units are those of its note's head as read, with the head's settled units."""
    return replace(statement, applies=settled) if statement.applies == read else statement


def _complete(note: Note) -> None:
    if note.date is None:
        raise WrongUse(
            f"the head of {note.number} cannot be settled yet: it bears no date.", "Give it with --date."
        )


def _shown(note: Note) -> dict[str, str | None]:
    """What a person may put right in a head, as words."""
    unclear = rows.write_list(note.unclear)
    return {
        "date": rows.write_date(note.date),
        "applies": rows.write_applies(note.applies),
        "unclear": unclear,
    }


def _head_settlement(row: Any) -> HeadSettlement:
    return HeadSettlement(
        row["number"],
        row["verdict"],
        row["initials"],
        dt.datetime.fromisoformat(row["at"]),
        json.loads(row["fields"]),
        read_changes(row["changes"]),
    )

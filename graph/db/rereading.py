"""A held document read again: its rows follow the present reading; what people decided stays."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from benchleaf.graph.db import rows
from benchleaf.graph.db.entries import note_columns, said_columns, standing_columns
from benchleaf.graph.db.heads import Heads, with_head_of
from benchleaf.graph.db.intake import cover_columns, pages_of_numbers
from benchleaf.graph.errors import NotHeld
from benchleaf.graph.keys import key
from benchleaf.graph.model import Document, Manual, Note, Override, Statement
from benchleaf.graph.pairing import Earlier, body, pair, same_words

KEPT = "kept: "
"""How a reason begins by which a person's word stands although the present reading is another."""


_ANOTHER = "another reading of these words"


@dataclass(frozen=True, slots=True)
class _Said:
    """One statement of the present reading: the row of its note, what was read, and that with the note's
    settled head."""

    note: int
    read: Statement
    statement: Statement


class Rereading(Heads):
    """Puts the present reading of a held document in the place of the earlier one."""

    def reread(self, document: Document) -> int:
        """Stores a held document as it is read now; the id of its file.

        Statements that are the same keep their ids. What a person settled keeps his word and its fields; if
        the present reading lacks it, it stays and says so, and what is now read otherwise from the same words
        is a doubt. Days of receipt stay. Judge the document's statements anew afterwards. Inside a
        transaction. Raises NotHeld if the document's bytes are not held.
        """
        file = self._row("SELECT * FROM file WHERE sha256 = ?", document.sha256)
        if file is None:
            raise NotHeld(f"{document.name} is not held.", remedy="Run `benchleaf add` first.")
        named = self._parts_of_file(file["id"])
        self._change("UPDATE file SET kind = ? WHERE id = ?", document.kind, file["id"])
        self.keep_scans(document.sha256, document.scans)
        self._reread_sheets(file["id"], document)
        self._reread_manual(file["id"], document)
        self._reread_notes(file, document)
        self._forget_parts(named)
        return int(file["id"])

    def _reread_sheets(self, file: int, document: Document) -> None:
        if self._sheets(file) != document.sheets:
            for row in self._rows("SELECT id FROM sheet WHERE file_id = ?", file):
                self._drop("sheet", row["id"])
            self._insert_sheets(file, document.sheets)
        if self.findings(file) != document.findings:
            self._change("DELETE FROM finding WHERE file_id = ?", file)
            self._insert_findings(file, document.findings)

    def _reread_manual(self, file: int, document: Document) -> None:
        held = self._manuals("WHERE file_id = ?", "ORDER BY id", file)
        read = document.manual
        if (without_ids(held[0]) if held else None) == (None if read is None else as_held(read)):
            return
        self._kept.clear()
        row = self._row("SELECT id FROM publication WHERE file_id = ?", file)
        if row is not None:
            self._empty(row["id"])
        if document.manual is None:
            self._change("DELETE FROM publication WHERE file_id = ?", file)
        elif row is None:
            self._insert_manual(file, document.manual, pages_of_numbers(document))
        else:
            columns = cover_columns(document.manual)
            places = ", ".join(f"{column} = ?" for column in columns)
            self._change(f"UPDATE publication SET {places} WHERE id = ?", *columns.values(), row["id"])
            self._insert_inside(row["id"], document.manual, pages_of_numbers(document))

    def _empty(self, publication: int) -> None:
        """Takes everything out of a publication; its own row stays, so that its place among editions does."""
        for row in self._rows("SELECT id FROM item WHERE publication_id = ?", publication):
            self._change("DELETE FROM mention WHERE item_id = ?", row["id"])
            self._drop("item", row["id"])
        lines = "manual_kit_id IN (SELECT id FROM manual_kit WHERE publication_id = ?)"
        self._change(f"DELETE FROM manual_kit_line WHERE {lines}", publication)
        for table in ("page", "publication_part", "manual_kit"):
            self._change(f"DELETE FROM {table} WHERE publication_id = ?", publication)

    def _reread_notes(self, file: Any, document: Document) -> None:
        held = self._rows("SELECT * FROM note WHERE file_id = ? ORDER BY id", file["id"])
        owners = _owners(held, document.notes)
        said: list[_Said] = []
        for note, row in zip(document.notes, owners, strict=True):
            said += self._reread_head(file, row, note, listing=document.kind == "list")
        self._reread_statements([row["id"] for row in held], said)
        for row in held:
            if row not in owners:
                self._drop_note(row["id"])

    def _reread_head(self, file: Any, row: Any | None, note: Note, *, listing: bool) -> Iterator[_Said]:
        """Stores a note's head, with what a person settled in it; its statements, each with that head."""
        settled = row is not None and self._head_is_settled(row["id"])
        head = _with_settled_head(note, row) if settled else note
        if row is None:
            received = rows.read_date(file["received"])
            assert received is not None  # the column is never empty
            id = self._insert_note(file["id"], replace(note, statements=()), received, listing=listing)
        else:
            id = row["id"]
            columns = {**note_columns(head), "read_head": rows.write_head(note), "listing": int(listing)}
            if any(row[name] != value for name, value in columns.items()):
                self._reworded("note", id, columns)
            for kit in head.applies.kits:
                self._name_part(kit)
        for read in note.statements:
            statement = replace(read, date=head.date) if settled else read
            if settled and isinstance(statement, Override):
                statement = with_head_of(statement, note.applies, head.applies)
            yield _Said(id, read, statement)

    def _reread_statements(self, notes: list[int], said: list[_Said]) -> None:
        inside = "note_id IN (SELECT value FROM json_each(?))"
        held = self._read(inside, "ORDER BY id", json.dumps(notes))
        raw = self._rows(f"SELECT * FROM statement WHERE {inside} ORDER BY id", json.dumps(notes))
        earlier = [Earlier(_as_read(s, row), s, exact=_refused(s)) for s, row in zip(held, raw, strict=True)]
        pairs = pair(earlier, [s.read for s in said])
        contested = list(_contested(earlier, said, pairs))
        for j, one in enumerate(said):
            if j not in pairs:
                one = _doubted(one, contested)
                self._update_read(self._insert_statement(one.note, one.statement), one.read)
            elif _by_person(held[pairs[j]]):
                self._follow(held[pairs[j]], one, differs=earlier[pairs[j]] in contested)
            else:
                one = one if _stood_beside(raw[pairs[j]], one) else _doubted(one, contested)
                self._replace(held[pairs[j]], raw[pairs[j]], one)
        for i in sorted(set(range(len(earlier))) - set(pairs.values())):
            self._lose(held[i])

    def _follow(self, held: Statement, one: _Said, *, differs: bool) -> None:
        """A statement that a person settled: its place follows the reading, its words and standing stay."""
        columns = said_columns(one.statement)
        why = _without_mark(held.why)
        if differs:
            why = (*why, _mark(held, "the present reading of these words differs"))
        kept = {"note_id": one.note, "why": rows.write_list(why)}
        cited = ("read_publication", "read_publication_key", "read_page", "read_item", "read_why")
        self._update(held, {n: v for n, v in (columns | kept).items() if n not in cited})

    def _replace(self, held: Statement, raw: Any, one: _Said) -> None:
        """A statement of which no person has spoken: it becomes what is read now, under its id."""
        said = {"note_id": one.note, **said_columns(one.statement), "read_body": rows.write_reading(one.read)}
        moved = isinstance(held, Override) and one.statement is not one.read
        if moved or any(raw[name] != value for name, value in said.items()):
            self._restate(held, one.statement)
            self._update(held, {**said, **standing_columns(one.statement)})

    def _update_read(self, id: int, read: Statement) -> None:
        self._change("UPDATE statement SET read_body = ? WHERE id = ?", rows.write_reading(read), id)

    def _lose(self, held: Statement) -> None:
        """A statement that the present reading lacks: deleted, unless a person has spoken of it."""
        if not self.settlements(held.id):
            for table in ("superseded", "kit_line"):
                self._change(f"DELETE FROM {table} WHERE statement_id = ?", held.id)
            self._change("DELETE FROM statement WHERE id = ?", held.id)
            return
        why = (*_without_mark(held.why), _mark(held, "the present reading does not find it"))
        standing = held.standing if _by_person(held) else "refused"
        self._update(held, {"standing": standing, "why": rows.write_list(why), "settled_by": held.settled_by})

    def _drop_note(self, id: int) -> None:
        """Deletes a note that is read no longer, unless a person has spoken of it or of what it states."""
        for table in ("statement", "head_settlement"):
            if self._row(f"SELECT id FROM {table} WHERE note_id = ?", id) is not None:
                return
        self._drop("note", id)

    def _parts_of_file(self, file: int) -> set[str]:
        """Keys of the part numbers that a file's statements, parts list and kit lists name."""
        ours = "SELECT statement.id FROM statement JOIN note ON note.id = note_id WHERE file_id = ?1"
        sql = f"""SELECT part_key FROM superseded WHERE statement_id IN ({ours})
            UNION SELECT part_key FROM kit_line WHERE statement_id IN ({ours})
            UNION SELECT subject_key FROM statement WHERE id IN ({ours})
            UNION SELECT part_key FROM publication_part JOIN publication ON publication.id = publication_id
                WHERE file_id = ?1
            UNION SELECT kit_key FROM manual_kit JOIN publication ON publication.id = publication_id
                WHERE file_id = ?1
            UNION SELECT part_key FROM manual_kit_line JOIN manual_kit ON manual_kit.id = manual_kit_id
                JOIN publication ON publication.id = publication_id WHERE file_id = ?1"""
        return {row[0] for row in self._rows(sql, file) if row[0]}

    def _forget_parts(self, named: set[str]) -> None:
        """Takes numbers that nothing names any longer out of the known ones: a misreading is no number."""
        kits = """SELECT value FROM note, json_each(note.applies, '$.kits')
            UNION SELECT value FROM statement, json_each(statement.applies, '$.kits')
            WHERE kind = 'override'"""
        sql = """SELECT 1 FROM superseded WHERE part_key = ?1 UNION ALL
            SELECT 1 FROM kit_line WHERE part_key = ?1 UNION ALL
            SELECT 1 FROM statement WHERE kind IN ('contents', 'withdrawn') AND subject_key = ?1 UNION ALL
            SELECT 1 FROM publication_part WHERE part_key = ?1 UNION ALL
            SELECT 1 FROM manual_kit WHERE kit_key = ?1 UNION ALL
            SELECT 1 FROM manual_kit_line WHERE part_key = ?1 LIMIT 1"""
        gone = [one for one in sorted(named) if self._row(sql, one) is None]
        still = {key(str(row[0])) for row in self._rows(kits)} if gone else set()
        for one in gone:
            row = None if one in still else self._row("SELECT id FROM part WHERE part_key = ?", one)
            if row is not None:
                self._drop("part", row["id"])


def without_ids(manual: Manual) -> Manual:
    """A held manual as reading gave it: its items without the store's ids."""
    pages = (replace(p, items=tuple(replace(i, id=None) for i in p.items)) for p in manual.pages)
    return replace(manual, pages=tuple(pages))


def as_held(manual: Manual) -> Manual:
    """A manual as it is read, its kits under the number and date of the publication, as the store keeps
    them."""
    return replace(
        manual,
        kits=tuple(replace(kit, note=manual.number, date=manual.date, id=None) for kit in manual.kits),
    )


def _with_settled_head(note: Note, row: Any) -> Note:
    """A note with the head that a person settled: the whole of it, for he saw the whole."""
    applies = rows.read_applies(row["applies"])
    return replace(note, date=rows.read_date(row["date"]), applies=applies, unclear=())


def _owners(held: list[Any], notes: Iterable[Note]) -> list[Any | None]:
    """For each note as read now the row of the same note: by number; one note and one row left over are the
    same note, its number read otherwise."""
    free = list(held)
    found: list[Any | None] = []
    for note in notes:
        row = next((r for r in free if r["number_key"] == key(note.number)), None)
        found.append(row)
        if row is not None:
            free.remove(row)
    if len(free) == 1 and found.count(None) == 1:
        found[found.index(None)] = free[0]
    return found


def _as_read(statement: Statement, row: Any) -> Statement:
    why = tuple(reason for reason in rows.read_list(row["read_why"]) if _ANOTHER not in reason)
    read = replace(statement, why=why)
    return read if row["read_body"] is None else rows.read_reading(row["read_body"], read)


def _by_person(statement: Statement) -> bool:
    return statement.settled_by not in (None, "rule")


def _refused(statement: Statement) -> bool:
    return statement.standing == "refused" and _by_person(statement)


def _contested(earlier: list[Earlier], said: list[_Said], pairs: dict[int, int]) -> Iterator[Earlier]:
    """What persons settled and the present reading does not give as it was read or as they put it."""
    given = {i: body(said[j].read) for j, i in pairs.items()}
    for i, one in enumerate(earlier):
        if _by_person(one.present) and given.get(i) not in (body(one.read), body(one.present)):
            yield one


def _stood_beside(raw: Any, one: _Said) -> bool:
    """True for a reading that stood beside the person's already when he spoke, and is the same still."""
    return raw["read_body"] == rows.write_reading(one.read) and _ANOTHER not in raw["read_why"]


def _doubted(one: _Said, contested: list[Earlier]) -> _Said:
    """What is read now, with a doubt where a person settled another reading of the same words."""
    person = next((e.present for e in contested if same_words(e.read, one.read)), None)
    if person is None:
        return one
    did = "refused" if person.standing == "refused" else "settled"
    doubt = f"{person.settled_by} {did} {_ANOTHER} (statement {person.id})"
    why = (*one.statement.why, doubt)
    if one.statement.standing == "refused":
        return replace(one, statement=replace(one.statement, why=why))
    return replace(one, statement=replace(one.statement, standing="doubtful", why=why))


def _mark(held: Statement, what: str) -> str:
    did = "refused" if _refused(held) else "settled"
    by = f"{did} by {held.settled_by}" if _by_person(held) else "once settled by a person"
    return f"{KEPT}{by}; {what}"


def _without_mark(why: Iterable[str]) -> tuple[str, ...]:
    return tuple(reason for reason in why if not reason.startswith(KEPT))

"""Rows written: notes, statements and known part numbers, each with its entry in the indexes over it."""

import datetime as dt

from benchleaf.graph.db import rows
from benchleaf.graph.db.originals import Originals
from benchleaf.graph.db.tables import SEARCH
from benchleaf.graph.keys import folded, key
from benchleaf.graph.model import Contents, Note, Override, Statement, Supersession, Target, Withdrawn

SOURCE_COLUMNS = ("source_file", "source_sheet", "source_page", "source_box", "source_ocr")
_INDEX = {content: (name, columns) for name, (content, columns, _) in SEARCH.items()}


class Entries(Originals):
    """Writes notes, statements and part numbers."""

    def _indexed(self, table: str, columns: dict[str, object]) -> int:
        """Inserts a row and its entry in the table's full-text index."""
        number = self._insert(table, columns)
        index, words = _INDEX[table]
        self._insert(index, {"rowid": number, **{word: columns[word] for word in words}})
        return number

    def _insert_note(
        self,
        file: int | None,
        note: Note,
        received: dt.date,
        *,
        listing: bool = False,
        own_words: str | None = None,
    ) -> int:
        owner = {"file_id": file, "listing": int(listing), "received": received.isoformat()}
        columns = {**owner, **note_columns(note), "own_words": own_words}
        number = self._indexed("note", columns)
        for kit in note.applies.kits:
            self._name_part(kit)
        for statement in note.statements:
            self._insert_statement(number, statement)
        return number

    def _insert_statement(self, note: int, statement: Statement) -> int:
        columns = {"note_id": note, "kind": rows.kind_of(statement), **said_columns(statement)}
        columns |= {**standing_columns(statement), **rows.write_body(statement)}
        number = self._insert("statement", {**columns, "read_body": rows.write_reading(statement)})
        self._insert_numbers(number, statement)
        return number

    def _drop(self, table: str, id: int) -> None:
        """Deletes a row and its entry in the table's full-text index."""
        self._drop_entry(table, id)
        self._change(f"DELETE FROM {table} WHERE id = ?", id)

    def _drop_entry(self, table: str, id: int) -> None:
        """Deletes a row's entry in the index; the index needs the words as they were put in."""
        index, words = _INDEX[table]
        row = self._row(f"SELECT {', '.join(words)} FROM {table} WHERE id = ?", id)
        if row is not None:
            self._insert(index, {index: "delete", "rowid": id, **{word: row[word] for word in words}})

    def _reworded(self, table: str, id: int, columns: dict[str, object]) -> None:
        """Updates a row and its entry in the table's full-text index."""
        self._drop_entry(table, id)
        places = ", ".join(f"{column} = ?" for column in columns)
        self._change(f"UPDATE {table} SET {places} WHERE id = ?", *columns.values(), id)
        index, words = _INDEX[table]
        row = self._row(f"SELECT {', '.join(words)} FROM {table} WHERE id = ?", id)
        assert row is not None  # updated above
        self._insert(index, {"rowid": id, **{word: row[word] for word in words}})

    def _insert_numbers(self, number: int, statement: Statement) -> None:
        """The numbers and lines that hang on a statement, and each part number among the known ones."""
        if isinstance(statement, Supersession):
            for side, parts in (("old", statement.old), ("new", statement.new)):
                sql = "INSERT INTO superseded (statement_id, side, part, part_key) VALUES (?, ?, ?, ?)"
                self._change_many(sql, ((number, side, part, key(part)) for part in parts))
        if isinstance(statement, Contents):
            for side, lines in (("now", statement.lines), ("previous", statement.previous)):
                sql = """INSERT INTO kit_line (statement_id, side, part, part_key, description, quantity)
                         VALUES (?, ?, ?, ?, ?, ?)"""
                numbered = ((x.part, rows.key_or_none(x.part), x.description, x.quantity) for x in lines)
                self._change_many(sql, ((number, side, *line) for line in numbered))
        for part in _parts_of(statement):
            self._name_part(part)

    def _name_part(self, printed: str | None) -> None:
        """Adds a part number as printed to the known ones, unless its key is known already."""
        if (
            printed is None
            or not key(printed)
            or self._row("SELECT id FROM part WHERE part_key = ?", key(printed))
        ):
            return
        self._indexed(
            "part", {"part_key": key(printed), "folded": folded(printed), "printed": printed.strip()}
        )


def note_columns(note: Note) -> dict[str, object]:
    """The columns of a note's head; beside them the head as it was read."""
    return {
        "number": note.number,
        "number_key": key(note.number),
        "date": rows.write_date(note.date),
        "subject": note.subject,
        "issuer": note.issuer,
        "source": note.source,
        "revision": note.revision,
        "applies": rows.write_applies(note.applies),
        "file": note.file,
        "unclear": rows.write_list(note.unclear),
        "cites": rows.write_citations(note.cites),
        "read_head": rows.write_head(note),
    }


def said_columns(statement: Statement) -> dict[str, object]:
    """The columns of where a statement was read and in what words; of an override its target as cited."""
    cited = _as_read(statement.target) if isinstance(statement, Override) else {}
    return {
        "note": statement.note,
        "note_key": key(statement.note),
        "date": rows.write_date(statement.date),
        "quote": statement.quote,
        **dict(zip(SOURCE_COLUMNS, rows.write_source(statement.source), strict=True)),
        "confidence": float(statement.confidence),
        "read_why": rows.write_list(statement.why),
        **cited,
    }


def standing_columns(statement: Statement) -> dict[str, object]:
    """The columns of a statement's standing."""
    why = rows.write_list(statement.why)
    return {"standing": statement.standing, "why": why, "settled_by": statement.settled_by}


def _as_read(target: Target) -> dict[str, object]:
    return {
        "read_publication": target.publication,
        "read_publication_key": rows.key_or_none(target.publication),
        "read_page": target.page,
        "read_item": target.item,
    }


def _parts_of(statement: Statement) -> tuple[str | None, ...]:
    if isinstance(statement, Supersession):
        return (*statement.old, *statement.new)
    if isinstance(statement, Contents):
        return (statement.kit, *(line.part for line in (*statement.lines, *statement.previous)))
    if isinstance(statement, Override):
        return statement.applies.kits
    return (statement.part,) if isinstance(statement, Withdrawn) else ()

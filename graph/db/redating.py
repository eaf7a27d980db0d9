"""Dates set right afterwards: a maker's other papers may tell which way round 05/06/2016 was printed."""

import datetime as dt

from benchleaf.graph.db import rows
from benchleaf.graph.db.connection import OpenStore
from benchleaf.graph.keys import key
from benchleaf.graph.model import Note


class Redating(OpenStore):
    """The words of one issuer's notes, and a note's date put right."""

    def words_of_issuer(self, issuer: str) -> tuple[str, ...]:
        """The text of every sheet of the notes that an issuer gave out."""
        sql = """SELECT sheet.text FROM sheet JOIN note ON note.file_id = sheet.file_id
                 WHERE note.issuer = ? COLLATE NOCASE ORDER BY sheet.id"""
        return tuple(row["text"] for row in self._rows(sql, issuer))

    def words_of_file(self, name: str) -> tuple[str, ...]:
        """The text of every sheet of the notes of one file, by its name."""
        sql = """SELECT DISTINCT sheet.id, sheet.text FROM sheet JOIN note ON note.file_id = sheet.file_id
                 WHERE note.file = ? ORDER BY sheet.id"""
        return tuple(row["text"] for row in self._rows(sql, name))

    def redate(self, note: Note, date: dt.date | None, unclear: tuple[str, ...]) -> None:
        """Gives a note, and what it states, another date, and other doubts on its head. In a transaction."""
        where = "number_key = ? AND file = ?"
        held = (key(note.number), note.file)
        day = None if date is None else date.isoformat()
        ours = f"(SELECT id FROM note WHERE {where})"
        self._change(f"UPDATE statement SET date = ? WHERE note_id IN {ours}", day, *held)
        doubts = rows.write_list(unclear)
        self._change(f"UPDATE note SET date = ?, unclear = ? WHERE {where}", day, doubts, *held)

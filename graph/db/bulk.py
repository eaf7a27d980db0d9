"""Taking in a list of a million rows: in portions, so that none but one portion is ever in memory, and all of
them within the one transaction that the caller has open."""

import datetime as dt
import itertools
import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.db import rows
from benchleaf.graph.db.entries import Entries, said_columns, standing_columns
from benchleaf.graph.keys import folded, key
from benchleaf.graph.model import Finding, Note, SheetText, Supersession, Withdrawn

Row = Supersession | Withdrawn | Finding
PORTION = 5_000  # rows
CACHE = -64_000  # KiB of the database kept in memory meanwhile: its indexes are written all over
SHOWN = 1_000  # rows of which the words can be searched, and findings that are told


@dataclass(frozen=True, slots=True)
class ListFile:
    """A list's file: its hash, its name, the note as which it goes (without statements), the day it came."""

    sha256: str
    name: str
    note: Note
    received: dt.date
    received_at: dt.datetime


@dataclass(frozen=True, slots=True)
class ListTaken:
    """How much of a list was stored: statements, doubtful ones among them, all findings; `findings` are the
    first of these."""

    statements: int
    doubts: int
    found: int
    findings: tuple[Finding, ...]


class Bulk(Entries):
    """Stores long lists."""

    def insert_list(
        self, file: ListFile, told: Iterable[Row], progress: Callable[[int], None] | None = None
    ) -> ListTaken:
        """Stores a list as `insert` stores a document of the same rows; `progress` is called with the number
        of rows stored so far. Call it inside a transaction, after `keep_original`.

        Statements are stored as reading gave them: of a list no paper held changes the standing.
        """
        columns = {"sha256": file.sha256, "name": file.name, "kind": "list"}
        times = {"received": file.received.isoformat(), "received_at": file.received_at.isoformat()}
        number = self._insert("file", {**columns, **times})
        note = self._insert_note(number, replace(file.note, statements=()), file.received, listing=True)
        before = self._rows("PRAGMA cache_size")[0][0]
        self._row(f"PRAGMA cache_size = {CACHE}")
        try:
            return self._in_portions(number, note, told, progress or (lambda stored: None))
        finally:
            self._row(f"PRAGMA cache_size = {before}")

    def _in_portions(
        self, file: int, note: int, told: Iterable[Row], progress: Callable[[int], None]
    ) -> ListTaken:
        statements = doubts = found = stored = 0
        words: list[str] = []
        findings: list[Finding] = []
        for portion in _portions(told):
            faults = [row for row in portion if isinstance(row, Finding)]
            said = [row for row in portion if not isinstance(row, Finding)]
            self._insert_faults(file, faults)
            self._insert_said(note, said)
            words += [s.quote for s in said[: SHOWN - len(words)]]
            findings += faults[: SHOWN - len(findings)]
            statements, found, stored = statements + len(said), found + len(faults), stored + len(portion)
            doubts += sum(s.standing == "doubtful" for s in said)
            progress(stored)
        sheet = SheetText(1, None, "\n".join(words))
        ocr = {"by_ocr": int(sheet.by_ocr), "picture": int(sheet.picture)}
        self._indexed("sheet", {"file_id": file, "sheet": 1, "page": None, "text": sheet.text, **ocr})
        return ListTaken(statements, doubts, found, tuple(findings))

    def _insert_faults(self, file: int, findings: Sequence[Finding]) -> None:
        sql = """INSERT INTO finding (file_id, message, quote, source_file, source_sheet, source_page,
                 source_box, source_ocr) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"""
        self._change_many(sql, ((file, f.message, f.quote, *rows.write_source(f.source)) for f in findings))

    def _insert_said(self, note: int, said: Sequence[Supersession | Withdrawn]) -> None:
        """Statements with their ids given here, so that their numbers go in with them."""
        if not said:
            return
        first = self._rows("SELECT coalesce(max(id), 0) + 1 AS first FROM statement")[0]["first"]
        numbered = list(enumerate(said, first))
        for kind in (Supersession, Withdrawn):
            of_kind = [_columns(note, at, s) for at, s in numbered if isinstance(s, kind)]
            if of_kind:
                places = ", ".join("?" * len(of_kind[0]))
                sql = f"INSERT INTO statement ({', '.join(of_kind[0])}) VALUES ({places})"
                self._change_many(sql, (tuple(columns.values()) for columns in of_kind))
        sides = (
            (at, side, part, key(part))
            for at, s in numbered
            if isinstance(s, Supersession)
            for side, parts in (("old", s.old), ("new", s.new))
            for part in parts
        )
        sql = "INSERT INTO superseded (statement_id, side, part, part_key) VALUES (?, ?, ?, ?)"
        self._change_many(sql, sides)
        self._name_parts(part for s in said for part in _parts(s))

    def _name_parts(self, printed: Iterable[str]) -> None:
        """Adds part numbers as printed to the known ones, but for those whose key is known already."""
        named: dict[str, str] = {}
        for part in printed:
            named.setdefault(key(part), part.strip())
        named.pop("", None)
        sql = "SELECT part_key FROM part WHERE part_key IN (SELECT value FROM json_each(?))"
        for row in self._rows(sql, json.dumps(list(named))):
            del named[row["part_key"]]
        first = self._rows("SELECT coalesce(max(id), 0) + 1 AS first FROM part")[0]["first"]
        new = [(at, joined, folded(joined), part) for at, (joined, part) in enumerate(named.items(), first)]
        self._change_many("INSERT INTO part (id, part_key, folded, printed) VALUES (?, ?, ?, ?)", new)
        sql = "INSERT INTO part_search (rowid, part_key, folded) VALUES (?, ?, ?)"
        self._change_many(sql, (row[:3] for row in new))


def _portions(told: Iterable[Row]) -> Iterable[list[Row]]:
    coming = iter(told)
    return iter(lambda: list(itertools.islice(coming, PORTION)), [])


def _columns(note: int, at: int, statement: Supersession | Withdrawn) -> dict[str, object]:
    said = replace(statement, why=tuple(dict.fromkeys(statement.why)))
    own = {"id": at, "note_id": note, "kind": rows.kind_of(said), **said_columns(statement)}
    return {**own, **standing_columns(said), **rows.write_body(said), "read_body": rows.write_reading(said)}


def _parts(statement: Supersession | Withdrawn) -> tuple[str, ...]:
    return (*statement.old, *statement.new) if isinstance(statement, Supersession) else (statement.part,)

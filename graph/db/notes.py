"""The notes held: bulletins, the shop's own notes, and lists of supersessions."""

import datetime as dt
import json
from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import replace
from typing import Any

from benchleaf.graph.db import rows
from benchleaf.graph.db.bulk import Bulk
from benchleaf.graph.db.intake import Intake
from benchleaf.graph.db.manuals import Manuals
from benchleaf.graph.db.modelsnamed import ModelsNamed
from benchleaf.graph.db.statements import ASTRAY, Statements
from benchleaf.graph.db.tables import CITES_BOOKS, FIRST_MODELS, HAS_KITS, HAS_MODELS
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.keys import key
from benchleaf.graph.model import Contents, Document, Finding, Note, SheetText, Statement

PHOTOS = "SELECT file, number FROM note WHERE source = 'shop' AND file_id IS NULL AND length(file) = 64"
_NEWEST = "ORDER BY coalesce(date, '') DESC, coalesce(revision, '') DESC, id DESC"


class Notes(Intake, Bulk, Manuals, Statements, ModelsNamed):
    """Reads notes and whole documents, and writes the shop's own notes."""

    def notes(self, *, lists: bool = False) -> tuple[Note, ...]:
        """Every note held, by date, then number, without its statements; with `lists`, the lists too."""
        found = self._rows("SELECT * FROM note WHERE listing <= ? ORDER BY date, number_key, id", int(lists))
        return self._filled(found)

    def note(self, number: str) -> Note | None:
        """The note (or list) of that number, with its statements; of several revisions the newest."""
        found = self.notes_like(number)
        return found[0] if found else None

    def note_head(self, number: str) -> Note | None:
        """The same without its statements: a list of numbers can have a million."""
        row = self._row(f"SELECT * FROM note WHERE number_key = ? {_NEWEST}", key(number))
        return None if row is None else self._filled([row])[0]

    def note_heads(self, number: str) -> tuple[Note, ...]:
        """Every note of that number, newest first, without its statements."""
        return self._filled(self._rows(f"SELECT * FROM note WHERE number_key = ? {_NEWEST}", key(number)))

    def holds_note(self, number: str) -> bool:
        """Whether a note or a list of that number is held."""
        return self._row("SELECT 1 FROM note WHERE number_key = ?", key(number)) is not None

    def notes_citing(self) -> tuple[Note, ...]:
        """The notes that cite something, by date, then number, without their statements; lists left out."""
        sql = "SELECT * FROM note WHERE listing = 0 AND cites <> '[]' ORDER BY date, number_key, id"
        return self._filled(self._rows(sql))

    def notes_numbered(self, numbers: Collection[str]) -> tuple[Note, ...]:
        """Every note of these numbers, by date, then number, without its statements; lists left out."""
        sql = """SELECT * FROM note WHERE listing = 0 AND number_key IN (SELECT value FROM json_each(?))
                 ORDER BY date, number_key, id"""
        return self._filled(self._rows(sql, json.dumps(sorted({key(n) for n in numbers}))))

    def notes_newest(self, numbers: Collection[str], *, whole: bool = False) -> dict[str, Note]:
        """Key → the newest revision of the note of each of these numbers, without its statements unless
        `whole`; without those that only lists bear."""
        found = self._newest(numbers)
        notes = self._with_statements(found) if whole else self._filled(found)
        return {row["number_key"]: note for row, note in zip(found, notes, strict=True)}

    def _newest(self, numbers: Collection[str]) -> list[Any]:
        sql = f"SELECT * FROM note WHERE number_key IN (SELECT value FROM json_each(?)) {_NEWEST}"
        newest: dict[str, Any] = {}
        borne = set()
        for row in self._rows(sql, json.dumps(sorted({key(n) for n in numbers}))):
            newest.setdefault(row["number_key"], row)
            if not row["listing"]:
                borne.add(row["number_key"])
        return [row for number, row in newest.items() if number in borne]

    def astray_of_notes(self, numbers: Collection[str]) -> tuple[Statement, ...]:
        """What the newest revision of each of these notes says of papers that may not be held: overrides
        whose publication, or page of it, is not, and every cancellation; in the order of the numbers, then
        by id."""
        newest = {row["id"]: row["number_key"] for row in self._newest(numbers)}
        where = f"note_id IN (SELECT value FROM json_each(?)) AND (+kind = 'cancels' OR {ASTRAY})"
        found = self._read(where, "ORDER BY id", json.dumps(list(newest)))
        places = {key(n): at for at, n in enumerate(numbers)}
        return tuple(sorted(found, key=lambda s: places.get(key(s.note), len(places))))

    def notes_headed(self, model: str | None, publications: Collection[str]) -> tuple[Note, ...]:
        """The same of the notes that name kits in their heads, or that model, or cite one of these books."""
        named = {row["number_key"] for row in self._rows(f"SELECT number_key FROM note WHERE {HAS_KITS}")}
        wanted = {key(number) for number in publications}
        citing = f"SELECT number_key, cites FROM note WHERE {CITES_BOOKS}" if wanted else "SELECT 1 WHERE 0"
        for row in self._rows(citing):
            if any(key(number) in wanted for _, number, _ in json.loads(row["cites"])):
                named.add(row["number_key"])
        if model is not None:
            named |= self._headed_for(key(model))
        return self.notes_numbered(named)

    def _headed_for(self, model: str) -> set[str]:
        """The keys of the notes whose heads name a model, by the lists of models that there are."""
        first = [text for text, models in self.first_models("note", HAS_MODELS) if model in map(key, models)]
        sql = f"""SELECT number_key FROM note WHERE {HAS_MODELS}
                  AND {FIRST_MODELS} IN (SELECT value FROM json_each(?))"""
        return {row["number_key"] for row in self._rows(sql, json.dumps(first))}

    def number_of_file(self, file: int) -> str | None:
        """The number of the publication, else of the first note, that was read from a file, by its id."""
        for table in ("publication", "note"):
            row = self._row(f"SELECT number FROM {table} WHERE file_id = ? ORDER BY id", file)
            if row is not None:
                return str(row["number"])
        return None

    def photos(self) -> dict[str, str]:
        """The photos of the shop's own notes: hash of the kept original → the note's number."""
        return {str(row["file"]): str(row["number"]) for row in self._rows(PHOTOS)}

    def note_of_statement(self, id: int) -> Note | None:
        """The very note (of several of one number) that a statement was read from, without its statements."""
        row = self._row("SELECT * FROM note WHERE id = (SELECT note_id FROM statement WHERE id = ?)", id)
        return None if row is None else self._filled([row])[0]

    def contents_with(self, part: str) -> tuple[Contents, ...]:
        """What notes and the manuals themselves say of the kits with a part among their lines, present or
        previous."""
        return (*super().contents_with(part), *self.manual_contents_with(part))

    def notes_like(self, number: str) -> tuple[Note, ...]:
        """Every note of that number, newest first, each with the statements read from it."""
        return self._with_statements(
            self._rows(f"SELECT * FROM note WHERE number_key = ? {_NEWEST}", key(number))
        )

    def received_between(self, first: dt.date, last: dt.date) -> tuple[Note, ...]:
        """The notes and lists that the shop received from `first` to `last`, both days included, each with
        its statements, in the order received."""
        sql = "SELECT * FROM note WHERE received BETWEEN ? AND ? ORDER BY received, id"
        return self._with_statements(self._rows(sql, first.isoformat(), last.isoformat()))

    def document(self, sha256: str) -> Document | None:
        """A held document, whole, as it was stored; its statements with their present standing."""
        file = self._row("SELECT * FROM file WHERE sha256 = ?", sha256)
        if file is None:
            return None
        manuals = self._manuals("WHERE file_id = ?", "ORDER BY id", file["id"])
        return Document(
            sha256=sha256,
            name=file["name"],
            kind=file["kind"],
            sheets=self._sheets(file["id"]),
            manual=manuals[0] if manuals else None,
            notes=self._with_statements(
                self._rows("SELECT * FROM note WHERE file_id = ? ORDER BY id", file["id"])
            ),
            findings=self._findings_where("file_id = ?", file["id"]),
            scans=self.scans(sha256),
        )

    def findings(self, file: int | None = None) -> tuple[Finding, ...]:
        """What a person should know about the reading of one file (by its id), or of all."""
        return self._findings_where("?1 IS NULL OR file_id = ?1", file)

    def shop_note(self, note: Note, at: dt.datetime) -> Note:
        """Stores a shop's own note under the next number `SHOP-<n>` (its own and its statements' `note` are
        given that number); the note as stored. Inside a transaction. Raises WrongUse if it states nothing."""
        if not note.statements:
            raise WrongUse("a shop's note needs at least one statement.")
        number = f"SHOP-{self._last_shop_number() + 1}"
        statements = tuple(replace(s, note=number, id=None) for s in note.statements)
        named = replace(
            note, number=number, source="shop", received=note.received or at.date(), statements=statements
        )
        words = "\n".join(dict.fromkeys(filter(None, _words_of(statements))))
        self._insert_note(None, named, named.received or at.date(), own_words=words)
        stored = self.note(number)
        assert stored is not None  # inserted two lines above
        return stored

    def _last_shop_number(self) -> int:
        found = self._rows("SELECT number_key FROM note WHERE number_key GLOB 'SHOP[0-9]*'")
        tails = (str(row["number_key"]).removeprefix("SHOP") for row in found)
        return max((int(tail) for tail in tails if tail.isdecimal()), default=0)

    def _sheets(self, file: int) -> tuple[SheetText, ...]:
        found = self._rows("SELECT * FROM sheet WHERE file_id = ? ORDER BY id", file)
        return tuple(
            SheetText(r["sheet"], r["page"], r["text"], bool(r["by_ocr"]), bool(r["picture"])) for r in found
        )

    def _findings_where(self, where: str, *values: object) -> tuple[Finding, ...]:
        found = self._rows(f"SELECT * FROM finding WHERE {where} ORDER BY id", *values)
        return tuple(Finding(row["message"], rows.read_source(row), row["quote"]) for row in found)

    def _filled(self, found: list[Any]) -> tuple[Note, ...]:
        cancelled = self._cancelled({row["number_key"] for row in found})
        return tuple(rows.read_note(row, cancelled.get(row["number_key"])) for row in found)

    def _with_statements(self, found: list[Any]) -> tuple[Note, ...]:
        wanted = json.dumps([row["id"] for row in found])
        inside = "note_id IN (SELECT value FROM json_each(?))"
        owner = {
            r["id"]: r["note_id"]
            for r in self._rows(f"SELECT id, note_id FROM statement WHERE {inside}", wanted)
        }
        stated: dict[int, list[Statement]] = defaultdict(list)
        for statement in self._read(inside, "ORDER BY id", wanted):
            stated[owner[statement.id or 0]].append(statement)
        notes = zip(found, self._filled(found), strict=True)
        return tuple(replace(note, statements=tuple(stated[row["id"]])) for row, note in notes)

    def _cancelled(self, numbers: set[str]) -> dict[str, str]:
        """Key of a note → the number of the latest note whose settled word cancels it."""
        sql = """SELECT subject_key, note FROM statement WHERE kind = 'cancels' AND standing = 'settled'
                 AND subject_key <> note_key AND subject_key IN (SELECT value FROM json_each(?))
                 ORDER BY date, id"""
        return {row["subject_key"]: row["note"] for row in self._rows(sql, json.dumps(sorted(numbers)))}


def _words_of(statements: Iterable[Statement]) -> Iterable[str | None]:
    for statement in statements:
        yield statement.quote
        yield getattr(statement, "text", None)

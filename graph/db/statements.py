"""The statements held: read back by note, kind, standing, step, part or kit."""

import json
from collections import defaultdict
from collections.abc import Collection, Iterator
from typing import Any, TypeVar, cast

from benchleaf.graph.db import rows
from benchleaf.graph.db.connection import OpenStore, plain_problems
from benchleaf.graph.errors import NotHeld
from benchleaf.graph.keys import key
from benchleaf.graph.lean import Counts
from benchleaf.graph.model import (
    Cancels,
    Contents,
    KitLine,
    Override,
    Statement,
    Supersession,
    Target,
    Withdrawn,
)
from benchleaf.graph.places import same_place

Kind = TypeVar("Kind", bound=Statement)
_BY_DATE = "ORDER BY date, id"
_OF_BOOK = """publication_key = ?1
    OR publication_key IS NULL AND standing <> 'settled' AND page_key IN
        (SELECT page_key FROM page JOIN publication ON publication.id = publication_id
         WHERE number_key = ?1)"""
_LINES = """SELECT statement_id FROM kit_line WHERE side = 'now'
    AND description IN (SELECT value FROM json_each({})) GROUP BY statement_id
    HAVING sum(quantity) = {} AND count(quantity) = count(*)"""
_COUNTING = f"id IN ({_LINES.format('?1', '?3')} INTERSECT {_LINES.format('?2', '?4')})"
# The pluses keep SQLite from walking along every override, or every refused reading, of the store.
ASTRAY = """(+kind = 'override' AND +standing <> 'refused' AND statement.publication_key IS NOT NULL
    AND NOT EXISTS (SELECT 1 FROM publication WHERE number_key = statement.publication_key
        AND (statement.page_key IS NULL OR EXISTS (
            SELECT 1 FROM publication AS held CROSS JOIN page ON publication_id = held.id
            AND page.page_key = statement.page_key WHERE held.number_key = statement.publication_key))))"""
_SOME = 2000  # statements read at a time where all are wanted


class Statements(OpenStore):
    """Reads statements."""

    def statements(
        self, *, note: str | None = None, kind: str | None = None, standing: str | None = None
    ) -> tuple[Statement, ...]:
        """The statements of one note, of one kind ("override" …), of one standing, or of all; by id."""
        asked = {"note_key": rows.key_or_none(note), "kind": kind, "standing": standing}
        where = {column: value for column, value in asked.items() if value is not None}
        return self._read(
            " AND ".join(f"{column} = ?" for column in where) or "1", "ORDER BY id", *where.values()
        )

    def statement(self, id: int) -> Statement | None:
        """The statement of that id, or None."""
        found = self._read("id = ?", "", id)
        return found[0] if found else None

    def statements_of_document(self, document_id: int) -> tuple[Statement, ...]:
        """The statements read from one file, by the id that `insert` gave it."""
        return self._read("note_id IN (SELECT id FROM note WHERE file_id = ?)", "ORDER BY id", document_id)

    def overrides(self, publication: str, page: str | None = None) -> tuple[Override, ...]:
        """The overrides of a publication, or of one page of it: every standing, by date, then id.

        A doubtful or refused one that leaves out its publication is among them if its page fits, and one that
        leaves out its page if its publication fits: it may be meant. A settled one names both.
        """
        if page is None:
            return self._those(Override, _OF_BOOK, key(publication))
        where = """publication_key = ?1 AND page_key = ?2
                   OR publication_key = ?1 AND page_key IS NULL AND standing <> 'settled'
                   OR publication_key IS NULL AND page_key = ?2 AND standing <> 'settled'"""
        found = self._those(Override, where, key(publication), key(page))
        return tuple(o for o in found if o.target.page is None or same_place(o.target.page, page))

    def overrides_on(self, publication: str, pages: Collection[str]) -> tuple[Override, ...]:
        """Those of them that name one of these pages (keys), or no page; by date, then id."""
        where = """publication_key = ?1 AND page_key IN (SELECT value FROM json_each(?2))
                   OR publication_key = ?1 AND page_key IS NULL
                   OR publication_key IS NULL AND standing <> 'settled' AND page_key IN
                      (SELECT value FROM json_each(?2) CROSS JOIN publication ON number_key = ?1
                       CROSS JOIN page ON publication_id = publication.id AND page.page_key = value)"""
        return self._those(Override, where, key(publication), json.dumps(sorted(pages)))

    def models_overridden(self, publication: str) -> tuple[str, ...]:
        """The models for which they are meant, each as printed."""
        found = self._rows(f"SELECT DISTINCT applies FROM statement WHERE {_OF_BOOK}", key(publication))
        return tuple(dict.fromkeys(m for row in found for m in rows.read_applies(row["applies"]).models))

    def overrides_astray(self) -> tuple[Override, ...]:
        """The overrides, but for refused ones, whose publication, or page of it, is not held; by id."""
        return cast("tuple[Override, ...]", self._read(ASTRAY, "ORDER BY id"))

    def astray_on(self, publication: str) -> tuple[Override, ...]:
        """Those among the overrides of a publication; by date, then id."""
        return self._those(Override, f"publication_key = ?1 AND {ASTRAY}", key(publication))

    def overrides_of_note(self, note: str) -> tuple[Override, ...]:
        """The overrides that a note states: every standing, by date, then id."""
        return self._those(Override, "kind = 'override' AND note_key = ?", key(note))

    def unsettled_by_person_overrides(self, publication: str | None = None) -> tuple[Override, ...]:
        """The overrides that no person has settled, whose cited publication is the given one or is left out;
        all of them if None is given. To be judged anew when a manual arrives."""
        where = """kind = 'override' AND (settled_by IS NULL OR settled_by = 'rule')
                   AND (?1 IS NULL OR read_publication_key IS NULL OR read_publication_key = ?1)"""
        return self._those(Override, where, rows.key_or_none(publication))

    def supersessions(self, keys: Collection[str]) -> tuple[Supersession, ...]:
        """Every supersession that hangs together with the parts, in both directions and over any number of
        steps; every standing, by date, then id."""
        where = """id IN (
            WITH RECURSIVE near(part_key) AS (
                SELECT value FROM json_each(?)
                UNION
                SELECT other.part_key FROM near JOIN superseded AS one ON one.part_key = near.part_key
                JOIN superseded AS other ON other.statement_id = one.statement_id WHERE other.part_key <> '')
            SELECT statement_id FROM superseded WHERE part_key IN (SELECT part_key FROM near))"""
        return self._those(Supersession, where, json.dumps(sorted({key(k) for k in keys} - {""})))

    def all_supersessions(self) -> Iterator[Supersession]:
        """Every supersession, in portions, by id."""
        last = 0
        while True:
            sql = "SELECT id FROM statement WHERE kind = 'supersession' AND id > ? ORDER BY id LIMIT ?"
            numbers = [row["id"] for row in self._rows(sql, last, _SOME)]
            if not numbers:
                return
            yield from cast("tuple[Supersession, ...]", self._read_ids(numbers))
            last = numbers[-1]

    def settled_links(self) -> Iterator[tuple[int, int]]:
        """Every link of a settled supersession: the ids of an old part number and of a new one."""
        sql = """SELECT one.id, other.id FROM statement
                 JOIN superseded AS old ON old.statement_id = statement.id AND old.side = 'old'
                 JOIN superseded AS new ON new.statement_id = statement.id AND new.side = 'new'
                 JOIN part AS one ON one.part_key = old.part_key
                 JOIN part AS other ON other.part_key = new.part_key
                 WHERE kind = 'supersession' AND standing = 'settled' AND one.id <> other.id"""
        with plain_problems(self.folder):
            yield from map(tuple, self.connection.execute(sql))

    def part_keys(self, parts: Collection[int]) -> tuple[str, ...]:
        """The keys of part numbers by their ids."""
        sql = "SELECT part_key FROM part WHERE id IN (SELECT value FROM json_each(?)) ORDER BY part_key"
        return tuple(str(row["part_key"]) for row in self._rows(sql, json.dumps(sorted(parts))))

    def supersessions_within(self, parts: Collection[int]) -> tuple[Supersession, ...]:
        """The supersessions with an old and a new number among these parts (ids), by date, then id."""
        side = """SELECT statement_id FROM superseded JOIN part ON part.part_key = superseded.part_key
                  WHERE side = '{}' AND part.id IN (SELECT value FROM json_each(?1))"""
        where = f"id IN ({side.format('old')} INTERSECT {side.format('new')})"
        return self._those(Supersession, where, json.dumps(sorted(parts)))

    def contents(self, kit: str) -> tuple[Contents, ...]:
        """What notes say that a kit contains: every standing, by date, then id."""
        return self._those(Contents, "kind = 'contents' AND subject_key = ?", key(kit))

    def contents_counting(self, counts: Counts) -> tuple[Contents, ...]:
        """What notes say of the kits whose present lines add up to just these plates, by id."""
        told = self._read(_COUNTING, "ORDER BY id", *self._plate_names(), *counts)
        return cast("tuple[Contents, ...]", told)

    def kits_counting(self, counts: Counts) -> tuple[tuple[str, str], ...]:
        """Of the same the note and the kit alone."""
        sql = f"SELECT note, subject FROM statement WHERE {_COUNTING} ORDER BY id"
        return tuple((r["note"], r["subject"]) for r in self._rows(sql, *self._plate_names(), *counts))

    def _plate_names(self) -> tuple[str, str]:
        """The descriptions of kit lines that mean friction plates, and those that mean steel plates."""
        from benchleaf.graph.kits.plates import plate_kind

        names: dict[str, list[str]] = {"friction": [], "steel": []}
        for name in self._line_names():
            names.get(plate_kind(name) or "", []).append(name)
        return json.dumps(names["friction"]), json.dumps(names["steel"])

    def _line_names(self) -> Iterator[str]:
        """The descriptions of kit lines, each once: the index is skipped through."""
        row = self._row("SELECT min(description) AS name FROM kit_line")
        while row is not None and row["name"] is not None:
            yield str(row["name"])
            row = self._row(
                "SELECT min(description) AS name FROM kit_line WHERE description > ?", row["name"]
            )

    def contents_with(self, part: str) -> tuple[Contents, ...]:
        """What notes say of the kits with a part among their lines, present or previous."""
        where = "kind = 'contents' AND id IN (SELECT statement_id FROM kit_line WHERE part_key = ?)"
        return self._those(Contents, where, key(part))

    def withdrawals(self, part: str) -> tuple[Withdrawn, ...]:
        """What notes say of a part being supplied no longer, with nothing in its place."""
        return self._those(Withdrawn, "kind = 'withdrawn' AND subject_key = ?", key(part))

    def cancellations(self) -> tuple[Cancels, ...]:
        """Every cancellation of a note: every standing, by date, then id."""
        return self._those(Cancels, "kind = 'cancels'")

    def cancellations_of(self, notes: Collection[str]) -> tuple[Cancels, ...]:
        """The cancellations of these notes, and those of the notes that cancel them: every standing, by date,
        then id."""
        where = """kind = 'cancels' AND subject_key IN (
            SELECT value FROM json_each(?1) UNION
            SELECT note_key FROM statement WHERE kind = 'cancels' AND subject_key IN
                (SELECT value FROM json_each(?1)))"""
        return self._those(Cancels, where, json.dumps(sorted({key(n) for n in notes})))

    def reading_doubts(self, id: int) -> tuple[str, ...]:
        """The doubts that the reading itself had, before a target was looked for. Raises NotHeld."""
        return tuple(rows.read_list(self._as_read(id)["read_why"]))

    def reading_target(self, id: int) -> Target:
        """The target of an override as the note cites it, before anything was filled in. Raises NotHeld."""
        row = self._as_read(id)
        return Target(row["read_publication"], row["read_page"], row["read_item"])

    def _as_read(self, id: int) -> Any:
        row = self._row("SELECT * FROM statement WHERE id = ?", id)
        if row is None:
            raise NotHeld(f"no statement {id} is held.", remedy="`benchleaf statements` lists them.")
        return row

    def _those(self, kind: type[Kind], where: str, *values: object) -> tuple[Kind, ...]:
        return cast("tuple[Kind, ...]", self._read(where, _BY_DATE, *values))

    def _read_ids(self, numbers: list[int]) -> tuple[Statement, ...]:
        return self._read("id IN (SELECT value FROM json_each(?))", "ORDER BY id", json.dumps(numbers))

    def _read(self, where: str, order: str, *values: object) -> tuple[Statement, ...]:
        found = self._rows(f"SELECT * FROM statement WHERE {where} {order}", *values)
        numbers = self._numbers([row["id"] for row in found if row["kind"] == "supersession"])
        lines = self._lines([row["id"] for row in found if row["kind"] == "contents"])
        return tuple(
            rows.read_statement(
                row,
                tuple(numbers[row["id"], "old"]),
                tuple(numbers[row["id"], "new"]),
                tuple(lines[row["id"], "now"]),
                tuple(lines[row["id"], "previous"]),
            )
            for row in found
        )

    def _numbers(self, statements: list[int]) -> dict[tuple[int, str], list[str]]:
        found: dict[tuple[int, str], list[str]] = defaultdict(list)
        for row in self._hanging("superseded", statements):
            found[row["statement_id"], row["side"]].append(row["part"])
        return found

    def _lines(self, statements: list[int]) -> dict[tuple[int, str], list[KitLine]]:
        found: dict[tuple[int, str], list[KitLine]] = defaultdict(list)
        for row in self._hanging("kit_line", statements):
            found[row["statement_id"], row["side"]].append(rows.read_kit_line(row))
        return found

    def _hanging(self, table: str, statements: list[int]) -> list[Any]:
        if not statements:
            return []
        sql = f"SELECT * FROM {table} WHERE statement_id IN (SELECT value FROM json_each(?)) ORDER BY id"
        return self._rows(sql, json.dumps(statements))

"""Upkeep: is the store whole, and a copy of it."""

import sqlite3
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from benchleaf.graph.db.backup import backup
from benchleaf.graph.db.connection import DATABASE, connect, plain_problems
from benchleaf.graph.db.originals import sha256_of
from benchleaf.graph.db.tables import SEARCH
from benchleaf.graph.errors import StoreProblem
from benchleaf.graph.keys import key
from benchleaf.graph.store import Store

__all__ = ["Condition", "Counts", "Problem", "backup", "check"]

ProblemKind = Literal["database", "link", "search", "original", "scan", "target", "number"]


@dataclass(frozen=True, slots=True)
class Problem:
    """Something that is wrong in the store: of which kind, what in plain words, and what to do about it.

    `original`: a kept file is gone or changed. `scan`: what OCR read is of no use. `target`: a settled
    statement points at a step that is not there. `number`: part numbers that replace each other in a circle.
    """

    kind: ProblemKind
    message: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Counts:
    """How much was looked at."""

    files: int
    sheets: int
    publications: int
    items: int
    notes: int
    statements: int
    parts: int
    settlements: int
    scans: int


@dataclass(frozen=True, slots=True)
class Condition:
    """The store's condition; it is whole if there are no problems."""

    problems: tuple[Problem, ...]
    counts: Counts

    @property
    def whole(self) -> bool:
        """True if nothing is wrong."""
        return not self.problems


_RESTORE = "Restore the store from a backup."
_ADD_AGAIN = "Put the file back from a backup."


def check(store: Store) -> Condition:
    """Looks at everything in the store and changes nothing: the database's pages and links, every full-text
    index against its content both ways, every original against its hash, every result of OCR against the
    sheets, every settled target, and circles of numbers."""
    checks = (_database, _links, _search, _originals, _scans, _targets, _circles)
    return Condition(tuple(problem for one in checks for problem in _guarded(one, store)), _counts(store))


def _guarded(one: Callable[["Store"], Iterable[Problem]], store: Store) -> Iterator[Problem]:
    """In a damaged store a check can stumble itself: that is a finding too, and the other checks go on."""
    try:
        yield from one(store)
    except (sqlite3.Error, StoreProblem, ValueError) as error:
        yield Problem("database", f"the store cannot be read whole: {error}", _RESTORE)


def _counts(store: Store) -> Counts:
    tables = ("file", "sheet", "publication", "item", "note", "statement", "part")
    settled = "(SELECT statement_id FROM settlement UNION ALL SELECT note_id FROM head_settlement)"
    with plain_problems(store.folder):
        counts = [
            store.connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
            for table in (*tables, settled, "scan")
        ]
    return Counts(*counts)


def _database(store: Store) -> Iterator[Problem]:
    for (words,) in store.connection.execute("PRAGMA integrity_check(20)"):
        if words != "ok":
            yield Problem("database", f"the database is damaged: {words}", _RESTORE)


def _links(store: Store) -> Iterator[Problem]:
    for table, row, parent, _ in store.connection.execute("PRAGMA foreign_key_check"):
        yield Problem("link", f"row {row} of {table} points at a {parent} that is not there", _RESTORE)


def _search(store: Store) -> Iterator[Problem]:
    """SQLite's own check of an index against its content writes to the index, so a copy is looked at; the
    rows missing on either side are named beside it."""
    for name, (content, _, _) in SEARCH.items():
        for words, sql in (
            ("lacks", f"SELECT id FROM {content} EXCEPT SELECT id FROM {name}_docsize"),
            ("holds a lost", f"SELECT id FROM {name}_docsize EXCEPT SELECT id FROM {content}"),
        ):
            for row in store.connection.execute(f"{sql} LIMIT 20"):
                yield Problem("search", f"the index {name} {words} row {row[0]} of {content}", _RESTORE)
    with tempfile.TemporaryDirectory(prefix="benchleaf-") as folder:
        copy = Path(folder, "copy.db")
        with closing(sqlite3.connect(copy)) as target:
            with closing(connect(store.folder / DATABASE, "ro")) as source:
                source.backup(target)
            yield from _unlike(target)


def _unlike(copy: sqlite3.Connection) -> Iterator[Problem]:
    for name in SEARCH:
        try:
            copy.execute(f"INSERT INTO {name}({name}, rank) VALUES ('integrity-check', 1)")
        except sqlite3.DatabaseError as error:
            yield Problem("search", f"the index {name} does not agree with its content: {error}", _RESTORE)


def _originals(store: Store) -> Iterator[Problem]:
    named = {sha256: f"the photo of {note}" for sha256, note in store.photos().items()}
    named |= {file.sha256: file.name for file in store.files()}
    for sha256, name in named.items():
        path = store.original(sha256)
        try:
            if not path.is_file():
                yield Problem("original", f"the original of {name} ({sha256[:12]}…) is missing", _ADD_AGAIN)
            elif sha256_of(path) != sha256:
                yield Problem("original", f"the original of {name} ({sha256[:12]}…) has changed", _ADD_AGAIN)
        except OSError as error:
            yield Problem(
                "original", f"the original of {name} cannot be read: {error}", "Check its permissions."
            )


def _scans(store: Store) -> Iterator[Problem]:
    """Results of OCR that are empty or belong to no held sheet."""
    sql = """SELECT scan.sha256, scan.sheet FROM scan WHERE length(body) = 0 OR NOT EXISTS (
             SELECT 1 FROM sheet JOIN file ON file.id = file_id
             WHERE file.sha256 = scan.sha256 AND sheet.sheet = scan.sheet)"""
    for row in store.connection.execute(sql):
        words = f"what OCR read on sheet {row['sheet']} of {row['sha256'][:12]}… is empty or of no held sheet"
        yield Problem("scan", words, "Read the paper again with `benchleaf reread`.")


def _targets(store: Store) -> Iterator[Problem]:
    """Settled overrides that change nothing: without a whole target, or the page is held but not the item."""
    sql = """SELECT id, note, publication, page, item FROM statement
        WHERE kind = 'override' AND standing = 'settled' AND (
             publication_key IS NULL OR page_key IS NULL OR item_key IS NULL OR
             EXISTS (SELECT 1 FROM page JOIN publication ON publication.id = publication_id
                     WHERE number_key = statement.publication_key AND page.page_key = statement.page_key)
             AND NOT EXISTS (SELECT 1 FROM item JOIN publication ON publication.id = publication_id
                     WHERE number_key = statement.publication_key AND item.page_key = statement.page_key
                     AND label_key = statement.item_key))"""
    for row in store.connection.execute(sql):
        item, page, publication = (row[name] or "(none named)" for name in ("item", "page", "publication"))
        words = f"statement {row['id']} of {row['note']} is settled for"
        remedy = f"Look at it and settle it anew: benchleaf settle {row['id']} …"
        yield Problem(
            "target", f"{words} item {item} on page {page} of {publication}, which is not there", remedy
        )


def _circles(store: Store) -> Iterator[Problem]:
    """Rings of settled supersessions that the dates do not open."""
    import networkx as nx
    from benchleaf.graph.supersession import current, graph_of, settled

    held = settled(store.all_supersessions())
    for ring in nx.strongly_connected_components(graph_of(held)):
        if len(ring) > 1:
            inside = [s for s in held if ring & {key(n) for n in s.old} and ring & {key(n) for n in s.new}]
            for words in current(min(ring), inside).problems:
                yield Problem("number", words, "Settle the wrong statement with no.")

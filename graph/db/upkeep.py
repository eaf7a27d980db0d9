"""Upkeep: is the store whole, and a copy of it."""

import sqlite3
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from benchleaf.graph.circles import circles
from benchleaf.graph.db.backup import backup
from benchleaf.graph.db.connection import DATABASE, ORIGINALS, connect, plain_problems
from benchleaf.graph.db.originals import sha256_of
from benchleaf.graph.db.tables import SEARCH
from benchleaf.graph.errors import StoreProblem
from benchleaf.graph.store import Store

__all__ = ["Condition", "Counts", "Leftover", "Problem", "backup", "check"]

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
class Leftover:
    """A file that a run left behind when it was cut off: `name` within the store's folder, what it is, and
    what to do about it. Nothing is lost by it."""

    name: str
    message: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Condition:
    """The store's condition; it is whole if there are no problems. Leftovers are none."""

    problems: tuple[Problem, ...]
    counts: Counts
    leftovers: tuple[Leftover, ...] = ()

    @property
    def whole(self) -> bool:
        """True if nothing is wrong."""
        return not self.problems


_RESTORE = "Restore the store from a backup."
_ADD_AGAIN = "Put the file back from a backup."


def check(store: Store) -> Condition:
    """Looks at everything in the store and changes nothing: the database's pages and links, every full-text
    index against its content both ways, every original against its hash, every result of OCR against the
    sheets, every settled target, and circles of numbers; and for files that a run left when it was cut
    off."""
    checks = (_database, _links, _search, _originals, _scans, _targets, _texts, _circles)
    problems = tuple(problem for one in checks for problem in _guarded(one, store))
    return Condition(problems, _counts(store), tuple(_leftovers(store)) if not problems else ())


def _leftovers(store: Store) -> Iterator[Leftover]:
    """Originals that nothing in the store names, and half-written files."""
    named = {file.sha256 for file in store.files()} | set(store.photos())
    for path in store.original_files():
        if path.name not in named:
            words = "an original of no paper: a run was cut off before its paper was stored"
            yield Leftover(f"{ORIGINALS}/{path.name}", words, f"Add the paper again, or {_ALONE}.")
    for path in sorted((*store.folder.glob("*.part"), *store.folder.glob("*/*.part"))):
        name = path.relative_to(store.folder).as_posix()
        yield Leftover(name, "half written: a run was cut off", f"It is of no use: {_ALONE}.")


_ALONE = "delete the file once no other program uses the store"


def _guarded(one: Callable[["Store"], Iterable[Problem]], store: Store) -> Iterator[Problem]:
    """In a damaged store a check can stumble itself: that is a finding too, and the other checks go on."""
    try:
        yield from one(store)
    except (sqlite3.Error, StoreProblem, ValueError, TypeError) as error:
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
    try:
        with _copied(store) as copy:
            yield from _unlike(copy)
    except (OSError, sqlite3.OperationalError) as error:
        words = f"the search could not be compared, for its copy could not be made: {error}"
        yield Problem("search", words, "Make room where temporary files go, or set TMPDIR, and check again.")


@contextmanager
def _copied(store: Store) -> Iterator[sqlite3.Connection]:
    """A copy of the database that is thrown away."""
    with tempfile.TemporaryDirectory(prefix="benchleaf-") as folder:
        target = sqlite3.connect(Path(folder, "copy.db"))
        source = connect(store.folder / DATABASE, "ro")
        with closing(target):
            target.execute("PRAGMA synchronous = OFF")
            with closing(source):
                source.backup(target)
            yield target


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


_TEXTS = {
    "statement": ("why", "read_why", "applies", "read_body"),
    "note": ("applies", "unclear", "cites", "read_head"),
    "item": ("notices", "unsure"),
    "publication": ("models",),
}


def _texts(store: Store) -> Iterator[Problem]:
    """Lists and applicabilities whose text cannot be read."""
    for table, columns in _TEXTS.items():
        for column in columns:
            sql = f"SELECT id FROM {table} WHERE {column} IS NOT NULL AND json_valid({column}) = 0 LIMIT 20"
            for row in store.connection.execute(sql):
                words = f"the store cannot be read whole: {column} of {table} {row['id']} is no list"
                yield Problem("database", words, _RESTORE)


def _circles(store: Store) -> Iterator[Problem]:
    """Rings of settled supersessions that the dates do not open."""
    for words in circles(store):
        yield Problem("number", words, "Settle the wrong statement with no.")

"""How the store's database is opened, read and written: one small layer above sqlite3."""

import sqlite3
import stat
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, Self, TypeVar, cast

from benchleaf.graph.db.schema import VERSION, bring_forward, sync_folder, version_of
from benchleaf.graph.errors import StoreProblem, WrongUse

DATABASE = "benchleaf.db"
ORIGINALS = "originals"
BUSY_SECONDS = 10.0
OLDEST_SQLITE = (3, 38, 0)  # STRICT tables, the trigram tokenizer, json_each without a build option

Values = Sequence[object]
Answer = TypeVar("Answer")


def connect(database: Path, mode: str, busy: float = BUSY_SECONDS) -> sqlite3.Connection:
    """A connection in autocommit mode with the store's settings; `mode` is SQLite's "ro", "rw" or "rwc"."""
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        wanted = ".".join(map(str, OLDEST_SQLITE))
        raise StoreProblem(
            f"SQLite {sqlite3.sqlite_version} is too old.", f"Use a Python with SQLite {wanted} or up."
        )
    uri = f"{database.resolve().as_uri()}?mode={mode}"
    connection = sqlite3.connect(uri, uri=True, timeout=busy, isolation_level=None)
    connection.row_factory = sqlite3.Row
    for setting in (
        "foreign_keys = ON",
        "recursive_triggers = ON",
        "trusted_schema = OFF",
        "cell_size_check = ON",
    ):
        connection.execute(f"PRAGMA {setting}")
    connection.execute("PRAGMA synchronous = EXTRA")
    return connection


@contextmanager
def plain_problems(folder: Path) -> Iterator[None]:
    """Turns SQLite's errors into StoreProblem with a remedy; every other error passes as it is."""
    try:
        yield
    except (sqlite3.IntegrityError, sqlite3.ProgrammingError):
        raise
    except sqlite3.OperationalError as error:
        raise _operational(folder, error) from error
    except sqlite3.DatabaseError as error:
        raise StoreProblem(
            f"the store in {folder} is damaged: {error}", "Restore it from a backup."
        ) from error


def _operational(folder: Path, error: sqlite3.OperationalError) -> StoreProblem:
    words = str(error)
    if "locked" in words or "busy" in words:
        return StoreProblem("the store is busy: another program is writing to it.", "Try again in a moment.")
    if not folder.exists():
        return StoreProblem(f"the folder {folder} is gone.", "Bring its disk or share back, then try again.")
    if "readonly" in words or "unable to open" in words:
        return StoreProblem(
            f"the store in {folder} cannot be opened or written: {words}", "Check its permissions."
        )
    if "full" in words:
        return StoreProblem(f"no room left for the store in {folder}.", "Free some space and try again.")
    if "disk I/O error" in words:
        return StoreProblem(f"the disk of the store in {folder} refuses: {words}", _DISK)
    return StoreProblem(f"the store in {folder} cannot be used: {words}", "Run `benchleaf check`.")


_DISK = "Check its room, the limit on file sizes and the disk itself, then run `benchleaf check`."


def open_to_read(folder: Path, busy: float) -> sqlite3.Connection:
    """A read-only connection to a held store. A transaction that was cut off is rolled back and an older
    store brought forward first, both of which need a moment of writing."""
    database = _database_in(folder)
    with plain_problems(folder):
        connection = _current(database, busy)
        if connection is None:
            open_to_write(folder, busy, create=False).close()
            connection = connect(database, "ro", busy)
        return connection


def _current(database: Path, busy: float) -> sqlite3.Connection | None:
    """A read-only connection, or None where only a writing one can make the store readable first."""
    with ExitStack() as opened:
        try:
            connection = opened.enter_context(closing(connect(database, "ro", busy)))
            if version_of(connection) == VERSION:
                opened.pop_all()
                return connection
        except sqlite3.OperationalError as error:
            if "readonly" not in str(error) and "unable to open" not in str(error):
                raise  # those two are a journal left by a killed writer, which a reader may not roll back
    return None


def open_to_write(folder: Path, busy: float, *, create: bool) -> sqlite3.Connection:
    """A writing connection to a held store, or to a new one where `create` allows it."""
    database = _database_in(folder, create=create)
    if create:
        _make_folder(folder)
    with plain_problems(folder):
        connection = connect(database, "rwc" if create else "rw", busy)
        try:
            version_of(connection)  # before anything is written into it: it may not be ours
            connection.execute("PRAGMA journal_mode = DELETE")
            bring_forward(connection)
        except BaseException:
            connection.close()
            raise
        return connection


def _database_in(folder: Path, *, create: bool = False) -> Path:
    """The database in a folder. Raises StoreProblem if there is none (unless it may be created), if it cannot
    be one, and if only the originals are there: a new store must not take the place of a lost one."""
    database = folder / DATABASE
    try:
        found = database.stat() if database.exists() else None
        kept = any((folder / ORIGINALS).glob("*")) if found is None or found.st_size == 0 else False
    except OSError as error:
        problem = f"the store in {folder} cannot be reached: {error.strerror}."
        raise StoreProblem(problem, "Check its permissions.") from error
    if found is not None and not stat.S_ISREG(found.st_mode):
        raise StoreProblem(f"{database} is no file.", "Choose another folder with --store, or move it away.")
    if kept:
        raise StoreProblem(
            f"{database} is {'gone' if found is None else 'empty'}, but the originals are there.",
            f"Restore a backup; without one, add {folder / ORIGINALS} to a new store.",
        )
    if not create and (found is None or found.st_size == 0):
        raise StoreProblem(
            f"there is no store in {folder} yet.", "Run `benchleaf add` with your pages and bulletins."
        )
    return database


def _make_folder(folder: Path) -> None:
    """Makes the store's folders, lasting: a power cut must not take the folder of what was stored in it."""
    originals = folder.absolute() / ORIGINALS
    new = [path for path in (originals, *originals.parents) if not path.exists()]
    try:
        originals.mkdir(parents=True, exist_ok=True)
        for path in dict.fromkeys((originals, originals.parent, *new)):
            sync_folder(path.parent)
    except OSError as error:
        raise StoreProblem(
            f"the folder {folder} cannot be made: {error}", "Choose another with --store."
        ) from error


def clean(value: object) -> object:
    """A value as SQLite can hold it: lone surrogates and NULs, which damaged files yield, become U+FFFD."""
    if not isinstance(value, str) or (value.isascii() and "\0" not in value):
        return value
    return value.replace("\0", "\ufffd").encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")


class OpenStore:
    """An open store's folder and connection, and the few ways in which its parts read and write."""

    def __init__(self, folder: Path, connection: sqlite3.Connection, *, writable: bool) -> None:
        self.folder = folder
        self.writable = writable
        self.connection = connection
        self._kept: dict[
            tuple[object, ...], object
        ] = {}  # what was read whole and is asked for again and again
        self._kept_at = -1

    def close(self) -> None:
        """Closes the connection; a transaction left open is rolled back."""
        self.connection.close()

    def __enter__(self) -> Self:
        """The open store itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Closes the store, whatever happened."""
        self.close()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """Everything inside is stored together or not at all; an error inside is raised again.

        Raises StoreProblem if another program holds the store ("busy"), and WrongUse if the store was opened
        only to read or a transaction is open already.
        """
        if not self.writable:
            raise WrongUse("the store was opened only to read.")
        if self.connection.in_transaction:
            raise WrongUse("a transaction is open already.")
        with plain_problems(self.folder):
            self.connection.execute("BEGIN IMMEDIATE")
            try:
                yield
                self.connection.execute("COMMIT")
            except BaseException:
                if self.connection.in_transaction:
                    self.connection.execute("ROLLBACK")
                self._kept.clear()
                raise

    def once(self, asked: tuple[object, ...], read: Callable[[], Answer]) -> Answer:
        """What `read` gives, kept under `asked` until another program writes or a transaction fails; whoever
        writes what is kept clears `_kept`."""
        version = self._rows("PRAGMA data_version")[0][0]
        if version != self._kept_at:
            self._kept.clear()
            self._kept_at = version
        if asked not in self._kept:
            self._kept[asked] = read()
        return cast("Answer", self._kept[asked])

    def _rows(self, sql: str, *values: object) -> list[Any]:
        """All rows of a query."""
        with plain_problems(self.folder):
            return self.connection.execute(sql, values).fetchall()

    def _row(self, sql: str, *values: object) -> Any | None:
        """The first row of a query, or None."""
        with plain_problems(self.folder):
            return self.connection.execute(sql, values).fetchone()

    def _change(self, sql: str, *values: object) -> int:
        """Carries out one change inside a transaction; the id of the row inserted."""
        if not self.connection.in_transaction:
            raise WrongUse("the store is changed only inside `with store.transaction():`.")
        return int(self.connection.execute(sql, tuple(map(clean, values))).lastrowid or 0)

    def _insert(self, table: str, values: Mapping[str, object]) -> int:
        """Inserts one row, column by name, inside a transaction; its id."""
        places = ", ".join("?" * len(values))
        return self._change(f"INSERT INTO {table} ({', '.join(values)}) VALUES ({places})", *values.values())

    def _change_many(self, sql: str, rows: Iterable[Values]) -> None:
        """Carries out one change for many rows inside a transaction."""
        if not self.connection.in_transaction:
            raise WrongUse("the store is changed only inside `with store.transaction():`.")
        self.connection.executemany(sql, (tuple(map(clean, row)) for row in rows))

"""SQLite by APSW under the product's own code, every write and sync recorded.

`sqlite3.connect` hands out a small stand-in with the few methods that the product uses, so that its very
statements run; below them a VFS of ours writes down what SQLite asks of the disk. What is done to the
originals is written down in the same order.
"""

import re
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest import mock

import apsw
from watched import files_watched

_SYNCHRONOUS = re.compile(r"PRAGMA synchronous = [A-Z]+")
_ERRORS: tuple[tuple[type[Exception], type[Exception]], ...] = (
    (apsw.ConstraintError, sqlite3.IntegrityError),
    (apsw.NotADBError, sqlite3.DatabaseError),
    (apsw.CorruptError, sqlite3.DatabaseError),
    (apsw.Error, sqlite3.OperationalError),
)


@dataclass(frozen=True, slots=True)
class Event:
    """One thing asked of the disk: "create", "write", "truncate", "sync", "rename", "delete", "mkdir" or
    "syncdir", of which path; or "commit" (a state) and "told" (a command has returned), no writes."""

    what: str
    path: str = ""
    data: bytes = b""
    at: int = 0
    folder_too: bool = False
    other: str = ""


class Record:
    """What was asked of the disk, in order."""

    def __init__(self) -> None:
        self.events: list[Event] = []

    def __call__(self, what: str, path: object = "", **more: Any) -> None:
        self.events.append(Event(what, str(path), **more))

    def told(self, what: str, when: str, whom: Any, *given: Any) -> None:
        """Takes note of what is done to files outside SQLite."""
        if when == "before":
            return
        if what == "fsync":
            path = Path(f"/proc/self/fd/{whom}").readlink()
            self("syncdir" if path.is_dir() else "sync", path)
        elif what == "write_bytes":
            self("create", whom)
            self("write", whom, data=whom.read_bytes())
        elif what == "replace":
            self("rename", whom, other=str(given[0] if given[0] is not whom else given[1]))
        elif what == "unlink":
            self("delete", whom)
        elif what == "mkdir":
            self("mkdir", whom)


class _File(apsw.VFSFile):
    def __init__(self, record: Record, name: Any, flags: list[int]) -> None:
        self._record = record
        self._path = name.filename() if isinstance(name, apsw.URIFilename) else name
        new = self._path is not None and not Path(self._path).exists()
        super().__init__("", name, flags)
        self._unsynced_name = new and bool(flags[0] & apsw.SQLITE_OPEN_MAIN_JOURNAL)
        if new:
            record("create", self._path)

    def xWrite(self, data: bytes, offset: int) -> None:
        super().xWrite(data, offset)
        if self._path is not None:
            self._record("write", self._path, data=bytes(data), at=offset)

    def xTruncate(self, size: int) -> None:
        super().xTruncate(size)
        if self._path is not None:
            self._record("truncate", self._path, at=size)

    def xSync(self, flags: int) -> None:
        """As SQLite's own VFS for unix does, the first sync of a new journal syncs its folder too."""
        if self._path is not None:
            self._record("sync", self._path, folder_too=self._unsynced_name)
            self._unsynced_name = False


class _Disk(apsw.VFS):
    def __init__(self, record: Record) -> None:
        self._record = record
        super().__init__("recorder", "")

    def xOpen(self, name: Any, flags: list[int]) -> _File:
        return _File(self._record, name, flags)

    def xDelete(self, filename: str, syncdir: bool) -> None:
        super().xDelete(filename, False)
        self._record("delete", filename, folder_too=bool(syncdir))


class _Row(tuple[Any, ...]):
    names: dict[str, int]

    def __getitem__(self, place: Any) -> Any:
        return tuple.__getitem__(self, self.names[place] if isinstance(place, str) else place)

    def keys(self) -> list[str]:
        return list(self.names)


class _Rows:
    """What `execute` gives: rows already fetched."""

    def __init__(self, connection: apsw.Connection, cursor: Any) -> None:
        try:
            names = {d[0]: n for n, d in enumerate(cursor.getdescription())}
        except apsw.ExecutionCompleteError:
            names = {}
        kind = type("Row", (_Row,), {"names": names})
        self._rows = iter([kind(row) for row in cursor])
        self.lastrowid = connection.last_insert_rowid()

    def __iter__(self) -> Iterator[Any]:
        return self._rows

    def fetchall(self) -> list[Any]:
        return list(self._rows)

    def fetchone(self) -> Any:
        return next(self._rows, None)


@contextmanager
def _as_sqlite3() -> Iterator[None]:
    try:
        yield
    except apsw.Error as error:
        kind = next(ours for theirs, ours in _ERRORS if isinstance(error, theirs))
        raise kind(str(error)) from error


class _Connection:
    """The part of sqlite3's connection that the product uses, over APSW."""

    def __init__(
        self, uri: str, committed: Callable[["_Connection"], None], synchronous: str, timeout: float
    ) -> None:
        flags = apsw.SQLITE_OPEN_READWRITE | apsw.SQLITE_OPEN_CREATE | apsw.SQLITE_OPEN_URI
        with _as_sqlite3():
            self._apsw = apsw.Connection(uri, flags=flags, vfs="recorder")
        self._apsw.set_busy_timeout(int(timeout * 1000))
        self._committed, self._synchronous = committed, synchronous
        self.row_factory: Any = None

    @property
    def in_transaction(self) -> bool:
        return self._apsw.in_transaction

    def execute(self, sql: str, values: Any = ()) -> _Rows:
        with _as_sqlite3():
            found = _Rows(
                self._apsw,
                self._apsw.execute(
                    _SYNCHRONOUS.sub(f"PRAGMA synchronous = {self._synchronous}", sql), tuple(values)
                ),
            )
        if sql == "COMMIT":
            self._committed(self)
        return found

    def executemany(self, sql: str, rows: Any) -> None:
        with _as_sqlite3():
            self._apsw.executemany(sql, [tuple(row) for row in rows])

    def close(self) -> None:
        self._apsw.close()


@contextmanager
def recorded(
    record: Record,
    state_of: Callable[[Any], str],
    synchronous: str = "EXTRA",
    *,
    originals_synced: bool = True,
) -> Iterator[None]:
    """While it is open, the product's stores are written through APSW into `record`.

    `synchronous` stands in the place of the product's own setting; without `originals_synced` what it syncs
    of the originals is left out of the record.
    """
    disk = _Disk(record)

    def committed(connection: _Connection) -> None:
        record("commit", state_of(connection))

    def connect(address: str, /, *, timeout: float = 5.0, **_: Any) -> _Connection:
        return _Connection(address, committed, synchronous, timeout)

    def told(what: str, when: str, *more: Any) -> None:
        if originals_synced or what != "fsync":
            record.told(what, when, *more)

    with mock.patch("sqlite3.connect", connect), files_watched(told):
        yield
    disk.unregister()

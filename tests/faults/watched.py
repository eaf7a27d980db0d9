"""Product code watched from outside: every statement to SQLite and every lasting step on files calls back.

Nothing in the product knows of it: `sqlite3.connect` hands out a connection of our own class, and the few
functions by which files are written, synced and renamed are wrapped.
"""

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

Told = Callable[..., None]
"""Called with what is done ("BEGIN", "COMMIT", "INSERT", "fsync", "replace" …), "before" or "after", the
connection, path or handle, and what else was given."""


def _around(told: Told, what: str, whom: Any, action: Callable[..., Any], *given: Any, **named: Any) -> Any:
    told(what, "before", whom, *given)
    done = action(*given, **named)
    told(what, "after", whom, *given)
    return done


def _connection(told: Told) -> type[sqlite3.Connection]:
    class Watched(sqlite3.Connection):
        def execute(self, sql: str, *values: Any) -> Any:
            return _around(told, sql.split(None, 1)[0].upper(), self, super().execute, sql, *values)

        def executemany(self, sql: str, rows: Any) -> Any:
            return _around(told, sql.split(None, 1)[0].upper(), self, super().executemany, sql, rows)

    return Watched


@contextmanager
def watched(told: Told) -> Iterator[None]:
    """While it is open, everything that is done to a store is told."""
    real, made = sqlite3.connect, _connection(told)

    def connect(*given: Any, **named: Any) -> Any:
        return real(*given, factory=made, **named)

    with mock.patch("sqlite3.connect", connect), files_watched(told):
        yield


@contextmanager
def files_watched(told: Told) -> Iterator[None]:
    """While it is open, what is done to files outside SQLite is told."""

    def wrapped(what: str, action: Callable[..., Any]) -> Callable[..., Any]:
        return lambda *given, **named: _around(told, what, given[0], action, *given, **named)

    paths = {n: wrapped(n, getattr(Path, n)) for n in ("replace", "write_bytes", "unlink", "mkdir")}
    with mock.patch("os.fsync", wrapped("fsync", os.fsync)), mock.patch.multiple(Path, **paths):
        yield

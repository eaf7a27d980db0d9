"""A copy of the store: whole even while the store is written to, and a store itself."""

import os
import shutil
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path

from benchleaf.graph.db.connection import DATABASE, ORIGINALS, connect, plain_problems
from benchleaf.graph.db.notes import PHOTOS
from benchleaf.graph.db.originals import sha256_of
from benchleaf.graph.db.schema import keep_file, settle_file, version_of
from benchleaf.graph.errors import StoreProblem, WrongUse
from benchleaf.graph.store import Store


def backup(store: Store, dest: Path) -> Path:
    """Copies the store into the folder `dest`, which is then a store of its own; the folder.

    An earlier copy there is brought up to date: its database is replaced in one step at the end, and only
    originals it lacks are copied. The shop's own wordings and units go with it. Raises WrongUse if `dest`
    is the store itself, StoreProblem if it holds another program's database, if an original is missing or
    changed, or if it cannot be written.
    """
    if dest.resolve() == store.folder.resolve():
        raise WrongUse("the copy must be in another folder than the store.")
    final = dest / DATABASE
    temporary = dest / f"{DATABASE}.{os.getpid()}.part"
    try:
        (dest / ORIGINALS).mkdir(parents=True, exist_ok=True)
        _refuse_foreign(final)
        with plain_problems(dest):
            store.connection.execute("VACUUM INTO ?", (str(temporary),))
        _copy_originals(store, _named(temporary), dest)
        for own in sorted(store.folder.glob("*.toml")):
            _copy(own, dest / own.name)
        settle_file(temporary, final)
    except OSError as error:
        raise StoreProblem(f"the copy cannot be written: {error}", "Check room and permissions.") from error
    finally:
        temporary.unlink(missing_ok=True)
    return dest


def _refuse_foreign(final: Path) -> None:
    if final.exists():
        with plain_problems(final.parent), closing(connect(final, "ro")) as connection:
            version_of(connection)


def _named(copy: Path) -> list[str]:
    """The hashes named in the copied database: what was added since the copy is not needed."""
    with closing(sqlite3.connect(f"{copy.resolve().as_uri()}?mode=ro", uri=True)) as connection:
        files = [str(row[0]) for row in connection.execute("SELECT sha256 FROM file ORDER BY id")]
        return [*dict.fromkeys((*files, *(str(row[0]) for row in connection.execute(PHOTOS))))]


def _copy_originals(store: Store, hashes: Iterable[str], dest: Path) -> None:
    for sha256 in hashes:
        target = dest / ORIGINALS / sha256
        if target.is_file() and sha256_of(target) == sha256:
            keep_file(target)
            continue
        try:
            _copy(store.original(sha256), target, sha256)
        except FileNotFoundError as error:
            raise StoreProblem(
                f"the original {sha256[:12]}… is missing.", "Run `benchleaf check`."
            ) from error


def _copy(source: Path, target: Path, sha256: str | None = None) -> None:
    """Copies a file, lasting; with a hash, only if it has it."""
    temporary = target.with_name(f"{target.name}.{os.getpid()}.part")
    try:
        shutil.copyfile(source, temporary)
        if sha256 is not None and sha256_of(temporary) != sha256:
            raise StoreProblem(f"the original {sha256[:12]}… is damaged.", "Run `benchleaf check`.")
        settle_file(temporary, target)
    finally:
        temporary.unlink(missing_ok=True)

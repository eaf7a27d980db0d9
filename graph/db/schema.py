"""The store's shape: whose file it is, which version, how it is built, and how an older one is brought
forward."""

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from benchleaf.graph.db.tables import (
    DECISIONS,
    FILES,
    FOLDS,
    JOBS,
    KITS,
    LOOKING,
    MANUALS,
    NOTES,
    PARTS,
    READINGS,
    SEARCH,
    SETTLEMENTS,
    WORK,
)
from benchleaf.graph.errors import StoreProblem

APPLICATION_ID = 0x426E4C66  # "BnLf", in the file's header, so that a foreign database is known as one


def _first(connection: sqlite3.Connection) -> None:
    _create(connection, *FILES, *MANUALS, *NOTES, *DECISIONS, *PARTS)
    _create_search(connection)


def _jobs(connection: sqlite3.Connection) -> None:
    _create(connection, *JOBS)


def _readings(connection: sqlite3.Connection) -> None:
    _create(connection, *READINGS, *SETTLEMENTS, *FOLDS)


def _kits(connection: sqlite3.Connection) -> None:
    _create(connection, *KITS)


def _work(connection: sqlite3.Connection) -> None:
    _create(connection, *WORK)


def _looking(connection: sqlite3.Connection) -> None:
    from benchleaf.graph.db.packs import counts_of

    _create(connection, *LOOKING)
    sql = "INSERT INTO item_pack (item_id, publication_id, friction, steel) VALUES (?, ?, ?, ?)"
    for item, publication, text in connection.execute("SELECT id, publication_id, text FROM item").fetchall():
        if (told := counts_of(text)) is not None:
            connection.execute(sql, (item, publication, *told))


Migration = Callable[[sqlite3.Connection], None]
MIGRATIONS: tuple[Migration, ...] = (_first, _jobs, _readings, _kits, _work, _looking)
VERSION = len(MIGRATIONS)


def _create(connection: sqlite3.Connection, *statements: str) -> None:
    from sqlite_utils import Database

    database = Database(connection, execute_plugins=False)
    for statement in statements:
        database.execute(statement)


def _create_search(connection: sqlite3.Connection) -> None:
    for name, (content, columns, tokenizer) in SEARCH.items():
        _create(
            connection,
            f"CREATE VIRTUAL TABLE {name} USING fts5({', '.join(columns)}, content={content}, "
            f"content_rowid=id, tokenize='{tokenizer}')",
        )
    _create(connection, "CREATE VIRTUAL TABLE part_terms USING fts5vocab(part_search, row)")


def rebuild_search(connection: sqlite3.Connection) -> None:
    """Fills every full-text index anew from its content table (after a migration that touched one)."""
    for name in SEARCH:
        connection.execute(f"INSERT INTO {name}({name}) VALUES ('rebuild')")


def version_of(connection: sqlite3.Connection) -> int:
    """The schema version of an open database; 0 for an empty file.

    Raises StoreProblem if the file is another program's, is no database, or is newer than this program.
    """
    try:
        owner = int(connection.execute("PRAGMA application_id").fetchone()[0])
        version = int(connection.execute("PRAGMA user_version").fetchone()[0])
        tables = int(connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0])
    except sqlite3.DatabaseError as error:
        if isinstance(error, sqlite3.OperationalError):
            raise
        raise StoreProblem(f"benchleaf.db is no database: {error}", "Restore it from a backup.") from error
    if owner == 0 and version == 0 and tables == 0:
        return 0
    if owner != APPLICATION_ID:
        raise StoreProblem(
            "benchleaf.db was written by another program.",
            "Choose another folder with --store, or restore a backup.",
        )
    if version > VERSION:
        raise StoreProblem(
            f"the store is of a newer version ({version}) than this program knows ({VERSION}).",
            "Update benchleaf.",
        )
    return version


def bring_forward(connection: sqlite3.Connection, *, upto: int = VERSION) -> None:
    """Builds an empty database, or applies the migrations that an older one lacks, in one transaction.

    An older store is copied first, beside itself, as `benchleaf-v<N>.db`.
    """
    if version_of(connection) >= upto:
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        version = version_of(connection)  # another process may have been first
        if 0 < version < upto:
            _copy_aside(connection)
        for migrate in MIGRATIONS[version:upto]:
            migrate(connection)
        if 0 < version < upto:
            rebuild_search(connection)
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {max(version, upto)}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def _copy_aside(connection: sqlite3.Connection) -> None:
    database = Path(connection.execute("PRAGMA database_list").fetchone()[2])
    copy = _free_name(database, f"{database.stem}-v{version_of(connection)}")
    temporary = copy.with_name(f"{copy.name}.{os.getpid()}.part")
    try:
        # a second connection: inside the transaction, a copy by the first would wait for itself
        source, target = sqlite3.connect(f"{database.as_uri()}?mode=ro", uri=True), sqlite3.connect(temporary)
        with closing(source), closing(target):
            source.backup(target)
        settle_file(temporary, copy)
    except OSError as error:
        raise StoreProblem(
            f"the older store cannot be copied aside: {error.strerror}.", "Check room and permissions."
        ) from error
    finally:
        temporary.unlink(missing_ok=True)


def _free_name(database: Path, stem: str) -> Path:
    names = (f"{stem}{tail}{database.suffix}" for tail in ("", *(f"-{n}" for n in range(2, 1000))))
    return next(path for path in map(database.with_name, names) if not path.exists())


def settle_file(temporary: Path, final: Path) -> None:
    """Makes a written temporary file lasting under its final name: fsync, rename, fsync of the folder."""
    _sync_file(temporary)
    temporary.replace(final)
    sync_folder(final.parent)


def keep_file(path: Path) -> None:
    """Makes a file lasting that stands under its final name already."""
    _sync_file(path)
    sync_folder(path.parent)


def _sync_file(path: Path) -> None:
    with path.open("rb+" if os.name == "nt" else "rb") as written:  # Windows syncs only what it may write
        os.fsync(written.fileno())


def sync_folder(folder: Path) -> None:
    """Makes a rename in the folder lasting, where the system can (Windows cannot open a folder, nor anyone
    one that he may not read)."""
    if os.name == "nt":
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
    except PermissionError:
        return
    try:
        os.fsync(handle)
    finally:
        os.close(handle)

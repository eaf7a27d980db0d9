"""Opening a store: read-only by default, never a wrong file, never half a transaction."""

import os
import signal
import sqlite3
import subprocess
import sys
import textwrap
from contextlib import closing
from pathlib import Path

import pytest
from benchleaf.graph.db.connection import connect
from benchleaf.graph.db.schema import APPLICATION_ID, MIGRATIONS, VERSION, bring_forward
from benchleaf.graph.db.upkeep import check
from benchleaf.graph.errors import StoreProblem, WrongUse
from benchleaf.graph.store import Store
from store_papers import DAY, NOW, digest, document, manual, note, put


def _make(folder: Path) -> None:
    with Store.open(folder, create=True) as store:
        put(store, document("a manual", "manual", manual=manual()))


def test_missing_store_names_the_remedy(tmp_path: Path) -> None:
    """Reading or writing where there is no store says to run `benchleaf add`, and makes no file."""
    for write in (False, True):
        with pytest.raises(StoreProblem) as problem:
            Store.open(tmp_path / "none", write=write)
        assert "benchleaf add" in problem.value.remedy
    assert not (tmp_path / "none").exists()


def test_created_store_has_its_settings(tmp_path: Path) -> None:
    """A new store bears our application id and version, a rollback journal, EXTRA synchronisation and
    foreign keys."""
    with Store.open(tmp_path / "s", create=True) as store:
        asked = ("application_id", "user_version", "journal_mode", "synchronous", "foreign_keys")
        asked += ("recursive_triggers", "trusted_schema")
        found = [store.connection.execute(f"PRAGMA {name}").fetchone()[0] for name in asked]
    assert found == [APPLICATION_ID, VERSION, "delete", 3, 1, 1, 0]
    assert (tmp_path / "s" / "originals").is_dir()


def test_tables_are_strict(tmp_path: Path) -> None:
    """Every table of ours refuses a value of the wrong type (STRICT)."""
    with Store.open(tmp_path / "s", create=True) as store:
        sql = "SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND NOT strict"
        loose = {row["name"] for row in store.connection.execute(sql)} - {"sqlite_schema"}
    assert loose == set()


def test_opening_again_keeps_what_is_held(tmp_path: Path) -> None:
    """Opening with `create` where a store is leaves everything in it."""
    _make(tmp_path)
    with Store.open(tmp_path, create=True) as store:
        assert [m.number for m in store.publications()] == ["RM 55"]


def test_store_is_read_only_by_default(tmp_path: Path) -> None:
    """A store opened to read refuses transactions and originals, and SQLite itself refuses to write."""
    _make(tmp_path)
    with Store.open(tmp_path) as store:
        with pytest.raises(WrongUse), store.transaction():
            pass
        with pytest.raises(WrongUse):
            store.keep_original("0" * 64, b"")
        with pytest.raises(sqlite3.OperationalError, match="readonly"):
            store.connection.execute("DELETE FROM item")


@pytest.mark.parametrize("write", [False, True])
def test_foreign_database_is_left_alone(tmp_path: Path, write: bool) -> None:
    """Another program's database of our name is refused and not changed by a byte."""
    path = tmp_path / "benchleaf.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE theirs (a)")
        other.commit()
    before = path.read_bytes()
    with pytest.raises(StoreProblem, match="another program"):
        Store.open(tmp_path, write=write, create=write)
    assert path.read_bytes() == before


@pytest.mark.parametrize("write", [False, True])
def test_file_that_is_no_database(tmp_path: Path, write: bool) -> None:
    """A file of our name that is no database is refused with the way to a backup."""
    (tmp_path / "benchleaf.db").write_bytes(b"not a database at all " * 100)
    with pytest.raises(StoreProblem) as problem:
        Store.open(tmp_path, write=write)
    assert "backup" in problem.value.remedy


@pytest.mark.parametrize("write", [False, True])
def test_newer_store_asks_for_an_update(tmp_path: Path, write: bool) -> None:
    """A store of a version that this program does not know is refused, and the remedy is to update."""
    _make(tmp_path)
    with closing(sqlite3.connect(tmp_path / "benchleaf.db")) as other:
        other.execute(f"PRAGMA user_version = {VERSION + 1}")
    with pytest.raises(StoreProblem, match="newer") as problem:
        Store.open(tmp_path, write=write)
    assert "Update" in problem.value.remedy


VERSION_1 = (
    f"""INSERT INTO file VALUES
        (1, '{digest("a manual")}', 'm.pdf', 'manual', '2026-11-24', '2026-11-24T09:30')""",
    "INSERT INTO publication VALUES (1, 1, 'RM 55', 'RM55', NULL, NULL, NULL, NULL, '[]', 'm.pdf')",
    "INSERT INTO page VALUES (1, 1, '4-10', '410', 1, NULL)",
    """INSERT INTO item VALUES
       (1, 1, 1, '5', '5', 'Fit seal GB 4410-21.', '4-10', '410', 1, NULL, NULL, '[]', '')""",
    "INSERT INTO mention VALUES (1, 1, 'GB 4410-21', 'GB441021', 'G8441021', 1)",
    """INSERT INTO note VALUES (1, 1, 0, 'N 1', 'N1', '2020-01-01', NULL, NULL, 'maker', NULL, '{}', 'm.pdf',
       '2026-11-24', '[]', '[]', NULL)""",
    """INSERT INTO statement (id, note_id, note, note_key, kind, quote, source_file, source_sheet, source_ocr,
       standing, why, confidence, read_why, settled_by, subject, subject_key)
       VALUES (1, 1, 'N 1', 'N1', 'withdrawn', 'q', 'm.pdf', 1, 0, 'settled', '[]', 1.0, '[]', 'AB', 'GB 44',
       'GB44')""",
    "INSERT INTO settlement VALUES (1, 1, 'yes', 'AB', '2026-11-24T09:30:00+00:00', '[]')",
    *(f"INSERT INTO {name}({name}) VALUES ('rebuild')" for name in ("item_search", "note_search")),
)


@pytest.mark.parametrize("write", [False, True])
def test_older_store_is_copied_then_brought_forward(tmp_path: Path, write: bool) -> None:
    """Opening a store of version 1 keeps a copy of it, adds what it lacks, and loses nothing."""
    (tmp_path / "originals").mkdir()
    connection = connect(tmp_path / "benchleaf.db", "rwc")
    bring_forward(connection, upto=1)
    for row in VERSION_1:
        connection.execute(row)
    connection.close()
    (tmp_path / "originals" / digest("a manual")).write_bytes(b"a manual")
    with Store.open(tmp_path, write=write) as store:
        assert store.connection.execute("PRAGMA user_version").fetchone()[0] == VERSION
        assert store.jobs() == ()
        assert [hit.item for hit in store.search("seal")] == ["5"]
        assert check(store).problems == ()
        assert [(s.initials, s.verdict) for s in store.settlements(1)] == [("AB", "yes")]
        assert store.near_parts("6B 4410-21") == ("GB 4410-21",)
    with closing(sqlite3.connect(tmp_path / "benchleaf-v1.db")) as copy:
        assert copy.execute("PRAGMA user_version").fetchone()[0] == 1
        assert copy.execute("SELECT count(*) FROM item").fetchone()[0] == 1


def test_indexes_are_built_anew_after_a_migration(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A migration that changes words behind the full-text index leaves it in step with them."""
    _make(tmp_path)

    def reword(connection: sqlite3.Connection) -> None:
        connection.execute("UPDATE item SET text = 'Fit the gasket.'")

    monkeypatch.setattr("benchleaf.graph.db.schema.MIGRATIONS", (*MIGRATIONS, reword))
    connection = connect(tmp_path / "benchleaf.db", "rw")
    monkeypatch.setattr("benchleaf.graph.db.schema.VERSION", VERSION + 1)
    bring_forward(connection, upto=VERSION + 1)
    with Store(tmp_path, connection, writable=True) as store:
        assert [hit.kind for hit in store.search("gasket")] == ["item", "item"]
        assert store.search("seal") == ()


def test_second_migration_does_not_overwrite_the_first_copy(tmp_path: Path) -> None:
    """A copy of an older store that stands there already is left, and the new copy gets another name."""
    bring_forward(connect(tmp_path / "benchleaf.db", "rwc"), upto=1)
    (tmp_path / "benchleaf-v1.db").write_bytes(b"kept")
    Store.open(tmp_path, write=True).close()
    assert (tmp_path / "benchleaf-v1.db").read_bytes() == b"kept"
    assert (tmp_path / "benchleaf-v1-2.db").is_file()


def test_failed_migration_leaves_the_old_version(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A migration that fails half way leaves the older store as it was, readable by the older program."""
    bring_forward(connect(tmp_path / "benchleaf.db", "rwc"), upto=1)

    def fail(connection: sqlite3.Connection) -> None:
        connection.execute("CREATE TABLE half (a)")
        raise RuntimeError("stumbled")

    monkeypatch.setattr("benchleaf.graph.db.schema.MIGRATIONS", (None, fail))
    with pytest.raises(RuntimeError):
        Store.open(tmp_path, write=True)
    with closing(sqlite3.connect(tmp_path / "benchleaf.db")) as after:
        assert after.execute("PRAGMA user_version").fetchone()[0] == 1
        assert after.execute("SELECT count(*) FROM sqlite_master WHERE name = 'half'").fetchone()[0] == 0


def test_busy_store_says_try_again(tmp_path: Path) -> None:
    """While another program writes, a transaction ends with "busy" and "try again", and reading goes on."""
    _make(tmp_path)
    with closing(sqlite3.connect(tmp_path / "benchleaf.db", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with Store.open(tmp_path, write=True, busy=0.05) as store:
            with pytest.raises(StoreProblem, match="busy") as problem, store.transaction():
                pass
            assert "again" in problem.value.remedy.lower()
            assert len(store.publications()) == 1


def test_reader_of_a_locked_store_says_busy(tmp_path: Path) -> None:
    """While another program holds the whole file, even reading says "busy" and not "damaged"."""
    _make(tmp_path)
    with closing(sqlite3.connect(tmp_path / "benchleaf.db", isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(StoreProblem, match="busy"):
            Store.open(tmp_path, busy=0.05)


def test_transaction_is_all_or_nothing(tmp_path: Path) -> None:
    """An error inside a transaction comes out as it was, and nothing of the transaction stays."""
    with Store.open(tmp_path, create=True) as store:
        with pytest.raises(ZeroDivisionError), store.transaction():
            store.insert(document("half"), DAY, NOW)
            raise ZeroDivisionError
        assert store.files() == ()
        assert store.search("half") == ()
        put(store, document("whole", notes=(note("N 1"),)))
        assert [f.name for f in store.files()] == ["whole"]


def test_changes_need_a_transaction(tmp_path: Path) -> None:
    """A change outside a transaction, or a transaction inside another, is wrong use and changes nothing."""
    with Store.open(tmp_path, create=True) as store:
        with pytest.raises(WrongUse):
            store.insert(document("loose"), DAY, NOW)
        with store.transaction(), pytest.raises(WrongUse), store.transaction():
            pass
        assert store.files() == ()


KILLED = """
    import os, signal, sys
    from pathlib import Path
    sys.path.insert(0, sys.argv[2])
    from benchleaf.graph.store import Store
    from store_papers import document, note, became, DAY, NOW
    store = Store.open(Path(sys.argv[1]), write=True)
    store.connection.execute("PRAGMA cache_size = 2")  # so that pages reach the file before the commit
    with store.transaction():
        for n in range(40):
            rows = [became(f"KB {n}{i:04d}", f"KC {n}{i:04d}") for i in range(20)]
            store.insert(document(f"killed {n}", notes=(note(f"K {n}", *rows),)), DAY, NOW)
        store.connection.execute("SELECT 1")
        os.kill(os.getpid(), signal.SIGKILL)
"""


WRITER = """
    import sys
    from pathlib import Path
    sys.path.insert(0, sys.argv[2])
    from benchleaf.graph.store import Store
    from store_papers import became, document, note, put
    with Store.open(Path(sys.argv[1]), write=True, busy=60) as store:
        for n in range(15):
            said = note(f"N {n}", became("KB 7001", f"KB 8{n:03d}"))
            put(store, document(f"{sys.argv[3]} {n}", notes=(said,)))
"""


def test_two_writers_at_once(tmp_path: Path) -> None:
    """Two programs that add at one time wait for each other, and every document of both is stored whole."""
    _make(tmp_path)
    command = [sys.executable, "-c", textwrap.dedent(WRITER), str(tmp_path), str(Path(__file__).parent)]
    both = [subprocess.Popen([*command, name]) for name in ("one", "two")]
    assert [child.wait(timeout=120) for child in both] == [0, 0]
    with Store.open(tmp_path) as store:
        assert len(store.files()) == 31
        assert len(store.supersessions(["KB 7001"])) == 30
        assert check(store).problems == ()


@pytest.mark.skipif(os.name == "nt", reason="SIGKILL is a signal of POSIX")
def test_killed_writer_leaves_the_store_as_before(tmp_path: Path) -> None:
    """After a kill in the middle of a large transaction, even a reader finds the store as it was before."""
    _make(tmp_path)
    here = str(Path(__file__).parent)
    child = [sys.executable, "-c", textwrap.dedent(KILLED), str(tmp_path), here]
    died = subprocess.run(child, check=False, capture_output=True)
    assert died.returncode == -signal.SIGKILL, died.stderr.decode()
    assert (tmp_path / "benchleaf.db-journal").stat().st_size > 0
    with Store.open(tmp_path) as store:
        assert [f.name for f in store.files()] == ["a manual"]
        assert check(store).problems == ()


def test_start_does_not_load_heavy_libraries() -> None:
    """Importing the store loads neither networkx nor sqlite_utils nor rapidfuzz: start-up time counts."""
    words = "import sys, benchleaf.graph.store; print([m for m in sys.modules if m in sys.argv])"
    heavy = ["networkx", "sqlite_utils", "rapidfuzz", "pdfplumber", "pypdfium2", "rich"]
    done = subprocess.run([sys.executable, "-c", words, *heavy], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "[]"

"""Stores of other versions, and what is no store at all."""

import os
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from unittest import mock

import kills
import pytest
import shopfloor
from benchleaf.graph.db.connection import connect
from benchleaf.graph.db.schema import VERSION, bring_forward
from benchleaf.graph.db.upkeep import check
from benchleaf.graph.store import Store
from watched import watched

READS, WRITES = ("page", "SM-70", "4-12"), ("settle", "2", "no", "--initials", "AB")


def older(folder: Path, version: int) -> Path:
    """The folder of a store that the migrations up to a version made, with one sheet in it."""
    (folder / "originals").mkdir(parents=True)
    with closing(connect(folder / "benchleaf.db", "rwc")) as connection:
        bring_forward(connection, upto=version)
        digest = "3" * 64
        connection.execute(
            f"INSERT INTO file VALUES (1, '{digest}', 'a', 'other', '2020-01-02', '2020-01-02T09:30')"
        )
        connection.execute("INSERT INTO sheet VALUES (1, 1, 1, NULL, 'oil the seal', 0, 0)")
    return folder


def version_in(database: Path) -> int:
    with closing(sqlite3.connect(database)) as connection:
        return int(connection.execute("PRAGMA user_version").fetchone()[0])


@pytest.mark.parametrize("version", range(1, VERSION))
def test_an_older_store_is_copied_and_brought_forward(tmp_path: Path, version: int) -> None:
    """Whichever version it is of: its words are found, nothing but the original (which was never there) is
    amiss, and the copy beside it is of the old version, byte for byte what it was."""
    folder = older(tmp_path / "s", version)
    with Store.open(folder) as store:
        assert [hit.sheet for hit in store.search("seal")] == [1]
        assert {p.kind for p in check(store).problems} == {"original"}
    assert version_in(folder / "benchleaf.db") == VERSION
    assert version_in(folder / f"benchleaf-v{version}.db") == version


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the children are forked, which needs POSIX")
@pytest.mark.parametrize("version", [1, VERSION - 1])
def test_a_store_killed_while_it_is_brought_forward_opens(tmp_path: Path, version: int) -> None:
    """Killed at every ninth step of being brought forward: it is of the old version or of the new one, never
    between, and the next opening brings it forward."""
    base, place = older(tmp_path / "base", version), tmp_path / "s"
    steps = kills.Striker()
    shutil.copytree(base, place)
    with mock.patch.object(shopfloor, "state_of", lambda _: ""), watched(steps):
        Store.open(place).close()
    assert len(steps.steps) > 8
    for at in range(0, len(steps.steps), 9):
        kills.fresh(base, place)

        def work(_: int, at: int = at) -> None:
            with watched(kills.Striker(at)):
                Store.open(place).close()

        child, reading = kills.forked(work)
        kills.told_by(reading)
        assert os.WIFSIGNALED(os.waitpid(child, 0)[1])
        assert version_in(place / "benchleaf.db") in (version, VERSION), steps.steps[at]
        with Store.open(place) as store:
            assert [hit.sheet for hit in store.search("seal")] == [1]
            assert {p.kind for p in check(store).problems} == {"original"}


def test_an_older_store_that_cannot_be_copied_stays_as_it_is(tmp_path: Path) -> None:
    """No room for the copy: it is told with a remedy, the store stays of its version, no half copy is
    left."""
    folder = older(tmp_path / "s", 3)
    with mock.patch(
        "benchleaf.graph.db.schema.settle_file", side_effect=OSError(28, "No space left on device")
    ):
        status, _, err = shopfloor.run(folder, READS)
    assert status == 1 and "cannot be copied aside: No space left" in err and "Check room" in err
    assert version_in(folder / "benchleaf.db") == 3
    assert sorted(p.name for p in folder.iterdir()) == ["benchleaf.db", "originals"]


def _newer(folder: Path) -> None:
    shopfloor.build(folder)
    with closing(sqlite3.connect(folder / "benchleaf.db")) as connection:
        connection.execute(f"PRAGMA user_version = {VERSION + 1}")


def _foreign(folder: Path) -> None:
    with closing(sqlite3.connect(folder / "benchleaf.db")) as connection:
        connection.execute("CREATE TABLE theirs (words)")


def _other_mark(folder: Path) -> None:
    with closing(sqlite3.connect(folder / "benchleaf.db")) as connection:
        connection.execute("PRAGMA application_id = 77")
        connection.execute("CREATE TABLE file (id)")


def _text(folder: Path) -> None:
    (folder / "benchleaf.db").write_text("What was read in the shop. " * 40)


def _folder(folder: Path) -> None:
    (folder / "benchleaf.db").mkdir()


def _lost(folder: Path) -> None:
    shopfloor.build(folder)
    (folder / "benchleaf.db").unlink()


def _emptied(folder: Path) -> None:
    shopfloor.build(folder)
    (folder / "benchleaf.db").write_bytes(b"")


def _cut_short(folder: Path) -> None:
    shopfloor.build(folder)
    os.truncate(folder / "benchleaf.db", 50_000)


STRANGE: dict[str, tuple[Callable[[Path], None], str]] = {
    "newer": (_newer, "Update benchleaf"),
    "foreign": (_foreign, "another program"),
    "of another mark": (_other_mark, "another program"),
    "text": (_text, "Restore it from a backup"),
    "a folder": (_folder, "is no file"),
    "lost beside its originals": (_lost, "is gone, but the originals are there"),
    "empty beside its originals": (_emptied, "is empty, but the originals are there"),
    "cut short": (_cut_short, "Restore it from a backup"),
}


@pytest.mark.parametrize("name", STRANGE)
def test_what_is_no_store_is_refused_and_left_as_it_is(tmp_path: Path, name: str) -> None:
    """Asking, adding and settling say what is wrong and what to do, with status 1, and change no byte."""
    folder = tmp_path / "s"
    folder.mkdir()
    make, words = STRANGE[name]
    make(folder)
    before = {p: p.read_bytes() if p.is_file() else None for p in folder.rglob("*")}
    (paper,) = shopfloor.papers(tmp_path / "papers", letters=False)[1:2]
    for typed in (READS, WRITES, ("add", str(paper)), ("backup", str(tmp_path / "copy"))):
        status, out, err = shopfloor.run(folder, typed)
        assert (status, out) == (1, ""), (typed, out, err)
        assert words in err and "Unexpected" not in err, (typed, err)
    now = {p: p.read_bytes() if p.is_file() else None for p in folder.rglob("*")}
    assert {p: b for p, b in now.items() if p.name != "originals"} == {
        p: b for p, b in before.items() if p.name != "originals"
    }


def test_an_empty_file_is_no_store_yet(tmp_path: Path) -> None:
    """A run that is killed before its first commit leaves an empty file: asking says that there is no store
    yet, and adding makes one."""
    (tmp_path / "s").mkdir()
    (tmp_path / "s" / "benchleaf.db").write_bytes(b"")
    status, _, err = shopfloor.run(tmp_path / "s", READS)
    assert status == 1 and "there is no store" in err and "benchleaf add" in err
    paper = shopfloor.papers(tmp_path / "papers", letters=False)[1]
    assert shopfloor.run(tmp_path / "s", ("add", str(paper)))[0] == 0
    assert shopfloor.faults_of(tmp_path / "s") == []

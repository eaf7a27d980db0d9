"""Several programs on one store at once; the longer run is the script crowd.py."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path
from unittest import mock

import kills
import pytest
import shopfloor
from benchleaf.graph.store import Store
from watched import watched

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="the children are forked, which needs POSIX")


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return shopfloor.build(tmp_path / "store")


def test_writers_and_readers_at_once_lose_nothing() -> None:
    """Two, then four writers and two readers: every command does its work or says that the store is busy;
    each paper, job, note, settlement and hold that was acknowledged is there, once."""
    import crowd

    two, four = crowd.main(["--rounds", "1"])
    found = [fault for run in (two, four) for fault in run["found"]]
    assert found == []
    assert (two["written"], four["written"]) == (12, 24) and min(two["asked"], four["asked"]) > 0


def test_a_store_that_another_program_writes_to_is_busy(store: Path, tmp_path: Path) -> None:
    """While another program holds the store for longer than is waited, every command that writes says "busy"
    and "try again", with status 1, and changes nothing; those that only read answer."""
    before = shopfloor.state(store / "benchleaf.db")
    days = shopfloor.days(tmp_path / "papers")
    with closing(sqlite3.connect(store / "benchleaf.db", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with mock.patch.dict(Store.open.__func__.__kwdefaults__, {"busy": 0.05}):  # type: ignore[attr-defined]
            for words in (days["add"][0], days["settle"][0], *(days["job"][n] for n in (0, 5))):
                status, _, err = shopfloor.run(store, words)
                assert (status, "the store is busy" in err, "Try again" in err) == (1, True, True), (
                    words,
                    err,
                )
            status, out, err = shopfloor.run(store, days["job"][3])
            assert status == 1 and "HOLD" in out and "could not be written down: the store is busy" in err
            assert shopfloor.run(store, ("page", "SM-70", "4-12"))[0] == 0
    assert shopfloor.faults_of(store, [before]) == []


def test_a_journal_left_by_a_killed_writer_is_rolled_back_by_the_next_reader(store: Path) -> None:
    """A killed writer leaves a journal and half-changed pages; whoever only asks next gets the store as it
    was before (sqlite.org, "File Locking And Concurrency", hot journals)."""
    before = shopfloor.state(store / "benchleaf.db")

    def work(pipe: int) -> None:
        connection = sqlite3.connect(store / "benchleaf.db", isolation_level=None)
        connection.execute("PRAGMA cache_size = 1")  # so that pages are written before the end
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("UPDATE sheet SET text = hex(zeroblob(200000))")
        connection.execute("UPDATE item SET text = hex(zeroblob(20000))")
        os.kill(os.getpid(), 9)

    child, reading = kills.forked(work)
    kills.told_by(reading)
    os.waitpid(child, 0)
    assert (store / "benchleaf.db-journal").stat().st_size > 0
    status, out, _ = shopfloor.run(store, ("page", "SM-70", "4-12"))
    assert status == 0 and shopfloor.STEPS[0].split()[0] in out
    assert not (store / "benchleaf.db-journal").exists()
    assert shopfloor.faults_of(store, [before]) == []


def test_a_paper_that_another_program_adds_meanwhile_is_held(store: Path, tmp_path: Path) -> None:
    """Another program stores the same paper between the look and the writing: it is held, and the rest of the
    batch goes on."""
    first, *rest = shopfloor.papers(tmp_path / "papers", letters=False)
    others = []

    def told(what: str, when: str, *_: object) -> None:
        if (what, when) == ("BEGIN", "before") and not others:
            others.append(first)
            child, reading = kills.forked(lambda pipe: shopfloor.run(store, ("add", str(first))) and None)
            kills.told_by(reading)
            os.waitpid(child, 0)

    with watched(told):
        status, out, err = shopfloor.run(store, ("add", *map(str, (first, *rest))))
    assert (status, "held" in out, err) == (0, True, "")
    assert others and shopfloor.faults_of(store) == []
    with Store.open(store) as held:
        assert {f.name for f in held.files()} >= {path.name for path in (first, *rest)}

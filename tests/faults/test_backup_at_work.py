"""A copy of the store made while others write to it, and the way back from it."""

import os
import shutil
from pathlib import Path

import kills
import pytest
import shopfloor
from benchleaf.graph.db.upkeep import check
from benchleaf.graph.store import Store


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return shopfloor.build(tmp_path / "store")


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the writer is forked, which needs POSIX")
def test_a_copy_made_during_writes_is_whole(store: Path, tmp_path: Path) -> None:
    """While another program adds papers, settles, opens a job and writes a note with a photo, copies are made
    again and again: each is as the store was after one of those commits, its originals and photos with it."""
    days = shopfloor.days(tmp_path / "papers")
    day = (*days["add"], *days["settle"], *days["job"])
    kills.warm(day, store, tmp_path / "warm" / "store")
    known = kills.course(store, day, tmp_path / "known" / "store")

    def work(pipe: int) -> None:
        for words in day:
            shopfloor.run(store, words)

    child, reading = kills.forked(work)
    made, seen = 0, set()
    while os.waitpid(child, os.WNOHANG) == (0, 0):
        copy = tmp_path / ("copy" if made % 2 else f"copy{made}")  # brought up to date, or new
        status, out, err = shopfloor.run(store, ("backup", str(copy)))
        assert (status, err) == (0, "") and "check" in out
        assert shopfloor.faults_of(copy, known.states) == [], made
        seen.add(shopfloor.state(copy / "benchleaf.db"))
        made += 1
    os.close(reading)
    assert made > 2 and len(seen) > 1
    shopfloor.run(store, ("backup", str(tmp_path / "copy")))
    assert shopfloor.faults_of(tmp_path / "copy", known.states[-1:]) == []
    with Store.open(tmp_path / "copy") as last:
        assert [last.original(digest).is_file() for digest in last.photos()] == [True]


def test_a_store_is_restored_by_copying_the_copy(store: Path, tmp_path: Path) -> None:
    """As README says: the copy is a store; copied to the old place it is the store again, the shop's own
    wordings and units with it, and `check` finds nothing."""
    for name in ("phrases.toml", "units.toml"):
        (store / name).write_text("# the shop's own\n", encoding="utf-8")
    before = shopfloor.state(store / "benchleaf.db")
    assert shopfloor.run(store, ("backup", str(tmp_path / "copy")))[0] == 0
    shutil.rmtree(store)
    shutil.copytree(tmp_path / "copy", store)
    assert shopfloor.run(store, ("check",))[:2][0] == 0
    assert shopfloor.faults_of(store, [before]) == []
    assert sorted(p.name for p in store.glob("*.toml")) == ["phrases.toml", "units.toml"]


def test_what_a_killed_run_left_is_named_and_no_problem(store: Path) -> None:
    """An original whose paper was not stored any more, and half-written files: `check` names each with what
    to do, calls the store whole and ends with status 0; added again, the paper's original is one of the
    store's."""
    (paper,) = shopfloor.papers(store.parent / "papers", letters=False)[1:2]
    with Store.open(store, write=True) as held:
        import hashlib

        data = paper.read_bytes()
        held.keep_original(hashlib.sha256(data).hexdigest(), data)
        (store / "benchleaf.db.77.part").write_bytes(b"half")
        (store / "originals" / f"{'0' * 64}.77.part").write_bytes(b"half")
        found = check(held)
    assert found.whole and len(found.leftovers) == 3 and all(x.message and x.remedy for x in found.leftovers)
    status, out, err = shopfloor.run(store, ("check",))
    assert (status, err) == (0, "") and "The store is whole." in out and out.count("left over") == 3
    assert shopfloor.run(store, ("add", str(paper)))[0] == 0
    with Store.open(store) as held:
        assert sorted(x.name for x in check(held).leftovers) == [
            "benchleaf.db.77.part",
            f"originals/{'0' * 64}.77.part",
        ]

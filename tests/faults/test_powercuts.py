"""Power cuts in the middle of the shop's work, simulated; the whole search is the script powercuts.py."""

import hashlib
import sys
from pathlib import Path

import powercuts
import pytest
import shopfloor
from benchleaf.graph.store import Store
from watched import watched

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="what is synced is told by its handle's path")


def test_after_a_power_cut_nothing_acknowledged_is_lost_and_nothing_is_half_there() -> None:
    """Of what was not synced any part is lost or torn: a new store, `add`, `settle` and `job` lose nothing
    that was acknowledged, and nothing is half there. That a sector not written to stays as it was is what
    SQLite takes for granted too (sqlite.org, "Atomic Commit In SQLite", 2.0 and "powersafe overwrite")."""
    for day, counts in powercuts.main(["--small", "24"]).items():
        assert counts["found"] == {}, day
        assert (counts["cuts"], counts["commits"] > 4) == (24, True), day


@pytest.mark.parametrize(
    ("broken", "day"),
    [
        (["--synchronous", "OFF"], "settle"),
        (["--without-originals-sync"], "add"),
        (["--synchronous", "FULL"], "settle"),
    ],
)
def test_the_search_by_power_cuts_can_fail(broken: list[str], day: str) -> None:
    """Without syncs the database is damaged or loses, without those of the originals they are lost; and even
    with SQLite's usual setting, FULL, the removal of the journal is not made lasting, and an acknowledged
    settlement is taken back (sqlite.org, pragma synchronous, EXTRA)."""
    assert powercuts.main(["--small", "40", "--only", day, *broken])[day]["found"]


def test_an_original_lasts_before_the_row_that_names_it(tmp_path: Path) -> None:
    """Written under another name, synced, renamed, its folder synced, and only then the transaction begins;
    also where a killed run left the file already."""
    data, steps = b"the bytes of a bulletin", []
    digest = hashlib.sha256(data).hexdigest()

    def told(what: str, when: str, whom: object, *_: object) -> None:
        if when == "before" and what in ("write_bytes", "fsync", "replace", "BEGIN", "COMMIT"):
            steps.append((what, _path_of(whom) if what != "BEGIN" and what != "COMMIT" else ""))

    Store.open(tmp_path, create=True).close()
    with watched(told), Store.open(tmp_path, write=True) as store:
        for _ in range(2):
            store.keep_original(digest, data)
            with store.transaction():
                pass
    part = f"{digest}.{_own_number()}.part"
    begun = [("BEGIN", ""), ("COMMIT", "")]
    assert steps == [
        *[("fsync", tmp_path.name), ("write_bytes", part), ("fsync", part), ("replace", part)],
        *[("fsync", "originals"), *begun],
        *[("fsync", digest), ("fsync", "originals"), *begun],
    ]


def _path_of(whom: object) -> str:
    return Path(f"/proc/self/fd/{whom}").readlink().name if isinstance(whom, int) else Path(str(whom)).name


def _own_number() -> int:
    import os

    return os.getpid()


def test_what_is_damaged_is_told_and_no_crash(tmp_path: Path) -> None:
    """A column that holds what it never may is a problem of the database in `check`, not a traceback."""
    store = shopfloor.build(tmp_path / "store")
    with Store.open(store, write=True) as held:
        held.connection.execute("PRAGMA writable_schema = ON")
        held.connection.execute(
            "UPDATE sqlite_master SET sql = replace(sql, 'received TEXT NOT NULL', 'received TEXT')"
        )
    with Store.open(store, write=True) as held:
        held.connection.execute("UPDATE file SET received = NULL WHERE id = 1")
    assert any("cannot be read whole" in f or "database" in f for f in shopfloor.faults_of(store))

"""Version 5 of the store: jobs with everything that is written down about them, and what was pinned. All
papers are invented."""

import datetime as dt
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from benchleaf.graph.db.connection import connect
from benchleaf.graph.db.jobrows import job_of, read_pin, write_pin
from benchleaf.graph.db.schema import VERSION, bring_forward
from benchleaf.graph.db.upkeep import check
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.jobs.job import About, Change, Pin, PinnedKit, PinnedNote, PinnedStep
from benchleaf.graph.model import KitLine, Notice
from benchleaf.graph.store import Store
from hypothesis import given, settings
from hypothesis import strategies as st
from store_papers import DAY, NOW

VERSION_4 = (
    """INSERT INTO job VALUES (3, 'W 7', 'W7', 'DR 40', '5210', '["KB 9000-1", "KB 9000-2"]', 'shipped',
       '2026-10-01', '2026-10-05', '2026-10-06')""",
    """INSERT INTO job VALUES (5, 'W 9', 'W9', NULL, NULL, '[]', 'opened', '2026-10-09', NULL, NULL)""",
    """INSERT INTO job VALUES (6, 'W 8', 'W8', NULL, '88', '["KB 1"]', 'built', '2026-10-02', '2026-10-03',
       NULL)""",
)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "s", create=True) as opened:
        yield opened


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """The folder of a store that the migrations up to version 4 made, with three jobs."""
    (tmp_path / "originals").mkdir()
    with closing(connect(tmp_path / "benchleaf.db", "rwc")) as connection:
        bring_forward(connection, upto=4)
        for row in VERSION_4:
            connection.execute(row)
    return tmp_path


@pytest.mark.parametrize("write", [False, True])
def test_jobs_of_version_4_come_forward_with_a_copy_beside(old: Path, write: bool) -> None:
    """Number, unit, kits, state and days are there as before, unsigned and without a pin; the copy is of
    version 4 and whole."""
    with Store.open(old, write=write) as store:
        assert store.connection.execute("PRAGMA user_version").fetchone()[0] == VERSION >= 5
        shipped, built, opened = store.jobs()
        assert (shipped.number, shipped.model, shipped.serial) == ("W 7", "DR 40", "5210")
        assert (shipped.kits, shipped.state) == (("KB 9000-1", "KB 9000-2"), "shipped")
        days = (dt.date(2026, 10, 1), dt.date(2026, 10, 5), dt.date(2026, 10, 6))
        assert (shipped.opened, shipped.built, shipped.shipped) == days
        assert shipped.by("opened") == "" and store.pins("W7") == () and store.newest_pin("w 7") is None
        assert (built.number, built.model, built.serial, built.state) == ("W 8", None, "88", "built")
        assert (opened.number, opened.kits, opened.state, opened.built) == ("W 9", (), "opened", None)
        assert check(store).problems == ()
    with closing(sqlite3.connect(old / "benchleaf-v4.db")) as copy:
        assert copy.execute("PRAGMA user_version").fetchone()[0] == 4
        assert copy.execute("SELECT count(*), max(state) FROM job").fetchone() == (3, "shipped")


def test_a_job_of_before_goes_on(old: Path) -> None:
    """It is changed and moved on like any other, and its number stays taken."""
    with Store.open(old, write=True) as store, store.transaction():
        store.change_job("W9", "unit", [("model", "DR 40")], "AB", NOW)
        moved = store.move_job("w-9", "built", DAY, initials="CD", at=NOW)
        assert (moved.model, moved.state, moved.by("built")) == ("DR 40", "built", "CD")
        with pytest.raises(WrongUse):
            store.open_job("w 9", None, None, (), DAY)


@pytest.mark.parametrize("table", ["job", "job_change", "job_pin"])
def test_nothing_of_a_job_is_changed_or_deleted(store: Store, table: str) -> None:
    """Triggers refuse to change or delete a job, its changes and its pins."""
    with store.transaction():
        store.open_job("W 1", "DR 40", None, ("KB 1",), DAY, initials="AB", at=NOW)
        store.pin_job("W 1", _pin())
    for sql in (f"UPDATE {table} SET id = id + 1", f"DELETE FROM {table}"):
        with pytest.raises(sqlite3.IntegrityError, match="kept for ever"), store.transaction():
            store.connection.execute(sql)
    assert store.job("W1") is not None and store.pins("W1") == (_pin(),)


def test_unknown_job_names_the_nearest(store: Store) -> None:
    """A number one typing error away is offered; whatever is asked of an unknown job raises."""
    with store.transaction():
        for number in ("2611-4", "2611-5", "9999"):
            store.open_job(number, None, None, (), DAY)
        with pytest.raises(NotHeld) as problem:
            store.change_job("2611-7", "remark", [("words", "x")], "AB", NOW)
    assert problem.value.near == ("2611-4", "2611-5")


def test_later_words_stand_before_earlier_ones_and_both_are_kept() -> None:
    """A plate line of the same name, a unit corrected and a kit taken out: the job shows the last word, the
    changes show all."""

    def change(kind: str, *body: tuple[str, str]) -> Change:
        return Change(kind, DAY, NOW, "AB", body)  # type: ignore[arg-type]  # tests name real kinds

    changes = (
        change("opened"),
        change("unit", ("model", "DR 40"), ("serial", "1")),
        change("unit", ("serial", "2"), ("built", "2001-02-03")),
        change("plate", ("Ratio", "3.08")),
        change("plate", ("RATIO ", "3.07")),
        change("kit", ("kit", "KB 1")),
        change("kit", ("kit", "KB 2")),
        change("without kit", ("kit", "kb-1")),
        change("about", ("page", "4-1")),
        change("about", ("page", "4-1")),
        change("doubt", ("words", "mixed parts")),
    )
    job = job_of("W 1", changes)
    assert (job.model, job.serial, job.date_of_build) == ("DR 40", "2", dt.date(2001, 2, 3))
    assert (job.plate, job.kits) == ((("RATIO ", "3.07"),), ("KB 2",))
    assert job.about == (About(page="4-1"),) and [d.words for d in job.doubts] == ["mixed parts"]


def _pin() -> Pin:
    step = PinnedStep(
        "RM 55", "4-10", "5", "5", None, (Notice("CAUTION", "Hot."),), "N 1", ("N 1",), None, "Fit."
    )
    kit = PinnedKit("KB 1", (KitLine(None, "seal ring", None),), "N 1", ("KB 2",))
    notes = (PinnedNote("N 1", None, "B"), PinnedNote("N 2", DAY, None))
    return Pin("opened", DAY, NOW, "AB", (step,), notes, (kit,), "little is held")


WORDS = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
STEPS = st.builds(
    PinnedStep,
    WORDS, WORDS, WORDS, st.none() | WORDS, st.none() | WORDS,
    st.lists(st.builds(Notice, WORDS, WORDS), max_size=2).map(tuple),
    WORDS, st.lists(WORDS, max_size=2).map(tuple), st.none() | WORDS, st.none() | WORDS,
)  # fmt: skip


@given(st.lists(STEPS, max_size=4).map(tuple), WORDS)
@settings(max_examples=60, deadline=None)
def test_a_pin_comes_back_as_it_was(steps: tuple[PinnedStep, ...], state: str) -> None:
    """Whatever a step says, a pin survives its text in the database."""
    pin = Pin("built", DAY, NOW, "AB", steps, (), _pin().kits, state)
    row = {"occasion": "built", "day": DAY.isoformat(), "at": NOW.isoformat(), "initials": "AB"}
    assert read_pin({**row, "body": write_pin(pin)}) == pin

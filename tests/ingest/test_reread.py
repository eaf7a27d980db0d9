"""Reading held originals again: what changes is told, what a person settled is never lost.

That a later release of a reader finds more than an earlier one is played by the shop's own wordings, which
are put into the store's folder and taken out again. Papers and numbers are invented.
"""

import datetime as dt
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.db.upkeep import check
from benchleaf.graph.errors import NotHeld
from benchleaf.graph.model import Statement, Supersession
from benchleaf.graph.settling import settle, settle_head
from benchleaf.graph.store import Store
from benchleaf.ingest import reread as module
from benchleaf.ingest.add import add_paths
from benchleaf.ingest.reread import FileReread, chosen, reread
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)
LATER = NOW + dt.timedelta(days=40)
LETTER = """Brackwell Hoists
Service letter BH-7
Date: 12 November 1999
Subject: Seals
Models: H 40

Seal 4471-208 was swapped for seal 4471-301.

Ring 5510-22 has been replaced by ring 5510-24.
"""
OWN = """
[[phrase]]
name = "swapped-for"
type = "supersession"
pattern = "{old} was swapped for {new}"
"""
TURNED = OWN.replace("{old} was swapped for {new}", "{new} was swapped for {old}")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "store", create=True) as opened:
        yield opened


def _words(store: Store, text: str | None) -> None:
    own = store.folder / "phrases.toml"
    if text is None:
        own.unlink(missing_ok=True)
    else:
        own.write_text(text, encoding="utf-8")


def _add(store: Store, folder: Path, text: str = LETTER, name: str = "bh7.txt") -> None:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    assert [f.outcome for f in add_paths(store, [path], NOW).files] == ["read"]


def _again(store: Store, *, dry_run: bool = False) -> FileReread:
    (told,) = reread(store, chosen(store, ()), dry_run=dry_run).files
    return told


def _swap(store: Store) -> Statement:
    """The statement that only the shop's own wording reads."""
    (found,) = [
        s for s in store.statements(kind="supersession") if "swapped" in s.quote and "4471" in s.quote
    ]
    return found


def test_the_same_book_changes_nothing(store: Store, tmp_path: Path) -> None:
    """An original read again by the same wordings gives the same, and not one row of the store is touched."""
    _add(store, tmp_path)
    before = list(store.connection.iterdump())
    told = _again(store)
    assert (told.outcome, told.new, told.gone, told.changed, told.unchanged) == ("same", (), (), (), 1)
    assert list(store.connection.iterdump()) == before


def test_a_new_wording_reads_more_and_ids_stay(store: Store, tmp_path: Path) -> None:
    """A wording learnt since finds what was passed over; what was read before keeps its id and its week."""
    _add(store, tmp_path)
    (before,) = store.statements()
    received = store.notes()[0].received
    _words(store, OWN)
    told = _again(store)
    assert told.outcome == "changed"
    assert [(s.old, s.new) for s in told.new if isinstance(s, Supersession)] == [
        (("4471-208",), ("4471-301",))
    ]
    assert store.statement(before.id or 0) == before
    assert store.notes()[0].received == received == NOW.date()
    assert store.printed("4471301") == "4471-301"
    assert check(store).problems == ()


def test_a_dry_run_leaves_the_store_as_it_was(store: Store, tmp_path: Path) -> None:
    """Only looking tells the same and changes no row."""
    _add(store, tmp_path)
    _words(store, OWN)
    before = list(store.connection.iterdump())
    looked = _again(store, dry_run=True)
    assert list(store.connection.iterdump()) == before
    assert looked.outcome == "changed" and len(looked.new) == 1
    done = _again(store)
    assert [replace(s, id=None) for s in done.new] == [replace(s, id=None) for s in looked.new]


def test_what_is_read_no_longer_goes(store: Store, tmp_path: Path) -> None:
    """A statement of which no person has spoken goes with the wording that gave it, and so do its numbers."""
    _words(store, OWN)
    _add(store, tmp_path)
    _words(store, None)
    told = _again(store)
    assert [s.quote for s in told.gone] == ["Seal 4471-208 was swapped for seal 4471-301."]
    assert len(store.statements()) == 1
    assert store.printed("4471301") is None and [h.kind for h in store.search("4471-301")] == ["note"]
    assert check(store).problems == ()


def test_a_settlement_outlives_its_reading(store: Store, tmp_path: Path) -> None:
    """What a person settled stays under its id, with his word and its fields, where the present reading lacks
    it; it says so, and says so no longer once it is found again."""
    _words(store, OWN)
    _add(store, tmp_path)
    number = _swap(store).id or 0
    settle(store, number, "yes", "QZ", NOW, {"to": "4471-302"})
    _words(store, None)
    told = _again(store)
    (kept,) = told.kept
    assert (kept.found, kept.statement.id, kept.statement.settled_by) == (False, number, "QZ")
    assert kept.statement.why == ("kept: settled by QZ; the present reading does not find it",)
    assert isinstance(kept.statement, Supersession)
    assert (kept.statement.standing, kept.statement.new) == ("settled", ("4471-302",))
    assert told.gone == ()
    _words(store, OWN)
    (kept,) = _again(store).kept
    assert kept.found and kept.statement.why == () and kept.statement.id == number
    assert [s.at for s in store.settlements(number)] == [NOW]


def test_another_reading_of_settled_words_is_a_doubt(store: Store, tmp_path: Path) -> None:
    """Where a person refused a reading and the present one reads those words otherwise, the new reading waits
    for his eye, however often the paper is read."""
    _words(store, TURNED)
    _add(store, tmp_path)
    wrong = _swap(store)
    settle(store, wrong.id or 0, "no", "QZ", NOW)
    _words(store, OWN)
    told = _again(store)
    (new,) = told.new
    assert new.standing == "doubtful"
    assert new.why == (f"QZ refused another reading of these words (statement {wrong.id})",)
    refused = store.statement(wrong.id or 0)
    assert refused is not None and (refused.standing, refused.settled_by) == ("refused", "QZ")
    assert _again(store).outcome == "same"
    held = store.statement(new.id or 0)
    assert held is not None and held.standing == "doubtful"


def test_a_yes_stands_against_another_reading(store: Store, tmp_path: Path) -> None:
    """What a person settled is not overruled by a reading that turns it round: his numbers stand, and the
    difference is told."""
    _words(store, OWN)
    _add(store, tmp_path)
    number = _swap(store).id or 0
    settle(store, number, "yes", "QZ", NOW)
    _words(store, TURNED)
    told = _again(store)
    held = store.statement(number)
    assert isinstance(held, Supersession)
    assert (held.old, held.new, held.standing, held.settled_by) == (
        ("4471-208",),
        ("4471-301",),
        "settled",
        "QZ",
    )
    assert held.why == ("kept: settled by QZ; the present reading of these words differs",)
    assert told.new == () and len(store.statements()) == 2


def test_a_settled_head_stands(store: Store, tmp_path: Path) -> None:
    """A date and a serial bound that a person gave stay when the paper is read again, with his initials."""
    _add(store, tmp_path, LETTER.replace("12 November 1999", "05/06/1999"))
    assert store.notes()[0].unclear
    settle_head(store, "BH-7", "yes", "QZ", NOW, {"date": "1999-06-05", "serial_from": "300"})
    told = _again(store)
    (note,) = store.notes()
    assert (note.date, note.unclear, note.applies.serial_from) == (dt.date(1999, 6, 5), (), "300")
    assert {s.date for s in store.statements()} == {dt.date(1999, 6, 5)}
    assert told.outcome == "same"
    assert [(h.initials, h.verdict) for h in store.head_settlements("BH-7")] == [("QZ", "yes")]


def test_a_date_that_other_papers_prove_stays_proved(store: Store, tmp_path: Path) -> None:
    """A date put in order by the maker's other papers is the same after reading again."""
    _add(store, tmp_path, LETTER.replace("12 November 1999", "05/06/1999"))
    other = LETTER.replace("12 November 1999", "25/06/1999").replace("BH-7", "BH-8")
    _add(store, tmp_path, other, "bh8.txt")
    assert {n.date for n in store.notes()} == {dt.date(1999, 6, 5), dt.date(1999, 6, 25)}
    report = reread(store, chosen(store, ()))
    assert [f.outcome for f in report.files] == ["same", "same"]
    assert {n.date for n in store.notes()} == {dt.date(1999, 6, 5), dt.date(1999, 6, 25)}


def test_a_refused_rereading_leaves_the_old_one(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A reader that stumbles over a held original today leaves every row as it was, and says why."""
    _add(store, tmp_path)
    before = list(store.connection.iterdump())
    monkeypatch.setattr("benchleaf.ingest.document.lay_out", lambda pages: 1 / 0)
    told = _again(store)
    assert told.outcome == "refused" and "ZeroDivisionError" in (told.reason or "")
    assert list(store.connection.iterdump()) == before


@pytest.mark.parametrize("spoil", [Path.unlink, lambda path: path.write_bytes(b"other words")])
def test_a_spoilt_original_is_refused(store: Store, tmp_path: Path, spoil: object) -> None:
    """An original that is gone or has changed is not read again: the reading of the true one stays."""
    _add(store, tmp_path)
    spoil(store.original(store.files()[0].sha256))  # type: ignore[operator]
    told = _again(store)
    assert told.outcome == "refused" and "benchleaf check" in (told.reason or "")
    assert len(store.statements()) == 1


def test_a_kill_in_the_middle_leaves_the_old_reading(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An error after the rows were changed takes all of them back: one transaction a document."""
    _add(store, tmp_path)
    _words(store, OWN)
    before = list(store.connection.iterdump())

    def stumble(*args: object) -> None:
        raise RuntimeError("stumbled")

    monkeypatch.setattr(module, "restand", stumble)
    with pytest.raises(RuntimeError):
        _again(store)
    assert list(store.connection.iterdump()) == before


def test_papers_are_chosen_by_bytes_number_or_name(store: Store, tmp_path: Path) -> None:
    """The same bytes under another name, a note's number and the name of the file all mean the held paper; a
    paper that is not held means nothing."""
    _add(store, tmp_path)
    (tmp_path / "copy.txt").write_text(LETTER, encoding="utf-8")
    (tmp_path / "other.txt").write_text("other", encoding="utf-8")
    for asked in (str(tmp_path / "copy.txt"), "bh7", "bh7.txt", str(tmp_path)):
        assert [f.name for f in chosen(store, [asked])] == ["bh7.txt"]
    for asked in (str(tmp_path / "other.txt"), "BH-9"):
        with pytest.raises(NotHeld):
            chosen(store, [asked])


STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("book"), st.sampled_from([None, OWN, TURNED])),
        st.tuples(st.sampled_from(["yes", "no", "back", "corrected"]), st.integers(0, 3)),
    ),
    max_size=12,
)


@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    derandomize=True,
)
@given(STEPS)
def test_no_order_of_settling_and_reading_loses_a_settlement(
    tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[str, object]]
) -> None:
    """Whatever is settled, taken back and read again with whatever wordings, in any order: every decision is
    kept with its initials, and what the last one made of its statement stands; the store is whole; reading
    twice with one book changes nothing the second time."""
    folder = tmp_path_factory.mktemp("any")
    with Store.open(folder / "store", create=True) as store:
        store.connection.execute("PRAGMA synchronous = OFF")  # this test is not about power cuts
        _words(store, OWN)
        _add(store, folder)
        taken, made = 0, {}
        for what, how in steps:
            if what == "book":
                _words(store, how)  # type: ignore[arg-type]
                _again(store)
                assert _again(store).outcome == "same"
            else:
                done = _decide(store, what, int(str(how)))
                taken += done is not None
                made |= {} if done is None else {done.id: done}
            for id, settled in made.items():
                held = store.statement(id)
                assert held is not None
                if settled.settled_by == "QZ":
                    assert _decided(held) == _decided(settled)
        assert len(store.settlements()) == taken
        assert check(store).problems == ()


def _decide(store: Store, verdict: str, which: int) -> Statement | None:
    held = store.statements()
    if which >= len(held):
        return None
    chosen_one = held[which]
    if verdict == "back":
        if chosen_one.settled_by != "QZ":
            return None
        return settle(store, chosen_one.id or 0, "back", "QZ", NOW)
    fields = {"to": "4471-999"} if verdict == "corrected" else {}
    word = "no" if verdict == "no" else "yes"
    return settle(store, chosen_one.id or 0, word, "QZ", NOW, fields)


def _decided(statement: Statement) -> str:
    assert isinstance(statement, Supersession)
    return json.dumps([statement.standing, statement.settled_by, statement.old, statement.new])

"""A held document stored again as it is read now: rows follow, people's words stay. Papers are invented."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.db.upkeep import backup, check
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.model import (
    Applies,
    Document,
    Finding,
    KitLine,
    ManualPage,
    Override,
    ScanSheet,
    SheetText,
    Statement,
    Supersession,
)
from benchleaf.graph.restand import restand
from benchleaf.graph.settling import settle, settle_head
from benchleaf.graph.store import Store
from hypothesis import given, settings
from hypothesis import strategies as st
from store_papers import DAY, NOW, SOURCE, became, document, item, manual, note, override, put, without_ids

QUOTES = (
    "Replace item 5 by the words below.",
    "Ring 7001 is now ring 7002, see the list.",
    "Delete the fourth step when the kit is fitted.",
    "Order the set by its new number from now on.",
)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "s", create=True) as opened:
        put(opened, document("m", "manual", manual=manual()))
        yield opened


def _read(store: Store, content: Document) -> None:
    with store.transaction():
        restand(store, store.reread(content), content)


def _said(*statements: Statement, name: str = "a", **more: object) -> Document:
    return document(name, notes=(note("N 1", *statements, **more),))


def _ids(store: Store) -> list[int]:
    return [s.id or 0 for s in store.statements()]


def test_what_is_stored_again_is_what_was_given(store: Store) -> None:
    """Sheets, findings, steps, notes and what OCR read are those of the present reading; a whole store stays
    whole, and the search follows."""
    put(store, document("x", "manual", manual=manual("RM 66")))
    page = ManualPage("4-11", 1, None, (replace(item("7", "Grease the race.", "4-11"), by_ocr=True),))
    pages = (page, ManualPage("4-12", 2, None, (replace(item("1", "Oil", "4-12"), unsure=("29",)),)))
    now = document(
        "x",
        "manual",
        manual=manual("RM 67", pages, parts=(KitLine("KB 9000-1", "race", 2),)),
        sheets=(SheetText(1, "4-11", "other words", by_ocr=True),),
        findings=(Finding("odd", SOURCE, "words"),),
        scans=(ScanSheet(1, "a reader 1.0", b"\0read"),),
    )
    _read(store, now)
    held = store.document(now.sha256)
    assert held is not None and without_ids(held) == now
    assert store.publication("RM 66") is None
    assert [hit.item for hit in store.search("grease")] == ["7"]
    assert store.scans(now.sha256) == now.scans
    assert check(store).problems == ()


def test_scans_are_kept_and_copied(store: Store, tmp_path: Path) -> None:
    """What OCR read is kept by reader and sheet, taken over by a backup, and kept where a later reading
    brings none; an empty or a lost one is found by check."""
    scanned = document("x", scans=(ScanSheet(1, "one", b"1"), ScanSheet(1, "two", b"2")))
    put(store, scanned)
    _read(store, replace(scanned, scans=(ScanSheet(1, "two", b"3"),)))
    kept = (ScanSheet(1, "one", b"1"), ScanSheet(1, "two", b"3"))
    assert store.scans(scanned.sha256) == kept
    with Store.open(backup(store, tmp_path / "copy")) as copy:
        assert copy.scans(scanned.sha256) == kept
        assert check(copy).problems == () and check(copy).counts.scans == 2
    store.connection.execute("UPDATE scan SET sheet = 9 WHERE reader = 'two'")
    assert [p.kind for p in check(store).problems] == ["scan"]


def test_a_document_that_is_not_held_is_not_reread(store: Store) -> None:
    """Only what was taken in can be read again."""
    with pytest.raises(NotHeld), store.transaction():
        store.reread(document("unknown"))


def test_ids_follow_what_is_said(store: Store) -> None:
    """Statements keep their ids though they come in another order, in other words or with another detail."""
    one, two = became("KB 7001", "KB 7002"), became("KB 7003", "KB 7004")
    put(store, _said(replace(one, quote=QUOTES[1]), replace(two, quote=QUOTES[3])))
    first, second = _ids(store)
    stock = replace(one, quote=QUOTES[1] + " Use up old stock.", stock="use up")
    _read(store, _said(replace(two, quote=QUOTES[0]), stock))
    held = {s.id: s for s in store.statements()}
    assert set(held) == {first, second}
    assert isinstance(held[first], Supersession) and held[first].stock == "use up"
    assert held[second].quote == QUOTES[0]


def test_one_file_split_into_two_notes_keeps_settlements(store: Store) -> None:
    """A file read as one note, and later as two, hands the settled statement on to the note it stands in."""
    one, two = became("KB 7001", "KB 7002"), became("KB 7003", "KB 7004")
    one, two = replace(one, quote=QUOTES[1]), replace(two, quote=QUOTES[3])
    put(store, _said(one, two))
    second = _ids(store)[1]
    settle(store, second, "yes", "AB", NOW)
    _read(store, document("a", notes=(note("N 1", one), note("N 2", two))))
    held = store.note("N 2")
    assert held is not None and held.received == DAY
    assert [(s.id, s.note, s.settled_by) for s in held.statements] == [(second, "N 2", "AB")]
    _read(store, document("a", notes=(note("N 1", one, two),)))
    assert [s.id for s in store.note("N 1").statements if s.settled_by == "AB"] == [second]  # type: ignore[union-attr]
    assert store.note("N 2") is None
    assert check(store).problems == ()


def test_a_new_note_is_of_the_week_of_its_file(store: Store) -> None:
    """A note found only now came to the shop with its file, and is no news."""
    put(store, _said(), received=dt.date(2020, 2, 3))
    _read(store, document("a", notes=(note("N 1"), note("N 2"))))
    assert [n.number for n in store.received_between(dt.date(2020, 2, 3), dt.date(2020, 2, 3))] == [
        "N 1",
        "N 2",
    ]


def test_a_refusal_holds_for_those_words_only(store: Store) -> None:
    """A no to a reading of one sentence does not touch the same said in another sentence."""
    said = replace(became("KB 7001", "KB 7002"), quote=QUOTES[1])
    put(store, _said(said))
    (refused,) = _ids(store)
    settle(store, refused, "no", "AB", NOW)
    _read(store, _said(replace(said, quote="KB 7001: order KB 7002 in its place.")))
    standings = {s.id: s.standing for s in store.statements()}
    assert standings.pop(refused) == "refused"
    assert list(standings.values()) == ["settled"]


def test_reading_that_stood_beside_stays_settled(store: Store) -> None:
    """Two readings of one sentence, of which a person refused one: when that one is read no longer, the other
    is no doubt, for he saw both."""
    one, two = (replace(became(f"KB 700{n}", f"KB 701{n}"), quote=QUOTES[1]) for n in (1, 2))
    put(store, _said(one, two))
    first, second = _ids(store)
    settle(store, first, "no", "AB", NOW)
    _read(store, _said(two))
    _read(store, _said(two))
    held = store.statement(second)
    assert held is not None and held.standing == "settled"
    assert len(store.statements()) == 2


def test_a_taken_back_settlement_that_is_read_no_longer_is_kept(store: Store) -> None:
    """A decision is kept for ever, also one taken back on a reading that is gone: that reading is refused."""
    put(store, _said(became("KB 7001", "KB 7002")))
    (number,) = _ids(store)
    settle(store, number, "yes", "AB", NOW)
    assert settle(store, number, "back", "AB", NOW).settled_by == "rule"
    _read(store, _said())
    held = store.statement(number)
    assert held is not None and held.standing == "refused"
    assert [s.verdict for s in store.settlements(number)] == ["yes", "back"]


def test_a_step_gone_from_the_manual_unsettles_by_rule_only(store: Store) -> None:
    """A manual read otherwise has its notes judged anew: what a rule settled is a doubt, a person's word
    stands."""
    put(store, _said(override("RM 55", "4-10", "5"), override("RM 55", "41-0", "5", action="delete")))
    with store.transaction():
        restand(store, store.held(_said().sha256).id, _said())  # type: ignore[union-attr]
    first, second = _ids(store)
    settle(store, second, "yes", "AB", NOW)
    page = ManualPage("4-10", 1, None, (item("6", "Other.", "4-10"),))
    _read(store, document("m", "manual", manual=manual(pages=(page,))))
    by_rule, by_person = store.statement(first), store.statement(second)
    assert by_rule is not None and by_rule.standing == "doubtful" and "no item 5" in by_rule.why[0]
    assert by_person is not None and (by_person.standing, by_person.settled_by) == ("settled", "AB")


def test_editions_keep_their_order(store: Store) -> None:
    """Of two editions without a date the one taken in last is the newer; so it stays once one is reread."""
    put(store, document("second", "manual", manual=manual()))
    first = document("m", "manual", manual=replace(manual(), title="Read again"))
    _read(store, first)
    assert [m.title for m in store.publications_like("RM 55")] == ["Rebuild", "Read again"]


def test_a_settled_head_is_handed_on(store: Store) -> None:
    """The units that a person gave a note hold for what it states, but for a statement with units of its own;
    they stay when it is read again, and go back to what is read now when he takes his word back."""
    own = Applies(models=("DR 40",))
    unsure = Applies(serial_to="900", unclear=("900 may or may not be included",))
    said = (override("RM 55", "4-10", "5", applies=unsure), override("RM 55", "41-0", "5", applies=own))
    content = document("a", notes=(replace(note("N 1", *said), applies=unsure, unclear=unsure.unclear),))
    put(store, content)
    with store.transaction():
        restand(store, store.held(content.sha256).id, content)  # type: ignore[union-attr]
    assert {s.standing for s in store.statements()} == {"doubtful"}
    settled = settle_head(store, "N 1", "yes", "AB", NOW, {"serial_to": "899", "built_from": "2001-02-03"})
    assert settled.unclear == () and settled.applies.built_from == dt.date(2001, 2, 3)
    for _ in range(2):
        first, second = store.statements()
        assert isinstance(first, Override) and isinstance(second, Override)
        assert (first.applies.serial_to, first.applies.unclear, second.applies) == ("899", (), own)
        assert (first.standing, second.standing) == ("settled", "settled")
        _read(store, content)
    back = settle_head(store, "N 1", "back", "AB", NOW)
    assert back.applies == unsure and back.unclear == unsure.unclear
    assert {s.standing for s in store.statements()} == {"doubtful"}
    assert [h.verdict for h in store.head_settlements()] == ["yes", "back"]


def test_a_settled_head_goes_to_no_other_note(store: Store) -> None:
    """Two notes in place of which two others are read now: the head that a person settled is not put on one
    of them; one note whose number alone is read otherwise is the same note, and keeps it."""
    put(store, document("a", notes=(note("N 1", became("KB 1001", "KB 1002")), note("N 2"))))
    settle_head(store, "N 1", "yes", "AB", NOW, {"date": "2001-01-01"})
    _read(store, document("a", notes=(note("N 3"), note("N 4"))))
    dates = {n.number: n.date for n in store.notes()}
    assert dates == {"N 1": dt.date(2001, 1, 1), "N 3": dt.date(2020, 1, 1), "N 4": dt.date(2020, 1, 1)}
    put(store, document("b", notes=(note("M I", became("KB 2001", "KB 2002")),)))
    settle_head(store, "M I", "yes", "AB", NOW, {"date": "2002-02-02"})
    _read(store, document("b", notes=(note("M 1", became("KB 2001", "KB 2002")),)))
    held = store.note("M 1")
    assert held is not None and held.date == dt.date(2002, 2, 2) and store.note("M I") is None
    assert {s.date for s in held.statements} == {dt.date(2002, 2, 2)}


@pytest.mark.parametrize(
    ("fields", "words"),
    [({"date": "5.6.2016"}, "no date"), ({"item": "5"}, "no item"), ({"date": ""}, "no date")],
)
def test_a_head_cannot_be_settled_so(store: Store, fields: dict[str, str], words: str) -> None:
    """A head has no steps, and needs a date that can be read; a wrong use changes nothing."""
    put(store, _said(became("KB 7001", "KB 7002")))
    with pytest.raises(WrongUse, match=words):
        settle_head(store, "N 1", "yes", "AB", NOW, fields)
    assert store.head_settlements() == ()
    with pytest.raises(WrongUse, match="nobody"):
        settle_head(store, "N 1", "back", "AB", NOW)


def test_of_two_notes_with_one_number_the_file_tells(store: Store) -> None:
    """Two notes of one number with clear heads: which is meant must be said."""
    for name in ("a", "b"):
        put(store, document(name, notes=(replace(note("N 1", became("KB 1001", "KB 1002")), file=name),)))
    with pytest.raises(WrongUse, match="several notes"):
        settle_head(store, "N 1", "yes", "AB", NOW, {"date": "2001-01-01"})
    settle_head(store, "N 1", "yes", "AB", NOW, {"date": "2001-01-01"}, "b")
    assert {n.file: n.date for n in store.notes()}["b"] == dt.date(2001, 1, 1)
    assert {n.file: n.date for n in store.notes()}["a"] == dt.date(2020, 1, 1)


def test_decisions_on_heads_are_kept_for_ever(store: Store) -> None:
    """Neither we nor SQL can change or delete a decision on a head."""
    import sqlite3

    put(store, _said(became("KB 7001", "KB 7002")))
    settle_head(store, "N 1", "yes", "AB", NOW, {"date": "2001-01-01"})
    for sql in ("DELETE FROM head_settlement", "UPDATE head_settlement SET initials = 'XY'"):
        with pytest.raises(sqlite3.IntegrityError, match="for ever"):
            store.connection.execute(sql)


SAYINGS = st.builds(
    lambda old, new, quote, doubtful: replace(
        became(f"KB 700{old}", f"KB 701{new}"),
        quote=QUOTES[quote],
        standing="doubtful" if doubtful else "settled",
        why=("not sure",) if doubtful else (),
    ),
    st.integers(0, 2),
    st.integers(0, 2),
    st.integers(0, 3),
    st.booleans(),
)
READINGS = st.lists(st.lists(st.lists(SAYINGS, max_size=4), min_size=1, max_size=2), min_size=2, max_size=5)
WORDS = st.lists(st.tuples(st.integers(0, 7), st.sampled_from(["yes", "no", "back"])), max_size=3)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(READINGS, st.lists(WORDS, min_size=5, max_size=5))
def test_no_settlement_is_lost(
    tmp_path_factory: pytest.TempPathFactory,
    readings: list[list[list[Statement]]],
    words: list[list[tuple[int, str]]],
) -> None:
    """Whatever a file is read as, one note or two, with whatever statements, and whatever is settled between:
    no decision and no statement that bears one is lost or changed; the same reading twice changes nothing."""
    with Store.open(tmp_path_factory.mktemp("any"), create=True) as store:
        store.connection.execute("PRAGMA synchronous = OFF")  # this test is not about power cuts
        decided: dict[int, Statement] = {}
        for turn, (reading, said) in enumerate(zip(readings, words, strict=False)):
            notes = tuple(note(f"N {i}", *statements) for i, statements in enumerate(reading))
            content = document("a", notes=notes)
            if turn:
                _read(store, content)
                before = store.statements()
                _read(store, content)
                assert store.statements() == before
            else:
                put(store, content)
            _unchanged(store, decided)
            for which, verdict in said:
                held = store.statements()
                if which < len(held) and (verdict != "back" or held[which].settled_by == "AB"):
                    number = held[which].id or 0
                    done = settle(store, number, verdict, "AB", NOW)  # type: ignore[arg-type]
                    decided.pop(number, None)
                    if verdict != "back":
                        decided[number] = done
        _unchanged(store, decided)
        assert [p for p in check(store).problems if p.kind != "number"] == []


def _unchanged(store: Store, decided: dict[int, Statement]) -> None:
    for number, done in decided.items():
        held = store.statement(number)
        assert isinstance(held, Supersession) and isinstance(done, Supersession)
        now, then = ((s.standing, s.settled_by, s.old, s.new, s.relation) for s in (held, done))
        assert now == then

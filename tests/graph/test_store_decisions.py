"""What people decide: settlements kept for ever, the shop's own notes, holds, jobs."""

import datetime as dt
import sqlite3
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.model import (
    Applies,
    Cancels,
    Contents,
    Note,
    Override,
    Statement,
    Supersession,
    Target,
    Withdrawn,
)
from benchleaf.graph.store import Change, Store
from store_papers import DAY, NOW, SOURCE, became, document, line, manual, note, override, put

LATER = NOW + dt.timedelta(days=1)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path, create=True) as opened:
        put(opened, document("m", "manual", manual=manual()))
        yield opened


def _state(store: Store, *statements: Statement) -> list[int]:
    doubtful = (replace(s, standing="doubtful", why=("not sure",)) for s in statements)
    number = put(store, document("a", notes=(note("N 1", *doubtful),)))
    return [s.id or 0 for s in store.statements_of_document(number)]


def _settle(store: Store, id: int, fields: Mapping[str, str] | None = None) -> Statement:
    with store.transaction():
        return store.settle(id, "yes", "AB", NOW, fields)


def test_yes_settles_with_initials(store: Store) -> None:
    """A yes settles a statement under the person's initials, drops the doubts, and completes the target."""
    (number,) = _state(store, override(None, "4.10", "5"))
    settled = _settle(store, number)
    assert (settled.standing, settled.settled_by, settled.why) == ("settled", "AB", ())
    assert isinstance(settled, Override)
    assert settled.target == Target("RM 55", "4-10", "5")
    assert store.statement(number) == settled


def test_no_refuses_and_keeps_the_doubts(store: Store) -> None:
    """A no refuses a statement under the person's initials and keeps why it was doubtful."""
    (number,) = _state(store, override("RM 55", "4-10", "5"))
    with store.transaction():
        refused = store.settle(number, "no", "AB", NOW)
    assert (refused.standing, refused.settled_by, refused.why) == ("refused", "AB", ("not sure",))


def test_every_settlement_is_kept(store: Store) -> None:
    """Each decision stays with its initials, time, old and new values; neither we nor SQL can change or
    delete it."""
    (number,) = _state(store, override("RM 55", "4-10", "5", text="Fit one seal."))
    _settle(store, number, {"text": "Fit both seals."})
    with store.transaction():
        store.settle(number, "no", "CD", LATER)
    first, second = store.settlements(number)
    assert (first.verdict, first.initials, first.at) == ("yes", "AB", NOW)
    assert Change("text", "Fit one seal.", "Fit both seals.") in first.changes
    assert Change("standing", "doubtful", "settled") in first.changes
    assert (second.verdict, second.initials, second.at) == ("no", "CD", LATER)
    assert Change("settled_by", "AB", "CD") in second.changes
    for sql in ("DELETE FROM settlement", "UPDATE settlement SET initials = 'XY'"):
        with pytest.raises(sqlite3.IntegrityError, match="for ever"):
            store.connection.execute(sql)
    assert store.settlements() == (first, second)


@pytest.mark.parametrize(
    ("statement", "fields", "expected"),
    [
        (
            override("RM 55", "1", "1"),
            {"page": "41-0", "item": "5"},
            {"target": Target("RM 55", "41-0", "5")},
        ),
        (
            override("RM 55", "4-10", "5", action="change-value", text=None),
            {"was": "29 N·m", "now": "31 N·m"},
            {"was": "29 N·m", "now": "31 N·m"},
        ),
        (
            became("KB 70O1", "KB 7002"),
            {"from": "KB 7001", "to": "KB 7002, KB 7003", "relation": "all of"},
            {"old": ("KB 7001",), "new": ("KB 7002", "KB 7003"), "relation": "all of"},
        ),
        (
            Contents(
                note="", date=None, quote="q", source=SOURCE, kit="KB 1", lines=(line(None, "disc", 5),)
            ),
            {"kit": "KB 9000-1"},
            {"kit": "KB 9000-1"},
        ),
        (
            Cancels(note="", date=None, quote="q", source=SOURCE, cancels="N 7"),
            {"cancels": "N 8"},
            {"cancels": "N 8"},
        ),
        (
            Withdrawn(note="", date=None, quote="q", source=SOURCE, part="KB 70"),
            {"part": "KB 7000"},
            {"part": "KB 7000"},
        ),
    ],
    ids=lambda value: type(value).__name__ if isinstance(value, Statement) else None,
)
def test_corrections(
    store: Store, statement: Statement, fields: dict[str, str], expected: dict[str, object]
) -> None:
    """A yes may correct what was misread, for every type of statement; the correction is what is stored."""
    (number,) = _state(store, statement)
    settled = _settle(store, number, fields)
    assert {name: getattr(settled, name) for name in expected} == expected
    assert store.statement(number) == settled


def test_corrected_numbers_are_looked_up(store: Store) -> None:
    """After a correction the new number is known and found, and the misread one leads nowhere."""
    (number,) = _state(store, became("KB 7O11", "KB 7012"))
    _settle(store, number, {"from": "KB 7111"})
    assert [s.old for s in store.supersessions(["KB7111"])] == [("KB 7111",)]
    assert store.supersessions(["KB7O11"]) == ()
    assert store.printed("KB7111") == "KB 7111"


@pytest.mark.parametrize(
    ("statement", "fields", "words"),
    [
        (override(None, None, None), {}, "which step"),
        (override(None, None, "5"), {}, "which step"),
        (override("RM 55", "4-10", "6"), {}, "no item 6"),
        (override("RM 55", "4-10", "5", text=None), {}, "new words"),
        (override("RM 55", "4-10", "5"), {"text": " "}, "new words"),
        (override("RM 55", "4-10", "5", action="change-value", now="31"), {}, "value"),
        (override("RM 55", "4-10", "5"), {"kit": "KB 1"}, "no kit"),
        (became("KB 7001", "KB 7002"), {"to": " , "}, "number"),
        (became("KB 7001", "kb.7001"), {}, "the same"),
        (Cancels(note="", date=None, quote="q", source=SOURCE, cancels="N 1"), {}, "itself"),
    ],
)
def test_incomplete_yes_is_refused(
    store: Store, statement: Statement, fields: dict[str, str], words: str
) -> None:
    """A yes to what would change nothing, or to a step that is not there, says what is missing and changes
    nothing."""
    (number,) = _state(store, statement)
    before = store.statement(number)
    with pytest.raises(WrongUse, match=words):
        _settle(store, number, fields)
    assert store.statement(number) == before
    assert store.settlements() == ()


def test_deletion_needs_no_words(store: Store) -> None:
    """A deletion is complete with its target alone."""
    (number,) = _state(store, override("RM 55", "4-10", "5", action="delete", text=None))
    assert _settle(store, number).standing == "settled"


def test_page_not_held_may_be_settled(store: Store) -> None:
    """A person may settle a step of a page that is not held yet, named in full."""
    (number,) = _state(store, override("RM 77", "3", "2"))
    assert _settle(store, number).standing == "settled"


@pytest.mark.parametrize("initials", ["", "  ", "rule"])
def test_settlement_needs_a_person(store: Store, initials: str) -> None:
    """A settlement without initials, or in the name of the rule, is wrong use."""
    (number,) = _state(store, override("RM 55", "4-10", "5"))
    with pytest.raises(WrongUse), store.transaction():
        store.settle(number, "yes", initials, NOW)


def test_settling_what_is_not_there(store: Store) -> None:
    """An unknown id is NotHeld; a no with corrections is wrong use."""
    with pytest.raises(NotHeld), store.transaction():
        store.settle(99, "yes", "AB", NOW)
    (number,) = _state(store, override("RM 55", "4-10", "5"))
    with pytest.raises(WrongUse), store.transaction():
        store.settle(number, "no", "AB", NOW, {"item": "6"})


def _own(text: str) -> Note:
    statement = override("RM 55", "4-10", "5", text=text, settled_by="AB")
    return Note("", DAY, text, None, "shop", None, Applies(), statements=(statement,))


def test_shop_notes_are_numbered(store: Store) -> None:
    """The shop's own notes are SHOP-1, SHOP-2 …, one number for the note and what it says, received on the
    day."""
    put(store, document("x", notes=(note("SHOP-talk"),)))
    with store.transaction():
        one, two = (
            store.shop_note(_own("Warm the housing."), NOW),
            store.shop_note(_own("Mark the hub."), NOW),
        )
    assert [n.number for n in (one, two)] == ["SHOP-1", "SHOP-2"]
    assert (one.source, one.received, one.statements[0].note) == ("shop", DAY, "SHOP-1")
    assert [o.text for o in store.overrides("RM 55", "4-10")] == ["Warm the housing.", "Mark the hub."]
    assert [hit.note for hit in store.search("housing")] == ["SHOP-1"]
    assert {n.number for n in store.received_between(DAY, DAY)} >= {"SHOP-1", "SHOP-2"}


def test_empty_shop_note_is_refused(store: Store) -> None:
    """A shop's note that states nothing is wrong use."""
    with pytest.raises(WrongUse), store.transaction():
        store.shop_note(replace(_own("x"), statements=()), NOW)


def test_hold_and_lift(store: Store) -> None:
    """A kit is held once for one reason, lifted by a person with a reason, and the whole of it is kept."""
    with store.transaction():
        first = store.set_hold("KB 9000-1", "one disc over", NOW)
        assert store.set_hold("kb90001", "one disc over", LATER) == first
        store.set_hold("KB 9000-1", "seal missing", NOW)
        store.set_hold("KB 9000-2", "seal missing", NOW)
    assert [h.reason for h in store.holds("kb.9000.1")] == ["one disc over", "seal missing"]
    with store.transaction():
        store.lift_hold("KB 9000-1", "AB", "the maker's desk confirmed", LATER)
    assert store.holds("KB 9000-1") == ()
    assert [h.kit for h in store.holds()] == ["KB 9000-2"]
    kept = store.holds("KB 9000-1", lifted=True)
    assert [(h.set_at, h.lifted_at, h.lifted_by, h.lifted_reason) for h in kept] == [
        (NOW, LATER, "AB", "the maker's desk confirmed")
    ] * 2


def test_hold_needs_reasons(store: Store) -> None:
    """Neither a hold nor its lifting goes without a reason, and only a held kit is lifted."""
    with store.transaction():
        for kit, reason in (("", "x"), ("KB 1", " ")):
            with pytest.raises(WrongUse):
                store.set_hold(kit, reason, NOW)
        with pytest.raises(NotHeld):
            store.lift_hold("KB 1", "AB", "x", NOW)
        store.set_hold("KB 1", "x", NOW)
        for by, reason in (("", "x"), ("AB", "")):
            with pytest.raises(WrongUse):
                store.lift_hold("KB 1", by, reason, NOW)


def test_job_goes_forward(store: Store) -> None:
    """A job is opened, built and shipped, each with its day; it does not go back, and its number is used
    once."""
    with store.transaction():
        opened = store.open_job("J-14", "DR 40", "5210", ("KB 9000-1",), DAY)
        with pytest.raises(WrongUse):
            store.open_job("j14", None, None, (), DAY)
        store.fit_kit("J14", "kb 9000-1")
        store.fit_kit("J14", "KB 9000-2")
        built = store.move_job("J 14", "built", DAY + dt.timedelta(2))
        with pytest.raises(WrongUse):
            store.move_job("J 14", "opened", DAY + dt.timedelta(3))
        with pytest.raises(WrongUse):
            store.move_job("J 14", "shipped", DAY)
        with pytest.raises(NotHeld):
            store.move_job("J 15", "built", DAY)
    assert (opened.state, opened.kits) == ("opened", ("KB 9000-1",))
    assert (built.state, built.opened, built.built, built.shipped) == (
        "built",
        DAY,
        DAY + dt.timedelta(2),
        None,
    )
    assert store.jobs("opened") == ()
    assert store.jobs() == (built,)
    assert built.kits == ("KB 9000-1", "KB 9000-2")


def test_settled_supersession_counts_for_its_kind(store: Store) -> None:
    """A split stays a split when its numbers are confirmed, and is one-to-one when one number is left."""
    split = became("KB 7001", ("KB 7002", "KB 7003"), relation="all of")
    (number,) = _state(store, split)
    kept = _settle(store, number)
    one = _settle(store, number, {"to": "KB 7002"})
    assert isinstance(kept, Supersession)
    assert isinstance(one, Supersession)
    assert (kept.relation, one.relation) == ("all of", "one")

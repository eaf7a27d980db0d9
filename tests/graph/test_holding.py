"""Holds judged anew, and shown on the procedures that would use the kit. All papers are invented."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.kits.holding import (
    ended_holds,
    holds_on,
    judged_holds,
    settle_holds,
    standing_holds,
    uses_of,
)
from benchleaf.graph.kits.kit import kit_answer
from benchleaf.graph.kits.received import parse_got
from benchleaf.graph.model import Contents, Manual, Note, Statement
from benchleaf.graph.procedure import ProcedureQuestion, procedure_answer
from benchleaf.graph.store import Store
from fake_shelf import FakeShelf, became, contains, lines, manual, note, override
from hypothesis import given, settings
from hypothesis import strategies as st
from store_papers import NOW, document, put

DAY = NOW.date()
LATER = NOW + dt.timedelta(days=3)
FRICTION_ENDS = "Stack 11 friction discs and 10 steel discs in turn, a friction disc first and last."
STEEL_ENDS = "Stack 11 friction discs and 12 steel discs in turn, a steel disc first and last."
BOOK = manual({"4-12": [("5", FRICTION_ENDS), ("6", "Tighten the pump screws to 9 Nm.")]})
OLD = note("N 0", "2000-01-01", contains("7001-01", lines(friction_disc=11, steel_disc=10)))
SWAP = became("7001-01", "7001-02", quote="kit 7001-02 replaces kit 7001-01")
NEW = contains("7001-02", lines(friction_disc=11, steel_disc=12), lines(friction_disc=11, steel_disc=10))
STEP = override("replace", "5", text=STEEL_ENDS)
GOT = "11 friction disc, 12 steel disc"
WHOLE = note("N 1", "2001-01-01", SWAP, NEW, STEP)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "s", create=True) as opened:
        _book(opened, BOOK)
        yield opened


def _book(store: Store, book: Manual) -> None:
    put(store, document(book.number, "manual", manual=book))


def _notes(store: Store, *notes: Note) -> list[Statement]:
    found: list[Statement] = []
    for n in notes:
        found += store.statements_of_document(put(store, document(n.number, notes=(n,))))
    return found


def _hold(store: Store, kit: str = "7001-02", got: str = GOT, **unit: str) -> None:
    """Asks about an arrival and puts it on hold, as the kit command does."""
    came = parse_got(got)
    answer = kit_answer(store, kit, came, **unit)
    assert answer.hold
    with store.transaction():
        store.set_hold(answer.kit, answer.reasons[0], NOW, came, **unit)


def _settle(store: Store) -> list[str]:
    with store.transaction():
        return [h.ending for h in settle_holds(store, LATER)]


def _ask(store: Store, *kits: str, **question: str) -> tuple[str, ...]:
    asked = {"publication": "RX 40", "page": "4-12", "model": "K7", **question}
    answer = procedure_answer(store, ProcedureQuestion(kits=kits, **asked))
    assert answer.warnings[: len(answer.holds)] == tuple(h.sentence for h in answer.holds)
    return tuple(h.kit for h in answer.holds)


def test_a_hold_stands_until_a_note_explains_the_arrival(store: Store) -> None:
    """Unexplained counts hold the kit; once the note is taken in the hold is out of effect and names it."""
    _notes(store, OLD, note("N 9", "2000-06-01", SWAP))
    _hold(store)
    (standing,) = standing_holds(store)
    assert (standing.in_effect, standing.verdict, standing.explained_by) == (True, "unexplained", ())
    assert _settle(store) == []
    _notes(store, WHOLE)
    assert standing_holds(store) == ()
    (ended,) = ended_holds(store)
    assert ended.explained_by == ("N 1",) and ended.ending == "explained by N 1"
    assert [h.lifted_at for h in store.holds()] == [None]  # judging writes nothing
    assert _settle(store) == ["explained by N 1"]
    (kept,) = store.holds(lifted=True)
    assert (kept.lifted_by, kept.lifted_reason, kept.lifted_at) == ("rule", "explained by N 1", LATER)
    assert store.holds() == () and standing_holds(store) == ()
    assert _settle(store) == []


def test_a_settled_doubt_ends_a_hold(store: Store) -> None:
    """Contents in a doubtful reading hold the kit; a person's yes to the reading ends it."""
    doubtful = replace(NEW, standing="doubtful", why=("a question",), settled_by=None)
    said = _notes(store, OLD, note("N 1", "2001-01-01", SWAP, STEP, doubtful))
    _hold(store)
    doubt = next(s for s in said if isinstance(s, Contents) and s.standing == "doubtful")
    with store.transaction():
        store.settle(doubt.id or 0, "yes", "AB", NOW)
    assert [h.explained_by for h in ended_holds(store)] == [("N 1",)]


def test_an_explanation_that_falls_brings_the_hold_back(store: Store) -> None:
    """What a note explained is on hold again, as a new hold, when its reading is refused; the word of before
    stays in the record; and it is not set a third time."""
    said = _notes(store, OLD, note("N 9", "2000-06-01", SWAP))
    _hold(store)
    said = _notes(store, WHOLE)
    _settle(store)
    told = next(s for s in said if isinstance(s, Contents))
    with store.transaction():
        store.settle(told.id or 0, "no", "AB", NOW)
    (back,) = standing_holds(store)
    assert back.back and "explained by N 1, which no longer holds" in back.sentence
    _settle(store)
    assert [h.lifted_by for h in store.holds(lifted=True)] == ["rule", None]
    assert [h.back for h in standing_holds(store)] == [False]
    assert _settle(store) == []
    with store.transaction():
        store.lift_hold("7001-02", "AB", "counted again", LATER)
    assert standing_holds(store) == () and judged_holds(store) == ()


def test_a_hold_without_its_arrival_stays_until_a_person_lifts_it(store: Store) -> None:
    """Of a hold of before version 4 nobody knows what came: no note ends it."""
    _notes(store, OLD, WHOLE)
    with store.transaction():
        store.set_hold("7001-02", "one short", NOW)
    assert [h.verdict for h in standing_holds(store)] == [None]
    assert _settle(store) == [] and len(standing_holds(store)) == 1
    with store.transaction():
        store.lift_hold("7001-02", "AB", "came by post", LATER)
    assert standing_holds(store) == ()


def test_as_of_a_day(store: Store) -> None:
    """As of a day the papers and holds of then count: before the note's date the hold stood, before it was
    set there was none."""
    _notes(store, OLD, note("N 9", "2000-06-01", SWAP))
    _hold(store)
    late = replace(
        WHOLE, date=LATER.date(), statements=tuple(replace(s, date=LATER.date()) for s in WHOLE.statements)
    )
    _notes(store, late)
    _settle(store)
    assert len(standing_holds(store, on=DAY)) == 1
    assert standing_holds(store, on=DAY - dt.timedelta(days=1)) == ()
    assert standing_holds(store, on=LATER.date()) == ()


def test_a_hold_is_on_its_own_number_only(store: Store) -> None:
    """`holds_on` gives the holds of just those numbers, however typed, and none of the kit's family; a shelf
    that keeps no holds has none."""
    _notes(store, OLD, note("N 9", "2000-06-01", SWAP))
    _hold(store)
    assert [h.kit for h in holds_on(store, ["700102", "7001 02"])] == ["7001-02"]
    assert holds_on(store, ["7001-01"]) == () and holds_on(store, []) == () and holds_on(store, [""]) == ()
    assert holds_on(FakeShelf((BOOK,), (OLD,)), ["7001-02"]) == ()


def test_a_named_kit_on_hold_is_told_first(store: Store) -> None:
    """The first warning of the procedure is the hold with its day and reason; the older kit by its own
    number is not on hold."""
    _notes(store, OLD, note("N 9", "2000-06-01", SWAP))
    _hold(store)
    answer = procedure_answer(store, ProcedureQuestion("RX 40", "4-12", model="K7", kits=("7001 02",)))
    reason = store.holds()[0].reason
    assert answer.warnings[0] == f"kit 7001-02 is on hold since {DAY.isoformat()}: {reason}"
    assert _ask(store, "7001-01") == ()


def test_the_assumed_kit_on_hold_is_told(store: Store) -> None:
    """With no kit named the newest, to which the step is bound, is assumed: its hold is told, on its own
    pages only, and not where the older kit is named."""
    _book(store, manual({"7-1": [("1", "Fill the pump.")]}, number="RX 70", models=("K9",), section="Pump"))
    _notes(store, OLD, WHOLE)
    _hold(store, got="11 friction disc, 11 steel disc")
    assert _ask(store) == ("7001-02",)
    assert _ask(store, "7001-02") == ("7001-02",)
    assert _ask(store, "7001-01") == ()
    assert _ask(store, publication="RX 70", page="7-1", model="K9") == ()


def test_a_kit_that_replaced_the_bound_one_is_assumed(store: Store) -> None:
    """The step is bound to a kit that a list put another in the place of: that other's hold is told."""
    _notes(store, OLD, WHOLE, note("N 5", "2005-01-01", became("7001-02", "7001-03", quote="kit 7001-03")))
    _hold(store, kit="7001-03", got="11 friction disc, 11 steel disc")
    assert _ask(store) == ("7001-03",)


def test_a_step_bound_to_another_kit_than_the_one_named(store: Store) -> None:
    """A kit of no relation is named, and the step is bound to one on hold, which is therefore assumed."""
    _notes(store, OLD, WHOLE, note("N 6", "2006-01-01", contains("8800-1", lines(seal_ring=2))))
    _hold(store, got="11 friction disc, 11 steel disc")
    assert _ask(store, "8800-1") == ("7001-02",)


def test_a_kit_without_any_step_of_its_own_is_told_by_what_it_concerns(store: Store) -> None:
    """The note that changes the step is missing: the kit's plates belong to the manual's step by what they
    were before, and the hold shows there, and not on a step that it does not concern."""
    _notes(store, OLD, note("N 1", "2001-01-01", SWAP, NEW))
    _hold(store)
    (standing,) = standing_holds(store)
    assert [(s.page, s.item) for s in uses_of(standing)] == [("4-12", "5")]
    assert _ask(store) == ("7001-02",)
    assert _ask(store, "7001-01") == ()


def test_the_hold_of_an_older_kit_is_not_told_where_the_newest_is_assumed(store: Store) -> None:
    """With no kit named the newest is assumed; the old one on hold is not used."""
    _notes(store, OLD)
    _hold(store, kit="7001-01", got="11 friction disc, 9 steel disc")
    assert _ask(store, "7001-01") == ("7001-01",)
    _notes(store, WHOLE)
    assert _ask(store) == () and _ask(store, "7001-02") == ()


@given(st.lists(st.tuples(st.integers(0, 14), st.integers(0, 14)), min_size=1, max_size=5))
@settings(max_examples=15, deadline=None)
def test_holds_stand_just_while_the_answer_holds(
    tmp_path_factory: pytest.TempPathFactory, counts: list[tuple[int, int]]
) -> None:
    """For any arrivals: a hold is in effect if and only if the same question asked now gives a hold, and
    settling twice writes nothing more; no hold is ever lost."""
    with Store.open(tmp_path_factory.mktemp("h") / "s", create=True) as store:
        _book(store, BOOK)
        _notes(store, OLD, note("N 9", "2000-06-01", SWAP))
        for friction, steel in counts:
            came = parse_got(f"{friction} friction disc, {steel} steel disc")
            with store.transaction():
                store.set_hold("7001-02", "to be seen", NOW, came)
        before = len(store.holds(lifted=True))
        _notes(store, WHOLE)
        for held in judged_holds(store):
            assert held.in_effect == kit_answer(store, held.kit, held.hold.came).hold
        _settle(store)
        assert _settle(store) == []
        assert len(store.holds(lifted=True)) == before == len(set(counts))
        assert {h.hold.id for h in standing_holds(store)} == {h.id for h in store.holds()}

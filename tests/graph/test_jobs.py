"""Jobs: opened, changed, measured, built, shipped. All papers are invented."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.errors import NotHeld, WrongUse
from benchleaf.graph.jobs.answer import job_answer
from benchleaf.graph.jobs.job import About
from benchleaf.graph.jobs.measured import enter_value
from benchleaf.graph.jobs.work import KitOnHold, Told, build_job, change_job, open_job, plate_line, ship_job
from benchleaf.graph.kits.kit import kit_answer
from benchleaf.graph.kits.received import parse_got
from benchleaf.graph.model import Contents, ManualPage
from benchleaf.graph.store import Store
from store_papers import DAY, NOW, SOURCE, document, item, line, manual, note, override, put

RULE = {"settled_by": "rule"}
ITEMS = (
    item("1", "Fit seal KB 4410-21 with oil.", "4-10"),
    item("2", "Check the running clearance: 1.2 to 1.6 mm.", "4-10"),
    item("3", "Tighten the cover screws to 29 N·m.", "4-10"),
)
KIT = Contents(
    note="", date=None, quote="contains", source=SOURCE, kit="KB 9000-1",
    lines=(line(None, "friction disc", 5), line(None, "steel disc", 6)), **RULE,
)  # fmt: skip
UNIT = Told(model="DR 40", serial="5210", about=(About("RM 55", "4-10"),))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    pages = (ManualPage("4-10", 1, "Fitting the pack", ITEMS), ManualPage("4-11", 2, "Cover", ()))
    with Store.open(tmp_path / "s", create=True) as opened:
        put(opened, document("m", "manual", manual=manual(pages=pages)))
        told = note("N 1", override("RM 55", "4-10", "3", action="delete", text=None, **RULE), KIT)
        put(opened, document("n1", notes=(told,)))
        yield opened


def _open(store: Store, told: Told = UNIT, number: str = "W 1"):
    with store.transaction():
        return open_job(store, number, told, "AB", NOW)


def _hold(store: Store) -> None:
    came = parse_got("5 friction disc, 5 steel disc")
    assert kit_answer(store, "KB 9000-1", came).hold
    with store.transaction():
        store.set_hold("KB 9000-1", "one steel disc short", NOW, came)


def test_opening_pins_steps_notes_kits_and_state(store: Store) -> None:
    """The pin has the steps as they stand with their notes, what was considered, the kit's lines, the day and
    initials, and the state of the store in words."""
    _open(store, replace(UNIT, kits=("kb9000.1",), plate=(("Ratio", "3.08"),)))
    answer = job_answer(store, "w1", DAY)
    (pin,) = answer.pins
    assert (pin.occasion, pin.day, pin.at, pin.initials) == ("opened", DAY, NOW, "AB")
    assert [(s.label, s.text, s.changed_by) for s in pin.steps][1:] == [
        ("2", "Check the running clearance: 1.2 to 1.6 mm.", ()),
        ("3", None, ("N 1",)),
    ]
    assert [n.number for n in pin.notes] == ["N 1"]
    assert [(k.kit, k.lines, k.note) for k in pin.kits] == [("KB 9000-1", KIT.lines, "N 1")]
    assert "1 publication and 1 note held" in pin.state
    assert answer.job.by("opened") == "AB" and answer.news.empty


@pytest.mark.parametrize(
    ("told", "near"),
    [
        (replace(UNIT, model="DR 41"), "DR 40"),
        (replace(UNIT, about=(About("RM 55", "4-01"),)), "4-10"),
        (replace(UNIT, about=(About("RM 54"),)), "RM 55"),
        (replace(UNIT, kits=("KB 9000-7",)), "KB 9000-1"),
        (replace(UNIT, about=(About("RM 55", section="Gearbox input"),)), "Fitting the pack"),
    ],
)
def test_what_is_not_held_is_refused_with_the_nearest(store: Store, told: Told, near: str) -> None:
    """A wrong model, page, publication, kit or section opens nothing, and the nearest is offered."""
    with pytest.raises(NotHeld) as problem:
        _open(store, told)
    assert near in problem.value.near and store.jobs() == ()


def test_a_job_needs_a_procedure_and_a_free_number(store: Store) -> None:
    """Without model, publication or page nothing tells what is meant; a number is used once."""
    with pytest.raises(WrongUse):
        _open(store, Told(serial="7"))
    _open(store)
    with pytest.raises(WrongUse, match="in use"):
        _open(store, number="w-1")
    assert len(store.jobs()) == 1


def test_states_go_forward_and_are_signed(store: Store) -> None:
    """Opened, built, shipped, each with day and initials; not shipped before it is built, not built after."""
    _open(store)
    later = NOW + dt.timedelta(days=2)
    with pytest.raises(WrongUse, match="not built"), store.transaction():
        ship_job(store, "W 1", "CD", NOW)
    with store.transaction():
        build_job(store, "W 1", "CD", NOW)
        build_job(store, "W 1", "CE", later)
        job = ship_job(store, "W 1", "EF", later)
    assert (job.built, job.shipped) == (later.date(), later.date())
    assert [job.by(s) for s in ("opened", "built", "shipped")] == ["AB", "CE", "EF"]
    assert [p.occasion for p in store.pins("W 1")] == ["opened", "built", "built"]
    with pytest.raises(WrongUse, match="shipped already"), store.transaction():
        build_job(store, "W 1", "CD", later)


def test_a_kit_on_hold_stops_the_build_unless_a_reason_is_kept(store: Store) -> None:
    """Refused with the hold's own words; despite it only with a reason, which stays in the job."""
    _open(store, replace(UNIT, kits=("KB 9000-1",)))
    _hold(store)
    for reason in (None, " "):
        with pytest.raises(KitOnHold, match="one steel disc short"), store.transaction():
            build_job(store, "W 1", "CD", NOW, reason)
    assert store.job_or_stop("W 1").state == "opened"
    answer = job_answer(store, "W 1", DAY)
    assert [h.kit for h in answer.news.holds] == ["KB 9000-1"] and answer.news.waits and answer.news.empty
    with store.transaction():
        job = build_job(store, "W 1", "CD", NOW, "disc taken from stock").job
    assert (job.state, [d.words for d in job.despite]) == ("built", ["disc taken from stock"])


def test_changes_are_kept_and_shown(store: Store) -> None:
    """Kit, doubt, plate, as-found lines and remarks come to the job with initials; the pin stays, and says
    that the job itself was changed since."""
    _open(store)
    told = Told(
        kits=("KB 9000-1",),
        doubts=("the housing is of another model",),
        plate=(plate_line("Ratio = 3.08"),),
        found=parse_got("5 friction disc, 6 steel disc"),
        found_remarks=("burnt",),
        remarks=("customer waits",),
    )
    with store.transaction():
        job = change_job(store, "W 1", told, "CD", NOW + dt.timedelta(hours=1))
    assert (job.kits, job.plate) == (("KB 9000-1",), (("Ratio", "3.08"),))
    assert [(d.words, d.initials) for d in job.doubts] == [("the housing is of another model", "CD")]
    assert ([r.quantity for r in job.found], job.found_remarks[0].words) == ([5, 6], "burnt")
    answer = job_answer(store, "W 1", DAY)
    assert answer.pins[0].kits == () and any("a kit fitted" in r for r in answer.news.remarks)
    assert answer.evidence is not None and "evidence, never authority" in answer.evidence.sentences[-1]
    with pytest.raises(WrongUse), store.transaction():
        change_job(store, "W 1", Told(), "CD", NOW)
    with pytest.raises(WrongUse, match="not in job"), store.transaction():
        change_job(store, "W 1", Told(without=("KB 1",)), "CD", NOW)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [("1.35 mm", "within"), ("1.9 mm", "above"), ("1.0 mm", "below"), ("ok", None), ("7", None)],
)
def test_a_value_is_judged_by_the_range_in_force(store: Store, value: str, verdict: str | None) -> None:
    """Within, above or below the step's range; what is no value with a unit is kept unjudged."""
    _open(store)
    with store.transaction():
        entry = enter_value(store, "W 1", None, "4-10", "2", value, "CD", NOW)
    assert (entry.verdict, entry.label, entry.publication) == (verdict, "2", "RM 55")
    assert store.job_or_stop("W 1").entries == (entry,)


def test_a_later_value_does_not_erase_an_earlier_one(store: Store) -> None:
    """Both stand, in the order in which they were written."""
    _open(store)
    for value in ("1.9 mm", "1.4 mm"):
        with store.transaction():
            enter_value(store, "W 1", "rm55", "4.10", "2", value, "CD", NOW)
    assert [(e.value, e.verdict) for e in store.job_or_stop("W 1").entries] == [
        ("1.9 mm", "above"),
        ("1.4 mm", "within"),
    ]


def test_a_value_needs_a_step_that_is_to_be_done(store: Store) -> None:
    """Unknown page or step: the nearest; a deleted step: refused, naming the note; no value: refused."""
    _open(store)
    for page, step, near in (("4-12", "2", "4-10"), ("4-10", "9", "2")):
        with pytest.raises(NotHeld) as problem, store.transaction():
            enter_value(store, "W 1", None, page, step, "1 mm", "CD", NOW)
        assert near in problem.value.near
    with pytest.raises(WrongUse, match="deleted by N 1"), store.transaction():
        enter_value(store, "W 1", None, "4-10", "3", "29 Nm", "CD", NOW)
    with pytest.raises(WrongUse), store.transaction():
        enter_value(store, "W 1", None, "4-10", "2", " ", "CD", NOW)
    assert store.job_or_stop("W 1").entries == ()


@pytest.mark.parametrize("words", ["Ratio", "= 3", "Ratio =", ""])
def test_a_plate_line_has_a_name_and_a_value(words: str) -> None:
    """Without either it is refused, with how to write one."""
    with pytest.raises(WrongUse) as problem:
        plate_line(words)
    assert "name = value" in problem.value.remedy

"""What is in force for one step."""

import random

import pytest
from benchleaf.graph.applicability import Unit
from benchleaf.graph.model import Applies, Item, Override
from benchleaf.graph.overrides import Case, Effective, background, in_force, notice_of
from fake_shelf import FakeShelf, cancels, day, manual, note, override
from hypothesis import given
from hypothesis import strategies as st

BOOK = manual({"4-12": [("5", "Tighten the flange nut to 90 Nm.")]})
STEP: Item = BOOK.pages[0].items[0]


def _effective(*notes, case: Case | None = None, **fields) -> Effective:
    shelf = FakeShelf([BOOK], notes)
    overrides = shelf.overrides("RX 40")
    case = case or Case(Unit("K7", "500"), **fields)
    return in_force(STEP, overrides, case, background(shelf, overrides, case.kits, case.on))


def _why(effective: Effective) -> dict[str, str]:
    return {left.note: left.why for left in effective.left_out}


def test_no_override_leaves_the_manual() -> None:
    """Without overrides the manual's words hold, by nobody else."""
    found = _effective()
    assert (found.text, found.origin, found.by) == (STEP.text, "manual", ())


def test_later_replacement_wins_and_says_so() -> None:
    """Of two replacements the later by date wins, however they were added; the earlier names it."""
    found = _effective(
        note("N 2", "2003-01-01", override("replace", "5", text="Tighten to 110 Nm.")),
        note("N 1", "2001-01-01", override("replace", "5", text="Tighten to 100 Nm.")),
    )
    assert (found.text, found.origin, found.by) == ("Tighten to 110 Nm.", "N 2", ("N 2",))
    assert _why(found) == {"N 1": "later note N 2"}


def test_change_value_works_on_the_text_then_in_force() -> None:
    """A change of value applies inside the words that an earlier note put there, and both notes are named."""
    found = _effective(
        note("N 1", "2001-01-01", override("replace", "5", text="Tighten to 100 Nm and stake.")),
        note("N 2", "2003-01-01", override("change-value", "5", was="100 Nm", now="105 Nm")),
    )
    assert (found.text, found.origin) == ("Tighten to 105 Nm and stake.", "N 1")
    assert found.by == ("N 1", "N 2")


def test_value_that_is_not_there_is_a_warning() -> None:
    """A change of a value that the text in force does not hold changes nothing and warns."""
    found = _effective(note("N 1", "2001-01-01", override("change-value", "5", was="80 Nm", now="85 Nm")))
    assert found.text == STEP.text and "80 Nm" in _why(found)["N 1"] and len(found.warnings) == 1


def test_delete_then_change_and_delete_then_replace() -> None:
    """A value of a deleted step cannot be changed; a later replacement brings the step back."""
    gone = note("N 1", "2001-01-01", override("delete", "5"))
    found = _effective(
        gone, note("N 2", "2002-01-01", override("change-value", "5", was="90 Nm", now="95 Nm"))
    )
    assert found.text is None and "deleted by N 1" in _why(found)["N 2"]
    found = _effective(gone, note("N 2", "2002-01-01", override("replace", "5", text="New words.")))
    assert found.text == "New words."


def test_inserts_and_cautions_hold_on_a_deleted_step() -> None:
    """What is inserted at a deleted step is still inserted, and a caution still shown."""
    found = _effective(
        note("N 1", "2001-01-01", override("insert-after", "5", text="Check the play.")),
        note("N 2", "2002-01-01", override("delete", "5")),
        note("N 3", "2003-01-01", override("caution", "5", text="WARNING: hot parts.")),
    )
    assert found.text is None and [o.text for o in found.after] == ["Check the play."]
    assert [(n.kind, n.text) for n in found.notices] == [("WARNING", "hot parts.")]


def test_cancelled_note_does_not_count() -> None:
    """An override of a cancelled note is left out with the canceller's number, from the canceller's date
    on."""
    notes = (
        note("N 1", "2001-01-01", override("delete", "5")),
        note("N 2", "2002-01-01", cancels("N 1")),
    )
    assert _why(_effective(*notes)) == {"N 1": "cancelled by N 2"}
    assert _effective(*notes, on=day("2001-06-01")).text is None


def test_cancelled_cancellation_does_not_revive() -> None:
    """A note whose canceller is cancelled stays out, with a warning to ask the maker."""
    found = _effective(
        note("N 1", "2001-01-01", override("delete", "5")),
        note("N 2", "2002-01-01", cancels("N 1")),
        note("N 3", "2003-01-01", cancels("N 2")),
    )
    assert found.text == STEP.text and _why(found) == {"N 1": "cancelled by N 2"}
    assert "N 3" in found.warnings[0] and "ask the maker" in found.warnings[0]


def test_note_naming_its_own_number_is_not_cancelled() -> None:
    """A note that supersedes an issue of its own number does not take itself out of force."""
    found = _effective(note("N 1", "2001-01-01", override("delete", "5"), cancels("n1")))
    assert found.text is None


def test_doubtful_cancellation_does_not_count() -> None:
    """A doubtful reading that a note was cancelled changes nothing."""
    doubtful = note("N 2", "2002-01-01", cancels("N 1", standing="doubtful"))
    assert _effective(note("N 1", "2001-01-01", override("delete", "5")), doubtful).text is None


def test_doubtful_cancellation_is_told() -> None:
    """That a note in force may have been cancelled is told at the step, with the reading's id."""
    doubtful = note("N 2", "2002-01-01", cancels("N 1", standing="doubtful"))
    found = _effective(note("N 1", "2001-01-01", override("delete", "5")), doubtful)
    assert any("N 1 may have been cancelled by N 2" in w and "2" in w for w in found.warnings)


def test_doubtful_cancellation_of_its_own_number_is_none() -> None:
    """A doubtful reading that a note cancels its own number says nothing about it."""
    found = _effective(
        note("N 1", "2001-01-01", override("delete", "5"), cancels("N 1", standing="doubtful"))
    )
    assert found.text is None and found.warnings == ()


def test_odd_cancellations_are_told() -> None:
    """A canceller that is older than the note, or headed for another model, is warned of; the note stays
    out."""
    gone = note("N 1", "2003-01-01", override("delete", "5"))
    older = _effective(gone, note("N 2", "2002-01-01", cancels("N 1")))
    assert older.text == STEP.text and any("which is older" in w for w in older.warnings)
    other = note("N 2", "2004-01-01", cancels("N 1"), applies=Applies(models=("K9",)))
    found = _effective(gone, other)
    assert found.text == STEP.text and any("headed for K9 only" in w for w in found.warnings)
    same = note("N 2", "2004-01-01", cancels("N 1"), applies=Applies(models=("K7", "K9")))
    assert _effective(gone, same).warnings == ()


def test_doubtful_refused_undated_and_future_overrides_are_left_out() -> None:
    """Each is left out with its reason; the doubtful one is listed by id."""
    found = _effective(
        note("N 1", "2001-01-01", override("delete", "5", standing="doubtful", why=("a question",))),
        note("N 2", "2001-01-01", override("delete", "5", standing="refused")),
        note("N 3", None, override("delete", "5")),
        note("N 4", "2009-01-01", override("delete", "5")),
        on=day("2005-01-01"),
    )
    assert found.text == STEP.text and found.doubts == (1,)
    assert _why(found) == {
        "N 1": "not settled",
        "N 2": "refused",
        "N 3": "undated",
        "N 4": "dated later than 2005-01-01",
    }


def test_unknown_serial_leaves_the_manual_and_says_what_it_depends_on() -> None:
    """An override bounded by serials is not applied without one: the step says it depends on the serial."""
    bounded = note("N 1", "2001-01-01", override("delete", "5"), applies=Applies(serial_from="400"))
    found = _effective(bounded, case=Case(Unit("K7")))
    assert found.text == STEP.text and found.depends_on == ("serial",)
    assert _why(found)["N 1"].startswith("depends on serial")
    assert _effective(bounded).text is None
    assert _why(_effective(bounded, case=Case(Unit("K7", "399"))))["N 1"].startswith("not for this unit")


def test_unclear_reading_settled_by_a_person_is_taken() -> None:
    """What was unclear no longer holds back an override that a person has settled."""
    applies = Applies(unclear=("not all units are involved",))
    by_rule = note("N 1", "2001-01-01", override("delete", "5"), applies=applies)
    by_person = note("N 1", "2001-01-01", override("delete", "5", settled_by="MK"), applies=applies)
    assert _effective(by_rule).text == STEP.text
    assert _effective(by_person).text is None


def test_two_notes_of_one_date_that_differ_warn() -> None:
    """Two different replacements of one date: the higher number is followed, and it is told."""
    found = _effective(
        note("N 2", "2001-01-01", override("replace", "5", text="B.")),
        note("N 10", "2001-01-01", override("replace", "5", text="A.")),
    )
    assert found.text == "A." and "same date" in found.warnings[0]


def test_later_revision_of_a_note_takes_the_earlier_ones_place() -> None:
    """Of a note held in two revisions only the newest counts, even where it leaves a step alone."""
    found = _effective(
        note("N 1", "2001-01-01", override("delete", "5"), revision="A"),
        note("N 1", "2002-01-01", override("caution", "5", text="Mind the seal."), revision="B"),
    )
    assert found.text == STEP.text and _why(found) == {"N 1": "later revision B of N 1"}


def test_without_a_unit_a_narrower_replacement_does_not_end_a_wider_one() -> None:
    """With no unit meant, a later note for some serials leaves the earlier one in force for the others."""
    shelf = FakeShelf(
        [BOOK],
        [
            note("N 1", "2001-01-01", override("replace", "5", text="A.")),
            note("N 2", "2002-01-01", override("replace", "5", text="B."), applies=Applies(serial_from="9")),
            note("N 3", "2003-01-01", override("replace", "5", text="C."), applies=Applies(serial_from="5")),
        ],
    )
    overrides = shelf.overrides("RX 40")
    found = in_force(STEP, overrides, None, background(shelf, overrides))
    assert found.text == "C." and [o.note for o in found.applied] == ["N 1", "N 3"]
    assert _why(found) == {"N 2": "later note N 3"}


@pytest.mark.parametrize(("text", "kind"), [("NOTE - Mind it", "NOTE"), ("Mind the warning", "CAUTION")])
def test_caution_takes_its_kind_from_its_first_word(text: str, kind: str) -> None:
    """A caution opens with its kind, else it is a CAUTION."""
    assert notice_of(text).kind == kind


ACTIONS = st.sampled_from(["replace", "delete", "change-value", "insert-after", "caution"])
MADE = st.lists(
    st.tuples(
        ACTIONS,
        st.integers(0, 3),
        st.sampled_from(["settled", "settled", "doubtful"]),
        st.sampled_from([None, "300", "600"]),
        st.sampled_from(["90 Nm", "7 Nm", "8 Nm"]),
    ),
    max_size=7,
)


def _made(number: int, made: tuple) -> Override:
    action, year, standing, serial, value = made
    o = override(action, "5", text=f"Words {number} with {value}.", was=value, now="8 Nm", standing=standing)
    dated = note(f"N {number}", f"200{year}-01-01", o, applies=Applies(serial_from=serial))
    found = dated.statements[0]
    assert isinstance(found, Override)
    return found


@given(MADE, st.randoms(use_true_random=False), st.sampled_from([None, "500"]))
def test_order_of_adding_notes_does_not_matter(made, chance: random.Random, serial: str | None) -> None:
    """Whatever the notes, the step in force is the same in whatever order they were added."""
    overrides = [_made(i, m) for i, m in enumerate(made)]
    case = Case(Unit("K7", serial))
    known = background(FakeShelf([BOOK]), overrides)
    first = in_force(STEP, overrides, case, known)
    chance.shuffle(overrides)
    assert in_force(STEP, overrides, case, known) == first


@given(MADE, st.sampled_from([None, "500"]))
def test_every_override_is_applied_or_left_out_with_a_reason(made, serial: str | None) -> None:
    """No override is lost: each is applied or left out with a reason, never both; doubtful ones never
    apply."""
    overrides = {_made(i, m) for i, m in enumerate(made)}
    found = in_force(
        STEP, overrides, Case(Unit("K7", serial)), background(FakeShelf([BOOK]), tuple(overrides))
    )
    left = [x.override for x in found.left_out]
    assert sorted(map(hash, [*found.applied, *left])) == sorted(map(hash, overrides))
    assert all(x.why for x in found.left_out)
    assert not any(o.standing == "doubtful" for o in found.applied)

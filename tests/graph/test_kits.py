"""An arrived kit against the notes and the manual."""

from dataclasses import replace

import pytest
from benchleaf.graph.kits.kit import Received, kit_answer, parse_got
from benchleaf.graph.model import Applies, KitLine
from fake_shelf import FakeShelf, became, cancels, contains, lines, manual, note, override
from hypothesis import given, settings
from hypothesis import strategies as st

FRICTION_ENDS = "Stack 11 friction discs and 10 steel discs in turn, a friction disc first and last."
STEEL_ENDS = "Stack 11 friction discs and 12 steel discs in turn, a steel disc first and last."
BOOK = manual({"4-12": [("5", FRICTION_ENDS), ("6", "Tighten the pump screws to 9 Nm.")]})
SWAP = became("7001-01", "7001-02", quote="kit 7001-02 replaces kit 7001-01")
LISTED = contains("7001-02", lines(friction_disc=11, steel_disc=12), lines(friction_disc=11, steel_disc=10))
STEP = override("replace", "5", text=STEEL_ENDS)
NAMES = st.sampled_from(["friction disc", "steel disc", "seal ring", "retaining ring", "wave spring"])
WHOLE = note("N 1", "2001-01-01", SWAP, LISTED, STEP)


def _kit(got: str, *notes, kit: str = "7001-02", books=(BOOK,), **unit):
    return kit_answer(FakeShelf(books, notes), kit, parse_got(got), **unit)


def test_changed_kit_with_its_note_is_explained() -> None:
    """What the newest note lists, with the step it brings in force, is explained and not held."""
    answer = _kit("11 friction disc, 12 steel disc", WHOLE)
    assert (answer.verdict, answer.hold) == ("explained", False)
    assert [(x.description, x.expected, x.received, x.difference, x.because) for x in answer.lines] == [
        ("friction disc", 11, 11, 0, ()),
        ("steel disc", 12, 12, 0, ("N 1",)),
    ]
    assert answer.pack is not None and answer.pack.fits is True
    order = answer.pack.procedure_order
    assert order is not None and (order.first, order.last, order.item) == ("steel", "steel", "5")
    assert [(s.publication, s.page, s.item, s.note) for s in answer.steps] == [("RX 40", "4-12", "5", "N 1")]


def test_missing_note_on_the_order_holds_the_kit() -> None:
    """The contents are explained, but the step in force cannot be stacked from them: hold, with the
    arithmetic."""
    answer = _kit("11 friction disc, 12 steel disc", note("N 1", "2001-01-01", SWAP, LISTED))
    assert (answer.verdict, answer.hold) == ("explained", True)
    assert answer.pack is not None and answer.pack.fits is False
    assert any(
        "can only stack with a steel plate first and last" in r and "ask the maker" in r
        for r in answer.reasons
    )


@pytest.mark.parametrize("got", ["11 friction disc, 10 steel disc", "11 friction disc, 13 steel disc",
                                 "11 friction disc, 0 steel disc", "11 friction disc",
                                 "11 friction disc, 12 steel disc, 1 gasket"])  # fmt: skip
def test_over_short_unlisted_and_uncounted_plates_are_unexplained(got: str) -> None:
    """Short, over, none, not counted, not listed: each is unexplained and holds the kit."""
    answer = _kit(got, WHOLE)
    assert (answer.verdict, answer.hold) == ("unexplained", True) and answer.reasons


def test_old_contents_in_the_new_box_are_recognised() -> None:
    """If the plates that came are those of before, the reason says so."""
    answer = _kit("11 friction disc, 10 steel disc", WHOLE)
    assert any("those of before" in r for r in answer.reasons)


def test_small_line_not_counted_does_not_hold() -> None:
    """A seal that the person did not count is named, not held; counted as none it is a shortage."""
    listed = contains("7001-02", lines(friction_disc=11, steel_disc=12, seal_ring=2))
    told = note("N 1", "2001-01-01", SWAP, listed, STEP)
    answer = _kit("11 friction disc, 12 steel disc", told)
    assert answer.verdict in ("as-listed", "explained") and not answer.hold
    assert answer.lines[2].received is None and answer.lines[2].difference is None
    assert any("not counted: 2 seal ring" in r for r in answer.reasons)
    assert _kit("11 friction disc, 12 steel disc, 0 seal ring", told).verdict == "unexplained"


def test_kit_as_the_manual_has_it_is_as_listed() -> None:
    """Contents without any change, and a step that uses just those, are as listed."""
    listed = contains("7001-02", lines(friction_disc=11, steel_disc=10))
    answer = _kit("11 friction disc, 10 steel disc", note("N 1", "2001-01-01", listed), model="K7")
    assert (answer.verdict, answer.hold) == ("as-listed", False)
    assert answer.pack is not None and answer.pack.fits is True


def test_unknown_kit_is_not_known_with_near_numbers() -> None:
    """A kit no paper names is not known, held, and near numbers are offered."""
    answer = _kit("11 friction disc", WHOLE, kit="7OO1-02")
    assert (answer.verdict, answer.hold, answer.near) == ("not-known", True, ("7001-02",))


def test_no_word_on_contents_compares_with_the_kit_before() -> None:
    """Without settled contents the predecessor's count: equal is as listed, different is unexplained."""
    notes = (
        note("N 1", "2001-01-01", contains("7001-02", lines(friction_disc=11, steel_disc=10))),
        note("N 2", "2002-01-01", became("7001-02", "7001-03")),
    )
    same = _kit("11 friction disc, 10 steel disc", *notes, kit="7001-03")
    assert same.verdict == "as-listed" and any("7001-02 before it" in r for r in same.reasons)
    assert _kit("11 friction disc, 12 steel disc", *notes, kit="7001-03").verdict == "unexplained"


def test_no_word_at_all_compares_with_the_step_that_names_the_kit() -> None:
    """A kit that only a step of the manual names is compared with that step's counts."""
    book = manual({"4-12": [("5", "From kit 7001-02: " + FRICTION_ENDS)]})
    assert _kit("11 friction disc, 10 steel disc", books=(book,)).verdict == "as-listed"
    answer = _kit("11 friction disc, 12 steel disc", books=(book,))
    assert answer.verdict == "unexplained" and answer.pack is not None and answer.pack.fits is False


def test_only_doubtful_contents_hold() -> None:
    """If all that is held on the contents is doubtful, the kit is held and the doubt named."""
    doubtful = contains(
        "7001-02", lines(friction_disc=11, steel_disc=12), standing="doubtful", why=("a question",)
    )
    answer = _kit("11 friction disc, 12 steel disc", note("N 1", "2001-01-01", doubtful))
    assert (answer.verdict, answer.hold) == ("unexplained", True)
    assert any("doubtful" in r and "a question" in r for r in answer.reasons)


def test_doubtful_contents_hold_even_where_the_kit_before_agrees() -> None:
    """A doubtful word on this kit holds it, although what came is just what the kit before contained."""
    notes = (
        note("N 1", "2001-01-01", contains("7001-02", lines(friction_disc=11, steel_disc=10))),
        note(
            "N 2",
            "2002-01-01",
            became("7001-02", "7001-03"),
            contains("7001-03", lines(friction_disc=11, steel_disc=12), standing="doubtful"),
        ),
    )
    assert _kit("11 friction disc, 10 steel disc", *notes, kit="7001-03").verdict == "unexplained"


def test_two_changed_steps_of_the_same_counts_must_both_fit() -> None:
    """Of two pack steps with just the kit's counts one that cannot be stacked is enough to hold."""
    wrong = "Stack 11 friction discs and 12 steel discs in turn, a friction disc first and last."
    two = manual({"4-12": [("5", FRICTION_ENDS), ("6", FRICTION_ENDS)]})
    told = note("N 1", "2001-01-01", SWAP, LISTED, STEP, override("replace", "6", text=wrong))
    assert _kit("11 friction disc, 12 steel disc", told, books=(two,)).hold


def test_contents_of_a_cancelled_note_still_count() -> None:
    """A cancelled note's word on what is in the box counts and is told; its step does not: hold for the
    order."""
    answer = _kit("11 friction disc, 12 steel disc", WHOLE, note("N 2", "2002-01-01", cancels("N 1")))
    assert answer.verdict == "explained" and any("cancelled by N 2" in r for r in answer.reasons)
    assert answer.hold and answer.pack is not None and answer.pack.fits is False


def test_newest_word_wins() -> None:
    """Of two notes on one kit's contents the later counts."""
    later = note("N 0", "2005-01-01", contains("7001-02", lines(friction_disc=9, steel_disc=10)))
    assert _kit("9 friction disc, 10 steel disc", WHOLE, later).verdict == "explained"
    assert _kit("11 friction disc, 12 steel disc", WHOLE, later).verdict == "unexplained"


def test_contradicting_words_of_one_date_hold() -> None:
    """Two settled lists of one date that differ in plates are unexplained."""
    other = note("N 3", "2001-01-01", contains("7001-02", lines(friction_disc=9, steel_disc=10)))
    answer = _kit("9 friction disc, 10 steel disc", WHOLE, other)
    assert answer.verdict == "unexplained" and any("list 7001-02 differently" in r for r in answer.reasons)


def test_part_that_superseded_the_listed_one_is_explained() -> None:
    """A line that came under its successor's number is explained by that note; a stranger's number is not."""
    listed = contains("7001-02", [KitLine("4410-21", "seal ring", 2)])
    notes = (note("N 1", "2001-01-01", listed), note("N 2", "2003-01-01", became("4410-21", "4410-35")))
    answer = _kit("2 x 4410-35 seal ring", *notes)
    assert answer.verdict == "explained" and answer.lines[0].because == ("N 1", "N 2")
    strange = _kit("2 x 4410-22 seal ring", *notes)
    assert strange.verdict == "unexplained" and any("no note held links" in r for r in strange.reasons)


def test_note_with_a_serial_range_counts_without_a_serial() -> None:
    """A kit is checked before the unit is opened: the note's step counts, and for which units is told."""
    limited = note(
        "N 1", "2001-01-01", SWAP, LISTED, STEP, applies=Applies(models=("K7",), serial_from="400")
    )
    answer = _kit("11 friction disc, 12 steel disc", limited)
    assert not answer.hold and any("serial from 400" in r for r in answer.reasons)
    other = _kit("11 friction disc, 12 steel disc", limited, model="K7", serial="20")
    assert other.hold and any("not for this unit" in r for r in other.reasons)


def test_weak_link_holds_only_if_no_candidate_fits() -> None:
    """Steps linked only by the counts of before: one that can be stacked is enough, none holds the kit."""
    told = note("N 1", "2001-01-01", SWAP, LISTED)
    silent = "Stack 11 friction discs and 10 steel discs in turn, a steel disc first."
    two = manual({"4-12": [("5", FRICTION_ENDS)], "5-1": [("1", silent)]})
    assert _kit("11 friction disc, 12 steel disc", told, books=(two,)).pack.fits is not False
    both = manual({"4-12": [("5", FRICTION_ENDS)], "5-1": [("1", FRICTION_ENDS)]})
    assert _kit("11 friction disc, 12 steel disc", told, books=(both,)).hold


def test_previous_count_of_one_kind_only() -> None:
    """“12 steel discs, previously 10” finds the step of 11 and 10: what is not told to have changed
    stayed."""
    partly = contains("7001-02", lines(friction_disc=11, steel_disc=12), lines(steel_disc=10))
    answer = _kit("11 friction disc, 12 steel disc", note("N 1", "2001-01-01", partly))
    assert answer.hold and answer.pack is not None and answer.pack.fits is False


@settings(max_examples=60)
@given(
    st.dictionaries(NAMES, st.integers(1, 14), min_size=1, max_size=4),
    st.data(),
)
def test_any_difference_is_unexplained_and_none_is_not(listed: dict[str, int], data: st.DataObject) -> None:
    """For any list: what came as listed is never unexplained; one line over, short or extra always is, and
    holds."""
    told = note("N 1", "2001-01-01", contains("7005-02", [KitLine(None, n, q) for n, q in listed.items()]))
    got = [Received(n, q) for n, q in listed.items()]
    shelf = FakeShelf([BOOK], [told])
    assert kit_answer(shelf, "7005-02", got).verdict in ("as-listed", "explained")
    at = data.draw(st.integers(0, len(got)))
    change = data.draw(st.integers(1, 5))
    extra = [Received("name plate", change)] if at == len(got) else []
    wrong = [replace(g, quantity=(g.quantity or 0) + change) if i == at else g for i, g in enumerate(got)]
    answer = kit_answer(shelf, "7005-02", [*wrong, *extra])
    assert answer.verdict == "unexplained" and answer.hold


def test_kit_replaced_meanwhile_is_told() -> None:
    """An old kit is judged by its own contents, and the reason names what replaced it."""
    before = note("N 0", "2000-01-01", contains("7001-01", lines(friction_disc=11, steel_disc=10)))
    answer = _kit("11 friction disc, 10 steel disc", before, WHOLE, kit="7001-01")
    assert answer.verdict == "as-listed" and not answer.hold
    assert any("replaced by 7001-02" in r for r in answer.reasons)


def test_kit_without_a_linked_step_is_told() -> None:
    """Where no step is tied to the kit the order is not judged: the arithmetic and the gap are told."""
    listed = contains("7005-02", lines(friction_disc=4, steel_disc=5))
    answer = _kit("4 friction disc, 5 steel disc", note("N 1", "2001-01-01", listed), kit="7005-02")
    assert answer.pack is not None and answer.pack.fits is None and not answer.hold
    assert any("no pack step held is tied" in r and "steel plate first and last" in r for r in answer.reasons)


def test_counts_that_cannot_alternate_are_told() -> None:
    """Counts apart by two cannot alternate: said, and no order offered."""
    listed = contains("7001-02", lines(friction_disc=10, steel_disc=12))
    answer = _kit("10 friction disc, 12 steel disc", note("N 1", "2001-01-01", listed))
    assert answer.pack is not None and answer.pack.orders == ()
    assert any("cannot alternate" in r for r in answer.reasons)


def test_doubtful_reading_on_the_pack_step_is_named() -> None:
    """A doubtful override of the pack step is named with its id."""
    doubtful = note("N 7", "2003-01-01", override("replace", "5", text="X.", standing="doubtful"))
    answer = _kit("11 friction disc, 12 steel disc", WHOLE, doubtful)
    assert any("doubtful readings" in r and "4" in r for r in answer.reasons)

"""Applicability: does a statement hold for this unit, and on what does it depend."""

import datetime as dt

import pytest
from benchleaf.graph.applicability import Unit, apart, contains, covers, serial_order, words
from benchleaf.graph.model import Applies
from hypothesis import given
from hypothesis import strategies as st

NUMBERS = st.integers(1, 99999)


def test_no_bounds_covers_every_unit() -> None:
    """A statement that names no units holds for all, known or unknown."""
    assert covers(Applies(), Unit()).answer == "yes"


@pytest.mark.parametrize("typed", ["K 7-B", "k7b", "K7.B"])
def test_models_compare_by_key(typed: str) -> None:
    """A model may be typed with or without separators, in either case."""
    assert covers(Applies(models=("K7-B",)), Unit(typed)).answer == "yes"


def test_other_model_is_not_covered_even_if_it_begins_alike() -> None:
    """K7 and K7B are different models: common practice, no source."""
    assert covers(Applies(models=("K7",)), Unit("K7B", "1")).answer == "no"


def test_unknown_model_depends_on_model() -> None:
    """With models named and none known, the answer depends on the model."""
    assert covers(Applies(models=("K7",)), Unit()).on == ("model",)


def test_unknown_serial_depends_on_serial_unless_the_model_decides() -> None:
    """An unknown serial leaves it open; a wrong model settles it whatever the serial."""
    applies = Applies(models=("K7",), serial_from="100")
    assert covers(applies, Unit("K7")).on == ("serial",)
    assert covers(applies, Unit("K9")).answer == "no"


@given(NUMBERS, NUMBERS, NUMBERS)
def test_numeric_range_equals_integer_comparison(low: int, high: int, serial: int) -> None:
    """For plain numbers, leading zeros or not, a range covers just the integers between its bounds,
    inclusive."""
    applies = Applies(serial_from=str(low), serial_to=f"{high:07d}")
    expected = "yes" if low <= serial <= high else "no"
    assert covers(applies, Unit(serial=f"{serial:06d}")).answer == expected


@given(st.sampled_from(["A", "AB", "98-"]), NUMBERS, NUMBERS)
def test_prefixed_serials_compare_within_their_series(prefix: str, one: int, other: int) -> None:
    """Serials with one prefix compare by their number."""
    assert serial_order(f"{prefix}{one}", f"{prefix}{other}") == (one > other) - (one < other)


@given(NUMBERS, NUMBERS)
def test_serials_of_different_series_are_not_guessed(one: int, other: int) -> None:
    """A bound of another series makes the answer depend on the serial, never yes or no."""
    assert covers(Applies(serial_from=f"A{one}"), Unit(serial=f"B{other}")).answer == "depends"
    assert covers(Applies(serial_from=f"{one}"), Unit(serial=f"B{other}")).answer == "depends"


def test_serial_typed_without_its_separator() -> None:
    """A serial may be typed without its hyphen, or with blanks between thousands."""
    assert serial_order("981234", "98-1000") == 1
    assert serial_order("12 345", "12345") == 0
    assert serial_order("12 345", "9999") == 1


def test_excepted_serials_models_and_runs() -> None:
    """What is excepted is not covered: a model, a serial, a run of serials with an en dash."""
    applies = Applies(serial_from="100", serial_to="900", excepted=("150", "200\u2013210", "K9"))
    answers = [
        covers(applies, Unit("K7", s)).answer for s in ("149", "150", "199", "200", "205", "210", "211")
    ]
    assert answers == ["yes", "no", "yes", "no", "no", "no", "yes"]
    assert covers(applies, Unit("K9", "500")).answer == "no"


def test_excepted_model_does_not_depend_on_the_serial() -> None:
    """All models except one: another model is covered without knowing its serial."""
    assert covers(Applies(excepted=("K7-B",)), Unit("K7")).answer == "yes"
    assert covers(Applies(excepted=("10450",)), Unit("K7")).on == ("serial",)


def test_build_dates_are_inclusive_and_depend_when_unknown() -> None:
    """Built from and to include their days; without a date of build it depends."""
    applies = Applies(built_from=dt.date(2001, 3, 1), built_to=dt.date(2001, 3, 31))
    assert covers(applies, Unit(built=dt.date(2001, 3, 31))).answer == "yes"
    assert covers(applies, Unit(built=dt.date(2001, 4, 1))).answer == "no"
    assert covers(applies, Unit()).on == ("build date",)


def test_unsure_bound_matters_only_at_the_bound() -> None:
    """“Prior to 500”, inclusive or not, leaves only units at the bound in doubt."""
    doubt = "prior to 500: it is not said whether 500 is included"
    applies = Applies(serial_to="499", unclear=(doubt,))
    assert covers(applies, Unit(serial="300")).answer == "yes"
    assert [covers(applies, Unit(serial=s)).answer for s in ("498", "499", "500")] == ["depends"] * 3
    assert covers(applies, Unit(serial="501")).answer == "no"
    assert covers(applies, Unit(serial="700")).answer == "no"


def test_not_all_units_involved_depends() -> None:
    """“Not all units involved” leaves every covered unit in doubt, wherever it stands in the range."""
    applies = Applies(
        serial_from="1", serial_to="900", unclear=("within the range, not all units are involved",)
    )
    assert covers(applies, Unit(serial="300")).answer == "depends"


@given(st.tuples(NUMBERS, NUMBERS), st.tuples(NUMBERS, NUMBERS), NUMBERS)
def test_contained_and_apart_agree_with_membership(
    one: tuple[int, int], other: tuple[int, int], serial: int
) -> None:
    """A unit of a contained range is in the containing one; a unit is in only one of two ranges apart."""
    wide, narrow = (Applies(serial_from=str(a), serial_to=str(b)) for a, b in (sorted(one), sorted(other)))
    unit = Unit(serial=str(serial))
    if contains(wide, narrow) and covers(narrow, unit).answer == "yes":
        assert covers(wide, unit).answer == "yes"
    if apart(wide, narrow):
        assert "yes" not in (covers(wide, unit).answer,) or covers(narrow, unit).answer == "no"


def test_containment_by_models_and_open_bounds() -> None:
    """All units contain any range; a range never contains all units; fewer models are contained in more."""
    bounded = Applies(models=("K7",), serial_from="10")
    assert contains(Applies(), bounded) and not contains(bounded, Applies())
    assert contains(Applies(models=("K7", "K9")), bounded)
    assert not contains(Applies(models=("K9",)), bounded)
    assert apart(Applies(models=("K9",)), bounded)


def test_words_name_every_limit() -> None:
    """The plain words tell models, serials, build dates, exceptions and kits."""
    said = words(Applies(("K7",), "10", None, ("15",), None, dt.date(2001, 1, 2), ("44 10",)))
    assert said == "model K7; serial from 10; built up to 2001-01-02; except 15; with kit 44 10"

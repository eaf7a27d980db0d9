"""Changing one value inside a step's words."""

import time

import pytest
from benchleaf.graph.wording import swap
from hypothesis import given
from hypothesis import strategies as st


@pytest.mark.parametrize(
    ("text", "was", "now", "after"),
    [
        ("Tighten to 9 Nm.", "9 Nm", "11 Nm", "Tighten to 11 Nm."),
        ("First 9 Nm, then 19 Nm.", "9 Nm", "11 Nm", "First 11 Nm, then 19 Nm."),
        ("Limit 0,06 mm.", "0.06 mm", "0.08 mm", "Limit 0.08 mm."),
        ("Tighten to 9\u00a0Nm", "9Nm", "11 Nm", "Tighten to 11 Nm"),
        ("Tighten to 9 N·m.", "9 Nm", "11 Nm", "Tighten to 11 Nm."),
        ("Tighten to 9 Nm.", "9 Nm", "11", "Tighten to 11 Nm."),
        ("Use three screws.", "three", "four", "Use four screws."),
        ("2.5-3.6 mm", "2.5\u20133.6 mm", "2.7-3.8 mm", "2.7-3.8 mm"),
    ],
)
def test_value_is_changed_where_it_stands_whole(text: str, was: str, now: str, after: str) -> None:
    """Blanks, a decimal comma and the spelling of the newton metre do not matter; a bare number keeps the
    unit."""
    assert swap(text, was, now).text == after


@pytest.mark.parametrize(
    ("text", "was"),
    [
        ("Tighten to 19 Nm.", "9 Nm"),
        ("Tighten to 9.5 Nm.", "9"),
        ("Tighten to 9 Nm/s.", "9 Nm"),
        ("Cool to -5 °C.", "5 °C"),
        ("Fit gasket 229 591 30 dry.", "30"),
        ("Fit gasket 4410-21 dry.", "21"),
        ("Use bolt M10.", "10"),
        ("Use drift T-785.", "785"),
        ("First 9 Nm, then 9 Nm.", "9 Nm"),
    ],
)
def test_value_inside_another_or_standing_twice_is_left(text: str, was: str) -> None:
    """No change inside a longer value, a part number, a thread size, after a sign; nor where two could be
    meant."""
    changed = swap(text, was, "77")
    assert changed.text is None and was in changed.why


def test_value_already_there_is_said() -> None:
    """If the new value stands there already, the reason says so."""
    assert "already" in swap("Tighten to 11 Nm.", "9 Nm", "11 Nm").why


@given(st.integers(1, 999), st.integers(1, 999), st.integers(1, 999))
def test_only_the_value_changes(one: int, other: int, new: int) -> None:
    """Of two different values only the one asked for changes; of two equal ones none."""
    changed = swap(f"First {one} Nm, then {other} Nm.", f"{one} Nm", f"{new} Nm").text
    assert changed == (None if one == other else f"First {new} Nm, then {other} Nm.")


def test_hostile_text_is_quick() -> None:
    """Twenty kilobytes of digits and blanks are no trap: well under a second for two swaps."""
    hostile = "9 " * 5000 + "9" * 10000
    started = time.process_time()
    swap(hostile, "9 Nm", "11 Nm")
    swap(hostile, "9", "11")
    assert time.process_time() - started < 0.5

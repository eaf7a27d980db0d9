import pytest
from benchleaf.graph.quantities.amount import read_amount
from benchleaf.graph.quantities.judge import Judged, judge
from benchleaf.graph.quantities.reading import read_quantities
from benchleaf.graph.quantities.which import narrowed
from hypothesis import given
from hypothesis import strategies as st


def held(measured: str, text: str) -> Judged:
    (quantity,) = read_quantities(text)
    return judge(read_amount(measured), quantity)


@pytest.mark.parametrize(
    ("measured", "text", "verdict", "by"),
    [
        ("1.35 mm", "1.2 to 1.6 mm", "within", 0.0),
        ("1.6 mm", "1.2 to 1.6 mm", "within", 0.0),
        ("1.7 mm", "1.2 to 1.6 mm", "above", 0.1),
        ("1.1 mm", "1.2 to 1.6 mm", "below", 0.1),
        (".053 in", "1.2 to 1.6 mm", "within", 0.0),
        (".070 in", "1.2 to 1.6 mm", "above", 0.007008),
        ("0.31 mm", "not more than 0.3 mm", "above", 0.01),
        ("4 bar", "min. 5 bar", "below", 1.0),
        ("31 Nm", "tighten to 31 N·m", "within", 0.0),
        ("30 Nm", "tighten to 31 N·m", "in doubt", 1.0),
        ("23 lbf ft", "tighten to 31 N·m", "within", 0.0),
        ("2 bar", "tighten to 31 N·m", "not said", 0.0),
        ("1.5 to 1.7 mm", "1.2 to 1.6 mm", "in doubt", 0.1),
        ("max 1.5 mm", "1.2 to 1.6 mm", "in doubt", 0.0),
        ("3 pints", "2 to 4 pints", "in doubt", 0.0),
        ("46 lb", "load 200 to 210 N", "within", 0.0),
        ("250 °F", "110 °C to 120 °C", "above", 2.0),
    ],
)
def test_a_measured_value_against_a_printed_one(measured: str, text: str, verdict: str, by: float) -> None:
    """Bounds count as within; one value without tolerance is "within" only to its last printed digit, and
    everything else about it is in doubt; what is off is told in the measured unit."""
    found = held(measured, text)
    assert (found.verdict, found.by) == (verdict, pytest.approx(by, abs=1e-4))
    assert bool(found.why) == (verdict == "in doubt")


def test_a_limit_within_the_rounding_of_the_conversion() -> None:
    """.063 in is 1.6002 mm, but stands for anything from .0625 to .0635: against 1.6 mm it is in doubt."""
    found = held(".063 in", "1.2 to 1.6 mm")
    assert found.verdict == "in doubt"
    assert "limit" in found.why[0]


def test_the_unit_measured_in_decides_where_it_is_printed() -> None:
    """With mm and inches printed, a value in inches is judged by the printed inches."""
    assert held(".063 in", "1.2 to 1.6 mm (.047 to .063 in)").verdict == "within"


def test_two_printed_units_at_odds() -> None:
    """Where the two printed units contradict each other and judge differently, nothing is settled."""
    found = held("75 lbf ft", "80 to 95 N·m (59 to 80 lbf·ft)")
    assert found.verdict == "in doubt"
    assert "disagree" in " ".join(found.why)
    assert held("65 lbf ft", "80 to 95 N·m (59 to 80 lbf·ft)").verdict == "within"


def test_a_condition_judges_nothing() -> None:
    """ "If it is more than 0.3 mm" gives no range: in doubt, never within."""
    assert held("0.5 mm", "If the gap is more than 0.3 mm, renew").verdict == "in doubt"


@given(st.floats(1, 100), st.floats(0.1, 50), st.floats(-20, 200))
def test_verdicts_follow_the_bounds(low: float, width: float, measured: float) -> None:
    """Below, within and above are where the numbers are."""
    low, high, measured = round(low, 2), round(low + width, 2), round(abs(measured), 2)
    found = held(f"{measured:.2f} mm", f"{low:.2f} to {high + 0.01:.2f} mm")
    high = round(high + 0.01, 2)
    expected = "below" if measured < low else "above" if measured > high else "within"
    assert found.verdict == expected


def test_words_narrow_the_values() -> None:
    """The value behind the words is meant, else the one before them in the same sentence."""
    text = "Tighten the cover screws to 25 N·m and the plug to 40 N·m. Apply 60 N·m to the nut."
    read = read_quantities(text)
    assert [q.nominal for q in narrowed(text, read, "cover screw")] == [25]
    assert [q.nominal for q in narrowed(text, read, "PLUG")] == [40]
    assert [q.nominal for q in narrowed(text, read, "nut")] == [60]
    assert narrowed(text, read, "flange") == ()

import pytest
from benchleaf.graph.quantities.pairs import disagreements
from benchleaf.graph.quantities.reading import read_quantities
from benchleaf.graph.quantities.units import convert
from hypothesis import assume, given
from hypothesis import strategies as st

UNITS = [("N·m", "lbf·ft"), ("kPa", "psi"), ("mm", "in"), ("bar", "psi"), ("N", "lbf"), ("kgf·m", "N·m")]


def wrong(text: str) -> int:
    return len(disagreements(read_quantities(text)))


@pytest.mark.parametrize(
    "text",
    [
        "29 N·m (21 lbf·ft)",
        "29 N·m (22 lbf·ft)",
        "80-95 N·m (59-70 lbf·ft)",
        "120 °C (250 °F)",
        "0.35 mm (.014 in)",
        "2 l (3.5 pints)",
        "2 l (4.2 pints)",
        "max. 5 bar (73 psi)",
        "10±1 N·m (7.4±0.7 lbf·ft)",
        "45 lb (200 N)",
    ],
)
def test_rounded_pairs_agree(text: str) -> None:
    """Rounded, cut-off and handy figures of a second unit pass; 29 N·m is 21.4 lbf·ft, printed 21 or 22
    (factor: NIST SP 811, 2008, Appendix B)."""
    assert wrong(text) == 0


@pytest.mark.parametrize(
    "text",
    [
        "29 N·m (24 lbf·ft)",
        "2 bar (20 psi)",
        "80-95 N·m (59-75 lbf·ft)",
        "0.35 mm (.018 in)",
        "120 °C (260 °F)",
        "350 kPa (60 psi)",
        "80-95 N·m (80 lbf·ft)",
    ],
)
def test_what_cannot_be_one_value(text: str) -> None:
    """A second figure that no rounding explains is told."""
    assert wrong(text) == 1


def test_the_words_tell_both_figures() -> None:
    """The message says what the one is in the other's unit and what is printed."""
    (found,) = disagreements(read_quantities("80 N·m (75 lbf·ft)"))
    assert "80 N·m is 59 lbf·ft, but 75 lbf·ft is printed" in found.message
    assert (found.figure, found.printed) == (80, 75)
    assert found.converted == pytest.approx(59.0, abs=0.01)


def shown(value: float, digits: int) -> str:
    """A figure with so many significant digits, as a paper prints it."""
    from math import floor, log10

    places = max(0, digits - 1 - floor(log10(abs(value))))
    return f"{value:.{places}f}"


@given(st.sampled_from(UNITS), st.decimals("0.5", "900", places=2), st.integers(2, 4))
def test_a_rounded_second_unit_never_disagrees(units: tuple[str, str], figure: object, digits: int) -> None:
    """A value printed in a second unit and rounded to any sensible digits is no disagreement."""
    first, second = units
    value = float(str(figure))
    there = shown(convert(value, first, second), digits)
    assume(float(there) > 0)
    assert wrong(f"{figure} {first} ({there} {second})") == 0


@given(st.sampled_from(UNITS), st.decimals("100.0", "900", places=1), st.floats(0.08, 0.6), st.booleans())
def test_a_real_change_always_disagrees(
    units: tuple[str, str], figure: object, share: float, up: bool
) -> None:
    """A second figure of three digits or more that is off by over 8 % is always told."""
    first, second = units
    there = convert(float(str(figure)), first, second) * (1 + share if up else 1 - share)
    assert wrong(f"{figure} {first} ({shown(there, 4)} {second})") == 1

import time

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.quantities.amount import read_amount
from hypothesis import given
from hypothesis import strategies as st

TYPED = {
    "2.5 mm ±0.05": (2.45, 2.55, "mm"),
    "0,35 mm": (0.35, 0.35, "mm"),
    "2.5 +0.05/-0.02 mm": (2.48, 2.55, "mm"),
    "2.45..2.55 mm": (2.45, 2.55, "mm"),
    "2.45...2.55 mm": (2.45, 2.55, "mm"),
    "2.45 to 2.55 mm": (2.45, 2.55, "mm"),
    "between 2 and 3 mm": (2, 3, "mm"),
    "max. 0.3 mm": (None, 0.3, "mm"),
    "0.3 mm max": (None, 0.3, "mm"),
    "not more than 0.3 mm": (None, 0.3, "mm"),
    "min 5 bar": (5, None, "bar"),
    "5 bar min.": (5, None, "bar"),
    "at least 5 bar": (5, None, "bar"),
    "5 bar or more": (5, None, "bar"),
    ".098 in": (0.098, 0.098, "in"),
    "1/8 in": (0.125, 0.125, "in"),
    "1-1/2 in": (1.5, 1.5, "in"),
    "1 1/2 in": (1.5, 1.5, "in"),
    "1½ in": (1.5, 1.5, "in"),
    '1/2"': (0.5, 0.5, "in"),
    "20-25 Nm": (20, 25, "N·m"),
    "20 +/- 2 Nm": (18, 22, "N·m"),
    "20+/-2Nm": (18, 22, "N·m"),
    "2.5 -0.05 mm": (2.45, 2.5, "mm"),
    "-0.05 to +0.05 mm": (-0.05, 0.05, "mm"),
    "−10 °C": (-10, -10, "°C"),
    "100 C": (100, 100, "°C"),
    "1 250 rpm": (1250, 1250, "rpm"),
}


@pytest.mark.parametrize("typed", TYPED)
def test_what_a_person_types(typed: str) -> None:
    """Ranges, tolerances, limits, fractions and decimal commas are read as typed."""
    low, high, unit = TYPED[typed]
    read = read_amount(typed)
    assert (read.low, read.high, read.unit) == (pytest.approx(low), pytest.approx(high), unit)
    assert read.printed == typed


def test_the_unit_given_beside() -> None:
    """Without a unit in the words the given one holds; with none at all the remedy says how to write it."""
    assert read_amount("2.5", "in").unit == "in"
    assert read_amount("2.5 mm", "in").unit == "mm"
    with pytest.raises(WrongUse) as refusal:
        read_amount("2.5")
    assert "2.5 mm" in refusal.value.remedy


@pytest.mark.parametrize(
    "typed", ["", "about", "2 mm 3 mm", "three", "2.5 mm and 8 bar", "1,250 mm", "2.5 xx"]
)
def test_what_cannot_be_one_value(typed: str) -> None:
    """Two values, no figure, words left over or a comma that may part thousands are refused."""
    with pytest.raises(WrongUse):
        read_amount(typed, "mm")


@given(st.decimals("0.001", "900", places=3), st.sampled_from(["mm", "Nm", "bar", "°C"]))
def test_any_figure_is_read_back(figure: object, unit: str) -> None:
    """A printed figure with its unit is read as that figure."""
    read = read_amount(f"{figure} {unit}")
    assert read.nominal == pytest.approx(float(str(figure)))


@given(st.text(max_size=60))
def test_any_words_give_a_value_or_wrong_use(words: str) -> None:
    """Whatever is typed ends in an amount or in WrongUse."""
    try:
        assert read_amount(words, "mm").unit
    except WrongUse as refusal:
        assert refusal.remedy


def test_noise_around_a_value_is_read_at_once() -> None:
    """Words like "approx." can be taken two ways each; a row of them takes no time all the same."""
    begun = time.process_time()
    with pytest.raises(WrongUse):
        read_amount("approx." * 27 + "X 2.5 mm")
    assert time.process_time() - begun < 1.0

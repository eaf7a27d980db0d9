import time
from pathlib import Path

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.quantities.units import OWN_UNITS, convert, load, packaged, scaled
from hypothesis import given
from hypothesis import strategies as st

SPELLINGS = {
    "N·m": "Nm N·m N.m N-m N×m Nm. NM|Newton metres|N m",
    "lbf·ft": "lbf·ft lb-ft ft-lb ft-lbs ft.lb ft.lbs. lbs-ft|lbf ft|lb. ft.|foot pounds|Ibf ft",
    "lbf·in": "lb-in in-lb in.lbs lbf·in in-lbs|lb in|inch-pounds|in. lbs.",
    "kgf·m": "kgf·m kg-m kgm kpm mkp kp·m m·kg m.kg kg.m",
    "kgf·cm": "kgf·cm kg-cm kp·cm|kgf cm",
    "daN·m": "daNm m.daN daN·m",
    "mm": "mm millimetres millimeter MM",
    "in": 'in in. inch inches " ″',
    "thou": "thou mil mils",
    "µm": "µm μm um micron",
    "kPa": "kPa KPA",
    "MPa": "MPa N/mm²",
    "psi": "psi PSI p.s.i. lb/in² lbf/in² lb/in2 lbs/sq.in.|lb per sq in|lb/sq. in.",
    "kgf/cm²": "kgf/cm² kp/cm² kg/cm² kg/cm2 atü",
    "inHg": "inHg|in Hg|in. Hg",
    "mmHg": "mmHg|mm Hg",
    "°C": "°C ºC C degC|deg C|° C|degrees C|degrees Celsius",
    "°F": "°F F|deg F",
    "N": "N newtons",
    "kN": "kN",
    "lbf": "lbf",
    "kgf": "kgf kp",
    "°": "° deg degrees",
    "l": "l L litre litres liter",
    "ml": "ml cc cm³ ccm",
    "pt": "pt pint pints",
    "US qt": "US-qt|US quart",
    "s": "s sec seconds",
    "min": "min mins minutes",
    "h": "h hrs hour",
    "rpm": "rpm r/min rev/min min-1 r.p.m.",
}


def test_spellings() -> None:
    """Every way in which papers print a unit comes to one unit (common practice, no source)."""
    wrong = []
    for name, row in SPELLINGS.items():
        first, *rest = row.split("|")
        for spelling in (*first.split(), *rest):
            found = packaged().find(spelling)
            if found is None or found.name != name:
                wrong.append((spelling, name, found))
    assert wrong == []


def test_every_unit_is_understood() -> None:
    """pint knows every expression of the table, and units of one kind turn into each other."""
    for unit in {u.name: u for u in packaged().by_spelling.values()}.values():
        first = next(u for u in packaged().by_spelling.values() if u.kind == unit.kind)
        there = scaled(7.0, unit, first)
        assert scaled(there, first, unit) == pytest.approx(7.0)


def test_a_unit_in_running_text_ends_at_a_word() -> None:
    """`mm` is not read out of `mmx`, and `lb in the tank` holds no torque."""
    assert packaged().at("mmx", 0) is None
    found = packaged().at("lb in the tank", 0)
    assert found is not None and found[0].name == "lb"


def test_a_pint_alone_is_not_converted() -> None:
    """A pint may be the US or the Imperial one: converting it is refused and the remedy names both."""
    with pytest.raises(WrongUse) as refusal:
        convert(1.0, "pint", "litre")
    assert "Imp pt" in refusal.value.remedy
    assert convert(1.0, "US pint", "l") == pytest.approx(0.473176473)  # NIST SP 811 (2008), B.8
    assert convert(1.0, "Imp pt", "l") == pytest.approx(0.56826125)  # exact by definition, from memory


def test_different_kinds_are_refused() -> None:
    """A pressure is no torque; an unknown word is no unit; both are wrong use with a remedy."""
    with pytest.raises(WrongUse):
        convert(1.0, "bar", "Nm")
    with pytest.raises(WrongUse, match="no unit"):
        convert(1.0, "furlong", "mm")


def test_pounds_as_a_force() -> None:
    """A bare lb beside a newton is meant as a force (common practice, no source)."""
    assert convert(1.0, "lb", "N") == pytest.approx(4.448222, abs=1e-6)  # NIST SP 811 (2008), B.8


def test_a_shop_adds_its_own(tmp_path: Path) -> None:
    """units.toml in the store folder adds spellings; a malformed one is refused by name."""
    own = tmp_path / OWN_UNITS
    assert load(own).find("div") is None
    other = tmp_path / "more" / OWN_UNITS
    other.parent.mkdir()
    other.write_text(
        '[[unit]]\nname = "div"\nkind = "length"\npint = "0.01 * millimeter"\nspellings = ["gauge div"]\n'
    )
    table = load(other)
    assert convert(5.0, "gauge div", "mm", table) == pytest.approx(0.05)
    bad = tmp_path / "bad" / OWN_UNITS
    bad.parent.mkdir()
    bad.write_text('[[unit]]\nname = "x"\nkind = "length"\npint = "no such thing"\nspellings = ["x"]\n')
    with pytest.raises(WrongUse, match=r"units\.toml"):
        load(bad)


@given(st.sampled_from(["mm", "Nm", "bar", "°C", "N"]), st.floats(-1e4, 1e4))
def test_there_and_back(unit: str, value: float) -> None:
    """A value turned into another unit and back is the value."""
    other = {"mm": "in", "Nm": "lb-ft", "bar": "psi", "°C": "°F", "N": "kp"}[unit]
    assert convert(convert(value, unit, other), other, unit) == pytest.approx(value, abs=1e-6)


@pytest.mark.parametrize("text", ["lb-" * 7000, "f. - " * 4000, "N" * 20000, "in . " * 4000])
def test_the_pattern_is_quick(text: str) -> None:
    """The pattern takes under 50 ms over 20 kB of hostile text."""
    packaged()
    started = time.perf_counter()
    packaged().pattern.search(text)
    assert time.perf_counter() - started < 0.05

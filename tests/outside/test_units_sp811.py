"""Factors of NIST Special Publication 811 (2008 edition), Appendix B.8, against the table of units and pint,
and against scipy.constants (CODATA, for those that it holds)."""

import pytest
from benchleaf.graph.quantities.units import convert
from scipy import constants as sc

# spelling, to, factor as SP 811 prints it
SP_811 = [
    ("lbf·ft", "N·m", 1.355818),
    ("lbf·in", "N·m", 0.1129848),
    ("kgf·m", "N·m", 9.80665),
    ("psi", "kPa", 6.894757),
    ("bar", "kPa", 100.0),
    ("kgf/cm²", "kPa", 98.0665),
    ("in", "mm", 25.4),
    # from memory
    ("lbf", "N", 4.448222),
    ("kgf", "N", 9.80665),
    ("ft", "m", 0.3048),
    ("mil", "mm", 0.0254),
    ("mmHg", "Pa", 133.3224),
    ("atm", "kPa", 101.325),
    ("lb", "kg", 0.4535924),
    ("oz", "g", 28.34952),
]
SCIPY = [
    ("lbf·ft", "N·m", sc.pound_force * sc.foot),
    ("lbf·in", "N·m", sc.pound_force * sc.inch),
    ("kgf·m", "N·m", sc.kilogram_force),
    ("kgf·cm", "N·m", sc.kilogram_force * sc.centi),
    ("psi", "kPa", sc.psi / sc.kilo),
    ("bar", "kPa", sc.bar / sc.kilo),
    ("kgf/cm²", "kPa", sc.kilogram_force / sc.centi**2 / sc.kilo),
    ("in", "mm", sc.inch / sc.milli),
    ("thou", "mm", sc.mil / sc.milli),
    ("lbf", "N", sc.pound_force),
    ("kgf", "N", sc.kilogram_force),
    ("lb", "kg", sc.pound),
    ("mmHg", "Pa", sc.mmHg),
    ("atm", "kPa", sc.atm / sc.kilo),
    ("US gal", "l", sc.gallon / sc.liter),
    ("Imp gal", "l", sc.gallon_imp / sc.liter),
    ("°", "°", 1.0),
    ("min", "s", sc.minute),
]


@pytest.mark.parametrize(("unit", "to", "factor"), SP_811)
def test_factors_of_sp_811(unit: str, to: str, factor: float) -> None:
    """One of the unit is what SP 811 prints, within its last printed digit."""
    assert convert(1.0, unit, to) == pytest.approx(factor, rel=6e-7)


@pytest.mark.parametrize(("unit", "to", "factor"), SCIPY)
def test_factors_of_scipy(unit: str, to: str, factor: float) -> None:
    """The same factors by scipy.constants, to all digits."""
    assert convert(1.0, unit, to) == pytest.approx(factor, rel=1e-6 if unit == "mmHg" else 1e-12)


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0)])
def test_temperatures(celsius: float, fahrenheit: float) -> None:
    """t/°F = 1.8 t/°C + 32 (SP 811, B.8)."""
    assert convert(celsius, "°C", "°F") == pytest.approx(fahrenheit)
    assert sc.convert_temperature(celsius, "C", "F") == pytest.approx(convert(celsius, "°C", "°F"))

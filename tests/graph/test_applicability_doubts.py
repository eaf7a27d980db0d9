"""Which units a doubt about applicability concerns."""

import datetime as dt

from benchleaf.graph.applicability import Unit, covers
from benchleaf.graph.model import Applies

EDGE = "it is not said whether “before 900” includes 900 itself"
DAY = "it is not said whether “before 3 June 2001” includes that day itself"


def test_a_further_limit_that_quotes_a_bounds_word_concerns_every_unit() -> None:
    """“Limited further: … before …” is no doubt about a bound: a unit in the middle depends too."""
    limit = "the units are limited further: “fitted with the pump used before 1990, up to 4 bar”"
    applies = Applies(serial_from="1", serial_to="900", unclear=(limit,))
    assert covers(applies, Unit(serial="300")).answer == "depends"
    left = "models are left out: “except on KX-6 before 1990”"
    assert covers(Applies(serial_to="900", unclear=(left,)), Unit(serial="300")).answer == "depends"


def test_a_serial_bounds_doubt_concerns_the_unit_at_it() -> None:
    """Only 899 to 901 depend on whether 900 is included."""
    applies = Applies(serial_to="900", unclear=(EDGE,))
    assert [covers(applies, Unit(serial=s)).answer for s in ("300", "900", "950")] == ["yes", "depends", "no"]


def test_a_days_doubt_concerns_the_unit_built_on_it() -> None:
    """A bound's day in doubt leaves other days sure, and says nothing of serial numbers."""
    applies = Applies(serial_to="900", built_to=dt.date(2001, 6, 3), unclear=(DAY,))
    answers = [
        covers(applies, Unit(serial=serial, built=dt.date(2001, 6, day))).answer
        for serial, day in (("900", 2), ("900", 3), ("100", 3), ("100", 4))
    ]
    assert answers == ["yes", "depends", "depends", "no"]

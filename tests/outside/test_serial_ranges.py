"""Serial ranges against the interval arithmetic of the PyPI package portion."""

import portion
from benchleaf.graph.applicability import Unit, covers
from benchleaf.graph.model import Applies
from hypothesis import given
from hypothesis import strategies as st

SERIALS = st.integers(1, 60_000)
BOUNDS = st.none() | SERIALS


@st.composite
def ranges(draw):
    """An Applies with its bounds and exceptions, and the same as a portion interval."""
    first, last = sorted((draw(SERIALS), draw(SERIALS)))
    low, high = draw(st.sampled_from([(first, last), (first, None), (None, last), (None, None)]))
    gaps = [tuple(sorted(pair)) for pair in draw(st.lists(st.tuples(SERIALS, SERIALS), max_size=3))]
    interval = portion.closed(0 if low is None else low, portion.inf if high is None else high)
    for gap in gaps:
        interval -= portion.closed(*gap)
    excepted = tuple(str(a) if a == b else f"{a}–{b}" for a, b in gaps)
    text = {"serial_from": low, "serial_to": high}
    applies = Applies(excepted=excepted, **{k: None if v is None else str(v) for k, v in text.items()})
    return applies, interval, [n for n in (low, high, *(e for g in gaps for e in g)) if n is not None]


@given(ranges(), SERIALS, st.sampled_from([-1, 0, 1]), st.randoms())
def test_a_unit_is_covered_just_where_the_interval_contains_it(drawn, anywhere, step, random):
    """For any bounds and exceptions, `covers` says yes exactly where portion's interval contains the serial,
    at the bounds, one beside them and anywhere."""
    applies, interval, edges = drawn
    serial = max(1, random.choice(edges) + step) if edges else anywhere
    for number in (serial, anywhere):
        want = "yes" if number in interval else "no"
        assert covers(applies, Unit(None, str(number))).answer == want

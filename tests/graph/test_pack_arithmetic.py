"""The arithmetic of packs by its parts: sums, swaps, selection, shims, torque."""

import math
from itertools import combinations_with_replacement

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.packs.select import Row, choose, nearest, pick, table_faults
from benchleaf.graph.packs.shims import Shim, end_play, fewest, preload
from benchleaf.graph.packs.size import Size, exactly
from benchleaf.graph.packs.stack import Layer, clearance, height
from benchleaf.graph.packs.swap import needed, pair_line
from benchleaf.graph.packs.torque import capacity, clamp, crowfoot, faces, thread_torque
from hypothesis import given
from hypothesis import strategies as st

thickness = st.integers(50, 900).map(lambda n: n / 100)
tolerance = st.integers(0, 20).map(lambda n: n / 100)
layer = st.builds(
    lambda n, t, d: Layer("plate", n, Size(t - d, t + d)), st.integers(1, 9), thickness, tolerance
)
TABLE = (Row(2.20, 2.25, "A"), Row(2.25, 2.30, "B"), Row(2.30, 2.40, "C"))


@given(st.lists(layer, min_size=1, max_size=5), thickness, tolerance)
def test_root_sum_square_is_never_above_the_worst_case(layers, depth, loose):
    """√ΣT² ≤ ΣT, for the height and for the clearance; and every single piece counts once."""
    for found in (height(layers), clearance(Size(depth - loose, depth + loose), layers)):
        assert found.rss <= found.worst + 1e-12
    one_by_one = [Layer(x.name, 1, x.each) for x in layers for _ in range(x.count)]
    assert height(one_by_one).rss == pytest.approx(height(layers).rss)
    assert height(one_by_one).worst == pytest.approx(height(layers).worst)


@given(st.lists(layer, min_size=1, max_size=5))
def test_the_worst_case_is_what_all_limits_together_give(layers):
    """The worst case's limits are the sums of all lower and of all upper limits."""
    assert height(layers).limits.low == pytest.approx(sum(x.count * x.each.low for x in layers))
    assert height(layers).limits.high == pytest.approx(sum(x.count * x.each.high for x in layers))


def test_an_asymmetric_tolerance_is_centred_first():
    """2.50 +0.10 −0.00 counts as 2.55 ± 0.05."""
    found = height([Layer("friction", 2, Size(2.50, 2.60))])
    assert (found.nominal, found.worst) == (pytest.approx(5.10), pytest.approx(0.10))
    assert found.rss == pytest.approx(math.sqrt(2) * 0.05)


@given(layer, st.integers(1, 12))
def test_the_plates_needed_stand_as_high_as_those_before(before, count):
    """n_new · t_new is the height before, at both limits of the worst case too."""
    each = needed([before], count)
    after, was = height([Layer("plate", count, each)]).limits, height([before]).limits
    assert (after.low, after.high) == (pytest.approx(was.low), pytest.approx(was.high))


@given(layer, layer, st.integers(1, 9), st.integers(1, 9))
def test_every_pair_offered_keeps_the_height(friction, steel, n_f, n_s):
    """Every pair of thicknesses on the line makes the height of before, and none is zero or less."""
    line = pair_line([friction], [steel], (n_f, n_s))
    total = height([friction, steel]).nominal
    assert line.pairs
    for pair in line.pairs:
        assert pair.friction > 0 and pair.steel > 0
        assert n_f * pair.friction + n_s * pair.steel == pytest.approx(total)
        assert line.steel_for(pair.friction) == pytest.approx(pair.steel)


@given(st.integers(2000, 2600), st.integers(2000, 2600), st.sampled_from(["lower", "higher"]))
def test_a_thicker_need_never_takes_a_lower_row(one, other, tie):
    """Choice from a table without overlaps rises with the figure looked up, by either tie rule."""
    low, high = sorted((one / 1000, other / 1000))
    first, second = pick(TABLE, low, tie).row, pick(TABLE, high, tie).row
    if first and second:
        assert TABLE.index(first) <= TABLE.index(second)


@pytest.mark.parametrize(("tie", "part"), [("lower", "A"), ("higher", "B")])
def test_a_shared_edge_goes_by_the_tie_rule_and_says_so(tie, part):
    """2.25 lies in both rows: the stated rule decides, and the choice is marked; inside a row it is not."""
    choice = pick(TABLE, 2.25, tie)
    assert choice.row.part == part and choice.edge
    assert not pick(TABLE, 2.24, tie).edge
    assert pick(TABLE, 2.20, tie).row.part == "A" and not pick(TABLE, 2.20, tie).edge


def test_a_range_over_two_rows_is_no_choice():
    """A measurement whose range reaches over an edge names both rows, and none is chosen."""
    choice = choose(TABLE, Size(2.24, 2.31))
    assert [r.part for r in choice.rows] == ["A", "B", "C"]
    assert choice.row is None
    assert choose(TABLE, Size(2.26, 2.28)).row.part == "B"
    assert choose(TABLE, Size(2.39, 2.42)).row is None, "part of the range lies beyond the table"


def test_gaps_overlaps_and_reversed_rows_are_found():
    """A table with holes or rows over one another is told, with its limits; a sound one is not."""
    assert table_faults(TABLE) == ()
    rows = (Row(1.0, 1.2, "A"), Row(1.3, 1.5, "B"), Row(1.45, 1.6, "C"), Row(1.8, 1.7, "D"))
    assert [(f.fault, f.low, f.high) for f in table_faults(rows)] == [
        ("reversed", 1.8, 1.7),
        ("gap", 1.2, 1.3),
        ("overlap", 1.45, 1.5),
    ]
    inside = (Row(1.0, 2.0, "A"), Row(1.2, 1.4, "B"), Row(2.0, 2.2, "C"))
    assert [f.fault for f in table_faults(inside)] == ["overlap"]
    assert pick(inside, 1.3).row is None, "two rows hold it"


def test_the_nearest_thickness_at_hand_and_two_that_are_equally_near():
    """The nearest is offered; between two equally near ones nothing is decided."""
    assert nearest((2.0, 2.2, 2.4), 2.27) == (2.2,)
    assert nearest((2.0, 2.2, 2.4), 2.3) == (2.2, 2.4)
    assert nearest((), 2.3) == ()


def test_end_play_takes_the_target_off_and_preload_adds_it():
    """Shim = trial + measured − target, or + preload (common practice, no source)."""
    trial, measured = exactly(0.50), exactly(0.32)
    assert end_play(trial, measured, Size(0.05, 0.15)).aim.middle == pytest.approx(0.72)
    assert preload(trial, measured, Size(0.05, 0.15)).aim.middle == pytest.approx(0.92)


@given(thickness, thickness, tolerance, tolerance)
def test_what_is_sure_meets_the_target_whatever_the_gauge_hides(trial, measured, loose, slack):
    """Every thickness in the sure range gives a play within the target for every true play possible."""
    gauge, target = Size(measured - loose, measured + loose), Size(0.3 - slack, 0.3 + slack)
    fill = end_play(exactly(trial), gauge, target)
    assert (fill.sure is None) == (loose > slack + 1e-9)
    for shim in (fill.sure.low, fill.sure.high) if fill.sure else ():
        for true in (gauge.low, gauge.high):
            assert target.low - 1e-6 <= trial + true - shim <= target.high + 1e-6


def by_brute_force(low: int, high: int, shims: list[int]) -> int | None:
    """The fewest shims whose sum lies between, in hundredths of a millimetre; None if there are none."""
    for count in range(0, 7):
        if any(low <= sum(c) <= high for c in combinations_with_replacement(shims, count)):
            return count
    return None


@given(
    st.integers(1, 90),
    st.integers(0, 6),
    st.lists(st.integers(15, 60), min_size=1, max_size=4, unique=True),
)
def test_the_fewest_shims_are_those_that_brute_force_finds(low, span, set_):
    """Trying every combination finds no fewer shims, and finds some exactly where the search does."""
    found = fewest(Size(low / 100, (low + span) / 100), [Shim(s / 100) for s in set_])
    best = by_brute_force(low, low + span, set_)
    assert found.within == (best is not None)
    if best is not None:
        assert len(found.thicknesses) == best
    assert sum(found.thicknesses) == pytest.approx(found.total)


def test_no_more_shims_are_taken_than_there_are():
    """Of a stock of two, two are used; the rest is made up with others, or told not to fit."""
    assert fewest(exactly(0.45), [Shim(0.15, 2), Shim(0.05)]).thicknesses == (0.15, 0.15, 0.05, 0.05, 0.05)
    short = fewest(exactly(0.45), [Shim(0.15, 2)])
    assert (short.thicknesses, short.within) == ((0.15, 0.15), False)


def test_where_no_sum_fits_the_nearest_one_is_told_as_such():
    """0.72 from tenths: 0.70 is the nearest and does not count as fitting; thousandths of an inch too."""
    near = fewest(exactly(0.72), [Shim(0.10)])
    assert (near.total, near.within) == (pytest.approx(0.70), False)
    inch = fewest(exactly(0.017 * 25.4), [Shim(0.005 * 25.4), Shim(0.007 * 25.4)])
    assert (len(inch.thicknesses), inch.within) == (3, True)


@pytest.mark.parametrize(
    ("friction", "steel", "ends", "count"),
    [
        (5, 4, 2, 10),
        (5, 4, 1, 9),
        (4, 5, 0, 8),
        (4, 5, 2, None),
        (7, 5, 0, None),
        (0, 1, 0, None),
        (1, 0, 0, None),
    ],
)
def test_faces_are_counted_only_where_the_plates_can_alternate(friction, steel, ends, count):
    """A friction plate rubs on two faces at most: where the rule would count more it counts nothing."""
    assert faces(friction, steel, ends) == count
    assert count is None or count <= 2 * friction


def test_force_torque_and_the_wrench():
    """p · A − spring, N · μ · F · Rm, K · F · d and T · L / (L + E), each on round figures."""
    assert clamp(1.2, 4800, 760) == pytest.approx(5000)
    found = capacity(8, 0.1, 5000, 40, 60)
    assert (found.wear, found.radius_wear) == (pytest.approx(200), 50)
    assert found.pressure == pytest.approx(8 * 0.1 * 5 * 2 / 3 * (60**3 - 40**3) / (60**2 - 40**2))
    assert thread_torque(0.2, 10_000, 10) == pytest.approx(20)
    assert crowfoot(40, 18, 2) == pytest.approx(36)
    assert crowfoot(40, 18, 0) == 40


@pytest.mark.parametrize(
    "misuse",
    [
        lambda: Size(2, 1),
        lambda: Size(math.nan, 1),
        lambda: Layer("steel", 0, exactly(1)),
        lambda: Layer("steel", 1, exactly(0)),
        lambda: Shim(0),
        lambda: Shim(0.1, 0),
        lambda: faces(-1, 2),
        lambda: faces(3, 3, 3),
        lambda: capacity(8, 0, 1, 1, 2),
        lambda: capacity(8, math.nan, 1, 1, 2),
        lambda: capacity(8, 0.1, 1, 2, 2),
        lambda: clamp(-1, 1, 0),
        lambda: thread_torque(0, 1, 1),
        lambda: crowfoot(1, 2, -2),
        lambda: needed([Layer("steel", 1, exactly(1))], 0),
        lambda: fewest(exactly(10), [Shim(0.01)]),
    ],
)
def test_figures_that_cannot_be_are_refused_with_a_remedy(misuse):
    """Wrong use is a named error that says what to do, never a figure."""
    with pytest.raises(WrongUse) as told:
        misuse()
    assert told.value.remedy

"""A pack's arithmetic against published figures, limits and numerical integrals."""

import math
from itertools import pairwise

import pytest
from benchleaf.graph.packs.size import Size
from benchleaf.graph.packs.stack import Layer, clearance
from benchleaf.graph.packs.torque import faces, mean_radius_pressure, mean_radius_wear
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

rings = st.tuples(st.floats(1, 200), st.floats(1.01, 5)).map(lambda r: (r[0], r[0] * r[1]))


def about(middle: float, loose: float) -> Size:
    return Size(middle - loose, middle + loose)


def test_the_published_stack_gives_its_published_tolerances():
    """40 ±.10 − 25 ±.05 − 2 ±.03 − 10 ±.05 = 3.00, worst case ±0.23, root-sum-square ±0.126.

    Data from Scholz, 1995, a NASA contractor report on tolerance stack-up, as quoted to us.
    """
    layers = [Layer(str(t), 1, about(t, loose)) for t, loose in ((25, 0.05), (2, 0.03), (10, 0.05))]
    found = clearance(about(40, 0.10), layers)
    assert found.nominal == pytest.approx(3.00)
    assert found.worst == pytest.approx(0.23)
    assert round(found.rss, 3) == 0.126


@pytest.mark.parametrize("outer", [1.0, 60.0, 200.0])
def test_a_narrow_ring_rubs_at_its_outer_radius_and_a_full_disc_further_in(outer):
    """Limits of the formulas: Ri → Ro gives Ro by both; Ri → 0 gives Ro/2 (wear) and ⅔ Ro (pressure).

    Limits by calculus, no source needed.
    """
    narrow = outer * (1 - 1e-9)
    assert mean_radius_wear(narrow, outer) == pytest.approx(outer, rel=1e-8)
    assert mean_radius_pressure(narrow, outer) == pytest.approx(outer, rel=1e-8)
    assert mean_radius_wear(0, outer) == pytest.approx(outer / 2)
    assert mean_radius_pressure(0, outer) == pytest.approx(outer * 2 / 3)


def mean_radius(pressure, inner: float, outer: float) -> float:
    """∫ r · p dA over ∫ p dA, with dA = 2πr dr, by quadrature (scipy.integrate.quad)."""
    moment = quad(lambda r: r * pressure(r) * 2 * math.pi * r, inner, outer)[0]
    return moment / quad(lambda r: pressure(r) * 2 * math.pi * r, inner, outer)[0]


@given(rings)
def test_the_mean_radii_are_those_of_the_integral_over_the_ring(ring):
    """Uniform wear is p · r constant, uniform pressure p constant: the integrals give the same radii."""
    inner, outer = ring
    assert mean_radius_wear(inner, outer) == pytest.approx(
        mean_radius(lambda r: 1 / r, inner, outer), rel=1e-6
    )
    even = mean_radius(lambda r: 1.0, inner, outer)
    assert mean_radius_pressure(inner, outer) == pytest.approx(even, rel=1e-6)


@given(rings)
def test_uniform_wear_never_promises_more_than_uniform_pressure(ring):
    """Wear moves the pressure inwards, so its mean radius is the smaller; both lie within the ring."""
    inner, outer = ring
    wear, even = mean_radius_wear(inner, outer), mean_radius_pressure(inner, outer)
    assert inner < wear <= even * (1 + 1e-12) and even < outer


@pytest.mark.parametrize(("friction", "steel", "ends", "count"), [(5, 4, 0, 8), (6, 6, 1, 12)])
def test_friction_faces_of_the_trade(friction, steel, ends, count):
    """5 + 4 → 8; 6 + 6 with the end plate counted as a steel → 12 (common practice, no source)."""
    assert faces(friction, steel, ends) == count


@given(st.integers(1, 40), st.integers(0, 40), st.integers(0, 2))
def test_faces_are_the_joints_between_unlike_neighbours(friction, steel, ends):
    """Counted one by one along the stack, every joint has a friction plate on one side (common practice)."""
    found = faces(friction, steel, ends)
    if found is None:
        assert abs(friction - steel - ends) > 1 or steel + ends == 0
        return
    first, second = ("F", "S") if friction >= steel + ends else ("S", "F")
    stack = [first if n % 2 == 0 else second for n in range(friction + steel + ends)]
    assert stack.count("F") == friction
    assert found == sum({a, b} == {"F", "S"} for a, b in pairwise(stack))

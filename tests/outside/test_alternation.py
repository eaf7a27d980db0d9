"""The order of an alternating pack from its counts: common practice, no source."""

from itertools import pairwise, product

import pytest
from benchleaf.graph.kits.pack import orders


def stacks(friction: int, steel: int) -> set[tuple[str, str]]:
    """First and last plate of every sequence in which no two neighbours are alike, by trying them all."""
    found = set()
    for sequence in product(("friction", "steel"), repeat=friction + steel):
        alike = any(a == b for a, b in pairwise(sequence))
        if not alike and sequence.count("friction") == friction:
            found.add((sequence[0], sequence[-1]))
    return found


@pytest.mark.parametrize("n", range(1, 7))
def test_one_more_of_a_kind_puts_that_kind_first_and_last(n):
    """n and n + 1: the more numerous kind lies at both ends (common practice, no source)."""
    assert [(o.first, o.last) for o in orders(n, n + 1)] == [("steel", "steel")]
    assert [(o.first, o.last) for o in orders(n + 1, n)] == [("friction", "friction")]


@pytest.mark.parametrize(("friction", "steel"), list(product(range(1, 7), repeat=2)))
def test_the_orders_are_those_that_trying_all_sequences_finds(friction, steel):
    """For any counts the orders offered are exactly those found by trying every sequence of plates."""
    assert {(o.first, o.last) for o in orders(friction, steel)} == stacks(friction, steel)

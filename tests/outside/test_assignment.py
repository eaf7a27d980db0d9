"""The pairing of kit lines against `scipy.optimize.linear_sum_assignment` (SciPy's modified Jonker-Volgenant
algorithm, Crouse 2016; the name of the algorithm is from memory)."""

import random

import numpy as np
import pytest
from benchleaf.graph.kits.matching import UNPAIRED, best_pairs
from scipy.optimize import linear_sum_assignment


def _scipy_cost(costs: list[list[int]]) -> int:
    """The least cost where every row may stay alone: a column of its own for each row."""
    rows = len(costs)
    alone = np.full((rows, rows), 10 * UNPAIRED, dtype=np.int64)
    np.fill_diagonal(alone, UNPAIRED)
    table = np.hstack([np.array(costs, dtype=np.int64), alone])
    at = linear_sum_assignment(table)
    return int(table[at].sum())


def _our_cost(costs: list[list[int]]) -> int:
    found = best_pairs(costs)
    assert len(set(found.values())) == len(found), "a column was given away twice"
    return sum(costs[i][j] for i, j in found.items()) + (len(costs) - len(found)) * UNPAIRED


@pytest.mark.parametrize("seed", range(60))
def test_the_pairing_is_scipy_s_optimum(seed: int) -> None:
    """On random costs, of rows and columns in any number, our assignment costs what SciPy's costs."""
    chance = random.Random(seed)
    rows, columns = chance.randint(1, 25), chance.randint(1, 25)
    low = chance.choice([0, UNPAIRED // 2, UNPAIRED - 400])
    costs = [[chance.randint(low, UNPAIRED + UNPAIRED // 4) for _ in range(columns)] for _ in range(rows)]
    assert _our_cost(costs) == _scipy_cost(costs)


@pytest.mark.parametrize("seed", range(20))
def test_also_with_the_table_s_own_costs(seed: int) -> None:
    """Costs as the table has them, full of ties: the optimum is SciPy's again."""
    chance = random.Random(1000 + seed)
    prices = [0, 5, 9_900_000, 9_900_005, 9_998_900, UNPAIRED - 1000, UNPAIRED - 750, UNPAIRED, UNPAIRED]
    size = chance.randint(2, 40)
    costs = [[chance.choice(prices[2:] if i != j else prices) for j in range(size)] for i in range(size)]
    assert _our_cost(costs) == _scipy_cost(costs)

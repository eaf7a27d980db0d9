"""Heights and clearances of a pack with their tolerances: worst case and root-sum-square. Millimetres.

An asymmetric tolerance is centred first: what counts is the middle between the limits, plus or minus half
their span. A count of like plates adds its tolerance once a plate, in both sums.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.errors import WrongUse
from benchleaf.graph.packs.size import Size


@dataclass(frozen=True, slots=True)
class Layer:
    """So many like pieces in the stack, each of one size; `name` as the person called them."""

    name: str
    count: int
    each: Size

    def __post_init__(self) -> None:
        """Raise WrongUse for a count or a thickness that cannot be."""
        if self.count < 1:
            raise WrongUse(f"{self.name}: a count must be at least 1", "leave out what is not in the pack")
        if self.each.low <= 0:
            raise WrongUse(f"{self.name}: a thickness must be above zero", "give it as measured or printed")


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum or difference of sizes: its nominal, and the tolerance by worst case and by root-sum-square."""

    nominal: float
    worst: float
    rss: float

    @property
    def limits(self) -> Size:
        """The worst case's limits."""
        return Size(self.nominal - self.worst, self.nominal + self.worst)


def height(layers: Sequence[Layer]) -> Sum:
    """Height of the stack: Σ thickness; worst case Σ T, root-sum-square √ΣT² over every single piece.

    Root-sum-square holds for pieces whose deviations have nothing to do with each other.

    >>> height([Layer("steel", 4, Size(1.75, 1.85))]).rss.__round__(3)
    0.1
    """
    nominal = math.fsum(layer.count * layer.each.middle for layer in layers)
    worst = math.fsum(layer.count * layer.each.half for layer in layers)
    return Sum(nominal, worst, math.sqrt(math.fsum(layer.count * layer.each.half**2 for layer in layers)))


def clearance(depth: Size, layers: Sequence[Layer]) -> Sum:
    """Clearance: depth − Σ thickness, the depth's own tolerance counted like a piece's. May be negative."""
    stack = height(layers)
    return Sum(depth.middle - stack.nominal, depth.half + stack.worst, math.hypot(depth.half, stack.rss))

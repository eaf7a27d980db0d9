"""A length with its limits: what every sum of a pack is made of. Millimetres throughout."""

import math
from dataclasses import dataclass

from benchleaf.graph.errors import WrongUse

EQUAL = 1e-9
"""Millimetres below which two lengths are the same: far under any gauge, far over the float's error."""


@dataclass(frozen=True, slots=True)
class Size:
    """A length between two limits, both of them allowed; equal limits mean one figure without tolerance."""

    low: float
    high: float

    def __post_init__(self) -> None:
        """Raise WrongUse for limits that are no figures or stand the wrong way round."""
        if not (math.isfinite(self.low) and math.isfinite(self.high)):
            raise WrongUse("a size must be a finite figure", "give it as the paper or the gauge shows it")
        if self.low > self.high:
            raise WrongUse("a size's lower limit is above its upper one", "give the smaller figure first")

    @property
    def middle(self) -> float:
        """Halfway between the limits: an asymmetric tolerance is centred before anything is added up."""
        return (self.low + self.high) / 2

    @property
    def half(self) -> float:
        """The tolerance: ± so much about the middle."""
        return (self.high - self.low) / 2

    @property
    def exact(self) -> bool:
        """One figure, no tolerance."""
        return self.high - self.low <= EQUAL


def exactly(value: float) -> Size:
    """One figure without tolerance."""
    return Size(value, value)


def plus(one: Size, other: Size) -> Size:
    """Sum of two, every combination of their limits allowed for."""
    return Size(one.low + other.low, one.high + other.high)


def minus(one: Size, other: Size) -> Size:
    """Difference of two, every combination of their limits allowed for."""
    return Size(one.low - other.high, one.high - other.low)


def scaled(size: Size, by: float) -> Size:
    """A size times a positive figure."""
    return Size(size.low * by, size.high * by)

"""Friction faces and the torque that a pack carries; thread torque and the crow-foot. N, mm, N·m.

No coefficient, pressure or force is built in: values are the maker's.
"""

import math
from dataclasses import dataclass

from benchleaf.graph.errors import WrongUse


@dataclass(frozen=True, slots=True)
class Capacity:
    """What a pack carries, in N·m, by the two customary assumptions, with their mean radii in mm."""

    wear: float
    pressure: float
    radius_wear: float
    radius_pressure: float


def faces(friction: int, steel: int, end_plates: int = 0) -> int | None:
    """Faces that rub: n1 + n2 − 1, with double-sided discs and each end plate rubbed on counted as a steel.

    None if they cannot alternate even so: the rule then counts nothing. Common practice, no source.

    >>> faces(5, 4), faces(6, 6, 1)
    (8, 12)
    """
    if min(friction, steel, end_plates) < 0 or end_plates > 2:
        raise WrongUse("counts cannot be below zero, and a pack has two ends", "give 0, 1 or 2 end plates")
    steels = steel + end_plates
    if friction < 1 or steels < 1 or abs(friction - steels) > 1:
        return None
    return friction + steels - 1


def faces_single(lined: int) -> int:
    """Faces that rub where each lined plate has its lining on one side: one a plate.

    Every lining must have a bare steel face before it. Common practice, no source.
    """
    return lined


def mean_radius_wear(inner: float, outer: float) -> float:
    """Mean radius for uniform wear: (Ro + Ri) / 2, in the unit of the radii."""
    _ring(inner, outer)
    return (outer + inner) / 2


def mean_radius_pressure(inner: float, outer: float) -> float:
    """Mean radius for uniform pressure: ⅔ (Ro³ − Ri³) / (Ro² − Ri²), in the unit of the radii."""
    _ring(inner, outer)
    # the same with Ro − Ri cancelled, so that a narrow ring costs no digits
    return 2 / 3 * (outer**2 + outer * inner + inner**2) / (outer + inner)


def clamp(pressure: float, area: float, spring: float) -> float:
    """Force on the pack: p · A − F_spring; pressure in N/mm² (MPa), area in mm². Negative: it stays open."""
    if pressure < 0 or area <= 0 or spring < 0:
        raise WrongUse("pressure and spring force cannot be below zero, nor the area zero", "check them")
    return pressure * area - spring


def capacity(faces: int, mu: float, force: float, inner: float, outer: float) -> Capacity:
    """T = N · μ · F · Rm, by uniform wear and uniform pressure; radii in mm, force in N, torque in N·m."""
    if not 0 < mu < 2:
        raise WrongUse("a coefficient of friction lies above 0 and below 2", "give --mu from the maker")
    wear, even = mean_radius_wear(inner, outer), mean_radius_pressure(inner, outer)
    pull = faces * mu * force / 1000
    return Capacity(pull * wear, pull * even, wear, even)


def thread_torque(k: float, force: float, diameter: float) -> float:
    """Tightening torque of a thread: K · F · d; diameter in mm, torque in N·m."""
    if not 0 < k < 1 or force <= 0 or diameter <= 0:
        raise WrongUse("K lies between 0 and 1; force and diameter above zero", "give the maker's figures")
    return k * force * diameter / 1000


def crowfoot(torque: float, wrench: float, extension: float) -> float:
    """What to set on the wrench with a crow-foot straight out: T · L / (L + E); lengths in one unit.

    A crow-foot turned back has a negative E; at right angles E is 0. The setting has the torque's unit.
    """
    if torque <= 0 or wrench <= 0 or wrench + extension <= 0:
        raise WrongUse("torque and wrench length must be above zero", "L is from grip to square drive")
    return torque * wrench / (wrench + extension)


def _ring(inner: float, outer: float) -> None:
    if not (math.isfinite(inner) and math.isfinite(outer) and 0 <= inner < outer):
        raise WrongUse(
            "the lining's inner diameter must be smaller than its outer one", "give both as diameters"
        )

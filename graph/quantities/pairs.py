"""Two units printed for one value, held against each other.

Each printed figure stands for the interval of its last printed digit, and two figures agree where their
intervals meet. Because papers also cut off digits and round to handy figures, these pass as well:
- a difference below one whole step of either last digit, if it is within 5 % (29 N·m is 21.4 lbf·ft, printed
  21 or 22);
- a whole figure that ends in 0 or 5, if the difference is within 2.5 % (248 °F printed as 250).
Both shares are this file's choice: common practice, no source.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from benchleaf.graph.quantities.reading import Quantity
from benchleaf.graph.quantities.units import Unit, as_force, packaged, scaled

CUT_OFF = 0.05
HANDY = 0.025
_HALF = 0.5000001  # a half step, and a hair for the arithmetic


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two printed figures that are not one value: the second in its unit, what the first is in that unit.

    `message` says so in plain words.
    """

    one: Quantity
    other: Quantity
    figure: float
    printed: float
    converted: float
    message: str


def disagreements(read: Iterable[Quantity]) -> tuple[Disagreement, ...]:
    """Every pair of units among the values read whose figures do not agree."""
    pairs = [(q, p) for q in read if not q.doubt for p in q.pairs if not p.doubt]
    return tuple(found for q, p in pairs if (found := disagreement(q, p)) is not None)


def disagreement(one: Quantity, other: Quantity) -> Disagreement | None:
    """How the second printing of a value contradicts the first, or None. A pint may be either pint."""
    first, second = _same_sort(one.unit, other.unit)
    tries = [_compare(one, other, a, b) for a in _meanings(first) for b in _meanings(second)]
    return None if None in tries else tries[0]


def _compare(one: Quantity, other: Quantity, first: Unit, second: Unit) -> Disagreement | None:
    bounds = [
        (a, b, sa, sb)
        for a, b, sa, sb in (
            (one.low, other.low, one.low_step, other.low_step),
            (one.high, other.high, one.high_step, other.high_step),
        )
        if a is not None and b is not None
    ]
    if not bounds or one.single != other.single:
        return _within_range(one, other, first, second)
    for a, b, step_a, step_b in bounds:
        if not agree(a, step_a, first, b, step_b, second):
            return _told(one, other, a, b, scaled(a, first, second))
    return None


def agree(a: float, step_a: float, first: Unit, b: float, step_b: float, second: Unit) -> bool:
    """Whether two printed figures can be one value; `step_…` is the worth of each last printed digit."""
    there, back = scaled(a, first, second), scaled(b, second, first)
    width = abs(scaled(step_a, first, second) - scaled(0.0, first, second))
    off = abs(there - b)
    if off <= _HALF * (width + step_b):
        return True
    share = min(off / abs(b) if b else 1.0, abs(back - a) / abs(a) if a else 1.0)
    if (off < step_b or abs(back - a) < step_a) and share <= CUT_OFF:
        return True
    return (_handy(a) or _handy(b)) and share <= HANDY


def _handy(value: float) -> bool:
    return value != 0 and value % 5 == 0


def _within_range(one: Quantity, other: Quantity, first: Unit, second: Unit) -> Disagreement | None:
    """A single value beside a range must at least lie in it."""
    if one.nominal is None or other.nominal is None:
        return None
    there, step = scaled(one.nominal, first, second), other.low_step
    if one.single and not other.single:
        inside = (other.low is None or there >= other.low - step) and (
            other.high is None or there <= other.high + step
        )
    else:
        ends = [None if v is None else scaled(v, first, second) for v in (one.low, one.high)]
        inside = (ends[0] is None or other.nominal >= ends[0] - step) and (
            ends[1] is None or other.nominal <= ends[1] + step
        )
    return None if inside else _told(one, other, one.nominal, other.nominal, there)


def _told(one: Quantity, other: Quantity, a: float, b: float, there: float) -> Disagreement:
    left, right = one.unit.name, other.unit.name
    message = (
        f"two units printed for one value disagree: {plain(a)} {left} is {plain(there)} {right},"
        f" but {plain(b)} {right} is printed beside it ({one.printed} / {other.printed})"
    )
    return Disagreement(one, other, a, b, there, message)


def plain(value: float) -> str:
    """A figure for people: four significant digits, no exponent.

    >>> plain(21.389), plain(0.03937), plain(1500.0), plain(123456.0)
    ('21.39', '0.03937', '1500', '123456')
    """
    if value == 0 or abs(value) >= 1000:
        return f"{value:.0f}"
    written = f"{value:.4g}"
    return written if "e" not in written else f"{value:.8f}".rstrip("0")


def _same_sort(first: Unit, second: Unit) -> tuple[Unit, Unit]:
    """A bare lb beside a force is a force."""
    if first.kind == second.kind:
        return first, second
    return as_force(first), as_force(second)


def _meanings(unit: Unit) -> tuple[Unit, ...]:
    return (unit, packaged().named(unit.other)) if unit.other else (unit,)

"""A measured value held against what a step prints: within, below, above, or in doubt."""

from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.quantities.amount import Amount
from benchleaf.graph.quantities.figures import figures
from benchleaf.graph.quantities.pairs import disagreement, plain
from benchleaf.graph.quantities.reading import Quantity
from benchleaf.graph.quantities.units import Unit, Units, as_force, packaged, same_kind, scaled

MeasureVerdict = Literal["within", "below", "above", "not said", "in doubt"]
_HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class Judged:
    """One printed value and how the measured one stands to it.

    `by` is how far it lies outside, in the measured value's unit (0 when within). `why` are the reasons for a
    doubt in plain words.
    """

    quantity: Quantity
    verdict: MeasureVerdict
    by: float = 0.0
    why: tuple[str, ...] = ()


def judge(measured: Amount, quantity: Quantity, units: Units | None = None) -> Judged:
    """How a measured value stands to a printed one, in each unit that is printed for it.

    The unit measured in decides where it is printed; otherwise the first one, converted. Where two printed
    units contradict each other and would judge differently, or a limit lies within the rounding of the
    conversion, the verdict is "in doubt".
    """
    unit = (units or packaged()).named(measured.unit)
    printed = [q for q in (quantity, *quantity.pairs) if same_kind(q.unit, unit)]
    own = [q for q in printed if q.unit.pint == unit.pint]
    if not printed:
        return Judged(quantity, "not said")
    main = _against(measured, unit, (own or printed)[0])
    others = [_against(measured, unit, q) for q in printed if q is not main.quantity]
    at_odds = [
        wrong.message
        for other in others
        if other.verdict != main.verdict
        and (wrong := disagreement(main.quantity, other.quantity)) is not None
    ]
    why = (*main.why, *at_odds, *(q.doubt for q in printed if q.doubt))
    verdict: MeasureVerdict = "in doubt" if why else main.verdict
    return Judged(quantity, verdict, main.by, tuple(dict.fromkeys(why)))


def _against(measured: Amount, unit: Unit, q: Quantity) -> Judged:
    if measured.low is None or measured.high is None:
        return Judged(q, "in doubt", 0.0, ("what was measured is itself a limit and no value",))
    ends = [scaled(v, *_meant(unit, q.unit)) for v in (measured.low, measured.high)]
    low, high, slack = q.low, q.high, _HAIR * max(1.0, *map(abs, ends))
    if q.single:
        return _against_one(unit, q, ends, slack)
    under = 0.0 if low is None else low - ends[0]
    over = 0.0 if high is None else ends[1] - high
    return _placed(measured, unit, q, under, over, slack)


def _placed(measured: Amount, unit: Unit, q: Quantity, under: float, over: float, slack: float) -> Judged:
    """By how far the measured value's ends lie outside a range."""
    edge = _rounding(measured, unit, q)
    span = scaled(measured.high or 0.0, *_meant(unit, q.unit)) - scaled(
        measured.low or 0.0, *_meant(unit, q.unit)
    )
    verdict: MeasureVerdict = "below" if under > slack else "above" if over > slack else "within"
    off = max(under, over, 0.0) if verdict != "within" else 0.0
    why: list[str] = []
    if span > slack and verdict != "within" and off < span - slack:
        why.append("what was measured lies partly inside and partly outside")
    if edge and any(abs(d) <= edge for d, bound in ((under, q.low), (over, q.high)) if bound is not None):
        why.append(
            f"it lies on the limit: {q.unit.name} and {unit.name} differ there by less than the last digit"
        )
    if q.unit.doubt:
        why.append(q.unit.doubt)
    return Judged(q, "in doubt" if why else verdict, difference(off, q.unit, unit), tuple(why))


def _against_one(unit: Unit, q: Quantity, ends: list[float], slack: float) -> Judged:
    """One printed value without tolerance: equal within its last printed digit is within."""
    assert q.nominal is not None
    half = q.low_step / 2 + slack
    if q.nominal - half <= ends[0] and ends[1] <= q.nominal + half and not q.unit.doubt:
        return Judged(q, "within")
    off = min(ends, key=lambda e: abs(e - (q.nominal or 0.0))) - q.nominal
    side = "above" if off > 0 else "below"
    far = f"{plain(abs(difference(off, q.unit, unit)))} {unit.name} {side} it"
    why = f"the step gives one value and no range ({q.printed}): what was measured is {far}"
    return Judged(q, "in doubt", abs(difference(off, q.unit, unit)), (why, *filter(None, (q.unit.doubt,))))


def _rounding(measured: Amount, unit: Unit, q: Quantity) -> float:
    """Half of the measured figure's last digit in the printed unit, where the two units differ."""
    if unit.pint == q.unit.pint:
        return 0.0
    steps = [f.step for f in figures(measured.printed)]
    half = min(steps) / 2 if steps else 0.0
    first, second = _meant(unit, q.unit)
    return abs(scaled(half, first, second) - scaled(0.0, first, second))


def _meant(one: Unit, other: Unit) -> tuple[Unit, Unit]:
    if one.kind == other.kind:
        return one, other
    return as_force(one), as_force(other)


def difference(off: float, source: Unit, unit: Unit) -> float:
    """A difference of two values in another unit: 5 °C apart is 9 °F apart."""
    first, second = _meant(source, unit)
    return scaled(off, first, second) - scaled(0.0, first, second)


def in_unit(q: Quantity, unit: Unit) -> tuple[float | None, float | None, float | None]:
    """Low, high and nominal of a printed value in another unit of its kind: as printed in it where it is."""
    for printed in (q, *q.pairs):
        if printed.unit.pint == unit.pint:
            return printed.low, printed.high, printed.nominal
    first, second = _meant(q.unit, unit)
    low, high, nominal = (None if v is None else scaled(v, first, second) for v in (q.low, q.high, q.nominal))
    return low, high, nominal

"""Figures and their joints to values: ranges, tolerances, limits.

One grammar serves what a person types (`amount.py`) and running text (`reading.py`).
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.quantities.figures import Figure, figures, spelt_figures
from benchleaf.graph.quantities.units import Unit, Units

_JOINT = re.compile(
    r"\s{0,3}(?:"
    r"(?P<plusminus>±|\+\s?/\s?[-−–]|\+[-−–]|\+ ?or ?[-−–]|plus (?:or|and) minus|plus/minus)"
    r"|(?P<range>\.{2,5}|…|to|up to|through|thru|till|until|bis|÷|~|-|–|—|−|/|(?P<and>and))\s{0,3}"
    r"(?P<sign>[-−+]?))\s{0,3}",
    re.IGNORECASE,
)
_PLUS = re.compile(r"\s{0,3}\+\s?")
_MINUS = re.compile(r"\s{1,3}[-−–]\s?|\s{0,2}[/,;]?\s{0,2}[-−–]\s?")
_SPACED_MINUS = re.compile(r"\s{1,3}[-−–]|\s{0,2}[/,;]\s{0,2}[-−–]\s?")
_THEN_PLUS = re.compile(r"\s{0,2}[/,;]?\s{0,2}\+\s?")
_GAP = re.compile(r"\s{0,3}")


@dataclass(frozen=True, slots=True)
class Mark:
    """A figure with the unit printed behind it, if any; `after` is where both end."""

    figure: Figure
    unit: Unit | None
    after: int


@dataclass(frozen=True, slots=True)
class Value:
    """A value as printed, in its own unit: inclusive bounds (None is open), nominal, last-digit steps.

    `used` counts the figures it took; `start` and `end` its place, limit words apart.
    """

    low: float | None
    high: float | None
    nominal: float | None
    unit: Unit | None
    low_step: float
    high_step: float
    start: int
    end: int
    used: int
    comma: bool = False
    single: bool = False


def marks(text: str, units: Units) -> list[Mark]:
    """Every figure of the text with the unit behind it."""
    found = [
        Mark(f, *unit)
        for f in spelt_figures(text)
        if (unit := units.at(text, f.end + 1)) and _is_word(f, unit)
    ]
    for figure in figures(text):
        gap = _GAP.match(text, figure.end)
        joint = figure.end if gap is None else gap.end()
        if joint == figure.end and text[joint : joint + 1] in "-\u2010\u2011":  # "5-mm shim"
            joint += 1
        unit = units.at(text, joint)
        found.append(Mark(figure, unit[0], unit[1]) if unit else Mark(figure, None, figure.end))
    return sorted(found, key=lambda m: m.figure.start)


def _is_word(figure: Figure, unit: tuple[Unit, int]) -> bool:
    """Whether the unit behind a spelt number is written out: "two in" and "one C" are no values."""
    return unit[1] - figure.end > 3


def value_at(text: str, row: Sequence[Mark], i: int, between: bool = False) -> Value:
    """The value that starts with figure `i`: alone, with tolerances, or the first of a range."""
    first = row[i]
    sign = _sign_before(text, first, row[i - 1].after if i else 0)
    value = -first.figure.value if sign else first.figure.value
    start = first.figure.start - sign
    if i + 1 < len(row) and first.figure.end <= row[i + 1].figure.start:
        made = _toleranced(text, row, i, value, start) or _ranged(text, row, i, value, start, between)
        if made:
            return made
    f = first.figure
    return Value(value, value, value, first.unit, f.step, f.step, start, first.after, 1, f.comma, True)


def _sign_before(text: str, mark: Mark, floor: int) -> int:
    """1 if a minus sign stands right before the figure and can only be its sign."""
    at = mark.figure.start - 1
    if at < floor or text[at] not in "-−":
        return 0
    return int(at == floor == 0 or text[at - 1 : at] in ("", " ", "(", "[", "\n"))


def _toleranced(text: str, row: Sequence[Mark], i: int, value: float, start: int) -> Value | None:
    first, second = row[i], row[i + 1]
    if not _agree(first.unit, second.unit):
        return None
    gap = text[first.after : second.figure.start]
    unit, size = second.unit or first.unit, second.figure.value
    joint = _JOINT.fullmatch(gap)
    if joint and joint["plusminus"]:
        return _spread(row, i, value, start, size, size, 2, unit)
    if _PLUS.fullmatch(gap):
        return _two_sided(text, row, i, value, start, size, 0.0, _MINUS, unit)
    if _SPACED_MINUS.fullmatch(gap) and size < abs(value):
        return _two_sided(text, row, i, value, start, 0.0, size, _THEN_PLUS, unit)
    return None


def _two_sided(
    text: str,
    row: Sequence[Mark],
    i: int,
    value: float,
    start: int,
    plus: float,
    minus: float,
    joint: re.Pattern[str],
    unit: Unit | None,
) -> Value | None:
    """`+0.05/-0.02`, `-0.02 +0.05`, or one of the two alone."""
    second = row[i + 1]
    if i + 2 < len(row) and _agree(unit, row[i + 2].unit):
        third = row[i + 2]
        if joint.fullmatch(text[second.after : third.figure.start]):
            size = third.figure.value
            plus, minus = (plus, size) if plus else (size, minus)
            return _spread(row, i, value, start, minus, plus, 3, third.unit or unit)
    if unit is None or (plus and plus >= abs(value)):
        return None
    return _spread(row, i, value, start, minus, plus, 2, unit)


def _spread(
    row: Sequence[Mark],
    i: int,
    value: float,
    start: int,
    minus: float,
    plus: float,
    used: int,
    unit: Unit | None,
) -> Value:
    last = row[i + used - 1]
    step = min(m.figure.step for m in row[i : i + used])
    comma = any(m.figure.comma for m in row[i : i + used])
    low, high = round(value - minus, 9), round(value + plus, 9)
    return Value(low, high, value, unit, step, step, start, last.after, used, comma)


def _ranged(text: str, row: Sequence[Mark], i: int, value: float, start: int, between: bool) -> Value | None:
    first, second = row[i], row[i + 1]
    joint = _JOINT.fullmatch(text[first.after : second.figure.start])
    if joint is None or joint["plusminus"] or not _agree(first.unit, second.unit):
        return None
    if joint["and"] and not between:
        return None
    if first.unit is not None and second.unit is None:  # "12 mm - 2": two things
        return None
    top = -second.figure.value if joint["sign"] in ("-", "−") and joint["sign"] else second.figure.value
    if top <= value:
        return None
    comma = first.figure.comma or second.figure.comma
    middle = round((value + top) / 2, 9)
    return Value(
        value, top, middle, second.unit or first.unit, first.figure.step, second.figure.step, start,
        second.after, 2, comma,
    )  # fmt: skip


def _agree(one: Unit | None, other: Unit | None) -> bool:
    return one is None or other is None or one.pint == other.pint

"""A value as a person types it: `2.5 mm ±0.05`, `2.45 to 2.55 mm`, `max. 0.3 mm`, `1-1/2 in`."""

import re
import unicodedata
from dataclasses import dataclass, replace

from benchleaf.graph.errors import WrongUse
from benchleaf.graph.quantities.limits import limit_after, limit_before
from benchleaf.graph.quantities.units import Unit, Units, packaged
from benchleaf.graph.quantities.values import Value, marks, value_at

_REMEDY = "write it as 2.5 mm, 2.45 to 2.55 mm, 2.5 ±0.05 mm or max. 0.3 mm"
_NOISE = re.compile(
    r"(?:about|approx(?:imately|\.)?|nominal(?:ly)?|from|between|must|not|be|of|is|=|:|[\s.,;()])*+",
    re.IGNORECASE,
)
_LONGEST = 200


@dataclass(frozen=True, slots=True)
class Amount:
    """A value with its unit: inclusive bounds, None where open; `nominal` is the middle or the one value.

    A single value has low = high = nominal. `unit` is benchleaf's print of it, `printed` the words as given.
    """

    low: float | None
    high: float | None
    nominal: float | None
    unit: str
    kind: str
    printed: str


def read_amount(words: str, unit: str | None = None, units: Units | None = None) -> Amount:
    """What a person typed, in `unit` where the words name none.

    Raises `WrongUse` with the remedy for words that are no value, two values, or a figure that can be read
    in two ways (`1,250`).

    >>> a = read_amount("2.5 ±0.05 mm")
    >>> a.low, a.high, a.unit, a.kind
    (2.45, 2.55, 'mm', 'length')
    """
    table = units or packaged()
    text = unicodedata.normalize("NFC", words).strip()[:_LONGEST]
    row = marks(text, table)
    if not row:
        raise WrongUse(f"{words!r} holds no figure", _REMEDY)
    value = value_at(text, row, 0, between="between" in text.lower())
    value, start, end = _limited(text, value)
    if value.used < len(row) or not _quiet(text[:start]) or not _quiet(text[end:]):
        raise WrongUse(f"{words!r} cannot be read as one value", _REMEDY)
    if value.comma:
        raise WrongUse(f"the comma in {words!r} may part thousands or decimals", "write it with a point")
    return _amount(words, value, value.unit or _given(words, unit, table))


def _given(words: str, unit: str | None, table: Units) -> Unit:
    if unit is None:
        raise WrongUse(f"{words!r} names no unit", "write the unit behind the figure, such as 2.5 mm")
    return table.named(unit)


def _limited(text: str, value: Value) -> tuple[Value, int, int]:
    """The value opened by `max` or `min` before or behind it, and the place of all of it."""
    before, after = limit_before(text, value.start), limit_after(text, value.end)
    start = before.at if before else value.start
    end = after.at if after else value.end
    limit = before or after
    if not value.single or limit is None:
        return value, start, end
    return (replace(value, low=None) if limit.side == "max" else replace(value, high=None)), start, end


def _quiet(text: str) -> bool:
    return _NOISE.fullmatch(text) is not None


def _amount(words: str, value: Value, unit: Unit) -> Amount:
    return Amount(value.low, value.high, value.nominal, unit.name, unit.kind, words.strip())

"""Values with units in running text: ranges, tolerances, limits, and the second unit printed for a value.

What may mislead is left out (threads, part numbers, counts) or carries a doubt in plain words.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.quantities.limits import Limit, limit_after, limit_before
from benchleaf.graph.quantities.units import Unit, Units, as_force, packaged
from benchleaf.graph.quantities.values import Mark, Value, marks, value_at

_LONGEST = 100_000
_HEAT = re.compile(r"\b(?:temp|heat|warm|cool|hot|cold|oven|bath|oil|ambient)", re.IGNORECASE)
_FORCE = re.compile(
    r"\b(?:force|load|pull|push|preload|drag|spring|press|tension|effort|scale|thrust)", re.IGNORECASE
)
# "12 mm spanner", "8 mm long-reach socket": the size of a thing and nothing to be measured
_SIZE_AFTER = re.compile(
    r"[\s-]{1,2}(?:a/f\b|af\b|across flats|(?:(?!(?:the|on|to|at|in|of|for|and|with|by|an?|from|each|all"
    r"|below|above|into|onto|or|max|min)\b)\w{1,12}[\s-]){0,2}?(?:allen|hex|hexagon|torx|socket|spanner|wrench|key"
    r"|drill|punch|drift|bolts?|cap ?screws?|screws?|studs?|tubes?|pipe|hose|tap|bar stock|feeler|plug|o-ring"
    r"|thread)\b)",
    re.IGNORECASE,
)
# "a 0 to 60 bar gauge", "a gauge of 0 to 60 bar": what an instrument can show
_SHOWN_AFTER = re.compile(
    r"[\s-]{1,2}(?:(?:pressure|vacuum|dial|test|oil)\s)?ga?u?ge(?! pressure)\b", re.IGNORECASE
)
_SHOWN_BEFORE = re.compile(
    r"\b(?:ga?u?ge|wrench|thermometer|balance|instrument)s?,? (?:of|for|with a range of|range|ranging"
    r" from)\s$",
    re.IGNORECASE,
)
_SIZE_BEFORE = re.compile(r"(?:[0-9]\s?[x×]\s?|\b(?:M|NPT|BSP|UNC|UNF)\s?[0-9.,]{1,6}\s?[x×]\s?)$")
_PAIR = re.compile(
    r"\s{0,2}(?:[(\[{]|/|=|≈|;|,|\bor\b|\bi\.e\.,?)\s{0,2}"
    r"(?:(?:about|approx(?:\.|imately)?|equals|or|i\.e\.,?|max\.?|min\.?|=|≈|~|ca\.?)\s{0,2})?-?",
    re.IGNORECASE,
)
_QUOTE = re.compile(r"[\"“”]")
_SHARED = "two figures share this unit: a range, or two values"
_BIG = ("psi", "rpm", "lbf", "lb", "lbf·ft", "lbf·in", "N")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in running text. Bounds are inclusive and in `unit`, None is open; `nominal` is the middle or
    the one value.

    `low_step` and `high_step` are the worth of the last printed digit. `single` tells that one value is given
    without tolerance or limit, `size` that it names a tool or a fastener rather than something to measure.
    `pair` is the same value in a second unit, and that one's `pair` the third. `doubt` says what about the
    reading is not certain. `start` and `end` are its place in the text, its pair left out.
    """

    low: float | None
    high: float | None
    nominal: float | None
    unit: Unit
    printed: str
    start: int
    end: int
    low_step: float
    high_step: float
    single: bool = False
    size: bool = False
    doubt: str = ""
    pair: "Quantity | None" = None

    @property
    def kind(self) -> str:
        """What it measures: torque, length, pressure …"""
        return self.unit.kind

    @property
    def pairs(self) -> "tuple[Quantity, ...]":
        """The same value in further units, in the order printed."""
        return () if self.pair is None else (self.pair, *self.pair.pairs)


def read_quantities(text: str, units: Units | None = None) -> tuple[Quantity, ...]:
    """The values with units that a text holds, in its order.

    >>> [(q.low, q.high, q.unit.name) for q in read_quantities("Tighten to 80 ... 95 N·m (59–70 lbf·ft).")]
    [(80.0, 95.0, 'N·m')]
    """
    text = text[:_LONGEST]
    found = _plain(text, units or packaged())
    chained: list[Quantity] = []
    for q in reversed(found):
        follower = chained[-1] if chained else None
        if follower is not None and _is_pair(text, q, follower):
            chained[-1] = _joined(text, q, follower)
        else:
            chained.append(q)
    return tuple(reversed(chained))


def _joined(text: str, one: Quantity, two: Quantity) -> Quantity:
    """A value with its second unit; `0.05 mm (0.002 in) max.` bounds both."""
    if one.single:
        closed = re.compile(r"\s?\.?\s?[)\]}]").match(text, two.end)
        limit = limit_after(text, closed.end()) if closed else None
        side = limit.side if limit else None if two.single else "max" if two.low is None else "min"
        if side and two.low in (None, two.nominal) and two.high in (None, two.nominal):
            one, two = _bounded(one, side), _bounded(two, side)
    elif two.single and None in (one.low, one.high):
        two = _bounded(two, "max" if one.low is None else "min")
    return replace(one, pair=two)


def _bounded(q: Quantity, side: str) -> Quantity:
    low, high = (None, q.nominal) if side == "max" else (q.nominal, None)
    return replace(q, low=low, high=high, single=False)


def step_values(text: str | None, units: Units | None = None) -> tuple[Quantity, ...]:
    """The values of a step's words that something measured can be held against: sizes are left out."""
    return tuple(q for q in read_quantities(text or "", units) if not q.size)


def _plain(text: str, units: Units) -> list[Quantity]:
    row = marks(text, units)
    inches, comma = _inch_signs(text), _comma_parts(text)
    found, i = [], 0
    while i < len(row):
        value = value_at(text, row, i, _between(text, row, i))
        if value.unit is not None and _stands(text, row, i, value, inches):
            read = _quantity(text, value, value.unit, comma)
            found.append(replace(read, doubt=_SHARED) if _shares(text, row, i) else read)
        i += value.used
    return found


def _shares(text: str, row: Sequence[Mark], i: int) -> bool:
    """Whether a figure without a unit stands joined before this one: `0.3 and 0.6 mm`."""
    if not i or row[i - 1].unit is not None:
        return False
    return (
        re.fullmatch(r"\s?(?:,|,? ?and|,? ?or)\s", text[row[i - 1].after : row[i].figure.start]) is not None
    )


def _comma_parts(text: str) -> str:
    """What a comma parts in this text, by its other figures: `decimals`, `thousands`, or "" if none tells."""
    if re.search(
        r"(?<![0-9.,])[0-9]{1,4},(?:[0-9]{1,2}|[0-9]{4,6})(?![0-9.,])|(?<![0-9.,])0,[0-9]{3}(?![0-9])", text
    ):
        return "decimals"
    return "thousands" if re.search(r"(?<![0-9.,])[0-9]{1,4}\.[0-9]{1,3}(?![0-9.,])", text) else ""


def _between(text: str, row: Sequence[Mark], i: int) -> bool:
    lead = text[max(0, row[i].figure.start - 30) : row[i].figure.start].lower()
    return bool(re.search(r"\b(?:between|from)\s{1,3}$", lead))


def _stands(text: str, row: Sequence[Mark], i: int, value: Value, inches: frozenset[int]) -> bool:
    """Whether the unit's spelling is one here: a lone C, `in` or `"` may be something else."""
    last = row[i + value.used - 1]
    mark = last if last.unit is not None else row[i]
    if mark.unit is None:
        return False
    if (
        i
        and row[i - 1].unit is None
        and row[i - 1].after == value.start - 1
        and text[value.start - 1] in "-–—"
    ):
        return False  # the tail of 7731-20, or of a range that runs down
    spelt = text[mark.figure.end : mark.after].strip()
    if mark.unit.loose:
        lead = text[max(0, value.start - 80) : value.start]
        return value.nominal is not None and value.nominal >= 20 and bool(_HEAT.search(lead))
    if spelt[-1:] in ('"', "”"):
        return mark.after - 1 in inches
    if spelt.lower() == "in":
        return _is_inch_word(text, mark, value)
    if spelt.lower() == "min":  # "2.5 min." and "serial 10233 min 5" speak of a minimum
        return float(mark.figure.value).is_integer() and not re.match(r"\.?\s?[0-9]", text[mark.after :][:4])
    return True


def _inch_signs(text: str) -> frozenset[int]:
    """Where a quotation mark behind a digit is an inch: where no quotation is open."""
    found, open_ = set(), False
    for m in _QUOTE.finditer(text):
        if m.group() == "“":
            open_ = True
        elif not open_ and text[m.start() - 1 : m.start()].strip()[-1:].isalnum():
            found.add(m.start())
        else:
            open_ = m.group() == '"' and not open_
    return frozenset(found)


def _is_inch_word(text: str, mark: Mark, value: Value) -> bool:
    """A bare whole number before `in` needs a sign that inches are meant."""
    if not float(mark.figure.value).is_integer() or mark.figure.step < 1 or value.used > 1:
        return True
    after = text[mark.after : mark.after + 14]
    return not after or bool(
        re.match(
            r"\.|[),;:\])/]|\s{0,2}\(|\s{1,2}(?:thick|long|wide|deep|dia|high|from|max|min|or|to|bore)", after
        )
    )


def _quantity(text: str, value: Value, unit: Unit, comma: str) -> Quantity:
    limit = _limit(text, value) if value.single else None
    low = None if limit and limit.side == "max" else value.low
    high = None if limit and limit.side == "min" else value.high
    start = limit.at if limit and limit.at < value.start else value.start
    end = limit.at if limit and limit.at > value.end else value.end
    read = Quantity(
        low=low,
        high=high,
        nominal=value.nominal,
        unit=_meant(text, value, unit),
        printed=" ".join(text[start:end].strip(" (,").split()),
        start=start,
        end=end,
        low_step=value.low_step,
        high_step=value.high_step,
        single=value.single and limit is None,
        size=_is_size(text, value, unit),
        doubt=limit.doubt if limit else "",
    )
    return _with_comma(read, comma) if value.comma else read


def _limit(text: str, value: Value) -> Limit | None:
    return limit_after(text, value.end) or limit_before(text, value.start)


def _is_size(text: str, value: Value, unit: Unit) -> bool:
    """Whether the value is the size of a tool or a fastener, or the range of an instrument."""
    lead = max(0, value.start - 40)
    if _SHOWN_AFTER.match(text, value.end) or _SHOWN_BEFORE.search(text, lead, value.start):
        return True
    if unit.kind != "length":
        return False
    return bool(_SIZE_AFTER.match(text, value.end) or _SIZE_BEFORE.search(text, lead, value.start))


def _with_comma(read: Quantity, comma: str) -> Quantity:
    """A value such as 1,250: by the text's other figures, or by a unit that has no use for thousandths."""
    if comma == "thousands" or (not comma and read.unit.name in _BIG):
        return read
    if not comma:
        return replace(read, doubt="the comma may part thousands or decimals")
    low, high, nominal = (None if v is None else v / 1000 for v in (read.low, read.high, read.nominal))
    return replace(read, low=low, high=high, nominal=nominal, low_step=0.001, high_step=0.001)


def _meant(text: str, value: Value, unit: Unit) -> Unit:
    """A bare lb or kg is a force where the words around speak of one."""
    if unit.name not in ("lb", "kg"):
        return unit
    around = text[max(0, value.start - 80) : value.end + 40]
    return as_force(unit) if _FORCE.search(around) else unit


def _is_pair(text: str, one: Quantity, two: Quantity) -> bool:
    """Whether the second is the first in another unit: of its kind, a bracket, slash or comma between."""
    if one.unit.pint == two.unit.pint or not _alike(one, two) or one.size:
        return False
    same_ends = (one.low is None, one.high is None) == (two.low is None, two.high is None)
    if not (same_ends or one.single or two.single):
        return False
    gap = text[one.end : two.start]
    return bool(_PAIR.fullmatch(gap))


def _alike(one: Quantity, two: Quantity) -> bool:
    return one.kind == two.kind or {one.kind, two.kind} == {"mass", "force"}

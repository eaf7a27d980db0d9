"""Applicability: does a note or statement hold for this unit.

The answer is three-valued: what cannot be told without knowing more "depends", and says on what.
"""

import datetime as dt
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.keys import key, key_with_gaps
from benchleaf.graph.model import Applies

Answer = Literal["yes", "no", "depends"]

_SERIAL = re.compile(r"(.{0,60}?)([0-9]{1,30})([A-Z]{0,10})")
_THOUSANDS = re.compile(r"[0-9]{1,3}(?:[\s.,'][0-9]{3}){1,4}")
_RUN_DASH = "\u2013"  # en dash: a run of serials among exceptions, see `Applies`
_EDGE_UNSAID = re.compile(
    r"it is not said whether|(?!.{0,200}(?:limited further|left out|differ|not read))"
    r".{0,200}(?:inclusive|exclusive|includes|bound|prior to)",
    re.IGNORECASE,
)
"""How a doubt reads that concerns only the unit right at a bound. A further limit never does, whatever words
it quotes (`only units fitted with the pump used before 1990`)."""


@dataclass(frozen=True, slots=True)
class Unit:
    """The unit on the bench: model, serial number, date of build; None where unknown."""

    model: str | None = None
    serial: str | None = None
    built: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Cover:
    """Whether a unit is covered. `on` names what it depends on: "model", "serial", "build date" or a
    doubt."""

    answer: Answer
    on: tuple[str, ...] = ()


_YES, _NO = Cover("yes"), Cover("no")


def covers(applies: Applies, unit: Unit) -> Cover:
    """Whether `applies` holds for `unit`. Kits are not judged here: they depend on what is on the bench.

    >>> covers(Applies(models=("K 7",), serial_from="1200"), Unit("K7", "1199")).answer
    'no'
    >>> covers(Applies(serial_from="1200"), Unit("K7")).on
    ('serial',)
    """
    checks = [_model(applies, unit), _serial(applies, unit), _built(applies, unit)]
    checks += [_exception(printed, applies, unit) for printed in applies.excepted]
    checks.append(_unclear(applies, unit))
    if any(c.answer == "no" for c in checks):
        return _NO
    on = tuple(dict.fromkeys(o for c in checks if c.answer == "depends" for o in c.on))
    return Cover("depends", on) if on else _YES


def serial_order(one: str, other: str) -> int | None:
    """-1, 0 or 1 as `one` comes before, is, or comes after `other`; None if the two cannot be compared.

    Plain numbers compare as numbers; otherwise letters and leading groups must be the same on both sides
    and the last group of digits decides. Serials of different series have no order (common practice, no
    source).

    >>> serial_order("A 0999", "A1000"), serial_order("98-0412", "99-0003")
    (-1, None)
    """
    if key(one) == key(other):
        return 0
    first, second = _aligned(one, other)
    if first is None or second is None or first[0] != second[0] or first[2] != second[2]:
        return None
    return (first[1] > second[1]) - (first[1] < second[1])


def contains(wide: Applies, narrow: Applies) -> bool:
    """Whether every unit that `narrow` names is certainly named by `wide` too."""
    models = not wide.models or (bool(narrow.models) and _keys(narrow.models) <= _keys(wide.models))
    serials = _not_after(wide.serial_from, narrow.serial_from) and _not_after(
        narrow.serial_to, wide.serial_to, open_last=True
    )
    built = (wide.built_from is None or (narrow.built_from or dt.date.min) >= wide.built_from) and (
        wide.built_to is None or (narrow.built_to or dt.date.max) <= wide.built_to
    )
    return (
        models
        and serials
        and built
        and _keys(wide.excepted) <= _keys(narrow.excepted)
        and (not wide.unclear or wide == narrow)
    )


def apart(one: Applies, other: Applies) -> bool:
    """Whether the two certainly have no unit in common."""
    if one.models and other.models and not _keys(one.models) & _keys(other.models):
        return True
    return any(
        low is not None and high is not None and serial_order(high, low) == -1
        for low, high in ((one.serial_from, other.serial_to), (other.serial_from, one.serial_to))
    )


def words(applies: Applies) -> str:
    """The units named, in plain words; "all units" if nothing narrows them."""
    said = []
    if applies.models:
        said.append("model " + ", ".join(applies.models))
    if applies.serial_from or applies.serial_to:
        said.append("serial " + _run(applies.serial_from, applies.serial_to))
    if applies.built_from or applies.built_to:
        first = applies.built_from.isoformat() if applies.built_from else None
        last = applies.built_to.isoformat() if applies.built_to else None
        said.append("built " + _run(first, last))
    if applies.excepted:
        said.append("except " + ", ".join(applies.excepted))
    if applies.kits:
        said.append("with kit " + ", ".join(applies.kits))
    return "; ".join(said) or "all units"


def _run(first: str | None, last: str | None) -> str:
    if first and last:
        return f"{first} to {last}"
    return f"from {first}" if first else f"up to {last}"


def _keys(numbers: Iterable[str]) -> set[str]:
    return {key(n) for n in numbers}


def _model(applies: Applies, unit: Unit) -> Cover:
    if not applies.models:
        return _YES
    if unit.model is None:
        return Cover("depends", ("model",))
    return _YES if key(unit.model) in _keys(applies.models) else _NO


def _serial(applies: Applies, unit: Unit) -> Cover:
    inside = _within(applies.serial_from, applies.serial_to, unit.serial)
    unsure = any(_EDGE_UNSAID.match(doubt) and not doubt.endswith(_DAY) for doubt in applies.unclear)
    if inside.answer == "no" and unsure and unit.serial and _at_a_bound(applies, unit.serial):
        return Cover("depends", ("serial",))
    return inside


def _within(first: str | None, last: str | None, serial: str | None) -> Cover:
    if first is None and last is None:
        return _YES
    if serial is None:
        return Cover("depends", ("serial",))
    low = 0 if first is None else serial_order(serial, first)
    high = 0 if last is None else serial_order(serial, last)
    if low == -1 or high == 1:
        return _NO
    return Cover("depends", ("serial",)) if low is None or high is None else _YES


def _built(applies: Applies, unit: Unit) -> Cover:
    if applies.built_from is None and applies.built_to is None:
        return _YES
    if unit.built is None:
        return Cover("depends", ("build date",))
    after = applies.built_from is None or unit.built >= applies.built_from
    before = applies.built_to is None or unit.built <= applies.built_to
    return _YES if after and before else _NO


def _exception(printed: str, applies: Applies, unit: Unit) -> Cover:
    first, dash, last = printed.partition(_RUN_DASH)
    if dash:
        inside = _within(first.strip() or None, last.strip() or None, unit.serial)
        return _NO if inside.answer == "yes" else _YES if inside.answer == "no" else inside
    if key(printed) in {key(unit.model or ""), key(unit.serial or "")}:
        return _NO
    if key(printed) in _keys(applies.models) or not _serial_like(printed, applies):
        return Cover("depends", ("model",)) if unit.model is None else _YES
    return Cover("depends", ("serial",)) if unit.serial is None else _YES


def _serial_like(printed: str, applies: Applies) -> bool:
    """An exception is a serial if it is a plain number, of the bounds' series, or ends in four digits or
    more."""
    bounds = [b for b in (applies.serial_from, applies.serial_to) if b]
    if any(serial_order(printed, bound) is not None for bound in bounds):
        return True
    return key(printed).isdigit() or re.search(r"[0-9]{4}$", key(printed)) is not None


def _unclear(applies: Applies, unit: Unit) -> Cover:
    """A bound of unsure inclusion matters only to the unit that stands right at it."""
    on = tuple(doubt for doubt in applies.unclear if not _far_from_bound(doubt, applies, unit))
    return Cover("depends", on) if on else _YES


_DAY = "that day itself"
"""How a doubt ends that concerns the day at a bound, not a serial number."""


def _far_from_bound(doubt: str, applies: Applies, unit: Unit) -> bool:
    """Whether a doubt concerns only the units right at a bound, and this unit is none of them."""
    if _EDGE_UNSAID.match(doubt) is None:
        return False
    if doubt.endswith(_DAY):
        days = [d for d in (applies.built_from, applies.built_to) if d is not None]
        return bool(days) and unit.built is not None and unit.built not in days
    bounded = applies.serial_from is not None or applies.serial_to is not None
    return bounded and unit.serial is not None and not _at_a_bound(applies, unit.serial)


def _at_a_bound(applies: Applies, serial: str) -> bool:
    return any(_beside(serial, b) for b in (applies.serial_from, applies.serial_to) if b)


def _beside(serial: str, bound: str) -> bool:
    one, other = _aligned(serial, bound)
    if one is None or other is None or one[0] != other[0]:
        return True
    return abs(one[1] - other[1]) <= 1


def _not_after(first: str | None, second: str | None, *, open_last: bool = False) -> bool:
    """`first` ≤ `second`; an open bound is the lowest of all, or with `open_last` the highest."""
    unbounded, bounded = (second, first) if open_last else (first, second)
    if unbounded is None:
        return True
    return bounded is not None and serial_order(first or "", second or "") in (-1, 0)


_Split = tuple[str, int, str] | None


def _aligned(one: str, other: str) -> tuple[_Split, _Split]:
    """Both split the same way, so that `981234` typed without its hyphen compares with `98-1000`."""
    first, second = _groups(one), _groups(other)
    if len(first) != len(second) and 1 in (len(first), len(second)):
        first, second = _cut_alike(first, second), _cut_alike(second, first)
    return _split(first), _split(second)


def _groups(serial: str) -> list[str]:
    """Groups of letters and digits between separators; `12 345` and `12.345` are one number, `12-345` is
    not."""
    plain = serial.strip()
    return [key(plain)] if _THOUSANDS.fullmatch(plain) else key_with_gaps(plain).split()


def _cut_alike(groups: list[str], pattern: list[str]) -> list[str]:
    joined = "".join(groups)
    if len(groups) > 1 or len(joined) != len("".join(pattern)):
        return groups
    ends = [sum(len(p) for p in pattern[: i + 1]) for i in range(len(pattern))]
    return [joined[start:end] for start, end in zip([0, *ends], ends, strict=False)]


def _split(groups: list[str]) -> _Split:
    match = _SERIAL.fullmatch(" ".join(groups))
    return (key(match[1]), int(match[2]), match[3]) if match else None

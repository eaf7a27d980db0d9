"""Changing one value inside a step's words, so that nothing else in the step is touched."""

import re
from dataclasses import dataclass

from benchleaf.graph.values import value_spans

_NUMBER = re.compile(r"[0-9]{1,12}(?:[.,][0-9]{1,6})?")
_UNIT = re.compile(r"[0-9]{1,12}(?:[.,][0-9]{1,6})?(\s{0,2}[^\W\d_][\w·./°²³]{0,8})")
_TORQUE = re.compile(r"N\s{0,2}[·.⋅∙*-]?\s{0,2}m\b", re.IGNORECASE)
_TORQUE_FORMS = ("Nm", "N·m", "N m", "N.m", "N⋅m")


@dataclass(frozen=True, slots=True)
class Swap:
    """The new words, or None and the reason why nothing was changed."""

    text: str | None
    why: str = ""


def swap(text: str, was: str, now: str) -> Swap:
    """Put `now` for `was`, if `was` stands whole and exactly once in `text`.

    >>> swap("First to 9 Nm, then to 19 Nm.", "9 Nm", "11 Nm").text
    'First to 11 Nm, then to 19 Nm.'
    """
    spans = places(was, text)
    if len(spans) == 1:
        start, end = spans[0]
        return Swap(text[:start] + _with_unit(text[start:end], now) + text[end:])
    if spans:
        return Swap(None, f"“{was}” stands {len(spans)} times in the step, so it is not clear which is meant")
    already = " (it already says " + f"“{now}”)" if places(now, text) else ""
    return Swap(None, f"the step in force does not say “{was}”{already}")


def places(value: str, text: str) -> list[tuple[int, int]]:
    """Where `value` stands whole in `text` (start, end): not inside a longer number, nor with another unit.

    >>> places("9 N·m", "first to 9 Nm, then to 19 Nm")
    [(9, 13)]
    """
    found = {s for form in _forms(value) for s in value_spans(form, text)}
    return sorted(s for s in found if _whole(text, *s))


def _forms(value: str) -> tuple[str, ...]:
    """The value as written, and with the newton metre in its usual spellings."""
    if not _TORQUE.search(value):
        return (value,)
    return (value, *(_TORQUE.sub(form, value) for form in _TORQUE_FORMS))


def _whole(text: str, start: int, end: int) -> bool:
    """False inside a longer number or part number, after a sign, or where a compound unit goes on."""
    before, after = text[max(0, start - 3) : start], text[end : end + 3]
    if re.match(r"[·⋅*/][^\W\d_]|\.[^\W\d_]", after):
        return False
    if text[start].isdigit() and re.search(r"(?:^|[\s(])[-−–]$", before):
        return False
    if _NUMBER.fullmatch(text[start:end]):
        return not re.search(r"[\w][-/]$|[0-9]\s$", before) and not re.match(r"\s[0-9]|[-/]\w", after)
    return True


def _with_unit(old: str, now: str) -> str:
    """A bare number put for a number with a unit keeps the unit: “change 9 Nm to 11”."""
    unit = _UNIT.fullmatch(old.strip())
    return now.strip() + unit[1] if unit and _NUMBER.fullmatch(now.strip()) else now

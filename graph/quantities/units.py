"""Units as papers print them: each spelling's kind, its canonical print and its meaning to pint.

The factors are pint's; `tests/outside/test_units_sp811.py` holds them against NIST SP 811. pint is imported
at the first conversion and not before: reading words needs none.
"""

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from benchleaf.graph.errors import WrongUse

OWN_UNITS = "units.toml"
_DROP = str.maketrans(
    dict.fromkeys(" \t\n\r\u00a0\u2009.·•⋅∙*×-\u2010\u2011–−_")
    | {"²": "2", "³": "3", "º": "°", "˚": "°", "μ": "µ", "Ω": "Ω", "″": '"', "“": '"', "”": '"', "’": "'"}
)
_BETWEEN = r"[\s.·•⋅∙*×\u2010\u2011–−_-]{0,3}"
_SAME = {"2": "[2²]", "3": "[3³]", "°": "[°º˚]", "µ": "[µμ]", '"': '["″”]', "-": "[-−]", "'": "['’\u2032]"}
# "in" is mostly the little word and no inch before these
_NOT_INCH = (
    r"(?!\s{1,2}(?:the|an?|each|every|one|both|this|that|these|its|their|order|place|position|line|turn"
    r"|number|front|oil|clean|water|steps?|stages|all|any|two|three|four|which|accordance|section|chapter"
    r"|figure|fig|table|item|new|total|between|pairs?|sets?|kit|case|use)\b)"
)


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: the print benchleaf uses, what it measures, pint's expression.

    `doubt` says why the name alone is not one unit ("a pint may be …"), `other` which the other one is.
    `loose` spellings are units only where the words around them say so.
    """

    name: str
    kind: str
    pint: str
    doubt: str = ""
    other: str = ""
    loose: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Units:
    """The table: units by folded spelling, and the pattern that finds a spelling at a place in text."""

    by_spelling: dict[str, Unit]
    pattern: re.Pattern[str]

    def find(self, spelling: str) -> Unit | None:
        """The unit so spelt, or None."""
        return self.by_spelling.get(folded(spelling))

    def named(self, spelling: str) -> Unit:
        """The unit so spelt; raises `WrongUse` with what there is."""
        found = self.find(spelling)
        if found is None:
            raise WrongUse(f"{spelling!r} is no unit known here", f"units are {', '.join(self.names())}")
        return found

    def at(self, text: str, place: int) -> tuple[Unit, int] | None:
        """The longest unit that starts at this place of the text, and where it ends."""
        found = self.pattern.match(text, place)
        if found is None:
            return None
        unit = self.by_spelling.get(folded(found.group()))
        return (unit, found.end()) if unit else None

    def names(self) -> tuple[str, ...]:
        """Every unit's print, once, in the table's order."""
        return tuple(dict.fromkeys(u.name for u in self.by_spelling.values()))


def folded(spelling: str) -> str:
    """A spelling without blanks, stops, hyphens, times signs and capitals; one letter stays as it is."""
    bare = spelling.translate(_DROP)
    return bare if len(bare) == 1 else bare.casefold()


@cache
def load(extra: Path | None = None) -> Units:
    """The packaged table, with a shop's own file of the same shape added to it.

    Raises `WrongUse` naming the file if it is not of that shape. The packaged spelling wins over the shop's.
    """
    packaged_text = resources.files("benchleaf.graph.quantities").joinpath("units.toml").read_text("utf-8")
    entries = list(tomllib.loads(packaged_text)["unit"])
    if extra is not None and extra.exists():
        entries += _own(extra)
    by_spelling: dict[str, Unit] = {}
    spelt: dict[str, None] = {}
    for raw in entries:
        unit = Unit(**{k: v for k, v in raw.items() if k != "spellings"})
        for spelling in (unit.name, *raw["spellings"]):
            for form in _forms(spelling):
                by_spelling.setdefault(folded(form), unit)
                spelt[form] = None
    return Units(by_spelling, re.compile(_alternation(spelt)))


def packaged() -> Units:
    """The table as shipped."""
    return load()


def _own(extra: Path) -> list[dict[str, Any]]:
    """A shop's own units; each must be of the table's shape and understood by pint."""
    try:
        entries = list(tomllib.loads(extra.read_text("utf-8"))["unit"])
        for raw in entries:
            Unit(**{k: v for k, v in raw.items() if k != "spellings"})
            raw["spellings"] = [str(s) for s in raw.get("spellings", [])]
            if not all(folded(s) for s in (str(raw["name"]), *raw["spellings"])):
                raise ValueError(f"the unit {raw['name']!r} has an empty spelling")
            _registry().Quantity(1.0, _registry().parse_expression(raw["pint"]).units)
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as wrong:
        raise WrongUse(
            f"{extra.name} cannot be used: {wrong}",
            "each [[unit]] needs name, kind, pint and spellings, as the packaged units.toml",
        ) from wrong
    return entries


def _forms(spelling: str) -> Iterator[str]:
    """A spelling with and without its plural s; OCR often takes the l of lb for a capital I."""
    for form in dict.fromkeys((spelling.replace("s?", "", 1), spelling.replace("s?", "s", 1))):
        yield form
        if re.match(r"lb|(?:ft|in|inch|foot)·lb", form):
            yield form.replace("lb", "Ib", 1)


def _alternation(spelt: dict[str, None]) -> str:
    """Spellings grouped by their first sign, so that a place without any is left at once."""
    groups: dict[str, list[str]] = {}
    for form in sorted(spelt, key=len, reverse=True):
        first = _sign(form[0], len(form) > 1)
        groups.setdefault(first, []).append(_pattern(form))
    return "|".join(f"{first}(?:{'|'.join(rest)})" for first, rest in groups.items())


def _pattern(form: str) -> str:
    """What follows the first sign of a spelling, with the boundary after it."""
    rest = "".join(_sign(c, len(form) > 1) for c in form[1:])
    if form[-1] in "\"'":
        return rest
    inch = _NOT_INCH if re.search(r"(?:^|[^a-z])in$", form, re.IGNORECASE) else ""
    return rest + (r"(?![\w°])(?!\.?/\s?[A-Za-z])" if form[-1] not in "°" else r"(?![A-Za-z])") + inch


def _sign(c: str, any_case: bool) -> str:
    if c in "· ":
        return _BETWEEN
    if c == "/":
        return r"[\s.]{0,2}/\s{0,2}"
    if c in _SAME:
        return _SAME[c]
    if any_case and c.isalpha() and c.lower() != c.upper():
        return f"[{c.lower()}{c.upper()}]"
    return re.escape(c)


@cache
def _registry() -> Any:
    """pint's registry, made once; Any because pint's own types name hidden classes."""
    import pint

    return pint.UnitRegistry(cache_folder=None)


def same_kind(one: Unit, other: Unit) -> bool:
    """Whether values of the two can be held against each other; a bare lb or kg may be meant as a force."""
    return one.kind == other.kind or {one.kind, other.kind} == {"mass", "force"}


def as_force(unit: Unit) -> Unit:
    """The unit of force that goes by the name of a unit of mass: lb → lbf, kg → kgf; others unchanged."""
    return packaged().named({"lb": "lbf", "kg": "kgf"}.get(unit.name, unit.name))


def convert(value: float, unit: str, to: str, units: Units | None = None) -> float:
    """A value in another unit, by pint. Raises `WrongUse` for unknown spellings and different kinds.

    lb and kg count as lbf and kgf where the other unit is one of force. A spelling that may be two units
    (pint, quart, gallon) is refused unless both sides are the same.
    """
    table = units or packaged()
    source, target = table.named(unit), table.named(to)
    if source.pint == target.pint and source.kind == target.kind:
        return value
    for one in (source, target):
        if one.doubt:
            raise WrongUse(f"{one.name}: {one.doubt}", f"write US {one.name} or Imp {one.name}")
    if {source.kind, target.kind} == {"mass", "force"}:
        source, target = as_force(source), as_force(target)
    if source.kind != target.kind:
        raise WrongUse(
            f"{source.name} is a {source.kind} and {target.name} is a {target.kind}", f"give a {target.kind}"
        )
    return scaled(value, source, target)


@cache
def _line(source: str, target: str) -> tuple[float, float]:
    """Factor and offset from one pint expression to another; temperatures are the ones with an offset."""
    registry = _registry()
    if source in ("degC", "degF", "kelvin"):
        at0, at100 = (registry.Quantity(v, source).to(target).magnitude for v in (0.0, 100.0))
        return (at100 - at0) / 100.0, at0
    one = registry.parse_expression(source) / registry.parse_expression(target)
    return float(one.to("dimensionless").magnitude), 0.0


def scaled(value: float, source: Unit, target: Unit) -> float:
    """A value of one unit in another of the same kind, with no question asked."""
    factor, offset = _line(source.pint, target.pint)
    return value * factor + offset

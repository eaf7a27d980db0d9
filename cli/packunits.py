"""The shop's units: what bare lengths are taken as, and what the answers of `pack` are shown in."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from benchleaf.graph.errors import WrongUse

if TYPE_CHECKING:
    from benchleaf.graph.packs.said import Figure, Kind, Said

_INSIDE = {"length": "mm", "force": "N", "pressure": "MPa", "torque": "N·m"}
"""The units in which graph/packs reckons; the area's is mm²."""
_INCHES = ("in", "thou", "ft")
_PLACES = {"mm": (3, 2), "in": (4, 3), "cm": (4, 3), "m": (6, 5), "ft": (5, 4)}
"""Digits after the point, at most and at least; other units: one at most."""


@dataclass(frozen=True, slots=True)
class Shop:
    """A unit for each kind of figure, as graph/quantities prints it."""

    length: str = "mm"
    force: str = "N"
    pressure: str = "kPa"
    torque: str = "N·m"

    @property
    def area(self) -> str:
        """Square inches go with inches, square millimetres with all else."""
        return "in²" if self.length in _INCHES else "mm²"

    def unit(self, kind: "Kind") -> str:
        """The unit that a kind of figure is shown in."""
        return str(getattr(self, kind))

    def shown(self, value: float, kind: "Kind") -> float:
        """A value of graph/packs in the shop's unit."""
        from benchleaf.graph.quantities.units import convert

        if kind == "area":
            return value / convert(1.0, "in", "mm") ** 2 if self.area == "in²" else value
        return convert(value, _INSIDE[kind], self.unit(kind))

    def number(self, value: float, kind: "Kind") -> str:
        """The figure in the shop's unit, without the unit."""
        most, least = _PLACES.get(self.unit(kind), (1, 0))
        text = f"{self.shown(value, kind):.{most}f}"
        whole, _, digits = text.partition(".")
        digits = digits.rstrip("0").ljust(least, "0")
        plain = f"{whole}.{digits}" if digits else whole
        return plain.lstrip("-") if not plain.strip("-0.") else plain

    def words(self, value: float, kind: "Kind" = "length") -> str:
        """The figure with its unit."""
        return f"{self.number(value, kind)} {self.unit(kind)}"

    def figure(self, figure: "Figure") -> str:
        """A figure with its tolerance and its unit."""
        if figure.tolerance <= 1e-9:
            return self.words(figure.value, figure.kind)
        plus_minus = self.number(figure.tolerance, figure.kind)
        return f"{self.number(figure.value, figure.kind)} ±{plus_minus} {self.unit(figure.kind)}"

    def said(self, said: "Said") -> str:
        """Words and figures in a row."""
        return "".join(part if isinstance(part, str) else self.figure(part) for part in said)


def shop_of(units: Sequence[str]) -> Shop:
    """The shop's units from `--unit`; inches bring lbf, psi and lbf·ft unless other units are named too.

    Raises WrongUse for what is no unit of a length, force, pressure or torque.
    """
    from benchleaf.graph.quantities.units import packaged

    named: dict[str, str] = {}
    for word in units:
        unit = packaged().find(word)
        if unit is None or unit.kind not in _INSIDE:
            what = "no unit of a length, force, pressure or torque known here"
            raise WrongUse(f"{word!r} is {what}", "try --unit in or --unit mm")
        if unit.doubt:
            raise WrongUse(f"{unit.name}: {unit.doubt}", "choose another --unit")
        named[unit.kind] = unit.name
    inches = named.get("length") in _INCHES
    base = Shop("in", "lbf", "psi", "lbf·ft") if inches else Shop()
    return replace(base, **named)

"""Words typed at the bench into sizes and plates: `5 x 2.50 ±0.05 mm`, `2.48, 2.50`, `end plate 4.0`."""

import re
from typing import TYPE_CHECKING

from benchleaf.graph.errors import WrongUse

if TYPE_CHECKING:
    from benchleaf.graph.packs.question import Plates
    from benchleaf.graph.packs.shims import Shim
    from benchleaf.graph.packs.size import Size
    from benchleaf.graph.packs.stack import Layer
    from benchleaf.graph.quantities.amount import Amount

_COUNT = re.compile(r"(?P<n>[0-9]{1,3})(?:\s{0,3}(?:plates?|dis[ck]s?|pcs?\.?|off))?", re.IGNORECASE)
_TIMES = re.compile(
    r"(?P<n>[0-9]{1,3})\s{0,3}(?:[x×*]|off?\b|pcs?\.?)\s{0,3}(?P<rest>\S.{0,150})", re.IGNORECASE
)
_PIECE = re.compile(r"(?P<name>[^0-9.,±+\-][^0-9±]{0,60}?)[\s:=]{0,3}(?P<size>[0-9.,].{0,100})")
_SQUARE = re.compile(
    r"(?P<n>[0-9]{1,7}(?:\.[0-9]{1,6})?)\s{0,3}(?:(?P<u>mm|cm|in)\s?(?:2|²|\^2)|sq\.?\s?(?P<v>mm|cm|in))\.?",
    re.IGNORECASE,
)

_SUCH_AS = {"force": "800 N", "pressure": "12 bar", "torque": "40 N·m"}


class Reader:
    """Reads lengths in any unit; a bare one is in the shop's unit, and `notes` then says so."""

    def __init__(self, unit: str = "mm") -> None:
        self.unit = unit
        self.bare = False
        self.centred: list[str] = []

    @property
    def notes(self) -> tuple[str, ...]:
        """What was taken for granted in reading, in plain words."""
        bare = (f"Figures without a unit were read as {self.unit}.",) if self.bare else ()
        return (*bare, *(f"{words}: its tolerance was centred first." for words in self.centred))

    def size(self, option: str, words: str, unit: str | None = None) -> "Size":
        """A length with its limits, in mm. Raises WrongUse naming the option."""
        from benchleaf.graph.packs.size import Size
        from benchleaf.graph.quantities.units import convert

        amount = self._length(option, words, unit)
        if amount.low is None or amount.high is None:
            raise WrongUse(f"{option} {words!r} is open at one end", "give both limits, such as 0 to 0.3 mm")
        low, high = (round(convert(v, amount.unit, "mm"), 9) for v in (amount.low, amount.high))
        middle = (amount.low + amount.high) / 2
        if amount.nominal is not None and abs(amount.nominal - middle) > 1e-9:
            self.centred.append(words.strip())
        return Size(low, high)

    def length(self, option: str, words: str) -> float:
        """A length of one figure, in mm."""
        size = self.size(option, words)
        if not size.exact:
            raise WrongUse(f"{option} takes one figure, and {words!r} is a range", "give one figure")
        return size.low

    def sizes(self, option: str, words: str) -> tuple[float, ...]:
        """Single thicknesses in a row, in mm."""
        parts, unit = self._row(words)
        found = tuple(self._exact(option, part, unit) for part in parts)
        if not found or min(found) <= 0:
            raise WrongUse(f"{option} {words!r} holds no thickness above zero", 'write "2.0, 2.2, 2.4 mm"')
        return found

    def shims(self, option: str, words: str) -> "tuple[Shim, ...]":
        """Shims at hand: `0.10, 0.15, 0.30` for as many as needed, `2 x 0.10` for two of them."""
        from benchleaf.graph.packs.shims import Shim

        parts, unit = self._row(words)
        found = []
        for part in parts:
            times = _TIMES.fullmatch(part)
            rest = times["rest"] if times else part
            found.append(Shim(self._exact(option, rest, unit), int(times["n"]) if times else None))
        return tuple(found)

    def plates(self, option: str, words: str, kind: str) -> "Plates":
        """Plates of one kind: a count, count x thickness, or measured thicknesses one by one."""
        from benchleaf.graph.packs.question import Plates

        lone = _COUNT.fullmatch(words.strip())
        if lone:
            return Plates(bare=int(lone["n"]))
        parts, unit = self._row(words)
        if len(parts) == 1 and not _TIMES.fullmatch(parts[0]):
            self.size(option, words)  # words that are no size at all are told so first
            raise WrongUse(
                f"{option} {words!r}: how many?",
                'write a count (5), "5 x 2.50 mm", or every thickness: "2.48, 2.50, 2.51 mm"',
            )
        return Plates(layers=tuple(self._layer(option, part, kind, unit) for part in parts))

    def piece(self, option: str, words: str) -> "Layer":
        """Another piece of the stack with its name: `end plate 4.0 mm`, `2 x wave plate 1.5 mm`."""
        from benchleaf.graph.packs.stack import Layer

        plain = words.strip()
        times = _TIMES.fullmatch(plain)
        named = _PIECE.fullmatch(times["rest"] if times else plain)
        size = named["size"] if named else times["rest"] if times else plain
        name = named["name"].strip() if named else "other"
        return Layer(name, int(times["n"]) if times else 1, self.size(option, size))

    def _layer(self, option: str, part: str, kind: str, unit: str | None) -> "Layer":
        from benchleaf.graph.packs.stack import Layer

        times = _TIMES.fullmatch(part)
        each = self.size(option, times["rest"] if times else part, unit)
        return Layer(kind, int(times["n"]) if times else 1, each)

    def _exact(self, option: str, words: str, unit: str | None) -> float:
        size = self.size(option, words, unit)
        if not size.exact:
            raise WrongUse(f"{option} {words!r} is a range", "give single thicknesses")
        return size.low

    def _row(self, words: str) -> tuple[list[str], str | None]:
        """The parts of a row, and the unit that its last part names for those without one."""
        parts = parts_of(words)
        if not parts:
            return [], None
        times = _TIMES.fullmatch(parts[-1])
        if len(parts) == 1 and not times and re.search(r"[0-9],[0-9]", parts[0]):
            raise WrongUse(f"the comma in {words!r} may part sizes or decimals", 'write "1, 2" or "1.2"')
        last = _own_unit(times["rest"] if times else parts[-1])
        return parts, last

    def _length(self, option: str, words: str, unit: str | None) -> "Amount":
        from benchleaf.graph.quantities.amount import read_amount

        own = _own_unit(words)
        if own is None and unit is None:
            self.bare = True
        try:
            amount = read_amount(words, unit or self.unit)
        except WrongUse as wrong:
            raise WrongUse(f"{option}: {wrong.message}", wrong.remedy) from wrong
        if amount.kind != "length":
            raise WrongUse(f"{option} {words!r} is a {amount.kind}, not a length", "give it in mm or in")
        return amount


def parts_of(words: str) -> list[str]:
    """The parts of a row: by semicolons, else by commas with a blank, else by commas between figures with
    points, since a comma alone may be a decimal one."""
    if ";" in words:
        parts = words.split(";")
    elif re.search(r",\s", words):
        parts = re.split(r",\s", words)
    else:
        parts = words.split(",") if "." in words else [words]
    return [part.strip() for part in parts if part.strip()]


def value_of(option: str, words: str, kind: str, to: str) -> float:
    """A force, pressure or torque of one figure, in `to`; its unit must be named.

    Raises WrongUse naming the option: none of these has a unit that goes without saying.
    """
    from benchleaf.graph.quantities.amount import read_amount
    from benchleaf.graph.quantities.units import convert

    try:
        amount = read_amount(words)
        if amount.low is None or amount.high is None or amount.low != amount.high:
            raise WrongUse(f"{words!r} is a range", "give one figure, and reckon twice for a range")
        return round(convert(amount.low, amount.unit, to), 9)
    except WrongUse as wrong:
        raise WrongUse(f"{option}: {wrong.message}", f'write it as "{_SUCH_AS[kind]}"') from wrong


def area_of(option: str, words: str) -> float:
    """An area in mm². Raises WrongUse naming the option if its unit is missing."""
    from benchleaf.graph.quantities.units import convert

    found = _SQUARE.fullmatch(words.strip())
    if not found:
        raise WrongUse(f"{option} {words!r} is no area", 'write "4800 mm²", "48 cm2" or "7.44 sq in"')
    side = convert(1.0, (found["u"] or found["v"]).lower(), "mm")
    return float(found["n"]) * side**2


def _own_unit(words: str) -> str | None:
    """The unit that the words name themselves; None if they name none or are no value at all."""
    from benchleaf.graph.quantities.amount import read_amount

    try:
        return read_amount(words).unit
    except WrongUse:
        return None

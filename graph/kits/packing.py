"""Units of packing: how many pieces a pack, a pair, a set of four or a dozen is, on a list or in a box.

The words are common practice, no source. What is not said (how many screws are in "a pack", how many sides a
unit has) stays open: it becomes a reason to ask, never a guess.
"""

import re
from dataclasses import dataclass, replace

from benchleaf.graph.kits.packmarks import NUMBER_WORDS
from benchleaf.graph.model import KitLine

_NO_MEASURE = r"(?![0-9A-Za-z]|[.,][0-9]|\s?(?:mm|in\b|ml|g\b|kg|cm|m\b))"
_NUMBER = rf"(?:[1-9][0-9]{{0,3}}|{'|'.join(NUMBER_WORDS[2:])}){_NO_MEASURE}"
_HOLDER = r"(?:packs?|packets?|pkts?\.?|pks?\.?|pkgs?\.?|packages?|boxes|box|bags?|cartons?|ctns?\.?)"
_PIECES = r"(?:pcs?\b\.?|pieces?\b|off\b|nos?\b\.?|ea\b\.?)"
_SIZED = re.compile(
    rf"[(\[]?\b(?:in\s|supplied in\s)?(?:{_HOLDER}|(?:a\s)?sets?)\s{{0,2}}"
    rf"(?:of\s|à\s|@\s{{0,1}}|x\s{{0,1}}|×\s{{0,1}}|with\s|/)\s{{0,2}}"
    rf"(?P<n>{_NUMBER})(?:\s{{0,1}}{_PIECES})?[)\]]?(?:\sof\b)?",
    re.I,
)
_TIGHT = re.compile(r"[(\[]?\bp(?:k|kt|ck)t?[/-]?(?P<n>[1-9][0-9]{0,3})\b[)\]]?", re.I)  # PK10, PKT10
_PER = re.compile(
    rf"[(\[]?\b(?P<n>[1-9][0-9]{{0,3}})\s?{_PIECES}?\s?(?:per|/|to a|in a)\s?{_HOLDER}(?!\w)[)\]]?", re.I
)
_SLASH = re.compile(r"(?<=\s)/(?P<n>[1-9][0-9]{0,3})\s{0,2}$")
_HALF = re.compile(r"\bhalf (?:a )?dozen(?:\sof\b)?", re.I)
_DOZEN = re.compile(r"\b(?:dozens?|doz\.?|dz\.?)(?:\sof\b)?(?!\w)", re.I)
_PAIR = re.compile(r"^(?:pairs?|prs?\.?)(?:\sof\b|(?=\s))", re.I)
_PAIR_BEHIND = re.compile(r"(?:,\s|\s\()(?P<unit>pairs?|prs?\.?)\)?$", re.I)
_OFF = re.compile(r"\(\s?(?P<n>[1-9][0-9]{0,3})\s?(?:off|pcs\.?|pieces|nos?\.?)\s?\)", re.I)
_REQUIRED = re.compile(
    r"[(\[]?(?:\bA\.?R\.?(?![\w/-])|\b[aA]/[rR]\b"
    r"|\b(?i:as (?:required|req'?d\.?|needed|necessary|reqd\.?)))[)\]]?"
)
_EACH = re.compile(
    r"[(\[]?\b(?:(?:per|on each|for each|each|on either|either)"
    r"\s(?:side|end|clutch|brake|shaft|hub|piston|drum|pump)|a side)\b[)\]]?",
    re.I,
)
_OPEN = re.compile(rf"^{_HOLDER}\s(?:of\s(?!the\b)|(?=(?:\S{{1,30}}\s){{0,6}}\S{{1,30}}[^s\s]s$))", re.I)

_ONE = re.compile(r"(?<=box)es$|s$")


@dataclass(frozen=True, slots=True)
class Packing:
    """What a line says of its packing: the part's `name` without it, the pieces in one `unit` (None: not
    said), `each` where it counts by side or clutch, `required` for "as required", `behind` if the unit stands
    behind the name, where a quantity may count pieces or units."""

    name: str
    size: int | None = 1
    unit: str = ""
    each: str = ""
    required: bool = False
    behind: bool = False


@dataclass(frozen=True, slots=True)
class Count:
    """Pieces counted; None with a reason in `told` where they cannot be told. `told` also says how packs were
    counted."""

    pieces: int | None
    told: str = ""


def packing_of(words: str) -> Packing:
    """Read the packing in a line's words.

    >>> packing_of("packs of 10 screws").size, packing_of("pair of thrust washers").name
    (10, 'thrust washers')
    """
    required, each = _REQUIRED.search(words), _EACH.search(words)
    plain = _cut(_cut(words, _REQUIRED), _EACH)
    found = _unit(plain)
    return replace(found, each=each[0].strip("()[]") if each else "", required=required is not None)


def _unit(plain: str) -> Packing:
    if (match := _PAIR.match(plain)) is not None:
        return Packing(_tidy(plain[match.end() :]), 2, "pair")
    if (match := _PAIR_BEHIND.search(plain)) is not None:
        many = match["unit"].lower().startswith(("pairs", "prs"))
        return Packing(_tidy(plain[: match.start()]), 2, "pair", behind=not many)
    if (match := _HALF.search(plain)) is not None:
        return Packing(_cut(plain, _HALF), 6, "half dozen")
    if (match := _DOZEN.search(plain)) is not None:
        return Packing(_cut(plain, _DOZEN), 12, "dozen", behind=match.start() > 0)
    for pattern in (_SIZED, _TIGHT, _PER, _SLASH):
        if (match := pattern.search(plain)) is not None:
            size, name = _figure(match["n"]), _cut(plain, pattern)
            unit = "set" if "set" in match[0].lower() else "pack"
            return Packing(name, size, f"{unit} of {size}", behind=match.start() > 0)
    if (match := _OFF.search(plain)) is not None:
        return Packing(_cut(plain, _OFF), int(match["n"]), f"{match['n']} off", behind=True)
    if (match := _OPEN.match(plain)) is not None:
        return Packing(_tidy(plain[match.end() :]), None, _ONE.sub("", match[0].split()[0].lower()))
    return Packing(_tidy(plain))


def pieces(quantity: int | None, packing: Packing, ordered: bool = False) -> Count:
    """How many pieces a quantity is. A size behind the name leaves open whether the quantity counts packs or
    pieces, unless there is one only; `ordered` is true where a list counts packs by its own word."""
    if packing.required or quantity is None:
        return Count(None, "as required" if packing.required else "")
    if packing.size == 1 or quantity == 0:
        return Count(quantity)
    if packing.size is None:
        return Count(None, f"how many pieces are in a {packing.unit} is not said")
    if packing.behind and quantity != 1 and not ordered:
        if packing.unit.endswith(" off") and quantity == packing.size:
            return Count(quantity)
        return Count(None, f"{quantity} beside “{packing.unit}” may count pieces or packs")
    total = quantity * packing.size
    return Count(total, f"{quantity} × {packing.unit} = {total}")


def in_pieces(line: KitLine) -> tuple[KitLine, str, str]:
    """A listed line counted in pieces, what is to be told of it, and "per side" or the like where its
    quantity is for one of several.

    >>> in_pieces(KitLine(None, "pair of thrust washers", 1))[0]
    KitLine(part=None, description='thrust washers', quantity=2)
    """
    packing = packing_of(line.description)
    if packing == Packing(line.description) or not packing.name:
        return line, "", ""
    count = pieces(line.quantity, packing)
    return KitLine(line.part, packing.name, count.pieces), count.told, packing.each


_UNIT_SIZES = {
    **dict.fromkeys(("pr", "prs", "pair", "pairs", "paar", "paire", "coppia", "par"), 2),
    **dict.fromkeys(("dz", "doz", "dozen", "dzn"), 12),
}
_UNIT_NUMBER = re.compile(
    rf"(?:{_HOLDER}|sets?)\s?(?:of\s|/|-|x)?\s?([0-9]{{1,4}})|/([0-9]{{1,4}})|c\s?/\s?([0-9]{{1,4}})", re.I
)
_PIECE_UNIT = re.compile(
    r"(?:pcs?|pce|pces|pieces?|ea|each|no|nos|off|st|stk|stück|pz|pza|unit[ée]?s?|u|1)\.?", re.I
)


def unit_size(unit: str) -> int | None:
    """The pieces in one unit of a slip's unit column; None where that is not said (PK, SET, BOX).

    >>> unit_size("EA"), unit_size("PR"), unit_size("PK10"), unit_size("PK")
    (1, 2, 10, None)
    """
    plain = " ".join(unit.split()).strip(".").lower()
    if not plain or _PIECE_UNIT.fullmatch(plain):
        return 1
    if plain in _UNIT_SIZES:
        return _UNIT_SIZES[plain]
    match = _UNIT_NUMBER.fullmatch(plain)
    return int(next(n for n in match.groups() if n)) if match is not None else None


def _figure(printed: str) -> int:
    low = printed.lower()
    return NUMBER_WORDS.index(low) if low in NUMBER_WORDS else int(low)


def _cut(words: str, pattern: re.Pattern[str]) -> str:
    return _tidy(pattern.sub(" ", words, count=1))


def _tidy(words: str) -> str:
    return " ".join(words.split()).strip(" ,;:-")

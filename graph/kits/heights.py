"""How thick the plates are, by the words of papers, and what another count does to the height of the pack.

Thicknesses are in millimetres. More plates at an unchanged height must be thinner: t_new = n_old * t_old /
n_new for the kind that changed (trade arithmetic, no source). 1 in = 25.4 mm (NIST SP 811).
"""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.kits.plates import (
    NOUN,
    STRONG_FRICTION,
    STRONG_STEEL,
    WEAK_FRICTION,
    WEAK_STEEL,
    Plate,
    plate_kind,
)
from benchleaf.graph.model import KitLine

_INCH = 25.4
_THINNEST, _THICKEST = 0.4, 15.0
"""mm; another measure is no plate's thickness (common practice, no source)."""
_WIDEST = 0.1
"""A printed range wider than this share of its middle is a choice of plates, not a tolerance (a rule of
ours)."""
_SAME = 0.005  # mm: below what is printed
_LIMIT = 4000  # characters that are read

_N = r"[0-9]{0,3}[.,][0-9]{1,4}|[0-9]{1,3}"
_MEASURE = re.compile(
    rf"(?<![0-9.,/a-z-])(?P<low>{_N})\s?"
    rf"(?:(?:-|to|\.\.\.|\u2026)\s?(?P<high>{_N})\s?)?"
    rf"(?:(?:\u00b1|\+/-)\s?(?P<t1>{_N})\s?)?"
    rf"(?P<unit>mm\b|inch(?:es)?\b|in\b|\")"
    rf"(?:\s?(?:\u00b1|\+/-)\s?(?P<t2>{_N}))?"
)
_NO_THICKNESS_BEFORE = re.compile(
    r"(?:\u00f8|dia\.?|diameter|clearance|gap|wear|worn|warp(?:age)?|warped|flat(?:ness)?|run[ -]?out|groove"
    r"|limit|below|under|less|than|within|bore|depth|[io]\.?\s?d\.?|end play|min\.?|max\.?)"
    r"\s?(?:is|of|:|=|to|than|by)?\s?$"
)
_NO_THICKNESS_AFTER = re.compile(
    r"\s?(?:dia\b|diameter|o\.?d\b|i\.?d\b|long|wide|bore|clearance|gap|wear|play|apart|or (?:less|more)"
    r"|[x\u00d7])"
)
_SAYS_THICK = re.compile(r"[\s-]?(?:thick|thk)")
_THICK_BEFORE = re.compile(r"\b(?:t|thk\.?|thick(?:ness)?)\s?(?:is|of|:|=)?\s?$")
_PLATES = re.compile(
    rf"\b(?:{STRONG_FRICTION}|{STRONG_STEEL}|{WEAK_FRICTION}|{WEAK_STEEL})[ -]{{1,2}}(?:clutch[ -])?{NOUN}"
)
_ANOTHER_MEASURE = re.compile(r"\b(?:clearance|gap|distance|play|wear|warp(?:age)?|between)\b[^.;]{0,25}$")
_JOINT_BEFORE = re.compile(r"[\s-]{0,2}(?:thick|thk\.?)?[\s-]{0,2}(?:new\s)?")
_JOINT_AFTER = re.compile(
    r"[\s,(:=-]{0,3}(?:[0-9]{1,3}\s?(?:pcs?\.?|pieces|off)[\s,]{1,2})?(?:each\s|are\s|is\s|having\s|with\s)?"
    r"(?:a\s)?(?:thickness\s|thk\.?\s|t\s?)?(?:of\s|is\s|=\s?|:\s?)?(?:each\s)?"
)


@dataclass(frozen=True, slots=True)
class Thickness:
    """One plate's thickness in mm with its printed tolerance (0.0 if none), and the paper that says so."""

    kind: Plate
    mm: float
    tolerance: float
    where: str


@dataclass(frozen=True, slots=True)
class Told:
    """What the papers together say: one thickness, or several that do not agree (`apart`), or nothing."""

    one: Thickness | None = None
    apart: tuple[Thickness, ...] = ()


def line_thickness(line: KitLine, where: str) -> tuple[Thickness, ...]:
    """The thickness that a line's description gives; nothing if it could be another measure.

    >>> line_thickness(KitLine(None, "Disc, steel, 150 x 2,0 mm", 8), "the list")[0].mm
    2.0
    """
    kind = plate_kind(line.description)
    if kind is None:
        return ()
    plain = _plain(line.description)
    found = [(m, t) for m in _MEASURE.finditer(plain) if (t := _read(plain, m, kind, where)) is not None]
    marked = [t for m, t in found if _says_thick(plain, m)]
    values = marked or [t for _, t in found]
    return (values[0],) if values and _alike(values) else ()


def step_thicknesses(text: str, where: str) -> tuple[Thickness, ...]:
    """The thicknesses that running words give right beside a plate's name.

    >>> [(t.kind, t.mm) for t in step_thicknesses("Stack 8 steel discs, 1.6 mm thick.", "")]
    [('steel', 1.6)]
    """
    plain = _plain(text)
    measures = list(_MEASURE.finditer(plain))
    found = []
    for name in _PLATES.finditer(plain):
        if _ANOTHER_MEASURE.search(plain[max(name.start() - 40, 0) : name.start()]):
            continue
        kind = plate_kind(name[0])
        beside = [m for m in measures if _beside(plain, name, m)]
        read = [t for m in beside if kind and (t := _read(plain, m, kind, where)) is not None]
        found += read
    return tuple(dict.fromkeys(found))


def together(kind: Plate, tiers: Iterable[Sequence[Thickness]]) -> Told:
    """What several papers say of one kind, the strongest first. A later paper that lists this thickness
    among others (plates to choose from) does not contradict it; one that lists only others does."""
    told = [[t for t in tier if t.kind == kind] for tier in tiers]
    told = [tier for tier in told if tier]
    if not told:
        return Told()
    first = told[0]
    agreed = _alike(first) and all(any(abs(t.mm - first[0].mm) < _SAME for t in tier) for tier in told)
    if agreed:
        return Told(first[0])
    each = {round(t.mm, 3): t for tier in reversed(told) for t in reversed(tier)}
    return Told(None, tuple(each[mm] for mm in sorted(each)))


def equal_height(old: int, thickness: float, new: int) -> float:
    """How thick each of `new` plates is if they are as high as `old` plates of that thickness.

    >>> equal_height(10, 2.2, 11)
    2.0
    """
    return old * thickness / new


def in_mm(value: float) -> str:
    """A length as it is said at the bench: two places at most, one at least.

    >>> in_mm(2), in_mm(1.8181)
    ('2.0 mm', '1.82 mm')
    """
    said = f"{value:.2f}"
    return f"{said.removesuffix('0')} mm"


def _plain(text: str) -> str:
    plain = " ".join(unicodedata.normalize("NFKC", text).lower().split())[:_LIMIT]
    return re.sub(r"[\u2010-\u2015\u2212]", "-", plain)


def _read(plain: str, m: re.Match[str], kind: Plate, where: str) -> Thickness | None:
    before, after = plain[max(m.start() - 30, 0) : m.start()], plain[m.end() : m.end() + 20]
    if _NO_THICKNESS_BEFORE.search(before) or _NO_THICKNESS_AFTER.match(after):
        return None
    scale = 1.0 if m["unit"] == "mm" else _INCH
    low, high = _number(m["low"]) * scale, _number(m["high"] or m["low"]) * scale
    middle, half = (low + high) / 2, (high - low) / 2
    if not _THINNEST <= middle <= _THICKEST or half < 0 or half > _WIDEST * middle:
        return None
    tolerance = half + _number(m["t1"] or m["t2"] or "0") * scale
    return Thickness(kind, middle, tolerance, where)


def _number(printed: str) -> float:
    return float(printed.replace(",", "."))


def _says_thick(plain: str, m: re.Match[str]) -> bool:
    before = plain[max(m.start() - 15, 0) : m.start()]
    return bool(_SAYS_THICK.match(plain, m.end()) or _THICK_BEFORE.search(before))


def _beside(plain: str, name: re.Match[str], m: re.Match[str]) -> bool:
    if m.end() <= name.start() <= m.end() + 12:
        return _JOINT_BEFORE.fullmatch(plain, m.end(), name.start()) is not None
    if name.end() <= m.start() <= name.end() + 40:
        return _JOINT_AFTER.fullmatch(plain, name.end(), m.start()) is not None
    return False


def _alike(found: Sequence[Thickness]) -> bool:
    return all(abs(t.mm - found[0].mm) < _SAME for t in found)

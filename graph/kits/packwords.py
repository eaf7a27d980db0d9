"""How steps word a pack: counts, and which kind of plate comes first and last.

Plate mentions are first marked by kind (`<F>`, `<S:12>`), so that what follows speaks of marks, not of the
many names that makers give the plates. First means laid in first, at the bottom; last means on top.
"""

import re
from dataclasses import dataclass

from benchleaf.graph.kits.packmarks import marked
from benchleaf.graph.kits.plates import Plate

_ONE = r"(?:(?:an?|one|1|the|each)\s)?(?:first\s|last\s)?"
_START = r"(?:start|starting|starts|begin|beginning|begins|commence|commencing|commences)"
_END = (
    r"(?:end|ending|ends|finish|finishing|finishes|conclude|concluding|terminate|terminating|closes?|closing)"
)
_BE = r"(?:is|are|be|being|must be|shall be|should be|to be|will be)"
_LIE = (
    r"(?:(?:is|are|be|lies?|sits?|comes?|stands?|goes|rests?|must be|ends? up|being|lying|sitting|to be)"
    r"(?:\s(?:fitted|placed|laid|installed|inserted|located|put(?: in)?))?|placed|laid|fitted)"
)
_TWO_ENDS = r"(?:top and (?:the )?bottom|bottom and (?:the )?top)"
_TOP = (
    r"(?:on top|at the top|on the top|uppermost|"
    r"topmost|outermost|on the outside|at the outer end|at the upper end)"
)
_BOTTOM = (
    r"(?:at the bottom|on the bottom|in the bottom|lowermost|lowest|undermost|innermost|underneath"
    r"|at the lower end|against the bottom|to the bottom)"
)
_BOTH = (
    r"(?:at (?:both|each|either) ends?|on (?:both|each|either) (?:ends?|sides?)|at the two ends|"
    r"(?:at the )?top and bottom|(?:at the )?bottom and top|first and last|"
    r"on top and at the bottom|at the bottom and (?:on|at the) top|"
    r"at the beginning and (?:the |at the )?end|both first and last)"
)
_PLATE = r"(?:\s(?:plates?|dis[ck]s?|one))?"
_PLATES = r"\s(?:plates|discs|disks|ones)"
_GLUE = r"[\s,]{1,3}"
_K = r"<(?P<k>[FS])(?::[0-9]{1,3})?>"
_ANY = r"<[FS](?::[0-9]{1,3})?>"
_LONE_S, _LONE_F = r"(?:(?:an?|one|then an?)\s)?<S(?::1)?>", r"(?:(?:an?|one|then an?)\s)?<F(?::1)?>"
_STACK = r"(?:\s(?:the|each)\s(?:stack|pack|build|set|assembly))?"
_FROM = r"(?:\s(?:at|on|against|next to|from)\sthe\s[a-z]{1,12}(?:\s(?:end|side))?)?"
_ASIDE = r"(?:,\s[^<>,.;]{1,40},)?"
_BY_PISTON = r"(?:against|next to|beside|facing|on|at|to)\sthe\spiston"
_BY_END = r"(?:against|next to|beside|facing|under|at|to)\sthe\s(?:endpiece|retaining ring|circlip|snap ring)"


def _p(*bodies: str) -> tuple[re.Pattern[str], ...]:
    return tuple(re.compile(b) for b in bodies)


_FIRST = _p(
    rf"\b{_START}{_STACK}{_FROM}\s(?:with|from|by|on|at)\s(?:(?:fitting|installing|placing|laying|inserting)\s)?{_ONE}{_K}",
    rf"\b(?:from|beginning at)\s{_ONE}{_K}",
    rf"\bfirst(?:{_PLATE})[:,]?\s(?:in\s)?(?:{_BE}\s)?{_ONE}{_K}",
    rf"\bfrom the bottom(?: up)?[:,]?\s{_ONE}{_K}",
    rf"(?<!>, )<(?P<k>S)>[\s,>]{{1,3}}{_LONE_F}[\s,>]{{1,3}}{_LONE_S}",
    rf"(?<!>, )<(?P<k>F)>[\s,>]{{1,3}}{_LONE_S}[\s,>]{{1,3}}{_LONE_F}",
    r"<(?P<k>[FS])(?::1)?>,?\s(?:and\s)?(?:then|followed by|next)\s(?:an?\s<[FS]>|<[FS]:1>)",
    rf"\b(?:fit|install|place|lay|insert|put|comes?)\s{_ONE}{_K}\sfirst\b",
    rf"{_K}{_GLUE}(?:(?:{_BE}|{_LIE}|goes in|comes?)\s)?first\b",
    rf"{_K}{_GLUE}(?:{_LIE}\s)?(?:facing downwards?\s)?{_BOTTOM}",
    rf"\b(?:bottom|lowest|lowermost|first){_PLATE}{_ASIDE}(?:\s{_BE}|\sas|:)\s{_ONE}{_K}",
    rf"\b(?:bottom|lowest|lowermost)\s{_ONE}{_K}",
    rf"\b(?:fit|install|place|lay|insert|put)\s{_ONE}{_K}{_GLUE}(?:in|into|on|onto|against)\sthe\s(?:bottom|piston)\b",
)
_LAST = _p(
    rf"\b{_END}{_STACK}\s(?:with|on|in|by)\s(?:(?:fitting|installing|placing|laying|inserting)\s)?{_ONE}{_K}",
    rf"\b(?:so|such)\sthat\s{_ONE}{_K}\s{_LIE}\s(?:{_TOP}|last)",
    rf"\blast(?:{_PLATE})[:,]?\s(?:in\s)?(?:{_BE}\s)?{_ONE}{_K}",
    rf"{_K}{_GLUE}(?:(?:{_BE}|{_LIE}|goes in|comes?)\s)?last\b",
    rf"{_K}{_GLUE}(?:(?:{_LIE})\s)?{_TOP}",
    rf"\b(?:top|uppermost|topmost|last){_PLATE}{_ASIDE}(?:\s{_BE}|\sas|:)\s(?:again\s|also\s)?{_ONE}{_K}",
    rf"\b(?:lowest|lowermost|bottom)\sand\s(?:the\s)?(?:uppermost|topmost|top){_PLATE}\s{_BE}\s{_ONE}{_K}",
    rf"\b(?:top|uppermost|topmost)\s{_ONE}{_K}",
    rf"\btopped(?:\soff)?\s(?:with|by)\s{_ONE}{_K}",
    rf"\bfrom\s{_ONE}{_ANY}\sto\s{_ONE}{_K}",
    rf"\b(?:on top|at the top|uppermost)\s(?:{_LIE}\s)?{_ONE}{_K}",
    rf"\bfinally\s(?:(?:fit|install|place|lay|add|comes?)\s)?{_ONE}{_K}",
)
_BOTH_ENDS = _p(
    rf"{_K}{_GLUE}(?:{_LIE}\s)?(?:outermost\s)?{_BOTH}",
    rf"\bfirst\sand\s(?:the\s)?last{_PLATE}\s(?:{_BE}\s)?(?:both\s)?{_ONE}{_K}",
    rf"\b(?:both|two|2)\s(?:the\s)?(?:end|outer|outermost)(?:{_PLATES})?\s{_BE}\s{_ONE}{_K}",
    rf"\b(?:outer|outermost|end){_PLATES}\s{_BE}\s{_K}",
    rf"\b{_START}\sand\s{_END}{_STACK}\s(?:with|on|by|in)\s{_ONE}{_K}",
    rf"\b(?:both|two|2)\s(?:the\s)?endpieces?(?:\sof\sthe\s\w{{1,8}})?\s{_BE}\s{_ONE}{_K}",
    rf"{_K}\s(?:forms?|forming|makes?|make up|at)\s(?:(?:both|the two|the)\sends|(?:each|either)\send)\b",
    rf"{_K}[^<>.]{{0,30}}\s{_BY_PISTON}[^<>.]{{1,30}}<(?P=k)>[^<>.]{{0,30}}\s{_BY_END}",
    rf"{_BY_PISTON}\sand\s(?:the\s(?:plate|disc|disk|one)\s)?{_BY_END}\s{_BE}\s{_ONE}{_K}",
    rf"\b{_TWO_ENDS}{_PLATES}(?:\sof\sthe\s\w{{1,8}})?\s{_BE}\s{_ONE}{_K}",
    rf"\b{_BOTH}\s(?:{_LIE}\s|goes\s)?{_ONE}{_K}",
)
_MARKS = re.compile(r"<[FS]")
_ALTERNATE = re.compile(
    r"\balternat|\bin turn\b|\bby turns\b|\bone after the other\b|\binterleav|\bevery other\b"
    r"|\bturn and turn\b"
)
_EACH = re.compile(r"\b(?P<n>[0-9]{1,3})\s(?:of\s)?each\b|\b(?P<m>[0-9]{1,3})\sof\sboth\skinds\b")


@dataclass(frozen=True, slots=True)
class PackWords:
    """What a step's own words say of a pack: kind of the first and the last plate, the counts,
    alternation."""

    first: Plate | None = None
    last: Plate | None = None
    friction: int | None = None
    steel: int | None = None
    alternate: bool = False

    @property
    def ordered(self) -> bool:
        """Both ends are known."""
        return self.first is not None and self.last is not None

    @property
    def counted(self) -> bool:
        """Both counts are known."""
        return self.friction is not None and self.steel is not None


def read_pack(text: str) -> PackWords | None:
    """What a step says of an alternating pack, or None if it does not speak of stacking one.

    If only one end is told and the counts are, the other end follows, since the kinds alternate.

    >>> read_pack("Alternate 4 steel and 5 friction plates, starting with a friction plate.")
    PackWords(first='friction', last='friction', friction=5, steel=4, alternate=True)
    """
    words = marked(text)
    kinds = set(re.findall(r"<([FS])", words))
    if not kinds:
        return None
    first, last = _ends(words)
    friction, steel = _counts(words)
    alternate = bool(_ALTERNATE.search(words))
    if not _speaks_of_pack(first, last, friction, steel, alternate, len(kinds)):
        return None
    first, last = _derived(first, last, friction, steel)
    return PackWords(first, last, friction, steel, alternate)


def _speaks_of_pack(
    first: Plate | None,
    last: Plate | None,
    friction: int | None,
    steel: int | None,
    alternate: bool,
    kinds: int,
) -> bool:
    ends, counts = bool(first or last), friction is not None and steel is not None
    return counts or (ends and (alternate or kinds == 2 or bool(first and last)))


def _derived(
    first: Plate | None, last: Plate | None, friction: int | None, steel: int | None
) -> tuple[Plate | None, Plate | None]:
    """Same kind at both ends if one kind is one more, different kinds if the counts are equal."""
    if friction is None or steel is None or bool(first) == bool(last):
        return first, last
    known: Plate = first or last or "friction"
    other: Plate = "steel" if known == "friction" else "friction"
    more: Plate = "friction" if friction > steel else "steel"
    if friction == steel:
        return (first, other) if first else (other, last)
    return (known, known) if abs(friction - steel) == 1 and more == known else (first, last)


def _ends(words: str) -> tuple[Plate | None, Plate | None]:
    both = _kind_by(_BOTH_ENDS, words)
    if both:
        return both, both
    return _kind_by(_FIRST, words), _kind_by(_LAST, words)


def _kind_by(patterns: tuple[re.Pattern[str], ...], words: str) -> Plate | None:
    found = {m["k"] for pattern in patterns for m in pattern.finditer(words)}
    if len(found) != 1:  # nothing said, or the words contradict each other: not for us to decide
        return None
    return "friction" if found == {"F"} else "steel"


def _counts(words: str) -> tuple[int | None, int | None]:
    """Both counts; `6 of each` says both at once, and then `one steel, then one friction` counts nothing."""
    friction, steel = _count(words, "F"), _count(words, "S")
    each = _EACH.search(words)
    if each and friction in (None, 1) and steel in (None, 1) and {"<F", "<S"} <= set(_MARKS.findall(words)):
        friction = steel = int(each["n"] or each["m"])
    return friction, steel


def _count(words: str, mark: str) -> int | None:
    """The count of one kind; `starting with one` counts nothing, so a lone 1 gives way to any other count."""
    counts = {int(n) for n in re.findall(rf"<{mark}:([0-9]{{1,3}})>", words)}
    if len(counts) > 1:
        counts.discard(1)
    return counts.pop() if len(counts) == 1 else None

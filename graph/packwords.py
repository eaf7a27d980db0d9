"""How steps word a pack: counts, and which kind of plate comes first and last.

Plate mentions are first marked by kind (`<F>`, `<S:12>`), so that what follows speaks of marks, not of the
many names that makers give the plates. First means laid in first, at the bottom; last means on top.
"""

import functools
import re
import unicodedata
from dataclasses import dataclass

from benchleaf.graph.plates import NOUN, STRONG_FRICTION, STRONG_STEEL, WEAK_FRICTION, WEAK_STEEL, Plate

_TO_TEN = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
NUMBER_WORDS = (*_TO_TEN, "eleven", "twelve", *_TEENS, "twenty")

_LIMIT = 4000
_WORD_NUMBER = re.compile(r"\b(" + "|".join(NUMBER_WORDS) + r")\b(?!-)")
_STRONG_ANY = {
    "friction": re.compile(rf"\b(?:{STRONG_FRICTION})\b"),
    "steel": re.compile(rf"\b(?:{STRONG_STEEL})\b"),
}
_COUNT = r"(?:\b(?P<n>[0-9]{1,3})(?!\.?[0-9])\s{0,2}(?:x|\u00d7|pcs\.?|pieces(?: of)?|off|nos?\.?)?\s{1,2})?"
_FILL = r"(?:(?:new|soaked|oiled|of the|the|identical|equal|thin|thick)\s)?"
_AFTER = r"(?:\s{0,2}[:=(]\s{0,2}(?:qty\.?:?\s{0,2})?(?P<m>[0-9]{1,3})(?![0-9]|[.,][0-9]|\s?mm)\)?)?"

_ONE = r"(?:(?:an?|one|1|the|each)\s)?(?:first\s|last\s)?"
_START = r"(?:start|starting|starts|begin|beginning|begins|commence|commencing|commences)"
_END = (
    r"(?:end|ending|ends|finish|finishing|finishes|conclude|concluding|terminate|terminating|close|closing)"
)
_BE = r"(?:is|are|be|being|must be|shall be|should be|to be|will be)"
_LIE = (
    r"(?:is|are|be|lies?|sits?|comes?|stands?|goes|"
    r"rests?|must be|ends? up|being|lying|sitting|to be|placed|laid)"
)
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
    r"at the beginning and (?:the |at the )?end|both first and last)"
)
_PLATE = r"(?:\s(?:plates?|dis[ck]s?|one))?"
_PLATES = r"\s(?:plates|discs|disks|ones)"
_GLUE = r"[\s,]{1,3}"
_K = r"<(?P<k>[FS])(?::[0-9]{1,3})?>"


def _p(*bodies: str) -> tuple[re.Pattern[str], ...]:
    return tuple(re.compile(b) for b in bodies)


_FIRST = _p(
    rf"\b{_START}\s(?:with|from|by|on|at)\s(?:(?:fitting|installing|placing|laying|inserting)\s)?{_ONE}{_K}",
    rf"\b(?:from|beginning at)\s{_ONE}{_K}",
    rf"\bfirst(?:{_PLATE})\s(?:in\s)?(?:{_BE}\s)?{_ONE}{_K}",
    rf"\b(?:fit|install|place|lay|insert|put|comes?)\s{_ONE}{_K}\sfirst\b",
    rf"{_K}{_GLUE}(?:(?:{_BE}|{_LIE}|goes in|comes?)\s)?first\b",
    rf"{_K}{_GLUE}(?:{_LIE}\s)?(?:facing downwards?\s)?{_BOTTOM}",
    rf"\b(?:bottom|lowest|lowermost|first){_PLATE}\s(?:{_BE}|as)\s{_ONE}{_K}",
    rf"\b(?:bottom|lowest|lowermost)\s{_ONE}{_K}",
    rf"\b(?:fit|install|place|lay|insert|put)\s{_ONE}{_K}{_GLUE}(?:in|into|on|onto|against)\sthe\s(?:bottom|piston)\b",
)
_LAST = _p(
    rf"\b{_END}\s(?:with|on|in|by)\s(?:(?:fitting|installing|placing|laying|inserting)\s)?{_ONE}{_K}",
    rf"\b(?:so|such)\sthat\s{_ONE}{_K}\s{_LIE}\s(?:{_TOP}|last)",
    rf"\blast(?:{_PLATE})\s(?:in\s)?(?:{_BE}\s)?{_ONE}{_K}",
    rf"{_K}{_GLUE}(?:(?:{_BE}|{_LIE}|goes in|comes?)\s)?last\b",
    rf"{_K}{_GLUE}(?:(?:{_LIE})\s)?{_TOP}",
    rf"\b(?:top|uppermost|topmost|last){_PLATE}\s(?:{_BE}|as)\s{_ONE}{_K}",
    rf"\b(?:top|uppermost|topmost)\s{_ONE}{_K}",
    rf"\btopped(?:\soff)?\s(?:with|by)\s{_ONE}{_K}",
    rf"\bfrom\s{_ONE}<[FS](?::[0-9]{{1,3}})?>\sto\s{_ONE}{_K}",
    rf"\b(?:on top|at the top|uppermost)\s(?:{_LIE}\s)?{_ONE}{_K}",
    rf"\bfinally\s(?:(?:fit|install|place|lay|add|comes?)\s)?{_ONE}{_K}",
)
_BOTH_ENDS = _p(
    rf"{_K}{_GLUE}(?:{_LIE}\s)?(?:outermost\s)?{_BOTH}",
    rf"\bfirst\sand\s(?:the\s)?last{_PLATE}\s(?:{_BE}\s)?(?:both\s)?{_ONE}{_K}",
    rf"\b(?:both|two|2)\s(?:the\s)?(?:end|outer|outermost)(?:{_PLATES})?\s{_BE}\s{_ONE}{_K}",
    rf"\b(?:outer|outermost|end){_PLATES}\s{_BE}\s{_K}",
    rf"\b{_START}\sand\s{_END}\s(?:with|on)\s{_ONE}{_K}",
    rf"\b{_BOTH}\s(?:{_LIE}\s|goes\s)?{_ONE}{_K}",
)
_ALTERNATE = re.compile(
    r"\balternat|\bin turn\b|\bby turns\b|\bone after the other\b|\binterleav|\bevery other\b"
    r"|\bturn and turn\b"
)
_ANOTHER = re.compile(
    r"\b(?:another(?: one)?|one more|the other(?: one)?|one of the same(?: kind)?|the same kind)\b(?!\s<)"
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
    marked = _marked(text)
    kinds = set(re.findall(r"<([FS])", marked))
    if not kinds:
        return None
    first, last = _ends(marked)
    friction, steel = _count(marked, "F"), _count(marked, "S")
    both = _EACH.search(marked)
    if both and len(kinds) == 2 and friction is None and steel is None:
        friction = steel = int(both["n"] or both["m"])
    alternate = bool(_ALTERNATE.search(marked))
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


def _ends(marked: str) -> tuple[Plate | None, Plate | None]:
    bare = re.sub(r"<([FS]):[0-9]{1,3}>", r"<\1>", marked)
    both = _kind_by(_BOTH_ENDS, bare)
    if both:
        return both, both
    return _kind_by(_FIRST, bare), _kind_by(_LAST, bare)


def _kind_by(patterns: tuple[re.Pattern[str], ...], marked: str) -> Plate | None:
    found = {m["k"] for pattern in patterns for m in pattern.finditer(marked)}
    if len(found) != 1:  # nothing said, or the words contradict each other: not for us to decide
        return None
    return "friction" if found == {"F"} else "steel"


def _count(marked: str, mark: str) -> int | None:
    """The count of one kind; `starting with one` counts nothing, so a lone 1 gives way to any other count."""
    counts = {int(n) for n in re.findall(rf"<{mark}:([0-9]{{1,3}})>", marked)}
    if len(counts) > 1:
        counts.discard(1)
    return counts.pop() if len(counts) == 1 else None


def _marked(text: str) -> str:
    plain = " ".join(unicodedata.normalize("NFKC", text).lower().split())[:_LIMIT]
    plain = _WORD_NUMBER.sub(lambda m: str(NUMBER_WORDS.index(m[1])), plain.replace("-", " "))
    friction, steel = _names(plain)
    plain = re.sub(r"\b(?:end|pressure|backing|thrust|cover|retaining|support)\splates?\b", "endpiece", plain)
    plain = _mark_shared(plain, friction, steel)
    for mark, names in (("F", friction), ("S", steel)):
        pattern = re.compile(
            rf"{_COUNT}{_FILL}\b(?:{names})s?(?:\s(?:{names}))?(?:\s(?:clutch\s)?{NOUN}|(?=\b)){_AFTER}"
        )
        plain = pattern.sub(functools.partial(_mark, mark), plain)
    return _resolve_another(plain)


def _mark(mark: str, match: re.Match[str]) -> str:
    count = match["n"] or match["m"]
    return f"<{mark}:{int(count)}>" if count else f"<{mark}>"


def _mark_shared(plain: str, friction: str, steel: str) -> str:
    """`5 plates with lining`, `discs (steel)`: the kind after the noun."""
    for names in (friction, steel):
        plain = re.sub(rf"\b({NOUN}),?\s(?:with\s|\()?({names})(?:\)|\b)", r"\2 \1", plain)
    return plain


def _names(plain: str) -> tuple[str, str]:
    """The kinds' names in this text: inner, outer and clutch are kinds only where no plainer name is used."""
    strong_friction = bool(_STRONG_ANY["friction"].search(plain))
    strong_steel = bool(_STRONG_ANY["steel"].search(plain))
    friction = STRONG_FRICTION if strong_friction else rf"{STRONG_FRICTION}|{WEAK_FRICTION}"
    steel = STRONG_STEEL if strong_steel else rf"{STRONG_STEEL}|{WEAK_STEEL}"
    return friction, steel


def _resolve_another(marked: str) -> str:
    """`a steel plate at the bottom and another on top`: another means the kind named last before it."""
    pieces, last, at = [], "", 0
    for match in re.finditer(rf"<([FS])(?::[0-9]{{1,3}})?>|{_ANOTHER.pattern}", marked):
        pieces.append(marked[at : match.start()])
        pieces.append(match[0] if match[1] else (f"<{last}>" if last else match[0]))
        last, at = match[1] or last, match.end()
    return "".join(pieces) + marked[at:]

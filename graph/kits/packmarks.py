"""Plate mentions in a step, marked by kind: `<F>` a friction plate, `<S:12>` twelve steel plates.

What reads a pack's order then speaks of marks, not of the many names that makers give the plates.
"""

import functools
import re
import unicodedata

from benchleaf.graph.kits.plates import NOUN, STRONG_FRICTION, STRONG_STEEL, WEAK_FRICTION, WEAK_STEEL

_TO_TEN = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
NUMBER_WORDS = (*_TO_TEN, "eleven", "twelve", *_TEENS, "twenty")

LIMIT = 4000  # characters of a step that are read
_WORD_NUMBER = re.compile(r"\b(" + "|".join(NUMBER_WORDS) + r")\b")
_FRICTION = re.compile(rf"\b(?:{STRONG_FRICTION})\b")
_STEEL = re.compile(rf"\b(?:{STRONG_STEEL})s?\b")
_END_PLATE = re.compile(r"\b(?:end|pressure|backing|thrust|cover|retaining|support)\splates?\b")

_PIECES = r"(?:pcs?\b\.?|pieces?\b|off\b)"
_BEFORE = rf"(?:\b(?P<n>[0-9]{{1,3}})(?!\.?[0-9])\s{{0,2}}(?:x|\u00d7|{_PIECES}(?: of)?|nos?\.?)?\s{{1,2}})?"
_FILL = (
    r"(?:(?:new|soaked|oiled|of the|the|identical|equal|thin|thick|flat|waved|large|small|rotating|stationary"
    r"|fixed|moving|single|double|coated|external|internal)\s)?"
)
_WHOLE = r"(?![0-9]|[.,][0-9]|\s?(?:mm|in\b|\u00b0))"
_AFTER = (
    rf"(?:\s{{0,2}}[:=]\s{{0,2}}(?P<m1>[0-9]{{1,3}}){_WHOLE}"
    rf"|\s{{0,2}}\((?:qty\.?|quantity)?:?\s{{0,2}}(?P<m2>[0-9]{{1,3}})(?:\s{_PIECES})?\)"
    rf"|\s{{0,2}}\([^()]{{1,40}}[\s,](?P<m3>[0-9]{{1,3}})\s{_PIECES}\)"
    rf"|,\s(?P<m4>[0-9]{{1,3}})\s{_PIECES}"
    rf"|\s(?P<m5>[0-9]{{1,2}})(?=[,;)]|\.?$|\.\s))?"
)
_BARE = (
    r"(?=\s{0,2}(?:[,.;:()<>=/]|$)|\s[0-9]{1,2}(?:[,;)]|\.?$|\.\s)"
    r"|\s(?:and|or|then|first|last|in|at|on|to|until|must|is|are|plus|with|from|followed|by|next|lies|alternat))"
)
_CALLOUT = re.compile(r"\([0-9]{1,3}\)")
_COUNTED = re.compile(
    rf"\b[0-9]{{1,3}}\s(?:new\s)?(?:{STRONG_FRICTION}|{STRONG_STEEL}|{WEAK_FRICTION}|{WEAK_STEEL})\b"
)
_ANOTHER = (
    r"\b(?:another(?: one)?|one more|the other(?: one)?|one of the same(?: kind)?|the same kind)\b(?!\s<)"
)
_MARK_OR_ANOTHER = re.compile(rf"<([FS])(?::[0-9]{{1,3}})?>|{_ANOTHER}")


@functools.lru_cache(maxsize=4096)  # every step of a book is read again for each kit
def marked(text: str) -> str:
    """A step's words in lower case, numbers as figures, every plate mention as a mark.

    >>> marked("Five lined discs, a steel disc on top and another below.")
    '<F:5>, a <S> on top and <S> below.'
    """
    plain = " ".join(unicodedata.normalize("NFKC", text).lower().split())[:LIMIT]
    plain = _WORD_NUMBER.sub(lambda m: str(NUMBER_WORDS.index(m[1])), _joined(plain))
    plain = _END_PLATE.sub("endpiece", plain)
    plain = _without_callouts(_with_one_name(plain))
    friction, steel = _names(plain)
    for mark, names in (("F", friction), ("S", steel)):
        plain = _pattern(names).sub(functools.partial(_mark, mark), plain)
    return _resolve_another(plain)


def _joined(plain: str) -> str:
    """Hyphens within words as blanks, dashes between words as commas."""
    return re.sub(r"\s[-\u2013\u2014]\s", ", ", plain).replace("-", " ")


@functools.cache
def _pattern(names: str) -> re.Pattern[str]:
    noun = rf"(?:\s(?:{names}))?\s(?:clutch\s)?{NOUN}"
    return re.compile(rf"{_BEFORE}{_FILL}\b(?:{names})s?(?:{noun}|{_BARE}){_AFTER}")


def _mark(mark: str, match: re.Match[str]) -> str:
    count = next((n for n in match.groups() if n), None)
    return f"<{mark}:{int(count)}>" if count else f"<{mark}>"


def _with_one_name(plain: str) -> str:
    """`outer (steel) plates` teaches that outer plates are the steel ones; `discs with lining` are lined
    discs."""
    for weak, strong in ((WEAK_FRICTION, STRONG_FRICTION), (WEAK_STEEL, STRONG_STEEL)):
        taught = re.search(rf"\b({weak})\s\(({strong})\)|\b({strong})\s\(({weak})\)", plain)
        if taught:
            name, meant = (taught[1], taught[2]) if taught[1] else (taught[4], taught[3])
            plain = plain.replace(taught[0], meant)
            plain = re.sub(rf"\b{re.escape(name)}(?=\s{NOUN})", meant, plain)
        plain = re.sub(rf"\b({NOUN}),?\s(?:with\s|\()({strong})(?:\)|\b)", r"\2 \1", plain)
    return plain


def _without_callouts(plain: str) -> str:
    """A lone figure in brackets is mostly a callout of the drawing: it counts plates only beside a plate's
    name, and only if the step has no other."""
    callouts = _CALLOUT.findall(plain)
    beside = re.findall(rf"(?:{NOUN}|\b(?:{STRONG_FRICTION}|{STRONG_STEEL})s?)\s\([0-9]{{1,3}}\)", plain)
    counted = _COUNTED.search(plain)
    return plain if len(callouts) == len(beside) == 2 and not counted else _CALLOUT.sub("", plain)


def _names(plain: str) -> tuple[str, str]:
    """The kinds' names in this text: inner, outer and clutch are kinds only where no plainer name is used."""
    friction = STRONG_FRICTION if _FRICTION.search(plain) else rf"{STRONG_FRICTION}|{WEAK_FRICTION}"
    steel = STRONG_STEEL if _STEEL.search(plain) else rf"{STRONG_STEEL}|{WEAK_STEEL}"
    return friction, steel


def _resolve_another(words: str) -> str:
    """`a steel plate at the bottom and another on top`: another means the kind named last before it."""
    pieces, last, at = [], "", 0
    for match in _MARK_OR_ANOTHER.finditer(words):
        pieces.append(words[at : match.start()])
        pieces.append(match[0] if match[1] else (f"<{last}>" if last else match[0]))
        last, at = match[1] or last, match.end()
    return "".join(pieces) + words[at:]

"""A paragraph with its numbers, values, dates, quotations and references each folded into one sign.

The phrase book's patterns look at the folded text (`Tagged.folded`), in which `Kit 922 305 42` is one
character. So a pattern stays short and quick, and no word inside a quotation or a number can be mistaken
for a phrase.
"""

import re
from bisect import bisect_left
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from benchleaf.ingest.phrases.numbers import codes

PART, CODE, WEAK, SERIAL, MODEL, NOTE, PUB, REF, VALUE, DATE, QUOTE = (chr(0xE001 + n) for n in range(11))
ANY = f"{PART}-{QUOTE}"
KINDS = frozenset((PART, CODE, WEAK, SERIAL, MODEL, NOTE, PUB, REF, VALUE, DATE, QUOTE))

_RECENT = 256  # paragraphs

_PRIVATE = re.compile("[\ue000-\uf8ff]")
_BLANKS = re.compile(r"[\s\u00a0\u2000-\u200b\u202f\ufeff]+")
_QUOTES = (
    # Quotation marks within quoted words come in pairs.
    re.compile(r"“([^“”„]{0,2000}+(?:“[^“”„]{1,200}+”[^“”„]{0,2000}+){1,6})”"),
    re.compile(r"„([^“”„]{1,4000}?)[”“]"),
    re.compile(r"“([^“”„]{1,4000}?)(?:”|(?<=\S)“(?=[\s.,;:)\]!?]|$))"),
    re.compile(r"[«»]([^«»]{1,4000}?)[«»]"),
    re.compile(r"(?:(?<=[\s(\[:])|^)\"(?=\S)([^\"]{1,4000}?)(?<=\S)\"(?=[\s.,;:)\]!?]|$)"),
    re.compile(r"(?:(?<=[\s(\[:])|^)''(?=\S)([^']{1,2000}?)(?<=\S)''(?=[\s.,;:)\]!?]|$)"),
    re.compile(r"(?:(?<=[\s(\[:])|^)['\u2018](?=\S)([^'\u2018’]{1,2000}?)(?<=\S)['’](?=[\s.,;:)\]!?]|$)"),
)
_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?"
    r"|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\.?"
)
_DATE = re.compile(
    rf"\b(?:[0-9]{{1,2}}(?:st|nd|rd|th)?\.?[ -]{_MONTH}[ ,-]{{1,2}}(?:[0-9]{{4}}|[0-9]{{2}})"
    rf"|{_MONTH} ?[0-9]{{1,2}}(?:st|nd|rd|th)?,? [0-9]{{4}}|{_MONTH},? (?:19|20)[0-9]{{2}}"
    # The month, not the verb that guards look for.
    r"|(?:(?<=from )|(?<=in )|(?<=since )|(?<=until )|(?<=of )|(?<=by )|(?<=early )|(?<=late"
    r" ))(?-i:May)\b(?! [a-z])"
    r"|(?:19|20)[0-9]{2}[-/.][0-9]{1,2}[-/.][0-9]{1,2}|[0-9]{1,2}[-/.][0-9]{1,2}[-/.](?:19|20)[0-9]{2}"
    r"|[0-9]{1,2}([./])[0-9]{1,2}\1[0-9]{2})(?![0-9A-Za-z]|[-/.][0-9])",
    re.IGNORECASE,
)
_FIGURE = (
    r"(?:[0-9]{1,3}(?: [0-9]{3}){1,2}(?![0-9])|[0-9]+(?:[.,][0-9]+)?(?:[ -][0-9]/[0-9]{1,2})?"
    r"(?:/[0-9]{1,2})?|\.[0-9]+)"
)
# An abbreviation's stop; where a sentence ends with it, the stop is left to the sentence.
_STOP = r"(?:\.(?! +(?-i:[A-Z])| *$))?"
_UNIT = (
    r"(?:k?N[ ·.*∙⋅•]?m|N[ ·.]?cm|daN[ ·.]?m|c?Nm|(?:in|ft|lbf?|oz)[ ·.\-]{1,2}(?:lbf?s?|ft"
    rf"|in|oz)\b{_STOP}|lbf?[·.]?(?:ft|in)"
    r"|kgf?[ ·.]?c?m|m[ ·.]?kgf?|kp[ ·.]?c?m"
    r"|kgf?/cm(?:2|²)|kp/cm(?:2|²)|N/mm(?:2|²)|m?bar|[kM]Pa|hPa|Pa|psig?|atm|at(?! [A-Za-z])|inHg|mm|cm"
    r"|[µμ]m|microns?|thou|inch(?:es)?"
    rf"|feet|foot|ft\b{_STOP}|° ?[CF]?|deg(?:rees?)?\b(?: ?[CF]\b)?|minutes?|mins?\b{_STOP}"
    rf"|seconds?|secs?\b{_STOP}|hours?|hrs?|days?"
    r"|lit(?:re|er)s?|ml|cc|cm(?:3|³)|dm(?:3|³)|pints?|pts?\b|quarts?|qts?\b|gal(?:lon)?s?"
    r"|grams?|kg|lbs?|ounces?|oz"
    r"|kN|rpm|r/min|rev/min|min-1|volts?|amps?|ohms?|Ω|%|km|miles?|turns?|revolutions?|drops?|teeth|mm/m"
    r"|(?-i:[mslhgNVWKAL])|″|''|\")"
)
_NO_INCH = (
    r"(?! (?:(?:19|20)[0-9]{2}\b(?! ?(?:mm|in|ft|lb))|(?:early|mid|late|january|february|march|april"
    r"|june|july|august|september|october|november|december)\b))"
    r"(?! (?:total|the|place|lieu|stock|each|kit|one|both|all|step|item|page|section|manual"
    r"|production|future|it|its|this|that|these|which|full|case|a|an|our|your|their|addition|accordance|general|use"
    r"|order|such|view|respect|chapter|para|paragraph|procedure|operation|question|force|turn|detail|part|any)\b)"
)
_INCH = rf"(?:in\b{_STOP}{_NO_INCH})"
_ONE_VALUE = (
    rf"{_FIGURE}(?: ?(?:-|–|—|±|\+/-|\.\.\.|…) ?{_FIGURE})? ?(?:{_UNIT}|{_INCH})(?![A-Za-z0-9]"
    r"|[-/.][A-Za-z0-9])"
)
_VALUE = re.compile(
    rf"(?<![\w.,/#-])(?<![0-9] )(?:[±+-])?{_ONE_VALUE}(?: ?(?:±|\+/-) ?{_FIGURE}(?: ?{_UNIT})?)?"
    rf"(?: ?[(\[] ?{_ONE_VALUE}(?: ?[;,/] ?{_ONE_VALUE})? ?[)\]]| ?/ ?{_ONE_VALUE}(?![A-Za-z0-9]))?",
    re.IGNORECASE,
)
# `20617B` is a part number with its change letter: nobody prints so many amperes or volts, and no blank.
_NO_UNIT = re.compile(r"[0-9]{5,9}[NVWKAL]|[0-9]{4}A")
_BEFORE_LABELLED = re.compile(
    r"(?:\b(?:kit|part|parts|numbers?|p/n|pn|no|nos|serial|serials|s/n|page|pages|p|bulletin"
    r"|section|manual|steps?|items?|operations?|paragraphs?|paras?|points?)\.?) ?$",
    re.I,
)


@dataclass(frozen=True, slots=True)
class Tag:
    """What one sign stands for: its kind, the words as printed, the label before them in lower case, and what
    was made of them (a Reference for REF)."""

    kind: str
    text: str
    label: str = ""
    content: object = None


@dataclass(frozen=True, slots=True)
class Tagged:
    """A text and its folding. `spans[i]` is the stretch of `text` that character `i` of `folded` stands
    for."""

    text: str
    folded: str
    spans: tuple[tuple[int, int], ...]
    tags: dict[int, Tag] = field(default_factory=dict)

    def words(self, start: int, end: int) -> str:
        """The printed words behind folded[start:end]."""
        if start >= end:
            return ""
        return self.text[self.spans[start][0] : self.spans[end - 1][1]].strip()

    def inside(self, start: int, end: int) -> tuple[tuple[int, Tag], ...]:
        """The tags within folded[start:end], with their places, in order."""
        places = sorted(self.tags)
        first = bisect_left(places, start)
        return tuple((i, self.tags[i]) for i in places[first:] if i < end)


Build = Callable[[re.Match[str], Tagged], Tag | None]


def fold(text: str, known: Collection[tuple[int, ...]] = ()) -> Tagged:
    """Folds quotations, values, dates and codes; labels and references are folded by `references.tag`."""
    plain, found, mask = _spoken_for(text)
    taken = list(found)
    for code in codes(plain, mask, known):
        taken.append((code.start, code.end, Tag(CODE if code.strong else WEAK, code.text)))
    return _folded(plain, sorted(taken, key=lambda t: t[0]))


@lru_cache(maxsize=_RECENT)
def _spoken_for(text: str) -> tuple[str, tuple[tuple[int, int, Tag], ...], bytes]:
    """A text with plain blanks, its quotations, values and dates, and a mark on each of their letters. Kept:
    the paragraphs of a note are folded again once it is known which manuals all of it names."""
    plain = _BLANKS.sub(" ", _PRIVATE.sub(" ", text)).strip()
    taken: list[tuple[int, int, Tag]] = []
    mask = bytearray(len(plain))
    for quote in _QUOTES:
        _take(
            taken,
            mask,
            ((m, Tag(QUOTE, m.group(), content=m.group(1).strip())) for m in quote.finditer(plain)),
        )
    _take(
        taken,
        mask,
        (
            (m, Tag(VALUE, m.group()))
            for m in _VALUE.finditer(plain)
            if not _labelled(plain, m.start()) and not _NO_UNIT.fullmatch(m.group())
        ),
    )
    _take(
        taken,
        mask,
        ((m, Tag(DATE, m.group())) for m in _DATE.finditer(plain) if not _labelled(plain, m.start())),
    )
    return plain, tuple(taken), bytes(mask)


def refold(tagged: Tagged, pattern: re.Pattern[str], build: Build) -> Tagged:
    """Folds every match of a pattern over folded text for which `build` gives a tag."""
    found = ((m.start(), m.end(), build(m, tagged)) for m in pattern.finditer(tagged.folded) if m.group())
    return replace_at(tagged, [(start, end, tag) for start, end, tag in found if tag is not None])


def replace_at(tagged: Tagged, stretches: Sequence[tuple[int, int, Tag]]) -> Tagged:
    """Folds the given stretches of folded text, which stand in order and do not overlap."""
    if not stretches:
        return tagged
    pieces: list[str] = []
    spans: list[tuple[int, int]] = []
    tags: dict[int, Tag] = {}
    at = 0
    for start, end, tag in stretches:
        _copy(tagged, at, start, pieces, spans, tags)
        tags[len(spans)] = tag
        pieces.append(tag.kind)
        spans.append((tagged.spans[start][0], tagged.spans[end - 1][1]))
        at = end
    _copy(tagged, at, len(tagged.folded), pieces, spans, tags)
    return Tagged(tagged.text, "".join(pieces), tuple(spans), tags)


def _copy(
    tagged: Tagged,
    start: int,
    end: int,
    pieces: list[str],
    spans: list[tuple[int, int]],
    tags: dict[int, Tag],
) -> None:
    for place, tag in tagged.inside(start, end):
        tags[len(spans) + place - start] = tag
    pieces.append(tagged.folded[start:end])
    spans.extend(tagged.spans[start:end])


def _take(
    taken: list[tuple[int, int, Tag]], mask: bytearray, found: Iterable[tuple[re.Match[str], Tag]]
) -> None:
    for match, tag in found:
        if 1 not in mask[match.start() : match.end()]:
            taken.append((match.start(), match.end(), tag))
            mask[match.start() : match.end()] = b"\x01" * (match.end() - match.start())


def _labelled(text: str, start: int) -> bool:
    """A number right behind "kit", "part no." or "page" is that, whatever it looks like."""
    return bool(_BEFORE_LABELLED.search(text[max(0, start - 14) : start]))


def _folded(text: str, taken: Sequence[tuple[int, int, Tag]]) -> Tagged:
    pieces: list[str] = []
    spans: list[tuple[int, int]] = []
    tags: dict[int, Tag] = {}
    at = 0
    for start, end, tag in taken:
        pieces.append(text[at:start])
        spans.extend(zip(range(at, start), range(at + 1, start + 1), strict=True))
        tags[len(spans)] = tag
        pieces.append(tag.kind)
        spans.append((start, end))
        at = end
    pieces.append(text[at:])
    spans.extend(zip(range(at, len(text)), range(at + 1, len(text) + 1), strict=True))
    return Tagged(text, "".join(pieces), tuple(spans), tags)

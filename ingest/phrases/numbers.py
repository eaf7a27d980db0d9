"""Part, note and publication numbers in running text: where they start, where they end, and how sure that is.

A code is found by its shape only; what it numbers (a part, a note, a manual) is told by the words before
it and by the slot of the phrase that it stands in.
"""

import re
from collections.abc import Collection, Sequence
from functools import lru_cache
from typing import NamedTuple

_CHUNK = re.compile(r"[A-Za-z0-9]++(?:[-\u2010\u2011–./][A-Za-z0-9]++){0,8}+")
_CODE = re.compile(r"(?=[^0-9]{0,6}[0-9])[A-Z0-9]++(?:[-\u2010\u2011–./][A-Z0-9]++){0,8}+[a-z]?")
_GAP = re.compile(r" |[-\u2010\u2011–] ")
# No measure of the trade has five decimals, or four behind hundreds: `45.74196` and `417.0633` are numbers.
_DECIMAL = re.compile(r"[0-9]{1,2}\.[0-9]{1,4}|[0-9]+\.[0-9]{1,3}|[0-9]{1,4}[xX]")
# `31.4407`, `4471.020`: groups that may be a figure or an order number are one where the text names a part
# right before a number of the same groups and nothing about it speaks of a measure.
_GROUPED = re.compile(r"[0-9]{2}\.[0-9]{4}|[0-9]{4,6}\.[0-9]{2,3}|[0-9]{3}\.[0-9]{3}")
_GROUPS = re.compile(r"(?<![0-9A-Za-z.,/-])[0-9]{2,6}\.[0-9]{2,4}(?![0-9A-Za-z]|[.,/-][0-9A-Za-z])")
_THING_BEFORE = re.compile(
    r"\b(?:parts?|kits?|sets?|p/n|(?:part|order|kit|article|stock) (?:numbers?|nos?\.?)"
    r"|assembl(?:y|ies)|assy\.?"
    r"|bearings?|bolts?|breathers?|bush(?:es|ings?)?|caps?|circlips?|clips?|collars?|cones?|couplings?|covers?|cups?"
    r"|cylinders?|dipsticks?|dis[ck]s?|dowels?|drums?|elements?|filters?|flanges?|forks?|gaskets?|gears?|glands?"
    r"|hoses?|housings?|hubs?|impellers?|joints?|keys?|lamell(?:a|ae|as)|levers?|linings?|nuts?|o-?rings?|packages?"
    r"|packings?|pads?|pinions?|pins?|pipes?|pistons?|plates?|plugs?|plungers?|pumps?|races?|retainers?|rings?|rods?|rollers?|rotors?|screws?"
    r"|seals?|shafts?|shims?|shoes?|sleeves?|spacers?|spools?|springs?|strainers?|studs?|thermostats?|valves?|vanes?"
    r"|washers?|wheels?),? $",
    re.IGNORECASE,
)
# `15.308` is a figure, unless the text calls a number of these groups a kit's or a part's number.
_FEW_GROUPS = re.compile(r"[0-9]{1,2}\.[0-9]{3}")
_FEW = re.compile(r"(?<![0-9A-Za-z.,/-])[0-9]{1,2}\.[0-9]{3}(?![0-9A-Za-z]|[.,/-][0-9A-Za-z])")
_LABEL_BEFORE = re.compile(
    r"(?:\bkits?|\b(?:the|a|this|that|each|every|new|old|repair|overhaul|seal|gasket|service|spare|wear)"
    r" (?:parts? )?sets?"
    r"|\b(?:parts?|ident|order|ordering|article|stock|catalogue|spare part|item|code|id|p)[ ./]{0,2}"
    r"(?:n|nos?|numbers?)\b|p/ns?)\.?[ :]{1,2}$",
    re.IGNORECASE,
)
_MEASURE_BEFORE = re.compile(
    r"(?:[±+=<>≤≥Ø⌀/–-] ?|\b(?:dimensions?|diameters?|dia|bores?|thick(?:ness)?|height|width|length|depth"
    r"|clearances?|limits?|sizes?|backlash|end ?float|play|travel|gap|wear|values?|readings?|setting|torque"
    r"|pressure|ratio|tolerances?|measures?|measur(?:ed|ing|ement)|o/?d|i/?d|inside|outside|micrometer"
    r"|turned|ground|bored|reamed|lapped|machined|minimum|maximum|min|max|between|over|under|below|above|exceeds?)"
    r"\b(?:(?!\. )[^;]){0,48})$",
    re.IGNORECASE,
)
_MEASURE_AFTER = re.compile(
    r" ?(?:±|\+|[-–/] ?[0-9]|(?:to|and|or|-|–|/) [0-9]{2,6}\.[0-9]{2,4} ?(?:mm|in|\"|''|″)"
    r"|(?:mm|inch|inches|[\"″%°])"
    r"|in\.|min\b|max\b|thick\b|wide\b|long\b|deep\b|high\b)",
    re.IGNORECASE,
)
_SHORT_GROUPS = re.compile(r"[0-9]{1,3}[-.][0-9]{2,3}")
_LETTER_DIGITS = re.compile(r"[A-Z]{1,3}[0-9]{1,4}")
_CLEAR = re.compile(
    r"[.,;:)]|$| (?:is|are|was|has|have|by|replaces|supersedes|contains|consists|and|or|now"
    r"|can|may|must|will)\b"
)
_ENDS = re.compile(
    rf"{_CLEAR.pattern}| (?:to|with|in|into|instead|should|shall|for|of|from|becomes?|supersed)"
)
# "I.B. 714", "S.L. 58/4": the number of a book or a letter with the initials of its kind; a grade of oil, a
# thread or a side of the gear has such letters too.
_INITIALLED = re.compile(
    r"(?<![A-Za-z0-9.])(?!(?:S\.A\.E|S\.W\.G|B\.S(?:\.[FWCP])?|B\.A|B\.H\.P|A\.P\.I|A\.S\.[AT](?:\.M)?|A\.D|D\.I\.N"
    r"|I\.S\.O|E\.P|H\.P|H\.D|I\.D|O\.D|P\.C\.D|P\.O|N\.B|P\.S|P\.T\.O|U\.N\.[CF]|U\.[KS](?:\.A)?|A\.M|P\.M"
    r"|R\.H|L\.H|N\.S|T\.D\.C|B\.D\.C|R\.P\.M|M\.P\.H)\.)"
    r"(?:[A-Z]\.){2,4} ?[0-9]{1,4}(?:[-/][0-9A-Z]{1,4}){0,2}(?![0-9A-Za-z]|[.,/-][0-9A-Za-z])"
)
_NOT_ALNUM = re.compile(r"[^A-Z0-9]+")

# Capital words that stand before a number without belonging to it, in documents typed in capitals too.
_NO_PREFIX = frozenset(
    [
        "A",
        "AN",
        "AND",
        "ANY",
        "ALL",
        "AT",
        "AS",
        "BE",
        "BY",
        "DO",
        "FIT",
        "FOR",
        "FROM",
        "GET",
        "HAS",
        "IF",
        "IN",
        "IS",
        "IT",
        "ITEM",
        "KIT",
        "KITS",
        "NEW",
        "NO",
        "NOS",
        "NOT",
        "NOW",
        "NR",
        "OF",
        "OFF",
        "OIL",
        "OLD",
        "ON",
        "ONE",
        "OR",
        "OUT",
        "PAGE",
        "PAGES",
        "PART",
        "PARTS",
        "PCS",
        "PER",
        "PN",
        "P",
        "PLUS",
        "QTY",
        "REF",
        "SEE",
        "SET",
        "SETS",
        "SN",
        "STEP",
        "STEPS",
        "SUB",
        "THE",
        "THEN",
        "THIS",
        "THRU",
        "TO",
        "TWO",
        "TYPE",
        "UNIT",
        "UP",
        "USE",
        "USED",
        "VIA",
        "WAS",
        "WITH",
        "NLA",
        "NSS",
        "ASSY",
        "ASSYS",
        "AR",
        "ORDER",
        "OP",
        "OPS",
        "PARA",
        "POS",
        "NEED",
        "NEXT",
        "PACK",
        "PAIR",
        "RING",
        "SEAL",
        "DISC",
        "DISK",
        "PIN",
        "NUT",
        "CAP",
        "CUP",
        "HUB",
        "BOLT",
        "GEAR",
        "PUMP",
        "CAM",
        "KEY",
        "ROD",
        "FIG",
        "FIGS",
        "VIDE",
        "DATE",
        "YEAR",
        "EX",
        "WERE",
        "ARE",
        "ONLY",
        "ALSO",
        "BOTH",
        "EACH",
        "EVERY",
        "MUST",
        "THAN",
        "THAT",
        "WHEN",
        "FULL",
        "HAVE",
        "BEEN",
        "GOES",
        "INTO",
        "LESS",
        "MORE",
        "ONTO",
        "OVER",
        "SAME",
        "SELF",
        "SHIM",
        "SOME",
        "SUCH",
        "SUPS",
        "UNDER",
        "CODE",
        "BOX",
        "BAG",
        "VER",
        "REV",
        "ED",
        "VOL",
        "CH",
        "SEC",
    ]
)


class Span(NamedTuple):
    """A number as printed with its place in the text. `strong` is false for short codes (`4-62`, `C9`) that
    are a part number only where the words say so."""

    start: int
    end: int
    text: str
    strong: bool


class _Chunk(NamedTuple):
    start: int
    end: int
    text: str


def part_numbers(text: str) -> tuple[Span, ...]:
    """Every code in a text that is long enough to be a part number by its shape alone.

    Quantities with units, dates and page labels must be taken out beforehand (`tags.fold` does).

    >>> [s.text for s in part_numbers("Kit RG 4410-207 replaces 922 305 42.")]
    ['RG 4410-207', '922 305 42']
    """
    return tuple(s for s in codes(text) if s.strong)


def codes(
    text: str, taken: bytes | bytearray = b"", known: Collection[tuple[int, ...]] = ()
) -> tuple[Span, ...]:
    """Every code in a text, strong and weak, but none that touches a character marked in `taken`.

    `known` are the shapes (lengths of digit groups) of the maker's numbers: they tell that `318 604 22 11
    discs` is a number and a count.
    """
    chunks = [_Chunk(m.start(), m.end(), m.group()) for m in _CHUNK.finditer(text)]
    chunks = [c for c in chunks if not (_is_word(c.text) or 1 in taken[c.start : c.end])]
    shouting = in_capitals(text)
    found = [
        Span(m.start(), m.end(), m.group(), False)
        for m in _INITIALLED.finditer(text)
        if 1 not in taken[m.start() : m.end()]
    ]
    chunks = [c for c in chunks if not any(s.start <= c.start < s.end for s in found)] if found else chunks
    at = 0
    while at < len(chunks):
        span, used = _code_at(text, chunks, at, shouting, known)
        if span is not None:
            found.append(span)
        at += max(used, 1)
    return tuple(sorted(found))


def _is_word(chunk: str) -> bool:
    """True for letters that are not all capitals: they are no number, begin none, and end the one before."""
    return chunk.isalpha() and not chunk.isupper()


def in_capitals(text: str) -> bool:
    """True if a text is typed in capitals, so that a capital word proves nothing."""
    words = re.findall(r"[A-Za-z]{3,}", text)
    return len(words) >= 3 and sum(w.isupper() for w in words) > 0.7 * len(words)


def shapes(text: str) -> tuple[tuple[int, ...], ...]:
    """The lengths of the digit groups of each number in a text that ends clearly: at a mark, or before a
    verb."""
    return tuple(_shape(s.text) for s in codes(text) if " " in s.text and _CLEAR.match(text, s.end))


def _shape(printed: str) -> tuple[int, ...]:
    return tuple(len(group) for group in re.findall(r"[0-9]+", printed))


def _code_at(
    text: str, chunks: Sequence[_Chunk], at: int, shouting: bool, known: Collection[tuple[int, ...]]
) -> tuple[Span | None, int]:
    first = chunks[at]
    if first.text.isalpha():
        return _prefixed(text, chunks, at, shouting)
    if not _CODE.fullmatch(first.text) or _is_decimal(text, first):
        return None, 1
    last = _fitted(chunks, at, _run(text, chunks, at), known)
    last = _suffix(text, chunks, last, shouting)
    printed = text[first.start : chunks[last].end]
    if not _worth(printed):
        return None, last - at + 1
    return Span(first.start, chunks[last].end, printed, _strong(printed)), last - at + 1


def _is_decimal(text: str, chunk: _Chunk) -> bool:
    """True for a figure of a measure; `31.4407` is one only where the words about it measure something."""
    few = _FEW_GROUPS.fullmatch(chunk.text) is not None
    if not few and not _GROUPED.fullmatch(chunk.text):
        return _DECIMAL.fullmatch(chunk.text) is not None
    before = text[max(0, chunk.start - 60) : chunk.start]
    measured = _MEASURE_BEFORE.search(before) or _MEASURE_AFTER.match(text, chunk.end)
    groups = _labelled_groups(text) if few else _part_groups(text)
    return measured is not None or _shape(chunk.text) not in groups


@lru_cache(maxsize=16)  # asked again for every number of a text
def _part_groups(text: str) -> frozenset[tuple[int, ...]]:
    """The lengths of the groups of numbers that have a part's name right before them: "ring 31.6010"."""
    found = (m for m in _GROUPS.finditer(text) if _GROUPED.fullmatch(m.group()))
    named = (m for m in found if _THING_BEFORE.search(text[max(0, m.start() - 24) : m.start()]))
    return frozenset(_shape(m.group()) for m in named)


@lru_cache(maxsize=16)
def _labelled_groups(text: str) -> frozenset[tuple[int, ...]]:
    """The lengths of the groups of numbers that are called a kit or a part number: "kit 15.308"."""
    named = (m for m in _FEW.finditer(text) if _LABEL_BEFORE.search(text[max(0, m.start() - 28) : m.start()]))
    return frozenset(_shape(m.group()) for m in named)


def _fitted(chunks: Sequence[_Chunk], at: int, last: int, known: Collection[tuple[int, ...]]) -> int:
    """The end of a run of digit groups, shortened to a known shape where only the start of it has one."""
    lengths = tuple(len(c.text) for c in chunks[at : last + 1])
    if not known or lengths in known:
        return last
    return next((at + n - 1 for n in range(len(lengths) - 1, 1, -1) if lengths[:n] in known), last)


def _prefixed(text: str, chunks: Sequence[_Chunk], at: int, shouting: bool) -> tuple[Span | None, int]:
    """A prefix of capital letters set off by a blank: `RG 4410-207`, `A 123 456 78 01`."""
    first = chunks[at]
    if at + 1 >= len(chunks) or not _is_prefix(first.text, shouting) or not _adjacent(text, chunks, at):
        return None, 1
    number = chunks[at + 1]
    if not number.text[0].isdigit() or not _CODE.fullmatch(number.text) or _DECIMAL.fullmatch(number.text):
        return None, 1
    last = _suffix(text, chunks, _run(text, chunks, at + 1), shouting)
    printed = text[first.start : chunks[last].end]
    digits = sum(ch.isdigit() for ch in printed)
    if digits < 2 or (first.text == "A" and digits < 6):
        return None, 1
    return Span(first.start, chunks[last].end, printed, digits >= 3), last - at + 1


def _is_prefix(word: str, shouting: bool) -> bool:
    if not word.isupper() or len(word) > (3 if shouting else 4):
        return False
    return word == "A" or word not in _NO_PREFIX


def _adjacent(text: str, chunks: Sequence[_Chunk], at: int) -> bool:
    return bool(_GAP.fullmatch(text[chunks[at].end : chunks[at + 1].start]))


def _run(text: str, chunks: Sequence[_Chunk], at: int) -> int:
    """The last chunk of the number that starts at chunk `at`: digit groups may go on after a blank."""
    last = at
    if not (_group(chunks[at].text, 1) or _LETTER_DIGITS.fullmatch(chunks[at].text)):
        return at + 1 if _mixed(text, chunks, at) else _broken(text, chunks, at)
    while last + 1 < len(chunks) and last - at < 5 and _goes_on(text, chunks, last):
        last += 1
    if last > at and not _long_enough(text[chunks[at].start : chunks[last].end]):
        return at
    return last if last > at else _broken(text, chunks, at)


def _goes_on(text: str, chunks: Sequence[_Chunk], last: int) -> bool:
    return _group(chunks[last + 1].text, 2) and _adjacent(text, chunks, last)


def _long_enough(printed: str) -> bool:
    return sum(ch.isdigit() for ch in printed) >= 6


def _mixed(text: str, chunks: Sequence[_Chunk], at: int) -> bool:
    """`15-01 418`: one more group behind a number of short groups, where the number clearly ends there."""
    if (
        at + 1 >= len(chunks)
        or not _adjacent(text, chunks, at)
        or not _SHORT_GROUPS.fullmatch(chunks[at].text)
    ):
        return False
    after = chunks[at + 1]
    return bool(re.fullmatch(r"[0-9]{3,4}", after.text)) and _ENDS.match(text, after.end) is not None


def _broken(text: str, chunks: Sequence[_Chunk], at: int) -> int:
    """A number broken at its hyphen by a line end: `6573- 575`, or `922 305-42` of mixed make."""
    if at + 1 >= len(chunks):
        return at
    gap = text[chunks[at].end : chunks[at + 1].start]
    after = chunks[at + 1].text
    hyphen = (
        len(gap) == 2
        and gap[0] in "-\u2010\u2011–"
        and after[0].isdigit()
        and _CODE.fullmatch(after) is not None
    )
    return at + 1 if hyphen and _long_enough(chunks[at].text + after) else at


def _group(chunk: str, least: int) -> bool:
    return chunk.isdigit() and least <= len(chunk) <= 4


def _suffix(text: str, chunks: Sequence[_Chunk], last: int, shouting: bool = False) -> int:
    """A single capital after a blank (`04.115.561 H`) belongs to the number unless it opens another one. In
    a text typed in capitals an A may be the article."""
    if last + 1 >= len(chunks) or not _adjacent(text, chunks, last):
        return last
    letter = chunks[last + 1]
    if len(letter.text) != 1 or letter.text not in "ABCDEFGHJKLMNPQRSTUVWYZ":
        return last
    if letter.text == "A" and shouting and not _CLEAR.match(text.lower(), letter.end):
        return last
    rest = text[letter.end : letter.end + 3]
    opens_another = len(rest) > 1 and rest[0] == " " and rest[1].isdigit()
    return last if opens_another or (rest.startswith((".", "'", "/")) and rest[1:2].isalnum()) else last + 1


def _worth(printed: str) -> bool:
    """At least two digits, or one with a letter; plain integers below 10 000 are counts, pages, years."""
    if printed.isdigit():
        return len(printed) >= 5
    return any(ch.isdigit() for ch in printed) and len(_NOT_ALNUM.sub("", printed.upper())) >= 2


def _strong(printed: str) -> bool:
    plain = _NOT_ALNUM.sub("", printed.upper())
    digits = sum(ch.isdigit() for ch in plain)
    if digits == len(plain):
        return digits >= 6 or printed.isdigit()
    return len(plain) >= 5 and digits >= 3

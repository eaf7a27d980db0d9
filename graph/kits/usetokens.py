"""A step's words as tokens: words, counts, sizes and values, part numbers, signs.

What is a measure, a reference or a callout is no count: it is told apart here, so that what follows can
take every count at its word.
"""

import functools
import re
import unicodedata
from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.kits.packmarks import NUMBER_WORDS
from benchleaf.graph.mentions import FEWEST_DIGITS, runs

LIMIT = 2500  # characters of a step that are read
TokenKind = Literal["word", "count", "size", "value", "part", "bracket", "sign"]

_UNIT = (
    r"(?:mm|cm|km|m|in\.?(?=[\s,;:)]|$)(?!\s(?:the|a|an|its|this|place|position|turn|each|both|order|with)\b)|inch(?:es)?|ft|nm|n·m|n\.m|ncm|kn|n|dan|daNm|kgf?(?:[\s.]?c?m)?"
    r"|lbs?f?(?:[\s.·-]?(?:ft|in)\.?)?|bar|psi|kpa|mpa|pa|°\s?[cf]?|degrees?|deg\.?|[cf]|min(?:ute)?s?\.?"
    r"|hours?|hrs?|h|s|secs?|seconds?|days?|weeks?|%|per\scent|percent|rpm|rev/min|r/min|ml|cc|l|lt|lit(?:re|er)s?"
    r"|g|cst|kw|hp|v|volts?|amps?|µm|microns?|thou|turns?|revolutions?|times|revs?)"
)
_NUM = r"[0-9]{1,5}(?:[.,][0-9]{1,4})?|[.][0-9]{1,4}|[0-9]{1,3}/[0-9]{1,3}"
_BY = r"\s?[x\u00d7]\s?"
_TOKEN = re.compile(
    rf"(?P<bracket>\([^()]{{0,80}}\))"
    rf"|(?P<size>\bM[0-9]{{1,2}}(?:[.,][0-9]{{1,2}})?(?:{_BY}[0-9]{{1,3}}(?:[.,][0-9]{{1,2}})?){{0,2}}\b"
    rf"|\b[0-9]{{1,4}}(?:[.,][0-9]{{1,3}})?{_BY}[0-9]{{1,4}}(?:[.,][0-9]{{1,3}})?(?:{_BY}[0-9]{{1,4}}(?:[.,][0-9]{{1,3}})?)?(?:\s?mm\b)?)"
    rf"|(?P<value>(?<![\w.])(?:{_NUM})(?:\s?(?:to|or|and|-|\u2013|\.\.\.|±|\+)\s?(?:{_NUM})){{0,2}}\s?-?(?i:{_UNIT})(?![a-zA-Z]))"
    r"|(?P<part>(?<![\w.,/-])[A-Z0-9][A-Z0-9./-]{0,24}(?:\s[A-Z0-9][A-Z0-9./-]{0,15}){0,3})"
    r"|(?P<count>(?<![\w.,/-])[0-9]{1,3}(?![\w/]|[.,-][0-9])(?:\s?[x\u00d7](?=\s|[A-Z]))?)"
    r"|(?P<value2>[0-9][0-9.,/-]{0,20})"
    r"|(?P<word>[^\W\d_]+(?:[-'\u2019][^\W\d_]+){0,3})"
    r"|(?P<sign>\S)",
    re.UNICODE,
)
_WORD_VALUES = {word: n for n, word in enumerate(NUMBER_WORDS)} | {
    "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "dozen": 12
}  # fmt: skip
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty")
_COMPOUND = re.compile(rf"({'|'.join(_TENS)})-({'|'.join(NUMBER_WORDS[1:10])})")
_SHOUTED = re.compile(
    r"(?<![0-9A-Z/.-])(?!M[0-9])(?!(?!OF|TO|IN|AT|ON|BY|OR|NO)[A-Z]{1,2}[ -][0-9])[A-Z]{1,30}(?![0-9])"
)
_MEASURE_AFTER = re.compile(rf"\s?-?{_UNIT}(?![a-zA-Z])", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Token:
    """One token: as printed, its small letters, its place, and for a count the number."""

    text: str
    low: str
    start: int
    end: int
    kind: TokenKind
    number: int | None = None


def tokens(text: str) -> tuple[Token, ...]:
    """The tokens of a step's words, at most `LIMIT` characters of them."""
    found: list[Token] = []
    at = 0
    while at < len(text):
        match = _TOKEN.search(text, at)
        if match is None:
            break
        token = _token(match, text)
        found.append(token)
        at = token.end
    return tuple(found)


def plain(text: str) -> str:
    """The words as they are read: one form of every character, single blanks, cut at `LIMIT`."""
    joined = " ".join(unicodedata.normalize("NFKC", text[: LIMIT * 2]).split())[:LIMIT]
    joined = re.sub(r"[\u2010\u2011]", "-", joined)
    capitals = sum(c.isupper() for c in joined)
    shouted = capitals > 20 and capitals > 3 * sum(c.islower() for c in joined)
    return _SHOUTED.sub(lambda m: m[0].lower(), joined) if shouted else joined


def _token(match: re.Match[str], text: str) -> Token:
    kind = match.lastgroup or "sign"
    start, end, words = match.start(), match.end(), match[0]
    if kind == "part":
        return _number(words, start, text)
    if kind == "count":
        return Token(words, words.lower(), start, end, "count", int(re.match(r"[0-9]+", words)[0]))  # type: ignore[index]
    if kind == "word":
        return _word(words, start)
    if kind in ("value", "value2"):
        return Token(words, words.lower(), start, end, "value")
    if kind == "size":
        return Token(words, words.lower(), start, end, "size")
    if kind == "bracket":
        return Token(words, words.lower(), start, end, "bracket")
    return Token(words, words.lower(), start, end, "sign")


def _word(words: str, start: int) -> Token:
    low = words.lower()
    number = _WORD_VALUES.get(low)
    compound = _COMPOUND.fullmatch(low)
    if compound:
        number = _WORD_VALUES[compound[1]] + _WORD_VALUES[compound[2]]
    kind: TokenKind = "count" if number is not None else "word"
    return Token(words, low, start, start + len(words), kind, number)


def _number(words: str, start: int, text: str) -> Token:
    """A run of capitals and figures: the longest part number it begins with, else its first piece alone."""
    counted = re.match(r"([0-9]{1,2})\s(?=[0-9A-Z]{1,12}[-./])", words)
    if counted is not None and part_at(words[counted.end() :]):
        return Token(counted[1], counted[1], start, start + len(counted[1]), "count", int(counted[1]))
    part = part_at(words)
    if part is not None and not _MEASURE_AFTER.match(text, start + len(part)):
        return Token(part, part.lower(), start, start + len(part), "part")
    first = words.split(" ")[0].rstrip("./-") or words[:1]
    end = start + len(first)
    counted = re.match(r"([0-9]{1,3})(?:\s?[x\u00d7](?=\s|[A-Z]))?", text[start : start + 6])
    if first.isdigit() and len(first) <= 3 and counted is not None:
        return Token(counted[0], counted[0].lower(), start, start + counted.end(), "count", int(first))
    whole = re.compile(r"[^\W\d_]+(?:[-'\u2019][^\W\d_]+){0,3}").match(text, start)
    if whole is not None:
        return _word(whole[0], start)
    return Token(text[start:end], text[start:end].lower(), start, end, "value")


@functools.lru_cache(maxsize=1024)
def part_at(words: str) -> str | None:
    """The longest part number with which some words begin, as printed; None if they begin with none."""
    if sum(c.isdigit() for c in words) < FEWEST_DIGITS:
        return None
    begun = [r for r in runs(words) if words.startswith(r.printed)]
    fit = [
        r.printed for r in begun if not re.fullmatch(r"[0-9]{1,4}[.,][0-9]{1,3}", r.printed) or len(r.key) > 5
    ]
    return max(fit, key=len, default=None)

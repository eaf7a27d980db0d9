"""Figures in text: numbers as papers print them, and which of them are no values at all."""

import re
from dataclasses import dataclass

_VULGAR = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
_FRACTION = r"[0-9]{1,2}/(?:64|32|16|8|4|2)(?![0-9/])(?!\.[0-9])"

# A figure never starts inside a word, a number or a hyphenated number; it never ends inside one either.
_FIGURE = re.compile(
    r"(?<!\w)(?<![0-9][.,])(?:"
    rf"(?P<whole>[0-9]{{1,3}})[ -](?P<over>{_FRACTION})"
    rf"|(?P<fraction>{_FRACTION})"
    r"|(?P<count>[0-9]{0,3}) ?(?P<vulgar>[½¼¾⅛⅜⅝⅞])"
    r"|(?P<thousands>[0-9]{1,3}(?:,[0-9]{3}){1,2}(?![0-9])(?:\.[0-9]{1,4})?)"
    r"|(?P<apart>[0-9]{1,3}(?:[ \u00a0\u2009'][0-9]{3}){1,2}(?![0-9]))"
    r"|(?P<plain>[0-9]{1,7}(?:[.,][0-9]{1,6})?|[.,][0-9]{1,6})"
    r")(?![0-9])(?![.,][0-9])"
)


@dataclass(frozen=True, slots=True)
class Figure:
    """A number in text: where, its value, the step of its last printed digit.

    `comma` tells that its comma may part thousands or decimals (1,250).
    """

    start: int
    end: int
    value: float
    step: float
    comma: bool = False


def figures(text: str) -> list[Figure]:
    """Every figure of the text in order, without those inside words, part numbers, dates and threads.

    >>> [f.value for f in figures("M8 x 1.25, 7731-20, 0,35 to 1-1/2")]
    [1.25, 0.35, 1.5]
    """
    found, place = [], 0
    while (m := _SEARCH.search(text, place)) is not None:
        if m.group("number") is None:
            place = m.end()
            continue
        figure = _FIGURE.match(text, m.start("number"))
        if figure is None:
            place = m.end("number")
            continue
        found.append(_figure(figure))
        place = figure.end()
    return found


_ONES = (
    "one two three four five six seven eight nine ten eleven twelve fifteen twenty thirty forty fifty sixty"
)
_WORTH = dict(zip(_ONES.split(), (*range(1, 13), 15, 20, 30, 40, 50, 60), strict=True))
_SPELT = re.compile(rf"\b(?:{'|'.join(_WORTH)})\b(?=\s[a-zA-Z]{{3}})", re.IGNORECASE)


def spelt_figures(text: str) -> list[Figure]:
    """Numbers written as words with a word of three letters or more behind them: `fifteen minutes`."""
    return [Figure(*m.span(), float(_WORTH[m.group().lower()]), 1.0) for m in _SPELT.finditer(text)]


# What looks like numbers and is none: dots of a range, dates, numbers of three and more groups, threads,
# letters with figures.
_SEARCH = re.compile(
    r"\.{2,3}|(?<!\w)(?<![0-9][.,])(?:"
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?![0-9])"
    r"|[0-9]{1,2}(?P<apart>[./-])[0-9]{1,2}(?P=apart)(?:[0-9]{4}|[0-9]{2})(?!\w)"
    r"|[0-9]{1,6}(?P<again>[./-])[0-9]{1,6}(?:(?P=again)[0-9]{1,6}){1,5}(?![0-9])(?![.,][0-9])"
    r"|M ?[0-9]{1,3}(?:[.,][0-9]{1,2})?(?: ?[x×] ?[0-9]{1,3}(?:[.,][0-9]{1,2})?){0,2}(?![0-9])"
    r"|[0-9/]{1,5}-[0-9]{2} ?(?:UN[CFEJ]?|NPT?F?|BSP|BSF|BSW|GAS)\b"
    r"|(?<![0-9] )(?!MAX|MIN)[A-Z]{1,6}[-.]?[0-9][0-9A-Za-z]{0,20}(?:[-/][0-9A-Za-z]{1,12}){0,6}"
    r"|[0-9]{1,8}[A-Za-z]{1,3}[0-9][0-9A-Za-z]{0,20}"
    r"|(?P<number>[.,]?[0-9]|[½¼¾⅛⅜⅝⅞]))"
)


def _figure(found: re.Match[str]) -> Figure:
    start, end = found.span()
    part = found.groupdict()
    if part["over"] or part["fraction"]:
        over, under = (part["over"] or part["fraction"]).split("/")
        return Figure(start, end, int(part["whole"] or 0) + int(over) / int(under), 1 / int(under))
    if part["vulgar"]:
        return Figure(start, end, int(part["count"] or 0) + _VULGAR[part["vulgar"]], 0.125)
    if part["apart"]:
        return Figure(start, end, float(re.sub(r"[^0-9]", "", part["apart"])), 1.0)
    if part["thousands"]:
        printed = part["thousands"]
        unclear = printed.count(",") == 1 and "." not in printed and not printed.startswith("0,")
        decimal = printed.startswith("0,") and printed.count(",") == 1 and "." not in printed
        plain = printed.replace(",", "." if decimal else "")
        return Figure(start, end, float(plain), _step(plain), unclear)
    plain = part["plain"].replace(",", ".")
    return Figure(start, end, float(plain), _step(plain))


def _step(plain: str) -> float:
    return 10.0 ** -len(plain.partition(".")[2])

"""Dates as printed: found in text, read, and doubted where they can be read two ways."""

import datetime as dt
import re
import tomllib
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib import resources

PIVOT = 69
"""Two-digit years from here to 99 are 19xx, below it 20xx (the rule of POSIX `strptime`, %y)."""


@dataclass(frozen=True, slots=True)
class DateReading:
    """A date in a text: the day (None if it cannot be one), the reason for doubt, and where it stands.

    `doubt` is None where only one day can be meant. `span` gives start and end in the text; (0, 0) where no
    date was found at all. `slashed` is True for the all-number forms whose order of day and month differs by
    country, and `day_first` says what the printed numbers alone prove about that order (None: nothing).
    """

    date: dt.date | None
    doubt: str | None = None
    span: tuple[int, int] = (0, 0)
    slashed: bool = False
    day_first: bool | None = None

    @property
    def found(self) -> bool:
        """True if something shaped like a date stands in the text."""
        return self.span != (0, 0)


NOTHING = DateReading(None)

_YEAR4 = r"(?:18|19|20)[0-9]{2}"
_YEAR = rf"(?:{_YEAR4}|['’`]?[0-9]{{2}})"
_DAY = r"(?:0?[1-9]|[12][0-9]|3[0-9])"
_ORDINAL = r"(?:\ ?(?:st|nd|rd|th|er|re|º|°|ª))?\.?"
_EDGE = r"(?<![0-9A-Za-z])(?<![0-9][.,/-])"
_END = r"(?![0-9A-Za-z])(?![./-][0-9])"


def read_date(text: str, day_first: bool | None = None) -> DateReading:
    """The first date in `text`. With `day_first` given, 05/06/2016 is read in that order without a doubt.

    >>> read_date("Issued 12 November 1999").date
    datetime.date(1999, 11, 12)
    >>> read_date("05/06/2016").doubt is None
    False
    """
    whole = re.fullmatch(r"\s{0,9}((?:19|20)[0-9]{2})([0-9]{2})([0-9]{2})\s{0,9}", text[:40])
    if whole:  # 20030514 is a date only where it stands alone: in running text it is a part number
        reading = _made(int(whole[1]), int(whole[2]), int(whole[3]), whole[0].strip())
        if reading.date:
            return _placed(reading, whole.span())
    return next(iter(find_dates(text, day_first)), NOTHING)


def find_dates(text: str, day_first: bool | None = None) -> tuple[DateReading, ...]:
    """Every date in `text`, in order, none overlapping another."""
    found: list[DateReading] = []
    plain = without_accents(text)
    for m in _pattern().finditer(plain):
        if (reading := _read(m, plain, day_first)) is not None:
            found.append(_placed(reading, m.span()))
    return tuple(found)


def order_of(readings: Iterable[DateReading]) -> bool | None:
    """Whether a maker writes the day first, as proved by slashed dates with a number above 12.

    None if nothing proves it or if the dates contradict one another."""
    proofs = {r.day_first for r in readings if r.slashed and r.day_first is not None}
    return proofs.pop() if len(proofs) == 1 else None


def full_year(two_digits: int) -> int:
    """The year of a two-digit year (POSIX `strptime` %y: 69-99 are 19xx, 00-68 are 20xx).

    >>> full_year(99), full_year(3)
    (1999, 2003)
    """
    return two_digits + (1900 if two_digits >= PIVOT else 2000)


def without_accents(text: str) -> str:
    """The text with accents off and blanks and dashes made plain, every character keeping its place."""
    return "".join(_bare(c) for c in text)


@cache
def _bare(character: str) -> str:
    if character in "\u2010\u2011\u2012\u2013\u2212":
        return "-"
    if character in "\u00a0\u2007\u2009\u202f":
        return " "
    base = unicodedata.normalize("NFD", character)[0]
    return base if base.isascii() and base.isalpha() else character


@cache
def _months() -> dict[str, int]:
    raw = tomllib.loads(
        resources.files("benchleaf.ingest.head").joinpath("dates.toml").read_text(encoding="utf-8")
    )
    return {
        without_accents(name).lower(): number
        for language in raw["months"].values()
        for number, names in enumerate(language["names"], 1)
        for name in names
    }


@cache
def _pattern() -> re.Pattern[str]:
    month = "(?:" + "|".join(sorted(map(re.escape, _months()), key=len, reverse=True)) + r")(?![a-z])\.?"
    of = r"(?:(?:of|de|del|di)\ )?"
    forms = (
        # 12 November 1999, 12-Nov-99, 12th of November, 1999, 12. November 1999, 12 de noviembre de 1999
        rf"(?P<d1>{_DAY}){_ORDINAL}[ /-]{{0,2}}{of}(?P<m1>{month})[ ,/-]{{0,3}}{of}(?P<y1>{_YEAR})",
        # November 12, 1999, Nov. 12th 1999, Nov-12-1999
        rf"(?P<m2>{month})[ -]{{0,2}}(?P<d2>{_DAY}){_ORDINAL}(?:,\ ?|\ |-|\ ,\ )(?P<y2>{_YEAR4}"
        rf"|['’`][0-9]{{2}})",
        rf"(?P<y3>{_YEAR4})[ ,-]{{1,2}}(?P<m3>{month})[ -]{{1,2}}(?P<d3>{_DAY})",  # 1999 November 12
        r"(?P<y4>" + _YEAR4 + r")(?P<s4>[-/.])(?P<n4>[0-9]{1,2})(?P=s4)(?P<d4>[0-9]{1,2})",  # 1999-03-12
        r"(?P<a5>[0-9]{1,2})(?P<s5>\ ?[-/.]\ ?)(?P<b5>[0-9]{1,2})(?P=s5)(?P<y5>"
        + _YEAR4
        + r"|[0-9]{2})",  # 10.06.1990
        rf"(?P<m6>{month})(?:\ of)?[ ,/-]{{0,2}}(?P<y6>{_YEAR4}|['’`][0-9]{{2}})",  # March 1999
        rf"(?P<m7>{month})[-/](?P<y7>[0-9]{{2}})",  # Mar-99
        rf"(?P<n8>0?[1-9]|1[0-2])/(?P<y8>{_YEAR4})",  # 03/1999
    )
    return re.compile(_EDGE + "(?:" + "|".join(forms) + ")" + _END, re.IGNORECASE)


def _read(m: re.Match[str], text: str, day_first: bool | None) -> DateReading | None:
    g, printed = m.groupdict(), m[0].strip()
    for n in "123":
        if g["m" + n]:
            return _named(g["d" + n], g["m" + n], g["y" + n], printed)
    if g["y4"]:
        return _made(int(g["y4"]), int(g["n4"]), int(g["d4"]), printed)
    if g["a5"]:
        return _numbers(g["a5"], g["b5"], g["y5"], g["s5"].strip(), printed, day_first)
    if g["n8"]:
        return None if _numbered(text, m.start()) else _month_only(int(g["y8"]), int(g["n8"]), printed)
    name, year = (g["m6"], g["y6"]) if g["m6"] else (g["m7"], g["y7"])
    return _month_only(_year(year), _months()[name.rstrip(".").lower()], printed)


def _numbered(text: str, start: int) -> bool:
    """True after `No.`, `Nr`, `#`: there 5/2003 is a document's number, not a month."""
    before = text[max(0, start - 12) : start].rstrip()
    said = re.search(r"(?:#|\b(?:no|nr|num|number)\b[.:]{0,2}|nº|n°)$", before, re.IGNORECASE)
    return bool(said or re.search(r"(?<![A-Za-z])[A-Z]{1,3}[.-]?$", before))


def _named(day: str, month: str, year: str, printed: str) -> DateReading | None:
    name = month.rstrip(".")
    if len(year) == 2 and " " in printed and not name[0].isupper():
        return None  # "step 5 may 20": prose, no date
    return _made(_year(year), _months()[name.lower()], int(day), printed)


def _numbers(a: str, b: str, y: str, sep: str, printed: str, day_first: bool | None) -> DateReading | None:
    first, second = int(a), int(b)
    if len(y) == 2 and first > 31 and sep != ".":
        return _made(full_year(first), second, int(y), printed)  # 99-03-12
    year = _year(y)
    if sep == ".":
        return _dotted(first, second, year, printed)
    if len(y) == 2 and sep == "-" and len(a) + len(b) < 4:
        return None  # 4-2-10 is a page or a part number as well: no date
    return _slashed(first, second, year, printed, day_first)


def _dotted(first: int, second: int, year: int, printed: str) -> DateReading:
    if second > 12 >= first:
        reading = _made(year, first, second, printed)
        return DateReading(reading.date, f"“{printed}” can only be month before day, unusual with full stops")
    return _made(year, second, first, printed)


def _slashed(first: int, second: int, year: int, printed: str, day_first: bool | None) -> DateReading:
    if first > 12 or second > 12:
        proved = first > 12
        day, month = (first, second) if proved else (second, first)
        reading = _made(year, month, day, printed)
        return DateReading(
            reading.date, reading.doubt, slashed=True, day_first=proved if reading.date else None
        )
    day, month = (second, first) if day_first is False else (first, second)
    reading = _made(year, month, day, printed)
    if first == second or day_first is not None or reading.date is None:
        return DateReading(reading.date, reading.doubt, slashed=True)
    other = dt.date(year, first, second)
    doubt = f"“{printed}” may be {_long(reading.date)} or {_long(other)}; read with the day first"
    return DateReading(reading.date, doubt, slashed=True)


def _long(day: dt.date) -> str:
    names = list(_months())  # the first language listed is English, full name first
    month = next(n for n in names if _months()[n] == day.month).capitalize()
    return f"{day.day} {month} {day.year}"


def _year(printed: str) -> int:
    digits = printed.lstrip("'’`")
    return int(digits) if len(digits) == 4 else full_year(int(digits))


def _month_only(year: int, month: int, printed: str) -> DateReading:
    return DateReading(dt.date(year, month, 1), f"“{printed}” gives no day; the first of the month is taken")


def _made(year: int, month: int, day: int, printed: str) -> DateReading:
    try:
        return DateReading(dt.date(year, month, day))
    except ValueError:
        return DateReading(None, f"“{printed}” is no day of the calendar")


def _placed(reading: DateReading, span: tuple[int, int]) -> DateReading:
    return DateReading(reading.date, reading.doubt, span, reading.slashed, reading.day_first)

"""Dates as printed: found in text, read, and doubted where they can be read two ways."""

import datetime as dt
import re
import tomllib
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources

PIVOT = 40
"""Two-digit years from here to 99 are 19xx, below it 20xx: papers of this trade that are still in use are no
older (common practice, no source; POSIX `strptime` turns at 69, which would put 1955 into 2055)."""


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
_ROMAN = "XII|XI|IX|X|VIII|VII|VI|IV|V|III|II|I"
_WEEK_WORD = r"(?:calendar\ week|week|wk|kalenderwoche|woche|kw|vecka|settimana|semaine|semana|uge|uke)\.?"
_EDGE = r"(?<![0-9A-Za-z])(?<![0-9][.,/-])"
_END = r"(?![0-9A-Za-z])(?![./-][0-9])"


def read_date(text: str, day_first: bool | None = None) -> DateReading:
    """The first date in `text`. With `day_first` given, 05/06/2016 is read in that order without a doubt.

    >>> read_date("Issued 12 November 1999").date
    datetime.date(1999, 11, 12)
    >>> read_date("05/06/2016").doubt is None
    False
    """
    alone = _alone(text, day_first)
    if alone.found:
        return alone
    found = next(iter(find_dates(text, day_first)), NOTHING)
    mended = _mended(text, day_first)
    return mended if mended.found and (not found.found or _wider(mended.span, found.span)) else found


def _alone(text: str, day_first: bool | None) -> DateReading:
    """Forms that are a date only where they stand alone: 20030514, 3/78 and Nov 78 are a part number or a
    note's number in running text."""
    m = re.fullmatch(r"\s{0,9}((?:19|20)[0-9]{2})([0-9]{2})([0-9]{2})[\s.]{0,9}", text[:40])
    if m:
        reading = _made(int(m[1]), int(m[2]), int(m[3]), m[0].strip())
        return _placed(reading, m.span()) if reading.date else NOTHING
    m = re.fullmatch(r"\s{0,9}(0?[1-9]|1[0-2])[/.-]['’`]?([0-9]{2})[\s.]{0,9}", text[:40])
    if m:
        return _placed(_month_only(full_year(int(m[2])), int(m[1]), m[0].strip()), m.span())
    m = re.fullmatch(r"\s{0,9}([0-9]{1,2})-([0-9]{1,2})-([0-9]{2})[\s.]{0,9}", text[:40])
    if m and int(m[1]) <= 31:  # 30-4-63
        return _placed(
            _slashed(int(m[1]), int(m[2]), full_year(int(m[3])), m[0].strip(), day_first), m.span()
        )
    m = re.fullmatch(r"\s{0,9}([A-Za-z]{3,10})\.?\s([0-9]{2})[\s.]{0,9}", without_accents(text[:40]))
    if m and (month := _months().get(m[1].lower())):
        return _placed(_month_only(full_year(int(m[2])), month, m[0].strip()), m.span())
    return NOTHING


_LOOK_ALIKES = str.maketrans("lI|OoQSZBgqG", "111000528996")
"""Letters that a typewriter or OCR puts for figures."""


def _mended(text: str, day_first: bool | None) -> DateReading:
    """A date with letters that look like figures (`l2.O3.1999`): what it may be, told as a doubt."""
    changed = re.sub(r"[0-9A-Za-z|]{1,4}", _figures, text[:80])
    if changed == text[:80]:
        return NOTHING
    for day in (_alone(changed, day_first), *find_dates(changed, day_first)):
        start, end = day.span
        if day.date and changed[start:end] != text[start:end]:
            mended = (
                f"“{text[start:end].strip()}” may be {changed[start:end].strip()}: letters stand for figures"
            )
            return replace(day, doubt=f"{mended}; {day.doubt}" if day.doubt else mended)
    return NOTHING


def _figures(m: re.Match[str]) -> str:
    """A short word of figures and letters that look like them, in figures."""
    figures = m[0].translate(_LOOK_ALIKES)
    return figures if figures.isdigit() else m[0]


def _wider(one: tuple[int, int], other: tuple[int, int]) -> bool:
    return one[0] <= other[0] and one[1] >= other[1] and one != other


def find_dates(text: str, day_first: bool | None = None) -> tuple[DateReading, ...]:
    """Every date in `text`, in order, none overlapping another."""
    if _FIGURE.search(text) is None:
        return ()
    found: list[DateReading] = []
    plain = without_accents(text)
    for m in _pattern().finditer(plain):
        if (reading := _read(m, plain, day_first)) is not None:
            found.append(_placed(reading, m.span()))
    return tuple(found)


_FIGURE = re.compile("[0-9]")
_SLASHES = re.compile("[0-9] ?[-/] ?[0-9]{1,2} ?[-/] ?['’`]?[0-9]{2}")


def order_in(text: str) -> bool | None:
    """Whether the dates in a text prove that the day stands first, see `order_of`."""
    return order_of(find_dates(text)) if _SLASHES.search(without_accents(text)) else None


def order_of(readings: Iterable[DateReading]) -> bool | None:
    """Whether a maker writes the day first, as proved by slashed dates with a number above 12.

    None if nothing proves it or if the dates contradict one another."""
    proofs = {r.day_first for r in readings if r.slashed and r.day_first is not None}
    return proofs.pop() if len(proofs) == 1 else None


def full_year(two_digits: int) -> int:
    """The year of a two-digit year: 40-99 are 19xx, 00-39 are 20xx, see `PIVOT`.

    >>> full_year(55), full_year(3)
    (1955, 2003)
    """
    return two_digits + (1900 if two_digits >= PIVOT else 2000)


def without_accents(text: str) -> str:
    """The text with accents off and blanks and dashes made plain, every character keeping its place."""
    return text if text.isascii() else "".join(_bare(c) for c in text)


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
    of = r"(?:(?:day\ of|of|de|del|di)\ )?"
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
        + r"|['’`]?[0-9]{2})",  # 10.06.1990
        rf"(?P<m6>{month})(?:\ of)?[ ,/-]{{0,2}}(?P<y6>{_YEAR4}|['’`][0-9]{{2}})",  # March 1999
        rf"(?P<m7>{month})[-/](?P<y7>[0-9]{{2}})",  # Mar-99
        rf"(?P<n8>0?[1-9]|1[0-2])/(?P<y8>{_YEAR4})",  # 03/1999
        rf"(?P<d9>{_DAY})(?:(?P<s9>\.?\ ?[./-]|\.)\ ?(?P<m9>(?-i:{_ROMAN}))\.?\ ?[./-]?\ ?(?P<y9>{_YEAR})"
        rf"|\.?\ (?P<m10>(?-i:{_ROMAN}))\.?\ (?P<y10>{_YEAR4}))",  # 12.XI.1978
        rf"{_WEEK_WORD}\ ?(?P<w11>[1-5]?[0-9])(?:\ ?[/,.-]\ ?|\ (?:of\ )?)(?P<y11>{_YEAR4}|[0-9]{{2}})",
        rf"(?P<w12>[1-5]?[0-9])\.\ ?(?:woche|kw|kalenderwoche)\ (?P<y12>{_YEAR4})",
        rf"(?P<y13>{_YEAR4})(?:[ /-]{{0,2}}(?:week|wk|kw|w|v)\.?\ ?)(?P<w13>[0-5]?[0-9])",
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
    if g["d9"]:
        month = _ROMANS.index(g["m9"] or g["m10"]) + 1
        return _made(_year(g["y9"] or g["y10"]), month, int(g["d9"]), printed)
    for n in ("11", "12", "13"):
        if g["w" + n]:
            return _week(_year(g["y" + n]), int(g["w" + n]), printed)
    if g["n8"]:
        return None if _numbered(text, m.start()) else _month_only(int(g["y8"]), int(g["n8"]), printed)
    name, year = (g["m6"], g["y6"]) if g["m6"] else (g["m7"], g["y7"])
    return _month_only(_year(year), _month(name), printed)


def _numbered(text: str, start: int) -> bool:
    """True after `No.`, `Nr`, `#`: there 5/2003 is a document's number, not a month."""
    before = text[max(0, start - 12) : start].rstrip()
    said = re.search(r"(?:#|\b(?:no|nr|num|number)\b[.:]{0,2}|nº|n°)$", before, re.IGNORECASE)
    return bool(said or re.search(r"(?<![A-Za-z])[A-Z]{1,3}[.-]?$", before))


def _month(name: str) -> int:
    """The month of a name found; the pattern, which folds case, takes a dotless i for an i too."""
    return _months()[name.rstrip(".").upper().lower()]


def _named(day: str, month: str, year: str, printed: str) -> DateReading | None:
    name = month.rstrip(".")
    if len(year) == 2 and " " in printed and not name[0].isupper():
        return None  # "step 5 may 20": prose, no date
    return _made(_year(year), _month(name), int(day), printed)


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


_ROMANS = ("I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII")


def _week(year: int, week: int, printed: str) -> DateReading:
    """The Monday of a week, counted as ISO 8601 counts them; other countries' weeks may begin elsewhere."""
    try:
        day = dt.date.fromisocalendar(year, week, 1)
    except ValueError:
        return DateReading(None, f"“{printed}” is no week of the calendar")
    return DateReading(day, f"“{printed}” names a week; its Monday is taken")


def _made(year: int, month: int, day: int, printed: str) -> DateReading:
    try:
        return DateReading(dt.date(year, month, day))
    except ValueError:
        return DateReading(None, f"“{printed}” is no day of the calendar")


def _placed(reading: DateReading, span: tuple[int, int]) -> DateReading:
    return DateReading(reading.date, reading.doubt, span, reading.slashed, reading.day_first)

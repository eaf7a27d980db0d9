"""When a unit was built: `built 12 May 1999 to June 2001`, `before 3 March 1998`."""

import calendar
import datetime as dt
import re
from dataclasses import dataclass, replace

from benchleaf.ingest.head.dates import DateReading, find_dates
from benchleaf.ingest.head.ranges import EDGE_UNSAID


@dataclass(frozen=True, slots=True)
class Built:
    """Days of manufacture, both included; None is open. `rest` is the text without the words read here."""

    first: dt.date | None = None
    last: dt.date | None = None
    doubts: tuple[str, ...] = ()
    rest: str = ""


_WORD = (
    r"(?:built|manufactured|made|produced|assembled|delivered|shipped|dates?\sof\s(?:manufacture"
    r"|production|build)"
    r"|(?:production|manufacturing|build)\s(?:dates?|period)|years?\sof\s(?:manufacture|build|production)"
    r"|date\sbuilt|baujahr|gebaut|fabriqu[ée]e?s?|costruit[eoi]|fabricad[ao]s?)"
)
_KEY = re.compile(rf"\b{_WORD}\b:?", re.IGNORECASE)
_CODE = re.compile(
    r"(?:\b(?:with|having)\s)?\b(?:date|production|build|manufacturing)\scodes?\b[^;()]{0,80}?(?=[;()]"
    r"|,\s?(?:from|up|and)|\.\s|\.?$)",
    re.IGNORECASE,
)
_LEAD = re.compile(
    r"(?:\b(?P<between>between|from|since|starting|beginning|on\sor\safter|ab|von|zwischen|dal?|desde"
    r"|depuis|as\sof)"
    r"|\b(?P<until>up\sto\sand\sincluding|on\sor\sbefore|not\slater\sthan|through|thru)"
    r"|\b(?P<upto>up\sto|until|till|to|bis|jusqu['’]?(?:à|au)|hasta|fino\sa)"
    r"|\b(?P<before>prior\sto|before|earlier\sthan|vor|avant|antes\sde|prima\sdel?)"
    r"|\b(?P<after>after|later\sthan|following|nach|après|después\sde|dopo))"
    r"\s(?:the\s|and\sincluding\s)?(?:date\s)?$",
    re.IGNORECASE,
)
_LINK = re.compile(
    r"\s{0,2}(?:to|and|through|thru|until|till|up to|bis|und|[-–—]|au|al?"
    r"|hasta)\s{0,2}(?:and including\s)?(?:the\s)?",
    re.IGNORECASE,
)
_ON = re.compile(r",?\s(?:and\s)?(?:on(?:wards?)?|later|after|up|since)\b|\s?(?:→|->)", re.IGNORECASE)
_DOWN = re.compile(r",?\s(?:and|or)\s(?:before|earlier|prior)\b", re.IGNORECASE)
_YEARS = re.compile(r"(?<![0-9A-Za-z./-])(?:19|20)[0-9]{2}(?![0-9A-Za-z]|[./-][0-9])")


def read_built(text: str, day_first: bool | None = None) -> Built:
    """The days of manufacture that a text gives.

    >>> read_built("built before 3 March 1998").last
    datetime.date(1998, 3, 3)
    """
    doubts = tuple(
        f"limited by date codes, which are not read: “{m[0].strip()}”" for m in _CODE.finditer(text)
    )
    plain = _CODE.sub(" ; ", text)
    key = _KEY.search(plain)
    days = list(find_dates(plain, day_first))
    if key is not None:
        days = sorted([*days, *_years(plain, key.end(), days)], key=lambda d: d.span)
        days = [d for d in days if d.span[0] >= key.end() and d.span[0] - key.end() < 80]
    if not days:
        return Built(doubts=doubts, rest=plain)
    found = _bounds(plain, days, key.end() if key else 0)
    if found is None:
        return Built(doubts=doubts, rest=plain)
    start = min(key.start(), found[1][0]) if key else found[1][0]
    rest = plain[:start] + " ; " + plain[found[1][1] :]
    return replace(found[0], doubts=(*doubts, *found[0].doubts), rest=rest)


def _years(text: str, start: int, days: list[DateReading]) -> list[DateReading]:
    taken = [d.span for d in days]
    return [
        DateReading(dt.date(int(m[0]), 1, 1), None, m.span())
        for m in _YEARS.finditer(text, start)
        if not any(a <= m.start() < b for a, b in taken)
    ]


def _bounds(text: str, days: list[DateReading], after: int) -> tuple[Built, tuple[int, int]] | None:
    first = days[0]
    lead = _LEAD.search(text, max(0, first.span[0] - 40), first.span[0])
    start = lead.start() if lead else first.span[0]
    if len(days) > 1 and _LINK.fullmatch(text, first.span[1], days[1].span[0]):
        doubts = (*_doubt(first), *_doubt(days[1]))
        return Built(first.date, _end(days[1], text), doubts), (start, days[1].span[1])
    on, down = _ON.match(text, first.span[1]), _DOWN.match(text, first.span[1])
    if on:
        return Built(first.date, None, _doubt(first)), (start, on.end())
    if down:
        return Built(None, _end(first, text), _doubt(first)), (start, down.end())
    if lead is None:
        return (
            (Built(first.date, _end(first, text), _doubt(first)), (start, first.span[1])) if after else None
        )
    return _led(lead, first, text), (start, first.span[1])


def _led(lead: re.Match[str], day: DateReading, text: str) -> Built:
    printed = text[lead.start() : day.span[1]].strip()
    edge = f"{EDGE_UNSAID} “{printed}” includes that day itself"
    if lead["between"]:
        return Built(day.date, None, _doubt(day))
    if lead["until"]:
        return Built(None, _end(day, text), _doubt(day))
    if lead["upto"]:
        return Built(None, _end(day, text), (*_doubt(day), edge))
    if lead[
        "before"
    ]:  # `before March 1998` ends on the last of February, or on 1 March: the printed bound is kept
        return Built(None, day.date, (*_doubt(day), edge))
    return Built(_end(day, text), None, (*_doubt(day), edge))


def _doubt(day: DateReading) -> tuple[str, ...]:
    """A bound printed as month or year is complete; every other doubt of the date stands."""
    return (day.doubt,) if day.doubt and "gives no day" not in day.doubt else ()


def _end(day: DateReading, text: str) -> dt.date | None:
    """The last day that a date covers: a month's or a year's end where no more is printed."""
    if day.date is None:
        return None
    printed = text[day.span[0] : day.span[1]]
    if _YEARS.fullmatch(printed):
        return dt.date(day.date.year, 12, 31)
    if day.doubt and "gives no day" in day.doubt:
        return day.date.replace(day=calendar.monthrange(day.date.year, day.date.month)[1])
    return day.date

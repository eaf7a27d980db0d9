"""Dates as printed. Forms and the ambiguous 05/06/2016: common practice; months: from memory."""

import datetime as dt
import time

import pytest
from benchleaf.ingest.head.dates import find_dates, full_year, order_of, read_date
from hypothesis import given, settings
from hypothesis import strategies as st

ENGLISH = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]
GERMAN = [
    "Januar",
    "Februar",
    "März",
    "April",
    "Mai",
    "Juni",
    "Juli",
    "August",
    "September",
    "Oktober",
    "November",
    "Dezember",
]
FRENCH = [
    "janvier",
    "février",
    "mars",
    "avril",
    "mai",
    "juin",
    "juillet",
    "août",
    "septembre",
    "octobre",
    "novembre",
    "décembre",
]
SPANISH = [
    "enero",
    "febrero",
    "marzo",
    "abril",
    "mayo",
    "junio",
    "julio",
    "agosto",
    "septiembre",
    "octubre",
    "noviembre",
    "diciembre",
]
ITALIAN = [
    "gennaio",
    "febbraio",
    "marzo",
    "aprile",
    "maggio",
    "giugno",
    "luglio",
    "agosto",
    "settembre",
    "ottobre",
    "novembre",
    "dicembre",
]

SURE = {
    "12 November 1999": (1999, 11, 12),
    "November 12, 1999": (1999, 11, 12),
    "Nov. 12, 1999": (1999, 11, 12),
    "NOVEMBER 12 1999": (1999, 11, 12),
    "12-Nov-99": (1999, 11, 12),
    "12/Nov/1999": (1999, 11, 12),
    "12NOV1999": (1999, 11, 12),
    "12 Nov. '99": (1999, 11, 12),
    "10.06.1990": (1990, 6, 10),
    "10. 6. 1990": (1990, 6, 10),
    "1999-03-12": (1999, 3, 12),
    "2014/08/01": (2014, 8, 1),
    "1999 Nov 12": (1999, 11, 12),
    "12th November 1999": (1999, 11, 12),
    "the 3rd of May, 2003": (2003, 5, 3),
    "Friday, 12 November 1999": (1999, 11, 12),
    "Norham, 12 May 1999": (1999, 5, 12),
    "Sept. 3, 2001": (2001, 9, 3),
    "19/06/1997": (1997, 6, 19),
    "06/19/1997": (1997, 6, 19),
    "99-03-12": (1999, 3, 12),
    "20030514": (2003, 5, 14),
    "12. März 2001": (2001, 3, 12),
    "1er mars 1999": (1999, 3, 1),
    "le 3 févr. 1998": (1998, 2, 3),
    "12 de noviembre de 1999": (1999, 11, 12),
    "3 ottobre 2000": (2000, 10, 3),
    "7/7/2011": (2011, 7, 7),
}


@pytest.mark.parametrize("printed", SURE)
def test_a_plain_date_is_read_without_doubt(printed: str) -> None:
    """Forms that can mean one day only give that day."""
    reading = read_date(printed)
    assert (reading.date, reading.doubt) == (dt.date(*SURE[printed]), None)


@pytest.mark.parametrize("printed", ["05/06/2016", "8/1/2014", "12-11-1999", "5/6/16"])
def test_a_date_with_two_readings_is_a_doubt(printed: str) -> None:
    """05/06/2016 may be two days: a guess is given, and both days are named in the doubt."""
    reading = read_date(printed)
    assert reading.date is not None
    assert reading.doubt is not None and " or " in reading.doubt


def test_the_makers_order_settles_a_slashed_date() -> None:
    """With the order known, 05/06/2016 is no doubt any more, either way."""
    assert read_date("05/06/2016", day_first=True).date == dt.date(2016, 6, 5)
    assert read_date("05/06/2016", day_first=False).date == dt.date(2016, 5, 6)
    assert read_date("05/06/2016", day_first=False).doubt is None


def test_the_order_is_proved_by_numbers_above_twelve() -> None:
    """19/06/1997 proves day first, 06/19/1997 month first; both prove nothing, nor does 05/06/1997."""
    assert order_of(find_dates("19/06/1997 and 05/06/1997")) is True
    assert order_of(find_dates("06/19/1997 and 05/06/1997")) is False
    assert order_of(find_dates("06/19/1997 and 19/06/1997")) is None
    assert order_of(find_dates("05/06/1997")) is None


def test_a_month_without_a_day_is_the_first_and_a_doubt() -> None:
    """`March 1999` gives 1 March with a doubt."""
    for printed in ("March 1999", "Mar-99", "03/1999", "März 1999"):
        reading = read_date(printed)
        assert reading.date == dt.date(1999, 3, 1), printed
        assert reading.doubt is not None


@pytest.mark.parametrize(
    "printed", ["31 February 1999", "45/13/1999", "1999-13-40", "30.02.2001", "June 31, 2001"]
)
def test_an_impossible_date_is_a_doubt_and_no_exception(printed: str) -> None:
    """A date that the calendar does not have is found, and gives no day."""
    reading = read_date(printed)
    assert reading.found and reading.date is None and reading.doubt is not None


@pytest.mark.parametrize(
    "text",
    [
        "TB 97-01",
        "No. 5/2003",
        "2003-014",
        "265 843 22",
        "page 4-2-10",
        "1-800-555-1234",
        "0.4 - 0.5 - 0.6",
        "step 5 may 20 mm",
        "AB 6573-575",
        "12.5 Nm",
        "20030514 discs",
    ],
)
def test_numbers_are_no_dates(text: str) -> None:
    """Note, part and page numbers are not taken for dates."""
    assert find_dates(text) == ()


def test_dates_in_running_text_come_with_their_places() -> None:
    """Every date of a text is found, in order, with its span."""
    text = "Bulletin 14/2003 of 3 May 2003 cancels that of 1999-03-12."
    assert [text[slice(*d.span)] for d in find_dates(text)] == ["3 May 2003", "1999-03-12"]


def test_two_digit_years_turn_at_40() -> None:
    """40-99 are 1940-1999, 00-39 are 2000-2039: a note of '55 is no note of 2055 (common practice, no
    source; POSIX strptime turns at 69)."""
    assert [full_year(y) for y in (40, 55, 69, 99, 0, 39)] == [1940, 1955, 1969, 1999, 2000, 2039]


days = st.dates(dt.date(1940, 1, 1), dt.date(2039, 12, 31))


@settings(deadline=None)
@given(days)
def test_any_date_in_any_sure_form_reads_back(day: dt.date) -> None:
    """Every unambiguous form of every date gives the date, without a doubt."""
    d, m, y = day.day, day.month - 1, day.year
    suffix = {1: "st", 2: "nd", 3: "rd"}.get(d % 10 if d not in (11, 12, 13) else 0, "th")
    forms = [
        day.isoformat(),
        f"{y}/{day.month:02d}/{d:02d}",
        f"{d:02d}.{day.month:02d}.{y}",
        f"{d}.{day.month}.{y}",
        f"{d} {ENGLISH[m]} {y}",
        f"{ENGLISH[m]} {d}, {y}",
        f"{ENGLISH[m][:3]}. {d}, {y}",
        f"{d}-{ENGLISH[m][:3]}-{y % 100:02d}",
        f"{d}{suffix} {ENGLISH[m]} {y}",
        f"{d}{suffix} of {ENGLISH[m]}, {y}",
        f"{ENGLISH[m].upper()} {d}{suffix}, {y}",
        f"{d}. {GERMAN[m]} {y}",
        f"{d} {FRENCH[m]} {y}",
        f"{d} de {SPANISH[m]} de {y}",
        f"{d} {ITALIAN[m]} {y}",
        f"{day:%A}, {d} {ENGLISH[m]} {y}",
        f"{y}{day.month:02d}{d:02d}",
    ]
    for printed in forms:
        reading = read_date(printed)
        assert (reading.date, reading.doubt) == (day, None), printed


@settings(deadline=None)
@given(days, st.booleans())
def test_a_slashed_date_is_right_or_a_doubt(day: dt.date, day_first: bool) -> None:
    """Printed with slashes in either order, a date is read right or told as a doubt: never wrong and sure."""
    a, b = (day.day, day.month) if day_first else (day.month, day.day)
    reading = read_date(f"{a:02d}/{b:02d}/{day.year}")
    assert reading.date == day or reading.doubt is not None
    assert read_date(f"{a}/{b}/{day.year}", day_first).date == day


@settings(deadline=None)
@given(st.text(alphabet="0123456789./- maybjuneMrofde,'", max_size=80))
def test_no_text_raises(text: str) -> None:
    """Whatever stands in a text, looking for dates raises nothing, and spans lie in the text."""
    for reading in find_dates(text):
        assert 0 <= reading.span[0] < reading.span[1] <= len(text)


@pytest.mark.parametrize("piece", ["1", "12 ", "12/", "may ", "12 de ", "1. ", "nov-12-", "31.12", " "])
def test_hostile_text_is_fast(piece: str) -> None:
    """20 kB of near-dates take well under a second (the house rule is 50 ms a pattern)."""
    text = (piece * 20000)[:20000]
    start = time.process_time()
    find_dates(text)
    assert time.process_time() - start < 0.5

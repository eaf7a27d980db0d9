"""The weekly report under clocks that jump and zones that change: each note stands in exactly one week."""

import datetime as dt
import os
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from unittest import mock
from zoneinfo import ZoneInfo

import pytest
import shopfloor
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.store import Store
from benchleaf.graph.week import span, week_answer
from hypothesis import example, given, settings
from hypothesis import strategies as st

DAYS = st.dates(dt.date(1999, 12, 1), dt.date(2040, 2, 1))
ZONES = (
    "UTC",
    "Europe/Berlin",
    "America/St_Johns",
    "Pacific/Kiritimati",
    "Pacific/Pago_Pago",
    "Asia/Kathmandu",
)


def week_of(day: dt.date) -> str:
    return f"{day.isocalendar().year}-W{day.isocalendar().week:02d}"


@given(DAYS, DAYS)
@example(dt.date(2020, 12, 31), dt.date(2021, 1, 3))  # both in 2020-W53
@example(dt.date(2024, 12, 30), dt.date(2024, 12, 29))  # 2025-W01 and 2024-W52
@example(dt.date(2016, 1, 3), dt.date(2016, 1, 4))  # 2015-W53 and 2016-W01
@settings(max_examples=150, deadline=None)
def test_weeks_part_the_days(one: dt.date, other: dt.date) -> None:
    """Every day is in the week that bears its number, Monday to Sunday (ISO 8601; years with 53 weeks from
    the standard's rule), a week asked by name is the week of today, and two days share one or are in two
    that do not touch."""
    first, last = span(week_of(one), None, other)
    assert first <= one <= last and (last - first).days == 6 and first.isoweekday() == 1
    assert span(None, None, one) == (first, last)
    assert (first <= other <= last) == (week_of(one) == week_of(other))


@given(st.integers(1999, 2040))
def test_weeks_follow_each_other_over_a_years_end(year: int) -> None:
    """The last week of a year, its 52nd or 53rd (28 December is always in it), ends the day before the next
    year's first begins; a 53rd that the year does not have is refused."""
    last = dt.date(year, 12, 28).isocalendar().week
    ends, begins = (
        span(f"{year}-W{last}", None, dt.date(year, 1, 1))[1],
        span(f"{year + 1}-W01", None, dt.date(year, 1, 1))[0],
    )
    assert begins - ends == dt.timedelta(days=1)
    if last == 52:
        with pytest.raises(WrongUse):
            span(f"{year}-W53", None, dt.date(year, 1, 1))


@contextmanager
def clock(moment: dt.datetime, zone: str) -> Iterator[None]:
    """The machine's clock stands at a moment, in a zone."""
    real = dt.datetime

    class Stopped(real):
        @classmethod
        def now(cls, tz: dt.tzinfo | None = None) -> dt.datetime:
            return moment.astimezone(tz) if tz else moment.astimezone(ZoneInfo(zone)).replace(tzinfo=None)

    class Day(dt.date):
        @classmethod
        def today(cls) -> dt.date:
            return Stopped.now().date()

    with mock.patch.dict(os.environ, {"TZ": zone}):
        time.tzset()
        with mock.patch.object(dt, "datetime", Stopped), mock.patch.object(dt, "date", Day):
            yield
    time.tzset()


MOMENTS = st.datetimes(dt.datetime(2014, 12, 20), dt.datetime(2027, 1, 10), timezones=st.just(dt.UTC))
EDGES = st.sampled_from(
    [
        dt.datetime(2020, 12, 31, 23, 59, 59, tzinfo=dt.UTC),
        dt.datetime(2021, 1, 3, 22, 59, 59, tzinfo=dt.UTC),  # a minute before Monday in Berlin
        dt.datetime(2021, 1, 3, 23, 0, 1, tzinfo=dt.UTC),
        dt.datetime(2026, 3, 29, 1, 0, tzinfo=dt.UTC),  # summer time begins in Europe
        dt.datetime(2026, 10, 25, 0, 59, 59, tzinfo=dt.UTC),  # the hour that comes twice
    ]
)


@pytest.mark.skipif(
    not hasattr(time, "tzset"), reason="the zone of a running program is changed, which needs POSIX"
)
@given(st.lists(st.tuples(MOMENTS | EDGES, st.sampled_from(ZONES)), min_size=1, max_size=6))
@settings(max_examples=10, deadline=None)
def test_each_note_is_in_exactly_one_week_whatever_the_clock_does(
    tmp_path_factory: pytest.TempPathFactory, arrivals: list[tuple[dt.datetime, str]]
) -> None:
    """Lists are added and shop's notes written while the clock jumps, back too, and the zone changes: over
    all weeks each is in one report, in that of the shop's own day at that moment, wherever the machine
    stands when the report is asked."""
    room = tmp_path_factory.mktemp("weeks")
    store = shopfloor.build(room / "store")
    wanted: dict[str, str] = {}
    for n, (moment, zone) in enumerate(arrivals):
        paper = room / f"list-{n}.csv"
        paper.write_text(f"Old number,New number,Date\n55-{n},56-{n},2001-02-03\n", encoding="utf-8")
        note = f"note --pub SM-70 --page 4-12 --item 5 --action delete --initials AB --subject s{n}".split()
        with clock(moment, zone):
            for words in (("add", str(paper)), tuple(note)):
                status, _, err = shopfloor.run(store, words)
                assert status == 0, err
        wanted |= dict.fromkeys((f"list-{n}", f"s{n}"), week_of(moment.astimezone(ZoneInfo(zone)).date()))
    with Store.open(store) as held:
        told = Counter(
            (note.subject if note.source == "shop" else note.number, week)
            for week in sorted({*wanted.values(), "2014-W50", "2020-W53", "2021-W01", "2026-W47"})
            for note in week_answer(held, week, None, dt.date(2030, 1, 1)).notes
        )
        everything = week_answer(held, None, dt.date(2000, 1, 1), dt.date(2030, 1, 1)).notes
    assert {mark: count for mark, count in told.items() if mark[0] in wanted} == dict.fromkeys(
        wanted.items(), 1
    )
    assert len(everything) == sum(told.values()) == len(wanted) + 3


@pytest.mark.parametrize("week", ["9999-W52", "0001-W01", "0000-W10", "9999-W53"])
def test_weeks_at_the_ends_of_the_calendar_are_answered_or_refused(week: str) -> None:
    """The first and the last weeks of the years that can be counted end in an answer or a plain word."""
    try:
        first, last = span(week, None, dt.date(2026, 11, 25))
    except WrongUse as refused:
        assert refused.remedy
    else:
        assert (last - first).days == 6

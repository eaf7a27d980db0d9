"""Weeks against ISO 8601, as Python's standard library computes it."""

import datetime as dt

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.week import span
from hypothesis import given
from hypothesis import strategies as st

DAYS = st.dates(dt.date(1970, 1, 1), dt.date(2099, 12, 31))


@given(DAYS)
def test_every_day_lies_in_the_week_that_bears_its_iso_number(day):
    """ISO 8601 (datetime.date.isocalendar): a day's own week, asked by name, is Monday to Sunday."""
    year, week, weekday = day.isocalendar()
    first, last = span(f"{year}-W{week:02d}", None, day)
    assert first <= day <= last
    assert (first.isocalendar().weekday, last.isocalendar().weekday) == (1, 7)
    assert (day - first).days == weekday - 1


@given(DAYS)
def test_weeks_follow_one_another_without_gap_or_overlap(day):
    """The week after begins the day after the week before ends, over every turn of the year."""
    _, last = span(None, None, day)
    following, _ = span(None, None, last + dt.timedelta(days=1))
    assert following == last + dt.timedelta(days=1)


@given(st.integers(1970, 2099), st.integers(1, 53))
def test_the_first_day_is_the_one_that_strptime_gives(year, week):
    """ISO 8601 (strptime %G-W%V-%u): the Monday is the same; a week 53 that a year lacks is refused."""
    name = f"{year}-W{week:02d}"
    weeks = dt.date(year, 12, 28).isocalendar().week  # ISO 8601: 28 December lies in the last week
    if week > weeks:
        with pytest.raises(WrongUse):
            span(name, None, dt.date(2026, 11, 25))
    else:
        monday = dt.datetime.strptime(f"{name}-1", "%G-W%V-%u").date()
        assert span(name, None, dt.date(2026, 11, 25))[0] == monday

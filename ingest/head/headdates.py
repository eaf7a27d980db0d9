"""The date of a note: by its label, beside its number, on its own line, in running text, at the foot."""

import re
from dataclasses import replace

from benchleaf.ingest.head.dates import NOTHING, DateReading, find_dates, read_date
from benchleaf.ingest.head.headnumbers import Head, names_another
from benchleaf.ingest.head.notenumbers import NumberReading, read_number
from benchleaf.ingest.head.notetitles import read_running
from benchleaf.ingest.shapes import LaidPage


def date_of(head: Head, number: NumberReading | None, page: LaidPage) -> DateReading:
    """The date of issue: by its label, beside the number, on its own line, in running text, at the foot."""
    labelled = [(read_date(v.text, head.day_first), v) for v in head.of("date")]
    readings = [(d, v) for d, v in labelled if d.found]
    if readings:
        head.pieces += [p for _, v in readings for p in v.pieces]
        days = {d.date for d, _ in readings if d.date}
        if len(days) > 1:
            head.unclear.append("several dates stand at the head: " + ", ".join(str(d) for d in sorted(days)))
        return readings[0][0]
    unread = [v.text for _, v in labelled if v.sure and re.search(r"[0-9]", v.text)]
    head.unclear += [f"the date could not be read: “{t[:60]}”" for t in unread[:1]]
    return _unlabelled_date(head, page)


def _unlabelled_date(head: Head, page: LaidPage) -> DateReading:
    for text, span in _dated_with_number(head):
        return read_date(text[span[0] : span[1]], head.day_first)
    if head.loose.dates:
        text, piece = head.loose.dates[0]
        head.pieces.append(piece)
        return read_date(text, head.day_first)
    for value in head.of("date_other"):
        if (day := read_date(value.text, head.day_first)).found:
            return replace(
                day, doubt=day.doubt or f"no date of issue; “{value.label}: {value.text}” is taken"
            )
    foot = [read_date(line.text, head.day_first) for line in (*page.heads, *page.feet)]
    day = next((d for d in foot if d.date), NOTHING)
    if day.date is None:
        return _closing_date(page, head.day_first)
    return replace(day, doubt=day.doubt or "the date is taken from the foot or head line of the sheet")


def _closing_date(page: LaidPage, day_first: bool | None) -> DateReading:
    """A letter may bear its date at its end, on a line of its own."""
    for line in reversed(page.lines[-6:]):
        days = find_dates(line.text, day_first)
        if len(days) == 1 and len(line.text) - (days[0].span[1] - days[0].span[0]) < 24:
            return replace(days[0], doubt=days[0].doubt or "the date is taken from the end of the note")
    return NOTHING


def _dated_with_number(head: Head) -> list[tuple[str, tuple[int, int]]]:
    found: list[tuple[str, tuple[int, int]]] = []
    if head.loose.title is not None:
        named = head.loose.title
        if named.title.number.dated and not names_another(named, head):
            found.append((named.text, named.title.number.dated))
    for value in head.of("number", "number_weak"):
        number = read_number(value.text)
        if number is not None and number.dated:
            found.append((value.text, number.dated))
    for text in head.prose:
        running = read_running(text)
        if running is not None and running[0].dated:
            found.append((text, running[0].dated))
    return found

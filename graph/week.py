"""The weekly report: what the notes received in a week change. A note counts when it arrives, whatever its
date."""

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.graph.binding import Family
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.kits.expected import expected_contents
from benchleaf.graph.missing import Missing, missing_among
from benchleaf.graph.model import (
    Action,
    Contents,
    KitLine,
    Note,
    Override,
    Relation,
    Standing,
    Statement,
    Supersession,
    Withdrawn,
)
from benchleaf.graph.shelf import Shelf
from benchleaf.graph.store import Store

if TYPE_CHECKING:
    from benchleaf.graph.jobs.touched import TouchedJob

_WEEK = re.compile(r"(?:([0-9]{4})\s?-?\s?)?W\s?([0-9]{1,2})", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class WeekStep:
    """A step that a note of the week speaks of. `models` are those the statement names, else the
    publication's."""

    publication: str | None
    page: str | None
    item: str | None
    note: str
    action: Action
    was: str | None
    now: str | None
    text: str | None
    standing: Standing
    models: tuple[str, ...]
    statement: int | None
    by_ocr: bool = False


@dataclass(frozen=True, slots=True)
class WeekPart:
    """Part numbers that changed; `new` is empty for a part no longer supplied."""

    old: tuple[str, ...]
    new: tuple[str, ...]
    relation: Relation
    note: str
    standing: Standing
    by_ocr: bool = False


@dataclass(frozen=True, slots=True)
class WeekKit:
    """A kit whose contents a note tells: what it was before (empty if not known), and what it is now."""

    kit: str
    was: tuple[KitLine, ...]
    now: tuple[KitLine, ...]
    note: str
    standing: Standing
    by_ocr: bool = False


@dataclass(frozen=True, slots=True)
class WeekAnswer:
    """`week` is the ISO week, None for a span from a date. `doubts` counts the doubtful readings of these
    notes.

    `jobs` are those for which these notes are news: they touch the job and were not considered when it was
    opened or last built. Those in work come first, then the shipped ones.
    """

    week: str | None
    first: dt.date
    last: dt.date
    notes: tuple[Note, ...]
    steps: tuple[WeekStep, ...]
    parts: tuple[WeekPart, ...]
    kits: tuple[WeekKit, ...]
    jobs: "tuple[TouchedJob, ...]"
    doubts: int
    missing: tuple[Missing, ...]


def week_answer(store: Shelf, week: str | None, since: dt.date | None, today: dt.date) -> WeekAnswer:
    """The report for an ISO week such as `2026-W48`, or since a date, or for the current week."""
    first, last = span(week, since, today)
    held = store.received_between(first, last)
    notes = tuple(sorted(held, key=lambda n: (n.received or first, n.number)))
    said = [s for n in notes for s in n.statements if s.standing != "refused"]
    return WeekAnswer(
        week=None if since else f"{first.isocalendar().year}-W{first.isocalendar().week:02d}",
        first=first,
        last=last,
        notes=notes,
        steps=tuple(_step(store, s) for s in said if isinstance(s, Override)),
        parts=_parts(said),
        kits=tuple(_kit(store, s) for s in said if isinstance(s, Contents)),
        jobs=_jobs(store, notes, today),
        doubts=sum(s.standing == "doubtful" for s in said),
        missing=missing_among(store, said, notes),
    )


def _jobs(store: Shelf, notes: Sequence[Note], today: dt.date) -> "tuple[TouchedJob, ...]":
    """The jobs touched; a shelf that is no store keeps none."""
    from benchleaf.graph.jobs.touched import jobs_touched

    return jobs_touched(store, notes, today) if isinstance(store, Store) else ()


def span(week: str | None, since: dt.date | None, today: dt.date) -> tuple[dt.date, dt.date]:
    """First and last day meant; Monday to Sunday for a week. Raises `WrongUse` for what is no week.

    >>> span("2026-W01", None, dt.date(2026, 2, 1))
    (datetime.date(2025, 12, 29), datetime.date(2026, 1, 4))
    """
    if week is not None and since is not None:
        raise WrongUse("a week and a date are both given", "give --week or --since, not both")
    if since is not None:
        if since > today:
            raise WrongUse(f"{since.isoformat()} is still to come", "give a date in the past")
        return since, today
    monday = today - dt.timedelta(days=today.weekday()) if week is None else _monday(week, today)
    return monday, monday + dt.timedelta(days=6)


def _monday(week: str, today: dt.date) -> dt.date:
    match = _WEEK.fullmatch(week.strip())
    remedy = f"write it as {today.isocalendar().year}-W{today.isocalendar().week:02d}"
    if match is None:
        raise WrongUse(f"“{week}” is no ISO week", remedy)
    year = int(match[1]) if match[1] else today.isocalendar().year
    try:
        dt.date.fromisocalendar(
            year, int(match[2]), 7
        )  # the last week of all has no Sunday that can be counted
        return dt.date.fromisocalendar(year, int(match[2]), 1)
    except (ValueError, OverflowError) as error:
        raise WrongUse(f"“{week}” is no ISO week: {error}", remedy) from error


def _step(store: Shelf, o: Override) -> WeekStep:
    models = o.applies.models
    if not models and o.target.publication:
        models = tuple(
            dict.fromkeys(m for p in store.publications_like(o.target.publication) for m in p.models)
        )
    t = o.target
    said = (o.note, o.action, o.was, o.now, o.text, o.standing)
    return WeekStep(t.publication, t.page, t.item, *said, models, o.id, o.source.by_ocr)


def _parts(said: Iterable[Statement]) -> tuple[WeekPart, ...]:
    parts = []
    for s in said:
        if isinstance(s, Supersession):
            parts.append(WeekPart(s.old, s.new, s.relation, s.note, s.standing, s.source.by_ocr))
        elif isinstance(s, Withdrawn):
            parts.append(WeekPart((s.part,), (), "one", s.note, s.standing, s.source.by_ocr))
    return tuple(parts)


def _kit(store: Shelf, c: Contents) -> WeekKit:
    was: Sequence[KitLine] = c.previous
    if not was:
        was = expected_contents(store, c.kit, Family(store, [c.kit])).before or _said_before(store, c)
    return WeekKit(c.kit, tuple(was), c.lines, c.note, c.standing, c.source.by_ocr)


def _said_before(store: Shelf, c: Contents) -> tuple[KitLine, ...]:
    """What the last settled word before this one gave the same kit; empty without one."""
    told = [x for x in store.contents(c.kit) if x.standing == "settled" and x.date and c.date]
    earlier = [x for x in told if x.date and c.date and x.date < c.date]
    return max(earlier, key=lambda x: (x.date or c.date, x.id or 0)).lines if earlier else ()

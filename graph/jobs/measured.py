"""Measured values of a job, by step: written down, judged against the range in force, never overwritten."""

import datetime as dt
import json
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.errors import BenchleafError, NotHeld, WrongUse
from benchleaf.graph.jobs.job import Entry, Job
from benchleaf.graph.jobs.procedure import job_procedure
from benchleaf.graph.keys import key
from benchleaf.graph.places import best_places, same_place
from benchleaf.graph.procedure import Step
from benchleaf.graph.store import Store

_MANY = 12


def enter_value(
    store: Store,
    number: str,
    publication: str | None,
    page: str,
    step: str,
    value: str,
    initials: str,
    at: dt.datetime,
    which: str | None = None,
) -> Entry:
    """Writes down what was measured at a step of a job's procedure, and how it stands to the range in force.

    A value that the step says nothing about, or that is none (`ok`), is kept without a verdict. `which` are
    words beside the value meant. Inside a transaction. Raises NotHeld with the nearest for an unknown job,
    page or step, WrongUse for a deleted step, for one that stands in several publications, and without a
    value.
    """
    if not value.strip():
        raise WrongUse("no value is given", 'Write it as in "1.35 mm".')
    job = store.job_or_stop(number)
    found = find_step(store, job, publication, page, step, at.date())
    if found.text is None:
        by = " and ".join(found.changed_by) or "a note"
        raise WrongUse(f"step {found.label} on page {found.page} is deleted by {by}: it is not to be done")
    verdict, printed, why = _judged(store, job, found, value, which, at.date())
    entry = Entry(
        publication=found.publication,
        page=found.page,
        label=found.label,
        value=" ".join(value.split()),
        initials=initials,
        at=at,
        verdict=verdict,
        printed=printed,
        why=why,
        which=which,
    )
    store.change_job(number, "entry", _body(entry), initials, at)
    return entry


def _body(entry: Entry) -> list[tuple[str, str]]:
    names = ("publication", "page", "label", "value", "verdict", "which")
    said = [(name, getattr(entry, name)) for name in names]
    lists = [("printed", json.dumps(entry.printed)), ("why", json.dumps(entry.why))]
    return [(name, value) for name, value in (*said, *lists) if value is not None]


def find_step(store: Store, job: Job, publication: str | None, page: str, step: str, today: dt.date) -> Step:
    """The one step of the job's procedure that is meant. Raises as `enter_value` does."""
    steps = job_procedure(store, job, today).steps
    if publication is not None:
        steps = tuple(s for s in steps if key(s.publication) == key(publication))
        if not steps:
            raise NotHeld(f"job {job.number} is not about {publication}", _books(store, job, today))
    here = tuple(s for s in steps if same_place(s.page, page))
    if not here:
        pages = tuple(dict.fromkeys(s.page for s in steps))
        raise NotHeld(f"job {job.number} has no step on page {page}", pages[:_MANY])
    meant = best_places(step, here, lambda s: s.label)
    if not meant:
        labels = tuple(s.label for s in here)
        raise NotHeld(f"page {page} has no step {step} in job {job.number}", labels[:_MANY])
    books = tuple(dict.fromkeys(s.publication for s in meant))
    if len(books) > 1:
        raise WrongUse(f"step {step} on page {page} stands in {' and '.join(books)}", "Name one with --pub.")
    return meant[0]


def _books(store: Store, job: Job, today: dt.date) -> tuple[str, ...]:
    return tuple(dict.fromkeys(s.publication for s in job_procedure(store, job, today).steps))


def _judged(
    store: Store, job: Job, step: Step, value: str, which: str | None, today: dt.date
) -> tuple[str | None, tuple[str, ...], tuple[str, ...]]:
    """The verdict, the step's own words for the range, and what must be known of it."""
    from benchleaf.graph.measure import MeasureQuestion, measure_answer
    from benchleaf.graph.quantities.units import OWN_UNITS, load

    if not any(map(str.isdigit, value)):
        return None, (), ()
    question = MeasureQuestion(
        value=value,
        publication=step.publication,
        page=step.page,
        item=step.label,
        model=job.model,
        serial=job.serial,
        kits=job.kits,
        on=today,
        built=job.date_of_build,
        which=which,
    )
    units = load(store.folder / OWN_UNITS)
    try:
        answer = measure_answer(store, question, units)
    except BenchleafError as problem:
        return None, (), (f"not judged: {problem.sentence}",)
    return answer.verdict, tuple(v.printed for v in answer.values), answer.reasons


@dataclass(frozen=True, slots=True)
class JudgedAnew:
    """A measured value that stands otherwise to the range in force now than when it was written down."""

    entry: Entry
    verdict: str | None
    printed: tuple[str, ...]

    @property
    def now(self) -> str:
        """How it stands by now, in words."""
        return f"{self.verdict or 'not judged'} ({' or '.join(self.printed) or 'no range'})"

    @property
    def sentence(self) -> str:
        """The value, its step, and how it stood and stands."""
        at = f"{self.entry.value} at step {self.entry.label} on page {self.entry.page}"
        return f"{at} was {self.entry.verdict} when it was measured, and is {self.now} by now"


def judged_anew(store: Store, job: Job, steps: Sequence[Step], today: dt.date) -> tuple[JudgedAnew, ...]:
    """The measured values that are judged otherwise by the steps in force; of several at a step the last
    counts."""
    newest = {(_place(e), e.which): e for e in job.entries if e.verdict is not None}
    here = {_place(s): s for s in steps if s.text is not None}
    found = []
    for (place, which), entry in newest.items():
        if place in here:
            verdict, printed, _ = _judged(store, job, here[place], entry.value, which, today)
            if verdict != entry.verdict:
                found.append(JudgedAnew(entry, verdict, printed))
    return tuple(found)


def _place(at: Entry | Step) -> tuple[str, str, str]:
    return (key(at.publication), key(at.page), key(at.label))

"""The jobs that some notes touch: those in work first, then the shipped ones as possible comebacks."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.jobs.job import Job
from benchleaf.graph.jobs.news import BEARING, JobNews, job_news
from benchleaf.graph.jobs.pin import job_ground, pinned_kits, pinned_step
from benchleaf.graph.jobs.procedure import job_procedure
from benchleaf.graph.jobs.touching import Ground, identity, touched_by
from benchleaf.graph.keys import key, natural
from benchleaf.graph.model import Note
from benchleaf.graph.store import Store


@dataclass(frozen=True, slots=True)
class TouchedJob:
    """A job that notes touch which were not considered for it, and what they change in it."""

    job: Job
    news: JobNews

    @property
    def notes(self) -> tuple[str, ...]:
        """The notes' numbers."""
        return tuple(dict.fromkeys(n.note.number for n in self.news.notes))


def jobs_touched(store: Store, notes: Sequence[Note], today: dt.date) -> tuple[TouchedJob, ...]:
    """The jobs for which some notes (with their statements) are news, and only what these notes bring."""
    if not any(n.statements for n in notes):
        return ()
    found = [_touched(store, job, notes, today) for job in _in_order(store.jobs())]
    return tuple(t for t in found if t is not None)


def jobs_with_news(store: Store, jobs: Iterable[Job], today: dt.date) -> tuple[TouchedJob, ...]:
    """Some jobs with everything that is news to each, in work first."""
    return tuple(TouchedJob(job, job_news(store, job, today)) for job in _in_order(jobs))


def _in_order(jobs: Iterable[Job]) -> list[Job]:
    return sorted(jobs, key=lambda job: (job.state == "shipped", job.opened, natural(job.number)))


def _touched(store: Store, job: Job, notes: Sequence[Note], today: dt.date) -> TouchedJob | None:
    touching = touched_by(store, _ground(store, job, today), notes)
    meant = {identity(t.note) for t in touching}
    if not meant:
        return None
    news = job_news(store, job, today)
    mine = tuple(n for n in news.notes if identity(n.note) in meant)
    numbers = {key(n.note.number) for n in mine}
    if not mine:
        return None
    steps = tuple(s for s in news.steps if numbers & {key(n) for n in s.notes})
    kits = tuple(k for k in news.kits if numbers & {key(n) for n in k.notes})
    return TouchedJob(job, replace(news, steps=steps, notes=mine, kits=kits))


def _ground(store: Store, job: Job, today: dt.date) -> Ground:
    """What the job stands on by its newest pin; what is in force now where nothing was pinned, or where the
    job itself was changed since."""
    pin = store.newest_pin(job.number)
    changed = pin is None or any(c.kind in BEARING and c.at > pin.at for c in store.job_changes(job.number))
    if pin is not None and not changed:
        return job_ground(job, pin.steps, pin.kits)
    steps = (*(pin.steps if pin else ()), *map(pinned_step, job_procedure(store, job, today).steps))
    return job_ground(job, steps, (*(pin.kits if pin else ()), *pinned_kits(store, job, today)))

"""Everything about one job: the news first, then what is kept of it."""

import datetime as dt
from dataclasses import dataclass

from benchleaf.graph.jobs.job import Change, Job, Pin
from benchleaf.graph.jobs.news import JobNews, job_news
from benchleaf.graph.jobs.procedure import JobProcedure, job_procedure
from benchleaf.graph.kits.asfound import FoundAnswer, found_answer
from benchleaf.graph.store import Store


@dataclass(frozen=True, slots=True)
class JobAnswer:
    """A job as it is, its news, what was pinned (oldest first), every change, and what the papers know of
    what was found at teardown (evidence only; None where nothing was counted). `now` is the procedure in
    force today."""

    job: Job
    news: JobNews
    pins: tuple[Pin, ...]
    changes: tuple[Change, ...]
    evidence: FoundAnswer | None
    now: JobProcedure

    @property
    def pin(self) -> Pin | None:
        """What was last pinned."""
        return self.pins[-1] if self.pins else None


def job_answer(store: Store, number: str, today: dt.date) -> JobAnswer:
    """The job of that number, as the papers stand today. Raises NotHeld with the nearest numbers."""
    job = store.job_or_stop(number)
    now = job_procedure(store, job, today)
    return JobAnswer(
        job=job,
        news=job_news(store, job, today, now),
        pins=store.pins(job.number),
        changes=store.job_changes(job.number),
        evidence=_evidence(store, job, today),
        now=now,
    )


def _evidence(store: Store, job: Job, today: dt.date) -> FoundAnswer | None:
    if not job.found:
        return None
    return found_answer(store, job.kits[0] if job.kits else None, job.model, job.found, today)

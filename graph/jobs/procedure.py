"""The procedure that a job is about, as it is in force for its unit and its kits."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from benchleaf.graph.chapter import Step
from benchleaf.graph.errors import BenchleafError, NotHeld
from benchleaf.graph.jobs.job import About, Job
from benchleaf.graph.keys import key
from benchleaf.graph.kits.holding import StandingHold, holds_on
from benchleaf.graph.procedure import ProcedureAnswer, ProcedureQuestion, procedure_answer
from benchleaf.graph.store import Store


@dataclass(frozen=True, slots=True)
class JobProcedure:
    """The steps in force for a job, in the order of what it is about, each once; the holds in effect on the
    kits that it uses; and sentences to heed."""

    steps: tuple[Step, ...]
    holds: tuple[StandingHold, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]


def job_procedure(store: Store, job: Job, today: dt.date, *, strict: bool = False) -> JobProcedure:
    """What is in force for a job today.

    With `strict` a procedure or model that is not held raises NotHeld or WrongUse; else it is told among the
    warnings, since papers may have been read otherwise since the job was opened.
    """
    answers: list[ProcedureAnswer] = []
    lost: list[str] = []
    for about in _asked(job, strict=strict):
        try:
            answers.append(procedure_answer(store, _question(job, about, today)))
        except BenchleafError as problem:
            if strict:
                raise
            lost.append(f"the procedure {about.words} is not to be found: {problem.sentence}")
    steps = {(key(s.publication), key(s.page), s.label, s.item): s for a in answers for s in a.steps}
    # a procedure judges the holds of the kits that it is asked with: the job's own
    held = [h for a in answers for h in a.holds] if answers else holds_on(store, job.kits)
    return JobProcedure(
        steps=tuple(steps.values()),
        holds=tuple({h.hold.id: h for h in held}.values()),
        warnings=tuple(dict.fromkeys((*lost, *(w for a in answers for w in a.warnings)))),
        cautions=tuple(dict.fromkeys(c for a in answers for c in a.cautions)),
    )


def _asked(job: Job, *, strict: bool) -> tuple[About, ...]:
    """What the job is about; without a word on it, the publication of its model. A job of which neither is
    known has no procedure, and may be kept so only where an older store opened it."""
    if job.about or not (job.model or strict):
        return job.about
    return (About(),)


def _question(job: Job, about: About, today: dt.date) -> ProcedureQuestion:
    return ProcedureQuestion(
        publication=about.publication,
        page=about.page,
        section=about.section,
        model=job.model,
        serial=job.serial,
        kits=job.kits,
        on=today,
        built=job.date_of_build,
    )


def known_kits(store: Store, kits: Iterable[str]) -> tuple[str, ...]:
    """The kits' numbers as written in the sources. Raises NotHeld, with the nearest, for one that no paper
    names."""
    return tuple(_known(store, kit) for kit in kits)


def _known(store: Store, kit: str) -> str:
    printed = store.printed(key(kit)) if key(kit) else None
    if printed is not None or store.contents(kit) or store.manual_contents(kit):
        return printed or kit
    near = store.near_parts(kit)
    remedy = "Check the number, add the paper that names it, or write it down as a remark."
    raise NotHeld(f"no paper held names kit {kit}", near, remedy)

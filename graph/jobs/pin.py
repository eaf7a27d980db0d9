"""Pins: what was in force for a job on the day when it was opened or built, with the notes considered."""

import datetime as dt
from collections.abc import Sequence

from benchleaf.graph.binding import Family
from benchleaf.graph.jobs.job import Job, Occasion, Pin, PinnedKit, PinnedNote, PinnedStep
from benchleaf.graph.jobs.procedure import JobProcedure
from benchleaf.graph.jobs.touching import Ground, ground, touching_notes
from benchleaf.graph.keys import key
from benchleaf.graph.kits.expected import expected_contents
from benchleaf.graph.procedure import Step
from benchleaf.graph.store import Store
from benchleaf.graph.supersession import current


def pin_of(
    store: Store, job: Job, procedure: JobProcedure, occasion: Occasion, initials: str, at: dt.datetime
) -> Pin:
    """What is in force for a job at a moment, to be kept."""
    kits = pinned_kits(store, job, at.date())
    notes = touching_notes(store, job_ground(job, procedure.steps, kits))
    return Pin(
        occasion=occasion,
        day=at.date(),
        at=at,
        initials=initials,
        steps=tuple(map(pinned_step, procedure.steps)),
        notes=tuple(PinnedNote(t.note.number, t.note.date, t.note.revision) for t in notes),
        kits=kits,
        state=state_words(store),
    )


def job_ground(job: Job, steps: Sequence[Step | PinnedStep], kits: Sequence[PinnedKit]) -> Ground:
    """What a job stands on: these steps and these kits with their lines."""
    lines = [(kit.kit, line) for kit in kits for line in kit.lines]
    return ground(job.unit, job.kits, steps, lines)


def pinned_step(step: Step) -> PinnedStep:
    """A step in force as it is kept."""
    return PinnedStep(
        publication=step.publication,
        page=step.page,
        label=step.label,
        item=step.item,
        text=step.text,
        notices=step.notices,
        origin=step.origin,
        changed_by=step.changed_by,
        section=step.section,
        printed=step.printed,
    )


def pinned_kits(store: Store, job: Job, on: dt.date) -> tuple[PinnedKit, ...]:
    """The job's kits as the papers up to a day tell them."""
    return tuple(_kit(store, kit, job.model, on) for kit in job.kits)


def _kit(store: Store, kit: str, model: str | None, on: dt.date) -> PinnedKit:
    told = expected_contents(store, kit, Family(store, [kit]), on, model)
    now = current(kit, store.supersessions([key(kit)]), on)
    return PinnedKit(kit, told.lines, told.note, now.numbers)


def state_words(store: Store) -> str:
    """The state of the store in words: how much is held, and what came last."""
    notes, books = store.notes(), store.publications()
    said = f"{_many(len(books), 'publication')} and {_many(len(notes), 'note')} held"
    came = [(n.received, n.number) for n in notes if n.received]
    if came:
        day, number = max(came)
        said += f"; the newest note came on {day.isoformat()} ({number})"
    return said


def _many(count: int, one: str) -> str:
    return f"{count} {one}" if count == 1 else f"{count} {one}s"

"""A job on the bench: its card, and at each step that is in force a form for what is measured there."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import blake2b
from typing import TYPE_CHECKING

from benchleaf.cli.sheets.jobview import EntryView, JobStep, JobView, job_view
from benchleaf.graph.jobs.pin import pinned_step
from benchleaf.graph.keys import key

if TYPE_CHECKING:
    from benchleaf.graph.jobs.answer import JobAnswer
    from benchleaf.graph.jobs.job import Entry, PinnedStep
    from benchleaf.graph.procedure import Step

Place = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Bench:
    """The form at a step: its number on the page, the step in force, its words where they are not the pinned
    ones, and the mark of what was shown."""

    number: int
    step: "Step"
    now: str | None
    seen: str


@dataclass(frozen=True, slots=True)
class BenchStep:
    """A step of the card with its form, or in words why there is none."""

    view: JobStep
    bench: Bench | None
    why: str = ""


@dataclass(frozen=True, slots=True)
class BenchStretch:
    """Steps that follow each other under one heading of one publication."""

    publication: str
    section: str | None
    steps: tuple[BenchStep, ...]


@dataclass(frozen=True, slots=True)
class JobDesk:
    """The card, its steps with their forms, the steps in force that it does not have, the values at steps
    that are not shown, and the mark of all that a person saw who sets it built or shipped."""

    card: JobView
    stretches: tuple[BenchStretch, ...]
    added: tuple[BenchStep, ...]
    loose: tuple[EntryView, ...]
    seen: str


def job_desk(answer: "JobAnswer") -> JobDesk:
    """The page of a job."""
    card = job_view(answer)
    hands = _Hands(answer)
    stretches = tuple(
        BenchStretch(s.publication, s.section, tuple(hands.on(step) for step in s.steps))
        for s in card.stretches
    )
    added = tuple(hands.rest(card.loose)) if answer.pin else ()
    there = {e for s in added for e in s.view.entries}
    loose = tuple(e for e in card.loose if e not in there)
    return JobDesk(card, stretches, added, loose, seen_job(answer))


class _Hands:
    """Gives each step of the card its form, once."""

    def __init__(self, answer: "JobAnswer") -> None:
        self.done = answer.job.state == "shipped"
        self.now: dict[Place, list[Step]] = {}
        for step in answer.now.steps:
            self.now.setdefault(_place(step), []).append(step)
        self.taken: set[Place] = set()
        self.count = 0

    def on(self, view: JobStep) -> BenchStep:
        """A step of the card with its form."""
        here = self.now.get(_place(view.step), [])
        if self.done:
            return BenchStep(view, None)
        if len(here) > 1:
            return BenchStep(view, None, "This number stands twice on the page: keep its value as a remark.")
        if not here or not _same(here[0], view.step):
            gone = "" if view.step.text is None else "It is not in force any more: nothing is measured here."
            return BenchStep(view, None, gone)
        self.taken.add(_place(view.step))
        if here[0].text is None:
            return BenchStep(
                view, None, "" if view.step.text is None else "Deleted by now: do not do this step."
            )
        return BenchStep(view, self._form(here[0], view.step))

    def rest(self, loose: Sequence[EntryView]) -> Iterator[BenchStep]:
        """The steps in force that the card does not have, with the values kept at them."""
        for place, steps in self.now.items():
            if place not in self.taken and len(steps) == 1 and steps[0].text is not None and not self.done:
                pinned = pinned_step(steps[0])
                by = tuple(n for n in (pinned.origin, *pinned.changed_by) if n != "manual")
                mine = tuple(e for e in loose if _place(e.entry) == place)
                yield BenchStep(JobStep(pinned, mine, by, None), self._form(steps[0], pinned))

    def _form(self, step: "Step", shown: "PinnedStep") -> Bench:
        self.count += 1
        return Bench(self.count, step, None if step.text == shown.text else step.text, seen_step(step))


def seen_step(step: "Step") -> str:
    """A mark of the step in force: it differs once another paper made it another step or changed its
    words."""
    return _mark((step.publication, step.page, step.label, step.item, step.origin, step.text))


def seen_job(answer: "JobAnswer") -> str:
    """A mark of the job, its news, its kits on hold and the steps in force: it differs once anything came."""
    news = answer.news
    told = [(t.note.number, t.note.date, t.note.revision, t.why) for t in news.notes]
    waits = ([s.id for s in news.doubts], news.holds, news.kits, news.measured, news.remarks)
    steps = [(seen_step(s), s.notices) for s in answer.now.steps]
    return _mark((answer.job, len(answer.pins), news.steps, told, waits, steps))


def _mark(shown: object) -> str:
    return blake2b(repr(shown).encode("utf-8", "replace"), digest_size=12).hexdigest()


def _same(step: "Step", pinned: "PinnedStep") -> bool:
    """Whether the step in force is the one that was pinned: the printed one, or that of the same note."""
    if step.item is not None or pinned.item is not None:
        return key(step.item or "") == key(pinned.item or "")
    return key(step.origin) == key(pinned.origin)


def _place(at: "Step | PinnedStep | Entry") -> Place:
    return (key(at.publication), key(at.page), key(at.label))

"""A job as a card to work by: its news, its unit, and the pinned steps with what was measured."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from benchleaf.cli.show_job import entry_words, state_words
from benchleaf.graph.jobs.pin import pinned_step
from benchleaf.graph.keys import key

if TYPE_CHECKING:
    from benchleaf.graph.jobs.answer import JobAnswer
    from benchleaf.graph.jobs.job import Entry, PinnedStep
    from benchleaf.graph.jobs.news import StepNews

Place = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class EntryView:
    """A measured value and, in words, how it stood to its range, and how it stands where that is otherwise by
    now."""

    entry: "Entry"
    words: str
    anew: bool = False

    @property
    def fine(self) -> bool:
        """False for a value that somebody must look at."""
        return not self.anew and self.entry.verdict not in ("below", "above", "in doubt")


@dataclass(frozen=True, slots=True)
class JobStep:
    """A pinned step, what was measured at it (oldest first), the notes behind it, and its news."""

    step: "PinnedStep"
    entries: tuple[EntryView, ...]
    by: tuple[str, ...]
    news: "StepNews | None"

    @property
    def gone(self) -> bool:
        """Whether the step is deleted, by what was pinned or by now."""
        return self.step.text is None or (self.news is not None and self.news.now is None)

    @property
    def done(self) -> EntryView | None:
        """The last value, where nothing is left to measure: it stands as it should, and the step reads as it
        was pinned."""
        last = self.entries[-1] if self.entries else None
        return last if last is not None and last.fine and self.news is None else None


@dataclass(frozen=True, slots=True)
class JobStretch:
    """Pinned steps that follow each other under one heading of one publication."""

    publication: str
    section: str | None
    steps: tuple[JobStep, ...]


@dataclass(frozen=True, slots=True)
class JobView:
    """The job, its steps by headings, and the values at steps that are not pinned. `states` are the days of
    its states in words, `pinned` when its steps were pinned."""

    answer: "JobAnswer"
    stretches: tuple[JobStretch, ...]
    loose: tuple[EntryView, ...]
    states: str
    pinned: str

    @property
    def considered(self) -> tuple[str, ...]:
        """The numbers of the notes that were considered, for the sheet's stamp."""
        return tuple(n.number for n in self.answer.pin.notes) if self.answer.pin else ()


def job_view(answer: "JobAnswer") -> JobView:
    """The card of a job: its newest pin, or where nothing was pinned what is in force now."""
    pin = answer.pin
    steps = pin.steps if pin else tuple(map(pinned_step, answer.now.steps))
    anew = {m.entry: m.now for m in answer.news.measured}
    entries = [_entry(e, anew.get(e)) for e in answer.job.entries]
    news = {_place(s): s for s in answer.news.steps}
    views = [_step(s, entries, news) for s in steps]
    shown = {_place(s) for s in steps}
    runs = groupby(views, key=lambda v: (v.step.publication, v.step.section))
    return JobView(
        answer=answer,
        stretches=tuple(JobStretch(p, section, tuple(run)) for (p, section), run in runs),
        loose=tuple(e for e in entries if _place(e.entry) not in shown),
        states=state_words(answer.job),
        pinned=f"as pinned when {pin.occasion} on {pin.day.isoformat()}" if pin else "as in force today",
    )


def _entry(entry: "Entry", now: str | None) -> EntryView:
    words = entry_words(entry)
    return EntryView(
        entry, words if now is None else f"{words}; by now {now}: measure again", now is not None
    )


def _step(s: "PinnedStep", entries: Sequence[EntryView], news: dict[Place, "StepNews"]) -> JobStep:
    mine = tuple(e for e in entries if _place(e.entry) == _place(s))
    by = tuple(n for n in dict.fromkeys((s.origin, *s.changed_by)) if n != "manual")
    return JobStep(s, mine, by, news.get(_place(s)))


def _place(at: "Entry | PinnedStep | StepNews") -> Place:
    return (key(at.publication), key(at.page), key(at.label))

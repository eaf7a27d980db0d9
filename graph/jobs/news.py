"""What changed for a job since its newest pin: steps, notes that were not considered, kits, doubts, holds.

A note counts by whether it was considered, never by its date: an old bulletin that was found later is news
to every job that was built without it. A rule of ours.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.jobs.job import Job, Pin, PinnedKit
from benchleaf.graph.jobs.measured import JudgedAnew, judged_anew
from benchleaf.graph.jobs.pin import job_ground, pinned_kits, pinned_step
from benchleaf.graph.jobs.procedure import JobProcedure, job_procedure
from benchleaf.graph.jobs.stepnews import StepNews, step_news
from benchleaf.graph.jobs.touching import Touching, touching_notes
from benchleaf.graph.keys import key
from benchleaf.graph.kits.holding import StandingHold
from benchleaf.graph.model import KitLine, Note, Statement
from benchleaf.graph.store import Store
from benchleaf.graph.supersession import current

__all__ = ["JobNews", "KitNews", "NoteNews", "StepNews", "job_news"]


@dataclass(frozen=True, slots=True)
class NoteNews:
    """A note that touches the job and was not considered when it was last pinned: why, in plain words."""

    note: Note
    why: tuple[str, ...]
    missed: str

    @property
    def sentence(self) -> str:
        """The note in one line, and what it does to the job."""
        date = self.note.date.isoformat() if self.note.date else "no date"
        return f"{self.note.number} ({date}) {'; '.join(self.why)}: {self.missed}"


@dataclass(frozen=True, slots=True)
class KitNews:
    """A kit of the job whose contents are told otherwise now, or that was replaced. `notes` say so."""

    kit: str
    was: tuple[KitLine, ...]
    now: tuple[KitLine, ...]
    replaced_by: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def changed(self) -> bool:
        """True if its contents are told otherwise now."""
        return _same(self.was) != _same(self.now)


@dataclass(frozen=True, slots=True)
class JobNews:
    """What a job must be told of. `steps`, `notes` and `kits` are news since the newest pin; `holds` and
    `doubts` (readings that could touch it) stand for as long as nobody settles them. `remarks` are sentences
    on the job itself: changed since the pin, or never pinned. `measured` are values that stand otherwise
    to the range in force now than when they were measured."""

    steps: tuple[StepNews, ...]
    notes: tuple[NoteNews, ...]
    kits: tuple[KitNews, ...]
    holds: tuple[StandingHold, ...]
    doubts: tuple[Statement, ...]
    shipped: dt.date | None
    remarks: tuple[str, ...] = ()
    measured: tuple[JudgedAnew, ...] = ()

    @property
    def empty(self) -> bool:
        """True if nothing changed since the newest pin."""
        return not (self.steps or self.notes or self.kits)

    @property
    def waits(self) -> bool:
        """True if somebody must look: something changed, a kit is on hold, or a value is judged otherwise."""
        return not self.empty or bool(self.holds or self.measured)

    @property
    def comeback(self) -> bool:
        """True for a shipped unit that something touches."""
        return self.shipped is not None and not self.empty

    @property
    def comeback_words(self) -> str:
        """Why a shipped unit may come back, and by which notes; empty if it may not."""
        if not self.comeback or self.shipped is None:
            return ""
        told = [n.note.number for n in self.notes]
        told += [n for s in self.steps for n in s.notes] + [n for k in self.kits for n in k.notes]
        by = ", ".join(dict.fromkeys(told)) or "papers that are read otherwise now"
        what = [f"step {s.label} on page {s.page}" for s in self.steps] + [f"kit {k.kit}" for k in self.kits]
        touched = f" It changes {', '.join(what)}." if what else " No step of it reads otherwise by now."
        return f"Possible comeback: shipped on {self.shipped.isoformat()} without {by}.{touched}"


def job_news(store: Store, job: Job, today: dt.date, procedure: JobProcedure | None = None) -> JobNews:
    """What changed for a job since its newest pin, as the papers stand today. `procedure` spares working it
    out again."""
    pin = store.newest_pin(job.number)
    now = procedure or job_procedure(store, job, today)
    kits = pinned_kits(store, job, today)
    fresh = tuple(map(pinned_step, now.steps))
    steps = (*(pin.steps if pin else ()), *fresh)
    touching = touching_notes(store, job_ground(job, steps, (*kits, *(pin.kits if pin else ()))))
    return JobNews(
        steps=step_news(pin.steps, fresh, touching) if pin else (),
        notes=_notes(job, pin, touching),
        kits=_kits(store, pin, kits, today),
        holds=now.holds,
        doubts=tuple(s for t in touching for s in t.doubtful),
        shipped=job.shipped,
        measured=judged_anew(store, job, now.steps, today),
        remarks=(*_remarks(store, job, pin), *(w for w in now.warnings if "is not to be found" in w)),
    )


def _notes(job: Job, pin: Pin | None, touching: Sequence[Touching]) -> tuple[NoteNews, ...]:
    """The notes in force that touch the job and were not considered."""
    considered = {(key(n.number), key(n.revision or ""), n.date) for n in pin.notes} if pin else set()
    numbers = {number for number, _, _ in considered}
    found = []
    for t in touching:
        mark = (key(t.note.number), key(t.note.revision or ""), t.note.date)
        if mark not in considered and t.note.cancelled_by is None:
            found.append(NoteNews(t.note, t.why, _missed(t.note, pin, known=mark[0] in numbers)))
    return tuple(found)


def _missed(note: Note, pin: Pin | None, *, known: bool) -> str:
    if pin is None:
        return "nothing was pinned for this job, so it may not have been considered"
    when = f"when the job was {pin.occasion} on {pin.day.isoformat()}"
    if known:
        return f"another date or revision of it was considered {when}"
    came = f"it came on {note.received.isoformat()} and " if note.received else "it "
    return f"{came}was not considered {when}"


def _kits(store: Store, pin: Pin | None, now: Sequence[PinnedKit], today: dt.date) -> tuple[KitNews, ...]:
    before = {key(k.kit): k for k in pin.kits} if pin else {}
    pairs = [(before[key(k.kit)], k) for k in now if key(k.kit) in before]
    told = [_kit(store, was, k, today) for was, k in pairs]
    return tuple(k for k in told if k is not None)


def _kit(store: Store, was: PinnedKit, now: PinnedKit, today: dt.date) -> KitNews | None:
    lines = _same(was.lines) != _same(now.lines)
    replaced = {key(n) for n in was.current} != {key(n) for n in now.current}
    if not lines and not replaced:
        return None
    path = current(now.kit, store.supersessions([key(now.kit)]), today).path if replaced else ()
    notes = [now.note or was.note if lines else None, *(s.note for s in path)]
    return KitNews(
        kit=now.kit,
        was=was.lines,
        now=now.lines,
        replaced_by=now.current if replaced else (),
        notes=tuple(dict.fromkeys(n for n in notes if n)),
    )


def _same(lines: Sequence[KitLine]) -> list[tuple[str, str, int]]:
    """Lines in a form that compares, whatever their order."""
    return sorted(
        (key(x.part or ""), x.description.casefold(), -1 if x.quantity is None else x.quantity) for x in lines
    )


BEARING = {
    "unit": "its unit",
    "kit": "a kit fitted",
    "without kit": "a kit taken out",
    "about": "what it is about",
}
"""The kinds of changes to a job by which other steps may be in force, in words."""


def _remarks(store: Store, job: Job, pin: Pin | None) -> tuple[str, ...]:
    said = []
    if job.doubts:
        unit = job.model or "no model"
        said.append(f"it is in doubt what unit this is; only notes that may hold for {unit} are looked at")
    if pin is None:
        return (*said, "no procedure was pinned when this job was opened: `job build` pins it")
    later = [BEARING[c.kind] for c in store.job_changes(job.number) if c.kind in BEARING and c.at > pin.at]
    if later:
        what = ", ".join(dict.fromkeys(later))
        when = f"{pin.occasion} on {pin.day.isoformat()}"
        said.append(f"the job itself was changed since it was {when}: {what}")
    return tuple(said)

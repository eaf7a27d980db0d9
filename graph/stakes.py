"""What hangs on a doubt: the unit in work, the step, the kit or the part that waits for a person's eye."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.applicability import covers
from benchleaf.graph.jobs.job import Job
from benchleaf.graph.keys import key, natural
from benchleaf.graph.model import (
    Cancels,
    Contents,
    Note,
    Override,
    Statement,
    Supersession,
    Target,
    Withdrawn,
)
from benchleaf.graph.places import same_place
from benchleaf.graph.store import Store

StakeKind = Literal["job", "step", "kit", "part", "note", "head", "not held"]
_RANKS: tuple[StakeKind, ...] = ("job", "step", "kit", "part", "note", "head", "not held")


@dataclass(frozen=True, slots=True)
class Stake:
    """What hangs on a doubt, for grouping: its kind, a heading, and the jobs in work that it may touch."""

    kind: StakeKind
    title: str
    jobs: tuple[str, ...] = ()

    @property
    def rank(self) -> int:
        """0 is most urgent."""
        return _RANKS.index(self.kind)


@dataclass(frozen=True, slots=True)
class Doubt:
    """A doubtful statement and what hangs on it."""

    statement: Statement
    stake: Stake


@dataclass(frozen=True, slots=True)
class HeadDoubt:
    """A note whose head is not clear, and what hangs on it."""

    note: Note
    stake: Stake


def doubts(store: Store, note: str | None = None) -> tuple[Doubt, ...]:
    """Every doubtful statement, or those of one note, the most urgent first."""
    jobs = [job for job in store.jobs() if job.state != "shipped"]
    found = [Doubt(s, stake_of(store, s, jobs)) for s in store.statements(note=note, standing="doubtful")]
    return tuple(sorted(found, key=_order))


def head_doubts(store: Store, note: str | None = None) -> tuple[HeadDoubt, ...]:
    """Every note, or each of one number, whose head is not clear, in order of number and date."""
    asked = store.notes() if note is None else store.notes_like(note)
    stake = Stake("head", "Heads of notes")
    return tuple(HeadDoubt(n, stake) for n in asked if n.unclear)


def stake_of(store: Store, statement: Statement, jobs: Iterable[Job]) -> Stake:
    """What hangs on a statement, a unit in work before all else."""
    usual = _usual(store, statement)
    if usual.kind == "not held":
        return usual
    touched = [job for job in jobs if _touches(store, statement, job)]
    if not touched:
        return usual
    units = ", ".join(_unit_words(job) for job in touched)
    return Stake("job", f"In work: {units}", tuple(job.number for job in touched))


def _usual(store: Store, statement: Statement) -> Stake:
    match statement:
        case Override(target=target):
            where = f"page {target.page}" if target.page else "a page not named"
            place = f"{target.publication or 'a publication not named'}, {where}"
            if _is_held(store, target):
                return Stake("step", f"Steps of {place}")
            return Stake("not held", f"Not held: {place}")
        case Contents(kit=kit):
            return Stake("kit", f"Contents of kit {kit}")
        case Cancels(cancels=number):
            if store.notes_like(number):
                return Stake("note", "Notes in force")
            return Stake("not held", f"Not held: note {number}")
    return Stake("part", "Part numbers")


def _is_held(store: Store, target: Target) -> bool:
    """Whether the publication, and the page where one is named, are held; a publication not named may be."""
    number = target.publication
    held = store.publications() if number is None else store.publications_like(number)
    if target.page is None:
        return bool(held)
    return any(same_place(page.page, target.page) for manual in held for page in manual.pages)


def _touches(store: Store, statement: Statement, job: Job) -> bool:
    """Whether a statement may bear on a unit in work. What cannot be told counts: the doubt comes first."""
    kits = {key(kit) for kit in job.kits}
    match statement:
        case Override():
            cover = covers(statement.applies, job.unit)
            return cover.answer != "no" and _in_its_book(store, statement.target, job)
        case Contents():
            return key(statement.kit) in kits
        case Supersession():
            return bool(kits & {key(n) for n in (*statement.old, *statement.new)})
        case Withdrawn():
            return key(statement.part) in kits
    return False


def _in_its_book(store: Store, target: Target, job: Job) -> bool:
    if target.publication is None or job.model is None:
        return True
    models = {key(m) for manual in store.publications_like(target.publication) for m in manual.models}
    return not models or key(job.model) in models


def _unit_words(job: Job) -> str:
    return f"job {job.number} ({job.words})" if job.model or job.serial else f"job {job.number}"


def _order(doubt: Doubt) -> tuple[int, object, str, object, int]:
    s = doubt.statement
    item = natural(s.target.item or "") if isinstance(s, Override) else ()
    return (doubt.stake.rank, natural(doubt.stake.title), doubt.stake.title, item, s.id or 0)

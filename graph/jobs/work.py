"""What is done with a job: opened, changed, built, shipped; every step of it signed and kept.

Everything here is called inside `with store.transaction():`, so that a job is changed wholly or not at all.
"""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from benchleaf.graph.db.holds import write_came
from benchleaf.graph.errors import BenchleafError, WrongUse
from benchleaf.graph.jobs.job import About, ChangeKind, Job
from benchleaf.graph.jobs.news import JobNews, job_news
from benchleaf.graph.jobs.pin import pin_of
from benchleaf.graph.jobs.procedure import job_procedure, known_kits
from benchleaf.graph.keys import key
from benchleaf.graph.kits.received import Received
from benchleaf.graph.store import Store

_SIGNS = "=:"


class KitOnHold(BenchleafError):
    """A job cannot be built while a kit that it uses is on hold."""


@dataclass(frozen=True, slots=True)
class Told:
    """What is said of a job, when it is opened or later; whatever is empty is left as it is.

    `plate` are pairs of name and value, `without` kits that are taken out of the job.
    """

    model: str | None = None
    serial: str | None = None
    date_of_build: dt.date | None = None
    plate: tuple[tuple[str, str], ...] = ()
    doubts: tuple[str, ...] = ()
    kits: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    about: tuple[About, ...] = ()
    found: tuple[Received, ...] = ()
    found_remarks: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def empty(self) -> bool:
        """True if nothing is said."""
        return self == Told()


@dataclass(frozen=True, slots=True)
class Built:
    """A job that was built, and what had been news to it until then."""

    job: Job
    before: JobNews


def plate_line(words: str) -> tuple[str, str]:
    """A line of the plate: `RATIO = 3.08` is name and value. Raises WrongUse for one without either.

    >>> plate_line("Ratio: 3.08 = final")
    ('Ratio', '3.08 = final')
    """
    at = min((i for i in map(words.find, _SIGNS) if i >= 0), default=-1)
    name, value = " ".join(words[: max(at, 0)].split()), " ".join(words[at + 1 :].split())
    if at < 0 or not name or not value:
        raise WrongUse(f"“{words}” is no line of a plate", 'Write it as --plate "name = value".')
    return name, value


def open_job(store: Store, number: str, told: Told, initials: str, at: dt.datetime) -> Job:
    """Opens a job, and pins what is in force for it.

    Raises WrongUse for a number that is in use or where nothing tells which procedure is meant, and NotHeld,
    with the nearest, for a model, publication, page, section or kit that is not held.
    """
    if told.without:
        raise WrongUse("a kit is taken out of a job that is open already")
    store.open_job(number, None, None, (), at.date(), initials=initials, at=at)
    job = _write(store, number, told, initials, at)
    procedure = job_procedure(store, job, at.date(), strict=True)
    store.pin_job(number, pin_of(store, job, procedure, "opened", initials, at))
    return job


def change_job(store: Store, number: str, told: Told, initials: str, at: dt.datetime) -> Job:
    """Writes more down about a job; what was written before is kept. What is pinned stays as it is.

    Raises as `open_job` does, and WrongUse if nothing is said.
    """
    job = store.job_or_stop(number)
    if told.empty:
        raise WrongUse("nothing is said that would change the job", "See benchleaf job change --help.")
    strange = [k for k in told.without if key(k) not in {key(x) for x in job.kits}]
    if strange:
        has = ", ".join(job.kits) or "none"
        raise WrongUse(f"kit {strange[0]} is not in job {job.number}", f"Its kits: {has}.")
    changed = _write(store, number, told, initials, at)
    if told.model or told.about or told.kits:
        job_procedure(store, changed, at.date(), strict=bool(told.model or told.about))
    return changed


def build_job(store: Store, number: str, initials: str, at: dt.datetime, despite: str | None = None) -> Built:
    """Sets a job built, and pins what is in force for it; a built job may be built again.

    Raises KitOnHold while a kit that it uses is on hold, unless a reason is given `despite` it, which is
    kept; WrongUse for a shipped job.
    """
    job = store.job_or_stop(number)
    procedure = job_procedure(store, job, at.date())
    before = job_news(store, job, at.date(), procedure)
    if procedure.holds:
        if not (despite or "").strip():
            held = "; ".join(h.sentence for h in procedure.holds)
            remedy = (
                f"Lift it (benchleaf kit {procedure.holds[0].kit} --lift), or give --despite-hold a reason."
            )
            raise KitOnHold(f"job {job.number} is not built: {held}", remedy)
        said = [("words", (despite or "").strip())]
        said += [("hold", h.sentence) for h in procedure.holds]
        store.change_job(number, "despite hold", said, initials, at)
    store.move_job(number, "built", at.date(), initials=initials, at=at)
    store.pin_job(number, pin_of(store, job, procedure, "built", initials, at))
    return Built(store.job_or_stop(number), before)


def ship_job(store: Store, number: str, initials: str, at: dt.datetime) -> Job:
    """Sets a built job shipped. Raises WrongUse for one that was not built, or is shipped already."""
    job = store.job_or_stop(number)
    if job.state == "opened":
        raise WrongUse(f"job {job.number} is not built yet", f"First: benchleaf job build {job.number}")
    return store.move_job(number, "shipped", at.date(), initials=initials, at=at)


def _write(store: Store, number: str, told: Told, initials: str, at: dt.datetime) -> Job:
    for kind, body in _lines(store, number, told):
        store.change_job(number, kind, body, initials, at)
    return store.job_or_stop(number)


def _lines(store: Store, number: str, told: Told) -> Iterable[tuple[ChangeKind, list[tuple[str, str]]]]:
    built = told.date_of_build.isoformat() if told.date_of_build else ""
    unit = [("model", told.model or ""), ("serial", told.serial or ""), ("built", built)]
    if any(value for _, value in unit):
        yield "unit", [(name, value.strip()) for name, value in unit if value]
    for line in told.plate:
        yield "plate", [line]
    for kit in told.without:
        yield "without kit", [("kit", kit)]
    held = {key(k) for k in store.job_or_stop(number).kits}
    for kit in dict.fromkeys(known_kits(store, told.kits)):
        if key(kit) not in held:
            yield "kit", [("kit", kit)]
    for about in told.about:
        named = (("publication", about.publication), ("page", about.page), ("section", about.section))
        yield "about", [(name, value) for name, value in named if value]
    if told.found:
        yield "found", [("lines", write_came(told.found) or "[]")]
    yield from (("found remark", [("words", words)]) for words in told.found_remarks)
    yield from (("doubt", [("words", words)]) for words in told.doubts)
    yield from (("remark", [("words", words)]) for words in told.remarks)

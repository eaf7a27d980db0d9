"""What is done with a job: measured, changed, set built, set shipped; every step of it signed and kept."""

import datetime as dt
from collections.abc import Callable

from benchleaf.cli.desk import signing
from benchleaf.cli.desk.addresses import job_address
from benchleaf.cli.desk.jobdesk import seen_job, seen_step
from benchleaf.cli.desk.jobform import Filled, filled, plain, said
from benchleaf.cli.desk.pages.jobs import job_page
from benchleaf.cli.desk.show import desk, writing
from benchleaf.cli.show_job import entry_words, news_words
from benchleaf.graph.errors import BenchleafError, StoreProblem, WrongUse
from benchleaf.graph.jobs.answer import job_answer
from benchleaf.graph.jobs.job import Entry
from benchleaf.graph.jobs.measured import enter_value, find_step
from benchleaf.graph.jobs.work import KitOnHold, build_job, change_job, ship_job
from benchleaf.graph.store import Store
from flask import Blueprint, flash, redirect, request
from werkzeug.wrappers import Response

blueprint = Blueprint("jobwork", __name__)
Work = Callable[[Store, str, str, dt.datetime], str]
"""What is done with a job, by whom and when; what is told of it."""
_LOOK_AGAIN = WrongUse(
    "the job was changed meanwhile, by another person or by a new paper", "Look at it again, then send it."
)


@blueprint.post("/jobs/measure")
def measured() -> Response:
    """Writes a measured value down at a step, if the step still is the one that was shown."""

    def work(held: Store, number: str, by: str, at: dt.datetime) -> str:
        book, page, label = said("publication"), said("page"), said("label")
        step = find_step(held, held.job_or_stop(number), book, page, label, at.date())
        if seen_step(step) != request.form.get("seen"):
            raise WrongUse(
                f"“{said('value')}” is not written down: step {label} on page {page} reads otherwise by now",
                "Look at it again, then measure.",
            )
        return _entered(
            enter_value(held, number, book, page, label, said("value"), by, at, said("which") or None)
        )

    return _done(work, request.form.get("at", ""))


def _entered(entry: Entry) -> str:
    where = f"{entry.value} is written down at step {entry.label} on page {entry.page}"
    words = entry_words(entry)
    return f"{where}: {words}." if words else f"{where}."


@blueprint.post("/jobs/built")
def built() -> Response:
    """Sets a job built, if nothing came since its page was shown; refused while a kit of it is on hold."""

    def work(held: Store, number: str, by: str, at: dt.datetime) -> str:
        _as_shown(held, number)
        done = build_job(held, number, by, at, said("despite") or None)
        told = f"Job {done.job.number} is built, and what is in force for it is pinned."
        if done.before.empty:
            return told
        return f"{told} Pinned as considered: {news_words(done.before)}."

    return _done(work)


@blueprint.post("/jobs/shipped")
def shipped() -> Response:
    """Sets a job shipped, if nothing came since its page was shown."""

    def work(held: Store, number: str, by: str, at: dt.datetime) -> str:
        _as_shown(held, number)
        return f"Job {ship_job(held, number, by, at).number} is shipped."

    return _done(work)


@blueprint.post("/jobs/change")
def changed() -> Response | tuple[str, int]:
    """Writes more down about a job; what cannot be taken is told above the form as it was filled."""
    number = request.form.get("number", "")
    form = Filled()
    try:
        form = filled()
        by, now = signing.signer(), dt.datetime.now().astimezone()
        with writing() as held, held.transaction():
            job = change_job(held, number, form.told(), by, now)
    except StoreProblem:
        raise
    except BenchleafError as error:
        return job_page(number, form, plain(error)), 400
    flash(f"It is written down for job {job.number}.")
    return redirect(job_address(job.number))


@blueprint.post("/jobs/signer")
def other_signer() -> Response:
    """Asks for initials anew, with the next form."""
    signing.forget()
    return redirect(job_address(request.form.get("number", "")))


def _as_shown(held: Store, number: str) -> None:
    """Raises WrongUse if the job, its news or its steps are not those that the form's page showed."""
    if seen_job(job_answer(held, number, desk().today())) != request.form.get("seen"):
        raise _LOOK_AGAIN


def _done(work: Work, at: str = "") -> Response:
    """Does it in one transaction, and leads back to the job with what was done, or why it was not."""
    number = request.form.get("number", "")
    try:
        by, now = signing.signer(), dt.datetime.now().astimezone()
        with writing() as held, held.transaction():
            told = work(held, number, by, now)
    except StoreProblem:
        raise
    except KitOnHold as error:
        words = error.message.rstrip(".")
        flash(f"{words[:1].upper()}{words[1:]}. {_HELD}")
        return redirect(f"{job_address(number)}#work")
    except BenchleafError as error:
        flash(plain(error))
        return redirect(job_address(number))
    flash(told)
    place = f"#at-{at}" if at.isascii() and at.isdecimal() and len(at) < 6 else ""
    return redirect(job_address(number) + place)


_HELD = "Lift the hold at the kit, or say below why it is built despite it."

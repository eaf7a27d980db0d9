"""Units in work: the jobs with what is news to each, a job's card, and the form that opens one."""

import datetime as dt
from typing import TYPE_CHECKING

from benchleaf.cli.desk import signing
from benchleaf.cli.desk.addresses import job_address
from benchleaf.cli.desk.jobdesk import job_desk
from benchleaf.cli.desk.jobform import Filled, filled, plain
from benchleaf.cli.desk.jobsnow import Jobs, JobsNow
from benchleaf.cli.desk.show import asked, desk, download, store, writing
from benchleaf.cli.sheets.files import file_name
from benchleaf.cli.sheets.jobview import job_view
from benchleaf.cli.sheets.render import sheet
from benchleaf.cli.sheets.stamp import stamp
from benchleaf.cli.show_job import news_words, state_words
from benchleaf.graph.errors import BenchleafError, NotHeld, StoreProblem, WrongUse
from benchleaf.graph.jobs.work import open_job
from flask import Blueprint, current_app, flash, redirect, render_template
from werkzeug.wrappers import Response

if TYPE_CHECKING:
    from benchleaf.cli.desk.show import DeskStore
    from benchleaf.graph.jobs.answer import JobAnswer

blueprint = Blueprint("jobs", __name__)
MOST_SHIPPED = 100
"""Shipped jobs without news on the list; a job's number leads to any."""


def jobs_now(held: "DeskStore") -> Jobs:
    """The jobs with their news."""
    return _kept().of(held, desk().today())


def _kept() -> JobsNow:
    kept: JobsNow = current_app.extensions.setdefault("benchleaf-jobs", JobsNow())
    return kept


def _answer(number: str) -> "JobAnswer":
    return _kept().answer(store(), number, desk().today())


@blueprint.get("/jobs")
def held() -> str:
    """Every job: open, built, then the shipped ones that may come back; and the form that opens one."""
    return _list(filled(), "")


@blueprint.post("/jobs/open")
def opened() -> Response | tuple[str, int]:
    """Opens a job; what cannot be opened is told above the form as it was filled."""
    form = Filled()
    try:
        form = filled()
        by, now = signing.signer(), dt.datetime.now().astimezone()
        with writing() as opened_store, opened_store.transaction():
            job = open_job(opened_store, form.number, form.told(), by, now)
    except StoreProblem:
        raise
    except BenchleafError as error:
        return _list(form, plain(error)), 400
    flash(f"Job {job.number} is open, and what is in force for it is pinned.")
    return redirect(job_address(job.number))


def _list(form: Filled, problem: str, lost: NotHeld | None = None) -> str:
    opened_store = store()
    return render_template(
        "jobs.html",
        jobs=jobs_now(opened_store),
        most_shipped=MOST_SHIPPED,
        news_words=news_words,
        state_words=state_words,
        filled=form,
        problem=problem,
        lost=lost,
        publications=tuple(dict.fromkeys(b.number for b in opened_store.book_heads())),
        models=opened_store.models_held(),
        initials=signing.initials(),
    )


@blueprint.get("/job/<number>")
def job(number: str) -> str | tuple[str, int]:
    """A job: its news first, then what is kept of it, with a form at each step."""
    try:
        return job_page(number, Filled(), "")
    except NotHeld as error:
        return _list(Filled(), "", error), 404


@blueprint.get("/job")
def job_asked() -> str | tuple[str, int]:
    """The same, for numbers that do not go into an address."""
    return job(_number())


@blueprint.get("/sheet/job")
def job_sheet() -> Response:
    """The job's card as a sheet: one file, whole in itself."""
    card = job_view(_answer(_number()))
    made = stamp(store(), card.considered, desk().today())
    return download(sheet("job.html", stamp=made, job=card), file_name(f"job {card.answer.job.number}"))


def job_page(number: str, form: Filled, problem: str) -> str:
    """The page of a job; `form` is what was typed into the form that changes it, `problem` why it was not
    taken."""
    answer = _answer(number)
    return render_template(
        "job_desk.html",
        page=job_desk(answer),
        filled=form,
        problem=problem,
        publications=tuple(dict.fromkeys(b.number for b in store().book_heads())),
        initials=signing.initials(),
    )


def _number() -> str:
    number = asked("number")
    if number is None:
        raise WrongUse("no job number is given", "Choose the job from the list of jobs.")
    return number

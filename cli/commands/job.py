"""`benchleaf job`: units in work, opened, built and shipped."""

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click
from benchleaf.cli.options import DAY, as_json, examples, initials_of, signed
from benchleaf.cli.session import Session
from benchleaf.graph.errors import WrongUse

if TYPE_CHECKING:
    from benchleaf.graph.jobs.answer import JobAnswer
    from benchleaf.graph.jobs.job import Entry
    from benchleaf.graph.jobs.work import Built, Told
    from benchleaf.graph.store import Store

EXAMPLES = examples(
    "job open 2611 --model G8 --serial 10233 --kit 4471-208 \\\n      --page 4-12 --initials AB",
    'job change 2611 --found "9 friction disc, 9 steel disc" \\\n        --initials AB',
    'job measure 2611 "1.35 mm" --page 4-12 --step 6 --initials AB',
    "job build 2611 --initials AB",
    "job show 2611",
    "job list --state shipped",
)


@click.group("job", epilog=EXAMPLES)
def command() -> None:
    """Units in work: opened, built, shipped.

    When a job is opened, and again when it is built, the procedure in force is pinned with the notes that
    were considered. A note that comes later, or an old one that is found later, is news to every job that it
    touches: open jobs first, then shipped ones as possible comebacks. Nothing is deleted; every change is
    kept with its initials. Every one takes --json. Exit status 1 while news wait or a kit is on hold.
    """


def told(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add what can be said of a job, when it is opened or later."""
    options = (
        click.option("--model", metavar="M", help="The unit's model."),
        click.option("--serial", metavar="S", help="The unit's serial number."),
        click.option("--built", "date_of_build", metavar="DATE", type=DAY, help="The unit's date of build."),
        click.option("--plate", metavar="LINE", multiple=True, help='A line of its plate: "name = value".'),
        click.option("--kit", "kits", metavar="NUMBER", multiple=True, help="A kit to be built in."),
        click.option("--pub", "--publication", "publication", metavar="PUB", help="The publication."),
        click.option("--page", "pages", metavar="P", multiple=True, help="A page that is to be worked by."),
        click.option(
            "--section", "sections", metavar="WORDS", multiple=True, help="A section, by its heading."
        ),
        click.option("--found", metavar="WORDS", help="What was in it, as `kit --got` takes it."),
        click.option("--found-remark", metavar="WORDS", multiple=True, help="What was seen at teardown."),
        click.option(
            "--doubt", metavar="WORDS", multiple=True, help="A doubt about what unit it is (mixed parts)."
        ),
        click.option("--remark", metavar="WORDS", multiple=True, help="Anything else to be kept."),
    )
    for option in reversed(options):
        function = option(function)
    return function


def _told(
    publication: str | None,
    pages: tuple[str, ...],
    sections: tuple[str, ...],
    plate: tuple[str, ...],
    found: str | None,
    found_remark: tuple[str, ...],
    doubt: tuple[str, ...],
    remark: tuple[str, ...],
    **unit: Any,
) -> "Told":
    from benchleaf.graph.jobs.job import About
    from benchleaf.graph.jobs.work import Told, plate_line
    from benchleaf.graph.kits.received import parse_got

    about = [About(publication, page=p) for p in pages] + [About(publication, section=s) for s in sections]
    return Told(
        about=tuple(about or ([About(publication)] if publication else [])),
        plate=tuple(map(plate_line, plate)),
        found=parse_got(found) if found is not None else (),
        found_remarks=_lines(found_remark),
        doubts=_lines(doubt),
        remarks=_lines(remark),
        **unit,
    )


def _lines(said: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(line for words in said if (line := " ".join(words.split())))


def _now() -> dt.datetime:
    return dt.datetime.now().astimezone()


@command.command("open", short_help="Open a job and pin the procedure in force.")
@click.argument("number")
@told
@signed
@as_json
@click.pass_obj
def open_command(session: Session, /, number: str, initials: str | None, as_json: bool, **said: Any) -> int:
    """Open a job under the shop's own NUMBER, and pin the procedure in force.

    Options but --model, --serial, --built, --pub and --found may be repeated.
    """
    from benchleaf.graph.jobs.work import open_job

    by, now = initials_of(initials), _now()
    with session.write() as store:
        with store.transaction():
            job = open_job(store, number, _told(**said), by, now)
        return _show(session, store, job.number, as_json)


@command.command("list", short_help="The jobs and what is news to each.")
@click.option(
    "--state", type=click.Choice(["opened", "open", "built", "shipped"]), help="Only jobs in this state."
)
@as_json
@click.pass_obj
def list_command(session: Session, /, state: str | None, as_json: bool) -> int:
    """The jobs, in work first, then the shipped ones, each with what is news to it."""
    from benchleaf.graph.jobs.touched import jobs_with_news

    wanted: Any = "opened" if state == "open" else state
    with session.read() as store:
        jobs = jobs_with_news(store, store.jobs(wanted), dt.date.today())
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_job import list_shape

        show(list_shape(jobs))
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_job import show_jobs

        show_jobs(Screen(), jobs)
    return 1 if any(t.news.waits for t in jobs) else 0


@command.command("show", short_help="One job, its news first.")
@click.argument("number")
@as_json
@click.pass_obj
def show_command(session: Session, /, number: str, as_json: bool) -> int:
    """One job: what is news to it first, then everything that is kept of it."""
    with session.read() as store:
        return _show(session, store, number, as_json)


@command.command("change", short_help="Write more down about a job.")
@click.argument("number")
@told
@click.option("--without-kit", "without", metavar="NUMBER", multiple=True, help="A kit not built in.")
@signed
@as_json
@click.pass_obj
def change_command(session: Session, /, number: str, initials: str | None, as_json: bool, **said: Any) -> int:
    """Write more down about a job; what was written before is kept."""
    from benchleaf.graph.jobs.work import change_job

    by, now = initials_of(initials), _now()
    with session.write() as store:
        with store.transaction():
            change_job(store, number, _told(**said), by, now)
        return _show(session, store, number, as_json)


@command.command("measure", short_help="Write down what was measured at a step.")
@click.argument("number")
@click.argument("value")
@click.option("--pub", "--publication", "publication", metavar="PUB", help="The publication, if several.")
@click.option("--page", metavar="P", required=True, help="The printed page.")
@click.option("--step", "--item", "step", metavar="N", required=True, help="The step's number.")
@click.option("--which", metavar="WORDS", help="Words beside the value meant, where a step gives several.")
@signed
@as_json
@click.pass_obj
def measure_command(
    session: Session,
    /,
    number: str,
    value: str,
    publication: str | None,
    page: str,
    step: str,
    which: str | None,
    initials: str | None,
    as_json: bool,
) -> int:
    """Write down what was measured at a step, and how it stands to the range in force.

    A later value stands beside the earlier one. What is no value, such as "done", is kept as it is. Exit
    status 1 for a value that is outside its range or in doubt.
    """
    from benchleaf.graph.jobs.measured import enter_value

    by, now = initials_of(initials), _now()
    with session.write() as store:
        with store.transaction():
            entry = enter_value(store, number, publication, page, step, value, by, now, which)
        if as_json:
            _print(_answer(store, number))
        else:
            _show_entry(entry)
    return 1 if entry.verdict in ("below", "above", "in doubt") else 0


def _show_entry(entry: "Entry") -> None:
    from benchleaf.cli.screen import Screen
    from benchleaf.cli.show_job import show_entry

    show_entry(Screen(), entry)


@command.command("build")
@click.argument("number")
@click.option("--despite-hold", metavar="REASON", help="Why it is built with a kit on hold; kept for ever.")
@signed
@as_json
@click.pass_obj
def build_command(
    session: Session, /, number: str, despite_hold: str | None, initials: str | None, as_json: bool
) -> int:
    """Set a job built, and pin the procedure in force.

    What changed since it was opened is told first. It is refused while a kit of it is on hold.
    """
    from benchleaf.graph.jobs.work import build_job

    by, now = initials_of(initials), _now()
    if despite_hold is not None and not despite_hold.strip():
        raise WrongUse("building despite a hold needs a reason", 'Write it as --despite-hold "…".')
    with session.write() as store:
        with store.transaction():
            built = build_job(store, number, by, now, despite_hold)
        return _show(session, store, number, as_json, built)


@command.command("ship")
@click.argument("number")
@signed
@as_json
@click.pass_obj
def ship_command(session: Session, /, number: str, initials: str | None, as_json: bool) -> int:
    """Set a built job shipped. Later news to it make it a possible comeback."""
    from benchleaf.graph.jobs.work import ship_job

    by, now = initials_of(initials), _now()
    with session.write() as store:
        with store.transaction():
            ship_job(store, number, by, now)
        return _show(session, store, number, as_json)


def _answer(store: "Store", number: str) -> "JobAnswer":
    from benchleaf.graph.jobs.answer import job_answer

    return job_answer(store, number, dt.date.today())


def _print(answer: "JobAnswer", built: "Built | None" = None) -> None:
    from benchleaf.cli.shapes import show
    from benchleaf.cli.shapes_job import job_shape, news_shape

    before = {} if built is None else {"before": news_shape(built.before)}
    show({"job": job_shape(answer), **before})


def _show(session: Session, store: "Store", number: str, as_json: bool, built: "Built | None" = None) -> int:
    """Show the job as it is now; 1 while news wait."""
    answer = _answer(store, number)
    if as_json:
        _print(answer, built)
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_job import show_before, show_job

        screen = Screen()
        if built is not None:
            show_before(screen, built.before)
        show_job(screen, answer, session.words)
    return 1 if answer.news.waits else 0

"""`benchleaf week`: the weekly report."""

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click
from benchleaf.cli.options import DAY, as_json, examples
from benchleaf.cli.session import Session
from benchleaf.graph.errors import WrongUse

if TYPE_CHECKING:
    from benchleaf.graph.week import WeekAnswer

EXAMPLES = examples(
    "week",
    "week --week 2026-W48",
    "week --since 2026-11-01 --json",
    "week --csv week.csv",
)


@click.command("week", epilog=EXAMPLES)
@click.option("--week", metavar="WEEK", help="An ISO week, such as 2026-W48. Without it: this week.")
@click.option("--since", metavar="DATE", type=DAY, help="From that day to today.")
@click.option(
    "--csv",
    "csv",
    metavar="FILE",
    type=click.Path(dir_okay=False, allow_dash=True, path_type=Path),
    help="Write it as CSV; - is standard output.",
)
@as_json
@click.pass_obj
def command(
    session: Session, week: str | None, since: dt.date | None, csv: Path | None, as_json: bool
) -> int:
    """The weekly report: what the notes received in a week change, by unit, and which jobs they touch.

    A note counts in the week in which the shop received it, whatever date it bears: an old bulletin found
    today is news. Jobs in work come first, then shipped ones as possible comebacks.

    \b
    Once a week by cron (Fridays at 15:00), or by Windows' Task Scheduler:
      0 15 * * 5 benchleaf week --csv $HOME/week.csv
      schtasks /create /sc weekly /tn week /tr "benchleaf week --csv C:\\week.csv"
    """
    from benchleaf.graph.week import week_answer

    if csv is not None and as_json:
        raise WrongUse("--csv and --json are both given", "Give one of them.")
    with session.read() as store:
        answer = week_answer(store, week, since, dt.date.today())
    if csv is not None:
        _write(answer, csv)
    elif as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_week import week_shape

        show(week_shape(answer))
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_week import show_week

        show_week(Screen(), answer)
    return 0


def _write(answer: "WeekAnswer", file: Path) -> None:
    """Write the report as CSV in UTF-8; a file begins with the mark by which spreadsheets know it."""
    from benchleaf.cli.csv_week import week_csv
    from benchleaf.cli.whole import write_whole

    words = week_csv(answer)
    if str(file) == "-":
        click.echo(words.encode("utf-8"), nl=False)
        return
    try:
        write_whole(file, words.encode("utf-8-sig"))
    except OSError as error:
        problem = f"the report cannot be written to {file}: {error.strerror}"
        raise WrongUse(problem, "Choose another --csv.") from error
    click.echo(f"Written: {file}", err=True)

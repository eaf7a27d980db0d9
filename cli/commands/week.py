"""`benchleaf week`: the weekly report."""

import datetime as dt

import click
from benchleaf.cli.options import DAY, as_json, examples
from benchleaf.cli.session import Session

EXAMPLES = examples("week", "week --week 2026-W48", "week --since 2026-11-01 --json")


@click.command("week", epilog=EXAMPLES)
@click.option("--week", metavar="WEEK", help="An ISO week, such as 2026-W48. Without it: this week.")
@click.option("--since", metavar="DATE", type=DAY, help="From that day to today.")
@as_json
@click.pass_obj
def command(session: Session, week: str | None, since: dt.date | None, as_json: bool) -> int:
    """The weekly report: what the notes received in a week change, by unit.

    A note counts in the week in which the shop received it, whatever date it bears: an old bulletin found
    today is news.
    """
    from benchleaf.graph.week import week_answer

    with session.read() as store:
        answer = week_answer(store, week, since, dt.date.today())
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_week import week_shape

        show(week_shape(answer))
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_week import show_week

        show_week(Screen(), answer)
    return 0

"""The weekly report, and what is cited but not held."""

import datetime as dt
from contextlib import suppress

from benchleaf.cli.desk.show import again, asked, day_asked, desk, download, store
from benchleaf.cli.sheets.files import file_name
from benchleaf.cli.sheets.render import sheet
from benchleaf.cli.sheets.stamp import stamp
from benchleaf.cli.sheets.weekview import WeekView, week_view
from benchleaf.graph.missing import missing_answer
from benchleaf.graph.week import week_answer
from flask import Blueprint, render_template
from werkzeug.wrappers import Response as AnyResponse

blueprint = Blueprint("weeks", __name__)


def _view() -> WeekView:
    since = day_asked("since")
    answer = week_answer(store(), None if since else asked("week"), since, desk().today())
    return week_view(store(), answer)


@blueprint.get("/week")
def week() -> str:
    """What the notes received in a week change."""
    view = _view()
    return render_template(
        "week_desk.html",
        week=view,
        since=asked("since"),
        before=_week_of(view.answer.first, -1),
        after=_week_of(view.answer.first, 1),
        sheet_at=again("weeks.week_sheet", "week", "since"),
    )


@blueprint.get("/sheet/week")
def week_sheet() -> AnyResponse:
    """The report as a sheet: one file, whole in itself."""
    view = _view()
    made = stamp(store(), [n.number for n in view.answer.notes], desk().today())
    name = file_name(f"week {view.answer.week or view.answer.first.isoformat()}")
    return download(sheet("week.html", stamp=made, week=view), name)


@blueprint.get("/missing")
def missing() -> str:
    """Publications, pages and notes that are cited but not held."""
    return render_template("missing.html", missing=missing_answer(store()))


def _week_of(day: dt.date, later: int) -> str:
    """The week so many weeks later; that of the day itself at either end of the calendar."""
    with suppress(OverflowError):
        day += dt.timedelta(weeks=later)
    year, number, _ = day.isocalendar()
    return f"{year}-W{number:02d}"

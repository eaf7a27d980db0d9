"""A value measured at the bench, judged against the step in force."""

from typing import TYPE_CHECKING

from benchleaf.cli.desk.pages.procedures import question_asked
from benchleaf.cli.desk.show import asked, desk, store
from benchleaf.cli.sheets.measureview import measure_view
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.measure import MeasureQuestion, measure_answer
from benchleaf.graph.page import page_answer
from benchleaf.graph.places import best_places
from benchleaf.graph.quantities.units import OWN_UNITS, load
from flask import Blueprint, render_template

if TYPE_CHECKING:
    from benchleaf.graph.page import PageItem

blueprint = Blueprint("measures", __name__)


@blueprint.get("/measure")
def measure() -> str:
    """The form, and the verdict on the value typed into it."""
    q = question_asked()
    item, value = asked("item"), asked("value")
    if q.publication is None or q.page is None or item is None:
        raise WrongUse("a value is judged at a step of a page", "Open the page, and measure from its step.")
    view = None
    if value is not None:
        place = (q.publication, q.page, item, q.model, q.serial, q.kits, q.on, q.built)
        question = MeasureQuestion(value, *place, asked("which"), asked("unit"))
        view = measure_view(store(), measure_answer(store(), question, load(desk().folder / OWN_UNITS)))
    step = None if view else _step(q.publication, q.page, item)
    told = {"which": asked("which"), "unit": asked("unit"), "on": asked("on")}
    return render_template("measure.html", q=q, item=item, value=value, view=view, step=step, **told)


def _step(publication: str, page: str, item: str) -> "PageItem | None":
    """The step as it stands on the page, for no unit in particular; None for one that a note inserted."""
    found = best_places(item, page_answer(store(), publication, page).items, lambda i: i.item)
    return found[0] if found else None

"""A part number: what it became, what it was, and where it is used."""

from benchleaf.cli.desk.show import asked, day_asked, store
from benchleaf.cli.sheets.partview import part_view
from benchleaf.cli.sheets.wording import part_verdict
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.part import part_answer
from flask import Blueprint, render_template

blueprint = Blueprint("parts", __name__)


@blueprint.get("/part")
def part() -> str | tuple[str, int]:
    """A part number with its history as a picture; near numbers where it is not known."""
    number = asked("number")
    if number is None:
        raise WrongUse("no part number is given", "Type it into the box.")
    on = day_asked("on")
    answer = part_answer(store(), number, on)
    verdict = part_verdict(answer) if answer.part is not None else ""
    shown = part_view(store(), answer, on)
    kit = bool(store().contents(number) or store().manual_contents(number))
    page = render_template("part.html", part=shown, verdict=verdict, on=on, kit=kit)
    return page if answer.part is not None else (page, 404)

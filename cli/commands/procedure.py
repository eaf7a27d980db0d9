"""`benchleaf procedure`: the steps in force for a unit, a kit and a date."""

import datetime as dt
from typing import TYPE_CHECKING

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session
from benchleaf.cli.unitoptions import AskedUnit, of_unit

if TYPE_CHECKING:
    from benchleaf.graph.procedure import ProcedureAnswer
    from benchleaf.graph.store import Store

EXAMPLES = examples(
    "procedure --model G8 --serial 10233 --page 4-12",
    'procedure --model G8 --section "disc pack" --kit 4471-208',
    "procedure --pub MS-40 --page 4-12 --on 2024-06-30 --json",
)


@click.command("procedure", epilog=EXAMPLES)
@click.option("--pub", "--publication", "publication", metavar="PUB", help="The publication.")
@click.option("--page", metavar="P", help="Only this printed page.")
@click.option("--section", metavar="WORDS", help="Only the section with such a heading.")
@of_unit
@as_json
@click.pass_obj
def command(
    session: Session,
    publication: str | None,
    page: str | None,
    section: str | None,
    asked: AskedUnit,
    as_json: bool,
) -> int:
    """The steps in force for a unit, a kit and a date: a sheet to work from.

    A step says where its words are from. What depends on something not given (the serial number, say) says
    so; doubtful readings change nothing and are named. With an older kit from the shelf the older step holds.
    A kit on hold that these steps use is told first. Exit status 1 then.
    """
    from benchleaf.graph.procedure import ProcedureQuestion, procedure_answer

    question = ProcedureQuestion(
        publication, page, section, asked.model, asked.serial, asked.kits, asked.on, asked.built
    )
    with session.read() as store:
        answer = procedure_answer(store, question)
        dates = _dates(store, answer)
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_answers import procedure_shape

        show(procedure_shape(answer))
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_procedure import show_procedure

        show_procedure(Screen(), answer, dates)
    return 0 if answer.steps and not answer.holds else 1


def _dates(store: "Store", answer: "ProcedureAnswer") -> dict[str, dt.date | None]:
    """The dates of the notes that were considered, by number."""
    from benchleaf.cli.lookup import note_dates

    named = [n for s in answer.steps for n in (*s.changed_by, s.origin)] + [
        left.note for left in answer.left_out
    ]
    return note_dates(store, named)

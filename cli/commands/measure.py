"""`benchleaf measure`: a value measured at the bench against the range in force."""

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session
from benchleaf.cli.unitoptions import AskedUnit, of_unit

EXAMPLES = examples(
    'measure "1.35 mm" --pub MS-40 --page 4-12 --item 6',
    'measure ".053 in" --pub MS-40 --page 4-12 --item 6 --unit mm',
    'measure "31 Nm" --pub MS-40 --page 4-12 --item 4 \\\n      --which "cover screws"',
)


@click.command("measure", epilog=EXAMPLES)
@click.argument("value")
@click.option("--pub", "--publication", "publication", metavar="PUB", required=True, help="The publication.")
@click.option("--page", metavar="P", required=True, help="The printed page.")
@click.option("--item", metavar="N", required=True, help="The step's number.")
@click.option("--which", metavar="WORDS", help="Words beside the value meant, where a step gives several.")
@click.option("--unit", metavar="U", help="The shop's unit for the answer, and the value's if it has none.")
@of_unit
@as_json
@click.pass_obj
def command(
    session: Session,
    value: str,
    publication: str,
    page: str,
    item: str,
    which: str | None,
    unit: str | None,
    asked: AskedUnit,
    as_json: bool,
) -> int:
    """A value measured at the bench against the range in force.

    VALUE is a figure with its unit, such as "1.35 mm". The answer is within, below, above, not said (the step
    gives nothing of that kind) or in doubt with the reason, and names the note that changed the range. Exit
    status 0 only when it is within.
    """
    from benchleaf.cli.lookup import note_dates
    from benchleaf.graph.measure import MeasureQuestion, measure_answer
    from benchleaf.graph.quantities.units import OWN_UNITS, load

    question = MeasureQuestion(
        value,
        publication,
        page,
        item,
        asked.model,
        asked.serial,
        asked.kits,
        asked.on,
        asked.built,
        which,
        unit,
    )
    with session.read() as store:
        answer = measure_answer(store, question, load(session.folder / OWN_UNITS))
        dates = note_dates(store, (*answer.changed_by, answer.origin))
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_measure import measure_shape

        show(measure_shape(answer))
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_measure import show_measure

        show_measure(Screen(), answer, dates)
    return 0 if answer.verdict == "within" else 1

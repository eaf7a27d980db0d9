"""`benchleaf part`: what a number became, what it was, where it is used."""

import datetime as dt

import click
from benchleaf.cli.options import DAY, as_json, examples
from benchleaf.cli.session import Session

EXAMPLES = examples('part "4471 208"', "part 4471208 --on 2024-06-30", "part 4471-208 --json")


@click.command("part", epilog=EXAMPLES)
@click.argument("number", metavar="NUMBER...", nargs=-1, required=True)
@click.option("--on", "on", metavar="DATE", type=DAY, help="As the papers stood on that day.")
@as_json
@click.pass_obj
def command(session: Session, number: tuple[str, ...], on: dt.date | None, as_json: bool) -> int:
    """What a part number became, what it was, and where it is used.

    The number to order today comes first; then the way to it with dates and notes, what is wrong with it, the
    steps and kits that use it. Near numbers are offered, never taken: one digit apart is another part.
    """
    from benchleaf.graph.part import part_answer

    with session.read() as store:
        answer = part_answer(store, " ".join(number), on)
    if as_json:
        from benchleaf.cli.shapes import show
        from benchleaf.cli.shapes_answers import part_shape

        show(part_shape(answer))
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_part import show_part

        show_part(Screen(), answer)
    return 0 if answer.part is not None else 1

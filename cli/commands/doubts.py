"""`benchleaf doubts`: readings that wait for a person's eye."""

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session

EXAMPLES = examples("doubts", 'doubts --note "SB 14-2"', "doubts --json")


@click.command("doubts", epilog=EXAMPLES)
@click.option("--note", metavar="N", help="Only what this note says.")
@as_json
@click.pass_obj
def command(session: Session, note: str | None, as_json: bool) -> int:
    """Readings that wait for a person's eye, grouped by what hangs on them.

    Each with its number, the words, where they stand, why benchleaf is not sure, and the line to type when
    you are. Until then no doubt changes a step, a part number or a kit.
    """
    from benchleaf.cli.lookup import note_or_near

    with session.read() as store:
        if note is not None:
            note_or_near(store, note)
        found = store.statements(note=note, standing="doubtful")
    if as_json:
        from benchleaf.cli.shapes import show, statement_shape

        show({"doubts": [statement_shape(s) for s in found]})
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_doubts import show_doubts

        show_doubts(Screen(), found, session.words)
    return 0

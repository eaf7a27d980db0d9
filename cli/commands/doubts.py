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
    you are. Until then no doubt changes a step, a part number or a kit. Doubts about the head of a note, such
    as a date that can be read two ways, follow: its steps are doubtful as long as they stand.
    """
    from benchleaf.cli.lookup import note_or_near

    with session.read() as store:
        if note is not None:
            note_or_near(store, note)
        found = store.statements(note=note, standing="doubtful")
        asked = [store.note(note)] if note is not None else store.notes()
        heads = {n.number: n.unclear for n in asked if n is not None and n.unclear}
    if as_json:
        from benchleaf.cli.shapes import show, statement_shape

        notes = [{"note": number, "unclear": list(why)} for number, why in heads.items()]
        show({"doubts": [statement_shape(s) for s in found], "notes": notes})
    else:
        from benchleaf.cli.screen import Screen
        from benchleaf.cli.show_doubts import show_doubts, show_heads

        screen = Screen()
        show_doubts(screen, found, session.words)
        show_heads(screen, heads)
    return 0

"""`benchleaf notes`: the notes that the store holds."""

import click
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session
from benchleaf.graph.model import Note

EXAMPLES = examples("notes", "notes --in-force", "notes --json")


@click.command("notes", epilog=EXAMPLES)
@click.option("--in-force", is_flag=True, help="Leave out the notes that another note cancels.")
@as_json
@click.pass_obj
def command(session: Session, in_force: bool, as_json: bool) -> int:
    """The notes that the store holds.

    Number, date, subject, the units they hold for, when the shop received them, and which note cancels them.
    """
    with session.read() as store:
        notes = store.notes()
    kept = [n for n in notes if not (in_force and n.cancelled_by)]
    if as_json:
        from benchleaf.cli.shapes import note_shape, show

        show({"notes": [note_shape(n) for n in kept]})
    else:
        _print(kept)
    return 0


def _print(notes: list[Note]) -> None:
    from benchleaf.cli.say import many, units
    from benchleaf.cli.screen import Column, Screen

    screen = Screen()
    if not notes:
        screen.line("No notes are held.")
        return
    columns = [
        Column("Note", whole=True),
        Column("Date", whole=True),
        Column("Subject"),
        Column("Holds for"),
        Column("Received", whole=True),
    ]
    screen.table(columns, [_row(n, units(n.applies)) for n in notes])
    screen.line(f"{many(len(notes), 'note')}.")
    for note in notes:
        for doubt in note.unclear:
            screen.line(f"{note.number}: {doubt}", indent=0, hang=2)


def _row(note: Note, held_for: str) -> list[str]:
    mark = f"; cancelled by {note.cancelled_by}" if note.cancelled_by else ""
    mark += "; the shop's own" if note.source == "shop" else ""
    date = note.date.isoformat() if note.date else "unclear"
    received = note.received.isoformat() if note.received else ""
    return [note.number, date, (note.subject or "no subject") + mark, held_for, received]

"""`benchleaf statements`: what was read out of the notes."""

from typing import TYPE_CHECKING

import click
from benchleaf.cli.lookup import note_or_near
from benchleaf.cli.options import as_json, examples
from benchleaf.cli.session import Session
from benchleaf.graph.model import Statement

if TYPE_CHECKING:
    from benchleaf.cli.screen import Screen

EXAMPLES = examples("statements", 'statements --note "SB 14-2"', "statements --standing doubtful --json")
KINDS = ("supersession", "override", "contents", "cancels", "withdrawn")


@click.command("statements", epilog=EXAMPLES)
@click.option("--note", metavar="N", help="Only what this note says.")
@click.option("--type", "kind", type=click.Choice(KINDS), help="Only statements of this type.")
@click.option(
    "--standing",
    type=click.Choice(("settled", "doubtful", "refused")),
    help="Only statements of this standing.",
)
@as_json
@click.pass_obj
def command(session: Session, note: str | None, kind: str | None, standing: str | None, as_json: bool) -> int:
    """What was read out of the notes, with the words it was read from.

    Each statement has a number, its standing (settled, doubtful, refused), and the place of its words.
    """
    with session.read() as store:
        if note is not None:
            note_or_near(store, note)
        found = store.statements(note=note, kind=kind, standing=standing)
    if as_json:
        from benchleaf.cli.shapes import show, statement_shape

        show({"statements": [statement_shape(s) for s in found]})
    else:
        _print(found)
    return 0


def _print(statements: tuple[Statement, ...]) -> None:
    from itertools import groupby

    from benchleaf.cli.say import dated, many
    from benchleaf.cli.screen import Piece, Screen

    screen = Screen()
    for note, group in groupby(statements, key=lambda s: dated(s.note, s.date)):
        screen.line(Piece(note, "head"))
        for statement in group:
            _print_one(screen, statement)
        screen.blank()
    screen.line(f"{many(len(statements), 'statement')}.")


def _print_one(screen: "Screen", statement: Statement) -> None:
    from benchleaf.cli.say import place, standing_words, statement_words

    screen.labelled(str(statement.id or ""), statement_words(statement))
    screen.line(f"“{statement.quote}”", indent=6)
    screen.line(standing_words(statement), indent=6)
    screen.line(place(statement.source), indent=6)

"""`benchleaf note`: a shop's own note on a step."""

import datetime as dt
from pathlib import Path

import click
from benchleaf.cli.options import as_json, examples, initials_of, signed
from benchleaf.cli.session import Session

ACTIONS = ("replace", "insert-after", "insert-before", "delete", "change-value", "caution")
EXAMPLES = examples(
    "note --pub MS-40 --page 4-12 --item 5 --action caution \\\n"
    '      --text "Check the groove." --initials AB',
    "note --pub MS-40 --page 4-12 --item 6 --action change-value \\\n"
    "      --was 29 --now 31 --photo cover.jpg --initials AB",
)


@click.command("note", epilog=EXAMPLES)
@click.option("--pub", "--publication", "publication", metavar="PUB", required=True, help="The publication.")
@click.option("--page", metavar="P", required=True, help="Its printed page number.")
@click.option("--item", metavar="N", required=True, help="The step.")
@click.option("--action", type=click.Choice(ACTIONS), required=True, help="What the note does to the step.")
@click.option("--text", help="The new words; for replace, insert-after, insert-before, caution.")
@click.option("--was", help="The old value, as the step has it; for change-value.")
@click.option("--now", help="The new value; for change-value.")
@click.option("--model", "models", metavar="M", multiple=True, help="Only for this model; may be repeated.")
@click.option("--serial-from", metavar="S", help="Only from this serial number on.")
@click.option("--serial-to", metavar="S", help="Only up to this serial number.")
@click.option("--subject", help="Why; shown with the note.")
@click.option(
    "--photo",
    metavar="FILE",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="A photo that shows it; kept with the note.",
)
@signed
@as_json
@click.pass_obj
def command(
    session: Session,
    publication: str,
    page: str,
    item: str,
    action: str,
    text: str | None,
    was: str | None,
    now: str | None,
    models: tuple[str, ...],
    serial_from: str | None,
    serial_to: str | None,
    subject: str | None,
    photo: Path | None,
    initials: str | None,
    as_json: bool,
) -> int:
    """Write a shop's own note on a step; it is marked as the shop's wherever it shows.

    It takes its place among the maker's notes by today's date, and needs your initials. It does not free you
    from the maker's word: where the two differ, ask the maker.
    """
    from benchleaf.cli.shopnote import Wish, stored_note
    from benchleaf.cli.shopphoto import read_photo
    from benchleaf.graph.model import Applies

    by = initials_of(initials)
    applies = Applies(models=models, serial_from=serial_from, serial_to=serial_to)
    wish = Wish(publication, page, item, action, text, was, now, applies, subject)
    with session.write() as store:
        shown = None if photo is None else read_photo(photo)
        note = stored_note(store, wish, by, dt.datetime.now(dt.UTC), shown)
    if as_json:
        from benchleaf.cli.shapes import note_shape, show, statement_shape

        show({"note": note_shape(note), "statements": [statement_shape(s) for s in note.statements]})
    else:
        from benchleaf.cli.say import statement_words
        from benchleaf.cli.screen import Screen

        screen = Screen()
        for statement in note.statements:
            screen.labelled(note.number, f"the shop's own, by {by}: {statement_words(statement)}", width=10)
    return 0

"""`benchleaf settle`: a person says yes or no to a reading."""

import datetime as dt

import click
from benchleaf.cli.options import as_json, examples, initials_of, signed
from benchleaf.cli.session import Session

EXAMPLES = examples(
    "settle 12 yes --initials AB", "settle 12 yes --item 5 --initials AB", "settle 13 no --initials AB"
)


@click.command("settle", epilog=EXAMPLES)
@click.argument("number", metavar="ID", type=click.IntRange(min=1))
@click.argument("verdict", type=click.Choice(("yes", "no")))
@signed
@click.option("--publication", "--pub", metavar="PUB", help="The publication that is meant.")
@click.option("--page", metavar="P", help="The page that is meant.")
@click.option("--item", metavar="N", help="The step that is meant.")
@click.option("--text", help="The new words, as they should read.")
@click.option("--was", help="The old value.")
@click.option("--now", help="The new value.")
@click.option("--from", "old", metavar="NUMBERS", help="Old part numbers, with commas between.")
@click.option("--to", "new", metavar="NUMBERS", help="New part numbers, with commas between.")
@click.option("--kit", metavar="NUMBER", help="The kit that is meant.")
@click.option("--part", metavar="NUMBER", help="The part that is no longer supplied.")
@click.option("--cancels", metavar="NOTE", help="The note that is cancelled.")
@as_json
@click.pass_obj
def command(
    session: Session,
    /,
    number: int,
    verdict: str,
    initials: str | None,
    as_json: bool,
    old: str | None,
    new: str | None,
    **corrections: str | None,
) -> int:
    """Say yes or no to a reading, with your initials; corrections of what was misread go with the yes.

    Compare with the paper first: see the words and their place in `benchleaf doubts`. What was read and what
    you made of it are both kept for ever.
    """
    from benchleaf.cli.lookup import statement_or_stop

    by = initials_of(initials)
    fields = {k: v for k, v in {**corrections, "from": old, "to": new}.items() if v is not None}
    with session.write() as store:
        statement_or_stop(store, number)
        with store.transaction():
            settled = store.settle(number, verdict, by, dt.datetime.now(dt.UTC), fields)  # type: ignore[arg-type]
    if as_json:
        from benchleaf.cli.shapes import show, statement_shape

        show({"statement": statement_shape(settled)})
    else:
        from benchleaf.cli.say import dated, standing_words, statement_words
        from benchleaf.cli.screen import Screen

        screen = Screen()
        screen.labelled(str(number), f"{dated(settled.note, settled.date)}: {statement_words(settled)}")
        screen.line(f"{standing_words(settled)}.", indent=6)
    return 0

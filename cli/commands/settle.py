"""`benchleaf settle`: a person says yes or no to a reading."""

import datetime as dt
from typing import TYPE_CHECKING

import click
from benchleaf.cli.options import as_json, examples, initials_of, signed
from benchleaf.cli.session import Session
from benchleaf.graph.errors import WrongUse

if TYPE_CHECKING:
    from benchleaf.cli.judging import Word
    from benchleaf.graph.db.settlements import Verdict
    from benchleaf.graph.model import Note, Statement

EXAMPLES = examples(
    "settle 12 yes --initials AB",
    "settle 12 yes --item 5 --initials AB",
    'settle 14 yes --lines "6 friction disc, 5 steel disc"',
    "settle 13 no --initials AB",
    "settle --note BH-7 yes --date 2016-06-05 --initials AB",
)
VERDICTS = ("yes", "no", "back")


@click.command("settle", epilog=EXAMPLES)
@click.argument("words", metavar="[ID] yes|no|back", nargs=-1, required=True)
@signed
@click.option("--note", metavar="N", help="Settle this note's head, not one of its statements.")
@click.option("--file", metavar="NAME", help="Which note, where several bear one number.")
@click.option("--publication", "--pub", metavar="PUB", help="The publication that is meant.")
@click.option("--page", metavar="P", help="The page that is meant.")
@click.option("--item", metavar="N", help="The step that is meant.")
@click.option("--action", metavar="A", help="What it does: replace, insert-after, delete, change-value …")
@click.option("--text", help="The new words, as they should read.")
@click.option("--was", help="The old value.")
@click.option("--now", help="The new value.")
@click.option("--from", "old", metavar="NUMBERS", help="Old part numbers, with commas between.")
@click.option("--to", "new", metavar="NUMBERS", help="New part numbers, with commas between.")
@click.option("--relation", metavar="R", help="Of several new numbers: all of, or one of.")
@click.option("--kit", metavar="NUMBER", help="The kit that is meant.")
@click.option("--lines", metavar="WORDS", help="What the kit contains, as `kit --got` takes it.")
@click.option("--part", metavar="NUMBER", help="The part that is no longer supplied.")
@click.option("--cancels", metavar="NOTE", help="The note that is cancelled.")
@click.option("--date", metavar="DATE", help="The note's date, year-month-day.")
@click.option("--models", metavar="NAMES", help="The models it holds for, with commas between.")
@click.option("--serial-from", metavar="S", help="The first serial number it holds for.")
@click.option("--serial-to", metavar="S", help="The last serial number it holds for.")
@click.option("--built-from", metavar="DATE", help="The first day of build it holds for.")
@click.option("--built-to", metavar="DATE", help="The last day of build it holds for.")
@as_json
@click.pass_obj
def command(
    session: Session,
    /,
    words: tuple[str, ...],
    initials: str | None,
    note: str | None,
    file: str | None,
    as_json: bool,
    old: str | None,
    new: str | None,
    **corrections: str | None,
) -> int:
    """Say yes or no to a reading, with your initials; corrections of what was misread go with the yes.

    Compare with the paper first: see the words and their place in `benchleaf doubts`. What was read and what
    you made of it are both kept for ever. Your word stands when a paper is read again; an empty value takes
    one away. "back" takes your word back: the reading is judged by the rules again.

    With --note, the head of a note is settled: its date and the units that it holds for. Nothing in it stays
    unclear then, and its statements are judged anew.
    """
    by = initials_of(initials)
    fields = {k: v for k, v in {**corrections, "from": old, "to": new}.items() if v is not None}
    number, verdict = _asked(words, note)
    from benchleaf.cli.judging import Word

    word = Word(verdict, by, dt.datetime.now(dt.UTC), fields)
    if note is not None:
        _show_head(_head(session, note, word, file), as_json=as_json)
    else:
        _show(_statement(session, number, word), as_json=as_json)
    return 0


def _asked(words: tuple[str, ...], note: str | None) -> "tuple[int, Verdict]":
    """The statement's number (0 for a note's head) and the verdict."""
    remedy = "See benchleaf settle --help."
    *before, verdict = words
    if verdict not in VERDICTS:
        raise WrongUse(f"{verdict!r} is neither yes nor no nor back", remedy)
    if note is not None:
        if before:
            raise WrongUse("a statement's number and --note are both given", "Give one of them.")
        if verdict == "no":
            raise WrongUse("a note's head is settled with yes, and put right by its options", remedy)
        return 0, verdict  # type: ignore[return-value]  # one of VERDICTS
    if len(before) != 1 or not before[0].isascii() or not before[0].isdecimal() or int(before[0]) < 1:
        raise WrongUse("which statement?", "Give its number, as benchleaf doubts shows it, or --note N.")
    return int(before[0]), verdict  # type: ignore[return-value]  # one of VERDICTS


def _statement(session: Session, number: int, word: "Word") -> "Statement":
    from benchleaf.cli.ended import tell
    from benchleaf.cli.judging import judge_statement

    with session.write() as store:
        settled, told = judge_statement(store, number, word)
    tell(told)
    return settled


def _head(session: Session, note: str, word: "Word", file: str | None) -> "Note":
    from benchleaf.cli.ended import tell
    from benchleaf.cli.judging import judge_head

    with session.write() as store:
        settled, told = judge_head(store, note, word, file)
    tell(told)
    return settled


def _show(settled: "Statement", *, as_json: bool) -> None:
    if as_json:
        from benchleaf.cli.shapes import show, statement_shape

        show({"statement": statement_shape(settled)})
        return
    from benchleaf.cli.say import dated, standing_words, statement_words
    from benchleaf.cli.screen import Screen

    screen = Screen()
    screen.labelled(str(settled.id), f"{dated(settled.note, settled.date)}: {statement_words(settled)}")
    screen.line(f"{standing_words(settled)}.", indent=6)


def _show_head(note: "Note", *, as_json: bool) -> None:
    if as_json:
        from benchleaf.cli.shapes import note_shape, show, statement_shape

        show({"note": note_shape(note), "statements": [statement_shape(s) for s in note.statements]})
        return
    from benchleaf.cli.say import dated, many, units
    from benchleaf.cli.screen import Screen

    screen = Screen()
    screen.line(f"{dated(note.number, note.date)}, for {units(note.applies)}")
    for reason in note.unclear:
        screen.line(f"DOUBT: {reason}", indent=2, hang=4)
    left = sum(s.standing == "doubtful" for s in note.statements)
    screen.line(f"{many(len(note.statements), 'statement')}, {many(left, 'doubt')} left.", indent=2)

"""Doubts for people: grouped by what is at stake, each with the line that settles it."""

from collections.abc import Mapping, Sequence
from itertools import groupby
from pathlib import Path

from benchleaf.cli.say import command, dated, many, place, statement_words
from benchleaf.cli.screen import Piece, Screen
from benchleaf.graph.model import Note, Override, Statement
from benchleaf.graph.stakes import Doubt, HeadDoubt

BLANK = "..."
"""What a person has to fill in; as it stands no command takes it."""
Start = Sequence[str]
Pictures = Mapping[int, Path]
"""The picture of a statement by its id."""


def show_doubts(
    screen: Screen, doubts: Sequence[Doubt], heads: Sequence[HeadDoubt], start: Start, pictures: Pictures
) -> None:
    """Print the doubts, and those about notes' heads in their place among them. `start` are the words that a
    line to type begins with, before the command's name."""
    _count(screen, doubts)
    head_rank = min((h.stake.rank for h in heads), default=0)
    urgent = [d for d in doubts if not heads or d.stake.rank < head_rank]
    _groups(screen, urgent, start, pictures)
    show_heads(screen, heads, start)
    _groups(screen, [d for d in doubts if d not in urgent], start, pictures)


def _count(screen: Screen, doubts: Sequence[Doubt]) -> None:
    if not doubts:
        screen.line("No doubts: everything that was read is settled or refused.")
        return
    until = "it changes nothing" if len(doubts) == 1 else "they change nothing"
    screen.line(f"{many(len(doubts), 'reading')} to look at; until settled {until}.")


def _groups(screen: Screen, doubts: Sequence[Doubt], start: Start, pictures: Pictures) -> None:
    for title, group in groupby(doubts, key=lambda d: d.stake.title):
        screen.blank()
        screen.line(Piece(title, "head"))
        for doubt in group:
            _show_one(screen, doubt.statement, start, pictures.get(doubt.statement.id or 0))


def show_heads(screen: Screen, heads: Sequence[HeadDoubt], start: Start) -> None:
    """Print the doubts about notes' heads, each with the line that settles it."""
    if not heads:
        return
    screen.blank()
    screen.line(Piece("Heads of notes", "head"))
    for head in heads:
        for reason in head.note.unclear:
            screen.line(f"{head.note.number}: {reason}", indent=2, hang=4)
        screen.typed(head_line(head.note, start), indent=4)


def _show_one(screen: Screen, doubt: Statement, start: Start, picture: Path | None) -> None:
    label = str(doubt.id)
    screen.labelled(label, f"{dated(doubt.note, doubt.date)}: {statement_words(doubt)}")
    for reason in doubt.why or ("no reason was kept",):
        screen.line(Piece(f"DOUBT: {reason}", "doubt"), indent=6)
    screen.line(f"“{doubt.quote}”", indent=6)
    screen.line(Piece(place(doubt.source), "quiet"), indent=6)
    if picture is not None:
        screen.typed(str(picture), indent=6)
    screen.typed(settle_line(doubt, start), indent=6)


def settle_line(doubt: Statement, start: Start) -> str:
    """The line that settles the doubt, with blanks to fill for what the words do not say."""
    words = [*start, "settle", str(doubt.id), "yes"]
    if isinstance(doubt, Override):
        for name in ("publication", "page", "item"):
            if getattr(doubt.target, name) is None:
                words += [f"--{name}", BLANK]
    return command(*words, "--initials", BLANK)


def head_line(note: Note, start: Start) -> str:
    """The line that settles a note's head, with a blank for a date that could not be read."""
    words = [*start, "settle", "--note", note.number, "yes"]
    if note.date is None or any("date" in reason or " may be " in reason for reason in note.unclear):
        words += ["--date", BLANK]
    return command(*words, "--initials", BLANK)

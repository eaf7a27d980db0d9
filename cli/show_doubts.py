"""Doubts for people: grouped by what is at stake, each with the line that settles it."""

from collections.abc import Mapping, Sequence
from itertools import groupby

from benchleaf.cli.say import command, dated, many, place, statement_words
from benchleaf.cli.screen import Piece, Screen
from benchleaf.graph.keys import natural
from benchleaf.graph.model import Cancels, Contents, Override, Statement

Group = tuple[int, str]
BLANK = "..."
"""What a person has to fill in; as it stands no command takes it."""


def show_doubts(screen: Screen, doubts: Sequence[Statement], start: Sequence[str]) -> None:
    """Print the doubts. `start` are the words that a line to type begins with, before the command's name."""
    if not doubts:
        screen.line("No doubts: everything that was read is settled or refused.")
        return
    until = "it changes nothing" if len(doubts) == 1 else "they change nothing"
    screen.line(f"{many(len(doubts), 'reading')} to look at; until settled {until}.")
    for (_, title), group in groupby(sorted(doubts, key=_order), key=at_stake):
        screen.blank()
        screen.line(Piece(title, "head"))
        for doubt in group:
            _show_one(screen, doubt, start)


def show_heads(screen: Screen, heads: Mapping[str, Sequence[str]]) -> None:
    """Print the doubts about notes' heads: note number → reasons."""
    if not heads:
        return
    screen.blank()
    screen.line(Piece("Heads of notes", "head"))
    for number, reasons in heads.items():
        for reason in reasons:
            screen.line(f"{number}: {reason}", indent=2, hang=4)


def at_stake(doubt: Statement) -> Group:
    """What hangs on the doubt: its rank and a heading."""
    match doubt:
        case Override(target=target):
            where = f"page {target.page}" if target.page else "a page not named"
            return (0, f"Steps of {target.publication or 'a publication not named'}, {where}")
        case Contents(kit=kit):
            return (1, f"Contents of kit {kit}")
        case Cancels():
            return (3, "Notes in force")
    return (2, "Part numbers")


def _order(doubt: Statement) -> tuple[int, str, object, int]:
    rank, title = at_stake(doubt)
    item = natural(doubt.target.item or "") if isinstance(doubt, Override) else ()
    return (rank, title, item, doubt.id or 0)


def _show_one(screen: Screen, doubt: Statement, start: Sequence[str]) -> None:
    label = str(doubt.id)
    screen.labelled(label, f"{dated(doubt.note, doubt.date)}: {statement_words(doubt)}")
    for reason in doubt.why or ("no reason was kept",):
        screen.line(Piece(f"DOUBT: {reason}", "doubt"), indent=6)
    screen.line(f"“{doubt.quote}”", indent=6)
    screen.line(Piece(place(doubt.source), "quiet"), indent=6)
    screen.typed(settle_line(doubt, start), indent=6)


def settle_line(doubt: Statement, start: Sequence[str]) -> str:
    """The line that settles the doubt, with blanks to fill for what the words do not say."""
    words = [*start, "settle", str(doubt.id), "yes"]
    if isinstance(doubt, Override):
        for name in ("publication", "page", "item"):
            if getattr(doubt.target, name) is None:
                words += [f"--{name}", BLANK]
    return command(*words, "--initials", BLANK)

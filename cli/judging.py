"""A person's word on a reading, as the command and the desk both take it: settled, and holds judged anew."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchleaf.cli.ended import ended_holds
from benchleaf.cli.lookup import note_or_near, statement_or_stop

if TYPE_CHECKING:
    from benchleaf.graph.db.heads import HeadVerdict
    from benchleaf.graph.db.settlements import Verdict
    from benchleaf.graph.model import Note, Statement
    from benchleaf.graph.store import Store


@dataclass(frozen=True, slots=True)
class Word:
    """What a person says: the verdict, whose word it is, when, and what is put right."""

    verdict: "Verdict"
    initials: str
    at: dt.datetime
    fields: Mapping[str, str]


def judge_statement(store: "Store", number: int, word: Word) -> "tuple[Statement, tuple[str, ...]]":
    """Settles a statement; as it stands then, and what became of holds, a sentence each. Raises NotHeld, and
    WrongUse as `Store.settle` does."""
    from benchleaf.graph.settling import settle

    statement_or_stop(store, number)
    settled = settle(store, number, word.verdict, word.initials, word.at, word.fields)
    return settled, ended_holds(store, word.at)


def judge_head(
    store: "Store", number: str, word: Word, file: str | None = None
) -> "tuple[Note, tuple[str, ...]]":
    """Settles a note's head; as `judge_statement`. `file` tells which of several notes of one number."""
    from typing import cast

    from benchleaf.graph.settling import settle_head

    note_or_near(store, number)
    verdict = cast("HeadVerdict", word.verdict)  # another one is refused by name
    note = settle_head(store, number, verdict, word.initials, word.at, word.fields, file)
    return note, ended_holds(store, word.at)

"""Doubts to settle: by what hangs on them, each with its picture, its reasons and what it would change."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast, get_args

from benchleaf.cli.desk import doubtview, signing
from benchleaf.cli.desk.doubtview import changed, fields_of, groups, head_fields, seen
from benchleaf.cli.desk.show import store, writing
from benchleaf.cli.judging import Word, judge_head, judge_statement
from benchleaf.cli.lookup import note_or_near, statement_or_stop
from benchleaf.cli.say import many, standing_words, statement_words
from benchleaf.graph.db.settlements import Verdict
from benchleaf.graph.errors import BenchleafError, NotHeld, WrongUse
from benchleaf.graph.stakes import Doubt, HeadDoubt, head_doubts
from benchleaf.graph.stakes import doubts as doubts_held
from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

if TYPE_CHECKING:
    from benchleaf.graph.model import Note
    from benchleaf.graph.store import Store

blueprint = Blueprint("doubts", __name__)
MOST_SHOWN = 20
"""Doubts on one page: each brings a picture and a form."""
MOST_DECIDED = 20
_MOST_SIGNS = 4000
_LOOK_AGAIN = WrongUse("it was changed meanwhile, by another person or by a new paper", "Look at it again.")


@dataclass(frozen=True, slots=True)
class Decided:
    """What a person settled, to be taken back: a statement's number or a note's, its words and standing."""

    number: str
    words: str
    standing: str
    statement: bool
    file: str = ""


@blueprint.get("/doubts")
def waiting() -> str:
    """Every doubt, or those of one note; a part of them at a time."""
    note = request.args.get("note", "").strip() or None
    first = _count("from")
    if note is not None:
        note_or_near(store(), note)
    found = _by_urgency(doubts_held(store(), note), head_doubts(store(), note))
    shown = found[first : first + MOST_SHOWN]
    readings = [d for d in shown if isinstance(d, Doubt)]
    heads = [h for h in shown if isinstance(h, HeadDoubt)]
    return render_template(
        "doubts.html",
        groups=groups(store(), readings, heads),
        count=len(found),
        note=note,
        first=first,
        later=len(found) - first - len(shown),
        step=MOST_SHOWN,
        decided=_decided(store()),
        initials=signing.initials(),
    )


def _by_urgency(readings: Sequence[Doubt], heads: Sequence[HeadDoubt]) -> list[Doubt | HeadDoubt]:
    """All doubts in one order: what hangs on them first, as each of both comes ordered already."""
    return sorted((*readings, *heads), key=lambda d: d.stake.rank)


@blueprint.post("/doubts/<int:number>")
def settle(number: int) -> Response:
    """Takes a person's word on a statement."""
    with writing() as held:
        said = statement_or_stop(held, number)
        fields = changed(fields_of(said), _given())
        try:
            word = _word(fields, request.form.get("seen", ""), seen(said))
            settled, told = judge_statement(held, number, word)
        except WrongUse as error:
            return _back(f"{number}: not settled. {_plain(error)}")
    return _back(f"{number}: {standing_words(settled)}. {statement_words(settled)}", *told)


@blueprint.post("/doubts/head/<path:number>")
def settle_head(number: str) -> Response:
    """Takes a person's word on a note's head."""
    file = request.form.get("file") or None
    with writing() as held:
        try:
            note = _note(held, number, file)
            fields = changed(head_fields(note), _given())
            word = _word(fields, request.form.get("seen", ""), seen(note))
            settled, told = judge_head(held, number, word, file)
        except WrongUse as error:
            return _back(f"{number}: not settled. {_plain(error)}")
    left = sum(s.standing == "doubtful" for s in settled.statements)
    done = "taken back" if word.verdict == "back" else f"settled by {word.initials}"
    return _back(f"The head of {settled.number} is {done}; {many(left, 'doubt')} left in its words.", *told)


@blueprint.post("/doubts/signer")
def other_signer() -> Response:
    """Asks for initials anew, with the next form."""
    signing.forget()
    known = {"notes": "shopnotes.write"}
    return redirect(url_for(known.get(request.form.get("back", ""), "doubts.waiting")))


def _word(fields: dict[str, str], was_seen: str, is_now: str) -> Word:
    """What the form says. Raises WrongUse for what is no verdict, for no initials, and for a form that shows
    what no longer stands."""
    verdict = request.form.get("verdict", "")
    if verdict not in get_args(Verdict):
        raise WrongUse("the form says neither yes nor no nor back", "Load the page anew.")
    by = signing.signer()
    if verdict != "back" and was_seen != is_now:
        raise _LOOK_AGAIN
    corrections = fields if verdict == "yes" else {}
    return Word(cast("Verdict", verdict), by, dt.datetime.now(dt.UTC), corrections)


def _note(held: "Store", number: str, file: str | None) -> "Note":
    """The note whose head the form shows."""
    found = [n for n in held.notes_like(number) if file is None or n.file == file]
    if not found:
        raise NotHeld(f"there is no note {number}", remedy="It may have been read anew. Look at the doubts.")
    unclear = [n for n in found if n.unclear]
    return unclear[0] if len(unclear) == 1 else found[0]


def _given() -> dict[str, str]:
    """The fields as posted; words that no field has are left out."""
    return {n: request.form[n][:_MOST_SIGNS] for n in doubtview.WORDS if n in request.form}


def _decided(held: "Store") -> tuple[Decided, ...]:
    """What people settled last, newest first, where their word still stands."""
    last = {s.statement: s for s in held.settlements()}
    found: list[tuple[dt.datetime, Decided]] = []
    for done in sorted(last.values(), key=lambda s: s.at, reverse=True)[:MOST_DECIDED]:
        said = held.statement(done.statement)
        if said is not None and done.verdict != "back" and said.settled_by not in (None, "rule"):
            words = f"{said.note}: {statement_words(said)}"
            found.append((done.at, Decided(str(said.id), words, standing_words(said), True)))
    heads = {s.note: s for s in held.head_settlements()}
    for head in heads.values():
        if head.verdict != "back":
            said_by = f"settled by {head.initials}"
            found.append((head.at, Decided(head.note, f"the head of {head.note}", said_by, False)))
    found.sort(key=lambda pair: pair[0], reverse=True)
    return tuple(one for _, one in found[:MOST_DECIDED])


def _count(name: str) -> int:
    words = request.args.get(name, "")
    return int(words) if words.isascii() and words.isdecimal() and len(words) < 7 else 0


def _plain(error: BenchleafError) -> str:
    """The problem in the desk's words: its forms have fields where the command has options."""
    words = doubtview.in_fields(f"{error.message.rstrip('.')}. {error.remedy}".strip())
    return words[:1].upper() + words[1:]


def _back(*told: str) -> Response:
    """Back to the doubts, with what was done said there."""
    for words in told:
        flash(words)
    note = request.form.get("note", "").strip() or None  # a missing one stays out of the address
    return redirect(url_for("doubts.waiting", note=note))

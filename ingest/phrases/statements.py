"""From a note's header and body to what it states."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeGuard

from benchleaf.graph.keys import key
from benchleaf.graph.model import (
    Cancels,
    Citation,
    Contents,
    Finding,
    Override,
    Source,
    Standing,
    Statement,
    Supersession,
    Withdrawn,
)
from benchleaf.ingest.phrases.builders import build
from benchleaf.ingest.phrases.guessunread import leave_unread
from benchleaf.ingest.phrases.interchange import with_riders
from benchleaf.ingest.phrases.matches import matches, overlaps
from benchleaf.ingest.phrases.passages import Body, Passage, body_of
from benchleaf.ingest.phrases.phrasebook import PhraseBook, load
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.references import Reference
from benchleaf.ingest.phrases.sequels import with_sequels
from benchleaf.ingest.phrases.tablebuilder import read_table
from benchleaf.ingest.phrases.tags import NOTE, Tag
from benchleaf.ingest.shapes import Header

_RANK: tuple[Standing, ...] = ("refused", "doubtful", "settled")
_TWO_SUCCESSORS = "the note names more than one successor of this number, and not which holds where"
_IN_SUBJECT = "read only in the subject line"


@dataclass(frozen=True, slots=True)
class StatementReading:
    """What a note states, and the sentences that speak of a change but were not understood. `cited` are the
    other notes and the publications that it speaks of without cancelling or changing them."""

    statements: tuple[Statement, ...]
    findings: tuple[Finding, ...]
    cited: tuple[Citation, ...] = ()


def read_statements(header: Header, file: str, book: PhraseBook | None = None) -> StatementReading:
    """Reads the statements of one note.

    A statement is settled here only if its phrase matched whole, no guard tripped and nothing in its
    sentence is left unread; whether its target is held is another step's question.
    """
    reader = Reader(header, file, book or load(), body_of(header, file))
    _read(reader)
    found = [*reader.statements, *_header_cancels(reader), *_from_subject(reader)]
    found = with_riders(_with_previous(found, reader), reader)
    stated = _at_odds(_distinct(_without_rewritten(_without_replaced(_without_packed(found)))))
    return StatementReading(stated, tuple(dict.fromkeys(reader.findings)), _cited(reader, stated))


def _at_odds(found: Sequence[Statement]) -> tuple[Statement, ...]:
    """Doubts where a note gives one number two successors: which of them is meant where is left open."""
    pairs = {(s.old, s.new) for s in found if isinstance(s, Supersession) and s.standing == "settled"}
    several = {old for old, _ in pairs if sum(o == old for o, _ in pairs) > 1}
    return tuple(
        replace(s, standing="doubtful", why=(*s.why, _TWO_SUCCESSORS))
        if isinstance(s, Supersession) and s.standing == "settled" and s.old in several
        else s
        for s in found
    )


def _cited(reader: Reader, stated: tuple[Statement, ...]) -> tuple[Citation, ...]:
    """What is spoken of and neither cancelled nor changed, in the order of the words."""
    done = {key(s.cancels) for s in stated if isinstance(s, Cancels)}
    done |= {key(s.target.publication or "") for s in stated if isinstance(s, Override)}
    passages = [b for b in reader.body.blocks if isinstance(b, Passage)]
    tags = [t for p in passages for _, t in sorted(p.tagged.tags.items())]
    found = {key(c.number): c for t in reversed(tags) if (c := _citation(t)) is not None}
    return tuple(c for one, c in reversed(found.items()) if one not in done)


def _citation(tag: Tag) -> Citation | None:
    if tag.kind == NOTE and tag.label != "own":
        return Citation("note", tag.text)
    if isinstance(tag.content, Reference) and tag.content.publication:
        return Citation("publication", tag.content.publication, tag.content.page)
    return None


def _read(reader: Reader) -> None:
    for block, found in enumerate(reader.body.blocks):
        if isinstance(found, Passage):
            _read_passage(reader, block, found)
        elif not reader.covered.get(block):
            statements, findings = read_table(reader, block, found)
            reader.statements.extend(statements)
            reader.findings.extend(findings)
    for block, found in enumerate(reader.body.blocks):
        if isinstance(found, Passage):
            leave_unread(reader, block, found)


def _read_passage(reader: Reader, block: int, passage: Passage) -> None:
    taken = reader.covered.setdefault(block, [])
    waiting = matches(reader.book, passage)
    reader.waiting = waiting
    for readings in (waiting, matches(reader.book, passage, "reading")):
        for match in readings:
            if overlaps(match, taken):
                continue
            built = build(reader, block, match, waiting)
            if built is None:
                continue
            taken.append((built.start, built.end))
            for other, place in built.claims:
                reader.covered.setdefault(other, []).append((0, place))
            reader.statements.extend(with_sequels(reader, block, built, waiting))


def _header_cancels(reader: Reader) -> list[Statement]:
    """The head's own field "Supersedes"."""
    header = reader.header
    sheet = next((b.sheet for b in header.body), 1)
    source = Source(reader.file, sheet, by_ocr=reader.body.by_ocr)
    return [
        Cancels(
            note=reader.note,
            date=header.date,
            quote=f"Supersedes: {number}",
            source=source,
            confidence=reader.body.confidence,
            cancels=number,
        )
        for number in header.supersedes
        if not (header.number and key(number) == key(header.number))
    ]


def _from_subject(reader: Reader) -> list[Statement]:
    """What the subject line alone states is shown as a doubt."""
    subject = reader.body.subject
    if subject is None:
        return []
    body = Body((subject,), None, reader.body.publications, reader.body.pages, reader.body.models, False, 1.0)
    alone = Reader(reader.header, reader.file, reader.book, body)
    _read_passage(alone, 0, subject)
    known = {identity(s) for s in reader.statements}
    fresh = [
        s
        for s in alone.statements
        if identity(s) not in known and isinstance(s, (Supersession, Cancels, Withdrawn))
    ]
    return [
        replace(s, standing="doubtful" if s.standing == "settled" else s.standing, why=(*s.why, _IN_SUBJECT))
        for s in fresh
    ]


def _with_previous(found: list[Statement], reader: Reader) -> list[Statement]:
    """Contents of a new kit, with what the kit that it replaces is said to have contained."""
    before = {
        key(n): key(s.old[0]) for s in found if isinstance(s, Supersession) for n in s.new if len(s.old) == 1
    }
    out: list[Statement] = []
    for one in found:
        if isinstance(one, Contents) and not one.previous:
            lines = reader.contained.get(before.get(key(one.kit), "")) or ()
            one = replace(one, previous=lines) if lines else one
        out.append(one)
    past = {(before.get(key(s.kit)), s.previous) for s in out if isinstance(s, Contents) and s.previous}
    return [s for s in out if not (_guessed(s) and (key(s.kit), s.lines) in past)]


def _guessed(statement: Statement) -> TypeGuard[Contents]:
    return isinstance(statement, Contents) and statement.standing == "doubtful"


def _without_replaced(found: list[Statement]) -> list[Statement]:
    """A part that the same note replaces is not withdrawn by it; nor is a note that it cancels a part."""
    replaced = {
        key(n) for s in found if isinstance(s, Supersession) and s.standing != "refused" for n in s.old
    }
    cancelled = {key(s.cancels) for s in found if isinstance(s, Cancels) and s.standing != "refused"}
    gone = replaced | cancelled
    return [s for s in found if not (isinstance(s, Withdrawn) and key(s.part) in gone)]


def _without_packed(found: list[Statement]) -> list[Statement]:
    """A guess that parts became others, taken from the words that list a kit now and before, says nothing
    more than the list."""
    kits = [s for s in found if isinstance(s, Contents) and s.previous]
    return [s for s in found if not (isinstance(s, Supersession) and any(_is_of(s, kit) for kit in kits))]


def _is_of(guess: Supersession, kit: Contents) -> bool:
    named = {key(line.part) for line in (*kit.lines, *kit.previous) if line.part}
    told = {key(n) for n in (*guess.old, *guess.new)}
    return guess.standing == "doubtful" and guess.quote in kit.quote and told <= named


def _without_rewritten(found: list[Statement]) -> list[Statement]:
    """A step that is struck out and written anew ("is void. In its place carry out: …") is replaced."""
    anew = {
        (s.target, s.source) for s in found if isinstance(s, Override) and s.action == "replace" and s.text
    }
    return [
        s
        for s in found
        if not (isinstance(s, Override) and s.action == "delete" and (s.target, s.source) in anew)
    ]


def identity(statement: Statement) -> tuple[str, ...]:
    """What makes two statements of one note the same: their type and what they are about, not their
    wording."""
    if isinstance(statement, Supersession):
        old, new = (sorted(key(n) for n in numbers) for numbers in (statement.old, statement.new))
        return ("supersession", " ".join(old), " ".join(new))
    if isinstance(statement, Override):
        target = statement.target
        about = (key(target.publication or ""), key(target.page or ""), key(target.item or ""))
        words = (statement.text, statement.was, statement.now)
        return ("override", statement.action, *about, *(" ".join((w or "").split()).lower() for w in words))
    if isinstance(statement, Contents):
        return (
            "contents",
            key(statement.kit),
            *(f"{line.quantity} {line.description}" for line in statement.lines),
        )
    if isinstance(statement, Cancels):
        return ("cancels", key(statement.cancels))
    return (
        ("withdrawn", key(statement.part))
        if isinstance(statement, Withdrawn)
        else ("statement", statement.quote)
    )


def _distinct(found: list[Statement]) -> tuple[Statement, ...]:
    """The same thing read twice is one statement: the better reading stays, in the place of the first."""
    best: dict[tuple[str, ...], Statement] = {}
    for one in found:
        held = best.get(identity(one))
        if held is None or _merit(one) > _merit(held):
            best[identity(one)] = one
    return tuple(best.values())


def _merit(statement: Statement) -> tuple[int, float, int]:
    told = getattr(statement, "interchange", "unstated") != "unstated" or getattr(statement, "previous", ())
    return (_RANK.index(statement.standing), statement.confidence, int(bool(told)))

"""Statements from matches: one builder a type. A builder gives None where the slots do not hold what they
should; then another reading of the same words has its turn."""

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import cast

from benchleaf.graph.keys import key
from benchleaf.graph.model import Cancels, Interchange, Relation, Statement, Stock, Supersession, Withdrawn
from benchleaf.ingest.phrases.guards import carried, trips
from benchleaf.ingest.phrases.interchange import TOGETHER, old_thing_fits
from benchleaf.ingest.phrases.judging import Verdict
from benchleaf.ingest.phrases.kitbuilder import build_contents
from benchleaf.ingest.phrases.labels import kit_label, of_series
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Built, Reader
from benchleaf.ingest.phrases.sentences import sentence_at
from benchleaf.ingest.phrases.stepbuilder import build_override, build_reading
from benchleaf.ingest.phrases.supersessions import (
    Change,
    cancelled_notes,
    changes,
    is_note,
    withdrawn_parts,
    without_initials,
)
from benchleaf.ingest.phrases.tags import CODE, KINDS, PART, WEAK
from benchleaf.ingest.phrases.thatone import note_meant

_GOES_ON = re.compile(
    r"^(?:both|the|they|these|all|old|existing|remaining|use up|stocks?|interchang[a-z]*|either"
    r"|return|scrap|destroy|discard|dispose|exhaust"
    r"|each|it is|do not|parts|not interchang[a-z]*|fully)\b",
    re.I,
)
_CLAUSE = re.compile(r"[.;,:]|\b(?:and|but)\b")
# "… in place of the old on units with a bush": on some units only.
_ON_SOME = re.compile(
    r" ?(?:on|in|for) (?:the )?(?!all\b|any\b|every|either|both|each)[a-z]{3,20} (?:with|without|from"
    r"|up to|built|before"
    r"|after|whose|that|which|having)\b",
    re.IGNORECASE,
)
_COUNTING = re.compile(
    r"[ ,]{0,2}(?:where(?:ver)?|for|in place of|instead of|use|fit|order|mount|install|take)\b"
    r"[^.;]{0,80}?\b(?:[0-9]{1,2}|one|two|three|four|six|eight|each|every)\b",
    re.IGNORECASE,
)
_RUN_ON = re.compile(r"[ ,]{0,3}(?:and|or) ?$", re.IGNORECASE)


def build(reader: Reader, block: int, match: Match, waiting: Sequence[Match]) -> Built | None:
    """The statements of one match, or None if it is no such statement."""
    kind = match.phrase.type
    if kind == "supersession":
        return _supersession(reader, block, match)
    if kind == "withdrawn":
        return _withdrawn(reader, block, match)
    if kind == "cancels":
        return _cancels(reader, block, match)
    if kind == "contents":
        return build_contents(reader, block, match)
    if kind == "reading":
        return build_reading(reader, block, match)
    return build_override(reader, block, match, waiting)


def void(match: Match) -> Built:
    """A match that its own sentence denies: accounted for, and no statement."""
    return Built((), match.start, match.end)


def _supersession(reader: Reader, block: int, match: Match) -> Built | None:
    passage = reader.passage(block)
    sentence = sentence_at(passage.sentences, match.end - 1)
    found = changes(passage, match, passage.folded[sentence.start : sentence.end], _barred(reader))
    if not found:
        return None
    around, verdict = reader.judged(block, match, match.end)
    if verdict.standing is None:
        return void(match)
    if match.phrase.follows == "it":
        before = passage.tagged.folded[
            : max((s.start for s in passage.sentences if s.start <= match.start), default=0)
        ]
        verdict = _with(verdict, [*verdict.why, *carried(reader.book, before)])
    riders, claims = _riders(reader, block, match)
    statements = []
    for change in found:
        why = [*verdict.why, *change.why, *_run_on(passage, match), *_like_notes(reader, passage, match)]
        relation: Relation = change.relation
        said = next((r.phrase.relation for r in riders if r.phrase.relation), match.phrase.relation)
        if said and relation != "one":
            if relation != said and not any("not said whether" in w for w in why):
                why.append("the words on ordering them disagree")
            relation = cast(Relation, said)
            why = [w for w in why if "not said whether" not in w]
        stands = _with(verdict, why)
        statements.append(
            Supersession(
                **reader.common(passage, around, stands, _counted(passage, match, change)),
                old=change.old,
                new=change.new,
                relation=relation,
                interchange=cast(Interchange, _said(match, riders, "interchange") or "unstated"),
                stock=cast("Stock | None", _said(match, riders, "stock")),
            )
        )
    return Built(tuple(statements), match.start, match.end, claims)


def _counted(passage: Passage, match: Match, change: Change) -> str:
    """The later sentence that counts the parts: "For each A fit one B and one C"."""
    named = {key(n) for n in (*change.old, *change.new)}
    for sentence in passage.sentences:
        if sentence.start < match.end or not _COUNTING.match(passage.folded[slice(*sentence)]):
            continue
        tags = [t for _, t in passage.tagged.inside(*sentence) if t.kind in (PART, CODE, WEAK)]
        if len(named) > 2 and {key(t.text) for t in tags} == named:
            return passage.tagged.words(*sentence)
    return ""


def _barred(reader: Reader) -> set[str]:
    own = {key(reader.header.number)} if reader.header.number else set()
    return own | {key(p) for p in reader.body.publications} | {key(n) for n in reader.header.supersedes}


def _with(verdict: Verdict, why: Sequence[str]) -> Verdict:
    standing = "doubtful" if why and verdict.standing == "settled" else verdict.standing
    return replace(verdict, standing=standing, why=tuple(dict.fromkeys(why)))


def _run_on(passage: Passage, match: Match) -> list[str]:
    """ "A is replaced by B and C and D are replaced by E": where the lists part is not sure."""
    before = passage.folded[max(0, match.start - 8) : match.start]
    joined = _RUN_ON.search(before)
    if joined and match.start - len(joined.group()) > 0:
        sign = passage.folded[match.start - len(joined.group()) - 1]
        span = match.span("old")
        if sign in KINDS and span and span[0] == match.start:
            inner = passage.folded[max(0, match.start - 60) : match.start]
            if len(re.findall(rf"[{''.join(KINDS)}]", inner)) > 2 and "," not in inner:
                return ["two lists of numbers run into one another"]
    return []


def _like_notes(reader: Reader, passage: Passage, match: Match) -> list[str]:
    """A doubt for numbers of the note's own series that no word calls a part."""
    tags = [t for _, t in passage.tagged.inside(match.start, match.end) if t.kind in (CODE, WEAK)]
    alike = dict.fromkeys(t.text for t in tags if of_series(t.text, reader.header.number))
    return [f"{text} may be a note, by the shape of its number" for text in alike]


def _riders(reader: Reader, block: int, match: Match) -> tuple[list[Match], tuple[tuple[int, int], ...]]:
    """What the sentence and those behind it say of interchange, stock and ordering, gravest first."""
    passage = reader.passage(block)
    from benchleaf.ingest.phrases.matches import matches

    others = [
        m.start
        for m in matches(reader.book, passage)
        if m.start >= match.end and not m.phrase.weak and not _bare_words(passage, m)
    ]
    first = sentence_at(passage.sentences, match.start)
    last = sentence_at(passage.sentences, match.end - 1).end
    stop = min(others, default=len(passage.folded))
    riders = matches(reader.book, passage, "rider")
    found = [(passage, m) for m in riders if first.start <= m.start < max(stop, last)]
    claims: tuple[tuple[int, int], ...] = ()
    follower = reader.body.blocks[block + 1] if block + 1 < len(reader.body.blocks) else None
    if stop == len(passage.folded) and isinstance(follower, Passage) and _goes_on(passage, match, follower):
        more = matches(reader.book, follower, "rider")
        found.extend((follower, m) for m in more)
        claims = ((block + 1, max(m.end for m in more)),) if more else ()
    if _beside(reader, passage, match):
        found = [(where, m) for where, m in found if where is passage and m.start < last]
    about = passage.folded[first.start : max(first.end, match.end)]
    found = [(where, m) for where, m in found if old_thing_fits(where.folded[m.start : m.end], about)]
    named = {key(t.text) for _, t in passage.tagged.inside(match.start, match.end)}
    found = [(where, m) for where, m in found if not (m.phrase.stock and _of_others(where, m, named))]
    found = [(where, m) for where, m in found if not _in_others(where, m, named)]
    held = [m for where, m in found if _unconditional(reader, where, m)]
    return sorted(held, key=lambda m: -m.phrase.rank), claims


def _beside(reader: Reader, passage: Passage, match: Match) -> bool:
    """True where the sentence tells another change too: what later sentences say may be of either."""
    from benchleaf.ingest.phrases.matches import matches

    here = sentence_at(passage.sentences, match.start)
    found = [m for m in matches(reader.book, passage, "supersession") if here.start <= m.start < here.end]
    return any(m.end <= match.start or match.end <= m.start for m in found if not m.phrase.weak)


def _of_others(where: Passage, rider: Match, named: set[str]) -> bool:
    """True for "scrap any stock of C" behind a change of A: its clause names other parts only."""
    stop = _CLAUSE.search(where.folded, rider.end)
    tags = where.tagged.inside(rider.start, stop.start() if stop else len(where.folded))
    parts = {key(t.text) for _, t in tags if t.kind in (PART, CODE) and not kit_label(t)}
    return bool(parts) and not parts & named


def _in_others(where: Passage, rider: Match, named: set[str]) -> bool:
    """True for "C and D are interchangeable" behind a change of A: its sentence names other parts only."""
    sentence = next((s for s in where.sentences if s.start <= rider.start < s.end), None)
    tags = where.tagged.inside(*sentence) if sentence else ()
    parts = {key(t.text) for _, t in tags if t.kind in (PART, CODE) and not kit_label(t)}
    return bool(parts) and not parts & named


def _bare_words(passage: Passage, match: Match) -> bool:
    """ "…, which has the spacer moulded in": words for contents without any number tell nothing else."""
    said = passage.folded[match.start : match.end]
    clause = match.phrase.type == "contents" and re.match(r"(?:which|that) ", said)
    return bool(clause) and not re.search(rf"[{''.join(KINDS)}0-9]", said)


def _unconditional(reader: Reader, passage: Passage, rider: Match) -> bool:
    """A rider under a condition, or denied, is no rider."""
    sentence = next((s for s in passage.sentences if s.start <= rider.start < s.end), None)
    if sentence is None:
        return True
    if rider.phrase.interchange and _ON_SOME.match(passage.folded, rider.end):
        return False
    return not any(
        t.effect != "doubt" or "condition" in t.why
        for t in trips(
            reader.book,
            passage.folded[max(sentence.start, rider.start - 60) : rider.start],
            "",
            TOGETHER.sub("", passage.folded[rider.end : sentence.end]),
        )
    )


def _goes_on(passage: Passage, match: Match, follower: Passage) -> bool:
    """True for a short paragraph that goes on about the parts just named, and names no others."""
    named = {key(t.text) for _, t in passage.tagged.inside(match.start, match.end)}
    others = [t for t in follower.tagged.tags.values() if key(t.text) not in named]
    short = len(follower.sentences) <= 2 and len(follower.folded) < 200
    return short and not others and bool(_GOES_ON.match(follower.folded))


def _said(match: Match, riders: Sequence[Match], what: str) -> str | None:
    own = getattr(match.phrase, what)
    return own or next((getattr(r.phrase, what) for r in riders if getattr(r.phrase, what)), None)


def _withdrawn(reader: Reader, block: int, match: Match) -> Built | None:
    passage = reader.passage(block)
    parts = withdrawn_parts(passage, match, _barred(reader))
    if not parts:
        return None
    around, verdict = reader.judged(block, match, match.end)
    if verdict.standing is None:
        return void(match)
    made: list[Statement] = [Withdrawn(**reader.common(passage, around, verdict), part=p) for p in parts]
    return Built(tuple(made), match.start, match.end)


def _short(note: str, reader: Reader) -> str:
    """A note's number without the initials of its kind where this note's own number has none: "KM 14/02" is
    14/02 in the series of 14/05."""
    return without_initials(note, reader.header.number) or note


def _by_date(passage: Passage, match: Match) -> list[tuple[str, tuple[str, ...]]]:
    """A note that is named by its date alone goes by it until a person says which one is meant."""
    span = None if match.span("note") else match.span("date")
    return [(f"note of {passage.tagged.words(*span)}", ())] if span else []


def _cancels(reader: Reader, block: int, match: Match) -> Built | None:
    passage = reader.passage(block)
    if match.phrase.follows == "that one":
        notes = tuple(note_meant(reader, block, match, is_note))
    else:
        notes = tuple(_by_date(passage, match)) or cancelled_notes(passage, match, reader.header.number)
    if not notes:
        return None
    around, verdict = reader.judged(block, match, match.end)
    if verdict.standing is None:
        return void(match)
    made: list[Statement] = [
        Cancels(
            **reader.common(passage, around, _with(verdict, [*verdict.why, *why])),
            cancels=_short(note, reader),
        )
        for note, why in notes
    ]
    return Built(tuple(made), match.start, match.end)

"""Doubtful readings of sentences whose wording is not in the phrase book.

Real hands word things in ways that no book has. Where a sentence names a step, a part, a kit or a note, and
its words betray a change, every cue is weighed (`guess*.py`, `book/cues.toml`) and the likeliest reading is
given. It is never settled: it is there so that a person is asked where it could matter.
"""

import re

from benchleaf.graph.keys import key
from benchleaf.graph.model import Statement, Supersession
from benchleaf.ingest.head.serials import statement_applies
from benchleaf.ingest.phrases.guesscues import Cues, load_cues
from benchleaf.ingest.phrases.guessguards import allowed
from benchleaf.ingest.phrases.guesskits import cancelled, kit_statements
from benchleaf.ingest.phrases.guesslists import listed_steps
from benchleaf.ingest.phrases.guessoverrides import step_statements
from benchleaf.ingest.phrases.guessparts import (
    Group,
    Succession,
    groups_in,
    notes_in,
    one_group,
    succeeding,
    successions,
)
from benchleaf.ingest.phrases.judging import Surroundings, Verdict
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.sentences import Sentence

_ANAPHORA = re.compile(
    r"\b(?:both|they|them|it|its|their|these|this|the two|the former|the old)\b", re.IGNORECASE
)
_LEAN = 0.75  # how plainly the words beside a number must make it new
_ONE_ONLY = re.compile(r"^(?:it|this|that)\b|\b(?:its|for it)\b", re.IGNORECASE)


def guess(reader: Reader, block: int, sentence: Sentence) -> tuple[Statement, ...]:
    """Doubtful statements of a sentence that no phrase matched; none if nothing speaks for one."""
    cues = load_cues()
    verdict = allowed(reader, cues, block, sentence)
    if verdict is None:
        return ()
    for reading in (listed_steps, step_statements, kit_statements, _parts, cancelled):
        if made := reading(reader, cues, block, sentence, verdict):
            return made
    return ()


def _parts(
    reader: Reader, cues: Cues, block: int, sentence: Sentence, verdict: Verdict
) -> tuple[Statement, ...]:
    """Numbers that the words make old and new, in one sentence or in two."""
    passage = reader.passage(block)
    barred = _barred(reader, passage, sentence)
    groups = groups_in(cues, passage, sentence, barred)
    found: list[Succession] = []
    if len(groups) == 1:
        found.extend(_from_before(reader, cues, block, sentence, groups[0]))
    elif len(groups) % 2 == 0:
        for first, second in zip(groups[::2], groups[1::2], strict=True):
            found.extend(successions(cues, passage, sentence, (first, second)))
    common = reader.common(passage, Surroundings("", "", "", "", *sentence), verdict)
    return tuple(Supersession(**common, old=s.old, new=s.new, relation=s.relation) for s in found)


def _from_before(
    reader: Reader, cues: Cues, block: int, sentence: Sentence, new: Group
) -> tuple[Succession, ...]:
    """ "A has gone out of our range. In future you will receive B": the old number stands before."""
    passage = reader.passage(block)
    said = passage.folded[sentence.start : sentence.end]
    before = next((s for s in reversed(passage.sentences) if s.start < sentence.start), None)
    if before is None or new.lean < _LEAN:
        return ()
    before = Sentence(before.start, min(before.end, sentence.start))
    old = one_group(groups_in(cues, passage, before, _barred(reader, passage, before)))
    if old is None or _replaced(reader, old) or {key(n) for n in old.numbers} & {key(n) for n in new.numbers}:
        return ()
    if len(old.numbers) > 1 and _ONE_ONLY.search(said):
        return ()
    speaks = bool(cues.weight("succession", said))
    if old.lean > (0.5 if speaks and _ANAPHORA.search(said) else -1):
        return ()
    return succeeding(old, new, said) if speaks or new.new >= 3 else ()


def _replaced(reader: Reader, old: Group) -> bool:
    keys = {key(n) for n in old.numbers}
    return any(isinstance(s, Supersession) and keys & {key(n) for n in s.old} for s in reader.statements)


def _barred(reader: Reader, passage: Passage, sentence: Sentence) -> set[str]:
    """Numbers that are manuals, this note, or serial numbers of units."""
    limit = statement_applies(passage.tagged.words(*sentence), reader.body.models)
    own = {key(reader.header.number)} if reader.header.number else set()
    barred = own | {key(p) for p in reader.body.publications} | {key(n) for n in reader.header.supersedes}
    if limit is not None:
        barred |= {key(n) for n in (limit.serial_from, limit.serial_to, *limit.excepted) if n}
    return barred | {key(n) for _, n in notes_in(passage, sentence, reader.header.number)}

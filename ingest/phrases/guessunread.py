"""What no phrase accounts for, sentence by sentence: guessed at, else shown to a person as unread."""

import re
from collections.abc import Iterator

from benchleaf.graph.keys import key
from benchleaf.graph.model import (
    Cancels,
    Contents,
    Finding,
    KitLine,
    Override,
    Source,
    Statement,
    Supersession,
    Withdrawn,
)
from benchleaf.ingest.phrases.guards import states_nothing
from benchleaf.ingest.phrases.guesscues import load_cues
from benchleaf.ingest.phrases.guesses import guess
from benchleaf.ingest.phrases.guessguards import allowed
from benchleaf.ingest.phrases.guesssteps import BESIDE_THIS, steps_in
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.references import Reference
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.tags import CODE, NOTE, PART, REF, VALUE

# A field of the head that gives the place for all of the note: "Documents: HB 350, section C".
_FIELD = re.compile(
    r"(?:documents?|(?:workshop |service )?manuals?|handbooks?|publications?|literature|pages?|sheets?)"
    r"(?: (?:affected|concerned))? ?:",
    re.IGNORECASE,
)
_LEFT = 18  # characters that an unread rest of a sentence must have


def leave_unread(reader: Reader, block: int, passage: Passage) -> None:
    """Guesses at every sentence of a passage that no reading accounts for, and at the rest of those that one
    accounts for in part; a whole sentence that speaks of a change and gives nothing becomes a finding."""
    taken = reader.covered.setdefault(block, [])
    for sentence in passage.sentences:
        rests = list(_free(sentence, taken))
        if rests != [sentence] and _denied(reader, passage, sentence, taken):
            rests = [sentence]
        if rests == [sentence]:
            _whole(reader, block, passage, sentence)
            continue
        for rest in rests:
            if rest.end - rest.start >= _LEFT and _news(reader, block, passage, rest):
                reader.statements.extend(guess(reader, block, rest))


def _denied(reader: Reader, passage: Passage, sentence: Sentence, taken: list[tuple[int, int]]) -> bool:
    """True if a phrase was found in a sentence and gave no statement, because a guard tripped in it: another
    clause than the one that was denied may still say something."""
    within = [t for t in taken if sentence.start <= t[0] and t[1] <= sentence.end]
    across = [t for t in taken if t not in within and t[0] < sentence.end and sentence.start < t[1]]
    words = _flat(passage.tagged.words(*sentence))
    told = (s.quote for s in reader.statements if _holds(s.source, passage.source))
    return bool(within) and not across and not any(words in _flat(q) or q.endswith("…") for q in told)


def _holds(place: Source, other: Source) -> bool:
    """Whether one place is the other or holds it: a statement's may reach over the new words below it."""
    if place.box is None or other.box is None or place.sheet != other.sheet:
        return place == other
    return (
        place.box.x0 <= other.box.x0
        and place.box.top <= other.box.top
        and place.box.x1 >= other.box.x1
        and place.box.bottom >= other.box.bottom
    )


def _flat(words: str) -> str:
    return " ".join(words.split())


def _free(sentence: Sentence, taken: list[tuple[int, int]]) -> Iterator[Sentence]:
    """The stretches of a sentence that no reading holds."""
    at = sentence.start
    for a, b in sorted(taken):
        if b <= at or a >= sentence.end:
            continue
        if a > at:
            yield Sentence(at, a)
        at = max(at, b)
    if at < sentence.end:
        yield Sentence(at, sentence.end)


def _whole(reader: Reader, block: int, passage: Passage, sentence: Sentence) -> None:
    said = passage.folded[sentence.start : sentence.end]
    if _is_aside(reader, said) and not steps_in(reader, load_cues(), block, sentence):
        return
    guessed = guess(reader, block, sentence)
    if guessed:
        reader.statements.extend(guessed)
        return
    change = bool(reader.book.telltale.search(said))
    if not _names_something(passage, sentence, change) or (_FIELD.match(said) and not change):
        return
    if states_nothing(reader.book, said) or allowed(reader, load_cues(), block, sentence) is None:
        return
    words = passage.tagged.words(*sentence)
    here = (s for s in reader.statements if _holds(s.source, passage.source))
    if any(_flat(words) in _flat(s.quote) for s in here):
        return  # a statement has these words too
    message = f"unread: “{words}” speaks of a change that was not understood"
    reader.findings.append(Finding(message, passage.source, words))


def _news(reader: Reader, block: int, passage: Passage, rest: Sentence) -> bool:
    """True for a rest that names a step or several parts of which no statement speaks yet."""
    steps = steps_in(reader, load_cues(), block, rest)
    told = {(key(s.target.page or ""), key(s.target.item or "")) for s in _of(reader, Override)}
    fresh = [p for p in steps if (key(p.reference.page or ""), key(p.reference.items[0])) not in told]
    if BESIDE_THIS.search(passage.folded, rest.start, rest.end):
        return True
    parts = {key(t.text) for _, t in passage.tagged.inside(*rest) if t.kind in (PART, CODE)}
    return bool(fresh) or len(parts - _numbers(reader)) > 1


def _of(reader: Reader, kind: type[Override]) -> list[Override]:
    return [s for s in reader.statements if isinstance(s, kind)]


def _numbers(reader: Reader) -> set[str]:
    """Every number that a statement of the note names."""
    return {key(n) for s in reader.statements for n in _named(s)}


def _named(said: Statement) -> tuple[str, ...]:
    if isinstance(said, Supersession):
        return (*said.old, *said.new)
    if isinstance(said, Contents):
        lines: tuple[KitLine, ...] = (*said.lines, *said.previous)
        return (said.kit, *(line.part for line in lines if line.part))
    if isinstance(said, Cancels):
        return (said.cancels,)
    return (said.part,) if isinstance(said, Withdrawn) else ()


def _names_something(passage: Passage, sentence: Sentence, change: bool) -> bool:
    """True for a sentence that speaks of a change and names a part, a note, a value or a step, and for
    any that names a step or several parts; a manual alone is a title."""
    tags = [tag for _, tag in passage.tagged.inside(*sentence)]
    steps = [t.content for t in tags if isinstance(t.content, Reference)]
    parts = [t for t in tags if t.kind in (PART, CODE)]
    if any(s.items for s in steps) or len(parts) > 1:
        return True
    named = (
        parts or any(s.page for s in steps) or any(t.kind in (NOTE, VALUE) and t.label != "own" for t in tags)
    )
    return change and bool(named)


def _is_aside(reader: Reader, said: str) -> bool:
    """True for a sentence that states nothing once its asides are taken out."""
    rest = reader.book.wordings("aside", "ending", "rider").without(said)
    return rest != said and not any(sign in rest for sign in (PART, CODE, REF, NOTE))

"""Doubtful readings of sentences whose wording is not in the phrase book.

Only where the type and what it is about are plain from the words around the numbers. A guess is never
settled: it is there so that a person is asked about a step or a part, and not merely shown a sentence.
"""

import re
from collections.abc import Sequence

from benchleaf.graph.keys import key
from benchleaf.graph.model import Action, Cancels, Contents, Override, Statement, Supersession, Target
from benchleaf.ingest.head.serials import statement_applies
from benchleaf.ingest.phrases.contents import read_lines
from benchleaf.ingest.phrases.guards import REFUSE, VOID, trips, worst
from benchleaf.ingest.phrases.judging import Surroundings, Verdict, folded_limits, holds_for, plain
from benchleaf.ingest.phrases.labels import kit_label
from benchleaf.ingest.phrases.newwords import collect
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.references import Reference, merged
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.tags import CODE, NOTE, PART, QUOTE, VALUE, Tag

_WHY = "the wording is not in the phrase book"
_SUPERSEDES = re.compile(
    r"replac|supersed|substitut|success|in place of|instead of|in lieu of|no longer"
    r"|discontinu|obsolete|\bNLA\b|becom"
    r"|renumber|changed? to|run out|S/S",
    re.IGNORECASE,
)
_OLD_FIRST = re.compile(
    r"(?:replaced|superseded|succeeded|followed|substituted) (?:\w+ ){0,4}(?:by|with|through)"
    r"|no longer|discontinu|obsolete"
    r"|\bNLA\b|run out|thereafter|\bthen\b|becom|renumber|changed? to|\buse\b|\border\b|S/S"
    r"|successor (?:is|being)",
    re.IGNORECASE,
)
_NEW_FIRST = re.compile(
    r"replac(?:es|ing)|supersed(?:es|ing)|in place of|instead of|in lieu of|formerly|previously|takes over"
    r"|(?:successor|replacement|substitute) (?:to|of|for)|rather than",
    re.IGNORECASE,
)
_BEFORE_OLD = re.compile(
    r"(?:instead of|in place of|in lieu of|\bold\b|formerly|previously)[a-z ]{0,30}$", re.IGNORECASE
)
_INSERTS = re.compile(
    r"\b(?:add|insert|new|additional|further|extra|supplement|introduc|includ)", re.IGNORECASE
)
_BEFORE = re.compile(r"\b(?:before|ahead of|prior to|in front of)\b", re.IGNORECASE)
_AFTER = re.compile(
    r"\b(?:after|following|behind|between|below|complete|completed|once|afterwards)\b", re.IGNORECASE
)
_CAUTION = re.compile(r"\b(?:caution|warning)\b", re.IGNORECASE)
_REPLACES = re.compile(
    r"\b(?:replac|chang|amend|revis|correct|read|instead|substitut|wording|as follows|rewrit"
    r"|reword|modif|text)",
    re.IGNORECASE,
)
_DELETES = re.compile(
    r"\b(?:delet|omit|disregard|ignor|cancel|withdraw|dropp|strik|struck|cross|no longer"
    r"|superfluous|obsolete|void|skip)",
    re.I,
)
_WITHIN = re.compile(
    r"\b(?:notes?|cautions?|warnings?|sentences?|words?|lines?|figures?|tables?|values?)\b", re.IGNORECASE
)
_CHANGES = re.compile(
    r"\b(?:chang|increas|reduc|rais|lower|instead|in place|was|previous|former|now|should"
    r"|correct|amend|read|becom|replac|old)",
    re.IGNORECASE,
)
_WAS = re.compile(
    r"(?:\bfrom|\bwas|previously|formerly|instead of|in place of|in lieu of|\bnot|\bold"
    r"|\bthan|before|up to now)[a-z ,:(]{0,16}$",
    re.I,
)
_NOW = re.compile(
    r"(?:\bto|\bnow|\bread|\bbe|\bnew|\bwith|\bby|becomes|applies|\buse)[a-z ,:(]{0,16}$", re.IGNORECASE
)
_HOLDS = re.compile(
    r"\b(?:contain|consist|compris|includ|find|contents?|holds?|packed|supplied)", re.IGNORECASE
)
_CANCELS = re.compile(
    r"cancel|withdraw|supersed|replac|\bvoid|rescind|destroy|discard|no longer|invalid"
    r"|obsolete|revok|annul",
    re.IGNORECASE,
)
_ANNOUNCES = re.compile(rf":|(?<= ){QUOTE}|^{QUOTE}")


def guess(reader: Reader, block: int, sentence: Sentence) -> tuple[Statement, ...]:
    """Doubtful statements of a sentence that no phrase matched; none if nothing is plain."""
    passage = reader.passage(block)
    said = passage.folded[sentence.start : sentence.end]
    words = passage.tagged.words(sentence.start, sentence.end)
    bare = plain(reader.book, said, folded_limits(words, reader.body.models))
    found = trips(reader.book, "", bare, "", said)
    gravest = worst(found)
    if gravest in (VOID, REFUSE) or any(t.kind == "unchanged" for t in found):
        return ()
    verdict = Verdict("doubtful", tuple(dict.fromkeys((_WHY, *(t.why for t in found)))))
    for reading in (_step, _parts, _kit, _note):
        made = reading(reader, block, sentence, verdict)
        if made:
            return made
    return ()


def _around(sentence: Sentence, end: int | None = None) -> Surroundings:
    return Surroundings("", "", "", "", sentence.start, max(end or 0, sentence.end))


def _parts(reader: Reader, block: int, sentence: Sentence, verdict: Verdict) -> tuple[Statement, ...]:
    """Two part numbers with a word of supersession between or before them."""
    passage = reader.passage(block)
    said = passage.folded[sentence.start : sentence.end]
    parts = [(i, t) for i, t in passage.tagged.inside(*sentence) if t.kind in (PART, CODE)]
    barred = {key(p) for p in reader.body.publications}
    if len(parts) != 2 or not _SUPERSEDES.search(said) or any(key(t.text) in barred for _, t in parts):
        return ()
    (first_at, first), (second_at, second) = parts
    between = passage.folded[first_at + 1 : second_at]
    before = passage.folded[sentence.start : first_at]
    new_first = bool(_NEW_FIRST.search(between)) and not _OLD_FIRST.search(between)
    old_first = bool(_BEFORE_OLD.search(before)) or bool(_OLD_FIRST.search(between))
    if new_first == old_first or key(first.text) == key(second.text):
        return ()
    old, new = (second, first) if new_first else (first, second)
    common = reader.common(passage, _around(sentence), verdict)
    return (Supersession(**common, old=(old.text,), new=(new.text,)),)


def _step(reader: Reader, block: int, sentence: Sentence, verdict: Verdict) -> tuple[Statement, ...]:
    """A step with words that insert, replace, delete, warn, or two values of which one is the old."""
    passage = reader.passage(block)
    cited = [t.content for _, t in passage.tagged.inside(*sentence) if isinstance(t.content, Reference)]
    whole = merged(cited) if cited else None
    if whole is None or not whole.items:
        return ()
    said = passage.folded[sentence.start : sentence.end]
    announced = _ANNOUNCES.search(said)
    head = said[: announced.start()] if announced else said
    values = [(i, t) for i, t in passage.tagged.inside(*sentence) if t.kind == VALUE]
    if len(values) == 2 and _CHANGES.search(said):
        return _value(reader, block, sentence, verdict, whole, values)
    action = _action(head, announced is not None)
    if action is None:
        return ()
    text, end = None, sentence.end
    if action != "delete" and announced:
        place = sentence.start + announced.start() + (announced.group() == ":")
        new = collect(reader.book, reader.body.blocks, block, place, whole.items)
        text, end = new.text, new.end if new.block == block else len(passage.folded)
    if action != "delete" and not text:
        return ()
    return _overrides(reader, block, _around(sentence, end), verdict, whole, action, text)


def _action(head: str, announced: bool) -> Action | None:
    """The action that the words before the colon speak of; None if they speak of none, or of several."""
    if not announced:
        part_of_it = _WITHIN.search(head)
        return "delete" if _DELETES.search(head) and not _REPLACES.search(head) and not part_of_it else None
    if _CAUTION.search(head):
        return "caution"
    if _INSERTS.search(head) and not _DELETES.search(head):
        if _BEFORE.search(head):
            return "insert-before"
        if _AFTER.search(head):
            return "insert-after"
    return "replace" if _REPLACES.search(head) else None


def _value(
    reader: Reader,
    block: int,
    sentence: Sentence,
    verdict: Verdict,
    whole: Reference,
    values: Sequence[tuple[int, Tag]],
) -> tuple[Statement, ...]:
    """Two values: the one behind "was", "from" or "instead of" is the old one."""
    passage = reader.passage(block)
    (first_at, first), (second_at, second) = values
    lead = passage.folded[sentence.start : first_at]
    between = passage.folded[first_at + 1 : second_at]
    if _WAS.search(between):
        was, now = second.text, first.text
    elif _WAS.search(lead) or _NOW.search(between):
        was, now = first.text, second.text
    else:
        return ()
    return _overrides(reader, block, _around(sentence), verdict, whole, "change-value", None, was, now)


def _overrides(
    reader: Reader,
    block: int,
    around: Surroundings,
    verdict: Verdict,
    whole: Reference,
    action: Action,
    text: str | None,
    was: str | None = None,
    now: str | None = None,
) -> tuple[Statement, ...]:
    passage = reader.passage(block)
    full = reader.completed(block, around.start, whole)
    if any(
        isinstance(s, Override) and s.target.item in full.items and _same_page(s.target, full)
        for s in reader.statements
    ):
        return ()
    limit = statement_applies(passage.tagged.words(around.start, around.end), reader.body.models)
    common = reader.common(passage, around, verdict)
    applies = holds_for(reader.header.applies, limit)
    targets = [Target(full.publication, full.page, item) for item in full.items]
    if action in ("insert-after", "insert-before"):
        targets = targets[:1]
    return tuple(
        Override(**common, action=action, target=t, text=text, was=was, now=now, applies=applies)
        for t in targets
    )


def _same_page(target: Target, reference: Reference) -> bool:
    return key(target.page or "") == key(reference.page or "")


def _kit(reader: Reader, block: int, sentence: Sentence, verdict: Verdict) -> tuple[Statement, ...]:
    """One kit and at least two lines with counts before or behind it."""
    passage = reader.passage(block)
    kits = [(i, t) for i, t in passage.tagged.inside(*sentence) if t.kind == PART and kit_label(t)]
    if len(kits) != 1 or not _HOLDS.search(passage.folded[sentence.start : sentence.end]):
        return ()
    place, kit = kits[0]
    for start, end in ((place + 1, sentence.end), (sentence.start, place)):
        first = re.search(r"(?<![0-9A-Za-z])[0-9]{1,2} ", passage.folded[start:end])
        if first is None:
            continue
        lines = read_lines(passage.tagged, start + first.start(), end).lines
        if len(lines) > 1:
            common = reader.common(passage, _around(sentence), verdict)
            return (Contents(**common, kit=kit.text, lines=lines),)
    return ()


def _note(reader: Reader, block: int, sentence: Sentence, verdict: Verdict) -> tuple[Statement, ...]:
    """One other note, with a word of cancelling and no part."""
    passage: Passage = reader.passage(block)
    tags = passage.tagged.inside(*sentence)
    notes = [t for _, t in tags if t.kind == NOTE and t.label != "own"]
    if len(notes) != 1 or any(t.kind in (PART, CODE) or isinstance(t.content, Reference) for _, t in tags):
        return ()
    if not _CANCELS.search(passage.folded[sentence.start : sentence.end]):
        return ()
    return (Cancels(**reader.common(passage, _around(sentence), verdict), cancels=notes[0].text),)

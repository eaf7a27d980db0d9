"""The sentences behind a change that narrow it or take it back: "Units before 4000 are not affected."

A limit that is understood ("This applies from serial number 20500.") is read as one elsewhere. What is left
here is a doubt that quotes the sentence: the change holds, but not for all, or no more. Common practice, no
source.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from benchleaf.graph.model import Contents, Override, Statement, Supersession, Withdrawn
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Built, Reader
from benchleaf.ingest.phrases.tags import CODE, MODEL, PART, SERIAL, WEAK

_CHANGES = ("override", "supersession", "withdrawn", "cancels")
_NEAR = 3
"""Sentences behind a change that may still speak of it."""
_NUMBER = f"[{PART}{CODE}{WEAK}{MODEL}{SERIAL}]"
_OPENING = r"(?:(?:please )?note(?: that|:)? |however,? |but |nevertheless,? |only |please )?"
_CHANGE = (
    r"(?:change|amendment|correction|deletion|modification|instruction|alteration|replacement|supersession"
    r"|measure|rule|(?:new|changed|revised) (?:part|step|text|value|kit|wording|number|figure))"
)
_IT = rf"(?:this|that|it|which|the above|the foregoing|these|(?:the|this|that) (?:[a-z]{{3,12}} )?{_CHANGE})"
_UNITS = (
    r"(?:units?|gearbox(?:es)?|machines?|pumps?|brakes?|clutch(?:es)?|boxes|gears|models?|types?|engines?"
    rf"|tractors?|vehicles?|all|those|(?:the )?{_NUMBER})(?![a-z])"
)
_FORMER = (
    r"(?:the (?:old|former|previous|earlier|existing|original)"
    r" (?:part|kit|step|text|value|number|one|wording|figure|instruction|pattern)s?)"
)
_NOT_FOR = (
    rf"{_IT}(?: [a-z]+){{0,2}} (?:does|do) not (?:apply|hold|concern|refer|affect (?:the )?{_NUMBER})",
    rf"{_IT} (?:is|are|was|were) not (?:valid|applicable|to be (?:done|applied|carried out|fitted|used))",
    rf"{_IT} (?:must|may|shall|should) not be (?:done|applied|carried out)",
    rf"{_UNITS}.{{0,60}}\b(?:is|are|remains?) (?:excepted|exempt(?:ed)?|excluded|unaffected)",
    rf"{_UNITS}.{{0,60}}\b(?:is|are) (?:therefore |thus )?not (?:affected|concerned|included|involved)",
)
_ONLY_FOR = (
    rf"{_IT} (?:applies|apply|holds?|is valid|is applicable|is effective|concerns|affects)"
    r"(?: [a-z]{2,8}){0,2} only\b",
    rf"only (?:units|those|{_UNITS})\b.{{0,60}}\b(?:are|is) (?:affected|concerned|involved)",
    rf"(?:{_NUMBER}|{_IT}) (?:must|may|can|should) (?:only be|be only|not be)"
    r" (?:used|fitted|installed|mounted) (?:with|without|in|on|together|after|if|where)\b",
    r"(?:use|fit|order|install) (?:the (?:new|latter) [a-z]{3,9}|it|this) only\b",
)
_TAKEN_BACK = (
    rf"{_IT} (?:was|is|has been|had been|were)(?: since| later| however)?"
    r" (?:a mistake|an error|wrong|in error|incorrect|premature"
    r"|withdrawn|cancelled|reversed|reinstated|restored|reintroduced|revoked)",
    r"(?:ignore|disregard|forget) (?:this|that|it|the above)\b",
)
_STAYS = (
    rf"(?:on|for|in|with|{_UNITS}) .{{1,60}}? (?:it|step|this|{_FORMER}|{_NUMBER})(?: \S{{1,20}}){{0,3}}"
    r" (?:remains?|stays?|continues?|still applies|still holds|is (?:still|retained|kept)"
    r"|must (?:still )?be (?:used|fitted|retained|observed))\b",
    rf"{_UNITS}.{{0,40}} (?:continue|carry on|go on|keep)s? (?:to (?:use|have|take)|using|with|having)\b",
    rf"{_FORMER} (?:must|should|is to|are to|has to|shall) (?:still |therefore |always )?(?:be )?"
    r"(?:used|fitted|ordered|retained|kept|stay) .{0,20}(?:on|for|in|with|where|if)\b",
    rf"(?:on|for|in) {_UNITS}.{{0,40}} (?:order|use|fit|continue with|keep|retain) {_NUMBER}",
)
_SEQUEL = re.compile(
    rf"{_OPENING}(?:{'|'.join((*_NOT_FOR, *_ONLY_FOR, *_TAKEN_BACK, *_STAYS))})", re.IGNORECASE
)
_ABOUT_UNITS = re.compile(
    rf"{_OPENING}{_UNITS}.{{0,80}}(?:affected|concerned|included|involved)", re.IGNORECASE
)


def with_sequels(reader: Reader, block: int, built: Built, waiting: Sequence[Match]) -> tuple[Statement, ...]:
    """The statements built from a passage, doubtful where a sentence behind them narrows them or takes them
    back: one of the next three before another change begins, or the first of the next paragraph."""
    said = [] if built.claims else list(_behind(reader, block, built.end, waiting))
    return tuple(_doubted(reader, one, said) for one in built.statements) if said else built.statements


def _behind(reader: Reader, block: int, place: int, waiting: Sequence[Match]) -> Iterator[tuple[str, str]]:
    passage = reader.passage(block)
    others = (m.start for m in waiting if m.start >= place and m.phrase.type in _CHANGES)
    until = min(others, default=len(passage.folded))
    yield from _sequels(passage, place, until, _NEAR)
    if not any(s.start >= place for s in passage.sentences) and block + 1 < len(reader.body.blocks):
        below = reader.body.blocks[block + 1]
        if isinstance(below, Passage):
            yield from _sequels(below, 0, len(below.folded), 1)


def _sequels(passage: Passage, place: int, until: int, most: int) -> Iterator[tuple[str, str]]:
    """The folded and the printed words of the sentences that narrow or take back."""
    for sentence in [s for s in passage.sentences if place <= s.start < until][:most]:
        folded = passage.folded[sentence.start : sentence.end]
        if _SEQUEL.match(folded):
            yield folded, passage.tagged.words(sentence.start, sentence.end).strip()


def _doubted(reader: Reader, one: Statement, said: Iterable[tuple[str, str]]) -> Statement:
    if one.standing != "settled" or not isinstance(one, (Override, Supersession, Withdrawn, Contents)):
        return one
    known = one.applies if isinstance(one, Override) else reader.header.applies
    limited = isinstance(one, Override) and one.applies != reader.header.applies
    bounded = bool(known.serial_from or known.serial_to or known.excepted or limited)
    why = tuple(
        f"a later sentence narrows it or takes it back: “{words[:200]}”"
        for folded, words in said
        if not (bounded and (_ABOUT_UNITS.match(folded) or (limited and "only" in folded)))
    )
    return replace(one, standing="doubtful", why=(*one.why, *why)) if why else one

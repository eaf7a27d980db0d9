"""The rest of a kit: sentences that go on with its list, or say that the rest stays as it was; and the
kits that one sentence names together. Wordings: common practice, no source."""

import re
from typing import NamedTuple

from benchleaf.graph.keys import key
from benchleaf.ingest.phrases.contents import Lines, read_lines
from benchleaf.ingest.phrases.labels import kit_label
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.sentences import sentence_at
from benchleaf.ingest.phrases.tags import CODE, NOTE, PART, WEAK

_P = f"[{PART}{CODE}{WEAK}]"
_STAYS = (
    r"(?:(?:is|are|has|have|remains?|stays?) (?:all |still |otherwise )?"
    r"(?:(?:been |left )?(?:un(?:changed|altered|affected)|not (?:been )?(?:changed|altered|affected))"
    r"|the same|as before|identical|as hitherto|as it was|as they were)|does not change|do not change)"
)
_REST = re.compile(
    r"[ ,;]{0,2}(?:and |but |otherwise )?(?:"
    r"(?:the |all )?(?:rest|remainder|balance)(?: of (?:it|(?:the|this|its) (?:kit|set|contents?"
    r"|parts|list)))?"
    r"|(?:the |all |its )?(?:other|remaining) (?:kit )?(?:parts|items|contents?|lines|pieces|components))"
    rf"(?: of (?:the|this) (?:kit|set))? {_STAYS}"
    rf"(?:,? (?:as|to|with) (?:in |those (?:in|of) |that of |the contents of )?(?:the )?(?:old "
    rf"|former |previous )?"
    rf"(?:kit |set )?{_P}?)?(?: (?:namely|that is))?",
    re.IGNORECASE,
)
_ADDS = re.compile(
    r"[ ,;]{0,2}(?:(?:in addition|besides|further|furthermore|also)?,? ?(?:it|the (?:kit"
    r"|set)) (?:also|further|still)"
    r" (?:contains?|holds?|includes?|comprises?)|the (?:kit|set) (?:is|gets) completed by"
    r"|(?:further|other) (?:parts|contents|items)(?: of the kit| in the kit)?(?: are)?"
    r"|(?:it|the kit|the set) is completed (?:by|with))[ :,]",
    re.IGNORECASE,
)
_JOIN = r"(?: ?, ?| and |, and | & | ?/ ?| as well as | or )"
_KITS_BEFORE = re.compile(
    rf"(?:^|(?P<kits>\b(?:kits|sets)\b[a-z .:]{{0,20}})|(?<=[^{PART}{CODE}{WEAK}]))"
    rf"(?P<run>(?:{_P}(?: ?\([^()]{{0,40}}\))?{_JOIN}(?:of )?(?:the )?(?:kit |set )?){{1,6}})$",
    re.IGNORECASE,
)


_FOR_UNIT = re.compile(
    rf"{_P},? \(?for (?:(?:the|models?|types?|unit|gear|pump|brake) ){{0,2}}$", re.IGNORECASE
)


class Rest(NamedTuple):
    """The lines that go on with a list, the place where they end, and whether the rest is said to stay as it
    was without being told."""

    found: Lines
    end: int
    untold: str = ""


def with_rest(passage: Passage, found: Lines, end: int) -> Rest:
    """A list with the sentences behind it that go on with it.

    "The rest is the same as in the old kit: 2 rings" gives lines that the kit had before, in the same
    number; without a list, what the rest is stays untold.
    """
    untold = ""
    for further in passage.sentences:
        if further.start < end:
            continue
        said = passage.folded[further.start : further.end]
        same, more = _REST.match(said), _ADDS.match(said)
        lead = same or more
        tail = said[lead.end() :] if lead else said
        if same and not tail.strip(" .:;,"):
            untold, end = passage.tagged.words(*further).strip(" ,;."), further.end
            break
        if same and not re.match(r" ?[:(,–—-]", tail):
            break
        start = further.start + (lead.end() if lead else 0)
        start += len(tail) - len(tail.lstrip(" :,–—-"))
        read = read_lines(passage.tagged, start, further.end)
        if not read.lines or not read.whole or NOTE in said:
            break
        found, end = _joined(found, read, same is not None), further.end
    return Rest(found, end, untold)


def _joined(found: Lines, read: Lines, same: bool) -> Lines:
    """Two lists as one. Lines that are the same as before are also lines of the kit before, where the rest
    of that is told."""
    before = read.previous or (read.lines if same and found.previous else ())
    return Lines(
        (*found.lines, *read.lines), (*found.previous, *before), found.whole, (*found.why, *read.why)
    )


def kits_together(passage: Passage, match: Match) -> tuple[str, ...]:
    """The kits that a sentence names beside the one of its match: "kits A and B contain …" with B matched
    gives A."""
    span = match.span("kit")
    tags = passage.tagged.inside(*span) if span else ()
    if not tags:
        return ()
    place = tags[0][0]
    sentence = sentence_at(passage.sentences, place)
    run = _KITS_BEFORE.search(passage.folded, sentence.start, place)
    if run is None:
        return ()
    found = [t for _, t in passage.tagged.inside(*run.span("run")) if t.kind in (PART, CODE, WEAK)]
    if not found or not (run["kits"] or all(kit_label(t) for t in found[:1])):
        return ()
    mine = key(tags[0][1].text)
    return tuple({key(t.text): t.text for t in found if key(t.text) != mine}.values())


def kit_for_unit(passage: Passage, place: int) -> str | None:
    """The kit that the number at a place is the unit of: "set 4471-20 for KX 40, consisting of"; None for any
    other number."""
    tag = passage.tagged.tags.get(place)
    before = _FOR_UNIT.search(passage.folded[max(0, place - 40) : place])
    if before is None or tag is None or tag.kind not in (PART, CODE, WEAK) or kit_label(tag):
        return None
    kit = passage.tagged.tags[place - len(before.group())]
    return kit.text if kit_label(kit) else None

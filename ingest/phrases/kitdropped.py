"""Kits that lose a part: "kit A comes without seal B (formerly 2)".

What was in the kit and is there no more is a line with the count 0, and a line of before where its count is
told. Wordings: common practice, no source.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Contents, KitLine
from benchleaf.ingest.phrases.contents import singular
from benchleaf.ingest.phrases.kitcounts import COUNT, quantity
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Built, Reader
from benchleaf.ingest.phrases.sentences import sentence_at
from benchleaf.ingest.phrases.tags import CODE, PART, WEAK

_NUMBER = f"[{PART}{CODE}{WEAK}]"
_WAS = re.compile(
    rf"[\(\[,;–—-] ?(?:previously|formerly|before|earlier|was|were|hitherto|instead of|so far|until now):? "
    rf"(?P<q>{COUNT})(?: (?:pcs\.?|pieces|off|each))?(?:,? (?:and )?now (?:none|nil|no|0|without))? ?[\)\]]?",
    re.IGNORECASE,
)
_JOINED = re.compile(
    r" ?, (?:and |or |nor )?| ?& | ?; | (?:and|or|nor|as well as|together with) ", re.IGNORECASE
)
_LINE = re.compile(
    rf"(?:the |an? |any |its |both )?(?:(?P<q>{COUNT})(?: ?[x×]| pcs\.?| off| pieces)? )?(?:the |of |old )?"
    rf"(?P<name>[A-Za-z][A-Za-z'’/-]*(?: [A-Za-z'’/-]+){{0,4}})?,? ?\(?(?P<part>{_NUMBER})?\)?",
    re.IGNORECASE,
)
_UNNUMBERED = "what the kit holds no longer is told by its name alone"
_PARTLY = "not every word on what the kit holds no longer was understood"


@dataclass(frozen=True, slots=True)
class Dropped:
    """The lines that a kit holds no longer, and what is unclear about them."""

    lines: tuple[KitLine, ...]
    why: tuple[str, ...] = ()


def build_dropped(reader: Reader, block: int, match: Match, kit: str) -> Built | None:
    """Contents of a kit that lost parts: none of them now, and how many before; None if the words name
    nothing that a kit can hold."""
    passage = reader.passage(block)
    end = sentence_at(passage.sentences, max(match.start, match.end - 1)).end
    span = match.span("front") or _behind(passage, match, end)
    found = read_dropped(passage, *span)
    if found is None:
        return None
    told = tuple(key(line.part) for line in found.lines if line.part)
    around, verdict = reader.judged(block, match, match.end, (key(kit), *told))
    if verdict.standing is None:
        return Built((), match.start, match.end)
    why = tuple(dict.fromkeys((*_without_none(verdict.why), *found.why)))
    standing = verdict.standing if verdict.standing == "refused" else "doubtful" if why else "settled"
    stands = replace(verdict, standing=standing, why=why)
    none = tuple(replace(line, quantity=0) for line in found.lines)
    before = tuple(line for line in found.lines if line.quantity is not None)
    made = Contents(**reader.common(passage, around, stands), kit=kit, lines=none, previous=before)
    return Built((made,), match.start, end)


def _without_none(why: Sequence[str]) -> tuple[str, ...]:
    """ "Formerly 2, none now" denies nothing: it says the same again."""
    return tuple(w for w in why if "“none”" not in w)


def _behind(passage: Passage, match: Match, end: int) -> tuple[int, int]:
    """The words of the match's last slot, to the end of its sentence."""
    lines = match.span("lines")
    start = lines[0] if lines else match.end
    return start, max(start, end)


def read_dropped(passage: Passage, start: int, end: int) -> Dropped | None:
    """The lines that some words name, each with the count before where it is told."""
    said = passage.folded[start:end]
    lines: list[KitLine] = []
    why: list[str] = []
    at = 0
    for piece in (*_JOINED.finditer(_blanked(said)), None):
        stop = piece.start() if piece else len(said)
        if (words := said[at:stop]).strip(" .;:,"):
            line = _line(passage, start + at, words)
            lines.extend((line,) if line is not None else ())
            why.extend(() if line is not None else (_PARTLY,))
        at = piece.end() if piece else stop
    if not lines:
        return None
    why.extend(_UNNUMBERED for line in lines if line.part is None)
    return Dropped(tuple(lines), tuple(dict.fromkeys(why)))


def _blanked(said: str) -> str:
    """Commas and conjunctions in brackets part nothing."""
    return re.sub(r"\([^()]*\)|\[[^\[\]]*\]", lambda m: "(" * len(m.group()), said)


def _line(passage: Passage, start: int, words: str) -> KitLine | None:
    was = _WAS.search(words)
    plain = (words[: was.start()] + words[was.end() :]) if was else words
    lead = len(plain) - len(plain.lstrip(" :"))
    found = _LINE.fullmatch(plain.strip(" .:;,"))
    if found is None or not (found["name"] or found["part"]):
        return None
    place = start + lead + found.start("part") if found["part"] else -1
    tag = passage.tagged.tags.get(place)
    count = quantity(found["q"]) if found["q"] else quantity(was["q"]) if was else None
    return KitLine(tag.text if tag else None, singular(found["name"] or ""), count)

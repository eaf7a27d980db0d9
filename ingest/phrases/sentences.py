"""Sentences of a folded paragraph, as stretches of its folded text."""

import re
from typing import NamedTuple

from benchleaf.ingest.phrases.tags import ANY, REF, Tagged

_END = re.compile(rf"(?<![.!?…])[.!?…]++[\"'”’)\]]*+(?: +(?=[\"'“\u2018(\[]*[A-Z0-9{ANY}•–-]|\(?[a-z]\) )|$)")
# "step 4: for 9 Nm read 11 Nm; step 6: delete": what stands behind the semicolon is a change of its own.
_AMENDS = re.compile(
    r"\b(?:reads?|delete[d]?|add(?:ed)?|insert(?:ed)?|change[ds]?|replaced?|omit(?:ted)?|becomes|now|cancel(?:led)?)\b",
    re.I,
)
_NEXT = re.compile(rf"; (?=(?:\(?[a-z0-9]{{1,2}}\) |(?:and )?(?:in |on |at )?(?:the )?){REF})", re.I)
_ABBREVIATION = re.compile(
    r"(?:\b(?:no|nos|nr|p|pp|pg|fig|figs|approx|incl|excl|e\.g|i\.e|eg|ie|ser|pt|pos|para"
    r"|paras|op|ops|ref|qty|pcs|max|min|dept|vs|cf"
    r"|ed|rev|vol|ch|chap|sec|sect|assy|assys|st|mr|mrs|dr|co|ltd|inc|corp|mfg|tel|resp|temp"
    r"|dia|std|tech|serv|wt|ea|ex|exs|exa|nom|spec|tab|tabs|ll?|eq|fn"
    r"|jan|feb|mar|apr|jun|jul|aug|sep|sept|oct|nov|dec)|\b[A-Z])\.$",
    re.IGNORECASE,
)
_ENDS_A_LIST = re.compile(
    r"(?:\b(?:pcs|assy|max|min|incl|etc|nom|std|qty|ea|in|ft)|\b[A-Z])\.$", re.IGNORECASE
)


class Sentence(NamedTuple):
    """folded[start:end], its closing mark included, the blanks behind it not."""

    start: int
    end: int


def sentences(tagged: Tagged) -> tuple[Sentence, ...]:
    """The sentences of a paragraph. An abbreviation ("no.", "p.", "approx.") ends none, unless a capital word
    follows one that often stands last ("10 pcs. The")."""
    found: list[Sentence] = []
    start = 0
    text = tagged.folded
    for match in sorted((*_END.finditer(text), *_NEXT.finditer(text)), key=lambda m: m.start()):
        if match.re is _NEXT:
            if _AMENDS.search(text, start, match.start()):
                found.append(Sentence(start, match.start() + 1))
                start = match.end()
            continue
        before = text[max(0, match.start() - 12) : match.start() + 1]
        if match.end() < len(text) and _ABBREVIATION.search(before):
            last = _ENDS_A_LIST.search(before)
            if not last or not re.match(r"[A-Z][a-z]", text[match.end() : match.end() + 2]):
                continue
        end = match.start() + len(match.group().rstrip())
        if text[start:end].strip():
            found.append(Sentence(start, end))
        start = match.end()
    if text[start:].strip():
        found.append(Sentence(start, len(text)))
    return tuple(found)


def sentence_at(found: tuple[Sentence, ...], place: int) -> Sentence:
    """The sentence that a place of the folded text lies in."""
    return next((s for s in reversed(found) if s.start <= place), found[0] if found else Sentence(0, 0))

"""A sentence struck out of a step: "Strike out the second sentence of step 6"."""

import re
from collections.abc import Sequence
from dataclasses import replace

from benchleaf.graph.model import Override
from benchleaf.ingest.phrases.judging import holds_for, limited_afterwards
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.overriding import targets
from benchleaf.ingest.phrases.reader import Built, Reader
from benchleaf.ingest.phrases.references import Reference

_WHICH = re.compile(r"\b(first|second|third|fourth|fifth|sixth|last) sentence\b", re.IGNORECASE)
_ANOTHER = re.compile(r"\bsentence\b", re.IGNORECASE)
_SEVERAL = "it is not said of which step the sentence is struck out"
_MORE = "the note speaks of another sentence beside it"


def build_struck(reader: Reader, block: int, match: Match, chosen: Sequence[Reference]) -> Built | None:
    """The step's replacement by its own words without the sentence, which only the held step can tell: `was`
    names the sentence by its place. None if no step is named."""
    passage = reader.passage(block)
    which = _WHICH.search(passage.folded, match.start, match.end)
    aims = [t for r in chosen for t in targets(r) if t.item]
    if which is None or not aims:
        return None
    around, verdict = reader.judged(block, match, match.end)
    if verdict.standing is None:
        return Built((), match.start, match.end)
    why = [*verdict.why, *(w for r in chosen for w in r.why)]
    why += [_SEVERAL] if len(aims) > 1 else []
    others = (passage.folded[around.start : match.start], passage.folded[match.end : around.end])
    why += [_MORE] if any(_ANOTHER.search(words) for words in others) else []
    standing = "doubtful" if why and verdict.standing == "settled" else verdict.standing
    stands = replace(verdict, standing=standing, why=tuple(dict.fromkeys(why)))
    limit = verdict.applies or limited_afterwards(passage, match.end, reader.body.models)
    made = tuple(
        Override(
            **reader.common(passage, around, stands),
            action="replace",
            target=target,
            was=f"the {which[1].lower()} sentence",
            applies=holds_for(reader.header.applies, limit),
        )
        for target in aims
    )
    return Built(made, match.start, match.end)

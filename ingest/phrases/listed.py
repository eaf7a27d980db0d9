"""New words for steps that only their list names: "Two steps on page 5 have been rewritten: 2. … 4. …"."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.model import Override, Target
from benchleaf.ingest.phrases.judging import holds_for
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.newwords import NewWords, labelled
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Built, Reader
from benchleaf.ingest.phrases.references import Reference

_COUNT = re.compile(
    r"\b(?P<count>two|three|four|five|six|[2-6]) (?:[a-z]+ )?"
    r"(?:steps|operations|items|paragraphs|instructions|points)\b",
    re.IGNORECASE,
)
_WORDS = ("two", "three", "four", "five", "six")
_COUNTED = "the numbers before the new words may only count the list"
_OTHER_COUNT = "the note speaks of {} steps and lists {}"
_SEVERAL = "the note names several publications"
_NO_PAGE = "the page of the listed steps is not named"


@dataclass(frozen=True, slots=True)
class _Entry:
    label: str
    words: NewWords


def build_listed(reader: Reader, block: int, match: Match, named: Sequence[Reference]) -> Built | None:
    """One new wording for each step of the list below a match; None if no such list stands there."""
    passage = reader.passage(block)
    if passage.folded[match.end :].strip(" :.–—-") or len(named) > 1 or any(r.items for r in named):
        return None
    entries = [_Entry(*e) for e in labelled(reader.book, reader.body.blocks, block + 1)]
    if not entries:
        return None
    around, verdict = reader.judged(block, match, match.end)
    if verdict.standing is None:
        return Built((), match.start, match.end)
    whole = reader.completed(block, match.start, named[0] if named else Reference())
    told = bool(named and named[0].publication)
    why = (*verdict.why, *whole.why, *_doubts(passage, match, whole, entries, told, reader.body.publications))
    made = tuple(
        Override(
            **reader.common(
                passage,
                around,
                replace(
                    verdict,
                    standing="doubtful"
                    if (why or e.words.why) and verdict.standing == "settled"
                    else verdict.standing,
                    why=tuple(dict.fromkeys((*why, *e.words.why))),
                ),
                e.words.text or "",
            ),
            action="replace",
            target=Target(whole.publication, whole.page, e.label),
            text=e.words.text,
            was=None,
            now=None,
            applies=holds_for(reader.header.applies, verdict.applies),
        )
        for e in entries
    )
    claims = tuple((b, len(_folded(reader, b))) for b in range(block + 1, entries[-1].words.block + 1))
    return Built(made, match.start, len(passage.folded), claims)


def _doubts(
    passage: Passage,
    match: Match,
    whole: Reference,
    entries: Sequence[_Entry],
    told: bool,
    publications: Sequence[str],
) -> list[str]:
    why = []
    if not told and len(publications) > 1:
        why.append(_SEVERAL)
    if not whole.page:
        why.append(_NO_PAGE)
    if [e.label for e in entries] == [str(n + 1) for n in range(len(entries))]:
        why.append(_COUNTED)
    count = _COUNT.search(passage.folded[: match.end])
    if count:
        said = count["count"].lower()
        number = int(said) if said.isdigit() else _WORDS.index(said) + 2
        if number != len(entries):
            why.append(_OTHER_COUNT.format(count["count"], len(entries)))
    return why


def _folded(reader: Reader, block: int) -> str:
    found = reader.body.blocks[block]
    return found.folded if isinstance(found, Passage) else " "

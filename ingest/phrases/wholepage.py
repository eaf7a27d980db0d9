"""Changes on a page that name no step of it."""

from collections.abc import Sequence
from dataclasses import replace

from benchleaf.graph.model import Finding, Override, Standing, Target
from benchleaf.ingest.phrases.judging import Surroundings, Verdict, holds_for
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.overriding import Values
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Built, Reader
from benchleaf.ingest.phrases.references import Reference

_NO_STEP = "the words do not say which item is meant"


def whole_page(
    reader: Reader, block: int, match: Match, named: Sequence[Reference], changed: Values | None
) -> Built | None:
    """A page or section without a step: a change of words is a doubt about the page, anything else is shown
    to a person, for no step can be named."""
    passage = reader.passage(block)
    if not any(r.page or r.section for r in named) or match.phrase.weak:
        return None
    around, verdict = reader.judged(block, match, match.end)
    if verdict.standing is None:
        return Built((), match.start, match.end)
    page = next((r for r in named if r.page), None)
    if page is not None and changed is not None and changed.was and changed.now:
        return Built((_on_page(reader, passage, around, verdict, page, changed),), match.start, match.end)
    words = passage.tagged.words(around.start, around.end)
    reader.findings.append(
        Finding(f"unread: “{words}” changes a page but names no step on it", passage.source, words)
    )
    return Built((), match.start, match.end)


def _on_page(
    reader: Reader,
    passage: Passage,
    around: Surroundings,
    verdict: Verdict,
    page: Reference,
    changed: Values,
) -> Override:
    """Words of a page that change; which step holds them is not said."""
    why = tuple(dict.fromkeys((*verdict.why, *page.why, _NO_STEP)))
    standing: Standing | None = "doubtful" if verdict.standing == "settled" else verdict.standing
    return Override(
        **reader.common(passage, around, replace(verdict, standing=standing, why=why)),
        action="change-value",
        target=Target(page.publication, page.page, None),
        was=changed.was,
        now=changed.now,
        applies=holds_for(reader.header.applies, verdict.applies),
    )

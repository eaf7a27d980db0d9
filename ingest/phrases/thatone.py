"""What "that letter" and "that paragraph" mean: the one note, the one step, that the words before speak of.

Several of a kind before such words leave open which is meant, and nothing is read.
"""

import itertools
from collections.abc import Callable, Iterator

from benchleaf.graph.keys import key
from benchleaf.ingest.phrases.guards import carried
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.references import Reference
from benchleaf.ingest.phrases.sentences import Sentence, sentence_at
from benchleaf.ingest.phrases.tags import CODE, NOTE, WEAK, Tag

_Found = tuple[Passage, int, Tag]


def note_meant(
    reader: Reader, block: int, match: Match, is_note: Callable[[str, str | None], bool]
) -> list[tuple[str, tuple[str, ...]]]:
    """The note that "that letter" takes out of force, with the doubts of the sentence that names it; empty if
    the words before name none, or several. `is_note` tells a note's number by its form."""
    own = reader.header.number

    def named(tag: Tag) -> bool:
        if own and key(tag.text) == key(own):
            return False
        return tag.kind == NOTE or (tag.kind in (CODE, WEAK) and is_note(tag.text, own))

    before = list(_before(reader, block, match.start))
    found = [(p, i, t) for p, i, t in before if named(t)]
    series = {_letters(t.text) for _, _, t in found}
    others = {
        key(t.text) for _, _, t in before if t.kind in (CODE, WEAK, NOTE) and _letters(t.text) in series
    }
    if len(others) != 1 or (own and key(own) in others):
        return []
    passage, at, tag = found[0]
    return [(tag.text, carried(reader.book, _sentence(passage, at)))]


def _letters(number: str) -> str:
    """The letters that open a number: "SL" of "S.L. 58/4"."""
    return "".join(itertools.takewhile(str.isalpha, key(number)))


def step_meant(reader: Reader, block: int, match: Match) -> Reference | None:
    """The step of "that paragraph", completed with its manual and page; None if the words before name none,
    or several."""
    found = [
        (p, i, t.content)
        for p, i, t in _before(reader, block, match.start)
        if isinstance(t.content, Reference) and t.content.items
    ]
    if not found or len({(r.items, r.page, key(r.publication or "")) for _, _, r in found}) != 1:
        return None
    passage, at, reference = found[0]
    where = reader.body.blocks.index(passage)
    full = reader.completed(where, at, reference)
    why = (*full.why, *carried(reader.book, _sentence(passage, at)))
    return (
        Reference(full.publication, full.page, full.items, full.section, why)
        if len(full.items) == 1
        else None
    )


def _before(reader: Reader, block: int, place: int) -> Iterator[_Found]:
    """What the words before a place name: in its own paragraph, else in the one above."""
    here = [(reader.passage(block), i, t) for i, t in reader.passage(block).tagged.inside(0, place)]
    sentence = sentence_at(reader.passage(block).sentences, place)
    here = [f for f in here if f[1] < sentence.start]
    above = reader.body.blocks[block - 1] if block else None
    if not any(t.kind == NOTE or isinstance(t.content, Reference) for _, _, t in here) and isinstance(
        above, Passage
    ):
        here = [(above, i, t) for i, t in above.tagged.inside(0, len(above.folded))]
    yield from here


def _sentence(passage: Passage, at: int) -> str:
    found: Sentence = sentence_at(passage.sentences, at)
    return passage.folded[found.start : found.end]

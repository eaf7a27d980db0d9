"""Steps that a sentence names in any words at all, for the guesses: also those no reference was made of.

"5.4.1 on page 17", "page 23 at (2)", "number 9 on the same page", "on the following page, 28, operation (7)".
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.ingest.phrases.guesscues import Cues
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.references import Reference, merged
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.tags import CODE, REF, WEAK

_DOTTED = re.compile(r"[0-9]{1,2}(?:\.[0-9]{1,3}){1,3}[a-z]?")
_THREE = re.compile(r"(?<![0-9A-Za-z./-])[0-9]{1,2}(?:\.[0-9]{1,3}){2,3}[a-z]?(?![0-9A-Za-z])")
_TO_PAGE = re.compile(r"[ ,;(]{0,3}(?:on|at|of|in|from|under)?[ (]{0,2}(?:the )?$")
_NUMBERED = re.compile(
    rf"{REF}[ ,:]{{0,3}}(?:at|under|point|no\.?|number|nr\.?)? ?\((?P<behind>[0-9]{{1,3}}[a-z]?)\)"
    rf"|\b(?:number|no\.|nr\.|#) ?(?P<number>[0-9]{{1,3}}[a-z]?) (?:on|of) (?:the same page"
    rf"|that page|{REF})",
    re.IGNORECASE,
)
_PAGE_BEFORE = re.compile(
    r"(?:\bpage[ ,a-z]{0,12},? ?\(?|\()(?P<page>[0-9][0-9A-Z]{0,3}(?:[.-][0-9A-Z]{1,4}){0,2}), ?$",
    re.IGNORECASE,
)
_OTHER_PAGE = re.compile(
    r"\b(?:following|next|previous|preceding|opposite|last|other) page|page before", re.I
)
_THIS = re.compile(
    r"\b(?:this|that|the same|the said|the above|the) (?:step|operation|item|point"
    r"|instruction|paragraph)\b(?! [0-9(])",
    re.IGNORECASE,
)
BESIDE_THIS = re.compile(
    r"\b(?:after|before|behind|following|ahead of) "
    r"(?P<this>(?:this|that|the same) (?:step|operation|item|point))\b",
    re.IGNORECASE,
)
_BACK = 2  # sentences before one that may name its step
_HEADING = 140  # characters that a heading may have
_UNSURE_PAGE = "the page is told by its place, not by its number alone"


@dataclass(frozen=True, slots=True)
class Placed:
    """A step named at folded[start:end], completed as far as the words allow."""

    start: int
    end: int
    reference: Reference


def steps_in(
    reader: Reader, cues: Cues, block: int, stretch: Sentence, pointed: bool = False
) -> tuple[Placed, ...]:
    """The steps that a stretch names, in order; those it only points to ("see page 12, step 3") are left out
    unless `pointed`."""
    passage = reader.passage(block)
    found = [*_plain(passage, stretch), *_loose(passage, stretch)]
    found = sorted(found, key=lambda p: p.start)
    found = [p for p in found if pointed or not _pointed(cues, passage, stretch, p)]
    return tuple(_completed(reader, block, stretch, p) for p in found)


def step_in_hand(reader: Reader, cues: Cues, block: int, stretch: Sentence) -> Placed | None:
    """The step that "it" or "this operation" means: the one named in the sentence before, or right above."""
    passage = reader.passage(block)
    named = _THIS.search(passage.folded, stretch.start, stretch.end)
    near = _last_named(reader, cues, block, stretch, named is not None)
    if near is None:
        return None
    place = named.span() if named else (stretch.start, stretch.start)
    return Placed(*place, reader.completed(block, stretch.start, near))


def beside_this(passage: Passage, last: Placed, end: int) -> tuple[Placed, ...]:
    """ "… and after this step comes": the step named last, meant once more up to `end`."""
    again = BESIDE_THIS.search(passage.folded, last.end, end)
    return (Placed(*again.span("this"), last.reference),) if again else ()


def _last_named(reader: Reader, cues: Cues, block: int, stretch: Sentence, pointed: bool) -> Reference | None:
    """The step named earlier in the sentence, in the sentence before or in the one before that, else in a
    heading right above. One that was only pointed to counts where the words say "that operation"."""
    passage = reader.passage(block)
    above = [
        Sentence(s.start, min(s.end, stretch.start)) for s in passage.sentences if s.start < stretch.start
    ]
    above = above[::-1][: _BACK + 1]
    for sentence in above:
        if found := steps_in(reader, cues, block, sentence, pointed):
            return found[-1].reference
    heading = reader.body.blocks[block - 1] if block and not above else None
    if isinstance(heading, Passage) and (
        len(heading.folded) < _HEADING or heading.folded.rstrip().endswith(":")
    ):
        found = steps_in(reader, cues, block - 1, Sentence(0, len(heading.folded)), pointed)
        return found[-1].reference if found else None
    return None


def page_in_hand(reader: Reader, block: int, stretch: Sentence) -> Reference | None:
    """The page that a stretch names, or the one named before it; None if there is none."""
    passage = reader.passage(block)
    inside = [t.content for _, t in passage.tagged.inside(*stretch) if isinstance(t.content, Reference)]
    own = merged([r for r in inside if not r.items]) if inside else None
    full = reader.completed(block, stretch.end, own or Reference())
    return full if full.page else None


def _plain(passage: Passage, stretch: Sentence) -> list[Placed]:
    tags = [(i, t.content) for i, t in passage.tagged.inside(*stretch) if t.kind == REF]
    found = [(i, _dotted_within(passage, i, c)) for i, c in tags if isinstance(c, Reference)]
    return [Placed(i, i + 1, c) for i, c in found if c.items]


def _dotted_within(passage: Passage, place: int, reference: Reference) -> Reference:
    """ "Page 17, 5.4.3 of HB 35": a dotted number of three levels within a citation is its step."""
    dotted = None if reference.items else _THREE.search(passage.tagged.tags[place].text)
    return replace(reference, items=(dotted.group(),)) if dotted else reference


def _loose(passage: Passage, stretch: Sentence) -> list[Placed]:
    """Dotted numbers, and numbers in brackets or behind "number" beside a page."""
    found = []
    for place, tag in passage.tagged.inside(*stretch):
        if tag.kind in (WEAK, CODE) and _DOTTED.fullmatch(tag.text) and not _own_numbering(passage, place):
            page = _page_beside(passage, stretch, place)
            if page is not None or tag.text.count(".") > 1:
                found.append(Placed(place, place + 1, replace(page or Reference(), items=(tag.text,))))
    for match in _NUMBERED.finditer(passage.folded, stretch.start, stretch.end):
        item = match["behind"] or match["number"]
        page = next((c for i, c in _pages(passage, Sentence(match.start(), match.end() + 1))), Reference())
        found.append(Placed(match.start(), match.end(), replace(page, items=(item,))))
    return found


def _own_numbering(passage: Passage, place: int) -> bool:
    """A dotted number that opens a paragraph in which another step is cited is the note's own."""
    cited = any(isinstance(t.content, Reference) and t.content.items for t in passage.tagged.tags.values())
    return place == 0 and cited


def _pages(passage: Passage, stretch: Sentence) -> list[tuple[int, Reference]]:
    tags = [(i, t.content) for i, t in passage.tagged.inside(*stretch)]
    return [(i, c) for i, c in tags if isinstance(c, Reference) and not c.items and (c.page or c.publication)]


def _page_beside(passage: Passage, stretch: Sentence, place: int) -> Reference | None:
    for at, reference in _pages(passage, stretch):
        between = passage.folded[at + 1 : place] if at < place else passage.folded[place + 1 : at]
        if _TO_PAGE.match(between) and len(between) < 12:
            return reference
    return None


def _pointed(cues: Cues, passage: Passage, stretch: Sentence, placed: Placed) -> bool:
    before = passage.folded[max(stretch.start, placed.start - 36) : placed.start]
    return any(len(before) - h.end <= 10 for h in cues.hits("points", before))


def _completed(reader: Reader, block: int, stretch: Sentence, placed: Placed) -> Placed:
    """With the page beside it, else the one that the stretch names behind it, else what was named before."""
    passage, reference = reader.passage(block), placed.reference
    before = _PAGE_BEFORE.search(passage.folded, max(stretch.start, placed.start - 40), placed.start)
    if before and reference.page is None:
        reference = replace(reference, page=before["page"])
    elif reference.page is None:
        behind = _pages(passage, Sentence(placed.end, _next_step(passage, stretch, placed)))
        page = next((r for _, r in behind if r.page), None)
        whole = merged([reference, page]) if page else None
        reference = whole or reference
    if before or _OTHER_PAGE.search(passage.folded, stretch.start, placed.start):
        reference = replace(reference, why=(*reference.why, _UNSURE_PAGE))
    return replace(placed, reference=reader.completed(block, placed.start, reference))


def _next_step(passage: Passage, stretch: Sentence, placed: Placed) -> int:
    later = [p.start for p in _plain(passage, stretch) if p.start > placed.start]
    return min(later, default=stretch.end)


def joined(passage: Passage, found: Sequence[Placed]) -> list[list[Placed]]:
    """Steps that a mere "and" or comma joins, as groups: the same is said of all of them."""
    groups: list[list[Placed]] = []
    for one in found:
        between = passage.folded[groups[-1][-1].end : one.start] if groups else "-"
        if groups and re.fullmatch(
            r"[ ,;&]{0,3}(?:and|or|as well as)?(?: also)?(?: (?:of|in|on|the)){0,2} ?", between
        ):
            groups[-1].append(one)
        else:
            groups.append([one])
    return groups

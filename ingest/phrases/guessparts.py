"""Which part numbers a sentence makes old and which new, whatever its wording."""

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key
from benchleaf.graph.model import Relation
from benchleaf.ingest.phrases.guesscues import Cues
from benchleaf.ingest.phrases.labels import of_series
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.supersessions import held_in_kit
from benchleaf.ingest.phrases.tags import CODE, NOTE, PART, WEAK, Tag

_JOINS = re.compile(r"(?:,|;|\band\b|\bplus\b|\bor\b|/|\+|&|\btogether with\b|\bas well as\b)", re.IGNORECASE)
_NO_PART = re.compile(
    r"\b(?:bulletins?|notes?|circulars?|manuals?|pages?|sections?|models?|serials?"
    r"|serial numbers?|drawings?|figures?"
    r"|tables?|letters?|standards?|loctite|fixture|gauge|jig|puller"
    r"|extractor|drift|brakes?"
    r"|gearbox(?:es)?|transmissions?|pumps?|machines?|units?|engine|brake number"
    r"|up to number|from number|tel\.?|fax)"
    r"(?: (?:no\.?|number|nos\.?|numbers|type))?[ :]*$",
    re.IGNORECASE,
)
_RESPECTIVELY = re.compile(r"\brespectively|\bresp\.|\bin (?:this|that) order\b", re.IGNORECASE)
_OR = re.compile(r"\b(?:or|either)\b", re.IGNORECASE)
_LEAN = 1.5  # how plainly the words must set two groups apart
_REACH = 64  # characters beside a number that may tell what it is


@dataclass(frozen=True, slots=True)
class Group:
    """Numbers that stand together, where, and how much the words make them old (above 0: new)."""

    numbers: tuple[str, ...]
    start: int
    end: int
    old: float
    new: float
    either: bool = False

    @property
    def lean(self) -> float:
        """Below 0 the words make them old, above 0 new."""
        return self.new - self.old


@dataclass(frozen=True, slots=True)
class Succession:
    """Old numbers and new ones, as the words seem to mean it."""

    old: tuple[str, ...]
    new: tuple[str, ...]
    relation: Relation = "one"


def part_tags(passage: Passage, stretch: Sentence, barred: Collection[str]) -> list[tuple[int, Tag]]:
    """The numbers of a stretch that may be parts, with their places."""
    found = []
    for place, tag in passage.tagged.inside(*stretch):
        before = passage.folded[max(stretch.start, place - 30) : place]
        part = tag.kind == PART or (tag.kind == CODE and not _NO_PART.search(before))
        if part and key(tag.text) not in barred and len(key(tag.text)) > 3:
            found.append((place, tag))
    return found


def groups_in(cues: Cues, passage: Passage, stretch: Sentence, barred: Collection[str]) -> tuple[Group, ...]:
    """The numbers of a stretch in groups, each with what the words beside it make of it."""
    runs: list[list[tuple[int, Tag]]] = []
    for place, tag in part_tags(passage, stretch, barred):
        between = passage.folded[runs[-1][-1][0] + 1 : place] if runs else ""
        if runs and _together(cues, between):
            runs[-1].append((place, tag))
        else:
            runs.append([(place, tag)])
    return tuple(_group(cues, passage, stretch, runs, at) for at in range(len(runs)))


def _together(cues: Cues, between: str) -> bool:
    """True if nothing but a conjunction and names stand between two numbers."""
    if len(between) > 50 or not _JOINS.search(between) or re.search(r"[.:]", between):
        return False
    return not any(
        cues.weight(k, between) >= 3 for k in ("old-after", "old-before", "new-after")
    ) and not any(
        h.weight >= 3 and between[h.start : h.end].lower() not in ("with", "to", "as")
        for h in cues.hits("new-before", between)
    )


def _group(
    cues: Cues, passage: Passage, stretch: Sentence, runs: Sequence[Sequence[tuple[int, Tag]]], at: int
) -> Group:
    run = runs[at]
    start, end = run[0][0], run[-1][0] + 1
    left = max(runs[at - 1][-1][0] + 1 if at else stretch.start, start - _REACH)
    right = min(runs[at + 1][0][0] if at + 1 < len(runs) else stretch.end, end + _REACH)
    before, after = passage.folded[left:start], passage.folded[end:right]
    old = cues.before("old-before", before) + cues.after("old-after", after)
    new = cues.before("new-before", before) + cues.after("new-after", after)
    numbers = tuple(dict.fromkeys(t.text for _, t in run))
    return Group(numbers, start, end, old, new, bool(_OR.search(passage.folded[start:end])))


def one_group(groups: Sequence[Group]) -> Group | None:
    """Groups that no word sets apart as one: "we listed two gaskets, A (thin) and B (thick)"."""
    if not groups or len(groups) > 3 or (len(groups) > 1 and any(g.lean > 1 for g in groups)):
        return None
    numbers = tuple(n for g in groups for n in g.numbers)
    lean = min(groups, key=lambda g: g.lean)
    return Group(numbers, groups[0].start, groups[-1].end, lean.old, lean.new)


def successions(
    cues: Cues, passage: Passage, stretch: Sentence, groups: Sequence[Group]
) -> tuple[Succession, ...]:
    """Which of two groups of numbers became which; nothing where the words do not tell."""
    said = passage.folded[stretch.start : stretch.end]
    if len(groups) != 2 or not cues.weight("succession", said):
        return ()
    first, second = groups
    if {key(n) for n in first.numbers} & {key(n) for n in second.numbers}:
        return ()
    lean = second.lean - first.lean
    if abs(lean) < _LEAN or max(abs(first.lean), abs(second.lean)) < _LEAN:
        return ()
    old, new = (first, second) if lean > 0 else (second, first)
    if held_in_kit(passage, stretch.start, new.start):
        return ()
    return succeeding(old, new, said)


def succeeding(old: Group, new: Group, said: str) -> tuple[Succession, ...]:
    """The successions of one group by another; "respectively" pairs them one by one."""
    if len(old.numbers) == len(new.numbers) > 1 and _RESPECTIVELY.search(said):
        return tuple(Succession((a,), (b,)) for a, b in zip(old.numbers, new.numbers, strict=True))
    relation: Relation = "one" if len(new.numbers) == 1 else "one of" if new.either else "all of"
    return (Succession(old.numbers, new.numbers, relation),)


def notes_in(passage: Passage, stretch: Sentence, own: str | None) -> tuple[tuple[int, str], ...]:
    """The notes, not this one, that a stretch names: by label, or by the shape of this note's own number."""
    tags = passage.tagged.inside(*stretch)
    found = [(i, t) for i, t in tags if t.kind == NOTE or (t.kind in (CODE, WEAK) and of_series(t.text, own))]
    return tuple((i, t.text) for i, t in found if t.label != "own" and not (own and key(t.text) == key(own)))

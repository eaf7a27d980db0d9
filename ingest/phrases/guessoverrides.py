"""What is done to the steps that a sentence names, where its wording is not in the phrase book."""

import re
from collections.abc import Sequence
from dataclasses import replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Override, Statement, Target
from benchleaf.ingest.head.serials import statement_applies
from benchleaf.ingest.phrases.guessactions import Evidence, Guess, weigh
from benchleaf.ingest.phrases.guesscues import Cues
from benchleaf.ingest.phrases.guessguards import WHY
from benchleaf.ingest.phrases.guessscene import Scene, new_words, scene_of, without_notice
from benchleaf.ingest.phrases.guesssteps import Placed, beside_this, joined, step_in_hand, steps_in
from benchleaf.ingest.phrases.guessvalues import Change, amounts, changed
from benchleaf.ingest.phrases.judging import Surroundings, Verdict, holds_for
from benchleaf.ingest.phrases.newwords import NewWords
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.tags import REF

_SEPARATOR = re.compile(r", (?:and|but|while|whereas) |[;.] | and |, ")
_CITES = re.compile(
    rf"\(?(?:see|ref|refer|cf|compare|this concerns|concerns)\b[^.]{{0,30}}{REF}[ ).]*$", re.IGNORECASE
)
_NO_TEXT = "the new words were not found"
_ALIKE = "it is said to be the same as for another step"
_CLOSE = "whether it is “{}” or “{}” is a guess"


def step_statements(
    reader: Reader, cues: Cues, block: int, sentence: Sentence, verdict: Verdict
) -> tuple[Statement, ...]:
    """What is done to each step that a sentence names, or to the one in hand."""
    scene = scene_of(reader, cues, block, sentence)
    named = steps_in(reader, cues, block, Sentence(sentence.start, scene.head))
    named = named or _later(reader, cues, scene)
    passage = reader.passage(block)
    if named:
        named = (*named, *beside_this(passage, named[-1], scene.head))
    else:
        hand = step_in_hand(reader, cues, block, sentence) or _cited_behind(reader, cues, scene)
        named = (hand,) if hand else ()
    groups = joined(passage, named)
    made: list[Statement] = []
    for at, group in enumerate(groups):
        window = _window(passage, scene, groups, at)
        last = at == len(groups) - 1
        made.extend(_of_group(reader, cues, scene, window, group, verdict, last))
    return tuple(made)


def _later(reader: Reader, cues: Cues, scene: Scene) -> tuple[Placed, ...]:
    """Steps behind a quotation: "“…” takes the place of item 4"."""
    return steps_in(reader, cues, scene.block, scene.stretch) if scene.place == scene.stretch.start else ()


def _cited_behind(reader: Reader, cues: Cues, scene: Scene) -> Placed | None:
    """The step of a sentence behind that only cites it: "Set it to … instead of … See page 8, step 4." """
    passage = reader.passage(scene.block)
    behind = next((s for s in passage.sentences if s.start >= scene.stretch.end), None)
    if behind is None or not _CITES.match(passage.folded[behind.start : behind.end]):
        return None
    found = steps_in(reader, cues, scene.block, behind, pointed=True)
    place = scene.stretch.start
    return Placed(place, place, found[0].reference) if len(found) == 1 else None


def _window(passage: Passage, scene: Scene, groups: Sequence[Sequence[Placed]], at: int) -> Sentence:
    """The words of a sentence that speak of one of its steps: as far as the separators beside it."""
    start = _parting(passage, groups[at - 1][-1].end, groups[at][0].start) if at else scene.stretch.start
    last = at == len(groups) - 1
    end = scene.head if last else _parting(passage, groups[at][-1].end, groups[at + 1][0].start)
    if scene.place is None or scene.place == scene.stretch.start:
        end = scene.stretch.end if last else end
    return Sentence(start, max(end, groups[at][-1].end))


def _parting(passage: Passage, start: int, end: int) -> int:
    found = list(_SEPARATOR.finditer(passage.folded, start, end))
    strong = [f for f in found if len(f.group()) > 4 or f.group()[0] in ";."]
    return (strong or found)[-1].start() if found else end


def _of_group(
    reader: Reader,
    cues: Cues,
    scene: Scene,
    window: Sentence,
    group: Sequence[Placed],
    verdict: Verdict,
    last: bool,
) -> tuple[Statement, ...]:
    passage = reader.passage(scene.block)
    values = _values(reader, cues, scene, window)
    items = tuple(i for p in group for i in p.reference.items)
    words = new_words(reader, cues, scene, items) if last else None
    text = words.text if words else None
    evidence = Evidence(
        passage.folded[window.start : window.end],
        passage.folded[window.start : group[0].start],
        passage.folded[group[-1].end : window.end],
        text,
        bool(text) and last,
        values.weight if values else 0.0,
        any(_struck(reader, scene, p) for p in group),
    )
    if same := _same(reader, cues, scene, group):
        return same
    found = weigh(cues, evidence)
    if found is None or (group[0].start == group[0].end and not _hand_is_meant(found, text, values)):
        return ()
    return _overrides(reader, scene, found, group, values, words, verdict)


def _struck(reader: Reader, scene: Scene, placed: Placed) -> bool:
    """True if the paragraph strikes the step out."""
    here = reader.passage(scene.block).source
    found = (s for s in reader.statements if isinstance(s, Override) and s.source == here)
    return any(s.action == "delete" and s.target.item in placed.reference.items for s in found)


def _same(reader: Reader, cues: Cues, scene: Scene, group: Sequence[Placed]) -> tuple[Statement, ...]:
    """ "The same applies to operation 70": what was said last, of another step."""
    passage = reader.passage(scene.block)
    before = passage.folded[scene.stretch.start : group[0].start]
    if not cues.weight("same", before):
        return ()
    near = [
        b.source
        for b in reader.body.blocks[max(0, scene.block - 1) : scene.block + 1]
        if isinstance(b, Passage)
    ]
    said = next(
        (s for s in reversed(reader.statements) if isinstance(s, Override) and s.source in near), None
    )
    if said is None:
        return ()
    quote = f"{said.quote} {passage.tagged.words(*scene.stretch)}"
    said = replace(said, standing="doubtful", why=(WHY, _ALIKE), quote=quote, source=passage.source)
    return tuple(
        replace(said, target=Target(p.reference.publication, p.reference.page, item))
        for p in group
        for item in p.reference.items
    )


def _hand_is_meant(found: Guess, text: str | None, values: Change | None) -> bool:
    """A step that the sentence does not even call "it" is meant only where something is said of it."""
    return bool(text) if found.action != "change-value" else values is not None


def _values(reader: Reader, cues: Cues, scene: Scene, window: Sentence) -> Change | None:
    passage = reader.passage(scene.block)
    return changed(cues, passage, window, amounts(passage, window))


def _overrides(
    reader: Reader,
    scene: Scene,
    found: Guess,
    group: Sequence[Placed],
    values: Change | None,
    words: NewWords | None,
    verdict: Verdict,
) -> tuple[Statement, ...]:
    passage = reader.passage(scene.block)
    wordy = found.action not in ("delete", "change-value")
    text = without_notice(words.text)[0] if wordy and words and words.text else None
    end = words.end if wordy and words and text and words.block == scene.block else scene.stretch.end
    why = [
        *verdict.why,
        *(w for p in group for w in p.reference.why),
        *(words.why if wordy and words else ()),
    ]
    why += [_NO_TEXT] if wordy and not text else []
    why += [_CLOSE.format(found.action, found.close)] if found.close else []
    around = Surroundings("", "", "", "", scene.stretch.start, max(end, scene.stretch.end))
    also = _claim(reader, scene, words) if wordy and text and words else ""
    limit = statement_applies(passage.tagged.words(around.start, around.end), reader.body.models)
    common = reader.common(passage, around, Verdict("doubtful", tuple(dict.fromkeys(why))), also)
    applies = holds_for(reader.header.applies, limit)
    changed_value = found.action == "change-value" and values is not None
    return tuple(
        Override(
            **common,
            action=found.action,
            target=target,
            text=text,
            was=values.was.text if changed_value and values else None,
            now=values.now.text if changed_value and values else None,
            applies=applies,
        )
        for target in _targets(group, found)
        if not _known(reader, target, found)
    )


def _claim(reader: Reader, scene: Scene, words: NewWords) -> str:
    """Marks the new words as accounted for; gives those of later blocks, for the quotation."""
    told = []
    for where in range(scene.block, words.block + 1):
        block = reader.body.blocks[where]
        whole = len(block.folded) if isinstance(block, Passage) else 1
        end = words.end if where == words.block else whole
        start = scene.place or 0 if where == scene.block else 0
        reader.covered.setdefault(where, []).append((start, max(start, end)))
        if where > scene.block and isinstance(block, Passage):
            told.append(block.tagged.words(0, end))
    return " ".join(told)


def _targets(group: Sequence[Placed], found: Guess) -> tuple[Target, ...]:
    """Every step of a group; a new step between two goes behind the first."""
    named = [Target(p.reference.publication, p.reference.page, i) for p in group for i in p.reference.items]
    named = list(dict.fromkeys(named))
    if found.action == "insert-before":
        return tuple(named[:1])
    if found.action == "insert-after":
        return tuple(named[:1] if len(named) == 2 else named[-1:])
    return tuple(named)


def _known(reader: Reader, target: Target, found: Guess) -> bool:
    """True if a statement says as much of the step already; a step struck out may still be written anew."""
    for said in reader.statements:
        if not isinstance(said, Override) or key(said.target.item or "") != key(target.item or ""):
            continue
        if key(said.target.page or "") != key(target.page or ""):
            continue
        additive = {"caution", "insert-after", "insert-before"}
        if said.action == found.action or not {said.action, found.action} & {*additive, "delete"}:
            return True
        if found.action == "delete" or (said.action == "delete" and found.action == "change-value"):
            return True
    return False

"""Kit contents and cancelled notes, guessed where no phrase of the book matches."""

import re

from benchleaf.graph.keys import key
from benchleaf.graph.model import Cancels, Contents, KitLine, Statement, Supersession
from benchleaf.ingest.phrases.contents import Lines, read_lines
from benchleaf.ingest.phrases.guesscues import Cues
from benchleaf.ingest.phrases.guessparts import notes_in, part_tags
from benchleaf.ingest.phrases.judging import Surroundings, Verdict
from benchleaf.ingest.phrases.labels import kit_label
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.tabular import kit_lines
from benchleaf.ingest.phrases.tags import CODE, PART
from benchleaf.ingest.shapes import Table

_COUNT = re.compile(
    r"(?<![0-9A-Za-z.,/-])(?:[0-9]{1,2}|one|two|three|four|five|six|seven|eight|nine|ten"
    r"|eleven|twelve) ?[x×]? (?=[a-zA-Z])"
)
_OLD = re.compile(
    r"\b(?:instead of|in place of|formerly|previously|the old|no longer) (?=[^,;.]{0,60}$)"
    r"|^(?:instead of|in place of)",
    re.IGNORECASE,
)
_THAT_NOTE = re.compile(
    r"\b(?:that|this|the|the said|said) (?:bulletin|letter|circular|note|notice|memo"
    r"|information|sheet|leaflet)\b",
    re.IGNORECASE,
)
_KIT_WORD = re.compile(r"\b(?:kit|set|carton|box|pack|assortment)\b", re.IGNORECASE)
_KIT_GUESSED = "which kit is meant is a guess"


def kit_statements(
    reader: Reader, cues: Cues, block: int, stretch: Sentence, verdict: Verdict
) -> tuple[Statement, ...]:
    """A kit with at least two lines: named in the sentence or before it, the lines behind it or below."""
    passage = reader.passage(block)
    said = passage.folded[stretch.start : stretch.end]
    if not cues.weight("holds", said):
        return ()
    lines, taken = _lines(reader, block, stretch)
    if len(lines.lines) < 2:
        return ()
    kit, sure = _kit(reader, block, stretch)
    if kit is None or any(isinstance(s, Contents) and key(s.kit) == key(kit) for s in reader.statements):
        return ()
    for where in taken:
        reader.covered.setdefault(where, []).append((0, 10**6))
    why = verdict.why if sure else (*verdict.why, _KIT_GUESSED)
    around = Surroundings("", "", "", "", stretch.start, stretch.end)
    common = reader.common(passage, around, Verdict("doubtful", why), " ".join(_told(reader, taken)))
    return (Contents(**common, kit=kit, lines=lines.lines, previous=lines.previous),)


def _told(reader: Reader, taken: tuple[int, ...]) -> list[str]:
    blocks = [reader.body.blocks[n] for n in taken]
    return [b.tagged.text for b in blocks if isinstance(b, Passage)]


def _kit(reader: Reader, block: int, stretch: Sentence) -> tuple[str | None, bool]:
    """The kit that the sentence names, else the new one of a supersession, else the last kit named before."""
    passage = reader.passage(block)
    tags = [t for _, t in passage.tagged.inside(*stretch)]
    kits = [t.text for t in tags if t.kind == PART and kit_label(t)] or [
        t.text for t in tags if t.kind in (PART, CODE)
    ]
    if kits:
        return kits[0], len(kits) == 1
    for where in range(block, max(-1, block - 4), -1):
        above = reader.body.blocks[where]
        if not isinstance(above, Passage):
            continue
        stop = stretch.start if where == block else len(above.folded)
        named = [
            t
            for _, t in above.tagged.inside(0, stop)
            if t.kind == PART or (t.kind == CODE and _KIT_WORD.search(above.folded))
        ]
        if named:
            return _newest(reader, named[-1].text), len(named) == 1
    return None, False


def _newest(reader: Reader, kit: str) -> str:
    return next(
        (s.new[0] for s in reader.statements if isinstance(s, Supersession) and key(kit) in map(key, s.old)),
        kit,
    )


def _lines(reader: Reader, block: int, stretch: Sentence) -> tuple[Lines, tuple[int, ...]]:
    """Lines in the sentence from its first count on, those of the kit before left out; else those below."""
    passage = reader.passage(block)
    best = Lines(())
    for first in _COUNT.finditer(passage.folded, stretch.start, stretch.end):
        if _OLD.search(passage.folded[stretch.start : first.start()]):
            continue
        read = read_lines(passage.tagged, first.start(), stretch.end)
        if len(read.lines) > len(best.lines):
            best = read
    if len(best.lines) > 1 or stretch.end < len(passage.folded.rstrip()):
        return best, ()
    return _below(reader, block)


def _below(reader: Reader, block: int) -> tuple[Lines, tuple[int, ...]]:
    lines: list[KitLine] = []
    taken: list[int] = []
    for where in range(block + 1, len(reader.body.blocks)):
        follower = reader.body.blocks[where]
        if isinstance(follower, Table):
            read = kit_lines(reader.book, follower)
            return (read, (where,)) if read is not None and not lines else (Lines(tuple(lines)), tuple(taken))
        found = read_lines(follower.tagged, 0, len(follower.folded))
        if not found.whole or not found.lines:
            break
        lines.extend(found.lines)
        taken.append(where)
    return Lines(tuple(lines)), tuple(taken)


def cancelled(
    reader: Reader, cues: Cues, block: int, stretch: Sentence, verdict: Verdict
) -> tuple[Statement, ...]:
    """Another note with a word of cancelling beside it and no part; "that bulletin" is one named before."""
    passage = reader.passage(block)
    said = passage.folded[stretch.start : stretch.end]
    own = reader.header.number
    named = notes_in(passage, stretch, own)
    if part_tags(passage, stretch, {key(n) for _, n in named}) or not cues.weight("cancels", said):
        return ()
    notes = [n for i, n in named if _beside(cues, passage, stretch, i)]
    if not named and _THAT_NOTE.search(said):
        before = dict.fromkeys(n for _, n in notes_in(passage, Sentence(0, stretch.start), own))
        notes = list(before) if len(before) == 1 else []
    around = Surroundings("", "", "", "", stretch.start, stretch.end)
    common = reader.common(passage, around, verdict)
    return tuple(Cancels(**common, cancels=n) for n in dict.fromkeys(notes))


def _beside(cues: Cues, passage: Passage, stretch: Sentence, place: int) -> bool:
    after = passage.folded[place + 1 : min(stretch.end, place + 90)]
    before = passage.folded[max(stretch.start, place - 40) : place]
    return bool(cues.weight("cancels", after) or cues.weight("cancels", before))

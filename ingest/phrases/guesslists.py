"""Steps written anew in a list below a sentence: "Two operations on page 27 are reworded: (1) … (4) …"."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from benchleaf.graph.model import Override, Statement, Target
from benchleaf.ingest.phrases.guesscues import Cues
from benchleaf.ingest.phrases.guessscene import without_closing
from benchleaf.ingest.phrases.guesssteps import page_in_hand, steps_in
from benchleaf.ingest.phrases.judging import Surroundings, Verdict
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.references import Reference
from benchleaf.ingest.phrases.sentences import Sentence

_PLURAL = re.compile(
    r"\b(?:steps|operations|items|paragraphs|points|instructions|tasks|positions|they|these)\b", re.IGNORECASE
)
_LABEL = re.compile(
    r"(?:(?:step|item|operation|op\.?|point"
    r"|no\.?) )?\(?(?P<label>[0-9]{1,3}(?:\.[0-9]{1,3}){0,3}[a-z]?)(?:[.)]{1,2}|[ ]?[:–-]"
    r"|(?<=\.[0-9])|(?<=\.[0-9][0-9])) {0,2}(?=[A-Z“\"])",
    re.IGNORECASE,
)
_READ_AS_LIST = "the steps are told by a list below the sentence"


@dataclass(frozen=True, slots=True)
class _Piece:
    label: str
    text: str
    last: int


def listed_steps(
    reader: Reader, cues: Cues, block: int, sentence: Sentence, verdict: Verdict
) -> tuple[Statement, ...]:
    """A replacement for each step of the list that a sentence announces; none if it announces no list."""
    passage = reader.passage(block)
    said = passage.folded[sentence.start : sentence.end]
    if (
        not _PLURAL.search(said)
        or cues.weight("replace", said) < 1.5
        or steps_in(reader, cues, block, sentence)
    ):
        return ()
    page = page_in_hand(reader, block, sentence)
    pieces = list(_pieces(reader, block, sentence))
    dotted = all(piece.label.count(".") > 1 for piece in pieces)
    if not pieces or (page is None and not dotted):
        return ()
    page = page or reader.context(block, sentence.end)
    made = tuple(_override(reader, block, sentence, verdict, page, piece) for piece in pieces)
    for where in range(block + 1, pieces[-1].last + 1):
        reader.covered.setdefault(where, []).append((0, 10**6))
    reader.covered.setdefault(block, []).append((sentence.end, 10**6))
    return made


def _override(
    reader: Reader, block: int, sentence: Sentence, verdict: Verdict, page: Reference, piece: _Piece
) -> Override:
    around = Surroundings("", "", "", "", sentence.start, sentence.end)
    doubt = Verdict("doubtful", (*verdict.why, _READ_AS_LIST))
    common = reader.common(reader.passage(block), around, doubt, f"{piece.label} {piece.text}")
    target = Target(page.publication, page.page, piece.label)
    return Override(
        **common,
        action="replace",
        target=target,
        text=without_closing(piece.text),
        applies=reader.header.applies,
    )


def _pieces(reader: Reader, block: int, sentence: Sentence) -> Iterator[_Piece]:
    """The labelled stretches behind a sentence, in its paragraph and in those below, as far as they go."""
    label, text, last = "", "", block
    for where, words in _lines(reader, block, sentence):
        found = _LABEL.match(words)
        if found:
            if label:
                yield _Piece(label, text, last)
            label, text, last = found["label"], words[found.end() :].strip(), where
        elif label and (not text.endswith((".", "!")) or words[:1].islower()):
            text, last = f"{text} {words}", where
        else:
            break
    if label:
        yield _Piece(label, text, last)


def _lines(reader: Reader, block: int, sentence: Sentence) -> Iterator[tuple[int, str]]:
    passage = reader.passage(block)
    rest = [s for s in passage.sentences if s.start >= sentence.end]
    joined = ""
    for one in rest:
        words = passage.tagged.words(*one)
        if _LABEL.match(words) and joined:
            yield block, joined
            joined = words
        else:
            joined = f"{joined} {words}".strip()
    if joined:
        yield block, joined
    for where in range(block + 1, len(reader.body.blocks)):
        below = reader.body.blocks[where]
        if not isinstance(below, Passage):
            return
        yield where, below.tagged.text

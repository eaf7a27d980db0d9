"""Where new words are announced in a stretch, and what they are, for the guesses."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.ingest.phrases.guesscues import Cues
from benchleaf.ingest.phrases.guesssteps import steps_in
from benchleaf.ingest.phrases.guessvalues import amounts, changed
from benchleaf.ingest.phrases.newwords import NewWords, collect
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.tags import QUOTE, REF, WEAK

_COLON = re.compile(r" ?:(?= |$)|(?<=[a-z]) – (?=[A-Z])")
_LABEL = re.compile(rf"[{REF}{WEAK}][ )]{{0,2}}(?:[a-zA-Z ,()-]{{1,30}})?$")
_POINTED = re.compile(
    r"(?:\bas follows|\bthe following|\bthe following (?:one|step|text|words|wording"
    r"|operation)|\bthus|\bread)[ .]*$",
    re.IGNORECASE,
)
_OPEN_END = re.compile(
    r"\b(?:reads?|following|follows|substitute|insert|add|write|namely|thus|says|runs|text|words)[ ,]*$",
    re.IGNORECASE,
)
_NOTICE = re.compile(
    r"(?i:caution|warning|danger|attention|important|notice|note)\b(?: ?[:!.–—-]{1,2} ?|(?= [A-Z])|$)"
)
_ACTIONS = ("delete", "replace", "insert", "caution")
_TITLE = re.compile(
    r"(?:\b(?:of|section|chapter|heading|headed|under|title|titled|part|offered as)|\() ?$", re.IGNORECASE
)
_CLOSING = re.compile(
    r"(?<=[.!”\"\w]) (?=(?:thank you|thanks|yours (?:faithfully|truly|sincerely)"
    r"|(?:with )?(?:kind|best) (?:regards|wishes)"
    r"|regards,|all (?:the )?(?:other|further|remaining)|all others|the (?:other"
    r"|remaining) (?:steps|operations|items)|everything else"
    r"|the rest of the|file this|no parts|end of)\b)(?<![a-z,] )",
    re.IGNORECASE,
)
_PLAIN = 3  # how plainly two values behind a colon must stand as old and new to be no new words
_WORDS = 5  # a quotation of so many words is no title


@dataclass(frozen=True, slots=True)
class Scene:
    """A stretch of a block's folded text with its words up to `head`, and the place where new words start
    (None if none are announced)."""

    block: int
    stretch: Sentence
    head: int
    place: int | None = None


def scene_of(reader: Reader, cues: Cues, block: int, stretch: Sentence) -> Scene:
    """Finds the announcement in a stretch: a quotation, a colon, "as follows", or an end that is none."""
    passage = reader.passage(block)
    quote = _quotation(cues, passage, stretch)
    colon = _colon(cues, passage, stretch)
    if quote is not None and (colon is None or quote >= colon):
        return Scene(block, stretch, quote, quote)
    if colon is not None:
        return Scene(block, stretch, colon, colon + len(_COLON.match(passage.folded, colon).group()))  # type: ignore[union-attr]
    said = passage.folded[stretch.start : stretch.end]
    last = stretch.end >= len(passage.folded.rstrip())
    if _POINTED.search(said) or (last and _OPEN_END.search(said)):
        return Scene(block, stretch, stretch.end, stretch.end)
    return Scene(block, stretch, stretch.end)


def _quotation(cues: Cues, passage: Passage, stretch: Sentence) -> int | None:
    """The quotation that holds new words: no title of a section, no value."""
    for place, tag in passage.tagged.inside(*stretch):
        content = str(tag.content) if tag.kind == QUOTE else ""
        before = passage.folded[max(stretch.start, place - 24) : place]
        rest = passage.folded[place + 1 : stretch.end].strip(" .;,)")
        told = bool(cues.weight("announce", before)) or before.rstrip().endswith(":")
        if (
            content.count(" ") + 1 >= _WORDS
            and not (_TITLE.search(before) and not told)
            and (told or len(rest) < 40)
        ):
            return place
    return None


def _colon(cues: Cues, passage: Passage, stretch: Sentence) -> int | None:
    """The first colon that announces words: not one that only sets a step apart from what is said of it."""
    for found in _COLON.finditer(passage.folded, stretch.start, stretch.end):
        behind = Sentence(found.end(), stretch.end)
        values = changed(cues, passage, behind, amounts(passage, behind))
        if values is not None and values.weight >= _PLAIN:
            continue
        before, after = (
            passage.folded[stretch.start : found.start()],
            passage.folded[found.end() : stretch.end],
        )
        if _LABEL.search(before) and any(cues.weight(k, after[:70]) >= 1.5 for k in (*_ACTIONS, "change")):
            continue
        told = any(cues.weight(k, before) for k in (*_ACTIONS, "announce", "place-after"))
        if told or _LABEL.search(before):
            return found.start()
    return None


def new_words(reader: Reader, cues: Cues, scene: Scene, items: Sequence[str]) -> NewWords | None:
    """The words that a scene announces, cut where another step is spoken of; None if it announces none."""
    if scene.place is None:
        return None
    blocks = reader.body.blocks
    words = collect(reader.book, blocks, scene.block, scene.place, items)
    words = _past_notice(reader, words, items)
    if not words.text:
        return words
    words = _cut(reader, cues, scene, words)
    return replace(words, text=without_closing(words.text or "") or words.text)


def without_closing(text: str) -> str:
    """New words without a note's own closing words behind them: thanks, or that all else stays as it is."""
    found = _CLOSING.search(text)
    return text[: found.start()].rstrip() if found else text


def without_notice(text: str) -> tuple[str, bool]:
    """New words without the CAUTION before them, and whether it stood there."""
    found = _NOTICE.match(text)
    if found is None or not text[: found.end()].strip(" :!.–—-"):
        return text, False
    bare = text[found.end() :].strip().strip('"“”„«»').strip()
    upper = found.group().strip(" :!.–—-")
    return (bare, True) if upper.isupper() or upper[0].isupper() else (text, False)


def _past_notice(reader: Reader, words: NewWords, items: Sequence[str]) -> NewWords:
    """Where the words are nothing but the heading of a notice, those below it."""
    if words.text is None or without_notice(words.text)[0]:
        return words
    blocks = reader.body.blocks
    if words.block >= len(blocks) or not isinstance(blocks[words.block], Passage):
        return words
    end = len(reader.passage(words.block).folded)
    more = collect(reader.book, blocks, words.block, end, items)
    return replace(more, text=f"{words.text}: {more.text}") if more.text else words


def _cut(reader: Reader, cues: Cues, scene: Scene, words: NewWords) -> NewWords:
    """Ends the words before a sentence that speaks of a step of its own."""
    passage = reader.passage(words.block)
    text = words.text or ""
    for sentence in passage.sentences:
        later = words.block > scene.block or sentence.start >= (scene.place or 0)
        if not later or sentence.start >= words.end or (words.block > scene.block and sentence.start == 0):
            continue
        said = passage.folded[sentence.start : sentence.end]
        other = steps_in(reader, cues, words.block, sentence)
        if other and any(cues.weight(k, said) >= 3 for k in _ACTIONS):
            printed = passage.tagged.words(*sentence)
            at = text.find(printed)
            if at > 0:
                return replace(words, text=text[:at].strip(), end=sentence.start)
    return words

"""The new words of a step: where they start, where they end, and what is stripped from them."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.ingest.phrases.matches import Match, matches
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.phrasebook import PhraseBook
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.tags import CODE, NOTE, PART, QUOTE, REF, WEAK
from benchleaf.ingest.shapes import Table

_SUB_STEP = re.compile(r"^(?:\(?[a-z]\)|[a-z]\.|[•·*–—-]|\([0-9ivx]{1,3}\)|[ivx]{1,4}\)) ?\S")
_LIMIT = re.compile(
    r"^(?:this|it|the change)?\s?(?:applies|is applicable|is valid|applicable|valid|effective)\b",
    re.IGNORECASE,
)
# A note's own talk, which no step contains.
_TALK = re.compile(
    r"^(?:(?:we|customers|workshops|dealers) (?:have|had|were|are|ask|report|found|recommend"
    r"|regret|thank|apologi|will)"
    r"|the (?:reason|purpose|aim|cause|background|above)\b|our\b)",
    re.IGNORECASE,
)
# "…, as a new operation:" at a paragraph's end still leads the words in, which stand below.
_LED_ON = re.compile(r"[ ,;]{0,2}[a-z][^.:!?]{1,120}: ?")
_LEADING_ON = frozenset(
    re.findall(
        "[a-z]+",
        "a an the as this these new further additional extra following step item operation paragraph text"
        " wording words caution warning note to be in which reads now and then is it with here below",
    )
)
_AFTER_LEAD = "“{}” stands between the announcement and the new words"
_BREAKS_OFF = "the new words break off"
_OFF = re.compile(
    r"(?:,|\b(?:and|or|the|a|an|of|to|in|on|at|by|for|with|from|until|till|as|that|which|between|into))$",
    re.I,
)
_OWN_LABEL = re.compile(r"\(?(?P<label>[0-9]{1,3}(?:\.[0-9]{1,3}){0,3})\)?[.):]? +(?=[“„\"«]?[A-Z])")
_A_LIST = "the new words are a numbered list, which may name steps of its own"
_RUN_ON = "the lines right below the new words may or may not belong to them"
# Words of a note rather than of a step: a sentence with one of them may or may not belong to the new words.
_NOTE_LIKE = re.compile(
    r"\b(?:manuals?|handbooks?|bulletins?|circulars?|your copy|in production|depots?|warranty|stocks?"
    r"|customers?|workshops?|factory|dealers?|(?:be|are|is) ordered|complain[a-z]*|introduced"
    r"|this (?:change|letter|memo|note))\b",
    re.IGNORECASE,
)
_PERHAPS = "whether “{}” belongs to the new words is not sure"
_EDGE = " \t:–—-"
# "is inserted as 3.5a: …", "is added as new step 12a: …"
_NUMBERED_AS = re.compile(
    r" ?,? ?(?:as|under|with) (?:a |the |an )?(?:new |additional )?"
    r"(?:(?:item|step|operation|paragraph|point|no\.?|the number|number) )?"
    rf"(?:[0-9]{{1,3}}(?:\.[0-9]{{1,3}}){{0,3}}[a-z]?|[{REF}{CODE}{WEAK}]) ?:(?= )",
    re.IGNORECASE,
)
_NAMED = re.compile(r"^(?:(?:new |revised )?(?:text|wording|words|version)) ?: ?", re.IGNORECASE)
# What is left of an announcement: "two sentences: Oil the ring."
_ANNOUNCED = re.compile(
    r"^(?!not\b|no\b|never\b|if\b|unless\b)[a-z](?:(?! not | no | if )[a-z ,]){2,50}: ?"
    r"(?=[A-Z“\"])"
)
_QUOTE_MARKS = '"“”„«»'
_LABEL = (
    r"(?:(?:item|step|operation|paragraph|para\.?|point|op\.?|no\.?)\s+)?\(?{label}\)?(?:[.:)]|\s[-–—])\s+"
)


@dataclass(frozen=True, slots=True)
class NewWords:
    """The words, or None if none were found, and where they end: place `end` in block number `block`. `why`
    holds what is unclear about them."""

    text: str | None
    block: int
    end: int
    why: tuple[str, ...] = ()


def collect(
    book: PhraseBook, blocks: Sequence[Passage | Table], block: int, place: int, items: Sequence[str] = ()
) -> NewWords:
    """The new words that are announced up to `place` in a passage.

    They run to the end of a quotation, else to the end of the paragraph or to the first sentence that is
    plainly about something else; if nothing follows in the paragraph, the next one holds them, with its
    lettered sub-steps.
    """
    passage = blocks[block]
    assert isinstance(passage, Passage)
    place = _led_in(book, passage, place)
    if numbered_as := _NUMBERED_AS.match(passage.folded, place):
        place = numbered_as.end()
    rest = passage.folded[place:]
    skipped = len(rest) - len(rest.lstrip(_EDGE))
    led = _LED_ON.fullmatch(rest)
    if rest.strip(_EDGE + ".") and not led:
        return _run_on(book, blocks, _within(book, passage, block, place + skipped, items))
    below = _below(book, blocks, block, items)
    if led and not {w.lower() for w in re.findall("[A-Za-z]+", rest)} <= _LEADING_ON:
        below = replace(below, why=(*below.why, _AFTER_LEAD.format(rest.strip(_EDGE + "."))))
    return below


def numbered(
    book: PhraseBook, blocks: Sequence[Passage | Table], block: int, place: int, items: Sequence[str]
) -> tuple[NewWords, ...] | None:
    """New words for several steps, each with its step's number before it, in the steps' order; None if they
    do not stand so."""
    passage = blocks[block]
    assert isinstance(passage, Passage)
    place = _led_in(book, passage, place)
    rest = passage.folded[place:]
    if rest.strip(_EDGE + "."):
        end, why = _end(book, passage, place)
        texts = _split(passage.tagged.words(place, end), items)
        return tuple(NewWords(t, block, end, why) for t in texts) if texts else None
    return _listed(book, blocks, block + 1, items)


def _split(words: str, items: Sequence[str]) -> list[str]:
    """ "4. Oil the ring. 5. Fit the ring." as two texts; none if a number is missing."""
    starts: list[tuple[int, int]] = []
    for item in items:
        at = starts[-1][1] if starts else 0
        label = re.compile(rf"(?:^|(?<=[.;:] )){_LABEL.format(label=re.escape(item))}", re.IGNORECASE)
        found = label.search(words.lstrip() if not starts else words, at)
        if found is None or (not starts and found.start()):
            return []
        starts.append(found.span())
    ends = [a for a, _ in starts[1:]] + [len(words)]
    return [words[b:end].strip() for (_, b), end in zip(starts, ends, strict=True)]


def _listed(
    book: PhraseBook, blocks: Sequence[Passage | Table], block: int, items: Sequence[str]
) -> tuple[NewWords, ...] | None:
    """A list of paragraphs, each with its step's number, and the lettered sub-steps below each."""
    found: list[NewWords] = []
    for number, item in enumerate(items):
        after = items[number + 1] if number + 1 < len(items) else None
        passage = blocks[block] if block < len(blocks) else None
        label = re.compile(_LABEL.format(label=re.escape(item)), re.IGNORECASE)
        if not isinstance(passage, Passage) or not label.match(passage.tagged.text):
            return None
        words = _within(book, passage, block, 0, [item])
        text, why, end = words.text or "", words.why, words.end
        while end >= len(passage.folded.rstrip()) and block + 1 < len(blocks):
            below = blocks[block + 1]
            if not isinstance(below, Passage) or not _SUB_STEP.match(below.tagged.text):
                break
            if after and re.match(_LABEL.format(label=re.escape(after)), below.tagged.text, re.IGNORECASE):
                break
            passage, block = below, block + 1
            text, end = f"{text} {below.tagged.text}", len(below.folded)
        found.append(NewWords(text, block, end, why))
        block += 1
    return tuple(found)


def labelled(book: PhraseBook, blocks: Sequence[Passage | Table], block: int) -> list[tuple[str, NewWords]]:
    """Paragraphs from a block on that each begin with a rising number, and their words without it."""
    found: list[tuple[str, NewWords]] = []
    last: tuple[int, ...] = ()
    for where in range(block, len(blocks)):
        passage = blocks[where]
        label = _OWN_LABEL.match(passage.tagged.text) if isinstance(passage, Passage) else None
        number = tuple(int(n) for n in label["label"].split(".")) if label else ()
        if label is None or not isinstance(passage, Passage) or number <= last:
            break
        words = _within(book, passage, where, 0, [label["label"]])
        text = passage.tagged.words(0, words.end)[label.end() :].strip(' "“”„«»')
        found.append((label["label"], replace(words, text=text or None)))
        last = number
    return found


def _run_on(book: PhraseBook, blocks: Sequence[Passage | Table], words: NewWords) -> NewWords:
    """Lines that stand right below words which reach their paragraph's end may still belong to them: they
    are taken with a doubt."""
    while words.text and words.block + 1 < len(blocks):
        above, below = blocks[words.block], blocks[words.block + 1]
        if not isinstance(above, Passage) or not isinstance(below, Passage):
            break
        whole = words.end >= len(above.folded.rstrip()) and above.folded[words.end - 1 : words.end] != QUOTE
        if not whole or not _right_below(above, below) or _other_from_the_start(book, below):
            break
        more = _within(book, below, words.block + 1, 0, ())
        words = NewWords(
            f"{words.text} {more.text or ''}".strip(), more.block, more.end, (*words.why, _RUN_ON, *more.why)
        )
    return words


def _right_below(above: Passage, below: Passage) -> bool:
    """True for whole sentences below others at a line's distance, in the same type and at the same edge."""
    one, other = above.source.box, below.source.box
    if one is None or other is None or not above.size or not below.folded.rstrip().endswith((".", "!")):
        return False
    near = -0.5 * above.size < other.top - one.bottom < 0.45 * above.size
    alike = abs(above.size - below.size) < 0.5 and abs(one.x0 - other.x0) < above.size
    return near and alike and above.source.sheet == below.source.sheet


def _led_in(book: PhraseBook, passage: Passage, place: int) -> int:
    """Past a sentence's opening that only leads the words in: "The step now reads:"."""
    rest = passage.folded[place:]
    start = place + len(rest) - len(rest.lstrip(_EDGE + "."))
    leads = [m.end for m in matches(book, passage, "reading") if start <= m.start <= start + 4]
    return max(leads, default=place)


def _within(book: PhraseBook, passage: Passage, block: int, place: int, items: Sequence[str]) -> NewWords:
    folded = passage.folded
    if folded[place] == QUOTE:
        end = place + 1
        while folded[end : end + 2] == f" {QUOTE}":
            end += 2
        quoted = (str(tag.content) for _, tag in passage.tagged.inside(place, end))
        return NewWords(_stripped(" ".join(quoted), items), block, end)
    end, why = _end(book, passage, place)
    text = _stripped(passage.tagged.words(place, end), items)
    if _OFF.search(text):
        why = (*why, _BREAKS_OFF)
    return NewWords(text or None, block, end, why)


def _end(book: PhraseBook, passage: Passage, place: int) -> tuple[int, tuple[str, ...]]:
    """The end of the last sentence that still belongs to words which start at `place`, and the sentences of
    which that is not sure."""
    found = matches(book, passage)
    endings = matches(book, passage, "ending")
    end = place
    why: list[str] = []
    for sentence in passage.sentences:
        if sentence.end <= place:
            continue
        if sentence.start > place and _other(passage, sentence, found, endings):
            break
        said = passage.tagged.words(*sentence)
        if sentence.start > place and _NOTE_LIKE.search(said):
            why.append(_PERHAPS.format(said))
        end = sentence.end
    return end, tuple(why)


def _other(passage: Passage, sentence: Sentence, found: Sequence[Match], endings: Sequence[Match]) -> bool:
    """True for a sentence that is plainly no part of a step's words."""
    start, end = sentence
    if (
        _LIMIT.match(passage.folded[start:end])
        or _TALK.match(passage.folded[start:end])
        or any(start <= m.start <= start + 3 for m in endings)
    ):
        return True
    return any(start <= m.start < end and _declares(passage, m, start, end) for m in found)


def _declares(passage: Passage, match: Match, start: int, end: int) -> bool:
    kind, said = match.phrase.type, passage.folded[match.start : match.end]
    if match.phrase.weak or match.phrase.follows == "imperative":
        return False
    if kind == "override":
        return REF in said or (REF in passage.folded[start:end] and match.start - start < 60)
    if kind == "contents":
        return match.start <= start + 8 and (PART in said or match.span("kit") is None)
    return kind in ("supersession", "withdrawn") or NOTE in said


def _below(book: PhraseBook, blocks: Sequence[Passage | Table], block: int, items: Sequence[str]) -> NewWords:
    nowhere = NewWords(None, block, len(_folded(blocks[block])))
    if block + 1 >= len(blocks):
        return nowhere
    follower = blocks[block + 1]
    if isinstance(follower, Table):
        words = _framed(follower)
        return NewWords(_stripped(words, items), block + 1, 0) if words else nowhere
    if not follower.folded or _other_from_the_start(book, follower):
        return nowhere
    first = _run_on(book, blocks, _within(book, follower, block + 1, 0, items))
    if first.block > block + 1 or first.end < len(follower.folded.rstrip()):
        return first
    if follower.folded[first.end - 1 : first.end] == QUOTE:
        return first  # a quotation is whole
    entries = labelled(book, blocks, block + 1)
    if len(entries) > 1:
        texts = [blocks[w.block] for _, w in entries]
        joined = " ".join(t.tagged.text for t in texts if isinstance(t, Passage))
        last = entries[-1][1].block
        return NewWords(joined, last, len(_folded(blocks[last])), (*first.why, _A_LIST))
    pieces, last = [first.text or ""], block + 1
    while last + 1 < len(blocks):
        further = blocks[last + 1]
        if not isinstance(further, Passage) or not _SUB_STEP.match(further.tagged.text):
            break
        pieces.append(further.tagged.text)
        last += 1
    return NewWords(" ".join(pieces).strip() or None, last, len(_folded(blocks[last])), first.why)


def _other_from_the_start(book: PhraseBook, passage: Passage) -> bool:
    first = passage.sentences[0]
    return _other(passage, first, matches(book, passage), matches(book, passage, "ending"))


def _folded(block: Passage | Table) -> str:
    return block.folded if isinstance(block, Passage) else ""


def _framed(table: Table) -> str | None:
    """The words of a frame that was read as a table of one column."""
    if table.rows and all(len(row) == 1 for row in table.rows):
        return " ".join(row[0].text for row in table.rows)
    return None


def _stripped(words: str, items: Sequence[str]) -> str:
    """Without quotation marks around it and without the step's own number before it."""
    plain = re.sub(r"^\. +", "", words.strip().lstrip(_EDGE)).rstrip(" \t–—")
    if len(plain) > 1 and plain[0] in _QUOTE_MARKS and plain[-1] in _QUOTE_MARKS + ".":
        plain = plain.strip(_QUOTE_MARKS).strip()
    plain = _ANNOUNCED.sub("", _NAMED.sub("", plain))
    if len(plain) > 1 and plain[0] in _QUOTE_MARKS and plain[-1] in _QUOTE_MARKS:
        plain = plain.strip(_QUOTE_MARKS).strip()
    for item in items:
        form = _LABEL if "." not in item else _LABEL.replace(r"\s[-–—])\s+", r"\s[-–—]|)\s+")
        label = re.match(form.format(label=rf"{re.escape(item)}[a-z]?"), plain, re.IGNORECASE)
        if label:
            return plain[label.end() :].strip()
    return plain

"""Overrides of a step: its target, the new words or values, the units it holds for."""

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import cast

from benchleaf.graph.model import Action, Override, Target
from benchleaf.ingest.phrases.guards import trips
from benchleaf.ingest.phrases.judging import holds_for, limited_afterwards
from benchleaf.ingest.phrases.limiting import vocabulary
from benchleaf.ingest.phrases.listed import build_listed
from benchleaf.ingest.phrases.matches import Match, matches
from benchleaf.ingest.phrases.newwords import NewWords, collect, numbered
from benchleaf.ingest.phrases.numbers import part_numbers
from benchleaf.ingest.phrases.overriding import (
    Values,
    cited,
    contradicted,
    numbered_after,
    numbers_for_values,
    targets,
    values,
)
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Built, Reader, gives_page
from benchleaf.ingest.phrases.references import TABLE_ROW, Reference, tag
from benchleaf.ingest.phrases.sentences import sentence_at
from benchleaf.ingest.phrases.struck import build_struck
from benchleaf.ingest.phrases.tabular import columns
from benchleaf.ingest.phrases.tags import ANY, QUOTE, REF, VALUE
from benchleaf.ingest.phrases.tales import tells_of_others
from benchleaf.ingest.phrases.thatone import step_meant
from benchleaf.ingest.phrases.valuesbelow import value_below
from benchleaf.ingest.phrases.wholepage import whole_page
from benchleaf.ingest.shapes import Table

# A quotation that is only the first half of "change “A” to “B”".
_HALF = re.compile(
    rf"{QUOTE} ?,? ?(?:to|by|with|into|not|and not|instead|in place|in lieu|should|must|shall|is|are"
    rf"|becomes|now|in|on|at|of|from|for|read|substitute|->|→|\()(?![a-z])",
    re.IGNORECASE,
)
_EDGE = re.compile(r"[ :–—-]*")
_VALUE_ONLY = re.compile(rf"[^{ANY}]{{0,12}}[{VALUE}][ .;]*|[0-9.,/ ]{{1,12}}")
_TO_BEFORE = re.compile(rf"[{VALUE}0-9] (?:to|and) $")
_TO_AFTER = re.compile(rf" (?:to|and) [{VALUE}0-9]")
_STEP_BEFORE = re.compile(rf"{REF} ?[,:;–—-]? ?$")
_LINE = re.compile(r"\b(?:lines?|rows?|columns?|fig(?:ure)?s?\b\.?|illustrations?) ?[0-9]", re.IGNORECASE)
_SEEN = re.compile(
    r"\b(?:gauge|manometer|needle|thermometer|dial|ammeter|voltmeter"
    r"|(?:after|within|in) (?:an?|one|two|three|some|[0-9]+) (?:hour|minute|second)s?)\b",
    re.IGNORECASE,
)
_DELIMITER = re.compile(r"[,;:()]| [–—-] ")
_REASON = re.compile(
    r"\b(?:owing to|due to|because of|as a result of|in view of|on account of|following|as a consequence of)"
    r" (?:(?!we\b|the step|the item|please\b|that\b)[a-z-]+ ){1,6}(?=we\b|please\b|the\b|it\b|$)",
    re.IGNORECASE,
)
# Entries of the book's [words] whose words may stand before what is said of a step.
_LEADING = (
    "lead",
    "fill",
    "fillx",
    "befill",
    "fillc",
    "rewritten",
    "rewrite",
    "struck",
    "strike",
    "putin",
    "putafter",
    "added",
    "addedpast",
    "newstep",
    "changed",
    "whole-step",
)
_PART_BEFORE = re.compile(
    r"(?<![a-z'’-])(?P<noun>[a-z'’-]++) (?:of|in|at|under|beside|for|to|from|on|by|within|after|below|above"
    r"|belonging to)(?: the| this)? ?$",
    re.IGNORECASE,
)
_PLACED = re.compile(r"\b(?:add|insert|put|write|place|enter)(?: the)?(?: words?)? ?$", re.IGNORECASE)
_PART_OF = re.compile(r"[0-9][0-9.]*(?: ?\([a-z]\)|[a-z])", re.IGNORECASE)
_MORE = re.compile(
    rf" ?,? ?(?!(?:as|for) (?:a |the )?(?:new )?(?:{REF}|step|item|operation|paragraph)|respectively)[a-z]"
)
# Words of a sentence that leads in something else than the new words of the step just named.
_OTHER_STEP = re.compile(
    r"\b(?:add|insert|introduce|append|delete|omit|after|before|behind|between|previous|preceding|next|other"
    r"|following (?:step|item|one)|last|first|second|caution|warning|note|sub-?step|sentence|line|word"
    r"|figure)\b",
    re.IGNORECASE,
)
_SENTENCE = re.compile(r"\b(?:sentences?|half-sentence)\b", re.IGNORECASE)
# "Correct: A → B" tells old words and new ones, and no whole step.
_ARROW = re.compile(r"→|⇒|[-=]{1,2}>| > (?![0-9])")
_RANGE = re.compile(r"[0-9][^0-9]{0,20}(?: to | and |[-–—…±]|\.\.\.) ?[0-9]")
# New words that are a notice are no step of the work.
_NOTICE = re.compile(
    r"(?i:caution|warning|danger|attention|important|notice|note)(?: ?[:!–—-]+ +|\. +(?=[A-Z]))"
    r"|(?:CAUTION|WARNING|DANGER|ATTENTION|IMPORTANT|NOTICE|NOTE)!? +(?=[A-Z])"
)
_NO_WORDS = "the new words were not found"


def build_override(reader: Reader, block: int, match: Match, waiting: Sequence[Match]) -> Built | None:
    """The overrides of one match, one a step; None if no step is named or its slots do not fit."""
    passage = reader.passage(block)
    start = sentence_at(passage.sentences, match.start).start
    stop = match.end if match.texts else sentence_at(passage.sentences, max(match.start, match.end - 1)).end
    changed = values(passage, match) if match.phrase.action == "change-value" else None
    if match.phrase.action == "change-value" and (changed is None or _places(passage, match)):
        return None
    if (
        match.phrase.action == "change-value"
        and numbers_for_values(passage, match)
        and not any(r.items for r in cited(passage, match, start, stop))
    ):
        return None
    if changed is not None and changed.was is None and tells_of_others(passage, match):
        return Built((), match.start, match.end)
    others = _others(passage, match, waiting)
    named = cited(passage, match, start, stop, others)
    chosen = tuple(_of_step(reader, block, match, r) for r in named)
    if match.phrase.action == "change-value" and not any(r.items for r in chosen):
        chosen = _from_before(reader, block, match, chosen)
    if match.phrase.follows == "that one":
        meant = step_meant(reader, block, match)
        chosen = (meant,) if meant is not None and not any(r.items for r in chosen) else ()
    if match.phrase.follows == "listed":
        return build_listed(reader, block, match, chosen)
    if not any(r.items for r in chosen):
        return whole_page(reader, block, match, chosen, changed)
    if match.phrase.follows == "numbered":
        chosen = tuple(r for r in (numbered_after(c) for c in chosen) if r is not None)
    if match.phrase.follows == "sentence":
        return build_struck(reader, block, match, chosen)
    if not chosen or (match.texts and _is_value_change(passage, match, waiting)):
        return None
    if match.phrase.action == "replace" and _value_before(passage, match, waiting):
        return None
    several = _several(reader, block, match, chosen)
    if several:
        return _built(reader, block, match, chosen, several[-1], changed, start, stop, waiting, several)
    words = _words(reader, block, match, chosen) if match.texts else _quoted(passage, match, block)
    if match.texts and words.block == block and _HALF.match(passage.folded, words.end - 1):
        return None
    if match.texts and value_below(reader, block, match, words):
        # One character more: a stretch within a sentence without a statement counts as denied.
        return Built((), match.start, len(passage.folded) + 1)
    if match.texts and _points_on(passage, words, block):
        return None
    if match.texts and not words.text and _table_follows(reader, block):
        return None
    if match.phrase.action == "replace" and words.text and _VALUE_ONLY.fullmatch(tag(words.text).folded):
        return None
    return _built(reader, block, match, chosen, words, changed, start, stop, waiting)


def _places(passage: Passage, match: Match) -> bool:
    """ "insert “two” before “shims”" says where words go; nothing is said to have been there."""
    lead = passage.folded[max(0, match.start - 30) : match.start]
    return bool(_PLACED.search(lead)) and bool(
        re.search(r" (?:before|after|behind) ", passage.folded[match.start : match.end])
    )


def _points_on(passage: Passage, words: NewWords, block: int) -> bool:
    """True if an arrow stands in the new words or right behind them: they are the old ones and the new."""
    behind = passage.folded[words.end : words.end + 4] if words.block == block else ""
    return _ARROW.search(words.text or "") is not None or _ARROW.match(behind.lstrip(" ,")) is not None


def _table_follows(reader: Reader, block: int) -> bool:
    """True if a table of corrections stands right below: its rows say what changes."""
    follower = reader.body.blocks[block + 1] if block + 1 < len(reader.body.blocks) else None
    return isinstance(follower, Table) and columns(reader.book, follower) is not None


def build_reading(reader: Reader, block: int, match: Match) -> Built | None:
    """ "The new text reads: …" under a step that was named just before."""
    near = reader.near(block, match.start)
    if near is None:
        return None
    words = collect(reader.book, reader.body.blocks, block, match.end, near.items)
    if words.text is None or _VALUE_ONLY.fullmatch(tag(words.text).folded):
        return None
    if _points_on(reader.passage(block), words, block):
        return None
    sentence = sentence_at(reader.passage(block).sentences, match.start)
    if _SENTENCE.search(reader.passage(block).folded, max(0, match.start - 160), match.start):
        return None  # new words for a sentence, and not for the step
    if _OTHER_STEP.search(reader.passage(block).folded[sentence.start : match.start]):
        return None
    chosen = (_of_step(reader, block, match, near),)
    return _built(reader, block, match, chosen, words, None, sentence.start, match.end)


def _others(passage: Passage, match: Match, waiting: Sequence[Match]) -> list[tuple[int, int]]:
    """The stretches of other overrides beside a match, each with the step right before it."""
    found = []
    for other in waiting:
        if other.phrase.type != "override" or not (other.end <= match.start or other.start >= match.end):
            continue
        if other.texts and 0 <= match.start - other.end <= 3:
            continue  # what it takes for new words is where this one begins
        lead = _STEP_BEFORE.search(passage.folded, max(0, other.start - 5), other.start)
        found.append((lead.start() if lead and lead.start() >= match.end else other.start, other.end))
    return found


def _of_step(reader: Reader, block: int, match: Match, reference: Reference) -> Reference:
    """A reference completed from earlier words, with a doubt where its page is far to seek."""
    full = reader.completed(block, match.start, reference)
    why = reader.doubt_page(block, match.start, reference) if full.page else ()
    return replace(full, why=(*full.why, *why, *reader.carried(block, match.start, reference)))


def _from_before(
    reader: Reader, block: int, match: Match, named: Sequence[Reference]
) -> tuple[Reference, ...]:
    """The step of the sentence before, for a value that is given without one."""
    near = reader.near(block, match.start)
    if near is None or any(gives_page(r) for r in named):
        return tuple(named)
    return (_of_step(reader, block, match, near),)


def _is_value_change(passage: Passage, match: Match, waiting: Sequence[Match]) -> bool:
    """ "Item 4 is changed: 9 Nm becomes 11 Nm" changes a value; its words are no new text."""
    edge = _EDGE.match(passage.folded, match.end)
    place = edge.end() if edge else match.end
    return any(
        m.phrase.action == "change-value"
        and not m.phrase.weak
        and abs(m.start - place) <= 3
        and values(passage, m)
        for m in waiting
    )


def _value_before(passage: Passage, match: Match, waiting: Sequence[Match]) -> bool:
    """ "24 Nm in step 3 should read 28 Nm" speaks of the value that stands before the step."""
    for other in waiting:
        span = other.span("was")
        within = span is not None and span[0] < match.start < other.end and other.start <= span[0]
        if (
            within
            and other.phrase.action == "change-value"
            and not other.phrase.weak
            and values(passage, other)
        ):
            return True
    return False


def _several(
    reader: Reader, block: int, match: Match, chosen: Sequence[Reference]
) -> tuple[NewWords, ...] | None:
    """New words for each of several steps, from a list with the steps' numbers; None if there is none."""
    items = [i for r in chosen for i in r.items]
    if not match.texts or match.phrase.action != "replace" or len(set(items)) < 2:
        return None
    found = numbered(reader.book, reader.body.blocks, block, match.end, items)
    led = _led_in_at(reader, block, match) if found is None and match.phrase.follows == "replace" else None
    return numbered(reader.book, reader.body.blocks, *led, items) if led else found


def _words(reader: Reader, block: int, match: Match, chosen: Sequence[Reference]) -> NewWords:
    """The words behind a match; where it only announces a change ("replaces item 3. …"), behind the
    sentence that leads them in."""
    items = [i for r in chosen for i in r.items]
    blocks = reader.body.blocks
    passage = reader.passage(block)
    if match.phrase.follows != "replace":
        return collect(reader.book, blocks, block, match.end, items)
    rest = passage.folded[match.end :].lstrip(" .")
    if rest.startswith((":", QUOTE)):
        return collect(reader.book, blocks, block, len(passage.folded) - len(rest), items)
    led = _led_in_at(reader, block, match)
    return collect(reader.book, blocks, *led, items) if led else NewWords(None, block, match.end)


def _led_in_at(reader: Reader, block: int, match: Match) -> tuple[int, int] | None:
    """The block and place behind the sentence that leads new words in, in the next paragraphs or this one."""
    blocks = reader.body.blocks
    for where in range(block, min(block + 3, len(blocks))):
        found = blocks[where]
        if not isinstance(found, Passage):
            return None
        from_place = match.end if where == block else 0
        leads = [m for m in matches(reader.book, found, "reading") if m.start >= from_place]
        leads = [m for m in leads if where == block or m.start <= 4]
        if leads:
            lead = min(leads, key=lambda m: (m.start, -m.end))
            before = found.folded[sentence_at(found.sentences, lead.start).start : lead.start]
            return None if trips(reader.book, before, "", "") else (where, lead.end)
    return None


def _quoted(passage: Passage, match: Match, block: int) -> NewWords:
    """The words of "“…” replaces item 3", where the quotation stands first."""
    span = match.span("quote")
    tag = next((t for _, t in passage.tagged.inside(*span) if t.kind == QUOTE), None) if span else None
    return NewWords(str(tag.content) if tag else None, block, match.end)


def _built(
    reader: Reader,
    block: int,
    match: Match,
    chosen: Sequence[Reference],
    words: NewWords,
    changed: Values | None,
    start: int,
    stop: int,
    waiting: Sequence[Match] = (),
    several: Sequence[NewWords] | None = None,
) -> Built | None:
    passage = reader.passage(block)
    end = words.end if words.block == block else len(passage.folded)
    around, verdict = reader.judged(block, match, max(end, match.end))
    if verdict.standing is None:
        return Built((), match.start, match.end)
    action, words = _noticed(cast(Action, match.phrase.action or "replace"), words)
    why = [
        *verdict.why,
        *(w for r in chosen for w in r.why if w != TABLE_ROW or changed is None or changed.was is None),
        *_doubts(match, action, words, changed, chosen, several),
    ]
    why.extend(_behind_quotation(passage, match, words, block))
    why.extend(_before_it(reader, passage, match, action))
    if contradicted(passage, match, start, stop, chosen, _others(passage, match, waiting)):
        why.append("the sentence also cites another step")
    limit = verdict.applies or limited_afterwards(passage, end, reader.body.models)
    also = " ".join(_below(reader, block, words))
    stands = replace(
        verdict,
        standing="doubtful" if why and verdict.standing == "settled" else verdict.standing,
        why=tuple(dict.fromkeys(why)),
    )
    told = {**reader.common(passage, around, stands, also), "source": reader.place(block, words.block)}
    made = tuple(
        Override(
            **told,
            action=action,
            target=target,
            text=new.text if changed is None else None,
            was=changed.was if changed else None,
            now=changed.now if changed else None,
            applies=holds_for(reader.header.applies, limit),
        )
        for target, new in _with_words(_targets(chosen, action, _between(passage, match)), words, several)
    )
    claims = tuple(
        (b, len(_folded(reader, b)) if b < words.block else words.end)
        for b in range(block + 1, words.block + 1)
    )
    return Built(made, match.start, max(end, match.end), claims)


def _before_it(reader: Reader, passage: Passage, match: Match, action: Action) -> list[str]:
    """A doubt for words right before an override that may make it something else: "half of", "the heading
    of", "some shops". Nouns before a change of value say what is measured, and are no reason."""
    start = sentence_at(passage.sentences, match.start).start
    cites = [t.text for _, t in passage.tagged.inside(start, match.end) if t.kind == REF]
    why = []
    if action == "change-value":
        said = passage.folded[start : sentence_at(passage.sentences, match.end - 1).end]
        return ["it may describe what is seen"] if _SEEN.search(said) else []
    if any(_LINE.search(c) for c in cites):
        why.append("it speaks of a line or a figure of the step")
    lead = _REASON.sub(" ", _DELIMITER.split(passage.folded[start : match.start])[-1])
    part = _PART_BEFORE.search(lead)
    if part and part["noun"].lower() not in vocabulary(reader.book, "whole-step"):
        return [*why, f"“{part.group().strip()}” before it may make it only a part of the step"]
    known = vocabulary(reader.book, *_LEADING)
    strange = [w for w in re.findall(r"[a-z][a-z'’-]*", lead.lower()) if w not in known]
    return [*why, f"“{strange[-1]}” before it may make it something else"] if strange else why


_WORDS_QUOTED = re.compile(
    rf"\b(?:words?|phrase|letters?|text|wording|sentence|expression|term|figures?|value)[^;.:]{{0,20}}{QUOTE}[^;.:]{{0,30}}$",
    re.IGNORECASE,
)


def _behind_quotation(passage: Passage, match: Match, words: NewWords, block: int) -> list[str]:
    """A doubt where a sentence goes on behind quoted new words, or quotes other words before the step."""
    why = []
    quoted = match.texts and words.block == block and passage.folded[words.end - 1 : words.end] == QUOTE
    if quoted and _MORE.match(passage.folded, words.end):
        why.append("the sentence goes on behind the new words")
    start = sentence_at(passage.sentences, match.start).start
    before = passage.folded[start : match.start]
    if match.phrase.action == "replace" and QUOTE in before:
        why.append("the sentence quotes other words too")
    if match.phrase.action == "delete" and _WORDS_QUOTED.search(before):
        why.append("the sentence quotes words: they alone may be meant")
    return why


def _noticed(action: Action, words: NewWords) -> tuple[Action, NewWords]:
    """ "After item 6 add: CAUTION – …" warns about the step; the notice word is no part of the words."""
    notice = _NOTICE.match(words.text or "")
    if notice is None or action not in ("insert-after", "insert-before", "caution"):
        return action, words
    text = (words.text or "")[notice.end() :].strip().strip('"“”„«»').strip()
    return "caution", replace(words, text=text or None)


def _with_words(
    found: Sequence[Target], words: NewWords, several: Sequence[NewWords] | None
) -> list[tuple[Target, NewWords]]:
    """Each target with its own new words where a list gives them, else all with the same."""
    return list(zip(found, several or (words,) * len(found), strict=True))


def _between(passage: Passage, match: Match) -> bool:
    return re.search(r"\bbetween\b", passage.folded[match.start : match.end], re.IGNORECASE) is not None


def _targets(chosen: Sequence[Reference], action: Action, between: bool) -> tuple[Target, ...]:
    """Every step named; a new step between two goes behind the first, one after several behind the last."""
    found = tuple(t for r in chosen for t in targets(r) if t.item)
    if action == "insert-before":
        return found[:1]
    if action == "insert-after":
        return found[:1] if between else found[-1:]
    return found


def _doubts(
    match: Match,
    action: Action,
    words: NewWords,
    changed: Values | None,
    chosen: Sequence[Reference],
    several: Sequence[NewWords] | None = None,
) -> list[str]:
    why = [*words.why, *_sub_steps(chosen, action, changed)]
    steps = [i for r in chosen for i in r.items]
    if action == "replace" and len(steps) > 1 and not several:
        why.append(f"one text stands for several steps ({', '.join(steps)})")
    if action in ("replace", "insert-after", "insert-before", "caution"):
        if not words.text:
            why.append(_NO_WORDS)
        elif words.text[0].islower():
            why.append("the new words do not begin as a sentence does")
    around = (
        match.found.string[max(0, match.start - 6) : match.start],
        match.found.string[match.end : match.end + 6],
    )
    if changed is not None and (_TO_BEFORE.search(around[0]) or _TO_AFTER.match(around[1])):
        why.append("one of the values may be a range")
    if changed is not None and changed.was and _ranged(changed.was) != _ranged(changed.now or ""):
        why.append("one of the values may be a range")
    if changed is not None and changed.was is None and not match.phrase.doubt:
        why.append("the old value is not quoted")
    return why


def _sub_steps(chosen: Sequence[Reference], action: Action, changed: Values | None) -> list[str]:
    """A lettered sub-step is a part of the step that holds it: only words quoted from it tell what
    changes."""
    parts = [i for r in chosen for i in r.items if _PART_OF.fullmatch(i)]
    if not parts or (action == "change-value" and changed is not None and changed.was):
        return []
    return [f"{part} may be only a part of its step" for part in parts]


def _ranged(value: str) -> bool:
    for number in reversed(part_numbers(value)):  # the hyphen of `52-0416` is no range's
        value = f"{value[: number.start]} {value[number.end :]}"
    return _RANGE.search(value) is not None


def _below(reader: Reader, block: int, words: NewWords) -> list[str]:
    """The words that were read from later blocks, for the quotation."""
    found = []
    for where in range(block + 1, words.block + 1):
        passage = reader.body.blocks[where]
        if isinstance(passage, Passage):
            found.append(passage.tagged.words(0, words.end if where == words.block else len(passage.folded)))
        elif words.text:
            found.append(words.text)
    return found


def _folded(reader: Reader, block: int) -> str:
    found = reader.body.blocks[block]
    return found.folded if isinstance(found, Passage) else " "

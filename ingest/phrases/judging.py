"""From a match to how far it may be believed: guards, what else stands in the sentence, whom it holds for."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies, Standing
from benchleaf.ingest.head.serials import statement_applies
from benchleaf.ingest.phrases.guards import DOUBT, REFUSE, VOID, Trip, trips, worst
from benchleaf.ingest.phrases.limiting import limited, on_condition, vocabulary
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.phrasebook import PhraseBook
from benchleaf.ingest.phrases.references import Reference, tag
from benchleaf.ingest.phrases.sentences import sentence_at
from benchleaf.ingest.phrases.supersessions import NAMED
from benchleaf.ingest.phrases.tags import CODE, KINDS, NOTE, PART, QUOTE, REF, VALUE, WEAK
from benchleaf.ingest.phrases.undecided import undecided

_BRACKETED = re.compile(r"\([^()]{0,80}\)")
_GOES_ON = re.compile(
    r"\b(?:(?<!without )replac|substitut|insert|read|instead|follow|new (?:text|step)|add)|:", re.IGNORECASE
)
# What a later sentence says where the step that was struck out is written anew.
_ANEW = re.compile(
    rf"^[^.]{{0,60}}\b(?:in (?:its|their) (?:place|stead)|instead|paste|write|insert|put"
    rf"|enter|substitut[a-z]*|the following"
    rf"|now reads?|new (?:text|wording|words|step|item|operation"
    rf"|paragraph))\b[^.]{{0,120}}(?::|{QUOTE})|^(?:the )?new "
    rf"(?:(?:text|wording|words|step|item|operation|paragraph)\b|{REF})",
    re.IGNORECASE,
)
_BY_PLACE = re.compile(
    r"\b(?:following|next|previous|preceding|opposite|facing|last|other) page\b(?!,? [0-9])"
    r"|\bpage (?:before|after|opposite|overleaf)\b|\boverleaf\b",
    re.IGNORECASE,
)
_AS_REQUIRED = re.compile(
    r"\bas (?:required|necessary|needed)\b|\b(?:not (?=[0-9]|one\b|two\b))", re.IGNORECASE
)
_PAST = re.compile(
    r"\b(?:formerly|previously|earlier|originally|used to|at present|until now|hitherto|so"
    r" far|in the past)\b",
    re.I,
)
# What a text says now is told before what it shall say.
_STATES = re.compile(
    r"\b(?:text|wording|words|step|item|manual|paragraph|page|it) (?:states|says|runs)\b(?! now)"
    r"|\b(?:reads|states|says) (?:at present|presently|currently|today)\b"
    r"|\b(?:presently|currently) (?:reads|states|says)\b",
    re.I,
)
_OCCURRENCE = re.compile(r"\b(?:occurrences?|occurs|instances? of|several times|both times)\b", re.I)
_BY_DEGREES = re.compile(
    r"\b(?:slowly|gradually|evenly|stepwise|steps|stages|by degrees|again)\b", re.IGNORECASE
)
_ROW = re.compile(r"(?:item|pos)", re.IGNORECASE)
_ROW_NAME = re.compile(r" ?[,:] (?:[a-z-]+ ){0,4}[a-z-]+ ?[:,;] ", re.IGNORECASE)
_THREAD = re.compile(r"M[0-9]{1,2}(?: ?[x×] ?[0-9]{1,3}(?:[.,][0-9]{1,2})?){0,2}|[GR] ?[0-9]{1,2}/[0-9]{1,2}")
_SERIAL = re.compile(r"[0-9 .–-]+|[A-Za-z]{0,4}[ -]?[0-9]{4,}[A-Za-z]?(?:–.*)?")
# The reason that stands before what follows from it: "there is no bolt now, so that step 4 is omitted".
_SO = re.compile(
    r"^(?:(?!\b(?:if|when|unless|whether|suppose[ds]?|wrong)\b)[^;]){1,200}?"
    r"(?:, (?:so that|so)|,? (?:and so|which is why|for which reason)) (?=[^,]{0,60}$)",
    re.I,
)
_BECAUSE = re.compile(r"[ ,]{1,3}(?:because|since|as (?:the|a|an|it|they|there) (?!follow)).{0,200}$", re.I)
# "…, as the oil can remain": why it is so. What is planned, supposed or holds for some units only is more.
_WHY = re.compile(
    r",? ?\b(?:because|since|as) (?:the|this|it|they|there|these|those|its|experience|tests)\b"
    r"(?!(?:[^.;:]|[.;:][0-9]){0,160}\b(?:if|when|unless|until|only|provided|except|where|units?|models?|types?"
    r"|serials?|should|will|planned|from|up to|not|new|replac|read|instead|follow|some|said|report)\b)"
    r"[^.;:\ue001-\ue00b]{0,160}[.!]?$",
    re.IGNORECASE,
)
_LIMITING = re.compile(
    r"^(?:this|it|the (?:change|modification|new (?:kit|text|part|step)))?\s?(?:applies|is"
    r" applicable|is valid|applicable|valid|effective|concerns|affects)\b",
    re.I,
)
_BOOK = (
    r"(?P<book>(?!(?:Fig|Figs|Table|Section|Sect|Group|Chapter|Chap|Page|Sheet|No|Nos|Ref|Step|Item|Line|M[0-9])\b)"
    r"(?:(?:(?:[A-Z]\.){2,4}|[A-Z]{1,4}\.?) ?-?[0-9][0-9A-Za-z./-]{0,9}"
    r"|(?:Publication|Manual|Handbook|Book|Booklet|Form|Leaflet) (?:No\.? ?)?[0-9]{1,4}\b))"
)
_BOOK_BEHIND = re.compile(
    r"\)?,? ?\(?(?:(?:of|in|from) (?:(?:the|your|our|this) )?(?:[A-Za-z]{3,12} ){0,3}"
    r"|(?=[A-Z]\.[A-Z]\.)|, (?=[A-Z][a-z]))"
    rf"{_BOOK}"
)
_BOOK_AHEAD = re.compile(rf"(?<![A-Za-z0-9.]){_BOOK},? ?$")
_ONLY = re.compile(r"\b(?:only|alone)”")
_CHANGE_OF = re.compile(
    r"\b(?:change(?:-?over)?|supersession|supersedure|replacement|substitution|renumbering|exchange|switch)"
    r"(?: of| from| over from)? ?(?:the )?(?:[a-z]{2,12} )?$",
    re.I,
)


@dataclass(frozen=True, slots=True)
class Verdict:
    """How a match stands: void (None), or a standing with its reasons; and the units it limits itself to."""

    standing: Standing | None
    why: tuple[str, ...] = ()
    applies: Applies | None = None


@dataclass(frozen=True, slots=True)
class Surroundings:
    """The words of a match's sentences outside it, and the words within it that are not the phrase's own."""

    before: str
    within: str
    after: str
    closing: str
    start: int
    end: int


def surroundings(passage: Passage, match: Match, taken: Sequence[tuple[int, int]], end: int) -> Surroundings:
    """What surrounds a match whose statement ends at `end`; stretches that other readings hold are left
    out."""
    first = sentence_at(passage.sentences, match.start)
    last = sentence_at(passage.sentences, max(match.start, match.end - 1))
    stop = last.end if end <= match.end else max(end, match.end)
    others = [t for t in taken if t != (match.start, end)]
    before = _without(passage.folded, first.start, match.start, others)
    if match.texts:
        after = ""
    elif "lines" in match.found.re.groupindex:
        after = _AS_REQUIRED.sub(" ", passage.folded[match.end : last.end])
    else:
        after = "" if end > match.end else _without(passage.folded, match.end, last.end, others)
    slots = [match.span(n) for n in match.found.re.groupindex if n not in ("text", "lines", "hedge")]
    within = " ; ".join(passage.folded[slice(*s)] for s in slots if s)
    return Surroundings(before, within, after, passage.folded[first.start : last.end], first.start, stop)


def _without(folded: str, start: int, end: int, others: Sequence[tuple[int, int]]) -> str:
    text = list(folded[start:end])
    for a, b in others:
        for i in range(max(a, start), min(b, end)):
            text[i - start] = ";" if i == max(a, start) else " "
    return "".join(text)


def judge(
    book: PhraseBook,
    passage: Passage,
    match: Match,
    around: Surroundings,
    models: Sequence[str] = (),
    allowed: Sequence[str] = (),
    others: Sequence[tuple[int, int]] = (),
) -> Verdict:
    """Guards first, then what the phrase itself doubts, then what is left unread in the sentence.
    `allowed` are keys of numbers that may stand beside the match (the kit that a step is bound to),
    `others` the stretches of other readings of the sentence."""
    sentence = passage.tagged.words(around.start, around.end)
    applies = statement_applies(sentence, models)
    limits = _folded(applies, models)
    before, after = (plain(book, text, limits) for text in (around.before, around.after))
    if match.phrase.type == "override":
        before = _without_reason(book, before)
        after = _WHY.sub(" ", after)
    found = trips(book, before, _slots(around.within), after, around.closing)
    if _slots_denied(match):
        found = (*found, Trip(DOUBT, f"“{_hedge(match)}” makes it no statement of fact"))
    if open_still := undecided(passage, around.end):
        found = (*found, Trip(REFUSE, f"it is not decided yet (“{open_still}”)"))
    gravest = worst(found)
    if gravest == VOID:
        return Verdict(None, tuple(t.why for t in found if t.effect == VOID))
    why = [t.why for t in found]
    if match.phrase.doubt:
        why.append(match.phrase.doubt)
    why.extend(_of_words(passage, match, around))
    why.extend(_narrowed(book, passage, match, around, _unnamed(before, applies), after))
    if match.phrase.action == "change-value" and _BY_DEGREES.search(
        f"{around.before} {around.within} {after}"
    ):
        why.append("it may be a step of the work and no correction")
    if match.phrase.action == "delete" and (_GOES_ON.search(_BECAUSE.sub("", after)) or QUOTE in after):
        why.append("the sentence goes on: more than a deletion may be meant")
    if match.phrase.action == "delete" and _written_anew(passage, around.end):
        why.append("a later sentence brings new words: more than a deletion may be meant")
    if match.phrase.type == "override" and _BY_PLACE.search(around.closing):
        why.append("the sentence tells a page by its place and not by its number")
    why.extend(_left_over(passage, match, before, after, around, applies, allowed, others))
    if applies and applies.unclear:
        why.extend(applies.unclear)
    why = list(dict.fromkeys(why))
    if gravest == REFUSE:
        return Verdict("refused", tuple(why), applies)
    return Verdict("doubtful" if why else "settled", tuple(why), applies)


def _unnamed(text: str, applies: Applies | None) -> str:
    """A stretch without the models that it limits the change to."""
    for model in applies.models if applies else ():
        text = text.replace(model, "  ")
    return text


def _narrowed(
    book: PhraseBook, passage: Passage, match: Match, around: Surroundings, before: str, after: str
) -> list[str]:
    """Doubts about words that narrow a change, around it or between it and its new words, and about what is
    cancelled where that is a change of numbers."""
    if match.phrase.type in ("cancels", "withdrawn") and (change := _CHANGE_OF.search(before)):
        return [f"“{change.group().strip()}”: a change of numbers is taken back, and no note"]
    harmless = vocabulary(book, "no-limit")
    if match.phrase.type == "cancels":
        return limited(before, after, harmless)
    if match.phrase.type == "contents":  # "for the forward pack order kit …" says what it is for
        return [why for why in limited(before, "", harmless) if _ONLY.search(why)]
    if match.phrase.type not in ("override", "reading", "supersession", "withdrawn"):
        return []
    said = passage.folded[match.start : around.end]
    at = match.end - match.start
    between = said[at : said.find(":", at)] if match.texts and ":" not in said[:at] else ""
    unread = _book_unread(passage, around) if match.phrase.type in ("override", "reading") else []
    return [*limited(before, after, harmless), *on_condition(between), *unread]


def _book_unread(passage: Passage, around: Surroundings) -> list[str]:
    """A doubt where letters and figures that may name a manual stand beside a step and were not read."""
    for place, tagged in passage.tagged.inside(0, around.end):
        if tagged.kind == REF and not (isinstance(tagged.content, Reference) and tagged.content.publication):
            before, behind = passage.folded[max(0, place - 20) : place], passage.folded[place + 1 :][:60]
            if found := _BOOK_BEHIND.match(behind) or _BOOK_AHEAD.search(before):
                return [f"it may speak of the manual “{found['book'].strip(' ,')}”, which could not be read"]
    return []


def _of_words(passage: Passage, match: Match, around: Surroundings) -> list[str]:
    """Doubts about whose the quoted words are: the old ones, one of several places, or broken off."""
    why: list[str] = []
    said = passage.folded[around.start : match.end]
    rewrites = match.phrase.action == "replace" or match.phrase.type == "reading"
    past = _PAST.search(around.before if match.phrase.action == "replace" else said)
    if rewrites and (past or _STATES.search(passage.folded, around.start, match.end + 14)):
        why.append("the words may be the old ones")
    if match.phrase.type in ("override", "reading"):
        if _OCCURRENCE.search(around.closing):
            why.append("the words may stand in several places, and only some may be meant")
        if re.search("[“„]", passage.folded[around.start : around.end]):
            why.append("a quotation mark is left open")
    return why


def _without_reason(book: PhraseBook, before: str) -> str:
    """The words before a match without the reason it follows from. That something is missing may be a
    reason; what is planned, supposed or rumoured there holds for what follows too."""
    reason = _SO.match(before)
    if reason is None or any(t.kind != "denial" for t in trips(book, reason.group(), "", "")):
        return before
    return before[reason.end() :]


def _written_anew(passage: Passage, place: int) -> bool:
    """True if the sentence behind a place announces new words."""
    later = next((s for s in passage.sentences if s.start >= place), None)
    return (
        later is not None
        and _ANEW.search(passage.folded[later.start : later.end]) is not None
        and not _of_another(passage, later.start, later.end, place)
    )


def _of_another(passage: Passage, start: int, end: int, place: int) -> bool:
    """True if the new words of a later sentence are for another step than the last one named before it."""
    before, after = (
        [
            t.content
            for _, t in passage.tagged.inside(*s)
            if isinstance(t.content, Reference) and t.content.items
        ]
        for s in ((0, place), (start, end))
    )
    if not before or not after:
        return False
    named = {i for r in before for i in r.items}
    return not named & {i for r in after for i in r.items}


def _slots(within: str) -> str:
    return re.sub(r"\b(?:see|order|use)\b", " ", within)


def _hedge(match: Match) -> str:
    return next((match.found.group(n) for n in _hedges(match) if match.found.start(n) >= 0), "")


def _hedges(match: Match) -> list[str]:
    return [n for n in match.found.re.groupindex if n == "hedge" or n.startswith("hedge_")]


def _slots_denied(match: Match) -> bool:
    return any(match.found.start(n) >= 0 for n in _hedges(match))


def _folded(applies: Applies | None, models: Sequence[str]) -> tuple[str, ...]:
    """The words of an applicability, folded as the sentence is, longest first."""
    if applies is None:
        return ()
    pieces = [tag(p, models).folded.strip() for p in applies.as_printed.split("; ")]
    return tuple(sorted((p for p in pieces if p), key=len, reverse=True))


def folded_limits(sentence: str, models: Sequence[str] = ()) -> tuple[str, ...]:
    """The words of a sentence that name units, folded."""
    return _folded(statement_applies(sentence, models), models)


def plain(book: PhraseBook, text: str, limits: Sequence[str]) -> str:
    """A stretch without asides and without the words that name the units."""
    for limit in limits:
        text = text.replace(limit, " ")
    return book.asides.without(text)


def _left_over(
    passage: Passage,
    match: Match,
    before: str,
    after: str,
    around: Surroundings,
    applies: Applies | None,
    allowed: Sequence[str],
    others: Sequence[tuple[int, int]],
) -> list[str]:
    """Numbers in the sentence that no reading accounts for."""
    signs = {ch for ch in before + after if ch in KINDS}
    mine = [(match.start, match.end), *others]
    stray = [
        t.text
        for place, t in passage.tagged.inside(around.start, around.end)
        if t.kind in (PART, CODE, WEAK)
        and t.kind in signs
        and not _THREAD.fullmatch(t.text)
        and not any(a <= place < b for a, b in mine)
    ]
    known = {key(k) for k in (applies.kits if applies else ())} | set(allowed)
    stray = [s for s in dict.fromkeys(stray) if key(s) not in known]
    bracketed = _stray_in_brackets(passage, match)
    why = [f"the sentence also names {s}" for s in (*stray, *bracketed) if key(s) not in known]
    cites = match.phrase.type in ("supersession", "withdrawn", "cancels") and REF in signs
    if cites and not _row_of_list(passage, around):
        why.append("the sentence also cites a step of a manual")
    if (
        match.phrase.type in ("supersession", "withdrawn", "override")
        and NOTE in signs
        and _other_note(passage, match)
    ):
        why.append("the sentence also speaks of another note")
    if match.phrase.action == "change-value" and VALUE in signs and not match.phrase.weak:
        why.append("another value stands in the sentence")
    if match.phrase.type == "contents" and NOTE in signs:
        why.append("the sentence also names another note")
    return why


def _row_of_list(passage: Passage, around: Surroundings) -> bool:
    """True where all that is cited is a list's own row before its part: "Item 7, seal: old number …"."""
    cited = [(p, t) for p, t in passage.tagged.inside(around.start, around.end) if t.kind == REF]
    if len(cited) != 1 or cited[0][0] != around.start or not isinstance(cited[0][1].content, Reference):
        return False
    one = cited[0][1].content
    bare = one.items and not (one.page or one.publication or one.section)
    after = passage.folded[around.start + 1 : around.start + 40]
    return bool(bare and _ROW.match(cited[0][1].text) and _ROW_NAME.match(after))


def _other_note(passage: Passage, match: Match) -> bool:
    return any(
        t.kind == NOTE and t.label != "own" and not match.start <= place < match.end
        for place, t in passage.tagged.tags.items()
    )


def _stray_in_brackets(passage: Passage, match: Match) -> list[str]:
    """Numbers in brackets within a slot are not read as part of it."""
    found: list[str] = []
    for name in ("old", "new", "part"):
        span = match.span(name)
        for bracket in _BRACKETED.finditer(passage.folded, *span) if span else ():
            tags = passage.tagged.inside(bracket.start(), bracket.end())
            if not NAMED.search(passage.folded[span[0] : tags[0][0]] if span and tags else ""):
                found.extend(t.text for _, t in tags if t.kind in (PART, CODE, WEAK))
    return found


def holds_for(header: Applies, said: Applies | None) -> Applies:
    """The statement's own units where it names some, filled up from the note's head: a sentence that
    gives only serial numbers still speaks of the note's models, and one that gives only a kit of its
    serial numbers."""
    if said is None:
        return header
    serials = said.serial_from or said.serial_to or _serials(said.excepted, (*header.models, *said.models))
    excepted = said.excepted if serials else tuple(dict.fromkeys((*header.excepted, *said.excepted)))
    built = said.built_from or said.built_to
    return replace(
        said,
        models=said.models or header.models,
        serial_from=said.serial_from if serials else header.serial_from,
        serial_to=said.serial_to if serials else header.serial_to,
        excepted=excepted,
        built_from=said.built_from if built else header.built_from,
        built_to=said.built_to if built else header.built_to,
        kits=said.kits or header.kits,
    )


def _serials(excepted: Sequence[str], models: Sequence[str]) -> bool:
    """True if serial numbers are among what is left out, not only models."""
    known = {key(m) for m in models}
    return any(key(e) not in known and _SERIAL.fullmatch(e.strip()) for e in excepted)


def limited_afterwards(passage: Passage, place: int, models: Sequence[str]) -> Applies | None:
    """The units that a following sentence ("This applies from serial number 20500.") limits a statement
    to."""
    for sentence in passage.sentences:
        if sentence.start >= place:
            said = passage.folded[sentence.start : sentence.end]
            if _LIMITING.match(said):
                return statement_applies(passage.tagged.words(sentence.start, sentence.end), models)
    return None


__all__ = [
    "Surroundings",
    "Verdict",
    "folded_limits",
    "holds_for",
    "judge",
    "limited_afterwards",
    "plain",
    "surroundings",
]

"""Supersessions, withdrawn parts and cancelled notes from matches of the phrase book."""

import itertools
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key
from benchleaf.graph.model import Relation
from benchleaf.ingest.phrases.labels import kit_label, of_series
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.tags import CODE, DATE, NOTE, PART, WEAK, Tag

_NO_PART = re.compile(
    r"\b(?:bulletins?|notes?|circulars?|manuals?|pages?|sections?|models?|serials?|drawings?"
    r"|figures?|fig\.|tables?|items?|steps?|types?"
    r"|chapters?|letters?|instructions?|standards?|specifications?|spec\.?|grades?|oil|grease"
    r"|loctite|iso|sae|din|tool|tools|fixture|gauge|jig)"
    r"(?: (?:no\.?|number|type))?[ :]*$",
    re.IGNORECASE,
)
_BULLETIN = re.compile(r"(?:T?SB|ASB|SIB|SIL|TIB|SL|SI|TI|TB|TN|SN)[ -]?[0-9]")
NAMED = re.compile(
    r"[A-Za-z] \(new [a-z/ ]{1,20}[\[(]?$", re.IGNORECASE
)  # "a cover (new number [318 604 57])"
_INITIALS = re.compile(r"[A-Z]{1,4}[ .-]{1,2}(?P<number>[0-9]{1,4}[/.-][0-9]{1,4})")
_ASSEMBLY = re.compile(r"\bass(?:embl|y)", re.IGNORECASE)
_SEPARATELY = re.compile(
    r"\b(?:NSS|non-procurable|separately|spare part|as (?:a )?spares?|not (?:\w+ ){0,2}(?:serviced"
    r"|supplied|available))\b",
    re.IGNORECASE,
)
_OF_OTHER = re.compile(
    r"\b(?:(?<!set )(?<!sets )(?<!pair )(?<!pack )(?<!type )(?<!kind )of|for|against|without|from)\b(?! new)",
    re.IGNORECASE,
)
_VERB_BEFORE = re.compile(
    r"(?:\b(?:by|with|to|into|becom\w+|became|now|as|replaces?|supersedes?|use|order|is)|→|>"
    r"|=) (?:the |kit |part )*$",
    re.IGNORECASE,
)
_ONE_VERB = re.compile(r" (?:becomes|became|is|was|has|changes|gives|replaces|supersedes)\b", re.IGNORECASE)
_THIS = re.compile(r"[ ,]{0,8}+th(?:is|ese) [a-z]", re.IGNORECASE)
# What is ordered is a number, so "it" is the one number named before.
_ORDERED = re.compile(r"\borders\b[^.;]{0,30} (?:it|them)\b", re.IGNORECASE)
_OPENING = re.compile(
    r"(?!(?i:[^.]{0,80}\b(?:in|of|on|with|for|by|to|from|and|or|is|are|was|has|instead|if|when|as)\b))"
    r"(?:[A-Za-z][A-Za-z'/-]{0,24}[ ,(]{1,2}){0,6}",
)
# "Kit A is split up. It is replaced by B and C": the sentence before says no more of A than that it ends.
_IT = re.compile(r"[ ,]{0,8}+(?:it|they|both|these) (?:is|are|was|were|has|have|becomes?)\b", re.IGNORECASE)
_ENDED = re.compile(
    r"(?: ?\([^()]{0,40}\))? ?,? (?:is|are|was|were|has been|have been)"
    r" (?:(?:now|being|hereby|therefore|also|both|henceforth|from now on) ){0,2}"
    r"(?:divided|split(?: up)?|separated|parted|renumbered|withdrawn|discontinued|cancelled|dropped"
    r"|deleted|obsolete|unavailable|out of production|combined|united|joined|merged"
    r"|no longer (?:available|made|supplied|stocked|delivered|produced|in production))"
    r"(?: (?:into|in) (?:two|three|four|one)(?: [a-z]{2,12}){0,2})?[ .;]*",
    re.IGNORECASE,
)
# "It comes packed in kit B instead of A": B holds the new part and is not it.
_HELD_IN = re.compile(
    r"\b(?:contained|included|found|packed|supplied|delivered|enclosed) (?:now )?(?:in|with)"
    r" (?:the |both |all )?(?:[a-z-]+ ){0,3}$",
    re.IGNORECASE,
)
_NUMBERED = re.compile(r"(?P<stem>(?:.{0,20}[^0-9])?)(?P<count>[0-9]{1,4})")
_LISTING = re.compile(r"(?:\band|&) (?:no\.? ?)?[0-9]{1,3}\b")
_LONGEST_RUN = 40  # notes
# "A is out of date. Both are replaced by B": the other one is not named here.
_PAIR = re.compile(
    r"(?:^|[.;:] (?:and )?)(?:both|the two|these two)(?: of them| numbers| parts)?"
    r" (?:is|are|was|were|have|has)\b",
    re.IGNORECASE,
)
_OR = re.compile(r"\b(?:or|either|alternatively)\b", re.IGNORECASE)
_AND = re.compile(r"\b(?:and|plus|with|both|together)\b|[+&]", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Numbers:
    """The numbers of one slot, how several are joined, and what is unclear about them."""

    numbers: tuple[str, ...]
    relation: Relation
    why: tuple[str, ...] = ()
    places: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Change:
    """Old numbers and the new ones in their place, as one sentence gives them."""

    old: tuple[str, ...]
    new: tuple[str, ...]
    relation: Relation
    why: tuple[str, ...] = ()


def numbers_in(passage: Passage, span: tuple[int, int], barred: Collection[str] = ()) -> Numbers | None:
    """The part numbers in a slot; those in brackets are asides, but for the new number of a thing just
    named. None if one of them is no part (a note, a
    manual)."""
    found: list[tuple[int, Tag]] = []
    why: list[str] = []
    depth = 0
    for place in range(*span):
        sign = passage.folded[place]
        depth += (sign == "(") - (sign == ")")
        tag = passage.tagged.tags.get(place)
        if tag is None or tag.kind not in (PART, CODE, WEAK):
            continue
        if depth > 0 and not NAMED.search(passage.folded[span[0] : place]):
            continue
        if key(tag.text) in barred or (
            tag.kind != PART and _NO_PART.search(passage.folded[max(0, place - 30) : place])
        ):
            return None
        if tag.kind == WEAK:
            why.append(f"“{tag.text}” is short for a part number")
        found.append((place, tag))
    printed = tuple(dict.fromkeys(tag.text for _, tag in found))
    if not printed or any(len(key(n)) < 3 for n in printed):
        return None
    relation, unclear = relation_of(passage.folded[span[0] : span[1]], len(printed))
    return Numbers(printed, relation, (*why, *unclear), tuple(place for place, _ in found))


def relation_of(said: str, count: int) -> tuple[Relation, tuple[str, ...]]:
    """How several numbers are joined by the words around them, and a doubt where they do not say."""
    if count == 1:
        return "one", ()
    either, both = bool(_OR.search(said)), bool(_AND.search(said))
    if either and not both:
        return "one of", ()
    if both and not either:
        return "all of", ()
    return "all of", ("it is not said whether all of the numbers or one of them is meant",)


def changes(
    passage: Passage, match: Match, sentence: str, barred: Collection[str] = ()
) -> tuple[Change, ...]:
    """The supersessions of one match. "A and B are replaced by C and D respectively" gives two."""
    if len(match.spans("old")) + len(match.spans("new")) > 2:
        return _chain(passage, match, barred)
    old_span, new_span = (next(iter(match.spans(name)), None) for name in ("old", "new"))
    if new_span is None or (old_span is None and match.phrase.follows != "it"):
        return ()
    new = numbers_in(passage, new_span, barred)
    old = numbers_in(passage, old_span, barred) if old_span else _named_before(passage, match, barred)
    if old is None or new is None or {key(n) for n in old.numbers} & {key(n) for n in new.numbers}:
        return ()
    if len(old.numbers) != 2 and _PAIR.search(passage.folded[match.start : match.end]):
        return ()
    why = (*(w for w in old.why if "short" in w), *new.why)
    if old_span and _second_clause(passage, match, old):
        return ()
    if _OF_OTHER.search(passage.folded[new_span[0] : new.places[0]]):
        why = (*why, f"{new.numbers[0]} stands behind other words and may belong to them")
    if _comes_inside(passage, old, new, sentence):
        why = (*why, "the old part comes only inside the other number: it is not the same part")
    if old_span is None and not _is_subject(passage, match, old):
        why = (*why, "the old number is taken from an earlier sentence")
    if len(old.numbers) == len(new.numbers) > 1 and re.search(
        r"\b(?:respectively|resp\.|in (?:this|that) order)", sentence
    ):
        short = tuple(w for w in why if "short" in w)
        return tuple(Change((a,), (b,), "one", short) for a, b in zip(old.numbers, new.numbers, strict=True))
    if len(old.numbers) > 1 and len(new.numbers) > 1:
        why = (*why, "several numbers become several: which becomes which is not said")
    if len(old.numbers) > 1 and old_span and _OR.search(passage.folded[slice(*old_span)]):
        return tuple(Change((a,), new.numbers, new.relation, why) for a in old.numbers)
    return (Change(old.numbers, new.numbers, new.relation, why),)


def _chain(passage: Passage, match: Match, barred: Collection[str]) -> tuple[Change, ...]:
    """ "A was replaced by B and later by C", and backwards "C, formerly B and before that A"."""
    olds, news = match.spans("old"), match.spans("new")
    spans = sorted((*olds, *news), reverse=news[0] < olds[0])
    links = [numbers_in(passage, span, barred) for span in spans]
    found = [one for one in links if one is not None and len(one.numbers) == 1]
    if len(found) < len(spans) or len({key(one.numbers[0]) for one in found}) < len(spans):
        return ()
    return tuple(Change(a.numbers, b.numbers, "one", (*a.why, *b.why)) for a, b in itertools.pairwise(found))


def _second_clause(passage: Passage, match: Match, old: Numbers) -> bool:
    """ "A becomes B and C becomes D": B belongs to the clause before, and B and C are no list."""
    before = passage.folded[max(0, match.start - 24) : old.places[0]]
    after = passage.folded[old.places[-1] + 1 : old.places[-1] + 12]
    return len(old.places) > 1 and bool(_VERB_BEFORE.search(before)) and bool(_ONE_VERB.match(after))


def _comes_inside(passage: Passage, old: Numbers, new: Numbers, sentence: str) -> bool:
    """ "A is not available separately, order assembly B": B holds A and more."""
    labels = [[passage.tagged.tags[i].label for i in one.places] for one in (old, new)]
    inside = all(_ASSEMBLY.search(n) for n in labels[1]) and not any(_ASSEMBLY.search(n) for n in labels[0])
    return inside and bool(labels[1]) and _SEPARATELY.search(sentence) is not None


def _is_subject(passage: Passage, match: Match, old: Numbers) -> bool:
    """True for "this kit" and "orders for it" where the sentence right before opens with the old number and
    its names, so that nothing else can be meant."""
    said = passage.folded[match.start : match.end]
    it = _IT.match(said) is not None
    if not (it or _THIS.match(said) or _ORDERED.search(passage.folded[max(0, match.start - 40) : match.end])):
        return False
    here = max((s.start for s in passage.sentences if s.start <= match.start), default=0)
    before = next((s for s in reversed(passage.sentences) if s.start < here), None)
    if before is None or not old.places or old.places[0] < before.start:
        return False
    if it and not _ENDED.fullmatch(passage.folded[old.places[-1] + 1 : before.end]):
        return False
    return _OPENING.fullmatch(passage.folded[before.start : old.places[0]]) is not None


def _named_before(passage: Passage, match: Match, barred: Collection[str]) -> Numbers | None:
    """The one number that the sentences before "it" name in the same paragraph; None if there are several."""
    start = max((s.start for s in passage.sentences if s.start <= match.start), default=0)
    return numbers_in(passage, (0, start), barred) if _one_part(passage, start) else None


def _one_part(passage: Passage, end: int) -> bool:
    return len({key(t.text) for _, t in passage.tagged.inside(0, end) if t.kind in (PART, CODE)}) == 1


def held_in_kit(passage: Passage, start: int, place: int) -> bool:
    """True for a kit that is said to hold something ("it comes packed in set 4471"): it is no new part."""
    kit = passage.tagged.tags.get(place)
    said = passage.folded[start:place]
    called = (kit is not None and kit_label(kit)) or re.search(r"\b(?:kit|set)s? $", said, re.IGNORECASE)
    return bool(called) and _HELD_IN.search(re.sub(r"\b(?:kit|set)s? $", "", said)) is not None


def withdrawn_parts(passage: Passage, match: Match, barred: Collection[str] = ()) -> tuple[str, ...]:
    """The numbers that a match says are no longer supplied."""
    span = match.span("part")
    found = numbers_in(passage, span, barred) if span else None
    return found.numbers if found else ()


def cancelled_notes(
    passage: Passage, match: Match, own: str | None
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The notes that a match takes out of force, each with its reasons for doubt."""
    spans = match.spans("note")
    if not spans:
        return ()
    said = passage.folded[match.start : match.end]
    by_this = re.search(r"\b(?:this|present) [a-z ]{0,30}|\bherewith\b", said, re.IGNORECASE) is not None
    found = [
        (p, t) for span in spans for p, t in passage.tagged.inside(*span) if t.kind in (NOTE, CODE, WEAK)
    ]
    listed = any(t.kind == NOTE for _, t in found)
    why = _other_doer(passage, match, own)
    run = _run_of(passage, match, [t.text for _, t in found]) or _listed(passage, match, found)
    if run:
        return tuple((number, why) for number in run if not (own and key(number) == key(own)))
    if len(spans) > 1 or match.span("q") or match.span("part"):
        why = (*why, "which notes lie between the two numbers is not sure")
    return tuple(
        (tag.text, why)
        for _, tag in found
        if not (own and key(tag.text) == key(own))
        and (tag.kind == NOTE or listed or by_this or _dated(passage, match) or is_note(tag.text, own))
    )


def is_note(number: str, own: str | None) -> bool:
    """True for a number that by its letters, or by the form of this note's own number, is a note's."""
    return (
        _BULLETIN.match(number) is not None
        or without_initials(number, own) is not None
        or of_series(number, own)
    )


def without_initials(number: str, own: str | None) -> str | None:
    """A number of the form of this note's own, which has no letters, without the initials of its kind: "KM
    14/02" is 14/02 in the series of 14/05. None for any other number."""
    plain = _INITIALS.fullmatch(number)
    form = re.sub("[0-9]", "0", plain["number"]) if plain else ""
    return plain["number"] if plain and own and form == re.sub("[0-9]", "0", own) else None


def _listed(passage: Passage, match: Match, found: Sequence[tuple[int, Tag]]) -> tuple[str, ...]:
    """ "Bulletins 44, 45 and 47": small numbers behind the first one are notes too."""
    spans = match.spans("q")
    if (
        not spans
        or match.span("part")
        or len(match.spans("note")) > 1
        or not all(t.text.isdigit() for _, t in found)
    ):
        return ()
    between = passage.folded[max(0, spans[-1][0] - 8) : spans[-1][0]]
    counts = [passage.tagged.words(*s).strip() for s in spans]
    joined = re.search(r"(?:\band|&) (?:no\.? ?)?$", between) is not None
    return (*(t.text for _, t in found), *counts) if joined and all(c.isdigit() for c in counts) else ()


def _run_of(passage: Passage, match: Match, found: Sequence[str]) -> tuple[str, ...]:
    """ "Bulletins 3 to 7", "SL-14 through SL-16": every number of the run; none where it is not told."""
    if _LISTING.search(passage.folded[match.start : match.end]):
        return ()
    counted = match.span("q") or match.span("part")
    last = passage.tagged.words(*counted) if counted else found[-1] if len(match.spans("note")) > 1 else ""
    first, end = (_NUMBERED.fullmatch(n) for n in (found[0] if found else "", last))
    if len(found) > 2 or first is None or end is None or end["stem"] not in ("", first["stem"]):
        return ()
    a, b = int(first["count"]), int(end["count"])
    if not a < b <= a + _LONGEST_RUN:
        return ()
    return tuple(f"{first['stem']}{n:0{len(first['count'])}d}" for n in range(a, b + 1))


def _dated(passage: Passage, match: Match) -> bool:
    span = match.span("note")
    return (
        span is not None and DATE in passage.folded[span[0] : span[1] + 14] and match.phrase.type == "cancels"
    )


def _other_doer(passage: Passage, match: Match, own: str | None) -> tuple[str, ...]:
    """A doubt where another note, not this one, is said to do the cancelling."""
    before = _last_note(passage.tagged.inside(max(0, match.start - 24), match.start))
    after = re.match(rf"[ ,]{{0,2}}by (?:the |our )?(?P<doer>[{NOTE}{CODE}])", passage.folded[match.end :])
    doers: Sequence[Tag] = [*before] + (
        [passage.tagged.tags[match.end + after.start("doer")]] if after else []
    )
    other = next((d for d in doers if not (own and key(d.text) == key(own))), None)
    return (f"another note, {other.text}, is said to do it",) if other else ()


def _last_note(tags: Sequence[tuple[int, Tag]]) -> tuple[Tag, ...]:
    return tuple(tag for _, tag in tags[-1:] if tag.kind == NOTE)

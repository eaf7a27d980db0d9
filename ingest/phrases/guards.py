"""Guards: words that void a reading or make it a doubt, looked for before anything is believed."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from benchleaf.ingest.phrases.phrasebook import PhraseBook
from benchleaf.ingest.phrases.tags import KINDS, QUOTE, VALUE

VOID, REFUSE, DOUBT = "void", "refuse", "doubt"
_EFFECT = {
    "denial": VOID,
    "unchanged": DOUBT,
    "question": VOID,
    "reference": VOID,
    "hearsay": REFUSE,
    "condition": DOUBT,
    "possible": DOUBT,
    "future": DOUBT,
    "error": DOUBT,
    "mention": DOUBT,
}
# "We ask you to strike out …" is no hearsay but the request itself.
_COURTESY = re.compile(
    r"\bwe (?:kindly |therefore |hereby |must |would |would like to )?(?:ask|request"
    r"|beg)(?: (?:you|that|all|to|our|for))?\b"
    r"|\b(?:are|is) (?:kindly |hereby |therefore )?(?:asked|requested) to\b|\byou (?:asked"
    r"|have asked) for\b"
    r"|\bin reply to your question\b"
    # "Because of many questions: …" says why the note was written.
    r"|\b(?:because of|owing to|due to|in view of|following|after|on account of|prompted by"
    r"|in (?:response|reply|answer) to) (?:the |a |your |our )?"
    r"(?:(?:many|several|some|various|repeated|frequent|numerous|recent|number of|further) ){0,2}"
    r"(?:questions|enquiries|inquiries|queries|requests|reports)\b"
    r"(?! (?:that|whether|if|of|about|as|saying|claiming)\b)",
    re.IGNORECASE,
)
# "It is not so that item 3 is deleted": "so" stands for what follows, and gives no reason for it.
_IS_SO = re.compile(
    r"^[^;]{0,200}?\b(?:is|was|be|been|it|isn['’]t|wasn['’]t) (?:(?:not|never|hardly|by no means) )?"
    r"so,? that\b",
    re.IGNORECASE,
)
# "Had item 3 been deleted, …", "Should kit 47 be replaced, …".
_INVERTED = re.compile(r"[ (“\"]{0,3}(?:Had|Should|Were|Would|Could)\b(?! be\b)")
# "…, where formerly there were four": what was so before, and no condition.
_FORMER = r"(?:formerly|previously|hitherto|before|earlier|originally|until now|up to now|so far)"
_WHERE = re.compile(
    rf"\b(?:where|when)(?= (?:{_FORMER} (?:there (?:were|was)|it (?:had|held|was)|one had)"
    rf"|there (?:were|was) {_FORMER}|it (?:had|held|was) {_FORMER}"
    rf"|(?:it|they) {_FORMER} (?:had|held|contained))\b)",
    re.IGNORECASE,
)
# What somebody wished or did is no instruction: "he wanted to skip step 5", "a copy has step 5 crossed out".
_ANECDOTE = re.compile(
    r"\b(?:wanted|wished|tried|attempted|hoped|preferred|refused|(?:was|were) (?:tempted|inclined)) to\b"
    r"(?! (?:tell|let|inform|advise|point|say|remind|make|draw|stress|announce|be|give|explain)\b)"
    r"|\b(?:an?|one|some|his|her|another|somebody['’]s|someone['’]s) (?:[a-z]{2,12} )?(?:copy|copies"
    r"|print(?:out)?|photocopy)\b[^.;:]{0,80}\b(?:has|had|was|were|showed|shows)\b",
    re.IGNORECASE,
)
_CROSSED = re.compile(
    r"\bhad (?!to\b)[^.;:]{0,60}\b(?:crossed|struck|inked|blacked) (?:out|through|off)\b", re.IGNORECASE
)
# "…, so that the seal may be changed without drawing the hub": what it is good for, and no mere possibility.
_PURPOSE = re.compile(
    r"\b(?:so that|in order that|so as to enable|thus|whereby) [^;.:]{1,80}?"
    r" (?:may|can|could|might|will|would)\b"
    r"(?= (?:be|now be|still be|then be|more easily|no longer)\b)"
    r"(?![^;.]{0,60}\b(?:replaced|superseded|omitted|deleted|added))",
    re.IGNORECASE,
)
_TAGS = re.compile(rf"[{KINDS}]")
# "In step 5 strike out 40 Nm and write in 45 Nm" strikes out a value, not the step.
_VALUE_STRUCK = re.compile(
    rf"\b(?:strike|striking|cross|crossing|score|scoring|rub|blot|ink) "
    rf"(?:out|off|through) (?:the )?(?:(?:value|figure|words?) )?"
    rf"(?P<value>[{VALUE}{QUOTE}])[^.;:]{{0,60}}?\b(?:and|then|,) (?:[a-z]{{1,12}} ){{0,2}}?"
    rf"(?:write|pencil|enter|put|insert|substitute|ink)\b",
    re.IGNORECASE,
)
_CLAUSE = re.compile(r"[;:]| - | – |, (?:but|however|though|although|while|whereas|and) ")


@dataclass(frozen=True, slots=True)
class Trip:
    """One guard that tripped: what follows from it, and why in plain words."""

    effect: str
    why: str
    kind: str = "denial"


def trips(book: PhraseBook, before: str, within: str, after: str, closing: str = ".") -> tuple[Trip, ...]:
    """The guards tripped by the words before, within and after a match in its sentence.

    A denial voids a match only from within it or from its own clause before it; elsewhere in the sentence
    it may speak of something else, and makes a doubt.
    """
    found: list[Trip] = []
    after = _PURPOSE.sub(" ", after)
    if (frame := _IS_SO.match(closing)) and frame[0] not in before:
        before = f"{frame[0]} {before}"
    before, within, after = (_WHERE.sub(" ", _COURTESY.sub(" ", text)) for text in (before, within, after))
    clauses = _CLAUSE.split(before)
    mine = clauses[-1]
    places = [
        (place, _hits(book, text))
        for place, text in (
            ("own", mine),
            ("own", within),
            ("other", " ; ".join(clauses[:-1])),
            ("other", after),
        )
    ]
    for guard in book.guards:
        for place, hits in places:
            hit = hits.get(guard.name)
            if hit is None:
                continue
            effect = _EFFECT[guard.kind]
            if place == "other" and guard.kind == "reference":
                continue
            if place == "other" and effect == VOID:
                effect = DOUBT
            found.append(Trip(effect, f"{guard.why} (“{hit.group().strip()}”)", guard.kind))
            break
    found += _told(f"{mine} ; {within}", after, closing)
    if opened := _INVERTED.match(before):
        why = f"it holds only under a condition (“{opened.group().strip()}”)"
        found.append(Trip(DOUBT, why, "condition"))
    if closing.strip().endswith("?"):
        found.append(Trip(VOID, "the sentence is a question", "question"))
    return tuple(found)


def _hits(book: PhraseBook, text: str) -> dict[str, re.Match[str]]:
    """What each guard finds first in a text, by its name."""
    found: dict[str, re.Match[str]] = {}
    for guard, pattern in book.guarding.likely(text):
        if guard.name not in found and (hit := pattern.search(text)):
            found[guard.name] = hit
    return found


def _told(own: str, after: str, closing: str) -> Iterator[Trip]:
    """Trips over what is told of somebody's doings, and over a value struck out where a step was read."""
    if hit := _ANECDOTE.search(own) or _CROSSED.search(closing):
        yield Trip(
            REFUSE, f"it tells what somebody wished or did (“{_TAGS.sub('…', hit.group())}”)", "hearsay"
        )
    struck = _VALUE_STRUCK.search(closing)
    if struck and after.strip() and closing[struck.start("value") :].startswith(after.strip()[:4]):
        yield Trip(VOID, "a value is struck out, not the step", "reference")


def worst(found: tuple[Trip, ...]) -> str | None:
    """The gravest effect among trips; None if nothing tripped."""
    return next((e for e in (VOID, REFUSE, DOUBT) if any(t.effect == e for t in found)), None)


def carried(book: PhraseBook, sentence: str) -> tuple[str, ...]:
    """Reasons for doubt that a sentence hands on to the next one, which takes its step or kit from it:
    what is denied, supposed, planned or rumoured there holds here too. That it speaks of a misprint is
    no reason."""
    found = trips(book, "", sentence, "", sentence)
    return tuple(
        f"an earlier sentence matters here: {t.why}"
        for t in found
        if t.kind not in ("mention", "reference", "unchanged")
    )


def states_nothing(book: PhraseBook, sentence: str) -> bool:
    """True for a sentence that was understood to state no change: it denies one, asks, refers, or says
    that all stays as it is."""
    found = trips(book, "", sentence, "", sentence)
    return worst(found) == VOID or any(t.kind == "unchanged" for t in found)

"""Guards: words that void a reading or make it a doubt, looked for before anything is believed."""

import re
from dataclasses import dataclass

from benchleaf.ingest.phrases.phrasebook import PhraseBook

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
    r"|\bin reply to your question\b",
    re.IGNORECASE,
)
# "Had item 3 been deleted, …", "Should kit 47 be replaced, …".
_INVERTED = re.compile(r"[ (“\"]{0,3}(?:Had|Should|Were|Would|Could)\b(?! be\b)")
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
    before, within, after = (_COURTESY.sub(" ", text) for text in (before, within, after))
    clauses = _CLAUSE.split(before)
    mine = clauses[-1]
    for guard in book.guards:
        for place, text in (
            ("own", mine),
            ("own", within),
            ("other", " ; ".join(clauses[:-1])),
            ("other", after),
        ):
            hit = next((h for h in (p.search(text) for p in guard.patterns) if h), None)
            if hit is None:
                continue
            effect = _EFFECT[guard.kind]
            if place == "other" and guard.kind == "reference":
                continue
            if place == "other" and effect == VOID:
                effect = DOUBT
            found.append(Trip(effect, f"{guard.why} (“{hit.group().strip()}”)", guard.kind))
            break
    if opened := _INVERTED.match(before):
        why = f"it holds only under a condition (“{opened.group().strip()}”)"
        found.append(Trip(DOUBT, why, "condition"))
    if closing.strip().endswith("?"):
        found.append(Trip(VOID, "the sentence is a question", "question"))
    return tuple(found)


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

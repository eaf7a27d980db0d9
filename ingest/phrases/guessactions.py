"""What is done to a step, weighed from every cue in a sentence whose wording is not in the phrase book."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.model import Action
from benchleaf.ingest.phrases.guesscues import Cues
from benchleaf.ingest.phrases.guessscene import without_notice
from benchleaf.ingest.phrases.tags import VALUE

_LEAST, _LEAST_WITHOUT_WORDS = 2.5, 3.0
_MARGIN = 1.0
_NEAR = 60  # characters between a step and the words that strike it out
# "Cross out 2.2 mm in step 6" leaves the step in force.
_VALUE_STRUCK = re.compile(
    rf"\b(?:strike|cross|score|rub|blot|ink) (?:out|off|through) (?:the )?(?:(?:value|figure) )?[{VALUE}]",
    re.I,
)
_WORDY: tuple[Action, ...] = ("replace", "insert-after", "insert-before", "caution")


@dataclass(frozen=True, slots=True)
class Evidence:
    """The words around a step: all that speak of it, those right before and behind it; the new words; how
    plainly two values stand as old and new; whether the step was struck out just before."""

    head: str
    before: str
    after: str
    text: str | None = None
    announced: bool = False
    values: float = 0.0
    struck_out: bool = False


@dataclass(frozen=True, slots=True)
class Guess:
    """The likeliest action, its weight, and whether another comes near it."""

    action: Action
    weight: float
    close: Action | None = None


def weigh(cues: Cues, evidence: Evidence) -> Guess | None:
    """The likeliest action; None if nothing speaks for any."""
    scores = sorted(_scores(cues, evidence), key=lambda s: -s[0])
    weight, action = scores[0]
    least = _LEAST if evidence.text or action in ("delete", "change-value") else _LEAST_WITHOUT_WORDS
    if weight < least:
        return None
    second = next((a for w, a in scores[1:] if weight - w < _MARGIN), None)
    return Guess(action, weight, second)


def _scores(cues: Cues, evidence: Evidence) -> Sequence[tuple[float, Action]]:
    found = {k: cues.weight(k, evidence.head) for k in ("delete", "replace", "insert", "caution", "change")}
    ahead, behind = _position(cues, evidence)
    wordy = 1.0 if evidence.text else -1.0
    notice = bool(evidence.text) and without_notice(evidence.text or "")[1]
    struck = found["delete"] if _near(cues, evidence) else 0.5 * found["delete"]
    placed = max(ahead, behind)
    insert = found["insert"] + placed + wordy if placed else 0.55 * found["insert"] + wordy
    replace = found["replace"] + wordy + (1.5 if struck and evidence.text else 0.0)
    replace += 3 * (evidence.struck_out and bool(evidence.text))
    if placed >= 2 and found["insert"] >= 1.5 and found["replace"] < 3:
        replace -= 2
    caution = found["caution"] + wordy + 2.5 * bool(found["caution"]) + 4 * notice
    delete = struck - 2.5 * evidence.announced + (0.0 if evidence.announced else 0.5 * bool(struck))
    delete = 0.0 if _VALUE_STRUCK.search(evidence.head) else delete
    value = (
        evidence.values + min(2.0, found["change"]) + 0.5 - 2.5 * bool(evidence.text)
        if evidence.values
        else 0.0
    )
    return (
        (value, "change-value"),
        (insert, "insert-before" if ahead > behind else "insert-after"),
        (replace, "replace"),
        (caution, "caution") if found["caution"] or notice else (0.0, "caution"),
        (delete, "delete"),
    )


def _position(cues: Cues, evidence: Evidence) -> tuple[float, float]:
    """How plainly the words right beside the step say before it, and after it."""
    near = evidence.before[-26:]
    ahead = max((h.weight for h in cues.hits("place-before", near) if len(near) - h.end <= 18), default=0.0)
    behind = max((h.weight for h in cues.hits("place-after", near) if len(near) - h.end <= 18), default=0.0)
    nearest = {
        kind: min((len(near) - h.end for h in cues.hits(kind, near)), default=99)
        for kind in ("place-before", "place-after")
    }
    if ahead and behind:
        ahead, behind = (ahead, 0.0) if nearest["place-before"] < nearest["place-after"] else (0.0, behind)
    return 0.8 * ahead, 0.8 * behind


def _near(cues: Cues, evidence: Evidence) -> bool:
    before = min((len(evidence.before) - h.end for h in cues.hits("delete", evidence.before)), default=999)
    after = min((h.start for h in cues.hits("delete", evidence.after)), default=999)
    return min(before, after) <= _NEAR

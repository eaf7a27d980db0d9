"""Whether a sentence that no phrase matches may be guessed at: not what it denies, asks, plans or rumours."""

import re

from benchleaf.ingest.phrases.guards import REFUSE, VOID, trips
from benchleaf.ingest.phrases.guesscues import Cues
from benchleaf.ingest.phrases.judging import Verdict, folded_limits, plain
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.tags import KINDS, QUOTE, VALUE

WHY = "the wording is not in the phrase book"
_CLAUSE = re.compile(
    r"[;:]| [-–—] |, (?:and|but|so that|so|while|whereas|although|though|yet|because|as"
    r"|since|for) | and | but "
)
_ASKS = re.compile(
    r"\b(?:whether|wonder[a-z]*|who knows|does anyone|does anybody|anyone know)\b", re.IGNORECASE
)
_PLAN = re.compile(
    r"\b(?:planned|plans|plan to|under (?:consideration|review|examination|study)"
    r"|considering|considered|in preparation|propos[a-z]+"
    r"|not yet|next year|in due course|looking at|looking into|put off|postponed"
    r"|candidates?|at a later date|to be decided"
    r"|not decided|trials?|would then|will then be|may be issued|being prepared|hope to"
    r"|thinking about|intends? to|intended (?:to|that)|intention)\b",
    re.IGNORECASE,
)
# "Not 45 Nm but 38 Nm" denies the old value only.
_NOT_BUT = re.compile(rf"\bnot (?=(?:to )?[{VALUE}{QUOTE}0-9])", re.IGNORECASE)
_ACTS = ("delete", "replace", "insert", "caution", "succession", "cancels", "holds")


def allowed(reader: Reader, cues: Cues, block: int, stretch: Sentence) -> Verdict | None:
    """A doubtful verdict with the reasons that the guards give; None where they forbid a guess.

    A denial counts in a clause that speaks of the change; elsewhere it may speak of something else. Words of
    change that hold a denial ("not made any more") deny nothing.
    """
    passage = reader.passage(block)
    said = passage.folded[stretch.start : stretch.end]
    whole = _sentence(passage, stretch)
    if whole.rstrip().endswith("?") or _ASKS.search(said):
        return None
    words = passage.tagged.words(stretch.start, stretch.end)
    bare = plain(reader.book, said, folded_limits(words, reader.body.models))
    own, others = _clauses(cues, bare)
    if any(cues.weight("unchanged", clause) or _PLAN.search(clause) for clause in own):
        return None
    asked = cues.denying.sub(" ", _NOT_BUT.sub(" ", " ; ".join(own)))
    found = trips(reader.book, "", asked, " ; ".join(others), said)
    found = tuple(t for t in found if t.kind != "reference")
    anew = any(cues.weight("replace", clause) >= 3 for clause in own)
    if any(t.effect in (VOID, REFUSE) or (t.kind == "unchanged" and not anew) for t in found):
        return None
    return Verdict("doubtful", tuple(dict.fromkeys((WHY, *(t.why for t in found)))))


def _sentence(passage: Passage, stretch: Sentence) -> str:
    end = next((s.end for s in passage.sentences if s.end >= stretch.end), stretch.end)
    return passage.folded[stretch.start : end]


def _clauses(cues: Cues, said: str) -> tuple[list[str], list[str]]:
    """The clauses that speak of the change, else those that name something, and the others."""
    clauses = _CLAUSE.split(said)
    own = [c for c in clauses if any(cues.weight(kind, c) >= 1 for kind in _ACTS)]
    own = own or [c for c in clauses if any(ch in KINDS for ch in c)]
    return own, [c for c in clauses if c not in own]

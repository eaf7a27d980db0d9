"""Cue words: what betrays, in a wording that is in no phrase book, what a sentence does to what it names.

The words are data (`book/cues.toml`). A cue counts the more the nearer it stands to what it marks.
"""

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from benchleaf.graph.errors import WrongUse

KINDS = (
    "delete",
    "replace",
    "insert",
    "caution",
    "change",
    "place-before",
    "place-after",
    "announce",
    "same",
    "was-before",
    "was-after",
    "now-before",
    "now-after",
    "old-before",
    "old-after",
    "new-before",
    "new-after",
    "succession",
    "unchanged",
    "holds",
    "cancels",
    "points",
)
_NEAR, _FAR = 16, 36  # characters between a cue and what it marks
_DENIAL = re.compile(r"\b(?:no|not|nor|neither|never|without|nothing)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Hit:
    """One cue found at text[start:end], with its weight."""

    start: int
    end: int
    weight: float


@dataclass(frozen=True, slots=True)
class Cues:
    """Every kind's words as patterns, each with its weight; and those words of change that hold a denial."""

    patterns: Mapping[str, tuple[tuple[re.Pattern[str], float], ...]]
    denying: re.Pattern[str]

    def hits(self, kind: str, text: str) -> Iterator[Hit]:
        """Every cue of a kind in a text."""
        for pattern, weight in self.patterns.get(kind, ()):
            for found in pattern.finditer(text):
                yield Hit(found.start(), found.end(), weight)

    def weight(self, kind: str, text: str) -> float:
        """The weight of the heaviest cue of a kind in a text; 0 if there is none."""
        return max((h.weight for h in self.hits(kind, text)), default=0.0)

    def before(self, kind: str, text: str) -> float:
        """How strongly a text that stands before something marks it as of this kind."""
        return max((h.weight * _nearness(len(text) - h.end) for h in self.hits(kind, text)), default=0.0)

    def after(self, kind: str, text: str) -> float:
        """How strongly a text that stands behind something marks it as of this kind."""
        return max((h.weight * _nearness(h.start) for h in self.hits(kind, text)), default=0.0)


def _nearness(distance: int) -> float:
    return 1.0 if distance <= _NEAR else 0.6 if distance <= _FAR else 0.3


@cache
def load_cues() -> Cues:
    """The cue words of the book."""
    text = resources.files("benchleaf.ingest.phrases").joinpath("book/cues.toml").read_text(encoding="utf-8")
    return cues_of(tomllib.loads(text))


def cues_of(told: Mapping[str, Any]) -> Cues:
    """Cues from parsed TOML.

    Raises WrongUse if an entry's kind is not known or its words or weight are missing.
    """
    patterns: dict[str, list[tuple[re.Pattern[str], float]]] = {}
    denying: list[str] = []
    for entry in told.get("cue", ()):
        kind, words = entry.get("kind"), entry.get("words")
        if kind not in KINDS:
            raise WrongUse(f"cue “{kind}”: the kind is not known.", f"Known: {', '.join(KINDS)}.")
        if not words or not isinstance(entry.get("weight"), (int, float)):
            raise WrongUse(f"cue “{kind}”: words and a weight are needed.", "See the head of cues.toml.")
        patterns.setdefault(kind, []).append((_pattern(words), float(entry["weight"])))
        if kind != "unchanged":
            denying.extend(w for w in words if " " in w and _DENIAL.search(w))
    held = {kind: tuple(found) for kind, found in patterns.items()}
    return Cues(held, _pattern(denying) if denying else re.compile("(?!)"))


def _pattern(words: Iterable[str]) -> re.Pattern[str]:
    longest = sorted(dict.fromkeys(words), key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(_expression(w) for w in longest)})\b", re.IGNORECASE)


def _expression(words: str) -> str:
    pieces = [_word(w) for w in words.split()]
    text = pieces[0]
    for piece in pieces[1:]:
        text += piece if piece.startswith("(?: ") or text.endswith("{0,4}? ") else f"[ ,]{{1,2}}{piece}"
    return text


def _word(word: str) -> str:
    if word == "~":
        return "(?: [a-z'’-]{1,16},?){0,4}? "
    return re.escape(word).replace(r"\*", "[a-z]{0,8}")

"""The words of `uses.toml`: nouns of parts, words that are never a part, and verbs by what they do to a
part."""

import functools
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any, Literal

VerbKind = Literal["fit", "renew", "use", "handle", "remove", "other"]
KINDS: tuple[VerbKind, ...] = ("other", "remove", "handle", "use", "renew", "fit")
_VOWELS = "aeiou"


@dataclass(frozen=True, slots=True)
class Verb:
    """One form of a verb. `form` is "plain", "ing" or "done" (past participle)."""

    kind: VerbKind
    plain: str
    form: Literal["plain", "ing", "done"]


@dataclass(frozen=True)
class Lexicon:
    """The lists of `uses.toml`, nouns in the singular, verbs by every form of theirs."""

    nouns: frozenset[str]
    never: frozenset[str]
    tools: frozenset[str]
    lasting: frozenset[str]
    idle: frozenset[str]
    verbs: Mapping[str, Verb]


@functools.cache
def lexicon() -> Lexicon:
    """The lists that come with the program."""
    return lexicon_of(_raw())


def small_words(name: str) -> frozenset[str]:
    """One list of the table `small`: the words between the names."""
    return _set(_raw()["small"][name])


@functools.cache
def _raw() -> Mapping[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath("uses.toml").read_text(encoding="utf-8"))


def lexicon_of(raw: Mapping[str, Any]) -> Lexicon:
    """The lists of one file in the form of `uses.toml`."""
    verbs: dict[str, Verb] = {}
    for kind in KINDS:  # a later kind wins a verb that stands in two lists
        for plain in raw[kind]:
            verbs.update({word: Verb(kind, plain, form) for word, form in _forms(plain)})
    known = {v.plain: v.kind for v in verbs.values()}
    for word, plain in raw.get("irregular", {}).items():
        if plain in known and word != plain:
            verbs[word] = Verb(known[plain], plain, "done")
    return Lexicon(
        nouns=_set(raw["nouns"]),
        never=_set(raw["never"]),
        tools=_set(raw["tools"]),
        lasting=_set(raw["lasting"]),
        idle=_set(raw["idle"]),
        verbs=verbs,
    )


def _set(words: Iterable[str]) -> frozenset[str]:
    return frozenset(w.lower() for w in words)


def _forms(plain: str) -> tuple[tuple[str, Literal["plain", "ing", "done"]], ...]:
    """The verb's plain, -ing and -ed forms, in both spellings where the last letter may be doubled."""
    if " " in plain:
        return ()
    stem = plain[:-1] if plain.endswith("e") else plain
    doubled = stem + stem[-1] if stem[-1] not in _VOWELS and stem[-2:-1] in tuple(_VOWELS) else stem
    past = stem[:-1] + "ied" if stem.endswith("y") and stem[-2:-1] not in tuple(_VOWELS) else stem + "ed"
    return (
        (plain, "plain"),
        (stem + "ing", "ing"),
        (doubled + "ing", "ing"),
        (past, "done"),
        (doubled + "ed", "done"),
    )


_ENDINGS = (
    ("sses", "ss"),
    ("shes", "sh"),
    ("ches", "ch"),
    ("xes", "x"),
    ("ies", "y"),
    ("lamellae", "lamella"),
)
_SAME = frozenset(("bellows", "pliers", "lens", "brass", "glass", "boss", "cross", "press"))


def singular(word: str) -> str:
    """A noun without its plural ending.

    >>> [singular(w) for w in ("bushes", "seals", "assemblies", "bellows", "O-rings")]
    ['bush', 'seal', 'assembly', 'bellows', 'O-ring']
    """
    low = word.lower()
    if low in _SAME:
        return word
    for ending, instead in _ENDINGS:
        if (low.endswith(ending) and len(low) > len(ending) + 1) or low == ending:
            return word[: len(word) - len(ending)] + instead
    if low.endswith("s") and not low.endswith(("ss", "us", "is")) and len(low) > 3:
        return word[:-1]
    return word

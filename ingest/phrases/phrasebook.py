"""The phrase book: wordings of the trade, each with what it states and examples that prove it.

The wordings are data (the files of `book/`, one a group of wordings); a shop adds its own in a file of the
same form. Adding a wording is adding a line.
"""

import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from importlib import resources
from pathlib import Path
from typing import Any, get_args

from benchleaf.graph.errors import WrongUse
from benchleaf.graph.model import Action, Interchange, Relation, Stock
from benchleaf.ingest.phrases.needs import Needing
from benchleaf.ingest.phrases.pattern import compiled, fields_of
from benchleaf.ingest.phrases.sieve import Wording, Wordings
from benchleaf.ingest.phrases.slowness import refuse_slow

TYPES = (
    "supersession",
    "withdrawn",
    "override",
    "contents",
    "cancels",
    "rider",
    "aside",
    "ending",
    "reading",
)
GUARDS = (
    "denial",
    "unchanged",
    "question",
    "condition",
    "possible",
    "future",
    "hearsay",
    "error",
    "mention",
    "reference",
)
GROUPS = ("words", "numbers", "steps", "kits", "notes", "riders", "asides", "guards", "columns")
"""The files of the book, in the order in which their phrases are tried."""
_PHRASE_KEYS = frozenset(
    [
        "name",
        "type",
        "patterns",
        "pattern",
        "action",
        "interchange",
        "relation",
        "stock",
        "doubt",
        "yes",
        "no",
        "weak",
        "rank",
        "follows",
    ]
)
_NEEDS: Mapping[str, tuple[frozenset[str], ...]] = {
    "supersession": (frozenset({"old", "new"}),),
    "withdrawn": (frozenset({"part"}),),
    "contents": (frozenset({"lines"}), frozenset({"front"}), frozenset({"was", "now"})),
    "cancels": (frozenset({"note"}), frozenset({"date"})),
}
_VALUES: Mapping[str, tuple[str, ...]] = {
    "action": get_args(Action),
    "interchange": get_args(Interchange),
    "relation": get_args(Relation),
    "stock": get_args(Stock),
}


@dataclass(frozen=True, slots=True)
class Example:
    """A sentence and the fields that it must give; none for a sentence that must give no such statement."""

    say: str
    wants: tuple[tuple[str, Any], ...] = ()


@dataclass(frozen=True, slots=True)
class Phrase:
    """One wording: its type, its patterns, what it settles beside the fields, and its examples.

    `doubt` makes every match a doubt for that reason. `weak` phrases yield to any other reading.
    """

    name: str
    type: str
    wordings: tuple[Wording, ...]
    action: str | None = None
    interchange: str | None = None
    relation: str | None = None
    stock: str | None = None
    doubt: str | None = None
    weak: bool = False
    rank: int = 0
    follows: str | None = None
    yes: tuple[Example, ...] = ()
    no: tuple[Example, ...] = ()

    @property
    def patterns(self) -> tuple[re.Pattern[str], ...]:
        """Every wording as an expression."""
        return tuple(w.pattern for w in self.wordings)


@dataclass(frozen=True, slots=True)
class Guard:
    """Words that void a reading or make it a doubt, and the reason in plain words."""

    name: str
    kind: str
    wordings: tuple[Wording, ...]
    why: str
    yes: tuple[str, ...] = ()
    no: tuple[str, ...] = ()

    @property
    def patterns(self) -> tuple[re.Pattern[str], ...]:
        """Every wording as an expression."""
        return tuple(w.pattern for w in self.wordings)


@dataclass(frozen=True, eq=False)
class PhraseBook:
    """All phrases and guards, the head words of tables, and the words that betray an unread statement."""

    phrases: tuple[Phrase, ...]
    guards: tuple[Guard, ...]
    columns: tuple[tuple[str, tuple[str, ...]], ...]
    telltale: re.Pattern[str]
    words: tuple[tuple[str, str], ...]

    def of(self, *types: str) -> Iterator[Phrase]:
        """The phrases of some types, in the book's order."""
        return (p for p in self.phrases if p.type in types)

    @cached_property
    def guarding(self) -> Wordings[Guard]:
        """The wordings of all guards."""
        return Wordings([(g, w) for g in self.guards for w in g.wordings])

    @cached_property
    def citing(self) -> Wordings[Guard]:
        """The wordings of the guards that find a bare citation."""
        return Wordings([(g, w) for g in self.guards if g.kind == "reference" for w in g.wordings])

    @cached_property
    def asides(self) -> Wordings[Phrase]:
        """What a sentence may hold beside what it states: asides, riders (the gravest first), endings."""
        riders = sorted(self.of("rider"), key=lambda p: -p.rank)
        return _wordings((*self.of("aside"), *riders, *self.of("ending")))

    @cached_property
    def _by_types(self) -> dict[tuple[str, ...], Wordings[Phrase]]:
        return {}

    def wordings(self, *types: str) -> Wordings[Phrase]:
        """The wordings of the phrases of some types, in the book's order."""
        if types not in self._by_types:
            self._by_types[types] = _wordings(self.of(*types))
        return self._by_types[types]


def _wordings(phrases: Iterable[Phrase]) -> Wordings[Phrase]:
    return Wordings([(p, w) for p in phrases for w in p.wordings])


Maker = Callable[[Iterable[str], str], tuple[Wording, ...]]
"""Makes wordings from patterns as printed and the name of what owns them."""


@cache
def _own() -> PhraseBook:
    folder = resources.files("benchleaf.ingest.phrases").joinpath("book")
    told = [tomllib.loads(folder.joinpath(f"{group}.toml").read_text(encoding="utf-8")) for group in GROUPS]
    return book_of(_joined(told))


def _joined(told: Iterable[Mapping[str, Any]]) -> dict[str, Any]:
    """The files of the book as one: lists one behind the other, tables merged."""
    whole: dict[str, Any] = {}
    for part in told:
        for name, value in part.items():
            if isinstance(value, list):
                whole.setdefault(name, []).extend(value)
            else:
                whole.setdefault(name, {}).update(value)
    return whole


def load(extra: Path | None = None) -> PhraseBook:
    """The phrase book, with a shop's own file behind it.

    Raises WrongUse, naming the phrase, if the shop's file is malformed, if a pattern is slow on hostile
    text, or if one of its examples does not hold.
    """
    if extra is None:
        return _own()
    try:
        told = tomllib.loads(extra.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, RecursionError, tomllib.TOMLDecodeError) as problem:
        raise WrongUse(
            f"{extra.name} is no readable phrase book: {problem}", "It must be TOML in UTF-8."
        ) from problem
    try:
        return _joined_by(told)
    except (TypeError, ValueError, AttributeError, KeyError, IndexError, RecursionError) as problem:
        raise WrongUse(
            f"{extra.name} is not of the phrase book's form: {problem}",
            "See README for a phrase of your own.",
        ) from problem


def _joined_by(told: Mapping[str, Any]) -> PhraseBook:
    """The phrase book with a shop's behind it, proved by its examples."""
    book = book_of(told, _own())
    mine = book.phrases[len(_own().phrases) :]
    for phrase in mine:
        refuse_slow(f"phrase “{phrase.name}”", phrase.wordings)
    for guard in book.guards[len(_own().guards) :]:
        refuse_slow(f"guard “{guard.name}”", guard.wordings)
    from benchleaf.ingest.phrases.examples import failures

    for phrase in mine:
        for failure in failures(phrase, book):
            raise WrongUse(f"phrase “{phrase.name}”: {failure}", "Mend the pattern or the example.")
    return book


def book_of(told: Mapping[str, Any], base: PhraseBook | None = None) -> PhraseBook:
    """A phrase book from parsed TOML, after the phrases of a base book."""
    words = dict(base.words) if base else {}
    words.update(told.get("words", {}))
    make = _maker(words, at_once=base is not None)
    phrases = tuple(_phrase(p, make) for p in told.get("phrase", ()))
    names = [p.name for p in (*(base.phrases if base else ()), *phrases)]
    for name in names:
        if names.count(name) > 1:
            raise WrongUse(f"phrase “{name}” stands twice in the phrase book.", "Give each its own name.")
    guards = tuple(_guard(g, make) for g in told.get("guard", ()))
    heads = told.get("columns", {})
    columns = tuple((kind, _strings("[columns]", heads, kind)) for kind in heads)
    telltale = _strings("[telltale]", told.get("telltale", {}), "words")
    return PhraseBook(
        (*(base.phrases if base else ()), *phrases),
        (*(base.guards if base else ()), *guards),
        (*(base.columns if base else ()), *columns),
        _telltale(telltale, base),
        tuple(words.items()),
    )


def _maker(words: Mapping[str, str], at_once: bool) -> Maker:
    """Makes wordings with a book's `[words]`; `at_once` refuses a malformed one now, not when it is searched:
    a shop's own are proved when they are loaded, those of the package by its tests."""
    needing = Needing(words)

    def make(printed: Iterable[str], name: str) -> tuple[Wording, ...]:
        if at_once:
            for pattern in printed:
                compiled(pattern, words, name)
        return tuple(Wording(p, name, words, needing.of(p)) for p in printed)

    return make


def _telltale(words: Iterable[str], base: PhraseBook | None) -> re.Pattern[str]:
    """The words that betray an unread statement, those of the base book among them."""
    own = "|".join(re.escape(w).replace(chr(92) + "*", "[a-z]{0,8}") for w in words)
    told = [rf"\b(?:{own})\b"] if own else []
    return re.compile("|".join([*([base.telltale.pattern] if base else []), *told]) or "(?!)", re.I)


def _phrase(told: Mapping[str, Any], make: Maker) -> Phrase:
    name = str(told.get("name", "")).strip()
    unknown = set(told) - _PHRASE_KEYS
    if not name or unknown:
        raise WrongUse(
            f"phrase “{name}”: unknown keys {sorted(unknown)}." if name else "A phrase has no name."
        )
    kind = told.get("type")
    if kind not in TYPES:
        raise WrongUse(f"phrase “{name}”: the type “{kind}” is not known.", f"Known: {', '.join(TYPES)}.")
    where = f"phrase “{name}”"
    for key, known in _VALUES.items():
        if told.get(key) not in (None, *known):
            raise WrongUse(f"{where}: {key} “{told[key]}” is not known.", f"Known: {', '.join(known)}.")
    printed = _strings(where, told, "patterns") or ((str(told["pattern"]),) if "pattern" in told else ())
    if not printed:
        raise WrongUse(f"phrase “{name}” has no pattern.")
    for pattern in printed:
        _check_fields(name, kind, pattern, told.get("follows"))
    return Phrase(
        name,
        kind,
        make(printed, name),
        action=told.get("action"),
        interchange=told.get("interchange"),
        relation=told.get("relation"),
        stock=told.get("stock"),
        doubt=told.get("doubt"),
        weak=bool(told.get("weak", False)),
        rank=int(told.get("rank", 0)),
        follows=told.get("follows"),
        yes=tuple(_example(name, e) for e in _examples(where, told, "yes")),
        no=tuple(_example(name, e) for e in _examples(where, told, "no")),
    )


def _check_fields(name: str, kind: str, pattern: str, follows: str | None) -> None:
    have = set(fields_of(pattern))
    needs = (frozenset({"new"}),) if follows == "it" else _NEEDS.get(kind, ())
    needs = () if follows == "that one" else needs
    if needs and not any(n <= have for n in needs):
        raise WrongUse(f"phrase “{name}”: “{pattern}” needs {' or '.join(str(sorted(n)) for n in needs)}.")
    if "text" in have and fields_of(pattern)[-1] != "text":
        raise WrongUse(f"phrase “{name}”: {{text}} must stand last in “{pattern}”.")


def _examples(where: str, told: Mapping[str, Any], name: str) -> list[Any]:
    found = told.get(name, [])
    if not isinstance(found, list):
        raise WrongUse(f"{where}: “{name}” must be a list of examples.")
    return found


def _example(name: str, told: Any) -> Example:
    if isinstance(told, str):
        return Example(told)
    if not isinstance(told, Mapping) or not isinstance(told.get("say"), str):
        raise WrongUse(f"phrase “{name}”: an example needs “say”.")
    return Example(told["say"], tuple((k, v) for k, v in told.items() if k != "say"))


def _guard(told: Mapping[str, Any], make: Maker) -> Guard:
    name, kind = str(told.get("name", "")), told.get("kind")
    if not name or kind not in GUARDS:
        raise WrongUse(f"guard “{name}”: the kind “{kind}” is not known.", f"Known: {', '.join(GUARDS)}.")
    printed = _strings(f"guard “{name}”", told, "patterns")
    return Guard(
        name,
        kind,
        make(printed, name),
        str(told.get("why", name)),
        _strings(f"guard “{name}”", told, "yes"),
        _strings(f"guard “{name}”", told, "no"),
    )


def _strings(where: str, told: Mapping[str, Any], name: str) -> tuple[str, ...]:
    """A list of words; WrongUse for anything else: a word alone would be taken for a list of its letters."""
    found = told.get(name, [])
    if not isinstance(found, list) or not all(isinstance(one, str) for one in found):
        raise WrongUse(f"{where}: “{name}” must be a list of words in quotation marks.")
    return tuple(found)

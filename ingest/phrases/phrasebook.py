"""The phrase book: wordings of the trade, each with what it states and examples that prove it.

The wordings are data (the files of `book/`, one a group of wordings); a shop adds its own in a file of the
same form. Adding a wording is adding a line.
"""

import re
import time
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from benchleaf.graph.errors import WrongUse
from benchleaf.ingest.phrases.pattern import compiled, fields_of

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
    "cancels": (frozenset({"note"}),),
}
_SLOWEST = 0.05  # seconds for 20 kB
_WORD = re.compile(r"[a-z]+")
_HOSTILE = (
    "a ",
    "item 3 on page 4 ",
    "\ue001 and ",
    "\ue001, ",
    "\ue008 , the ",
    "no. \ue002 (",
    "the kit ",
    "\ue009 to ",
    "new ",
    ": ",
)


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
    patterns: tuple[re.Pattern[str], ...]
    printed: tuple[str, ...] = ()
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


@dataclass(frozen=True, slots=True)
class Guard:
    """Words that void a reading or make it a doubt, and the reason in plain words."""

    name: str
    kind: str
    patterns: tuple[re.Pattern[str], ...]
    why: str
    yes: tuple[str, ...] = ()
    no: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
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
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as problem:
        raise WrongUse(
            f"{extra.name} is no readable phrase book: {problem}", "It must be TOML in UTF-8."
        ) from problem
    book = book_of(told, _own())
    mine = book.phrases[len(_own().phrases) :]
    for phrase in mine:
        _time(phrase)
    from benchleaf.ingest.phrases.examples import failures

    for phrase in mine:
        for failure in failures(phrase, book):
            raise WrongUse(f"phrase “{phrase.name}”: {failure}", "Mend the pattern or the example.")
    return book


def book_of(told: Mapping[str, Any], base: PhraseBook | None = None) -> PhraseBook:
    """A phrase book from parsed TOML, after the phrases of a base book."""
    words = dict(base.words) if base else {}
    words.update(told.get("words", {}))
    phrases = tuple(_phrase(p, words) for p in told.get("phrase", ()))
    names = [p.name for p in (*(base.phrases if base else ()), *phrases)]
    for name in names:
        if names.count(name) > 1:
            raise WrongUse(f"phrase “{name}” stands twice in the phrase book.", "Give each its own name.")
    guards = tuple(_guard(g, words) for g in told.get("guard", ()))
    columns = tuple((kind, tuple(heads)) for kind, heads in told.get("columns", {}).items())
    telltale = told.get("telltale", {}).get("words")
    return PhraseBook(
        (*(base.phrases if base else ()), *phrases),
        (*(base.guards if base else ()), *guards),
        (*(base.columns if base else ()), *columns),
        _telltale(telltale) if telltale else base.telltale if base else re.compile("(?!)"),
        tuple(words.items()),
    )


def _telltale(words: Iterable[str]) -> re.Pattern[str]:
    return re.compile(
        rf"\b(?:{'|'.join(re.escape(w).replace(chr(92) + '*', '[a-z]{0,8}') for w in words)})\b", re.I
    )


def _phrase(told: Mapping[str, Any], words: Mapping[str, str]) -> Phrase:
    name = str(told.get("name", "")).strip()
    unknown = set(told) - _PHRASE_KEYS
    if not name or unknown:
        raise WrongUse(
            f"phrase “{name}”: unknown keys {sorted(unknown)}." if name else "A phrase has no name."
        )
    kind = told.get("type")
    if kind not in TYPES:
        raise WrongUse(f"phrase “{name}”: the type “{kind}” is not known.", f"Known: {', '.join(TYPES)}.")
    printed = tuple(told.get("patterns", ())) or ((told["pattern"],) if "pattern" in told else ())
    if not printed:
        raise WrongUse(f"phrase “{name}” has no pattern.")
    for pattern in printed:
        _check_fields(name, kind, pattern, told.get("follows"))
    return Phrase(
        name,
        kind,
        tuple(compiled(p, words, name) for p in printed),
        printed,
        action=told.get("action"),
        interchange=told.get("interchange"),
        relation=told.get("relation"),
        stock=told.get("stock"),
        doubt=told.get("doubt"),
        weak=bool(told.get("weak", False)),
        rank=int(told.get("rank", 0)),
        follows=told.get("follows"),
        yes=tuple(_example(name, e) for e in told.get("yes", ())),
        no=tuple(_example(name, e) for e in told.get("no", ())),
    )


def _check_fields(name: str, kind: str, pattern: str, follows: str | None) -> None:
    have = set(fields_of(pattern))
    needs = (frozenset({"new"}),) if follows == "it" else _NEEDS.get(kind, ())
    if needs and not any(n <= have for n in needs):
        raise WrongUse(f"phrase “{name}”: “{pattern}” needs {' or '.join(str(sorted(n)) for n in needs)}.")
    if "text" in have and fields_of(pattern)[-1] != "text":
        raise WrongUse(f"phrase “{name}”: {{text}} must stand last in “{pattern}”.")


def _example(name: str, told: Any) -> Example:
    if isinstance(told, str):
        return Example(told)
    if not isinstance(told, Mapping) or not isinstance(told.get("say"), str):
        raise WrongUse(f"phrase “{name}”: an example needs “say”.")
    return Example(told["say"], tuple((k, v) for k, v in told.items() if k != "say"))


def _guard(told: Mapping[str, Any], words: Mapping[str, str]) -> Guard:
    name, kind = str(told.get("name", "")), told.get("kind")
    if not name or kind not in GUARDS:
        raise WrongUse(f"guard “{name}”: the kind “{kind}” is not known.", f"Known: {', '.join(GUARDS)}.")
    patterns = tuple(compiled(p, words, name) for p in told.get("patterns", ()))
    return Guard(
        name,
        kind,
        patterns,
        str(told.get("why", name)),
        tuple(told.get("yes", ())),
        tuple(told.get("no", ())),
    )


def _time(phrase: Phrase) -> None:
    """Refuses a pattern that is slow on hostile text: repeated signs, and its own words repeated. A few
    repeats come first, so that a pattern whose time doubles with each is stopped while that is still
    short."""
    for printed, pattern in zip(phrase.printed, phrase.patterns, strict=True):
        own = dict.fromkeys(f"{word} " for word in _WORD.findall(printed.lower()))
        for piece in (*_HOSTILE, *own):
            for repeats in (*range(2, 12), 14, 18, 24, 36, 60, 100, 300, 1000, 20000 // len(piece)):
                if _seconds(pattern, piece * repeats) > _SLOWEST:
                    problem = f"phrase “{phrase.name}”: the pattern “{printed}” is too slow."
                    raise WrongUse(problem, "Make it shorter, with fewer optional words.")


def _seconds(pattern: re.Pattern[str], text: str) -> float:
    """The time of a search; a slow one is measured again, for other work may have run beside it."""
    best = 9.0
    for _ in range(3):
        started = time.process_time()
        pattern.search(text)
        best = min(best, time.process_time() - started)
        if best <= _SLOWEST or best > 10 * _SLOWEST:
            break
    return best

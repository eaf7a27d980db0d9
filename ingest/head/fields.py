"""The vocabulary of a note's head (fields.toml): labels, what a note calls itself, issuers, nouns."""

import re
import tomllib
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache, lru_cache
from importlib import resources
from itertools import islice
from pathlib import Path

from benchleaf.ingest.head.ocrlabels import glued, nearest
from benchleaf.ingest.head.tongues import in_two_tongues

_EDGES = " \t.:;,-–—=#*"
_RECENT = 4096  # texts of which the reading is kept: every line of a paper is asked for several times


@dataclass(frozen=True, slots=True)
class LabelHit:
    """A field label found in a text: which field, where label and value start, and whether a colon follows.

    `label` is the word as the vocabulary has it. `start` is the label's first character, `end` the first
    character of the value.
    """

    field: str
    label: str
    start: int
    end: int
    colon: bool


@dataclass(frozen=True, slots=True, eq=False)
class FieldBook:
    """The vocabulary, ready for matching. `labels` maps a label to its field; `forgiving` forgives what OCR
    misreads in them."""

    labels: dict[str, str] = field(default_factory=dict)
    kinds: tuple[str, ...] = ()
    papers: tuple[str, ...] = ()
    sorts: tuple[str, ...] = ()
    departments: frozenset[str] = frozenset()
    no_names: frozenset[str] = frozenset()
    shop: tuple[str, ...] = ()
    passed_over: tuple[str, ...] = ()
    nouns: frozenset[str] = frozenset()
    limiting: frozenset[str] = frozenset()
    parts: frozenset[str] = frozenset()
    forgiving: bool = False

    def named(self, label: str) -> str | None:
        """The field of a label as compared (see `plain`), or None."""
        name = self.labels.get(label) or in_two_tongues(label, self.labels)
        return nearest(label, self.labels) if name is None and self.forgiving and label else name

    def field_of(self, text: str) -> LabelHit | None:
        """The field that a cell or a line names when it holds a label and nothing else."""
        return _field_of(self, text)

    def hits(self, text: str) -> tuple[LabelHit, ...]:
        """Labels with a colon anywhere in `text`, and a label at its start even without one."""
        return _hits(self, text)

    def with_colon(self, text: str) -> Iterator[LabelHit]:
        """Labels that a colon follows."""
        for m in islice(_COLON.finditer(text), _MOST_COLONS):
            words = list(_WORD.finditer(text, max(0, m.start() - 60), m.start()))
            for first in range(
                max(0, len(words) - 5), len(words)
            ):  # the longest label that ends at the colon
                start = words[first].start()
                label = plain(text[start : m.start()])
                name = self.named(label)
                if name is None and _one_phrase(text[start : m.start()]):
                    name = field_by_form(label)
                if name is not None and _starts_clean(text, start, name):
                    yield LabelHit(name, label, start, m.end(), True)
                    break

    def at_start(self, text: str) -> LabelHit | None:
        """A label at a text's start that other words follow."""
        if self.forgiving and (run := glued(text[:80], self.labels)):
            return LabelHit(self.labels[run[0]], run[0], 0, run[1], True)
        words = list(_WORD.finditer(text, 0, 80))[:6]
        for last in range(min(5, len(words)) - 1, -1, -1):
            label = plain(text[: words[last].end()])
            name = self.named(label) if last + 1 < len(words) else None
            if name is not None:
                return LabelHit(name, label, 0, words[last].end(), False)
        return None


@lru_cache(maxsize=_RECENT)
def _hits(book: FieldBook, text: str) -> tuple[LabelHit, ...]:
    """Kept: the kind of a paper, its parts and its head are found in the same lines."""
    found = list(book.with_colon(text))
    if not found or found[0].start > 0:
        opening = book.at_start(text)
        if opening is not None and (not found or opening.end <= found[0].start):
            found.insert(0, opening)
    return tuple(found)


@lru_cache(maxsize=_RECENT)
def _field_of(book: FieldBook, text: str) -> LabelHit | None:
    label = plain(text)
    name = book.named(label) or field_by_form(label) or in_two_tongues(label, book.labels, one=True)
    if name is None:
        return None
    return LabelHit(name, label, 0, len(text), text.rstrip().endswith(":"))


_FORMS = (
    (
        "serials",
        re.compile(
            r"(?:[a-z]{2,14} ){0,2}(?:serials?|s/ns?|ser)(?: (?:no|nos|number|numbers"
            r"|nr))?(?: (?:range|ranges|break|affected|concerned|involved|applicable|limits)){0,2}"
        ),
    ),
    (
        "models",
        re.compile(
            r"(?:[a-z]{2,14} ){0,1}(?:models?|types?|units?|machines?|gearboxes"
            r"|transmissions|pumps|clutches|brakes|products?|equipment|vehicles)(?: types?)? (?:affected"
            r"|concerned|involved|covered|applicable|effected)"
        ),
    ),
    (
        "models",
        re.compile(
            r"(?:affected|applicable|concerned|involved"
            r"|relevant) (?:[a-z]{2,14} )?(?:models?|types?|units?|machines?|gearboxes|transmissions|pumps"
            r"|clutches|brakes|products?|equipment)(?: types?)?"
        ),
    ),
    (
        "number",
        re.compile(
            r"(?:[a-z-]{2,14} ){0,2}(?:bulletin|note|circular|letter|information|instruction|notice|memo"
            r"|[ts]?sb|t[bin]|s[iln])"
            r" (?:no|number|nr|n|ref|id)"
        ),
    ),
    (
        "date",
        re.compile(
            r"(?:bulletin|note|circular|letter|issue|document|release|publication) date"
            r"|date of (?:this )?(?:bulletin|note|circular|letter|issue|release|publication)"
        ),
    ),
    (
        "supersedes",
        re.compile(
            r"(?:this )?(?:bulletin |note |letter |circular )?(?:supersedes|cancels"
            r"|replaces)(?: and (?:supersedes|cancels|replaces))?(?: (?:service|technical|our"
            r"|previous))?(?: (?:bulletin|note|letter|circular|information|issue|notice"
            r"|instruction)s?)?(?: (?:no|nos|number|nr))?(?: of)?"
        ),
    ),
)


def field_by_form(label: str) -> str | None:
    """The field of a label that the vocabulary does not list, by how such labels are built.

    >>> field_by_form("transmissions involved")
    'models'
    """
    if len(label) >= 60 or label.startswith(_VALUES):
        return None
    return next((name for name, form in _FORMS if form.fullmatch(label)), None)


_VALUES = ("all ", "every ", "each ", "any ", "various ", "no ", "see ")
"""Words that begin a value, such as `all serial numbers`, not a label."""


def _one_phrase(printed: str) -> bool:
    """False where a sentence ends inside what might be a label (`… manual. Units affected`)."""
    return re.search(r"(?<!\bno)(?<!\bnos)(?<!\bser)(?<!/n)(?<!/ns)[.;,]\s", printed, re.IGNORECASE) is None


_COLON = re.compile(r"\s{0,3}:(?!(?<=[0-9]:)[0-9]{2}(?![0-9]))\s{0,40}")
"""A colon, but not that of a time of day."""
_MOST_COLONS = 16  # a line with more is no line of a head
_WORD = re.compile(r"[^\s:]{1,40}")


_ADDRESSED = re.compile(r"\b(?:workshops|dealers|agents|customers|stations|depots|concerned)$", re.IGNORECASE)


def _starts_clean(text: str, start: int, field: str) -> bool:
    """A label begins a line or follows a value or a sentence, never half a phrase.

    `Drawing No.:` is no number of the note, `oil type:` no field of units.
    """
    before = text[:start].rstrip()
    if not before or before[-1] in "([|;,./)–—•":
        return True
    if field == "number_weak" and text[start : start + 2].lower() == "no" and before[-1].islower():
        return _ADDRESSED.search(before) is not None  # `Distribution: All workshops No.: 12`
    if field == "number_weak" or text[start - 1] not in " \t-":
        return False
    return field == "serials" or text[start].isupper()


@lru_cache(maxsize=_RECENT)
def plain(text: str) -> str:
    """Lower case without accents, full stops, colons and repeated blanks: how labels are compared.

    >>> plain("  Bulletin  No.: ")
    'bulletin no'
    """
    bare = text.lower() if text.isascii() else _without_accents(text)
    bare = bare.replace("’", "'").replace("`", "'").replace("#", " no ").replace("№", " no ")
    return " ".join(bare.replace(".", " ").strip(_EDGES).split())


def _without_accents(text: str) -> str:
    spread = unicodedata.normalize("NFKD", text)
    return "".join(c for c in spread if not unicodedata.combining(c)).lower()


def load(extra: Path | None = None) -> FieldBook:
    """The vocabulary of the package, with a shop's own file of the same shape added to it."""
    raw = _packaged()
    if extra is not None:
        raw = _joined(raw, tomllib.loads(extra.read_text(encoding="utf-8")))
    return _book(raw)


@cache
def packaged() -> FieldBook:
    """The vocabulary as shipped."""
    return _book(_packaged())


Lists = dict[str, dict[str, list[str]]]


def _packaged() -> Lists:
    text = resources.files("benchleaf.ingest.head").joinpath("fields.toml").read_text(encoding="utf-8")
    return _joined({}, tomllib.loads(text))


def _joined(first: Lists, second: Lists) -> Lists:
    joined = {table: dict(lists) for table, lists in first.items()}
    for table, lists in second.items():
        held = joined.setdefault(table, {})
        for name, words in lists.items():
            held[name] = [*held.get(name, []), *words]
    return joined


def _book(raw: Lists) -> FieldBook:
    labels: dict[str, str] = {}
    for name, words in raw.get("labels", {}).items():
        for word in words:
            labels.setdefault(plain(word), name)
    issuer, models, title = (raw.get(t, {}) for t in ("issuer", "models", "title"))
    return FieldBook(
        labels=labels,
        kinds=_longest_first(title.get("kinds", [])),
        papers=_longest_first(title.get("papers", [])),
        sorts=_longest_first(title.get("sorts", [])),
        departments=frozenset(plain(w) for w in issuer.get("departments", [])),
        no_names=frozenset(plain(w) for w in title.get("no_names", [])),
        shop=tuple(plain(w) for w in issuer.get("shop", [])),
        passed_over=tuple(plain(w) for w in issuer.get("passed_over", [])),
        nouns=frozenset(plain(w) for w in models.get("nouns", [])),
        limiting=frozenset(plain(w) for w in models.get("limiting", [])),
        parts=frozenset(plain(w) for w in raw.get("parts", {}).get("columns", [])),
    )


def _longest_first(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted({plain(w) for w in words}, key=lambda w: (-len(w), w)))

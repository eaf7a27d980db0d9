"""Cells of a supersession list: part numbers, several in one cell, and what a spreadsheet did to them."""

import re
from dataclasses import dataclass
from functools import cache, lru_cache

from benchleaf.graph.keys import key
from benchleaf.graph.model import Interchange, Relation, Stock
from benchleaf.ingest.head.fields import plain
from benchleaf.ingest.lists.listwords import ListWords
from benchleaf.ingest.lookalikes import strange_numbers


@dataclass(frozen=True, slots=True)
class Numbers:
    """Part numbers of one cell. `joined` is False if they are alternatives or a bare list; `doubts` tell
    what may have happened to them, `bad` is what cannot be a part number."""

    numbers: tuple[str, ...]
    relation: Relation
    joined: bool
    doubts: tuple[str, ...]
    bad: tuple[str, ...]


_OR = re.compile(r"\s(?:or|oder|ou|o)\s", re.IGNORECASE)
_AND = re.compile(r"\s?\+\s?|\s?&\s?|\s(?:and|plus|und|et|e|y)\s", re.IGNORECASE)
_LIST = re.compile(r"\s?;\s?|\s?\n\s?|\s?\|\s?|,\s?|\s/\s")
_SPLIT = re.compile("|".join((_OR.pattern, _AND.pattern, _LIST.pattern)), re.IGNORECASE)
_SIMPLE = re.compile(r"(?=.{0,20}[0-9])(?=.{2})[0-9A-Za-z]{1,12}(?:[ .-][0-9A-Z]{1,12}){0,4}(?<![.,]0)")
_TIMES = re.compile(
    r"^[0-9]{1,2}\s?(?:x|×|pcs\.?|off)\s{1,3}|\s{0,2}\((?:qty:?\s?)?[0-9]{1,2}\s?(?:x|pcs\.?|off)?\)$"
    r"|\s[x×]\s?[0-9]{1,2}$",
    re.IGNORECASE,
)
_PART = re.compile(r"[0-9A-Za-z#(][0-9A-Za-z .,/_()#*:-]{0,38}")
_SCIENTIFIC = re.compile(r"[0-9](?:[.,][0-9]{1,12})?[eE]\+?[0-9]{1,3}")
_MONTH = re.compile(
    r"(?:[0-9]{1,2}-)?(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)(?:-[0-9]{2,4})?"
    r"|(?:19|20)[0-9]{2}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])",
    re.IGNORECASE,
)
_TEXT_TRICK = re.compile(r'="([^"]{0,60})"')


def read_numbers(cell: str) -> Numbers:
    """The part numbers of a cell.

    >>> read_numbers("AB 100 + AB 101").numbers
    ('AB 100', 'AB 101')
    """
    text = as_text(cell)
    if _SIMPLE.fullmatch(text) and not _MONTH.fullmatch(
        text
    ):  # most cells: nothing to part, nothing to doubt
        return Numbers((text,), "one", False, (), ())
    if text[:1] in "=@" or _SCIENTIFIC.fullmatch(text):
        return Numbers((), "one", False, (), (_fault(text) or f"“{text}” is no part number",) if text else ())
    either = _OR.search(text) is not None
    both = _AND.search(text) is not None
    parts = [p for p in _SPLIT.split(text) if p.strip()]
    read = [_TIMES.sub("", part.strip()).strip(" .,;:") for part in parts]
    faults = [(number, _fault(number)) for number in read]
    good = tuple(dict.fromkeys(n for n, fault in faults if fault is None))
    relation: Relation = "one" if len(good) < 2 else "one of" if either else "all of"
    doubts = [d for n in good for d in _doubts(n)]
    if len(good) > 1:
        doubts += _unsaid(text, either, both)
    return Numbers(good, relation, both, tuple(doubts), tuple(fault for _, fault in faults if fault))


def _unsaid(text: str, either: bool, both: bool) -> list[str]:
    """Doubt where it is not said whether several numbers are all needed or are alternatives."""
    printed = " ".join(text.split())
    if either and both:
        return [f"“{printed}” mixes “and” with “or”"]
    if not either and not both and re.search(r",|\s/\s", text):
        return [f"it is not said whether all of “{printed}” are needed or one of them"]
    return []


def as_text(cell: str) -> str:
    """A cell as text, without the tricks that keep a spreadsheet from reading it as a number."""
    text = cell.replace("\u00a0", " ").strip()
    trick = _TEXT_TRICK.fullmatch(text)
    return (trick[1] if trick else text).lstrip("'’").strip()


def _fault(number: str) -> str | None:
    """Why a text cannot be a part number, or None."""
    if number[:1] in "=@+":
        return f"“{number}” is a formula, no part number"
    if _SCIENTIFIC.fullmatch(number) and re.search(r"[.,]|\+", number):
        return f"“{number}” was rounded by a spreadsheet; the part number is lost"
    if strange := strange_numbers(number):
        return strange[0]
    if not _PART.fullmatch(number) or not re.search(r"[0-9]", number) or not 2 <= len(key(number)) <= 30:
        return f"“{number}” is no part number"
    return None


def _doubts(number: str) -> list[str]:
    if _MONTH.fullmatch(number):
        return [f"“{number}” may be a part number that a spreadsheet turned into a date"]
    if re.fullmatch(r"[0-9]{4,}[.,]0", number):
        return [f"“{number}” may be a part number that a spreadsheet took for a quantity"]
    if number.startswith("#") or "*" in number:
        return [f"“{number}” bears a sign that is not explained"]
    return []


@dataclass(frozen=True, slots=True)
class Remark:
    """What the remarks of a row say about the change."""

    withdrawn: bool
    redirected: bool
    interchange: Interchange
    stock: Stock | None
    doubts: tuple[str, ...]


_SILENT = Remark(False, False, "unstated", None, ())


@lru_cache(maxsize=4096)
def read_remark(text: str, words: ListWords) -> Remark:
    """Interchange, stock and withdrawal by the words of a remark; a condition makes a doubt."""
    if not text.strip(" ;"):
        return _SILENT
    low = f" {plain(text)} "
    none = _any(words.none, low)
    conditional = _any(words.conditional, low)
    interchange: Interchange = "unstated"
    if none:
        interchange = "none"
    elif _any(words.new_for_old, low):
        interchange = "new for old"
    elif not conditional and _any(words.both_ways, low):
        interchange = "both ways"
    stock: Stock | None = "scrap" if _any(words.scrap, low) else "use up" if _any(words.use_up, low) else None
    doubts = (f"the remark sets a condition: “{' '.join(text.split())}”",) if conditional else ()
    return Remark(_any(words.withdrawn, low), _any(words.redirected, low), interchange, stock, doubts)


def _any(words: tuple[str, ...], text: str) -> bool:
    return bool(words) and _pattern(words).search(text) is not None


@cache
def _pattern(words: tuple[str, ...]) -> re.Pattern[str]:
    return re.compile(rf"(?<![a-z0-9])(?:{'|'.join(map(re.escape, words))})(?![a-z0-9])")

"""The words by which a note names itself: `SERVICE NOTE TB 97-03`, `Memo No. 4 of 3 May 2001. …`."""

import re
from dataclasses import dataclass, replace
from functools import cache

from benchleaf.ingest.head.dates import without_accents
from benchleaf.ingest.head.fields import packaged, plain
from benchleaf.ingest.head.notenumbers import NO, NumberReading, read_number


@dataclass(frozen=True, slots=True)
class Title:
    """A line by which a note names itself: what stands in front, the number, where it lies."""

    front: str
    kind: str
    number: NumberReading
    start: int


def _either(words: tuple[str, ...]) -> str:
    return "(?:" + "|".join(re.escape(without_accents(w)).replace(r"\ ", r"[\s-]") for w in words) + ")"


@cache
def _kinds() -> str:
    """What a note may call itself: as listed, or put together from the trade's words."""
    book = packaged()
    sorts, papers = _either(book.sorts), _either(book.papers)
    made = rf"(?:{sorts}(?:\s(?:and|&|und)\s|\s?/\s?|[\s-])){{0,4}}{papers}(?:[\s-]{papers}){{0,2}}"
    return rf"(?:{made}|{_either(book.kinds)})"


@cache
def _title() -> re.Pattern[str]:
    return re.compile(
        rf"(?P<front>(?:[^\s:]{{1,30}}\s){{0,6}}?)(?P<kind>(?i:{_kinds()}))(?![A-Za-z])[\s:–—/"
        rf"|,-]{{0,4}}(?=(?i:{NO})|[A-Z0-9#(№])"
    )


def read_title(text: str) -> Title | None:
    """The title in a line of little else: `Bulletin TB 97-02`, `ACME SERVICE NOTE 14/2003 of 3 May 2003`."""
    title = _begun(text)
    return title if title is not None and _ends_well(text, title.number) else None


def read_opening(text: str) -> Title | None:
    """The title that opens running text: kind, number and date, then another sentence.

    >>> read_opening("Workshop Memo No. 14/2003 of 3 May 2003. Oil seals. It applies to KX-4.").number.number
    '14/2003'
    """
    title = _begun(text) or _unlisted(text)
    if title is None or title.number.dated is None:
        return None
    return title if re.match(r"\s?(?:[.:;–—](?:\s|$)|$)", text[title.number.end :]) else None


def _begun(text: str) -> Title | None:
    bare = without_accents(text[:300])
    m = _title().match(bare)
    if m is None or not _name_like(m["front"]):
        return None
    number = read_number(text, m.end())
    return (
        Title(text[: m.end("front")].strip(" –-,/|"), m["kind"], number, m.start("kind")) if number else None
    )


_UNLISTED = re.compile(rf"(?P<words>(?:[^\s:.]{{1,30}}\s){{1,7}})(?=(?i:{NO})\s?:?\s?[A-Z0-9])")


def _unlisted(text: str) -> Title | None:
    """A title of words that no list has: `Orven Werkblatt No. 12 of 3 May 2003`; the word `No.` marks it."""
    m = _UNLISTED.match(without_accents(text[:300]))
    if m is None or not _name_like(m["words"]) or _names_other(m["words"]):
        return None
    number = read_number(text, m.end())
    return Title("", m["words"].strip(), number, 0) if number else None


def read_marked(text: str, beside_date: bool = False) -> Title | None:
    """A line of capitalised words and a number with no listed kind: `ORVEN WERKBLATT No. RB-12, 4 May 2001`.

    The word `No.` or a date of its own marks the number, or with `beside_date` a date that stands next to the
    line; without them it may be a model.
    """
    for count in range(1, 8):
        m = _marked(count).match(text[:200])
        number = read_number(text, m.end()) if m else None
        if m is None or number is None or number.rest or _names_other(m["words"]):
            continue
        if not (m["no"] or number.dated) and not (beside_date and _stands_out(m["words"], number.number)):
            continue
        if _name_like(m["words"]) or _plain_heading(m["words"]):
            words, number = _with_letters(text, m, number)
            return Title("", words, number, 0)
    return None


_OTHER = re.compile(
    r"\b(?:tel|telephone|phone|mobile)\b|(?:^|\s)(?:p|pp|part|parts|p/n|kit|serial|serials|s/n|page|sheet|drawing|order"
    r"|your\sref|item|step|fig|figure|table|section|chapter|box|street|road|supersedes|replaces|cancels|din|iso|sae|astm|ansi|api)\.?\s?$",
    re.IGNORECASE,
)


def _names_other(words: str) -> bool:
    """True if the words before a number name something else (`Part No.`), or hold another number."""
    later = words.split()[1:]
    return _OTHER.search(words.strip()) is not None or any(re.search(r"[0-9]", w) for w in later)


def _with_letters(text: str, m: re.Match[str], number: NumberReading) -> tuple[str, NumberReading]:
    """`ORVEN WB 03-05`: a few capitals before the figures belong to the number, unless they are a word for
    such a sheet."""
    words = m["words"].strip()
    last = words.split()[-1]
    own = re.fullmatch(r"[A-ZÀ-Ý]{2,4}", last) and number.number[:1].isdigit() and not m["no"]
    if not own or is_kind_only(last) or number.start != m.end():
        return words, number
    whole = text[m.end("words") - len(last) - 1 : m.end("words")] + number.number
    return words[: -len(last)].strip() or last, replace(number, number=whole)


def _stands_out(words: str, number: str) -> bool:
    """True if words and number may be a title without a mark: capitals, no unit's noun, no plain figure."""
    last = plain(words.split()[-1])
    return _name_like(words) and last not in packaged().nouns and not number.isdigit()


@cache
def _marked(count: int) -> re.Pattern[str]:
    """So many words, and then what may be a number."""
    words = rf"(?P<words>(?:[^\s:.,]{{1,30}}\s){{{count}}})"
    return re.compile(rf"{words}(?:[–—/|-]\s)?(?P<no>(?i:{NO}))?\s{{0,2}}(?=[A-Z0-9])")


def _plain_heading(words: str) -> bool:
    """True for a few words such as `Information for dealers`: a capital first, and no reference."""
    first, *more = words.split()
    return first[0].isupper() and len(more) <= 3 and plain(first) not in packaged().no_names


_SMALL = ("of", "and", "&", "de", "für", "the", "der", "di", "du", "und", "et", "for")


def _name_like(front: str) -> bool:
    """True if the words before the kind may be a maker's name: no lower-case verb, no `this`, no `see`."""
    words = front.split()
    return not words or (
        all(w[:1].isupper() or w[0].isdigit() or w[0] in "&-–/|" or w in _SMALL for w in words)
        and plain(words[0]) not in packaged().no_names
    )


def _ends_well(text: str, number: NumberReading) -> bool:
    """False if a sentence goes on behind the number (`Bulletin 97-02 is cancelled`)."""
    behind = text[number.end :]
    bare = number.number.isdigit() and not re.search(rf"(?i:{NO})\s{{0,2}}:?\s{{0,2}}$", text[: number.start])
    if bare and number.rest:  # `Note 5 Fit the ring`
        return False
    if re.search(r"\.\s[A-Z]\w{0,20}(?:\s[a-z]{2,20}){2}", number.rest):  # running text goes on
        return False
    if not number.rest or re.match(r"\s?[:–—|/,(;-]", behind):
        return True
    return (
        not re.match(r"\s[a-z]", behind) and len(number.rest.split()) <= 8 and not number.rest.endswith(".")
    )


@cache
def _running() -> re.Pattern[str]:
    return re.compile(
        rf"\b(?i:this|the\spresent|our|present)\s(?:(?i:new)\s)?(?i:{_kinds()}),?\s{{1,2}}"
        rf"(?=(?i:{NO})?\s?:?\s?[A-Z0-9])"
    )


def read_running(text: str) -> tuple[NumberReading, int] | None:
    """The note's own number in running text: `This bulletin, No. 14/2003 of 3 May 2003, applies to …`."""
    bare = without_accents(text[:3000])
    for m in _running().finditer(bare):
        number = read_number(text, m.end())
        if number is None or not re.search("[0-9]", number.number):
            continue
        if _OUT_OF_FORCE.match(text, number.end) is None:
            return number, m.start()
    return None


_OUT_OF_FORCE = re.compile(
    r"[^.;:]{0,40}\s(?:has|have|had|is|are|was|were)\s[^.;:]{0,30}\b(?:lost|void|cancelled|canceled|withdrawn"
    r"|superseded|replaced|invalid|obsolete|annulled|no\slonger)\b"
)
"""What is said of another note: `our letter 98.02 has been withdrawn`."""


@cache
def _only_kind() -> re.Pattern[str]:
    return re.compile(rf"{_kinds()}s?(?:\s{NO})?", re.IGNORECASE)


def is_kind_only(text: str) -> bool:
    """True for a line such as `TECHNICAL BULLETIN` that names the kind of sheet and nothing else."""
    return len(text) <= 80 and _only_kind().fullmatch(without_accents(text).strip(" .:–-")) is not None


@cache
def _kind_at_end() -> re.Pattern[str]:
    return re.compile(rf"[\s,–—|/-]{{0,4}}\b(?i:{_kinds()})s?\s{{0,2}}(?i:{NO})?\s{{0,2}}:?$")


def without_kind(text: str) -> str:
    """A maker's line without the kind of sheet at its end: `ACME Technical Bulletin` gives `ACME`."""
    m = _kind_at_end().search(without_accents(text[:300]))
    return text[: m.start()].strip() if m and len(text) <= 300 else text.strip()

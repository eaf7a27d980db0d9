"""Several notes in one file: which sheets belong to which note.

A file is cut only where a head is plain to see: at the top of a sheet, or on one sheet after free space, and
only if the part by itself gives another number and another date or subject. A sheet that goes on (`page 2 of
3`, the same number in its running head), an annex, and a list of notes stay where they are. A letter before
a note, and notes bound in after a manual, become runs of their own.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import accumulate, pairwise
from typing import Literal

from benchleaf.graph.keys import key
from benchleaf.ingest.head.dates import find_dates
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.head.notetitles import is_kind_only, read_opening, read_title
from benchleaf.ingest.head.segments import BARS
from benchleaf.ingest.kind import kind_of
from benchleaf.ingest.shapes import Header, LaidPage, Line

_TOP = 12  # lines in which a head shows itself
_FIRST = 5  # lines among which its title is
_FREE = 2.0  # ems of free height above a head that begins inside a sheet
_COLUMN = 900.0  # the free height told above a column's first line
_LONGEST = 12  # words in a line of a head
_SPOKEN = re.compile(
    r"\b(?:supersedes|superseding|replaces|replacing|cancels|see|refer(?:ence|ring)?|related|previous|earlier|attached|"
    r"enclosed|amends|ersetzt)\b",
    re.IGNORECASE,
)
_PART = re.compile(
    r"\W{0,3}(?:annex|appendix|attachment|enclosure|supplement|continued|continuation|addendum|anlage|anhang)\b",
    re.IGNORECASE,
)
_LISTING = re.compile(
    r"\b(?:index|list|register|summary|contents|overview|catalogue|bulletins\s(?:issued|in\sforce)|reply|order\sform)\b",
    re.IGNORECASE,
)
_GOES_ON = re.compile(
    r"\b(?:page|sheet|seite|blatt|pg|p)\.?\s{0,2}(?P<n>[0-9]{1,3})\s{0,2}(?:of|/|von|de)\s{0,2}[0-9]{1,3}\b"
    r"|\((?:continued|cont['’]?d\.?|contd\.?)\)|\bcontinued\b",
    re.IGNORECASE,
)


def split_notes(pages: Sequence[LaidPage]) -> tuple[tuple[LaidPage, ...], ...]:
    """The sheets of each note in a file, in order; all in one run where nothing shows a second note.

    Sheets keep their numbers. A sheet on which one note ends and another begins is given to both, each with
    its own lines. Nothing raises.
    """
    runs: list[list[LaidPage]] = []
    held: Header | None = None
    parts = [part for sheet in pages for part in _parted(sheet)]
    if len(parts) == 1:
        return ((parts[0],),)
    for page in parts:
        head = _head(page)
        if head is not None and (not runs or _differs(head, held, runs[-1])):
            runs.append([page])
            held = head
        elif runs:
            runs[-1].append(page)
        else:
            runs.append([page])
            held = read_header((page,), "")
    return tuple(tuple(run) for run in runs)


def bound_in(pages: Sequence[LaidPage]) -> tuple[tuple[LaidPage, ...], tuple[tuple[LaidPage, ...], ...]]:
    """A manual's own sheets, and the sheets of each note bound in behind them; often there is none.

    A note counts only if it is one by itself, reads a date, stands after the manual's last step, and does not
    bear the manual's own running head or foot.
    """
    if not any(_may_begin(pages, at, at_top) for at, at_top in _ends_of_furniture(pages)):
        return tuple(pages), ()
    runs = list(split_notes(pages))
    notes: list[tuple[LaidPage, ...]] = []
    while len(runs) > 1 and _bound(runs[-1], [page for run in runs[:-1] for page in run]):
        notes.insert(0, runs.pop())
    return tuple(page for run in runs for page in run), tuple(notes)


def _ends_of_furniture(pages: Sequence[LaidPage]) -> Iterator[tuple[int, bool]]:
    """The places behind which no running head or foot of the sheets before returns: the index of a sheet, and
    whether the place is its top or lies between its head and its foot."""
    seen: dict[str, tuple[int, int]] = {}
    for at, page in enumerate(pages):
        for side, lines in enumerate((page.heads, page.feet)):
            for text in _texts(lines):
                first, _ = seen.get(text, (2 * at + side, 0))
                seen[text] = first, 2 * at + side
    spanned = [0] * (2 * len(pages) + 1)
    for first, last in seen.values():
        spanned[first + 1] += 1
        spanned[last + 1] -= 1
    for place, open_ in enumerate(accumulate(spanned[: 2 * len(pages)])):
        if place and not open_:
            yield place // 2, place % 2 == 0


def _may_begin(pages: Sequence[LaidPage], at: int, at_top: bool) -> bool:
    """True if a note with a date may begin at a place: cheap evidence first."""
    page = pages[at]
    if not _may_be_dated(page):
        return False
    return _head(page) is not None if at_top else bool(_cuts(page))


def _bound(run: Sequence[LaidPage], before: Sequence[LaidPage]) -> bool:
    """True for a note behind the sheets of a manual."""
    if _furniture(run) & _furniture(before):
        return False
    return read_header(run, "").date is not None and kind_of(run) == "note"


def _furniture(pages: Sequence[LaidPage]) -> set[str]:
    """The running heads and feet of sheets, page numbers left aside."""
    return {text for page in pages for text in _texts((*page.heads, *page.feet))}


def _texts(lines: Sequence[Line]) -> Iterator[str]:
    return (re.sub(r"[0-9]", "", line.text) for line in lines if len(line.words) > 2)


_YEAR = re.compile(r"(?:18|19|20)[0-9]{2}")
_SHORT_YEAR = re.compile(  # 3/78, 12.XI.78, week 45 78
    r"[0-9](?: ?[-/,.] ?| (?:of )?|\.?(?: ?[./-] ?| )?[IVX]{1,4}\.? ?[./-]? ?)['’`]?[0-9]{2}(?![0-9])"
)
_WORD_BEFORE_YEAR = re.compile(  # Nov 78, Nov. '78
    r"([^\W\d_]{3,14})\.?[ ,/-]{0,3}(?:(?:day of|of|de|del|di) )?['’`]?[0-9]{2}(?![0-9])"
)
_LOOK_ALIKES = str.maketrans("lI|OoQSZBgqG", "111000528996")  # as dates with misread figures are mended


def _may_be_dated(page: LaidPage) -> bool:
    """False for a sheet that surely bears no date: no year stands on it, neither whole nor short."""
    text = " ".join(line.text for line in (*page.heads, *page.lines, *page.feet))
    if _YEAR.search(text) or _YEAR.search(text.translate(_LOOK_ALIKES)):
        return True
    if _SHORT_YEAR.search(text):
        return True
    return any(_is_month(m[1].lower()) for m in _WORD_BEFORE_YEAR.finditer(text))


@lru_cache(maxsize=4096)
def _is_month(word: str) -> bool:
    """True for a word that ends in the name of a month."""
    return any(find_dates(f"{word[at:]} 2000") for at in range(max(1, len(word) - 2)))


def _differs(head: Header, held: Header | None, run: Sequence[LaidPage]) -> bool:
    """True if a head is another note's than the one held: another number, and another date or subject.

    Sheets without any number before it are a letter or a cover; a blank one is none.
    """
    if held is None or held.number is None:
        return head.date is not None and any(p.lines for p in run)
    if _same(head.number, held.number):
        return False
    dates = head.date is not None and held.date is not None and head.date != held.date
    subjects = bool(head.subject and held.subject) and key(head.subject or "") != key(held.subject or "")
    return dates or subjects


def _same(one: str | None, other: str | None) -> bool:
    """True for one number, also where a sheet repeats only its end or adds its kind (`14/98`, `SB 14/98`)."""
    a, b = key(one or ""), key(other or "")
    return a == b or (min(len(a), len(b)) > 2 and (a.endswith(b) or b.endswith(a)))


def _head(page: LaidPage) -> Header | None:
    """The head of a note that begins on this sheet, read from it alone; None if none is plain to see."""
    top = [*page.heads, *page.lines][:_TOP]
    if not top or _goes_on(page, top):
        return None
    header = read_header((page,), "")
    if header.number is None or not _stands_first(header.number, top):
        return None
    told = header.date is not None or (header.subject is not None and _titled(top))
    return header if told else None


def _titled(top: Sequence[Line]) -> Literal[True] | None:
    """True if one of the first lines names the paper."""
    return True if any(_is_title(line.text.strip(BARS + " ")) for line in top[:_FIRST]) else None


def _goes_on(page: LaidPage, top: Sequence[Line]) -> bool:
    """True for a later sheet of a note, an annex, or a list of notes."""
    for line in (*top, *page.feet):
        m = _GOES_ON.search(line.text[:200])
        if m is not None and m["n"] != "1":
            return True
    texts = [line.text for line in top[:_FIRST]]
    return any(_PART.match(t) or (_LISTING.search(t) and len(t.split()) <= 8) for t in texts)


def _stands_first(number: str, top: Sequence[Line]) -> bool:
    """True if a sheet begins with a head that bears the number: no sentence stands before it, and none around
    it but one that opens with the note's own name."""
    for at, line in enumerate(top):
        text = line.text.strip(BARS + " ")
        pair = f"{text} {top[at + 1].text}" if at + 1 < len(top) else text
        if key(number) in key(text):
            return not _SPOKEN.search(text) and (not _is_prose(text) or _opens(pair))
        if _is_prose(text):
            return key(number) in key(pair) and _opens(pair)
    return False


def _is_prose(text: str) -> bool:
    return len(text.split()) > _LONGEST and ":" not in text[:40]


def _opens(text: str) -> bool:
    return read_opening(text) is not None or read_title(text) is not None


def _is_title(text: str) -> bool:
    """True for a line that names the paper and little else: `SERVICE BULLETIN 14/98`, `TECHNICAL NOTE`."""
    return (
        len(text.split()) <= 14
        and not text.endswith(".")
        and (is_kind_only(text) or read_title(text) is not None)
    )


def _parted(page: LaidPage) -> Iterator[LaidPage]:
    """A sheet cut where another note's head begins on it, after free space or a rule that was drawn there."""
    cuts = [0, *_cuts(page), len(page.lines)]
    if len(cuts) == 2:
        yield page
        return
    for at, (start, end) in enumerate(pairwise(cuts)):
        yield _cut(page, start, end, at == 0, end == len(page.lines))


def _cuts(page: LaidPage) -> list[int]:
    """The lines with which another note begins on one sheet: each part must give a head of its own."""
    found: list[int] = []
    start, end = 0, len(page.lines)
    places = [at for at in range(3, end - 1) if _stands_free(page.lines[at], page.lines[at - 1])]
    if not places or _head(replace(page, feet=())) is None:
        return found
    for at in places:
        first = _head(_cut(page, start, at, start == 0, False))
        then = _head(_cut(page, at, end, False, True))
        if first is None or then is None or None in (then.date, then.subject or _titled(page.lines[at:])):
            continue
        if _differs(then, first, (page,)):
            found.append(at)
            start = at
    return found


def _stands_free(line: Line, above: Line) -> bool:
    """True for a line below free space within its column."""
    return _FREE * (line.size or 10.0) < line.gap < _COLUMN and line.column == above.column


def _cut(page: LaidPage, start: int, end: int, first: bool, last: bool) -> LaidPage:
    """The lines from one index to before another, with the tables that stand among them."""
    lines = page.lines[start:end]
    top = min((li.box.top for li in lines), default=0.0)
    bottom = max((li.box.bottom for li in lines), default=0.0)
    tables = tuple(t for t in page.tables if top - 1 <= (t.box.top + t.box.bottom) / 2 <= bottom + 1)
    heads, feet = (page.heads if first else ()), (page.feet if last else ())
    return replace(page, lines=lines, tables=tables, heads=heads, feet=feet)

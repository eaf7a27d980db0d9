"""What a manual itself says that kits contain: in sentences and steps, in its parts lists, in tables of
kits."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Contents, KitLine, Manual
from benchleaf.ingest.book.manualkitsgroups import grouped_kits
from benchleaf.ingest.book.manualkitsheads import COUNTS_UNIT, announces, headed_kits, headless
from benchleaf.ingest.book.manualkitslists import CALLED, Place, rows_kits
from benchleaf.ingest.book.manualkitsmarks import marked_kits
from benchleaf.ingest.book.manualkitsprose import told_kits
from benchleaf.ingest.book.manualkitstables import kit_tables
from benchleaf.ingest.book.partslists import parts_tables
from benchleaf.ingest.phrases.contents import singular
from benchleaf.ingest.phrases.phrasebook import PhraseBook
from benchleaf.ingest.shapes import LaidPage

_WORD = re.compile(r"[A-Za-z]{2}")


def read_manual_kits(
    manual: Manual, pages: Sequence[LaidPage], book: PhraseBook | None = None
) -> tuple[Contents, ...]:
    """The contents of kits that a manual states; `pages` are the laid-out sheets it was read from.

    `note` is the publication's number and `date` its date. A reading is settled only if it was read whole
    and nothing denies, limits or adds to it; a kit that is given differently in two places is doubtful in
    both.
    """
    found = [*told_kits(manual, pages, book), *_listed_kits(manual, pages)]
    return _agreed(_distinct([one for one in _by_unit(found) if all(_names(line) for line in one.lines)]))


def _by_unit(found: Sequence[Contents]) -> list[Contents]:
    """The readings; where one saw that a list counts for a unit, no other reading of the kit is surer."""
    seen = {key(one.kit): why for one in found for why in one.why if why.startswith(COUNTS_UNIT)}
    return [doubted(one, *(w for k, w in seen.items() if k == key(one.kit))) for one in found]


def _names(line: KitLine) -> bool:
    """False where a number stands in the place of a name: the wrong column was read."""
    return _WORD.search(line.description) is not None


def _listed_kits(manual: Manual, pages: Sequence[LaidPage]) -> Iterator[Contents]:
    """What parts lists and tables of kits say; sheets without the word for a kit are passed over."""
    announced = False
    for at, page in enumerate(pages):
        if not any(CALLED.search(line.text) for line in page.lines):
            announced = False
            continue
        place = Place(manual, page)
        tables = parts_tables(page)
        follows = bool(tables) and at + 1 < len(pages) and bool(parts_tables(pages[at + 1]))
        grouped = list(grouped_kits(place, pages[at + 1] if at + 1 < len(pages) else None))
        yield from grouped
        after = headless(pages[at + 1].lines, parts_tables(pages[at + 1])) if follows else ()
        headed = list(headed_kits(place, tables, announced, after))
        announced = announces(page.lines) or (announced and bool(headed))
        yield from (one for one in headed if key(one.kit) not in {key(g.kit) for g in grouped})
        known = {key(one.kit) for one in (*grouped, *headed)}
        others = (*rows_kits(place, tables, follows), *marked_kits(place, tables), *kit_tables(place))
        yield from (one for one in others if key(one.kit) not in known)


def _distinct(found: Iterable[Contents]) -> list[Contents]:
    """One reading of each kit's contents: where one place lists fewer of the same lines, the other stays."""
    kept: list[Contents] = []
    for one in found:
        same = [k for k in kept if key(k.kit) == key(one.kit)]
        if any(_covers(k, one) for k in same):
            continue
        kept = [k for k in kept if not (key(k.kit) == key(one.kit) and _covers(one, k))]
        kept.append(one)
    return kept


def _covers(whole: Contents, part: Contents) -> bool:
    """True if a reading says all that another does, and no less surely."""
    if part.standing == "settled" and whole.standing != "settled":
        return False
    return _lines(part) <= _lines(whole)


def _lines(one: Contents) -> "Counter[tuple[str, int | None]]":
    return Counter(_identity(line) for line in one.lines)


def _identity(line: KitLine) -> tuple[str, int | None]:
    return singular(line.description), line.quantity


def _agreed(found: Sequence[Contents]) -> tuple[Contents, ...]:
    """A kit with other contents at another place of the manual is doubtful in both."""
    out: list[Contents] = []
    for one in found:
        other = next((o for o in found if o is not one and key(o.kit) == key(one.kit)), None)
        if other is None:
            out.append(one)
            continue
        where = f"page {other.source.page}" if other.source.page else f"sheet {other.source.sheet}"
        out.append(doubted(one, f"the manual gives other contents for this kit on {where}"))
    return tuple(out)


def doubted(one: Contents, *why: str) -> Contents:
    """The reading, doubtful for some reasons; unchanged without any."""
    if not why:
        return one
    standing = "doubtful" if one.standing == "settled" else one.standing
    return replace(one, standing=standing, why=tuple(dict.fromkeys((*one.why, *why))))

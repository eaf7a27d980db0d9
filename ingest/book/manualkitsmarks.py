"""Contents of kits that a parts list shows by marks: an asterisk on a kit's items, a column for each kit."""

import re
from collections.abc import Iterator, Sequence

from benchleaf.graph.keys import key
from benchleaf.graph.model import Contents, KitLine
from benchleaf.ingest.book.manualkitslists import (
    CALLED,
    FROM_LIST,
    NUMBER,
    Place,
    around,
    line_of,
    quantity_doubts,
    spoken,
)
from benchleaf.ingest.book.partslists import PartRow, PartsTable
from benchleaf.ingest.phrases.cells import count_of
from benchleaf.ingest.phrases.contents import singular

_SIGN = r"(?P<sign>[*†‡§#•]{1,3}|asterisk|“?[A-Z][0-9]?”?(?![a-z0-9-]))"
_KIT_NUMBER = r"(?P<kit>(?=[0-9A-Z./-]{0,16}[0-9])[0-9A-Z][0-9A-Za-z./-]{3,20}(?<![./-]))"
_MARKED = re.compile(
    rf"\b(?:items?|parts?|positions?|lines?) (?:which are |that are )?(?:marked|bearing|with)"
    rf" (?:with )?(?:an? |the (?:letter|sign|mark) )?{_SIGN}",
    re.IGNORECASE,
)
_LEGEND = re.compile(
    rf"(?:(?P<sign>[*†‡§#]{{1,3}})\s?[=:–-]?|(?P<code>•|\bK\s?[0-9]\b|\b(?:[Kk]it )?[A-D]\b)\s?[=:–-])\s?"
    rf"(?P<said>[^=:*†‡§#.]{{0,80}}?){_KIT_NUMBER}"
)
_CHECKED = re.compile(r"[xX×•●■✓✔*+√]{1,2}")
_BLANK = re.compile(r"[-–—./\s]*")
_SHORT = re.compile(r"(?:kit\s?)?(?P<code>K\s?[0-9]|[A-D])", re.IGNORECASE)
_KIT_COLUMN = re.compile(r"\b(?:kit|set)s?\b", re.IGNORECASE)


_IN_KIT = re.compile(
    rf"\b(?:in|part of|with|see|from) (?:[a-z]+ ){{0,2}}(?:kit|set) (?:no\.? )?{_KIT_NUMBER}", re.IGNORECASE
)
_ONLY_KIT = re.compile(rf"(?:[A-Za-z]+ ){{0,2}}(?:kit|set) (?:no\.? )?{_KIT_NUMBER}(?: only)?", re.IGNORECASE)
_KIT_HEAD = re.compile(
    r"(?:in |repair |overhaul |service )?(?:kit|set)s?(?: (?:no|number))?\.?", re.IGNORECASE
)


def marked_kits(place: Place, tables: Sequence[PartsTable]) -> Iterator[Contents]:
    """Kits whose items a list marks. Where only a mark stands the counts are the unit's: a doubt."""
    if not tables:
        return
    said = _outside(place, tables)
    for table in tables:
        for row in table.rows:
            words = " ".join((row.description, *(t for _, t in row.others)))
            marked = _MARKED.search(words)
            if marked and CALLED.search(words) and NUMBER.fullmatch(row.part):
                yield from _signed(place, table, row.part, _plain(marked["sign"]), spoken(row))
        for kit, sign, quote in _legends(said):
            yield from _signed(place, table, kit, sign, quote)
        yield from _columned(place, table, said)
        yield from _remarked(place, table, said)


def _outside(place: Place, tables: Sequence[PartsTable]) -> str:
    """The sheet's words above and below its lists."""
    lines = [
        li.text
        for li in (*place.page.lines, *place.page.feet)
        if not any(t.box.top - 1 <= (li.box.top + li.box.bottom) / 2 <= t.box.bottom + 1 for t in tables)
    ]
    return " ".join(lines)[:6000]


def _legends(said: str) -> Iterator[tuple[str, str, str]]:
    """Kit, sign and words of "* = contained in kit 4471-208" and "Kit 4471-208 consists of the items marked
    *"."""
    for found in _MARKED.finditer(said):
        near = said[max(0, found.start() - 90) : found.end() + 90]
        numbers = re.findall(rf"\b(?:kit|set)\b[^0-9.]{{0,20}}?{_KIT_NUMBER}", near, re.IGNORECASE)
        if len({key(n) for n in numbers}) == 1:
            yield numbers[0], _plain(found["sign"]), near
    for found in _LEGEND.finditer(said):
        code = found["code"] and re.sub(r"[Kk]it |\s", "", found["code"])
        if CALLED.search(found.group()) or code:
            yield found["kit"], code or found["sign"], found.group()


def _plain(sign: str) -> str:
    return "*" if sign.lower() == "asterisk" else sign.strip("“”")


def _signed(place: Place, table: PartsTable, kit: str, sign: str, quote: str) -> Iterator[Contents]:
    rows = [r for r in table.rows if _bears(r, sign) and key(r.part) != key(kit)]
    if not rows:
        return
    why = [FROM_LIST, *(d for r in rows for d in quantity_doubts(r, table))]
    said = " / ".join((quote, *(spoken(r) for r in rows)))
    yield place.contents(kit, [line_of(r, table) for r in rows], around([r.box for r in rows]), said, why)


def _bears(row: PartRow, sign: str) -> bool:
    return sign in row.signs or any(text == sign for _, text in row.others)


def _columned(place: Place, table: PartsTable, said: str) -> Iterator[Contents]:
    """A column for each kit, with marks or counts: "K1", "Kit A" with a legend, "Kit 4471-208"."""
    codes = {sign.replace(" ", "").upper(): kit for kit, sign, _ in _legends(said)}
    for head in dict.fromkeys(h for row in table.rows for h, _ in row.others):
        kit = _kit_of_head(head, codes, table)
        if kit is None:
            continue
        cells = [(r, text) for r in table.rows for h, text in r.others if h == head]
        cells = [(r, text) for r, text in cells if not _BLANK.fullmatch(text) and key(r.part) != key(kit)]
        if not cells or not all(_CHECKED.fullmatch(t) or count_of(t) is not None for _, t in cells):
            continue
        yield _from_column(place, table, kit, head, cells)


def _remarked(place: Place, table: PartsTable, said: str) -> Iterator[Contents]:
    """Rows that name their kits: "in kit 4471-300" among the remarks, "A, B" under a head "Kit"."""
    codes = {sign.upper(): kit for kit, sign, _ in _legends(said)}
    rows: dict[str, list[PartRow]] = {}
    for row in table.rows:
        for kit in dict.fromkeys(_kits_of(row, codes)):
            if key(kit) != key(row.part):
                rows.setdefault(kit, []).append(row)
    for kit, found in rows.items():
        why = [FROM_LIST, *(d for r in found for d in quantity_doubts(r, table))]
        quote = " / ".join(spoken(r) for r in found)
        lines = [line_of(r, table) for r in found]
        yield place.contents(kit, lines, around([r.box for r in found]), quote, why)


def _kits_of(row: PartRow, codes: dict[str, str]) -> Iterator[str]:
    for head, text in row.others:
        told = _IN_KIT.search(text) or _ONLY_KIT.fullmatch(text.strip())
        if told is not None:
            yield told["kit"]
        elif _KIT_HEAD.fullmatch(head.strip()):
            for one in re.split(r"\s?[,/+&]\s?|\s", text):
                if one.upper() in codes:
                    yield codes[one.upper()]
                elif re.fullmatch(_KIT_NUMBER, one):
                    yield one


def _kit_of_head(head: str, codes: dict[str, str], table: PartsTable) -> str | None:
    numbers = re.findall(_KIT_NUMBER, head)
    if numbers and _KIT_COLUMN.search(head):
        return str(numbers[0])
    short = _SHORT.fullmatch(head.strip())
    if short is None:
        return None
    code = short["code"].replace(" ", "").upper()
    rows = [r for r in table.rows if r.item.upper() == code and NUMBER.fullmatch(r.part)]
    return codes.get(code) or (rows[0].part if len(rows) == 1 else None)


def _from_column(
    place: Place, table: PartsTable, kit: str, head: str, cells: Sequence[tuple[PartRow, str]]
) -> Contents:
    lines = [
        KitLine(line_of(r, table).part, singular(r.description.strip(" .")), count_of(text))
        if count_of(text) is not None
        else line_of(r, table)
        for r, text in cells
    ]
    checked = [r for r, text in cells if count_of(text) is None]
    why = [FROM_LIST] if checked else []
    why.extend(d for r in checked for d in quantity_doubts(r, table))
    quote = f"{head}: {' / '.join(spoken(r) for r, _ in cells)}"
    return place.contents(kit, lines, around([r.box for r, _ in cells]), quote, why)

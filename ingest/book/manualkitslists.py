"""Contents of kits from parts lists: rows set in below a kit's row, items that a kit's row names."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key
from benchleaf.graph.model import Box, Contents, KitLine, Manual, Source
from benchleaf.ingest.book.partslists import BULLET, PartRow, PartsTable
from benchleaf.ingest.phrases.cells import count_of
from benchleaf.ingest.phrases.contents import read_lines, singular
from benchleaf.ingest.phrases.references import tag
from benchleaf.ingest.shapes import LaidPage, Line

CALLED = re.compile(r"\b(?:kit|set|packet|assortment)s?\b", re.IGNORECASE)
NUMBER = re.compile(r"(?=[^\n]{0,24}[0-9])[0-9A-Z][0-9A-Za-z ./-]{2,24}")
_HOLDS = re.compile(
    r"[,(]?\s{0,2}\b(?:consisting of|comprising|containing|contains|consists of|comprises|composed of"
    r"|contents|made up of|incl\.|incl\b|including|includes|components)\s?:?\s?(?P<rest>.*)$",
    re.IGNORECASE,
)
_PARTLY = re.compile(r"\bincl(?:\.|uding|udes)?\b", re.IGNORECASE)
_BRACKET = re.compile(r"\((?P<rest>[^()]{0,30}[0-9][^()]{3,200})\)")
_ITEMS = re.compile(
    r"\b(?:items?|pos|positions?|nos?|refs?|index)\b\.?:?\s{0,2}(?:nos?\.?\s?)?"
    r"(?P<list>[0-9]{1,3}[a-z]?(?:\s?(?:,|;|&|/|-|–|\band\b|\bto\b|\bthrough\b)\s{0,2}[0-9]{1,3}[a-z]?){0,40})",
    re.IGNORECASE,
)
_RANGE = re.compile(r"([0-9]{1,3})\s?(?:-|–|\bto\b|\bthrough\b)\s?([0-9]{1,3})", re.IGNORECASE)
_LIMITED = re.compile(
    r"\b(?:not|without|except|excluding|less|apart from|optional|up to|from serial|before|only|until|if)\b",
    re.I,
)
_AS_REQUIRED = re.compile(r"a/?r|as (?:req(?:uired|'d)?|necessary|needed)\.?", re.IGNORECASE)
_NAMES_ITEMS = re.compile(
    r"\b(?:consists of|comprises|contains|includes|consisting of)\s(?:the\s)?"
    r"(?:items?|positions?|pos\.?|parts)\s",
    re.IGNORECASE,
)
# "Kit 4471-208 (items 3, 4)", "Items 3 to 5 are supplied as kit 4471-208": a kit beside items of the list.
_NUMBERED = r"(?P<kit>(?=[0-9A-Z./-]{0,16}[0-9])[0-9A-Z][0-9A-Z./-]{3,20}(?<![./-]))"
_KIT_ITEMS = re.compile(
    rf"\b(?:kit|set)\b[ ,:]{{0,2}}(?:(?:no|number|nr)\b\.? ?)?{_NUMBERED}"
    r" ?(?:[(:,–-] ?|(?:includes|contains|comprises|consists of) (?:the )?)"
    r"(?=(?:items?|pos|positions?|parts)\b)",
    re.IGNORECASE,
)
_ITEMS_KIT = re.compile(
    r"(?:^|[.;] )(?P<said>(?:items?|pos|positions?|parts)\b[0-9a-z .,&–-]{2,60}?"
    r"\b(?:(?:are|is) (?:only )?(?:supplied|contained|included|available|packed)|form|make up|belong|only)\b"
    rf"[a-z -]{{0,30}}\b(?:kit|set)\b(?: (?:no|number)\b\.?)? ){_NUMBERED}",
    re.IGNORECASE,
)
_PARTS_LISTED = re.compile(r"\bparts (?=[0-9])", re.IGNORECASE)
_KIT_NUMBER = re.compile(r"\b(?=[0-9A-Z./-]{0,16}[0-9])[0-9A-Z][0-9A-Z./-]{3,20}(?<![./-])")

# What a bracket says of the kit itself: "(2 required)", "(for 2 pumps)".
_NO_PART = re.compile(
    r"\b(?:req|reqd|required|needed|off|per|only|units?|models?|types?|version|for|series)\b", re.I
)

FROM_LIST = "the quantities are those of the parts list: the kit may hold others"
_NO_END = "the list does not mark where the kit's parts end"
_UNSAID = "the list does not say that the lines set in below the kit are its contents"
_INCLUDED = "“including” may not name all that the kit holds"
_ONE_LINE = "only one line is named beside the kit: it may hold more"
_OVERLEAF = "the list ends at the foot of a page and may go on overleaf"


@dataclass(frozen=True, slots=True)
class Place:
    """The manual and the sheet that a reading is from."""

    manual: Manual
    page: LaidPage

    def contents(
        self, kit: str, lines: Sequence[KitLine], box: Box, quote: str, why: Sequence[str]
    ) -> Contents:
        """A reading; settled if there is no reason to doubt it."""
        limit = _LIMITED.search(quote)
        doubts = dict.fromkeys(
            (*why, *((f"the contents hold only with a limit: “{limit.group()}”",) if limit else ()))
        )
        return Contents(
            note=self.manual.number,
            date=self.manual.date,
            quote=quote if len(quote) <= 1200 else quote[:1199] + "…",
            source=Source(self.manual.file, self.page.sheet, self.page.folio, box, self.page.by_ocr),
            standing="doubtful" if doubts else "settled",
            why=tuple(doubts),
            kit=kit,
            lines=tuple(lines),
        )


def rows_kits(place: Place, tables: Sequence[PartsTable], follows: bool) -> Iterator[Contents]:
    """What a sheet's parts lists say: in the rows below a kit's row, or by the items that it or a sentence
    names. `follows` tells that the next sheet has a parts list too."""
    for number, table in enumerate(tables):
        last = number == len(tables) - 1
        for n, row in enumerate(table.rows):
            if CALLED.search(row.description) and NUMBER.fullmatch(row.part):
                yield from _of_row(place, table, n, last and follows)
    yield from _sentences(place, tables)


def _of_row(place: Place, table: PartsTable, n: int, goes_on: bool) -> Iterator[Contents]:
    """The contents that one kit's row tells or opens."""
    row = table.rows[n]
    remarks = " ".join(text for _, text in row.others)
    holds = _HOLDS.search(row.description) or _HOLDS.search(remarks)
    rest = holds["rest"].strip(" .:)(") if holds else ""
    why = [_INCLUDED] if holds and _PARTLY.match(holds.group().strip(" ,(")) else []
    if row.quantity and count_of(row.quantity) not in (None, 1):
        why.append(f"the parts list counts {row.quantity} of this kit")
    items = _ITEMS.search(rest) or _ITEMS.fullmatch(remarks.strip())
    if items and not re.search(r"[a-z]{4,} [a-z]{3,}", rest[: items.start()]):
        yield from of_items(place, row.part, items["list"], (table,), row.box, spoken(row))
        return
    bracket = _BRACKET.search(row.description)
    told = rest or (bracket["rest"] if bracket else "")
    if told and (found := _prose(place, row, told, why)) is not None:
        yield found
        return
    if not told:
        yield from _rows_below(place, table, n, why, holds is not None, goes_on)


def _prose(place: Place, row: PartRow, told: str, why: Sequence[str]) -> Contents | None:
    tagged = tag(told)
    lines = read_lines(tagged, 0, len(tagged.folded))
    if not lines.lines or not lines.whole or any(_NO_PART.search(li.description) for li in lines.lines):
        return None
    one = (_ONE_LINE,) if len(lines.lines) == 1 and not _HOLDS.search(row.description) else ()
    return place.contents(row.part, lines.lines, row.box, spoken(row), (*why, *lines.why, *one))


def _rows_below(
    place: Place, table: PartsTable, n: int, why: Sequence[str], opened: bool, goes_on: bool
) -> Iterator[Contents]:
    """Rows marked as parts of the kit above them: set in, with a bullet or in brackets, numbered under it."""
    kit = table.rows[n]
    below = table.rows[n + 1 :]
    signs = _signs(kit, below[0]) if below else frozenset()
    inside: list[PartRow] = []
    for row in below:
        if not (row.part or row.quantity) or (signs and not signs & _signs(kit, row)):
            break
        if not signs and CALLED.search(row.description):
            break
        inside.append(row)
    if not inside or not (opened or signs - {"unnumbered"}):
        return
    doubts = [*why, *(() if signs else (_NO_END,)), *(() if opened else (_UNSAID,))]
    doubts.extend(d for row in inside for d in quantity_doubts(row, table))
    if goes_on and inside[-1] is table.rows[-1]:
        doubts.append(_OVERLEAF)
    box = around([kit.box, *(r.box for r in inside)])
    quote = " / ".join(spoken(r) for r in (kit, *inside))
    yield place.contents(kit.part, [line_of(r, table) for r in inside], box, quote, doubts)


def _signs(kit: PartRow, row: PartRow) -> frozenset[str]:
    """How a row shows that it is part of the kit above it."""
    under = rf"{re.escape(kit.item)}(?:[./-][0-9]{{1,2}}|[./-]?[a-z])" if kit.item else r"(?!)"
    told = {
        "indent": row.indent > kit.indent + 4,
        "bullet": _level(row) > _level(kit),
        "bracket": row.description.startswith("(") or row.quantity.startswith("("),
        "under": re.fullmatch(under, row.item) is not None,
        "unnumbered": bool(kit.item) and not row.item,
    }
    if row.description.startswith(".") and _level(row) <= _level(kit):
        return frozenset()  # dots tell the level of every row, that of the kit too
    return frozenset(sign for sign, shown in told.items() if shown)


def _level(row: PartRow) -> int:
    """How many dots or bullets stand before a description."""
    bullets = BULLET.match(row.description)
    return len(re.sub(r"\s", "", bullets.group())) if bullets else 0


def _sentences(place: Place, tables: Sequence[PartsTable]) -> Iterator[Contents]:
    """ "Overhaul kit 4471-208 consists of items 4, 5 and 9 to 12" above or below a list."""
    if not tables:
        return
    lines = [li for li in place.page.lines if CALLED.search(li.text) or _ITEMS.search(li.text)]
    said = " ".join(li.text for li in lines if not any(_within(li.box, t.box) for t in tables))
    yield from _kits_beside_items(place, tables, lines)
    for found in _NAMES_ITEMS.finditer(said):
        before = re.split(r"[.;:] ", said[max(0, found.start() - 90) : found.start()])[-1]
        items = _ITEMS.search(said, found.start(), found.end() + 160)
        kits = _KIT_NUMBER.findall(before)
        if items and len(kits) == 1 and CALLED.search(before):
            quote = f"{before}{said[found.start() : items.end()]}".strip()
            yield from of_items(place, kits[0], items["list"], tables, lines[0].box, quote)


def _kits_beside_items(
    place: Place, tables: Sequence[PartsTable], lines: Sequence[Line]
) -> Iterator[Contents]:
    """A line outside the lists that sets a kit's number beside items."""
    for line in lines:
        if any(_within(line.box, t.box) for t in tables):
            continue
        before, behind = _KIT_ITEMS.search(line.text), _ITEMS_KIT.search(line.text)
        found = before or behind
        if found is None:
            continue
        told = line.text[before.end() :] if before else found["said"]
        items = _ITEMS.search(_PARTS_LISTED.sub("items ", told))
        if items:
            yield from of_items(place, found["kit"], items["list"], tables, line.box, line.text)


def of_items(
    place: Place, kit: str, listed: str, tables: Sequence[PartsTable], box: Box, quote: str
) -> Iterator[Contents]:
    """A kit told by item numbers of a parts list; doubtful, for its counts are the unit's."""
    rows = {r.item: (r, t) for t in reversed(tables) for r in reversed(t.rows) if r.item}
    wanted = _labels(listed)
    found = [rows[w] for w in wanted if w in rows and key(rows[w][0].part) != key(kit)]
    missing = [w for w in wanted if w not in rows]
    if not found:
        return
    why = [FROM_LIST, *(f"item {w} is not in the parts list on this page" for w in missing)]
    why.extend(d for r, t in found for d in quantity_doubts(r, t))
    said = " / ".join((quote, *(spoken(r) for r, _ in found)))
    yield place.contents(kit, [line_of(r, t) for r, t in found], box, said, why)


def _labels(listed: str) -> list[str]:
    """ "4, 5, 9-12" as its single labels."""
    spread = _RANGE.sub(lambda m: ",".join(str(n) for n in _span(int(m[1]), int(m[2]))), listed)
    return list(dict.fromkeys(re.findall(r"[0-9]{1,3}[a-z]?", spread)))


def _span(first: int, last: int) -> range:
    return range(first, last + 1) if first <= last < first + 60 else range(first, first + 1)


def line_of(row: PartRow, table: PartsTable) -> KitLine:
    """A row as a line of a kit, its quantity as the list gives it."""
    words = BULLET.sub("", row.description).strip(" .()")
    part = row.part if NUMBER.fullmatch(row.part) else None
    return KitLine(part, singular(words), count_of(row.quantity) if table.counted else None)


def quantity_doubts(row: PartRow, table: PartsTable) -> tuple[str, ...]:
    """A reason for doubt where a row's quantity was not read; `AR` is read as "as required"."""
    if not table.counted:
        return ("the list has no one column of quantities",)
    if count_of(row.quantity) is None and not _AS_REQUIRED.fullmatch(row.quantity.strip(" .()")):
        return (f"no quantity was read for {BULLET.sub('', row.description).strip() or row.part}",)
    return ()


def spoken(row: PartRow) -> str:
    """A row's words in one line."""
    cells = (row.item, row.part, row.description, row.quantity, *(text for _, text in row.others))
    return " ".join(c for c in cells if c)


def around(boxes: Sequence[Box]) -> Box:
    """The box around some boxes."""
    x0, top, x1, bottom = zip(*boxes, strict=True)
    return Box(min(x0), min(top), max(x1), max(bottom))


def _within(inner: Box, outer: Box) -> bool:
    middle = (inner.top + inner.bottom) / 2
    return outer.top - 1 <= middle <= outer.bottom + 1 and inner.x0 < outer.x1 and outer.x0 < inner.x1

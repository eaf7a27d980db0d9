"""Statements from tables: old and new numbers, kit lists, corrections by page and step.

What a column holds is told by its head, in the words of the phrase book's `[columns]`; the order of
columns is free.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from benchleaf.graph.keys import key
from benchleaf.graph.model import Box, KitLine
from benchleaf.ingest.head.tongues import tongues, without_accents
from benchleaf.ingest.phrases.cells import count_of, without_ditto
from benchleaf.ingest.phrases.columnsides import leads_on, side_told
from benchleaf.ingest.phrases.contents import Lines, singular
from benchleaf.ingest.phrases.phrasebook import PhraseBook
from benchleaf.ingest.phrases.references import tag
from benchleaf.ingest.phrases.tags import CODE, PART, WEAK
from benchleaf.ingest.shapes import Cell, Table

_WORDS = re.compile(r"[^a-z0-9/#' ]+")
_QTY = re.compile(r"\bq['’` ]?ty\b")
_REFERENCE = re.compile(r"ref(?:erence)?(?: (?:no|nr|number))?")
_PART_HEAD = re.compile(r"(?:[a-z]+ )?parts? (?:no|nr|number|code)s?|p/n|pn")
_KINDS: Mapping[str, tuple[str, ...]] = {
    "supersession": (
        "old",
        "interim",
        "new",
        "remark",
        "description",
        "position",
        "quantity",
        "model",
        "serial",
        "kit",
        "interchange",
        "stock",
        "part",
    ),
    "contents": ("quantity", "quantitywas", "part", "description", "position", "remark", "model", "kit"),
    "override": (
        "publication",
        "page",
        "item",
        "was",
        "now",
        "action",
        "text",
        "remark",
        "position",
        "model",
        "serial",
    ),
}
_CODE_LIKE = r"(?P<part>[A-Z0-9][A-Z0-9./-]*[0-9][A-Z0-9./-]*(?: [0-9]{2,4}){0,3})"
_COUNT_AND_PART = tuple(
    re.compile(form, re.IGNORECASE)
    for form in (
        rf"(?P<count>[0-9]{{1,3}}(?: ?(?:off|pcs\.?|x|×))?) ?[(\[] ?(?:of )?{_CODE_LIKE} ?[)\]]",
        rf"(?P<count>[0-9]{{1,3}})(?: ?(?:off|pcs\.?|x|×))?(?:,| of| ?[x×:/–-]) ?{_CODE_LIKE}",
        rf"{_CODE_LIKE} ?(?:[(\[] ?(?P<count>[0-9]{{1,3}})(?: ?(?:off|pcs\.?|x))? ?[)\]])",
        rf"{_CODE_LIKE} ?(?:[:,x×–] ?|- )(?P<count>[0-9]{{1,3}})(?: ?(?:off|pcs\.?))?",
    )
)
_NAME_AND_PART = tuple(
    re.compile(form)
    for form in (
        rf"(?P<name>[A-Za-z][A-Za-z ,/'-]{{2,60}}?)[ ,:–-]*[(\[]? ?{_CODE_LIKE} ?[)\]]?",
        rf"{_CODE_LIKE}[ ,:–-]+(?P<name>[A-Za-z][A-Za-z ,/'-]{{2,60}})",
    )
)
_LONGEST_CELL = 120  # letters of a cell that is read as a name or count with its number
_NOUN = re.compile(
    r" (?:spare )?(?:(?:parts?|kits?|orders?|ordering|articles?|items?|stock|catalogue|reference"
    r"|component|design"
    r"|version|type|set)\b ?)?"
    r"(?:p/n|pn|nos?|nr|numbers?|ref|code)?$"
)
_COUNTED = re.compile(r"\b(?:qty|quantity|q ty|off|pcs|pieces?|count|amount)\b")
_OLDISH = re.compile(
    r"\b(?:old|previous(?:ly)?|former(?:ly)?|was|before|earlier|existing|superseded|hitherto|original)\b"
)
_NEWISH = re.compile(r"\b(?:new|now|present|revised|current|after|improved|latest)\b")
# A head that names one side of a correction: "Stricter limit", "Printed figure", "Setting in future".
_VALUED = (
    r"(?:values?|figures?|limits?|settings?|texts?|wordings?|readings?|dimensions?|torques?|pressures?|gaps?"
    r"|clearances?|data|amounts?|sizes?|words|measures?|tolerances?)"
)
_FIGURED = re.compile(rf"^the | {_VALUED}$|^{_VALUED} (?=[a-z])")
_WAS_WORDS = frozenset(
    re.split(
        " ",
        "old former earlier existing printed original previous prior wrong incorrect superseded cancelled"
        " outdated hitherto previously formerly before",
    )
)
_NOW_WORDS = frozenset(
    re.split(
        " ",
        "new revised correct corrected amended changed altered future improved right henceforth replacement"
        " updated reduced increased stricter",
    )
)
_SAID = re.compile(
    rf"(?:(?:{_VALUED} )?(?:as )?(?:printed|given|stated|shown)(?: (?:in|by) .{{1,30}}| so far)?"
    rf"|(?:in|as in) (?:the )?(?:manual|handbook|book)|(?:manual|handbook|book)"
    rf" (?:says|reads|gives|has|{_VALUED}))$"
)
_EITHER_SIDE = re.compile(rf"(?:the )?(?:present|current|existing|valid|actual|stated)(?: {_VALUED})?")
# A head that alone tells which way a change goes: "Part no. | Superseded by", "Part no. | Supersedes".
_ONWARD = re.compile(
    r"(?:superseded|replaced|substituted|succeeded) (?:by|with)|replacement|successor|substitute"
    r"|use(?: instead)?|use now"
    r"|order(?: instead)?|superseding|s/s(?: by)?|becomes|supersedes to|in its place|taking its place"
    r"|(?:we )?(?:ship|supply|send)|supplied"
)
_BACKWARD = re.compile(
    r"supersedes|replaces|formerly|previously|previous|ex|in place of|instead of|in lieu of|was|old|former"
)
_DASH = re.compile(r"[-–—./*\s]*")
_NONE = re.compile(r"[-–—./*\s]*|none|nil|no|0", re.IGNORECASE)
_JOINED = re.compile(r" ?(?:[+&,;]|\b(?:and|plus|or)\b) ?")
_BARE = re.compile(r"(?=.{0,12}[0-9])[A-Z0-9][A-Z0-9 ./-]{2,24}")
# "Step | Change": what the cell says is told by its own words.
_STEPS = ("step", "steps", "step no", "step number", "operation", "operation no", "paragraph", "para")
_AS_REQUIRED = re.compile(r"\b(?:as (?:required|necessary|needed)|a/?r)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Columns:
    """A table read by its heads: its kind, the column of each meaning, and its rows below the heads."""

    kind: str
    at: Mapping[str, int]
    rows: tuple[tuple[Cell, ...], ...]

    def cell(self, row: Sequence[Cell], meaning: str) -> str:
        """The text of a row under a meaning; "" where the table has no such column or the cell is blank."""
        place = self.at.get(meaning)
        text = row[place].text.strip() if place is not None and place < len(row) else ""
        return "" if _DASH.fullmatch(text) else text


def columns(book: PhraseBook, table: Table) -> Columns | None:
    """A table's columns by its head row (one of the first three rows, or two of them taken together)."""
    rows = [row for row in table.rows if any(c.text.strip() for c in row)]
    for depth in range(min(3, len(rows))):
        heads = [_head(c.text) for c in rows[depth]]
        joined = (
            [_head(f"{a.text} {b.text}") for a, b in zip(rows[depth], rows[depth + 1], strict=False)]
            if depth + 1 < len(rows)
            else []
        )
        for words, used in ((heads, 1), (joined, 2)):
            found = _kind(book, words)
            if found is not None:
                below = rows[depth + used :]
                again = below and _kind(book, [_head(c.text) for c in below[0]])  # in another language
                return Columns(*found, without_ditto(below[1:] if again else below))
    return None


def head_row(book: PhraseBook, row: Sequence[Cell]) -> bool:
    """True for a head row, which may be repeated in the middle of a table."""
    return _kind(book, [_head(c.text) for c in row]) is not None


def _head(text: str) -> str:
    plain = _QTY.sub("qty", without_accents(text).lower())
    return re.sub(r"\s+", " ", _WORDS.sub(" ", plain)).strip(" .")


def _kind(book: PhraseBook, heads: Sequence[str]) -> tuple[str, Mapping[str, int]] | None:
    """The kind of table that most heads fit, if it has the columns that such a table needs."""
    best: tuple[int, str, Mapping[str, int]] | None = None
    for kind, meanings in _KINDS.items():
        at = _fit(book, heads, meanings)
        if _enough(kind, at, heads) and (best is None or len(at) > best[0]):
            best = (len(at), kind, at)
    return best[1:] if best else None


def _fit(book: PhraseBook, heads: Sequence[str], meanings: Sequence[str]) -> Mapping[str, int]:
    """Each meaning's column. A head that may mean several things ("item") takes what no clearer one does."""
    may = [_meant(book, head, meanings) for head in heads]
    if any(_PART_HEAD.fullmatch(head) for head in heads):
        # Beside part numbers "Ref. no." counts the rows, or the places of a drawing.
        refs = [p for p, head in enumerate(heads) if _REFERENCE.fullmatch(head)]
        may = [["position"] if p in refs and "position" in meanings else m for p, m in enumerate(may)]
    at: dict[str, int] = {}
    left = [place for place, fits in enumerate(may) if fits]
    while left:
        clear = [p for p in left if len([m for m in may[p] if m not in at]) < 2]
        place = clear[0] if clear else left[0]
        left.remove(place)
        meaning = next((m for m in may[place] if m not in at), None)
        if meaning is not None:
            at[meaning] = place
    if "was" in meanings and "now" in meanings:
        return _opposed(heads, at)
    return _directed(heads, at) if "old" in meanings and "new" in meanings else at


def _meant(book: PhraseBook, head: str, meanings: Sequence[str]) -> list[str]:
    """What a head may mean; one in two languages ("neu / new") what both its parts mean."""
    found = [m for m in meanings if head and _means(book, head, m)]
    if found or not head:
        return found
    for parts in tongues(head):
        each = [[m for m in meanings if _means(book, part, m)] for part in parts]
        known = [fits for fits in each if fits]
        sure = known and ("/" in head or len(known) == len(parts))
        if sure and (both := [m for m in known[0] if all(m in fits for fits in known)]):
            return both
    return []


def _opposed(heads: Sequence[str], at: dict[str, int]) -> Mapping[str, int]:
    """ "Present value | New value": a head that alone could be either side is the one that is missing."""
    if ("was" in at) == ("now" in at):
        return at
    free = [p for p, head in enumerate(heads) if p not in at.values() and _EITHER_SIDE.fullmatch(head)]
    return {**at, "now" if "was" in at else "was": free[0]} if len(free) == 1 else at


def _directed(heads: Sequence[str], at: dict[str, int]) -> Mapping[str, int]:
    """ "Part no. | Superseded by": the plain number is the old one; "Part no. | Supersedes": the new one."""
    part = at.pop("part", None)
    if part is None or ("old" in at) == ("new" in at):
        return at
    if "new" in at and (_ONWARD.match(heads[at["new"]]) or leads_on(heads[at["new"]])):
        return {**at, "old": part}
    if "old" in at and _BACKWARD.match(heads[at["old"]]):
        return {**at, "new": part}
    return at


def _means(book: PhraseBook, head: str, meaning: str) -> bool:
    """True if a head is one of a meaning's words; "old", "superseded" and their like may stand before any
    noun for a number ("Previous article no.")."""
    words = {w for name, known in book.columns if name == meaning for w in known}
    if meaning in ("quantity", "quantitywas") and _COUNTED.search(head) and _OLDISH.search(head):
        return meaning == "quantitywas"
    if head in words or (meaning == "quantity" and _COUNTED.search(head) and _NEWISH.search(head)):
        return True
    if meaning in ("was", "now") and _SAID.match(head):
        return meaning == "was"
    if meaning in ("was", "now") and (plain := _FIGURED.sub("", head)) != head:
        return plain in words or (plain in _WAS_WORDS if meaning == "was" else plain in _NOW_WORDS)
    if meaning == side_told(head):
        return True
    return meaning in ("old", "interim", "new") and _NOUN.sub("", head) in words


def _enough(kind: str, at: Mapping[str, int], heads: Sequence[str]) -> bool:
    if kind == "supersession":
        return "old" in at and "new" in at
    if kind == "contents":
        return "quantity" in at and ("description" in at or "part" in at)
    return ("was" in at and "now" in at and ("item" in at or "page" in at)) or (
        "item" in at
        and (
            "text" in at or "now" in at or ("action" in at and ("page" in at or heads[at["item"]] in _STEPS))
        )
    )


def kit_lines(book: PhraseBook, table: Table) -> Lines | None:
    """The lines of a kit list; without a head row, by what the columns hold. None if it is no such list."""
    found = columns(book, table)
    found = _before_and_after(book, table) if found is None or found.kind != "contents" else found
    if found is None:
        return _headless(table) if columns(book, table) is None else None
    found = _with_names(_named(found))
    lines: list[KitLine] = []
    previous: list[KitLine] = []
    for row in found.rows:
        line = _line(found, row, "quantity")
        if line is None:
            if any(c.text.strip() for c in row) and not _dropped(found, row):
                return Lines(tuple(lines), tuple(previous), False)
            gone = _line(found, row, "quantitywas") if "quantitywas" in found.at else None
            previous.extend((gone,) if gone is not None else ())
            continue
        lines.append(line)
        was = _line(found, row, "quantitywas") if "quantitywas" in found.at else None
        if was is not None:
            previous.append(was)
    return Lines(tuple(lines), tuple(previous), bool(lines))


def _named(found: Columns) -> Columns:
    """A column headed "Part" or "Item" that holds names and no numbers is the description."""
    cells = [found.cell(row, "part") for row in found.rows if found.cell(row, "part")]
    if not cells or any(re.search("[0-9]", c) for c in cells):
        return found
    at = {m: i for m, i in found.at.items() if m != "part"}
    named = any(re.search("[A-Za-z]{2}", found.cell(row, "description")) for row in found.rows)
    return Columns(found.kind, at if named else {**at, "description": found.at["part"]}, found.rows)


def _with_names(found: Columns) -> Columns:
    """Numbers and counts without names: the one column of words under a head of its own is the names, as in
    "Part no. | Kit 4471 contains | Qty"."""
    if "description" in found.at or not found.rows:
        return found
    free = [i for i in range(len(found.rows[0])) if i not in found.at.values()]
    worded = [i for i in free if all(i < len(r) and re.search("[A-Za-z]{3}", r[i].text) for r in found.rows)]
    if len(worded) != 1:
        return found
    return Columns(found.kind, {**found.at, "description": worded[0]}, found.rows)


def counted_before_and_now(book: PhraseBook, table: Table) -> bool:
    """True for a table of counts before and now ("4 (310-04) | 5 (310-05)"), however the numbers stand by."""
    return _before_and_after(book, table) is not None


def _before_and_after(book: PhraseBook, table: Table) -> Columns | None:
    """ "description | previously | now": counts before and after instead of one quantity column."""
    rows = [row for row in table.rows if any(c.text.strip() for c in row)]
    if len(rows) < 2:
        return None
    heads = [_head(c.text) for c in rows[0]]
    at = dict(_fit(book, heads, ("part", "description", "position", "was", "now")))
    now, was = at.get("now"), at.get("was")
    if now is None or was is None or not ("description" in at or "part" in at):
        return None
    counts = [row[i].text.strip() for row in rows[1:] for i in (now, was)]
    if any(_counted(c)[0] is None and _NONE.fullmatch(c) is None for c in counts):
        return None
    return Columns("contents", {**at, "quantity": now, "quantitywas": was}, tuple(rows[1:]))


def _line(found: Columns, row: Sequence[Cell], which: str) -> KitLine | None:
    name, part, count = found.cell(row, "description"), found.cell(row, "part"), found.cell(row, which)
    if not (name or part) or not count or (name and not re.search("[A-Za-z]{2}", name)):
        return None
    number, own = _counted(count)
    if number is None and not _AS_REQUIRED.search(count):
        return None
    if not part and not own:
        name, own = _numbered_name(name)
    elif own:
        name = _numbered_name(name)[0]
    return KitLine(own or part or None, singular(name) if name else "", number)


def _counted(cell: str) -> tuple[int | None, str]:
    """The count in a cell and the part number beside it: "8 (310-04)", "8 of 310-04", "310-04: 8"."""
    if count_of(cell) is not None:
        return count_of(cell), ""
    if len(cell) > _LONGEST_CELL:
        return None, ""
    for form in _COUNT_AND_PART:
        found = form.fullmatch(cell.strip(" ."))
        part = number_of(found["part"]) if found else None
        if found and part and len(key(part)) > 3 and count_of(found["count"]) is not None:
            return count_of(found["count"]), part
    return None, ""


def _numbered_name(name: str) -> tuple[str, str]:
    """A name with its part number behind or before it, parted: "Seal ring 310-04"."""
    if len(name) > _LONGEST_CELL:
        return name, ""
    for form in _NAME_AND_PART:
        found = form.fullmatch(name.strip())
        part = number_of(found["part"]) if found else None
        if found and part and len(key(part)) > 4 and not re.search(r"[0-9]", found["name"]):
            return found["name"].strip(" ,:-–("), part
    return name, ""


def _dropped(found: Columns, row: Sequence[Cell]) -> bool:
    """True for a thing that was in the kit and is there no more: a count before, none now."""
    counted = "quantitywas" in found.at and count_of(found.cell(row, "quantitywas")) is not None
    return counted and _NONE.fullmatch(row[found.at["quantity"]].text.strip()) is not None


def _headless(table: Table) -> Lines | None:
    """Columns of counts, numbers and words without heads: the counts and words must be plain in every row."""
    rows = [row for row in table.rows if any(c.text.strip() for c in row)]
    if not rows or len(rows[0]) < 2:
        return None
    width = range(len(rows[0]))
    counts = [i for i in width if all(count_of(r[i].text) is not None for r in rows)]
    parts = [i for i in width if all(number_of(r[i].text) for r in rows) and i not in counts]
    names = [
        i
        for i in width
        if i not in counts and i not in parts and all(re.search("[A-Za-z]{3}", r[i].text) for r in rows)
    ]
    if len(names) != 1 or not counts:
        return None
    if len(counts) > 1 and [count_of(r[counts[0]].text) for r in rows] == list(range(1, len(rows) + 1)):
        counts = counts[1:]
    if len(counts) != 1:
        return None
    lines = tuple(
        KitLine(
            r[parts[0]].text.strip() if parts else None,
            singular(r[names[0]].text),
            count_of(r[counts[0]].text),
        )
        for r in rows
    )
    return Lines(lines, (), True)


def number_of(text: str) -> str | None:
    """The one part number that a cell holds and nothing else; None otherwise."""
    numbers = numbers_of(text)
    return numbers[0] if len(numbers) == 1 else None


def numbers_of(text: str) -> tuple[str, ...]:
    """The part numbers in a cell, in order. A cell that is nothing but a code or an integer is a number."""
    plain = text.strip()
    parts = [_numbers_of(part) for part in _JOINED.split(plain)]
    if len(parts) > 1 and all(len(p) == 1 for p in parts):
        return tuple(dict.fromkeys(n for p in parts for n in p))
    found = _numbers_of(plain)
    left = _JOINED.split(plain) if len(parts) > 1 else []
    unread = any(not p and re.search("[0-9]{3}", one) for p, one in zip(parts, left, strict=False))
    return () if unread else found


def _numbers_of(plain: str) -> tuple[str, ...]:
    plain = plain.strip()
    if re.fullmatch(r"[0-9]{3,12}", plain):
        return (plain,)
    tagged = tag(plain)
    found = [t.text for _, t in sorted(tagged.tags.items()) if t.kind in (PART, CODE, WEAK)]
    if not tagged.tags and _BARE.fullmatch(plain):
        return (plain,)
    return tuple(n for n in found if len(key(n)) >= 3)


def row_box(row: Sequence[Cell]) -> Box:
    """The box around a row's cells."""
    return Box(
        min(c.box.x0 for c in row),
        min(c.box.top for c in row),
        max(c.box.x1 for c in row),
        max(c.box.bottom for c in row),
    )

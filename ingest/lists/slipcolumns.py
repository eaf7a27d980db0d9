"""The columns of a packing slip: which of them says what came, in any order and in suppliers' wordings."""

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

Row = Sequence[str]

# What suppliers head these columns with (from memory, common practice).
_PART = re.compile(
    r"\b(?:part|stock|article|material|mat|cat(?:alogue)?|product|spare)s?\.?[\s/-]{0,2}"
    r"(?:no|number|nr|num|code|#|id)(?!\w)|\bp/?n\b|\bp/no\b|^(?:part|sku|article|mpn)$"
    r"|\b(?:teile|artikel|sach|material|ersatzteil)[\s-]?(?:nr|nummer|no)\b|\bc[óo]d(?:igo|ice)?\b"
    r"|\br[ée]f(?:[ée]rence)?\b(?!.{0,20}(?:your|our|order|cust))",
    re.I,
)
_PART_WEAK = re.compile(
    r"\b(?:item|order|bestell|id)\.?[\s-]{0,2}(?:no|number|nr|num|nummer|code|#)"
    r"|^(?:item|code|number|no\.?|nr\.?)$",
    re.I,
)
_DESCRIPTION = re.compile(
    r"\b(?:description|descr?|designation|name|denomination|title|text|details?|bezeichnung|benennung|beschreibung"
    r"|d[ée]signation|descrizione|descripci[óo]n|denominaci[óo]n)\b",
    re.I,
)
_CAME = re.compile(
    r"\b(?:shipped|ship(?:ped)? qty|delivered|supplied|received|packed|despatched|dispatched|sent"
    r"|this delivery|this shipment|geliefert|liefermenge|livr[ée]e?s?|exp[ée]di[ée]e?s?|consegnat[oi]"
    r"|spedit[oi]|entregad[oa]s?)\b",
    re.I,
)
_COUNTED = re.compile(
    r"\b(?:qty|qnty|quantity|quantities|quant|pcs|pieces|pces|off|count|menge|anzahl|st[üu]ck|stk|qt[ée]"
    r"|quantit[ée]|nombre|qt[àa]|quantit[àa]|pezzi|cantidad|cant|piezas"
    r"|units? (?:shipped|delivered|packed))\b",
    re.I,
)
_NOT_COME = re.compile(
    r"\b(?:order(?:ed)?|req(?:uired|uested|'d)?|back[ -]?order(?:ed)?|b/?o|outstanding|to follow|due|price"
    r"|unit|cost|value|weight|date|via|open|balance|previous(?:ly)?|earlier|to date|remaining|stock"
    r"|bestellt|bestellmenge|offen"
    r"|r[üu]ckstand|command[ée]e?s?|reste|ordinat[oi]|pedid[oa]|pendiente|preis|prix|per|pro)\b",
    re.I,
)
_PACKS = re.compile(r"\b(?:packs?|packets?|pkts?|packages?|pkgs?|boxes|cartons?|bags?)\b", re.I)
_PACK_SIZE = re.compile(
    r"\b(?:pack(?:age|et)?|pkt|pkg|box|carton|bag)\.? ?(?:size|qty|quantity|content|unit)s?\b"
    r"|\b(?:per|pcs|pieces|qty) ?(?:/|per|in)? ?(?:pack|packet|pkt|box|carton|bag)\b"
    r"|\bpack of\b|^(?:pack|vpe)$",
    re.I,
)
_UNIT = re.compile(r"^(?:u/?o?/?m|um|unit(?: of (?:measure|issue))?|units|einheit|me|unit[ée]|u/i)$", re.I)
_KIT = re.compile(r"^(?:kit|set)(?:\s{0,2}(?:no|number|nr|num)\.?)?$", re.I)
_POSITION = re.compile(
    r"^(?:pos(?:ition)?|line(?: (?:no|item))?|ln|seq|lfd\.? ?nr|item|item (?:no|number)|no|nr|#)\.?$", re.I
)
_WORDS = re.compile(r"[^\W\d_]{3,30}")


@dataclass(frozen=True, slots=True)
class Columns:
    """The places of a table's columns; None for one that it has not. `packs` is true if packs are counted."""

    quantity: int
    part: int | None
    description: int | None
    kit: int | None
    size: int | None = None
    unit: int | None = None
    packs: bool = False


def columns_of(row: Row, below: Sequence[Row] = ()) -> Columns | None:
    """The columns that a heading row names; None if this is no heading row. `below` are the rows under it."""
    heads = [" ".join(cell.split())[:60] for cell in row]
    kit = _first(heads, _KIT, ())
    size = _first(heads, _PACK_SIZE, (kit,))
    unit = _first(heads, _UNIT, (kit, size))
    description = _first(heads, _DESCRIPTION, (kit, size, unit))
    quantity = _quantity(heads, (kit, size, unit, description))
    part = _part(heads, below, (kit, size, unit, description, quantity))
    if description is None:
        description = _item(heads, below, (kit, size, unit, quantity, part))
    if quantity is None or (part is None and description is None):
        return None
    packs = _PACKS.search(heads[quantity]) is not None
    return Columns(quantity, part, description, kit, size, unit, packs)


def _quantity(heads: Sequence[str], taken: Collection[int | None]) -> int | None:
    free = [i for i in range(len(heads)) if i not in taken and not _NOT_COME.search(heads[i])]
    for pattern in (_CAME, _COUNTED, _PACKS):
        found = next((i for i in free if pattern.search(heads[i])), None)
        if found is not None:
            return found
    return None


def _part(heads: Sequence[str], below: Sequence[Row], taken: Collection[int | None]) -> int | None:
    """The column of part numbers: by a sure heading, else by one that may also head running numbers."""
    sure = _first(heads, _PART, taken)
    if sure is not None:
        return sure
    for at, head in enumerate(heads):
        if at not in taken and _PART_WEAK.search(head) and not (_runs(below, at) or _wordy(below, at)):
            return at
    return None


def _item(heads: Sequence[str], below: Sequence[Row], taken: Collection[int | None]) -> int | None:
    """A column headed `Item` that holds words."""
    return next(
        (i for i, h in enumerate(heads) if i not in taken and _POSITION.match(h) and _wordy(below, i)), None
    )


def _values(below: Sequence[Row], at: int) -> list[str]:
    return [row[at].strip() for row in below[:50] if at < len(row) and row[at].strip()]


def _runs(below: Sequence[Row], at: int) -> bool:
    """True for a column that counts the lines: 1, 2, 3 or 10, 20, 30."""
    found = [v.rstrip(".") for v in _values(below, at)]
    counted = [int(v) for v in found if v.isdecimal() and len(v) < 6]
    if len(counted) < len(found) or not counted:
        return False
    step = counted[0]
    return step in (1, 10, 100) and counted == [step * (i + 1) for i in range(len(counted))]


def _wordy(below: Sequence[Row], at: int) -> bool:
    """True for a column whose cells are mostly words without figures."""
    found = _values(below, at)
    words = sum(_WORDS.search(v) is not None and not any(c.isdigit() for c in v) for v in found)
    return bool(found) and 2 * words > len(found)


def _first(heads: Sequence[str], pattern: "re.Pattern[str]", taken: Collection[int | None]) -> int | None:
    return next((i for i, head in enumerate(heads) if i not in taken and pattern.search(head)), None)


def joined_heads(row: Row, below: Row) -> Row | None:
    """A heading of two rows as one: `Quantity` over `ordered` and `shipped`. None if the second is none."""
    told = [cell for cell in below if cell.strip()]
    if not told or any(cell.strip().isdecimal() for cell in below):
        return None
    if not any(_CAME.search(cell) for cell in told) or any(len(cell.split()) > 4 for cell in told):
        return None
    found: list[str] = []
    carried = ""
    for at in range(max(len(row), len(below))):
        above, under = (r[at].strip() if at < len(r) else "" for r in (row, below))
        carried = above or (carried if under else "")
        found.append(f"{carried} {under}".strip())
    return found

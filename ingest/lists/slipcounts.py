"""How many pieces a line of a packing slip counts: its quantity, its unit, the size of its packs."""

import re

from benchleaf.graph.kits.packing import Count, Packing, packing_of, pieces, unit_size
from benchleaf.ingest.lists.slipcolumns import Columns, Row

_PIECES = r"(?:pcs?\.?|pces?\.?|pieces?|ea\.?|each|off|nos?\.?|stk?\.?|stück|pz\.?|pzas?\.?|pi[eè]ces?)"
_COUNT = re.compile(rf"([0-9]{{1,5}})(?:[.,]0{{1,2}})?\s{{0,2}}{_PIECES}?", re.I)
_TIMES = re.compile(
    r"([0-9]{1,4})\s{0,2}(?:(?:packs?|packets?|pkts?|pks?|boxes|box|bags?|cartons?)\s{0,2}(?:[x×*]|of|à|@)|[x×*])"
    rf"\s{{0,2}}([0-9]{{1,4}})\s{{0,2}}{_PIECES}?",
    re.I,
)
_WITH_UNIT = re.compile(r"([0-9]{1,5})\s{0,2}([^\W\d][\w/]{0,11}(?:\s?(?:of\s|/)?\s?[0-9]{1,4})?)\.?")
_NO_PIECES = re.compile(
    r"(?:mm|cm|m|mtr?s?|kg|g|l|ltrs?|litres?|ml|ft|in|roll|rolls|tin|tins|tube|tubes)\.?", re.I
)


def counted(row: Row, columns: Columns) -> tuple[Count, str] | None:
    """The pieces that a row counts and its description without the packing; None if it has no quantity.

    `2 x 10` is twenty pieces, and two pairs are four. A pack whose size is not said, or a size beside a count
    of what may be packs or pieces, gives a count without pieces and says why.
    """
    text, words = cell(row, columns.quantity), cell(row, columns.description)
    if (times := _TIMES.fullmatch(text)) is not None:
        total = int(times[1]) * int(times[2])
        return Count(total, f"{text} = {total}"), words
    number, unit = _number(text)
    if number is None:
        return None
    in_column = cell(row, columns.unit)
    if unit and in_column and unit_size(unit) != unit_size(in_column):
        return Count(None, f"{text} under the unit {in_column} is not clear"), words
    return _in_pieces(number, unit or in_column, cell(row, columns.size), words, columns)


def _number(text: str) -> tuple[int | None, str]:
    """The figure of a quantity, and the unit that stands behind it: `6 PR`."""
    if (plain := _COUNT.fullmatch(text)) is not None:
        return int(plain[1]), ""
    if (match := _WITH_UNIT.fullmatch(text)) is not None:
        known = unit_size(match[2]) is not None or _is_holder(match[2]) or _NO_PIECES.fullmatch(match[2])
        return (int(match[1]), match[2]) if known else (None, "")
    return None, ""


def _is_holder(unit: str) -> bool:
    holders = r"(?:packs?|packets?|pkts?|pks?|pkgs?|boxe?s?|bags?|cartons?|ctns?|sets?|kits?)"
    return re.fullmatch(holders, unit, re.I) is not None


def _in_pieces(number: int, unit: str, size: str, words: str, columns: Columns) -> tuple[Count, str]:
    each, packing = unit_size(unit), packing_of(words)
    of_size = _COUNT.fullmatch(size)
    packs = columns.packs or (bool(unit) and each is None and _is_holder(unit))
    if packs:
        of = int(of_size[1]) if of_size is not None else packing.size if packing.size != 1 else each
        if columns.packs and not of_size and each == 1 and packing.size == 1:
            of = None
        return _packs(number, unit or "pack", of), packing.name
    if each is None:
        return Count(None, f"{number} {unit}: how many pieces that is is not said"), words
    if size and (of_size is None or int(of_size[1]) not in (1, each)):
        return Count(None, f"{number} beside a pack size of {size} may count pieces or packs"), words
    if each != 1:
        return _by_unit(number, unit, each, packing, words)
    if packing.each:
        return Count(None, f"{number} {packing.each}: how many came in all is not said"), words
    count = pieces(number, packing)
    return count, packing.name if packing.size != 1 else words


def _packs(number: int, unit: str, size: int | None) -> Count:
    if size is None:
        return Count(None, f"{number} {unit}: how many pieces are in one is not said")
    return Count(number * size, f"{number} × {size} = {number * size}")


def _by_unit(number: int, unit: str, each: int, packing: Packing, words: str) -> tuple[Count, str]:
    """Pairs, dozens and packs of a known size; the name may say the same once more, and nothing else."""
    if packing.size not in (1, each):
        return Count(None, f"{number} {unit} of “{words}” is not clear"), words
    return Count(number * each, f"{number} {unit} = {number * each}"), packing.name


def cell(row: Row, place: int | None) -> str:
    """A cell's text with single blanks; "" where the row has none."""
    return " ".join(row[place].split()) if place is not None and place < len(row) else ""

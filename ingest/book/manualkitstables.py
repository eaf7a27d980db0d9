"""Contents of kits from tables of kits: a kit's number and its contents in one row, or a group of rows a
kit."""

import re
from collections.abc import Iterator, Sequence

from benchleaf.graph.model import Contents, KitLine
from benchleaf.ingest.book.manualkitslists import NUMBER, Place, around
from benchleaf.ingest.phrases.cells import count_of
from benchleaf.ingest.phrases.contents import read_lines, singular
from benchleaf.ingest.phrases.references import tag
from benchleaf.ingest.shapes import Cell, Table

_KIT = re.compile(r"\b(?:kit|set)s?\b(?! (?:contents|contains))", re.IGNORECASE)
_CONTENTS = re.compile(
    r"\b(?:contents?|contains|consist(?:s|ing) of|compris(?:es|ing)|composition|parts contained|scope of"
    r" (?:supply|delivery)|parts)\b",
    re.IGNORECASE,
)
_PART = re.compile(
    r"\b(?:part|item|order|stock|article)s?\b\.? ?(?:no|number|nr)?\b|\bp/?n\b|\bnumber of part\b",
    re.IGNORECASE,
)
REQUIRED = re.compile(r"a/?r\.?|as (?:req(?:uired|'d|d)?|necessary|needed)\.?", re.IGNORECASE)
_NAME = re.compile(r"\b(?:description|designation|name|component)\b", re.IGNORECASE)
_COUNT = re.compile(r"\b(?:qty|quantity|off|pcs|pieces|number)\b", re.IGNORECASE)
# What stands under a kit's number: its name, in brackets or without any figure.
_NAMED = re.compile(r"[^0-9]{1,40}|\(.{1,40}|[^(]{1,40}\)")
_BRACKETED = re.compile(r"^[(a-z]|\)$")
_UNREAD = "not every word of the list was understood"


def kit_tables(place: Place) -> Iterator[Contents]:
    """The tables of kits on a sheet."""
    for table in place.page.tables:
        for at, row in enumerate(table.rows[:3]):
            heads = [c.text for c in row]
            kit = next((i for i, h in enumerate(heads) if _KIT.search(h) and len(h) < 40), None)
            if kit is None:
                continue
            told = next(
                (i for i, h in enumerate(heads) if i != kit and _CONTENTS.search(h) and not _PART.search(h)),
                None,
            )
            if told is not None and kit == 0 and _single_parts(table, at, told):
                yield from _grouped(place, table, at, heads, told, _counts(heads, told))
            elif told is not None:
                yield from _described(place, table, at, kit, told)
            elif kit == 0:
                name = next((i for i, h in enumerate(heads) if i and _NAME.search(h)), None)
                yield from _grouped(place, table, at, heads, name, _counts(heads, name))
            break


def _counts(heads: Sequence[str], name: int | None) -> list[int]:
    """The columns of quantities."""
    return [i for i, h in enumerate(heads) if i and i != name and _COUNT.search(h) and not _PART.search(h)]


def _single_parts(table: Table, at: int, told: int) -> bool:
    """True where a column of contents names one part a row: another column counts them, and no cell of it
    counts parts itself."""
    if len(_counts([c.text for c in table.rows[at]], told)) != 1:
        return False
    said = [tag(row[told].text) for row in table.rows[at + 1 :]]
    return not any(read_lines(words, 0, len(words.folded)).lines for words in said)


def _described(place: Place, table: Table, at: int, kit: int, told: int) -> Iterator[Contents]:
    """ "Kit no. | Contents": a row whose kit cell is blank goes on with the row above."""
    for number, rows, doubts in _groups(table.rows[at + 1 :], kit):
        said = " ".join(r[told].text for r in rows if r[told].text.strip())
        tagged = tag(said)
        lines = read_lines(tagged, 0, len(tagged.folded))
        if lines.lines:
            why = (*doubts, *lines.why, *(() if lines.whole else (_UNREAD,)))
            box = around([c.box for r in rows for c in r])
            yield place.contents(number, lines.lines, box, " / ".join(_spoken(r) for r in rows), why)


def _grouped(
    place: Place, table: Table, at: int, heads: Sequence[str], name: int | None, counts: Sequence[int]
) -> Iterator[Contents]:
    """ "Kit no. | Part no. | Description | Qty": the kit's number on the first row of its group."""
    part = next(
        (i for i, h in enumerate(heads) if i and i != name and i not in counts and _PART.search(h)), None
    )
    if name is None or len(counts) != 1 or not table.rows[at + 1 :] or not table.rows[at + 1][0].text.strip():
        return
    for number, rows, doubts in _groups(table.rows[at + 1 :], 0):
        lines = [_line(r, part, name, counts[0]) for r in rows]
        lines = [line for line in lines if line.description]
        why = [
            f"no quantity was read for {line.description}"
            for line, r in zip(lines, [r for r in rows if r[name].text.strip(" .")], strict=False)
            if line.quantity is None and not REQUIRED.fullmatch(r[counts[0]].text.strip(" .()"))
        ]
        if lines:
            box = around([c.box for r in rows for c in r])
            yield place.contents(number, lines, box, " / ".join(_spoken(r) for r in rows), (*doubts, *why))


def _line(row: Sequence[Cell], part: int | None, name: int, count: int) -> KitLine:
    number = row[part].text.strip() if part is not None else ""
    return KitLine(
        number if NUMBER.fullmatch(number) else None,
        singular(row[name].text.strip(" .")),
        count_of(row[count].text),
    )


def _groups(
    rows: Sequence[tuple[Cell, ...]], kit: int
) -> list[tuple[str, list[tuple[Cell, ...]], tuple[str, ...]]]:
    """Rows by the kit whose number stands in the first of them, or in each, its name perhaps below it; with a
    doubt where the list goes on in a way that is not known."""
    found: list[tuple[str, list[tuple[Cell, ...]], tuple[str, ...]]] = []
    for row in rows:
        number = row[kit].text.strip(" *")
        listed = any(c.text.strip() for i, c in enumerate(row) if i != kit)
        named = listed and _NAMED.fullmatch(number)
        if found and (number in ("", found[-1][0]) or named):
            found[-1][1].append(row)
            if named and not _BRACKETED.search(number):  # it may be another kit's
                found[-1] = (*found[-1][:2], (_UNREAD,))
        elif NUMBER.fullmatch(number):
            found.append((number, [row], ()))
        elif number:
            if found and listed:
                found[-1] = (*found[-1][:2], (_UNREAD,))
            break
    return found


def _spoken(row: Sequence[Cell]) -> str:
    return " ".join(c.text for c in row if c.text)

"""Kit contents from tables: one kit under its heading, kits side by side, a kit a row."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from benchleaf.graph.keys import key
from benchleaf.graph.model import Contents, KitLine, Statement, Supersession
from benchleaf.ingest.phrases.cells import count_of
from benchleaf.ingest.phrases.contents import Lines, singular
from benchleaf.ingest.phrases.kitheadings import kit_heading
from benchleaf.ingest.phrases.kitrest import kit_for_unit
from benchleaf.ingest.phrases.labels import kit_label
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.references import tag
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.tabular import kit_lines, number_of
from benchleaf.ingest.phrases.tags import CODE, PART, Tag
from benchleaf.ingest.shapes import Cell, Table

Common = Callable[[Sequence[str]], dict[str, Any]]

_KIT_TALK = re.compile(
    r"\b(?:kits?|sets?|contents?|contains?|consists?|comprises?|scope of (?:supply|delivery)"
    r"|(?:find|found|packed) (?:in|inside)|in(?:side)? (?:the|each|every) (?:box|bag|carton|packet))\b",
    re.I,
)
_BLANK = re.compile(r"[-–—./*\s]*|nil|none|0")
_AS_REQUIRED = re.compile(r"as (?:required|necessary|needed)|a/?r", re.IGNORECASE)
_NEW_KIT = re.compile(
    r"\bnew (?:[a-z]+ )?(?:kit|set) (?:now )?(?:contains|consists|comprises|includes|holds|is made up)"
    r"|\bcontents? of the new (?:[a-z]+ )?(?:kit|set)\b",
    re.IGNORECASE,
)
_KIT_HEAD = re.compile(r"\b(?:kit|set|contents? of)\b", re.IGNORECASE)


def read_kit(reader: Reader, block: int, table: Table, common: Common) -> list[Statement]:
    """The contents that a table lists; none if it is no kit list or no kit is named for it."""
    beside = _side_by_side(reader, table, common) or _row_by_row(table, common)
    if beside:
        return beside
    lines, caption = _listed(reader, table)
    if lines is None or not lines.lines:
        return []
    headed = None if caption else kit_heading(reader, block)
    kit, doubts = headed or _kit_of(reader, block, caption or _heading(table), bool(lines.previous))
    if kit is None:
        return []
    if not lines.whole:
        doubts = (*doubts, "not every row of the list was understood")
    if block and isinstance(reader.body.blocks[block - 1], Table):
        doubts = (*doubts, "the list seems to go on from the table above it")
    made = _contents(reader, block, table, common(doubts), kit, lines)
    return [made]


def _contents(
    reader: Reader, block: int, table: Table, common: dict[str, Any], kit: str, lines: Lines
) -> Contents:
    above = reader.body.blocks[block - 1] if block else None
    said = f"{above.tagged.text} " if isinstance(above, Passage) else ""
    quote = f"{said}{' / '.join(' '.join(c.text for c in r) for r in table.rows)}"
    source = replace(common["source"], box=table.box)
    return Contents(
        **{**common, "quote": quote, "source": source}, kit=kit, lines=lines.lines, previous=lines.previous
    )


def _listed(reader: Reader, table: Table) -> tuple[Lines | None, str]:
    """The lines of a kit list, and the words of a first row that stands over all columns."""
    first = [c.text.strip() for c in table.rows[0] if c.text.strip()] if table.rows else []
    if len(first) == 1 and len(table.rows) > 2:
        below = replace(table, rows=table.rows[1:])
        lines = kit_lines(reader.book, below)
        if lines is not None and lines.lines:
            return lines, first[0]
    return kit_lines(reader.book, table), ""


def _heading(table: Table) -> str:
    """The heading over the names of parts where it names a kit by number: "P/N | Kit 4471 contains | Qty".
    Over counts it may be one kit of several."""
    heads = [c.text for c in table.rows[0]] if table.rows else []
    named = [i for i, h in enumerate(heads) if _number_in(h) is not None]
    if len(named) != 1 or not _KIT_HEAD.search(heads[named[0]]):
        return ""
    below = [row[named[0]].text for row in table.rows[1:] if len(row) == len(heads)]
    return heads[named[0]] if below and all(re.search("[A-Za-z]{3}", text) for text in below) else ""


def _numbers(tags: Sequence[Tag]) -> dict[str, str]:
    return {key(t.text): t.text for t in tags if t.kind in (PART, CODE)}


def _kit_of(reader: Reader, block: int, caption: str, compared: bool) -> tuple[str | None, tuple[str, ...]]:
    """The kit that a list is of, and why that is not sure: by its caption, the words above, the subject."""
    named = _numbers(tuple(tag(caption).tags.values()))
    if len(named) == 1:
        return next(iter(named.values())), ()
    at = block - 1
    while at >= 0 and isinstance(reader.body.blocks[at], Table):
        at -= 1
    above = reader.body.blocks[at] if at >= 0 else None
    if isinstance(above, Passage):
        tags = tuple(t for _, t in sorted(above.tagged.tags.items()))
        if _numbers(tags) and _KIT_TALK.search(above.tagged.text):
            return _above(reader, above, tags, compared)
    return _elsewhere(reader, block)


def _above(
    reader: Reader, above: Passage, tags: Sequence[Tag], compared: bool
) -> tuple[str | None, tuple[str, ...]]:
    kits = list(_numbers(tags).values())
    last: Sentence = above.sentences[-1]
    leading = _numbers([t for p, t in above.tagged.inside(*last) if kit_for_unit(above, p) is None])
    if len(kits) == 1 or len(leading) == 1:
        return (kits[0] if len(kits) == 1 else next(iter(leading.values()))), ()
    newest = _newest(reader, kits)
    if newest is not None and (compared or _NEW_KIT.search(above.folded[last.start : last.end])):
        return newest, ()
    return kits[-1], (f"that the list is of {kits[-1]} is a guess: several numbers stand above it",)


def _newest(reader: Reader, kits: Sequence[str]) -> str | None:
    """The one of some kits that a settled change of the note leads to."""
    keys = {key(k) for k in kits}
    found = [
        s.new[0]
        for s in reader.statements
        if isinstance(s, Supersession)
        and s.standing == "settled"
        and len(s.old) == len(s.new) == 1
        and {key(s.old[0]), key(s.new[0])} == keys
    ]
    return found[0] if len(found) == 1 else None


def _elsewhere(reader: Reader, block: int) -> tuple[str | None, tuple[str, ...]]:
    """The one kit of the whole note, where subject and body name no other above the list."""
    passages = [b for b in reader.body.blocks[:block] if isinstance(b, Passage)]
    if reader.body.subject is not None:
        passages.insert(0, reader.body.subject)
    tags = [t for p in passages for _, t in sorted(p.tagged.tags.items())]
    kits = _numbers([t for t in tags if kit_label(t)])
    headed = reader.header.applies.kits
    if not kits and len(headed) == 1 and not _numbers(tags):
        return headed[0], ()
    if len(kits) != 1:
        return None, ()
    kit = next(iter(kits.values()))
    near = passages[-1] if passages else None
    talks = near is not None and _KIT_TALK.search(near.tagged.text)
    others = len(_numbers(tags)) > 1
    return kit, () if talks and not others else (
        f"that the list is of {kit} is a guess: it stands further above",
    )


def _side_by_side(reader: Reader, table: Table, common: Common) -> list[Statement]:
    """ "description | kit A | kit B": the newer one with what the older one held, or each for itself."""
    rows = _filled(table)
    heads = [_number_in(c.text) for c in rows[0]] if rows else []
    kits = {i: n for i, n in enumerate(heads) if n is not None}
    name = next((i for i in range(len(heads)) if i not in kits), None)
    if (
        len(kits) < 2
        or name is None
        or len(rows) < 2
        or not _KIT_HEAD.search(" ".join(c.text for c in rows[0]))
    ):
        return []
    if not all(_counts(row[i].text) for row in rows[1:] for i in kits):
        return []
    lists = {
        i: tuple(_line(row[name].text, row[i].text) for row in rows[1:] if _some(row[i].text)) for i in kits
    }
    if not all(line.description for found in lists.values() for line in found):
        return []
    newest = _newest(reader, list(kits.values())) if len(kits) == 2 else None
    if newest is None:
        return [_made(common, table, kits[i], lists[i], ()) for i in kits]
    new = next(i for i in kits if kits[i] == newest or key(kits[i]) == key(newest))
    old = next(i for i in kits if i != new)
    return [_made(common, table, kits[new], lists[new], lists[old])]


def _row_by_row(table: Table, common: Common) -> list[Statement]:
    """ "kit no. | friction plate | steel plate": a kit a row."""
    rows = _filled(table)
    if len(rows) < 2 or len(rows[0]) < 3 or not _KIT_HEAD.search(rows[0][0].text):
        return []
    names = [c.text.strip() for c in rows[0][1:]]
    if not all(re.search("[A-Za-z]{3}", n) and not _KIT_HEAD.search(n) for n in names):
        return []
    made: list[Statement] = []
    for row in rows[1:]:
        kit = number_of(row[0].text)
        if kit is None or not all(_counts(c.text) for c in row[1:]):
            return []
        lines = tuple(_line(n, c.text) for n, c in zip(names, row[1:], strict=True) if _some(c.text))
        made.append(_made(common, table, kit, lines, ()))
    return made


def _made(
    common: Common, table: Table, kit: str, lines: tuple[KitLine, ...], previous: tuple[KitLine, ...]
) -> Contents:
    told: Mapping[str, Any] = common(())
    quote = " / ".join(" ".join(c.text for c in r) for r in table.rows)
    source = replace(told["source"], box=table.box)
    return Contents(**{**told, "quote": quote, "source": source}, kit=kit, lines=lines, previous=previous)


def _filled(table: Table) -> list[tuple[Cell, ...]]:
    rows = [row for row in table.rows if any(c.text.strip() for c in row)]
    return rows if len({len(row) for row in rows}) == 1 else []


def _number_in(text: str) -> str | None:
    """The one part number that a cell holds, a word for a kit or the like beside it."""
    found = [t.text for t in tag(text).tags.values() if t.kind in (PART, CODE)]
    return found[0] if len(found) == 1 else None


def _counts(text: str) -> bool:
    return (
        not _some(text) or count_of(text) is not None or _AS_REQUIRED.fullmatch(text.strip(" .")) is not None
    )


def _some(text: str) -> bool:
    return _BLANK.fullmatch(text.strip().lower()) is None


def _line(name: str, count: str) -> KitLine:
    return KitLine(None, singular(name), count_of(count))

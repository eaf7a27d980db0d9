"""Statements from a table's rows: each row is one, its place the row's box."""

import itertools
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, cast

from benchleaf.graph.keys import key
from benchleaf.graph.model import (
    Finding,
    Interchange,
    Override,
    Relation,
    Source,
    Statement,
    Stock,
    Supersession,
    Target,
    Withdrawn,
)
from benchleaf.ingest.head.serials import statement_applies
from benchleaf.ingest.phrases.cells import halved, interchange_of, stock_of, without_ditto
from benchleaf.ingest.phrases.correctioncells import corrections
from benchleaf.ingest.phrases.guards import DOUBT, REFUSE, VOID, Trip, trips, worst
from benchleaf.ingest.phrases.judging import holds_for
from benchleaf.ingest.phrases.kittables import read_kit
from benchleaf.ingest.phrases.pairtables import paired
from benchleaf.ingest.phrases.passages import Passage, references
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.references import Reference, completed, labels_of, read_reference, tag
from benchleaf.ingest.phrases.rowruns import carried_on
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.supersessions import relation_of
from benchleaf.ingest.phrases.tabular import (
    Columns,
    columns,
    counted_before_and_now,
    head_row,
    numbers_of,
    row_box,
)
from benchleaf.ingest.phrases.tags import CODE, PART, WEAK
from benchleaf.ingest.shapes import Cell, Table

_NOTHING = re.compile(
    r"\b(?:no replacement|not replaced|without replacement|no substitute|no successor|deleted"
    r"|none|discontinued)\b",
    re.I,
)
# "4-12, item 3"
_PAGE_ITEM = re.compile(
    r"(?:pages?|pg|p)?\.? ?(?P<page>[0-9A-Z]{1,4}(?:[-–.][0-9A-Z]{1,4}){0,2}) ?[,;/:]? ?"
    r"(?:items?|steps?|op(?:eration)?s?|para(?:graph)?s?|points?|nos?)\.? ?(?P<item>[0-9]{1,3}[a-z]?"
    r"|[a-z])\.?",
    re.IGNORECASE,
)
_LEADS_IN = re.compile(
    r"\b(?:following|as follows|below|as (?:listed|shown|tabulated|set out)|in the table)\b|:\s*$",
    re.IGNORECASE,
)
# "The following are not held any longer": the old numbers are gone, nothing is denied.
# And "the number of the kit does not change, but its contents do": that says what changes.
_GONE = re.compile(
    r"\b(?:not|no) (?:[a-z]{2,12} ){0,3}(?:any )?(?:longer|more)\b"
    r"|\b(?:numbers?|price|name|designation)\b[^.;:]{0,40}? (?:(?:does|do|has|have|is|are|will"
    r"|need)(?: not|n['’]t)"
    r"(?: been| be)? (?:changed?|altered|affected)|(?:stays?|remains?|is|are) (?:un(?:changed"
    r"|altered)|the same))"
    r"(?=[,;]? (?:but|only|however|though|while|whereas)\b[^.;]{0,20} contents?\b)",
    re.IGNORECASE,
)
# "… will be supplied from our works. Please order by new number.": the order is in force now.
_ORDER_NEW = re.compile(
    r"\b(?:order|quote|ask for|use)\b(?:[^.;]{0,30}\bnew (?:part |order |article |kit )?numbers?\b"
    r"|[^.;]{0,20}?\b(?:those|the ones|numbers?|parts?|from|only)\b[^.;]{0,20}?\b(?:(?:second|right"
    r"|right-hand|last|other|next|third) column|column (?:2|3|two|three|b|ii)|on the right|opposite"
    r"|beside (?:it|them)))"
    r"(?! (?:from|after|when|once))",
    re.IGNORECASE,
)
_IN = re.compile(rf"\b(?:in|of|to|for) (?:the )?(?P<code>[{CODE}{WEAK}])")
# "Sender (now sender plus cable)" under the names of parts: all of the new numbers are meant.
_NOW_SEVERAL = re.compile(
    r"\bnow\b[^.;]{0,40}?\b(?:plus|and|with|two|three|both|separate)\b"
    r"|\b(?:in|as|of) (?:two|three) (?:parts|pieces)\b",
    re.IGNORECASE,
)
_WHICH = "several numbers become several: which becomes which is not said"
_DITTO = ('"', "''", "″", "do.", "do", "ditto", "〃")


def read_table(reader: Reader, block: int, table: Table) -> tuple[list[Statement], list[Finding]]:
    """What a table states, its introduction judged by the same guards as a sentence."""
    made: list[Statement] = []
    findings: list[Finding] = []
    for half in halved(table):
        statements, unread = _read_one(reader, block, half)
        made.extend(statements)
        findings.extend(unread)
    return made, findings


def _read_one(reader: Reader, block: int, table: Table) -> tuple[list[Statement], list[Finding]]:
    found = columns(reader.book, table) or _continued(reader, block, table)
    standing, why = _introduced(reader, block)
    if standing == VOID:
        if found is not None:
            _cover_heading(reader, block)
        return [], []

    def common(doubts: Sequence[str]) -> dict[str, Any]:
        return _common(reader, table, table.rows[0], standing, (*why, *doubts))

    if (
        found is None
        or found.kind == "contents"
        or (found.kind == "supersession" and not _has_numbers(found))
        or counted_before_and_now(reader.book, table)
    ):
        kits = read_kit(reader, block, table, common)
        if kits:
            _cover_heading(reader, block)
            return kits, []
    if found is None:
        return _without_heads(reader, block, table, standing, why)
    _cover_heading(reader, block)
    rows = [row for row in found.rows if not head_row(reader.book, row) and any(c.text.strip() for c in row)]
    if found.kind == "supersession" and _has_numbers(found):
        return _supersessions(reader, table, found, rows, standing, why)
    if found.kind in ("override", "supersession"):
        return _overrides(reader, block, table, found, rows, standing, why)
    return [], []


def _without_heads(
    reader: Reader, block: int, table: Table, standing: str | None, why: Sequence[str]
) -> tuple[list[Statement], list[Finding]]:
    """Pairs of numbers without heads, by what the words above say of the columns."""
    lead = _passage_above(reader, block)
    found = paired(table, lead.tagged.text if lead else "")
    if found is None:
        return [], _unread(reader, block, table)
    _cover_heading(reader, block)
    return _supersessions(reader, table, found.columns, found.columns.rows, standing, (*why, *found.why))


def _continued(reader: Reader, block: int, table: Table) -> Columns | None:
    """The columns of the table right above, where this one goes on with it on the next sheet."""
    above = reader.body.blocks[block - 1] if block else None
    if not isinstance(above, Table) or above.sheet == table.sheet or not above.rows or not table.rows:
        return None
    found = columns(reader.book, above)
    if found is None or found.kind == "contents" or len(above.rows[0]) != len(table.rows[0]):
        return None
    return Columns(found.kind, found.at, without_ditto(table.rows))


def _passage_above(reader: Reader, block: int) -> Passage | None:
    """The words above a table, over other tables that it follows."""
    for at in range(block - 1, -1, -1):
        above = reader.body.blocks[at]
        if isinstance(above, Passage):
            return above
    return None


def _introduced(reader: Reader, block: int) -> tuple[str | None, tuple[str, ...]]:
    """What the sentences above a table that lead it in say of all its rows."""
    above = _passage_above(reader, block)
    if above is None or not above.sentences:
        return None, ()
    found: list[Trip] = []
    for sentence in _leading(above):
        said = reader.book.wordings("aside", "ending").without(above.folded[sentence.start : sentence.end])
        if reader.book.telltale.search(said) or _LEADS_IN.search(said):
            found.extend(trips(reader.book, "", _GONE.sub(" ", said), "", said))
    if _ORDER_NEW.search(above.tagged.text):
        found = [t for t in found if t.kind != "future" or "“will”" not in t.why]
    return worst(tuple(found)), tuple(t.why for t in found)


def _unread(reader: Reader, block: int, table: Table) -> list[Finding]:
    """A table whose heads are not known, but whose rows pair part numbers, is shown to a person."""
    rows = [row for row in table.rows if any(c.text.strip() for c in row)]
    paired = [row for row in rows if sum(bool(_strong(c.text)) for c in row) > 1]
    above = reader.body.blocks[block - 1] if block else None
    if len(paired) * 2 <= len(rows):
        return []
    if isinstance(above, Passage):
        _cover_heading(reader, block)
    words = " / ".join(" | ".join(c.text for c in row) for row in rows[:3])
    place = Source(reader.file, table.sheet, None, table.box)
    return [
        Finding(f"unread: the table “{words}” pairs numbers under heads that are not known", place, words)
    ]


def _strong(text: str) -> bool:
    return any(t.kind in (PART, CODE) for t in tag(text.strip()).tags.values())


def _leading(above: Passage) -> tuple[Sentence, ...]:
    """The sentences that lead a table in: the last one, and those that speak of what follows."""
    return tuple(
        s
        for s in above.sentences
        if s is above.sentences[-1] or _LEADS_IN.search(above.folded[s.start : s.end])
    )


def _cover_heading(reader: Reader, block: int) -> None:
    """The sentences that lead a readable table in are accounted for by it."""
    above = reader.body.blocks[block - 1] if block else None
    if isinstance(above, Passage) and above.sentences:
        # One character more: a stretch within a sentence without a statement counts as denied.
        led = [(s.start, s.end + 1) for s in _leading(above)]
        reader.covered.setdefault(block - 1, []).extend(led)


def _has_numbers(found: Columns) -> bool:
    cells = [found.cell(row, m) for row in found.rows for m in ("old", "new") if found.cell(row, m)]
    return bool(cells) and sum(bool(numbers_of(c)) for c in cells) * 2 > len(cells)


def _common(
    reader: Reader, table: Table, row: Sequence[Cell], standing: str | None, why: Sequence[str]
) -> dict[str, Any]:
    ocr = reader.body.by_ocr
    page = next(
        (
            b.source.page
            for b in reader.body.blocks
            if isinstance(b, Passage) and b.source.sheet == table.sheet
        ),
        None,
    )
    stands = "refused" if standing == REFUSE else "doubtful" if why or standing == DOUBT else "settled"
    return {
        "note": reader.note,
        "date": reader.header.date,
        "quote": " | ".join(" ".join(c.text.split()) for c in row if c.text.strip()),
        "source": Source(reader.file, table.sheet, page, row_box(row), ocr),
        "standing": stands,
        "why": tuple(dict.fromkeys(why)),
        "confidence": reader.body.confidence if ocr else 1.0,
    }


def _supersessions(
    reader: Reader,
    table: Table,
    found: Columns,
    rows: Sequence[Sequence[Cell]],
    standing: str | None,
    why: Sequence[str],
) -> tuple[list[Statement], list[Finding]]:
    made: list[Statement] = []
    findings: list[Finding] = []
    for row in rows:
        statements = _row(reader, table, found, row, standing, why)
        if not statements and made and (whole := carried_on(made[-1], found, row)) is not None:
            made[-1] = whole
            continue
        made.extend(statements)
        if not statements and not _stays(found, row):
            words = " | ".join(c.text for c in row)
            findings.append(
                Finding(
                    f"unread: the table row “{words}”",
                    Source(reader.file, table.sheet, None, row_box(row)),
                    words,
                )
            )
    return made, findings


def _stays(found: Columns, row: Sequence[Cell]) -> bool:
    """True for a row whose number is the same before and now: nothing changes."""
    old, new = (numbers_of(found.cell(row, m)) for m in ("old", "new"))
    return bool(old) and {key(n) for n in old} == {key(n) for n in new}


def _row(
    reader: Reader,
    table: Table,
    found: Columns,
    row: Sequence[Cell],
    standing: str | None,
    why: Sequence[str],
) -> list[Statement]:
    """Old to interim to new; a row without a new number is a withdrawal only where it says so."""
    chain = [found.cell(row, m) for m in ("old", "interim", "new") if m in found.at]
    remark = found.cell(row, "remark")
    filled = [(text, numbers_of(text)) for text in chain if text]
    if filled and not filled[-1][1] and _NOTHING.search(filled[-1][0]):
        remark, filled = f"{filled[-1][0]} {remark}", filled[:-1]
    if len(filled) == 1 and filled[0][1] and found.cell(row, "old") and _NOTHING.search(remark):
        return [Withdrawn(**_common(reader, table, row, standing, why), part=p) for p in filled[0][1]]
    if len(filled) < 2 or not all(numbers for _, numbers in filled):
        return []
    made: list[Statement] = []
    for (_, old), (printed, new) in itertools.pairwise(filled):
        if {key(n) for n in old} & {key(n) for n in new}:
            continue
        relation, unclear = relation_of(f"{printed} {remark}", len(new))
        interchange, stock, said = _remarked(reader, remark)
        interchange = interchange_of(found.cell(row, "interchange")) or _under(
            reader, found.cell(row, "interchange"), interchange
        )
        stock = stock_of(found.cell(row, "stock")) or stock or stock_of(remark)
        if unclear and len(new) > 1 and _NOW_SEVERAL.search(found.cell(row, "description")):
            relation, unclear = "all of", ()
        unclear = () if said else unclear
        unclear = (*unclear, _WHICH) if len(old) > 1 and len(new) > 1 else unclear
        made.append(
            Supersession(
                **_common(reader, table, row, standing, (*why, *unclear)),
                old=old,
                new=new,
                relation=cast(Relation, said or relation) if len(new) > 1 else "one",
                interchange=interchange,
                stock=stock,
            )
        )
    return made


def _under(reader: Reader, cell: str, otherwise: Interchange) -> Interchange:
    """The words of a cell under "Interchangeable", read as a remark."""
    said = _remarked(reader, cell)[0] if cell else "unstated"
    return said if said != "unstated" else otherwise


def _remarked(reader: Reader, remark: str) -> tuple[Interchange, Stock | None, str | None]:
    """Interchange, stock and relation from a remark."""
    riders = reader.book.wordings("rider").likely(remark) if remark else ()
    found = [p for p, pattern in riders if pattern.search(remark)]
    found.sort(key=lambda p: -p.rank)
    interchange = next((p.interchange for p in found if p.interchange), "unstated")
    stock = next((p.stock for p in found if p.stock), None)
    return (
        cast(Interchange, interchange),
        cast("Stock | None", stock),
        next((p.relation for p in found if p.relation), None),
    )


def _overrides(
    reader: Reader,
    block: int,
    table: Table,
    found: Columns,
    rows: Sequence[Sequence[Cell]],
    standing: str | None,
    why: Sequence[str],
) -> tuple[list[Statement], list[Finding]]:
    """Corrections: one row a step. A blank page or manual is the one of the row above, else of the words
    above."""
    context = _context(reader, block)
    heads = _heads(table, found)
    made: list[Statement] = []
    findings: list[Finding] = []
    for row in rows:
        reference = _cited(found, row, context)
        context = Reference(reference.publication, reference.page, context.items)
        said = corrections(reader, found, heads, row, reference.items) if reference.items else None
        if said is None:
            words = " | ".join(c.text for c in row)
            findings.append(
                Finding(
                    f"unread: the table row “{words}”",
                    Source(reader.file, table.sheet, None, row_box(row)),
                    words,
                )
            )
            continue
        remark = found.cell(row, "remark")
        limit = statement_applies(remark, reader.body.models) if remark else None
        for one in said:
            common = _common(reader, table, row, standing, (*why, *reference.why, *one.why))
            applies = (
                holds_for(reader.header.applies, limit) if limit else one.applies or reader.header.applies
            )
            made.extend(
                Override(
                    **common,
                    action=one.action,
                    target=Target(reference.publication, reference.page, item),
                    text=one.text,
                    was=one.was,
                    now=one.now,
                    applies=applies,
                )
                for item in reference.items
            )
    return made, findings


def _heads(table: Table, found: Columns) -> tuple[str, ...]:
    """The words over the columns, in lower case; empty for a table that goes on from another."""
    rows = [row for row in table.rows if any(c.text.strip() for c in row)]
    above = rows[: len(rows) - len(found.rows)]
    return tuple(
        " ".join(" ".join(c.text for c in column).lower().split()) for column in zip(*above, strict=False)
    )


def _context(reader: Reader, block: int) -> Reference:
    above = reader.body.blocks[block - 1] if block else None
    context = reader.context(block, 0)
    if not isinstance(above, Passage):
        return context
    near = [r for r in references(above.tagged) if r.items]
    book = _book_above(above)
    context = replace(context, publication=book, page=None) if book and not near else context
    return completed(near[-1], context) if near else context


def _book_above(above: Passage) -> str | None:
    """ "The following values in HB 35 have changed." above a table of pages and steps: the number is the
    manual's, where no other stands there."""
    if any(r.publication for r in references(above.tagged)):
        return None
    codes = {
        key(t.text): t.text
        for _, t in above.tagged.inside(0, len(above.folded))
        if t.kind in (CODE, WEAK, PART)
    }
    named = _IN.search(above.folded)
    text = above.tagged.tags[named.start("code")].text if named else ""
    return text if len(codes) == 1 and text[:1].isalpha() else None


def _cited(found: Columns, row: Sequence[Cell], context: Reference) -> Reference:
    cells = {m: found.cell(row, m) for m in ("publication", "page", "item")}
    cells = {m: "" if c.lower() in _DITTO else c for m, c in cells.items()}
    whole = next(
        (r for r in (read_reference(c) for c in cells.values() if c) if r and r.page and r.items), None
    )
    if whole is not None:
        return completed(whole, context)
    if "item" not in found.at and "page" not in found.at:
        return context
    both = next((m for c in cells.values() if (m := _PAGE_ITEM.fullmatch(c))), None)
    if both is not None:
        return completed(Reference(None, both["page"], labels_of(both["item"])), context)
    if len(re.findall("[A-Za-z]{3,}", cells["item"])) > 2:
        return replace(context, items=())
    page = re.sub(r"(?i)^(?:pages?|pg|p)\b\.?\s*", "", cells["page"]).strip() or context.page
    publication = cells["publication"] or context.publication
    words = re.sub(
        r"(?i)^(?:items?|steps?|operations?|op|paras?|paragraphs?|points?|nos?|after|before)\b\.?\s*",
        "",
        cells["item"],
    )
    words = re.sub(r"(?i)^(?:items?|steps?)\b\.?\s*", "", words)
    items = labels_of(words.strip(" .")) if words else ()
    return Reference(publication, page, items)

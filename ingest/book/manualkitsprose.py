"""Contents of kits from a manual's sentences, steps, notices and small lists, read with the phrase book."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies, Contents, Item, Manual, Statement
from benchleaf.ingest.book.manualkitsturns import TURNED
from benchleaf.ingest.head.serials import statement_applies
from benchleaf.ingest.phrases.builders import build
from benchleaf.ingest.phrases.contents import read_lines
from benchleaf.ingest.phrases.labels import kit_label
from benchleaf.ingest.phrases.matches import matches, overlaps
from benchleaf.ingest.phrases.passages import Passage, body_of
from benchleaf.ingest.phrases.phrasebook import PhraseBook, load
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.references import tag
from benchleaf.ingest.phrases.tablebuilder import read_table
from benchleaf.ingest.shapes import Header, LaidPage, Paragraph, Table
from benchleaf.ingest.sheets.paragraphs import flow

# "Set" is mostly the verb; a set of parts has a number, or words on what it is, behind it.
_KIT = (
    r"\b(?:kits?|packets?|packages?|assortments?|cartons?"
    r"|sets?\b(?= (?:(?:no|number)\b\.? )?(?=\S{0,9}[0-9])\S{3}"
    r"|,? (?:contain|consist|compris|hold|includ|is\b|are\b)|[:;,]| ?\())\b"
)
_CALLED = re.compile(r"\b(?:kit|set|packet|package|assortment)s?\b", re.IGNORECASE)
_HOLDS = (
    r"\b(?:contain|consist|compris|includ|hold|compos|contents?\b|scope of|made? up|suppl|packed|comes? with"
    r"|there (?:is|are)\b|has\b|have\b|(?:contained|included) in|components)"
)
# Cheap: a manual says "kit" or "set" often and its contents seldom.
_NAMED = re.compile(_KIT, re.IGNORECASE)
_LISTS = re.compile(rf"{_HOLDS}|\([^()]{{0,20}}[0-9]|[:–-]\s", re.IGNORECASE)
_NUMBERED = re.compile(
    r"(?<![A-Za-z0-9])(?:[A-Z]{0,5}[./-]?[0-9]{2,}[./-][0-9A-Z]{1,}|[A-Z]{1,5}[ ./-]?[A-Z]?[ ./-]?[0-9]{2,}"
    r"|[0-9]{4,}|[0-9]{2,4} [0-9]{2,4})|\b(?:kit|set)\b.{0,16}[0-9]",
    re.IGNORECASE,
)
_STEP = re.compile(r"^(?:step )?\(?(?:[0-9]{1,3}(?:\.[0-9]{1,2}){0,3}|[a-z])[.)]{1,2} ", re.IGNORECASE)
_DASHED = re.compile(r" [–—-] (?=[0-9]{1,3} [a-z])")
_SAID_SO = re.compile(_HOLDS, re.IGNORECASE)
_UNITS_ONLY = re.compile(
    r"\b(?:up to|from|before|after|until|as of|starting with|beginning with|through) (?:and including )?"
    r"(?:units? |gearbox(?:es)? |machines? )?(?:s/n|ser(?:ial)?\b|number|no\.)"
    r"|\b(?:only|solely) (?:for|on|with)\b|\bfor (?:units|models?|types?|versions?|variants?)\b",
    re.IGNORECASE,
)
_OPENED = (
    r"(?=,? (?:now |which |that )?(?:consist|contain|compris|hold|includ|compos|is made|has\b|with\b)|,? ?:)"
)
_BOUNDED = re.compile(
    r"\b(?:up to|from|before|after|until|as of|only|serials?|s/n|numbers?|no\.|built|with|without|except"
    r"|early|late|old|new|later|earlier|not)\b",
    re.IGNORECASE,
)
_LIMITED = re.compile(
    r"\b(?:not|no longer|never|without|except|excepting|excluding|exclusive of|less|apart from|optional"
    r"|depending on|varies|vary|if|where fitted|may)\b",
    re.IGNORECASE,
)
# A sentence behind the list that speaks of the contents themselves, and in words that change them.
_OF_CONTENTS = re.compile(
    r"\b(?:kits?|sets?|contents?|packets?|in it|part of it)\b|\b(?:included|contained|packed|enclosed"
    r"|supplied (?:with|in|loose|separately)|comes? with)\b|^(?:it|they|these|this|also|in addition"
    r"|additionally|furthermore)\b",
    re.IGNORECASE,
)
_QUALIFIES = re.compile(
    r"\b(?:not|no longer|never|without|except|excluding|also|additional(?:ly)?|addition|extra|more"
    r"|further(?:more)?|fewer|instead|up to|from serial|before serial|earlier|older|later|early|late"
    r"|depending|differs?|other|may|optional|only|now|changed|previously|formerly)\b",
    re.IGNORECASE,
)
_NO_CONTENTS = re.compile(
    r"\b(?:order|ordered|fit|fitted|use|used|reuse|mix|open|store|keep|kept|stock|price|available|obtainable"
    r"|replace[sd]?|renew)\b",
    re.IGNORECASE,
)
_LIMITING = "the contents hold only with a limit: “{}”"
_QUALIFIED = "the words behind the list qualify it: “{}”"
_OVERLEAF = "the list ends at the foot of a page and may go on overleaf"
_ONE_LINE = "only one line is named beside the kit: it may hold more"
_ONLY_HEADED = "the heading does not say that the list is the kit's contents"
_HEADING = 70  # characters of a heading over a list
_BEHIND = 2  # a paragraph that names a kit and the one behind it, which may qualify it
_LISTED = 14  # paragraphs of a list below its heading


def told_kits(manual: Manual, pages: Sequence[LaidPage], book: PhraseBook | None) -> Iterator[Contents]:
    """What paragraphs, lists and small tables of the sheets say, then what only a step's words say."""
    on_sheet: dict[int, list[Item]] = {}
    for sheet in manual.pages:
        on_sheet.setdefault(sheet.sheet, []).extend(sheet.items)
    for at, page in enumerate(pages):
        items = [i for i in on_sheet.get(page.sheet, ()) if _likely(_words(i))]
        tables = any(_CALLED.search(_cells(t, 2)) for t in page.tables)
        if not items and not tables and not _likely("\n".join(li.text for li in page.lines)):
            continue
        blocks = flow(page)
        found: list[Contents] = []
        for window in _windows(blocks):
            found.extend(_read(manual, book, [blocks[i] for i in window]))
        follower = pages[at + 1] if at + 1 < len(pages) else None
        found = [_at_foot(one, blocks, follower) for one in found]
        yield from found
        known = {key(one.kit) for one in found if one.standing == "settled"}
        for item in items:
            more = _read(manual, book, [_paragraph(item, page)])
            yield from (one for one in more if key(one.kit) not in known)


def _likely(text: str) -> bool:
    return all(p.search(text) for p in (_NAMED, _LISTS, _NUMBERED))


def _words(item: Item) -> str:
    return " ".join((item.text, *(n.text for n in item.notices)))


def _paragraph(item: Item, page: LaidPage) -> Paragraph:
    box = item.box or page.lines[0].box
    return Paragraph(_words(item), box, item.sheet, page.folio, by_ocr=page.by_ocr)


def _windows(blocks: Sequence[Paragraph | Table]) -> list[list[int]]:
    """Blocks to be read together: one that may tell contents, the one above it, the list below it."""
    wanted: set[int] = set()
    for at, block in enumerate(blocks):
        above = blocks[at - 1] if at else None
        if isinstance(block, Table):
            if _CALLED.search(_cells(block, 2)):
                wanted.update((max(0, at - 1), at))
            continue
        said = f"{above.text} {block.text}" if isinstance(above, Paragraph) else block.text
        if not _likely(said) and not (_CALLED.search(block.text) and block.text.rstrip().endswith(":")):
            continue
        wanted.update(range(max(0, at - 1), min(len(blocks), at + _BEHIND)))
        wanted.update(_list_below(blocks, at))
    windows: list[list[int]] = []
    for at in sorted(wanted):
        if windows and windows[-1][-1] == at - 1:
            windows[-1].append(at)
        else:
            windows.append([at])
    return windows


def _list_below(blocks: Sequence[Paragraph | Table], at: int) -> Iterator[int]:
    head = blocks[at]
    if isinstance(head, Paragraph) and head.text.rstrip().endswith("."):
        return
    for where in range(at + 1, min(len(blocks), at + 1 + _LISTED)):
        block = blocks[where]
        yield where
        if isinstance(block, Table) or len(block.text) > 80:
            return


def _cells(table: Table, rows: int) -> str:
    return " ".join(c.text for row in table.rows[:rows] for c in row)


def _read(manual: Manual, book: PhraseBook | None, blocks: Sequence[Paragraph | Table]) -> list[Contents]:
    """Contents that some blocks state, weighed as a manual's words are."""
    printed: dict[str, str] = {}
    reader = _reader(manual, book, [_turned(_unnumbered(b), printed) for b in blocks])
    if not any(isinstance(b, Table) or matches(reader.book, b, "contents") for b in reader.body.blocks):
        return []
    for block, found in enumerate(reader.body.blocks):
        if isinstance(found, Passage):
            _read_passage(reader, block, found)
        elif not reader.covered.get(block):
            reader.statements.extend(_of_table(reader, block, found))
    kits = [s for s in reader.statements if isinstance(s, Contents)]
    return [_as_printed(_weighed(one, reader), printed) for one in kits if _is_kit(one, reader, manual)]


def _of_table(reader: Reader, block: int, table: Table) -> Iterator[Statement]:
    """Contents that a table lists. A parts list below words that name a kit is not that kit's: the table or
    the words above must say that it is."""
    above = reader.body.blocks[block - 1] if block else None
    words = above.tagged.text if isinstance(above, Passage) else ""
    named = _cells(table, len(table.rows))
    for one in read_table(reader, block, table)[0]:
        if not isinstance(one, Contents):
            continue
        if one.kit in named or (one.kit in words and _SAID_SO.search(words)):
            yield one
        elif one.kit in words and len(words) < _HEADING and not words.rstrip().endswith("."):
            standing = "doubtful" if one.standing == "settled" else one.standing
            yield replace(one, standing=standing, why=(*one.why, _ONLY_HEADED))


def _reader(manual: Manual, book: PhraseBook | None, blocks: Sequence[Paragraph | Table]) -> Reader:
    """The phrase book reads notes: these blocks as the body of one that bears the manual's number."""
    header = Header(
        number=manual.number,
        date=manual.date,
        subject=None,
        issuer=manual.issuer,
        source="maker",
        revision=None,
        applies=Applies(models=manual.models),
        unclear=(),
        body=tuple(blocks),
    )
    return Reader(header, manual.file, book or load(), body_of(header, manual.file))


def _unnumbered(block: Paragraph | Table) -> Paragraph | Table:
    if isinstance(block, Paragraph) and _STEP.match(block.text):
        return replace(block, text=_STEP.sub("", block.text, count=1))
    return block


def _turned(block: Paragraph | Table, printed: dict[str, str]) -> Paragraph | Table:
    """A paragraph in the order in which sentences have it; `printed` keeps the words it really has."""
    if not isinstance(block, Paragraph) or not _CALLED.search(block.text):
        return block
    text = block.text
    for pattern, order in TURNED:
        found = pattern.search(text)
        if found is not None:
            turned = order.format(**found.groupdict())
            printed[turned.strip()] = found.group().strip()
            rest = text[found.end() :]
            rest = _DASHED.sub(", ", rest) if order.endswith(": ") else rest
            text = f"{text[: found.start()]}{turned}{rest}"
    return replace(block, text=text) if text != block.text else block


def _as_printed(one: Contents, printed: dict[str, str]) -> Contents:
    quote = one.quote
    for turned, words in printed.items():
        quote = quote.replace(turned, words)
    return replace(one, quote=quote) if quote != one.quote else one


def _read_passage(reader: Reader, block: int, passage: Passage) -> None:
    taken = reader.covered.setdefault(block, [])
    reader.waiting = matches(reader.book, passage)
    for match in reader.waiting:
        if overlaps(match, taken):
            continue
        built = build(reader, block, match, reader.waiting)
        if built is None:
            continue
        taken.append((built.start, built.end))
        for other, place in built.claims:
            reader.covered.setdefault(other, []).append((0, place))
        reader.statements.extend(built.statements)


def _is_kit(one: Contents, reader: Reader, manual: Manual) -> bool:
    """True if the number is called a kit or a set: an assembly has its parts too, and is none."""
    listed = next((p for p in manual.parts if p.part and key(p.part) == key(one.kit)), None)
    if listed is not None and _CALLED.search(listed.description):
        return True
    for block in reader.body.blocks:
        if not isinstance(block, Passage):
            continue
        for place, found in block.tagged.tags.items():
            if key(found.text) == key(one.kit):
                near = block.folded[max(0, place - 40) : place + 30]
                if kit_label(found) or _CALLED.search(near):
                    return True
    return bool(_CALLED.search(one.quote))


def _weighed(one: Contents, reader: Reader) -> Contents:
    """A statement of a manual with the doubts that its own words and those behind it raise."""
    why: list[str] = []
    said = _without_use(one, reader)
    applies = statement_applies(said, reader.body.models)
    limit = _UNITS_ONLY.search(said) or _LIMITED.search(said)
    if applies is not None and (
        applies.models or applies.serial_from or applies.serial_to or applies.excepted
    ):
        why.append(_LIMITING.format(applies.as_printed))
    elif limit is not None:
        why.append(_LIMITING.format(limit.group()))
    if len(one.lines) == 1 and not _SAID_SO.search(one.quote):
        why.append(_ONE_LINE)
    behind = _behind(one, reader)
    why.extend(_QUALIFIED.format(said) for said in behind if _qualifies(said, one))
    if not why:
        return one
    standing = "doubtful" if one.standing == "settled" else one.standing
    return replace(one, standing=standing, why=tuple(dict.fromkeys((*one.why, *why))))


def _without_use(one: Contents, reader: Reader) -> str:
    """The words without what the kit is used for ("Set 4471-20 for KX-4, consisting of: …"): that is no limit
    of its contents, unless the same kit is listed for several units."""
    kit = re.escape(one.kit)
    blocks = [b.tagged.text for b in reader.body.blocks if isinstance(b, Passage)]
    if sum(len(re.findall(rf"{kit},? \(?for\b", text)) for text in blocks) > 1:
        return one.quote
    for_units = r"(?P<use>,? \(?for (?P<units>[^,;:()]{1,60}?)\)?)"
    used = re.search(f"{kit}{for_units}{_OPENED}", one.quote, re.IGNORECASE)
    if used is None or _BOUNDED.search(used["units"]):
        return one.quote
    return one.quote[: used.start("use")] + one.quote[used.end("use") :]


def _behind(one: Contents, reader: Reader) -> Iterator[str]:
    """The sentences behind a statement: the rest of its paragraph, and of what follows the first one."""
    blocks = reader.body.blocks
    at = next((i for i, b in enumerate(blocks) if isinstance(b, Passage) and b.source == one.source), None)
    if at is None:
        return
    last = at
    for where in range(at, len(blocks)):
        block = blocks[where]
        if not isinstance(block, Passage):
            last = where
            continue
        said = [block.tagged.words(s.start, s.end) for s in block.sentences]
        if where > last + 1 or (where > at and not any(s in one.quote for s in said)):
            yield from said[:1] if where <= last + 1 else ()
            return
        last = where
        inside = [i for i, s in enumerate(said) if s and s in one.quote]
        yield from said[inside[-1] + 1 :] if inside else ()


def _qualifies(sentence: str, one: Contents) -> bool:
    """True for words on what the kit holds. What a unit needs beside the kit ("version X takes two more of
    each kind") or how to order and fit it leaves the contents as they are."""
    about = _OF_CONTENTS.search(sentence)
    changes = _QUALIFIES.search(sentence)
    if about is None or changes is None:
        return _UNITS_ONLY.match(sentence) is not None
    if _SAID_SO.search(sentence) or re.search(r"\bin it\b|\bpart of\b", sentence, re.IGNORECASE):
        return True
    if _NO_CONTENTS.search(sentence):
        return False
    return key(one.kit) in key(sentence) or _CALLED.search(sentence) is not None or about.start() == 0


def _at_foot(one: Contents, blocks: Sequence[Paragraph | Table], follower: LaidPage | None) -> Contents:
    """A list that is the last thing on its sheet is doubted where the next sheet opens with more lines."""
    last = blocks[-1] if blocks else None
    if last is None or follower is None or one.standing != "settled":
        return one
    ending = last.text if isinstance(last, Paragraph) else _cells(last, 1)
    if not ending or ending not in one.quote or ending.rstrip().endswith("."):
        return one
    first = next((li.text for li in follower.lines), "")
    lines = read_lines(tag(first), 0, len(tag(first).folded)) if first else None
    if lines is None or not lines.whole:
        return one
    return replace(one, standing="doubtful", why=(*one.why, _OVERLEAF))

"""A manual: its numbered steps page by page, with their sections and notices, and what its cover says."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePath

from benchleaf.graph.model import Box, Finding, Item, Manual, ManualPage, Source
from benchleaf.ingest.book.candidates import find_candidates
from benchleaf.ingest.book.chain import Run, best_runs
from benchleaf.ingest.book.cover import read_cover
from benchleaf.ingest.book.items import Draft, Plan, finished, gather, starts_of
from benchleaf.ingest.book.levels import Levels, find_levels, lone_titles
from benchleaf.ingest.book.manualkits import read_manual_kits
from benchleaf.ingest.book.marks import read_mark
from benchleaf.ingest.book.notices import framed_groups, notice_start
from benchleaf.ingest.book.partslists import read_parts
from benchleaf.ingest.book.rows import Look, Measured, Row, is_border, rows_of, tidied, unlisted
from benchleaf.ingest.book.sections import captions, is_heading, is_plain_heading, join_headings
from benchleaf.ingest.book.steptables import with_steps
from benchleaf.ingest.book.valuetables import rows_added
from benchleaf.ingest.book.wording import vocabulary
from benchleaf.ingest.phrases.phrasebook import PhraseBook
from benchleaf.ingest.shapes import LaidPage
from benchleaf.ingest.sheets.pressed import pressed_laid


@dataclass(frozen=True, slots=True)
class ManualReading:
    """A manual as read, and what should be known about the reading."""

    manual: Manual
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Steps:
    """The numbered steps of some pages: their runs, the gathered steps, and the section at each page's
    end."""

    runs: tuple[Run, ...]
    drafts: tuple[Draft, ...]
    sections: Mapping[int, str | None]
    rows: tuple[Row, ...]


def read_manual(
    pages: Sequence[LaidPage], file: str, book: PhraseBook | None = None, steps: Steps | None = None
) -> ManualReading:
    """Read a whole manual, or some pages of one. `pages` are laid out; `file` is its name for the findings;
    `book` is the shop's phrase book, by which the contents of kits are read; `steps` are those of the very
    same pages, if they were read before."""
    steps = steps or read_steps(pages)
    cover = read_cover(pages, has_items={d.start.page for d in steps.drafts})
    number = cover.number or PurePath(file).stem
    manual = Manual(
        number=number,
        title=cover.title,
        issuer=cover.issuer,
        edition=cover.edition,
        date=cover.date,
        models=cover.models,
        pages=_manual_pages(pages, steps),
        file=file,
        parts=read_parts(pages),
    )
    manual = replace(manual, kits=read_manual_kits(manual, pages, book))
    findings = [Finding(doubt, Source(file, pages[0].sheet if pages else 1)) for doubt in cover.unclear]
    if cover.number is None:
        message = f"no publication number was found; it goes by its file name, {number}"
        findings.append(Finding(message, Source(file, pages[0].sheet if pages else 1)))
    findings.extend(_findings(pages, steps, file))
    return ManualReading(manual, tuple(findings))


def read_steps(laid: Sequence[LaidPage]) -> Steps:
    """The numbered steps of laid-out pages, with their lines and notices."""
    measured = Measured()
    pages: list[LaidPage] = []
    for at, page in enumerate(laid):
        tidy = with_steps(tidied(page))
        measured.add(tidy, at)
        pages.append(pressed_laid(unlisted(tidy), at))
    look, rows = measured.look(), rows_of(pages, measured)
    framed = _notice_frames(pages, rows)
    named = captions(rows)
    barred = _barred(rows, framed) | named
    scanned = frozenset(i for i, p in enumerate(pages) if p.by_ocr)
    typed = _heads(rows, look, barred)
    if scanned:
        typed = sorted({*typed, *lone_titles(rows, look, barred)})
    heads = [n for n in typed if read_mark(rows[n].text) is None]
    found = find_candidates(rows, look, barred, heads, scanned)
    levels = find_levels(best_runs(found, bool(scanned)), rows, look, heads)
    plan = replace(_plan(rows, typed, levels, framed, barred), captions=named)
    cover = not any(c.page == 0 for r in levels.items for c in r.members)
    drafts, sections = gather(rows, plan, look, cover)
    return Steps(levels.items, tuple(drafts), sections, rows)


def _notice_frames(pages: Sequence[LaidPage], rows: Sequence[Row]) -> dict[int, tuple[int, ...]]:
    """Boxes around notices: small frames that open with a notice word, or hold no step's mark at all."""
    kept: dict[int, tuple[int, ...]] = {}
    for start, group in framed_groups(rows).items():
        if is_border(rows[start], pages[rows[start].page]):
            continue
        marked = any(read_mark(rows[n].text) for n in group)
        if notice_start(rows[start]) is not None or (not marked and len(group) <= 8):
            kept[start] = group
    return kept


def _barred(rows: Sequence[Row], framed: Mapping[int, tuple[int, ...]]) -> frozenset[int]:
    boxed = {n for group in framed.values() for n in group}
    said = {r.n for r in rows if r.count and notice_start(r) is not None}
    return frozenset(boxed | said)


def _heads(rows: Sequence[Row], look: Look, barred: frozenset[int]) -> list[int]:
    """Rows whose type makes them headings; inside a paragraph bold words are only stressed."""
    found: list[int] = []
    for row in rows:
        if row.n in barred or not row.count or not is_heading(row, look):
            continue
        before = rows[row.n - 1] if row.n else None
        follows = found and found[-1] == row.n - 1
        ended = (
            before is None or before.place != "text" or not before.text[-1:].isalnum() or before.n in barred
        )
        if row.apart or row.fresh or follows or ended or row.size >= 1.12 * look.size:
            found.append(row.n)
    return found


def _plan(
    rows: Sequence[Row],
    typed_heads: Sequence[int],
    levels: Levels,
    framed: Mapping[int, tuple[int, ...]],
    barred: frozenset[int],
) -> Plan:
    starts = starts_of(levels.items)
    sections = {c.row for r in levels.sections for c in r.members}
    typed = {n for n in typed_heads if n not in starts}
    inner = {c.row: c.mark.length for r in levels.inner for c in r.members if not c.mark.bare}
    heads = sorted((typed | sections | _plain_heads(rows, levels.items, barred, typed)) - inner.keys())
    heads = [n for n in heads if n not in starts]
    headings = {n: h for h in join_headings(rows, heads) for n in h.rows}
    skipped = frozenset(c.lone for c, _ in starts.values() if c.lone is not None)
    return Plan(starts, inner, headings, skipped, framed)


def _plain_heads(
    rows: Sequence[Row], runs: Sequence[Run], barred: frozenset[int], typed: set[int]
) -> set[int]:
    """Short lines above the first step of a run, where type does not tell headings apart; notices, captions
    and
    figures may stand between."""
    found: set[int] = set()
    for run in runs:
        first = run.members[0]
        above = next((r for r in _upwards(rows, first.row, barred)), None)
        if above is None or above.page != first.page or above.n in typed:
            continue
        if is_plain_heading(above) and above.x < first.text_x - 2:
            found.add(above.n)
    return found


def _upwards(rows: Sequence[Row], start: int, barred: frozenset[int]) -> Iterable[Row]:
    """Rows of plain text above a row on the sheet, nearest first; the lines of a notice are passed over."""
    below = rows[start].line.box
    near = [
        r
        for r in rows[max(0, start - 80) : start]
        if r.page == rows[start].page and _above(r.line.box, below)
    ]
    wrapped: list[Row] = []
    for row in sorted(near, key=lambda r: -r.line.box.bottom)[:12]:
        if row.n in barred:
            wrapped.clear()
        elif row.place == "text":
            wrapped.append(row)
            if row.apart:
                yield from wrapped
                wrapped.clear()


def _above(box: Box, below: Box) -> bool:
    return box.top < below.top and box.x0 < below.x1 and box.x1 > below.x0


def _manual_pages(pages: Sequence[LaidPage], steps: Steps) -> tuple[ManualPage, ...]:
    known = vocabulary(r.text for r in steps.rows)
    on_page: Mapping[int, list[Draft]] = defaultdict(list)
    for draft in steps.drafts:
        on_page[draft.start.page].append(draft)
    made: list[ManualPage] = []
    folios = [folio_of(page) for page in pages]
    stepped = {
        index: tuple(_item(d, folios[index], pages[index].sheet, known) for d in drafts)
        for index, drafts in on_page.items()
    }
    tabled = rows_added(pages, stepped, folios)
    for index, (page, folio) in enumerate(zip(pages, folios, strict=True)):
        if page.folio is None and index not in on_page:
            continue
        items = stepped.get(index) or tabled.get(index, ())
        section = items[0].section if items else steps.sections.get(index)
        made.append(ManualPage(folio, page.sheet, section, items))
    return tuple(made)


def folio_of(page: LaidPage) -> str:
    """The printed page number, or `sheet n` for a page that bears none."""
    return page.folio or f"sheet {page.sheet}"


def _item(draft: Draft, folio: str, sheet: int, known: frozenset[str]) -> Item:
    return Item(
        label=draft.start.mark.label,
        text=draft.text(known),
        page=folio,
        sheet=sheet,
        section=draft.section,
        notices=tuple(finished(n, known) for n in draft.notices),
        box=draft.box(),
    )


def _findings(pages: Sequence[LaidPage], steps: Steps, file: str) -> Iterable[Finding]:
    """Numbers missing inside a run, steps on pages without a printed number, and two pages of one number."""
    for run in steps.runs:
        for a, b in run.gaps:
            page = pages[a.page]
            message = f"between steps {a.mark.label} and {b.mark.label} a number is missing"
            yield Finding(message, Source(file, page.sheet, page.folio), steps.rows[b.row].text[:120])
    yield from _displaced(pages, steps, file)
    unnumbered = sorted({d.start.page for d in steps.drafts if pages[d.start.page].folio is None})
    for index in unnumbered:
        yield Finding(
            "no printed page number was found on a page with steps", Source(file, pages[index].sheet)
        )
    seen: dict[str, int] = {}
    for page in pages:
        if page.folio is not None and seen.setdefault(page.folio, page.sheet) != page.sheet:
            message = f"sheets {seen[page.folio]} and {page.sheet} both bear page number {page.folio}"
            yield Finding(message, Source(file, page.sheet, page.folio))


def _displaced(pages: Sequence[LaidPage], steps: Steps, file: str) -> Iterable[Finding]:
    """Runs that begin inside a count: a sheet may be missing, or its columns were read in the wrong order."""
    for run in steps.runs:
        first = run.members[0]
        inside = len(first.mark.values) == 1 and first.mark.last > 1 and not first.mark.lettered
        if inside and not ("word" in run.style and first.mark.last == 10):
            page = pages[first.page]
            message = f"steps begin at {first.mark.label}: those before it are missing or stand elsewhere"
            yield Finding(message, Source(file, page.sheet, page.folio), steps.rows[first.row].text[:120])

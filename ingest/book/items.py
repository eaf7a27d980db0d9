"""Items: each step's own lines, its lettered sub-steps and its notices gathered in reading order."""

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from statistics import median

from benchleaf.graph.model import Box, Notice
from benchleaf.ingest.book.chain import Candidate, Run
from benchleaf.ingest.book.marks import bullet_length
from benchleaf.ingest.book.notices import notice_start
from benchleaf.ingest.book.rows import Look, Row
from benchleaf.ingest.book.sections import Heading, is_plain_heading, without_continued
from benchleaf.ingest.book.wording import join_lines, parting

_UNFINISHED = re.compile(r"[^.:;!?)\"”]$")
_SAID_ENDED = re.compile(r"[.:;,!?]['\"”’)]?$")
_CONTINUED = re.compile(r"[(\[]?\s?(?:continued|cont['’]?d)\b.{0,60}$", re.IGNORECASE)
_FIGURE = re.compile(
    r"(?:fig|figs|figure|abb|bild|plate|illus|illustration|photo)\b\.? ?"
    r"(?:no\.? ?)?(?=[0-9A-Z.–-]{0,6}[0-9])[0-9A-Z]{1,4}(?:[.–-][0-9A-Z]{1,4}){0,3}[.:]?(?P<name> .{1,80})?",
    re.IGNORECASE,
)
_FAR_RIGHT = (
    70.0  # points beyond the text's indent where a line that stands apart is no paragraph of the step
)


@dataclass(slots=True)
class DraftNotice:
    """A notice as it is being gathered."""

    kind: str
    lines: list[str]
    frame: Box | None
    last: Row


@dataclass(slots=True)
class Draft:
    """A step as it is being gathered: its candidate, text lines, notices and boxes on its own sheet."""

    start: Candidate
    section: str | None
    cluster: int
    lines: list[str] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    notices: list[DraftNotice] = field(default_factory=list)

    def text(self, known: frozenset[str]) -> str:
        """Its words in reading order, hyphens at line ends mended."""
        return join_lines(self.lines, known)

    def box(self) -> Box | None:
        """The rectangle around its rows on the sheet where it starts."""
        boxes = [w.box for r in self.rows if r.page == self.start.page for w in r.words]
        if not boxes:
            return None
        return Box(
            min(b.x0 for b in boxes),
            min(b.top for b in boxes),
            max(b.x1 for b in boxes),
            max(b.bottom for b in boxes),
        )


@dataclass(frozen=True, slots=True)
class Plan:
    """What each row is, by its number: a step's start, a sub-step's mark (its length), a heading; `skipped`
    rows
    are numbers set apart, which were joined to their text. `framed` gives the rows of each notice box."""

    starts: Mapping[int, tuple[Candidate, int]]
    inner: Mapping[int, int]
    headings: Mapping[int, Heading]
    skipped: frozenset[int]
    framed: Mapping[int, tuple[int, ...]]
    captions: frozenset[int] = frozenset()


def gather(
    rows: Sequence[Row], plan: Plan, look: Look, cover: bool
) -> tuple[list[Draft], dict[int, str | None]]:
    """All steps with their lines, and the section in force at the end of each page, by page index."""
    state = _Gathering(rows, plan, look, wrap_offsets(rows, plan))
    for row in rows:
        state.take(row)
        if cover and row.page == 0:
            state.section = None
    _part_words(state.drafts, rows)
    return state.drafts, state.sections


def _read_by_ocr(row: Row) -> bool:
    """True if some word of a line is less than sure: only OCR says so."""
    return row.unsure


def _part_words(drafts: Sequence[Draft], rows: Sequence[Row]) -> None:
    """Set apart again what OCR ran together in steps and notices, by the words of the document itself."""
    scanned = {r.page for r in rows if _read_by_ocr(r)}
    if not scanned:
        return
    known = parting(r.text for r in rows)
    for draft in drafts:
        if draft.start.page in scanned:
            draft.lines = [known.parted(line) for line in draft.lines]
            for notice in draft.notices:
                notice.lines = [known.parted(line) for line in notice.lines]


def wrap_offsets(rows: Sequence[Row], plan: Plan) -> dict[int, float]:
    """How far wrapped lines stand to the right of the mark, by cluster of steps, in points."""
    found: Mapping[int, list[float]] = defaultdict(list)
    for n, (candidate, cluster) in plan.starts.items():
        after = rows[n + 1] if n + 1 < len(rows) else None
        if (
            after is None
            or after.apart
            or after.page != candidate.page
            or n + 1 in plan.starts
            or n + 1 in plan.inner
        ):
            continue
        found[cluster].append(after.x - candidate.x)
    return {cluster: median(offsets) for cluster, offsets in found.items()}


def step_gaps(rows: Sequence[Row], plan: Plan, look: Look) -> dict[int, float]:
    """The usual free height above a step, by cluster, where steps stand apart from one another; in points."""
    found: Mapping[int, list[float]] = defaultdict(list)
    for n, (_, cluster) in plan.starts.items():
        before = rows[n - 1] if n else None
        plain = before is not None and before.place == "text" and n - 1 not in plan.headings
        if plain and not rows[n].fresh:
            found[cluster].append(rows[n].line.gap)
    usual = {cluster: median(gaps) for cluster, gaps in found.items() if len(gaps) > 2}
    return {cluster: gap for cluster, gap in usual.items() if gap > look.leading + 0.3 * look.size}


class _Gathering:
    def __init__(self, rows: Sequence[Row], plan: Plan, look: Look, wraps: Mapping[int, float]) -> None:
        self.rows, self.plan, self.look, self.wraps = rows, plan, look, wraps
        self.gaps = step_gaps(rows, plan, look)
        self.drafts: list[Draft] = []
        self.sections: dict[int, str | None] = {}
        self.section: str | None = None
        self.item: Draft | None = None
        self.notice: DraftNotice | None = None
        self.waiting: list[DraftNotice] = []  # notices that stand before the section's first step
        self.anchor: Draft | None = None  # the step before, on which notices hang
        self.caption: Row | None = None
        self.in_frame = {n: start for start, group in plan.framed.items() for n in group}

    def take(self, row: Row) -> None:
        """Give one row its place."""
        self.sections[row.page] = self.section
        if row.n in self.plan.skipped or row.place in ("table", "figure") or not row.text.strip():
            return
        if row.n in self.plan.starts:
            self._start(row)
        elif row.n in self.plan.headings:
            self._head(row)
        elif row.n in self.in_frame:
            self._frame(row)
        elif self._is_aside(row):
            self.notice = None
        else:
            self._text(row)
        self.sections[row.page] = self.section

    def _start(self, row: Row) -> None:
        candidate, cluster = self.plan.starts[row.n]
        self.item = Draft(candidate, self.section, cluster)
        text = (
            row.text
            if candidate.lone is not None
            else row.text[candidate.mark.length :].lstrip(" \t:\u2013\u2014-")
        )
        lone = [self.rows[candidate.lone]] if candidate.lone is not None else []
        self.item.lines.append(text.strip())
        self.item.rows.extend([*lone, row])
        self.item.notices.extend(self.waiting)
        self.drafts.append(self.item)
        self.anchor, self.waiting, self.notice = self.item, [], None

    def _head(self, row: Row) -> None:
        heading = self.plan.headings[row.n]
        name = without_continued(heading.text)
        again = self.section is not None and name.casefold() == self.section.casefold()
        if row.n != heading.row or again:
            return
        self.section, self.item, self.notice, self.anchor = name, None, None, None
        self.waiting = []

    def _frame(self, row: Row) -> None:
        if self.in_frame[row.n] != row.n and self.notice is not None and self.notice.frame == row.line.frame:
            self._add_to_notice(row)
            return
        start = notice_start(row)
        kind, length = start if start else ("NOTE", 0)
        self._open_notice(kind, row, length)

    def _open_notice(self, kind: str, row: Row, length: int) -> None:
        text = row.text[length:].lstrip(" :\u2013\u2014-")
        frame = row.line.frame if row.n in self.in_frame else None
        self.notice = DraftNotice(kind, [text] if text else [], frame, row)
        (self.anchor.notices if self.anchor else self.waiting).append(self.notice)

    def _add_to_notice(self, row: Row) -> None:
        if self.notice is not None:
            self.notice.lines.append(row.text)
            self.notice.last = row

    def _is_aside(self, row: Row) -> bool:
        """Captions and `continued` lines belong to no step."""
        if row.n in self.plan.captions or self._is_figure_name(row):
            self.caption = row
            return True
        before = self.caption
        if before is not None and before.n == row.n - 1 and not row.apart:
            small = before.size < 0.93 * self.look.size and abs(before.size - row.size) < 0.3
            if small:
                self.caption = row
                return True
        return _CONTINUED.match(row.text) is not None

    def _is_figure_name(self, row: Row) -> bool:
        """True for `Fig. 2A.6a` on a line of its own, where the sentence before it has ended."""
        found = _FIGURE.fullmatch(row.text)
        if found is None or (found["name"] and not (row.apart or row.x > _FAR_RIGHT)):
            return False
        if found["name"] and (not found["name"][1].isupper() or _SAID_ENDED.search(row.text)):
            return False
        before = self.item.lines[-1] if self.item else ""
        return row.fresh or not before or _SAID_ENDED.search(before) is not None

    def _heads_restart(self, row: Row, item: Draft) -> bool:
        """True by OCR for a title, which has lost its type there, above where the numbers begin anew."""
        below = next((n for n in range(row.n + 1, row.n + 3) if n in self.plan.starts), None)
        if below is None or not is_plain_heading(row) or not _SAID_ENDED.search(item.lines[-1]):
            return False
        again = self.plan.starts[below][0].mark.values <= item.start.mark.values
        return again and any(_read_by_ocr(self.rows[n]) for n in range(item.start.row, below + 1))

    def _text(self, row: Row) -> None:
        start = notice_start(row)
        if start is not None:
            self._open_notice(start[0], row, start[1])
        elif self._continues_notice(row):
            self._add_to_notice(row)
        else:
            self.notice = None
            self._continue_item(row)

    def _continues_notice(self, row: Row) -> bool:
        notice = self.notice
        if notice is None or notice.frame is not None:
            return False
        if not notice.lines:  # the word stands alone above its text
            return True
        if row.page != notice.last.page or row.fresh:
            return _UNFINISHED.search(notice.lines[-1]) is not None
        return not row.apart

    def _continue_item(self, row: Row) -> None:
        item = self.item
        if item is None:
            return
        if not self._belongs(row, item):
            self.item = None
            return
        text = self._without_sub_mark(row, item)
        item.lines.append(text)
        item.rows.append(row)

    def _belongs(self, row: Row, item: Draft) -> bool:
        """A wrapped line stands where wrapped lines stand; a paragraph of its own only if indented like the
        text."""
        start, last = item.start, item.rows[-1]
        if self._stands_off(row, item) or self._heads_restart(row, item):
            return False
        offset = self.wraps.get(item.cluster, start.text_x - start.x)
        deep = row.x - start.x
        if row.n in self.plan.inner or self._runs_over(row, item):
            return True
        if offset > 3:
            far = row.apart and deep > start.text_x - start.x + _FAR_RIGHT
            return deep > 0.5 * min(offset, start.text_x - start.x) and not far
        if row.fresh or row.page != last.page:
            return _UNFINISHED.search(item.lines[-1]) is not None and not row.text[:1].isupper()
        return not row.apart or deep > 6

    def _runs_over(self, row: Row, item: Draft) -> bool:
        """True if a step goes on at the top of a column or page: in a sentence, or in its list of points."""
        if not (row.fresh or row.page != item.rows[-1].page):
            return False
        if bullet_length(row.text) and row.x > 3:
            return bullet_length(item.rows[-1].text) > 0 or row.x > item.start.text_x - 2
        return _UNFINISHED.search(item.lines[-1]) is not None and row.text[:1].islower()

    def _stands_off(self, row: Row, item: Draft) -> bool:
        """True if a paragraph stands further from the step than steps stand from one another."""
        usual = self.gaps.get(item.cluster)
        if usual is None or row.fresh or row.n in self.plan.inner:
            return False
        after_notice = row.n - 1 in self.in_frame or (
            self.notice is not None and self.notice.last.n == row.n - 1
        )
        return row.line.gap > usual + (1.0 if after_notice else 0.25) * self.look.size

    def _without_sub_mark(self, row: Row, item: Draft) -> str:
        text = row.text
        if row.n in self.plan.inner:
            return text[self.plan.inner[row.n] :].strip()
        length = bullet_length(text)
        if length and (
            row.x > item.start.text_x + 2 or _SAID_ENDED.search(item.lines[-1]) or self._in_list(row)
        ):
            return text[length:].strip()
        return text

    def _in_list(self, row: Row) -> bool:
        """True if the line above or below opens with a bullet at the same indent: then this is no dash."""
        near = [self.rows[n] for n in (row.n - 1, row.n + 1) if 0 <= n < len(self.rows)]
        return any(bullet_length(r.text) and abs(r.x - row.x) < 2 and r.page == row.page for r in near)


def finished(draft: DraftNotice, known: frozenset[str]) -> Notice:
    """The notice with its lines joined."""
    return Notice(draft.kind, join_lines(draft.lines, known))


def starts_of(runs: Sequence[Run]) -> dict[int, tuple[Candidate, int]]:
    """Each step's candidate and cluster by its row."""
    return {c.row: (c, r.cluster) for r in runs for c in r.members}

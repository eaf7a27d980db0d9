"""Levels: which runs of marks number the steps, which number sections above them, and which sub-steps
inside."""

import tomllib
from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from statistics import median

from benchleaf.ingest.book.chain import Candidate, Run
from benchleaf.ingest.book.marks import read_marks
from benchleaf.ingest.book.rows import Look, Row, typeless
from benchleaf.ingest.book.sections import can_be_heading, is_caption, is_heading

_IMPERATIVE_LENGTH = 5  # entries of a legend are seldom longer, in words
_LONGEST_TITLE = 8  # words
_SET_OFF = 0.4  # ems more above a title than above steps
_LATEST = 12  # runs before this one among which its step is looked for, besides those still going on


@dataclass(frozen=True, slots=True)
class Levels:
    """What each run turned out to be: runs of steps, runs that number sections, and sub-steps inside
    steps."""

    items: tuple[Run, ...]
    sections: tuple[Run, ...]
    inner: tuple[Run, ...]


def find_levels(runs: Sequence[Run], rows: Sequence[Row], look: Look, heads: Sequence[int]) -> Levels:
    """Sort the runs of a document by level. `heads` are rows of headings without numbers."""
    sound = [r for r in _sound(runs) if not _is_legend(r, rows)]
    above = _heading_clusters(sound, rows, look)
    sections = tuple(r for r in sound if r.cluster in above)
    rest = _without_overlap([r for r in sound if r.cluster not in above])
    limits = sorted({*heads, *(c.row for r in sections for c in r.members)})
    decimals = _decimals(rest)
    apart = {id(r) for r in decimals}
    plain = [r for r in rest if id(r) not in apart]
    inner = _inner(plain, limits)
    held = {id(r) for r in inner}
    items = _one_kind((*_apart([r for r in plain if id(r) not in held]), *decimals))
    return Levels(items, sections, inner)


def _sound(runs: Sequence[Run]) -> list[Run]:
    """Runs that score enough; a run of one only where its style and indent number steps elsewhere too."""
    strength: Counter[int] = Counter()
    for run in runs:
        strength[run.cluster] += len(run.members) if len(run.members) > 1 else 0
    return [r for r in runs if _is_sound(r, strength[r.cluster])]


def _is_sound(run: Run, strength: int) -> bool:
    if len(run.members) == 1:
        mark = run.members[0].mark
        proven = strength >= 3 and run.score > 0.5
        return proven or (
            mark.style.startswith(("word", "n.", "(n)", "n)")) and run.score > 1.0 and mark.last == 1
        )
    least = 2.6 if run.members[0].mark.bare else 1.8
    if run.members[0].mark.bare and len(run.members) == 2 and strength < 5:
        return False
    return run.score >= least


def _is_legend(run: Run, rows: Sequence[Row]) -> bool:
    """True for the key to a figure's callouts: short names without full stops, right after a caption or
    picture."""
    entries = [_entry(c, rows) for c in run.members]
    short = median(len(e.split()) for e in entries) <= _IMPERATIVE_LENGTH
    if not short or any(e.rstrip().endswith(".") for e in entries[:-1]):
        return False
    work = sum((e.split() or [""])[0].lower() in _verbs() for e in entries)
    if work * 2 >= len(entries):
        return False
    return _near_picture(run, rows) or run.members[0].size > 1.1 * _size_of(run, rows)


@cache
def _verbs() -> frozenset[str]:
    text = resources.files("benchleaf.ingest.book").joinpath("work.toml").read_text(encoding="utf-8")
    raw = tomllib.loads(text)
    return frozenset(raw["verbs"])


def _after_mark(candidate: Candidate, rows: Sequence[Row]) -> str:
    text = rows[candidate.row].text
    return text if candidate.lone is not None else text[candidate.mark.length :].strip()


def _entry(candidate: Candidate, rows: Sequence[Row]) -> str:
    """What follows a mark, with the line below if the entry goes on there."""
    text = _after_mark(candidate, rows)
    below = rows[candidate.row + 1] if candidate.row + 1 < len(rows) else None
    goes_on = below is not None and not below.apart and below.place == "text" and not read_marks(below.text)
    return f"{text} {below.text}" if goes_on and below is not None else text


def _size_of(run: Run, rows: Sequence[Row]) -> float:
    return median(rows[c.row].size for c in run.members)


def _near_picture(run: Run, rows: Sequence[Row]) -> bool:
    first, last = run.members[0], run.members[-1]
    near = [*rows[max(0, first.row - 3) : first.row], *rows[last.row + 1 : last.row + 3]]
    near = [r for r in near if r.page in (first.page, last.page)]
    return any(r.place == "figure" or is_caption(r.text) or _is_key_word(r.text) for r in near)


def _is_key_word(text: str) -> bool:
    return text.strip(" :.").lower() in ("key", "legend", "key to figure", "parts", "callouts", "index")


def _heading_clusters(runs: Sequence[Run], rows: Sequence[Row], look: Look) -> frozenset[int]:
    """Clusters whose marks number headings: most members look like headings, or head deeper numbers (5.3,
    5.3.1)."""
    members: Mapping[int, list[Candidate]] = defaultdict(list)
    for run in runs:
        members[run.cluster].extend(run.members)
    deeper = {v for r in runs for c in r.members for v in _parents(c)}
    listed = _heads_of_lists(runs, rows)
    return frozenset(
        cluster
        for cluster, group in members.items()
        if 2 * sum(c.row in listed or _heads(c, rows, look, deeper) for c in group) > len(group)
    )


def _heads_of_lists(runs: Sequence[Run], rows: Sequence[Row]) -> set[int]:
    """Numbered lines worded like headings, each right above a numbered list of its own that begins at 1.

    Where type tells nothing, as on pages read by OCR, also titles with other steps before the next title.
    """
    begins = {
        r.members[0].row: r for r in runs if r.members[0].mark.last == 1 and not r.members[0].mark.lettered
    }
    found: set[int] = set()
    for run in runs:
        for candidate in run.members:
            below = begins.get(candidate.row + 1)
            own = below is not None and below.cluster != run.cluster and below.x > run.x - 3
            if own and can_be_heading(rows[candidate.row]) and not rows[candidate.row].text.endswith(":"):
                found.add(candidate.row)
    return found | _titles(runs, rows) if typeless(rows) else found


def _titles(runs: Sequence[Run], rows: Sequence[Row]) -> set[int]:
    """Numbered lines that name no work, stand alone, and have other steps before the next of them."""
    places = {
        r.cluster: sorted(c.row for o in runs if o.cluster != r.cluster for c in o.members) for r in runs
    }
    found: set[int] = set()
    for run in runs:
        if run.members[0].mark.lettered:
            continue
        for candidate, after in zip(run.members, (*run.members[1:], None), strict=True):
            others = places[run.cluster]
            at = bisect_left(others, candidate.row + 1)
            follows = at < len(others) and (after is None or others[at] < after.row)
            if follows and is_title(_after_mark(candidate, rows), rows, candidate.row):
                found.add(candidate.row)
    return found


def is_title(text: str, rows: Sequence[Row], at: int) -> bool:
    """True for a short line that stands alone and does not begin with a verb of work."""
    after = rows[at + 1] if at + 1 < len(rows) else None
    alone = after is None or after.apart or after.page != rows[at].page or bool(read_marks(after.text))
    words = text.split()
    wordy = 0 < len(words) <= _LONGEST_TITLE and words[0].lower() not in _verbs()
    return alone and wordy and can_be_heading(rows[at]) and not text.endswith(":")


def lone_titles(rows: Sequence[Row], look: Look, barred: frozenset[int]) -> list[int]:
    """Unnumbered titles on pages where type tells nothing: short lines with more free height above them than
    steps have, after a finished sentence, a picture or at a column's top."""
    if not typeless(rows):
        return []
    gaps = [r.line.gap for r in rows if r.apart and not r.fresh and read_marks(r.text)]
    usual = median(gaps) if gaps else look.leading
    found = []
    for row in rows:
        if row.n in barred or not row.apart or read_marks(row.text) or not is_title(row.text, rows, row.n):
            continue
        above = rows[row.n - 1] if row.n else None
        free = row.fresh or row.line.gap > usual + _SET_OFF * look.size
        ended = above is None or above.place != "text" or above.text[-1:] in ".:!?)"
        if free and (ended or row.fresh) and sum(c.isalpha() for c in row.text) > 3:
            found.append(row.n)
    return found


def _parents(candidate: Candidate) -> list[tuple[int, ...]]:
    values = candidate.mark.values
    return [values[:k] for k in range(1, len(values))]


def _heads(candidate: Candidate, rows: Sequence[Row], look: Look, deeper: set[tuple[int, ...]]) -> bool:
    row = rows[candidate.row]
    if is_heading(row, look):
        return True
    return candidate.mark.values in deeper and not candidate.mark.lettered and can_be_heading(row)


def _without_overlap(runs: Sequence[Run]) -> list[Run]:
    """Of two runs that claim one row, the better one keeps it."""
    taken: set[int] = set()
    kept: list[Run] = []
    for run in sorted(runs, key=lambda r: -r.score):
        rows = {c.row for c in run.members}
        if not rows & taken:
            taken |= rows
            kept.append(run)
    return sorted(kept, key=lambda r: r.members[0].row)


def _inner(runs: Sequence[Run], limits: Sequence[int]) -> tuple[Run, ...]:
    """Runs that stand inside one step of another run."""
    found: list[Run] = []
    before: list[Run] = []  # runs that begin earlier: the latest ones, and those that still go on
    for run in runs:
        first = run.members[0].row
        before = [r for r in before[:-_LATEST] if r.members[-1].row >= first] + before[-_LATEST:]
        if any(_holds(outer, run, limits) for outer in before if outer.cluster != run.cluster):
            found.append(run)
        before.append(run)
    return tuple(found)


def _holds(outer: Run, run: Run, limits: Sequence[int]) -> bool:
    """True if the whole run stands inside one step of `outer`, and is indented or of a lower kind of mark."""
    places = [c.row for c in outer.members]
    at = bisect_left(places, run.members[0].row)
    if at == 0:
        return False
    end = places[at] if at < len(places) else _next_limit(places[-1], limits)
    if run.members[-1].row >= end:
        return False
    lettered = run.members[0].mark.lettered and not outer.members[0].mark.lettered
    deeper = run.x > outer.x + 3
    followed = at < len(places)
    return deeper or ((lettered or run.style != outer.style) and (followed or lettered))


def _next_limit(row: int, limits: Sequence[int]) -> int:
    at = bisect_left(limits, row + 1)
    return limits[at] if at < len(limits) else 1 << 30


def _decimals(runs: Sequence[Run]) -> tuple[Run, ...]:
    """Runs such as 2.1, 2.2 that stand within step 2 of another run: steps of their own."""
    earliest: dict[tuple[int, ...], int] = {}
    for run in runs:
        for candidate in run.members:
            earliest.setdefault(candidate.mark.values, candidate.row)
    return tuple(r for r in runs if _within(r.members[0], earliest))


def _within(first: Candidate, earliest: Mapping[tuple[int, ...], int]) -> bool:
    parents = first.mark.values[:-1]
    return bool(parents) and earliest.get(parents, first.row) < first.row


def _apart(runs: Sequence[Run]) -> tuple[Run, ...]:
    """Runs that follow one another; of two that mingle, the better one is kept."""
    kept: list[tuple[int, int]] = []
    chosen: list[Run] = []
    for run in sorted(runs, key=lambda r: -r.score):
        span = (run.members[0].row, run.members[-1].row)
        at = bisect_left(kept, span)
        after = at == len(kept) or span[1] < kept[at][0]
        before = at == 0 or kept[at - 1][1] < span[0]
        if after and before:
            kept.insert(at, span)
            chosen.append(run)
    return tuple(sorted(chosen, key=lambda r: r.members[0].row))


def _one_kind(found: tuple[Run, ...]) -> tuple[Run, ...]:
    """Letters number steps only where they do so throughout: beside numbered steps a stray lettered run
    does not."""
    runs = sorted(found, key=lambda r: r.members[0].row)
    numbered = sum(len(r.members) for r in runs if not r.members[0].mark.lettered)
    lettered = sum(len(r.members) for r in runs if r.members[0].mark.lettered)
    if lettered > numbered:
        return tuple(r for r in runs if r.members[0].mark.lettered or len(r.members) > 2)
    return tuple(r for r in runs if not r.members[0].mark.lettered)

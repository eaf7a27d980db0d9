"""The chain of numbered steps: which line-leading numbers are steps, found as the best-scoring increasing
runs.

Callouts, quantities, table cells and wrapped values also lead lines. They lose because their indent, style or
sequence does not fit. The search is dynamic programming over the candidates of one style and indent.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.ingest.book.marks import Mark

SUCCESSOR = 1.0
SKIPPED = 0.45  # the cost of each number that is missing inside a run
FARTHEST = 6  # numbers that a run may skip
LOOK_BACK = 60  # candidates before this one that may precede it in its run
RESTART = {"heading": 0.1, "page": 0.35, "none": 0.9}
FROM_ELSEWHERE = 1.1  # the cost of a run that does not begin at 1: pages before it may be missing
LEAST = 1.2  # what a run must score to count as a run


@dataclass(frozen=True, slots=True)
class Candidate:
    """A line-leading mark. `row` is its line in the reading order, `x`, `x1` and `text_x` are the left and
    right
    edge of the mark and the left edge of the text after it, in points from the column's edge.

    `worth` is what speaks for it by itself (about -2 to 2). `section` counts the headings before it.
    `lone` is the row of the number itself where the layout left it as a line of its own.
    """

    row: int
    mark: Mark
    x: float
    x1: float
    text_x: float
    worth: float = 1.0
    page: int = 0
    section: int = 0
    size: float = 10.0
    lone: int | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """Consecutive steps of one style and indent. `cluster` is shared by the runs of that style and indent."""

    members: tuple[Candidate, ...]
    score: float
    cluster: int

    @property
    def style(self) -> str:
        """The style of its marks."""
        return self.members[0].mark.style

    @property
    def x(self) -> float:
        """Its smallest indent in points."""
        return min(c.x for c in self.members)

    @property
    def gaps(self) -> tuple[tuple[Candidate, Candidate], ...]:
        """Neighbours between which numbers are missing."""
        pairs = zip(self.members, self.members[1:], strict=False)
        return tuple((a, b) for a, b in pairs if _step(a.mark, b.mark) > 1)


def best_runs(candidates: Sequence[Candidate], by_ocr: bool = False) -> tuple[Run, ...]:
    """The runs of steps among all candidates, in reading order. By OCR, `(1)` and `1)` count as one style."""
    runs: list[Run] = []
    for number, cluster in enumerate(clusters(candidates, by_ocr)):
        for members, score in _split(best_chain(cluster)):
            runs.append(Run(members, score, number))
    return tuple(sorted(runs, key=lambda r: r.members[0].row))


def clusters(candidates: Sequence[Candidate], by_ocr: bool = False) -> list[list[Candidate]]:
    """Candidates of one style that stand at one indent, by left edge, right edge or the text after them."""
    families: dict[str, list[Candidate]] = defaultdict(list)
    for candidate in candidates:
        families[_family(candidate.mark, by_ocr)].append(candidate)
    return [c for family in families.values() for c in _aligned(family, 4.0 if by_ocr else 2.2)]


def _family(mark: Mark, by_ocr: bool) -> str:
    if not by_ocr:
        return mark.style
    return {"n)": "(n)", "n-": "n.", "n:": "n.", "a)": "(a)", "A)": "(A)"}.get(mark.style, mark.style)


def _aligned(family: Sequence[Candidate], slack: float) -> list[list[Candidate]]:
    groups: list[tuple[Candidate, list[Candidate]]] = []
    for candidate in family:
        own = [g for g in groups if any(_same_indent(candidate, c, slack) for c in _samples(g[1]))]
        if not own:
            groups.append((candidate, [candidate]))
            continue
        own[0][1].append(candidate)
        for other in own[1:]:  # this candidate joins groups that seemed apart
            own[0][1].extend(other[1])
            groups.remove(other)
    return [sorted(g[1], key=lambda c: c.row) for g in groups]


def _samples(group: Sequence[Candidate]) -> Iterable[Candidate]:
    """A few members stand for all: the first ones and the latest."""
    return (*group[:6], *group[-6:])


def _same_indent(a: Candidate, b: Candidate, slack: float) -> bool:
    """Left edges agree; or, with different widths (9 and 10), the right edges or the texts do."""
    if abs(a.x - b.x) <= slack:
        return True
    if abs(a.x - b.x) > 1.3 * max(a.size, b.size) or len(a.mark.label) == len(b.mark.label):
        return False
    return abs(a.x1 - b.x1) <= slack or abs(a.text_x - b.text_x) <= slack


@dataclass(frozen=True, slots=True)
class Link:
    """A candidate in the best chain so far: the score up to it, where it came from, and if it begins a
    run."""

    score: float
    before: int | None
    begins: bool


def best_chain(cluster: Sequence[Candidate]) -> list[tuple[Candidate, Link]]:
    """The best-scoring sequence of runs within candidates that are in reading order."""
    links: list[Link] = []
    tens = _by_tens(cluster)
    best: int | None = None  # the end of the best chain among the candidates so far
    for index, candidate in enumerate(cluster):
        links.append(_best_link(cluster, links, index, candidate, best, tens))
        if best is None or links[index].score > links[best].score:
            best = index
    return _walk_back(cluster, links, best)


def _by_tens(cluster: Sequence[Candidate]) -> bool:
    """True if nearly all numbers of a cluster are tens: steps counted 10, 20, 30 begin at 10."""
    tens = sum(c.mark.last > 0 and c.mark.last % 10 == 0 for c in cluster)
    return tens > 1 and tens >= 0.8 * len(cluster)


def _best_link(
    cluster: Sequence[Candidate],
    links: Sequence[Link],
    index: int,
    candidate: Candidate,
    best: int | None,
    tens: bool,
) -> Link:
    before = best if best is not None and links[best].score > 0 else None
    base = links[before].score if before is not None else 0.0
    start = candidate.worth - _start_cost(candidate, cluster[index - 1] if index else None, tens)
    top = Link(base + start, before, True)
    for j in range(max(0, index - LOOK_BACK), index):
        gain = _gain(cluster[j], candidate)
        if gain is not None and links[j].score + gain + candidate.worth > top.score:
            top = Link(links[j].score + gain + candidate.worth, j, False)
    return top


def _start_cost(candidate: Candidate, before: Candidate | None, tens: bool = False) -> float:
    if before is None or before.section != candidate.section:
        cost = RESTART["heading"]
    else:
        cost = RESTART["page"] if before.page != candidate.page else RESTART["none"]
    first = candidate.mark.last in (0, 1) or (
        candidate.mark.last == 10 and (tens or "word" in candidate.mark.style)
    )
    return cost if first and candidate.mark.suffix in ("", "a") else cost + FROM_ELSEWHERE


def _gain(a: Candidate, b: Candidate) -> float | None:
    """What it is worth that b follows a in one run; None if it cannot."""
    step = _step(a.mark, b.mark)
    if step < 1 or step > FARTHEST:
        return None
    far = 0.2 * min(3, b.page - a.page - 1) if b.page - a.page > 1 else 0.0
    return SUCCESSOR - SKIPPED * (step - 1) - far


def _step(a: Mark, b: Mark) -> int:
    """How many numbers on b is from a: 1 for its successor, 0 or less if it cannot follow."""
    if len(a.values) != len(b.values) or a.values[:-1] != b.values[:-1]:
        return 0
    if a.last == b.last:  # 5, 5a, 5b
        return ord(b.suffix) - ord(a.suffix or "`") if b.suffix else 0
    step = b.last - a.last
    if b.suffix not in ("", "a"):
        return 0
    by_tens = a.last % 10 == 0 == b.last % 10 and step % 10 == 0
    return step // 10 if by_tens else step


def _walk_back(
    cluster: Sequence[Candidate], links: Sequence[Link], best: int | None
) -> list[tuple[Candidate, Link]]:
    chain: list[tuple[Candidate, Link]] = []
    at = best
    while at is not None:
        chain.append((cluster[at], links[at]))
        at = links[at].before
    return chain[::-1]


def _split(chain: Sequence[tuple[Candidate, Link]]) -> Iterable[tuple[tuple[Candidate, ...], float]]:
    """The chain cut where runs begin, each with its own share of the score."""
    members: list[Candidate] = []
    base = last = 0.0
    for candidate, link in chain:
        if link.begins and members:
            yield tuple(members), last - base
            members, base = [], last
        members.append(candidate)
        last = link.score
    if members:
        yield tuple(members), last - base

"""Which step an override is about, and which values it changes."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.model import Target
from benchleaf.ingest.phrases.contents import quantity
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.references import Reference, completed, merged
from benchleaf.ingest.phrases.tags import CODE, PART, QUOTE, REF, WEAK

_BARE = re.compile(r"[0-9]+(?:[.,/][0-9]+)?(?: ?[–-] ?[0-9]+(?:[.,][0-9]+)?)?")
_UNIT_OF = re.compile(r"^[±+-]?(?:[0-9.,/ ]|[–-](?=[ 0-9]))++(?P<unit>[^0-9(\[ ][^(\[]*)")
_POINTS_TO = re.compile(
    r"\b(?:as (?:described|shown|given|stated|explained|specified|laid down|set out)"
    r"|according|in accordance|see|see also"
    r"|refer|compare|as per|as in)(?: (?:in|to|under|on|at|with|by))? (?:the )?$",
    re.IGNORECASE,
)
_JOINED = re.compile(
    r" ?(?:,|;|&|and|, and|as well as)(?: also)?(?: (?:in|on|at|for|of))?(?: the)? ?", re.IGNORECASE
)
_CLAUSE_END = re.compile(r"[;.:](?= )")
_ELSEWHERE = "the sentence names the step for another change"
_OLD_OR_NEW = re.compile(
    r"\b(?:old|new|was|previously|formerly|before|after|now|wrong|correct|existing)(?: value)? ?[:=]? ?$",
    re.IGNORECASE,
)
_WORD_UNIT = re.compile(r"(?P<count>[a-z-]+) (?P<unit>[a-z]+)$", re.IGNORECASE)
_LETTERED = re.compile(r"(?P<number>[0-9]{1,3})\s?\(?(?P<letter>[A-Za-z])\)?")


@dataclass(frozen=True, slots=True)
class Values:
    """A value (or quoted words) before and after, as printed."""

    was: str | None
    now: str | None


def cited(
    passage: Passage, match: Match, start: int, end: int, others: Sequence[tuple[int, int]] = ()
) -> tuple[Reference, ...]:
    """The references that an override in folded[start:end] speaks of: those within the match, completed
    by those around it in the sentence; else those of its own clause, which `others`, the stretches of other
    readings, bound. Empty if they contradict one another."""
    left = max((b for a, b in others if start <= b <= match.start), default=start)
    right = min((a for a, b in others if end >= a >= match.end), default=end)
    mine = [r for span in match.spans("ref") for r in _in(passage, *span)]
    mine = mine or [r for r in _in(passage, match.start, match.end) if r.items]
    if not mine:
        mine = _of_clause(passage, match, left, right) or _of_sentence(passage, match, start, end)
    if mine and not any(r.items for r in mine):
        mine = [*mine, *_of_clause(passage, match, left, right)]
    grouped = _grouped(mine or _in(passage, match.start, match.end))
    if len(grouped) > 1:
        return _shared(grouped)
    before = _in(passage, left, match.start)[::-1]
    return _completed(
        grouped, [*before, *_in(passage, match.start, match.end), *_behind(passage, match, right)]
    )


def _completed(grouped: Sequence[Reference], around: Sequence[Reference]) -> tuple[Reference, ...]:
    """One citation with what the references around it, nearest first, add to it."""
    whole = grouped[0] if grouped else Reference()
    for one in around:
        if one.items and one not in grouped:
            continue
        whole = merged([whole, one]) or whole
    return (whole,) if whole != Reference() else ()


def _behind(passage: Passage, match: Match, right: int) -> list[Reference]:
    """References behind a match, as far as its clause goes."""
    stop = _CLAUSE_END.search(passage.folded, match.end, right)
    return _in(passage, match.end, stop.start() if stop else right)


def _of_clause(passage: Passage, match: Match, left: int, right: int) -> list[Reference]:
    """The steps last named before a match in its clause, else those first named behind it."""
    before = _run(passage, _placed(passage, left, match.start)[::-1])[::-1]
    return before or _run(passage, _placed(passage, match.end, right))


def _of_sentence(passage: Passage, match: Match, start: int, end: int) -> list[Reference]:
    """The step that another reading of the sentence names: that it is meant here too is a doubt."""
    found = _run(passage, _placed(passage, start, match.start)[::-1])[::-1]
    return [replace(r, why=(*r.why, _ELSEWHERE)) for r in found]


def _placed(passage: Passage, start: int, end: int) -> list[tuple[int, Reference]]:
    found = [(place, tag.content) for place, tag in passage.tagged.inside(start, end) if tag.kind == REF]
    return [(p, r) for p, r in found if isinstance(r, Reference) and r.items and not _aside(passage, p)]


def _run(passage: Passage, found: Sequence[tuple[int, Reference]]) -> list[Reference]:
    """The first of some references with those that a mere "and" or comma joins to it."""
    run: list[tuple[int, Reference]] = []
    for place, one in found:
        if run:
            a, b = sorted((place, run[-1][0]))
            if not _JOINED.fullmatch(passage.folded[a + 1 : b]):
                break
        run.append((place, one))
    return [r for _, r in run]


def contradicted(
    passage: Passage,
    match: Match,
    start: int,
    end: int,
    chosen: Sequence[Reference],
    others: Sequence[tuple[int, int]] = (),
) -> bool:
    """True if the sentence cites, beside the chosen ones, a step that is another; what other readings of the
    sentence speak of does not count."""
    for a, b in ((start, match.start), (match.end, end)):
        for place, tag in passage.tagged.inside(a, b):
            found = tag.content
            if not isinstance(found, Reference) or any(x <= place < y for x, y in others):
                continue
            if found.items and all(merged([found, c]) is None for c in chosen):
                return True
    return False


def _in(passage: Passage, start: int, end: int) -> list[Reference]:
    found = [(place, tag.content) for place, tag in passage.tagged.inside(start, end) if tag.kind == REF]
    return [r for place, r in found if isinstance(r, Reference) and not _aside(passage, place)]


def _aside(passage: Passage, place: int) -> bool:
    """True for a step that the sentence only points to: "as described in item 7"."""
    return _POINTS_TO.search(passage.folded[max(0, place - 40) : place]) is not None


def _grouped(found: Sequence[Reference]) -> list[Reference]:
    """ "WM 2, page 24" and "item 3" side by side are one citation."""
    groups: list[Reference] = []
    for one in found:
        joined = merged([groups[-1], one]) if groups and not (groups[-1].items and one.items) else None
        if joined is not None:
            groups[-1] = joined
        else:
            groups.append(one)
    return groups


def _shared(groups: Sequence[Reference]) -> tuple[Reference, ...]:
    """ "item 3 on page 4 and item 5 on page 6 of X": the publication holds for all."""
    publications = dict.fromkeys(g.publication for g in groups if g.publication)
    pages = dict.fromkeys(g.page for g in groups if g.page)
    common = Reference(
        next(iter(publications)) if len(publications) == 1 else None,
        next(iter(pages)) if len(pages) == 1 else None,
    )
    return tuple(completed(g, common) for g in groups)


def targets(reference: Reference) -> tuple[Target, ...]:
    """One target an item; one without an item if none is cited."""
    return tuple(Target(reference.publication, reference.page, item) for item in reference.items or (None,))


def numbered_after(reference: Reference) -> Reference | None:
    """ "new step 5a" goes after step 5, "new step 9" after step 8, which is a doubt."""
    if len(reference.items) != 1:
        return None
    item = reference.items[0]
    lettered = _LETTERED.fullmatch(item)
    if lettered:
        return replace(reference, items=(lettered["number"],))
    if item.isdecimal() and int(item) > 1:
        doubt = f"the new step is called {item}: that it goes after step {int(item) - 1} is a guess"
        return replace(reference, items=(str(int(item) - 1),), why=(*reference.why, doubt))
    return None


def values(passage: Passage, match: Match) -> Values | None:
    """Was and now as printed; a unit that only one of them has holds for both. None if they are the same."""
    words = match.spans("words")
    was = _value(passage, match.span("was") or (words[0] if len(words) > 1 else None))
    now = _value(passage, match.span("now") or (words[1] if len(words) > 1 else None))
    if now is None or (was is not None and was == now) or _one_range(passage, match):
        return None
    return Values(_with_unit(was, now), _with_unit(now, was) or now)


def _one_range(passage: Passage, match: Match) -> bool:
    """ "old 4 to 6 mm" tells one value, from and to."""
    was, now = match.span("was"), match.span("now")
    if was is None or now is None or passage.folded[was[1] : now[0]] != " to ":
        return False
    return bool(_OLD_OR_NEW.search(passage.folded[max(0, was[0] - 20) : was[0]]))


_LEADING_POINT = re.compile(r"\.[0-9]")  # ".045 inch"


def _value(passage: Passage, span: tuple[int, int] | None) -> str | None:
    if span is None:
        return None
    for _, tag in passage.tagged.inside(*span):
        if tag.kind == QUOTE:
            return str(tag.content)
    words = passage.tagged.words(*span).rstrip(" .,;:")
    return words.lstrip(" ,;:" if _LEADING_POINT.match(words.lstrip()) else " .,;:") or None


def _with_unit(value: str | None, other: str | None) -> str | None:
    if value is None or other is None:
        return value
    if quantity(value) is not None and not value.isdigit():
        unit = _WORD_UNIT.match(other)
        return f"{value} {unit['unit']}" if unit and quantity(unit["count"]) is not None else value
    if not _BARE.fullmatch(value) or _BARE.fullmatch(other):
        return value
    unit = _UNIT_OF.match(other)
    return f"{value} {unit['unit'].strip()}" if unit else value


def numbers_for_values(passage: Passage, match: Match) -> bool:
    """True if part numbers stand where the values would: a supersession unless a step is cited."""
    spans = [s for s in (match.span("was"), match.span("now")) if s]
    return all(any(t.kind in (PART, CODE, WEAK) for _, t in passage.tagged.inside(*s)) for s in spans)

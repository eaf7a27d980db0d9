"""Step by step: what was pinned, what is in force now, and by which notes."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.jobs.job import PinnedStep
from benchleaf.graph.jobs.touching import Touching
from benchleaf.graph.keys import key, natural

What = Literal["changed", "added", "deleted", "in force again", "cautioned"]
Mark = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StepNews:
    """A step that stands otherwise than it was pinned. `was` and `now` are its words, None where there is no
    such step to do; where a caution came or went, the cautions stand behind the words. `notes` brought it."""

    publication: str
    page: str
    label: str
    item: str | None
    what: What
    was: str | None
    now: str | None
    notes: tuple[str, ...]


def step_news(
    pinned: Sequence[PinnedStep], now: Sequence[PinnedStep], touching: Iterable[Touching]
) -> tuple[StepNews, ...]:
    """The steps that differ, in the order of their pages."""
    cancelling = {key(number): t.note.number for t in touching for number in t.cancels}
    pairs = _paired(pinned, now)
    found = [_news(was, is_now, cancelling) for was, is_now in pairs if _differ(was, is_now)]
    return tuple(sorted(found, key=lambda s: (s.publication, natural(s.page), natural(s.label))))


def _paired(
    pinned: Sequence[PinnedStep], now: Sequence[PinnedStep]
) -> list[tuple[PinnedStep | None, PinnedStep | None]]:
    """Printed steps by their place; inserted ones by the note that brought them, else by their label."""
    left, right = _marked(pinned), _marked(now)
    pairs: list[tuple[PinnedStep | None, PinnedStep | None]] = []
    pairs += [(left[m], right[m]) for m in left if m in right]
    gone = {_label(s): s for m, s in left.items() if m not in right}
    come = {_label(s): s for m, s in right.items() if m not in left}
    return pairs + [(gone.get(m), come.get(m)) for m in dict.fromkeys((*gone, *come))]


def _marked(steps: Iterable[PinnedStep]) -> dict[tuple[Mark, int], PinnedStep]:
    seen: Counter[Mark] = Counter()
    marked = {}
    for s in steps:
        own = ("+", key(s.origin)) if s.item is None else (key(s.item),)
        mark = (key(s.publication), key(s.page), *own)
        marked[mark, seen[mark]] = s
        seen[mark] += 1
    return marked


def _label(s: PinnedStep) -> Mark:
    return (key(s.publication), key(s.page), key(s.label), "" if s.item is None else "printed")


def _differ(was: PinnedStep | None, now: PinnedStep | None) -> bool:
    only = was or now
    if was is None or now is None:
        return only is not None and only.text is not None
    return was.text != now.text or was.notices != now.notices


def _news(was: PinnedStep | None, now: PinnedStep | None, cancelling: dict[str, str]) -> StepNews:
    step = now or was
    assert step is not None  # a pair has at least one
    cautions = was is not None and now is not None and was.notices != now.notices
    return StepNews(
        publication=step.publication,
        page=step.page,
        label=step.label,
        item=step.item,
        what=_what(was, now),
        was=_words(was, cautions=cautions),
        now=_words(now, cautions=cautions),
        notes=_notes(was, now, cancelling),
    )


def _what(was: PinnedStep | None, now: PinnedStep | None) -> What:
    if now is None or now.text is None:
        return "deleted"
    if was is None:
        return "added"
    if was.text is None:
        return "in force again"
    return "cautioned" if was.text == now.text else "changed"


def _words(step: PinnedStep | None, *, cautions: bool) -> str | None:
    if step is None or step.text is None:
        return None
    return "\n".join((step.text, *(f"{n.kind}: {n.text}" for n in step.notices if cautions)))


def _hands(step: PinnedStep | None) -> list[str]:
    return [n for n in (step.origin, *step.changed_by) if n != "manual"] if step else []


def _notes(was: PinnedStep | None, now: PinnedStep | None, cancelling: dict[str, str]) -> tuple[str, ...]:
    """The notes whose hand is in one of the two and not in the other, and who cancelled one that is gone;
    else every note whose hand is in it now."""
    before, after = _hands(was), _hands(now)
    come = [n for n in after if n not in before]
    gone = [n for n in before if n not in after]
    by = [*come, *(cancelling[key(n)] for n in gone if key(n) in cancelling)]
    return tuple(dict.fromkeys(by or gone or after))

"""What the steps consume against what a kit holds: lines that no step uses, parts that steps need and the
kit does not bring, counts that differ.

Mentions of one thing within one section are one use, with the greatest count, since steps lay a part in and
later tighten it; they add up only where the words say that another one is meant ("another", "a second",
"the remaining six"). Across sections they may be the same thing or not, so a count differs only if it is
neither that of one section nor the sum of them. Findings for a person; they change no verdict. Rules of
ours, common practice.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.chapter import Step
from benchleaf.graph.keys import key
from benchleaf.graph.kits.concerned import concerned_steps
from benchleaf.graph.kits.matching import LEAST, Linked, same_name
from benchleaf.graph.kits.partnames import name_words
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.kits.uses import Use, read_uses
from benchleaf.graph.mentions import runs
from benchleaf.graph.model import KitLine

__all__ = ["NOTHING_USED", "Consumption", "Differing", "StepUse", "concerned_steps", "consumption"]

_FURTHER = re.compile(
    r"(?:an?\s|the\s|all\s)?(?:another|second|third|fourth|further|other|remaining)\b", re.IGNORECASE
)
_NO_PART = frozenset(
    ("leaflet", "instruction", "sheet", "bag", "box", "card", "grease", "sealant", "oil", "note", "label")
)
_SURE = 85.0
"""Likeness of names from which a count is held against a line; below, the line is only no longer unused."""


@dataclass(frozen=True, slots=True)
class StepUse:
    """One thing that a section's steps fit. `quantity` None: the words do not say; `steps` name it."""

    description: str
    part: str | None
    quantity: int | None
    renewed: bool
    quote: str
    steps: tuple[Step, ...]

    @property
    def where(self) -> str:
        """The first step that names it, in words."""
        return _where(self.steps[0])


@dataclass(frozen=True, slots=True)
class Differing:
    """A use and the kit's line for it that do not agree, and why in plain words."""

    use: StepUse
    line: KitLine
    why: str


@dataclass(frozen=True, slots=True)
class Consumption:
    """Every use; lines of the kit that no concerned step uses or names; uses that need parts which the kit
    does not bring; uses that differ from their line. `reasons` are sentences for a person."""

    uses: tuple[StepUse, ...] = ()
    unused: tuple[KitLine, ...] = ()
    wanting: tuple[StepUse, ...] = ()
    differing: tuple[Differing, ...] = ()
    reasons: tuple[str, ...] = ()


NOTHING_USED = Consumption()


def consumption(
    steps: Sequence[Step], lines: Sequence[KitLine], linked: Linked, family: Sequence[KitLine] = ()
) -> Consumption:
    """Compare what the steps fit with a kit's lines (listed or received). Without steps or without lines
    there is nothing to compare. `family` are the lines of the kits before it: what they brought and this one
    does not is wanting too."""
    live = [s for s in steps if s.text]
    uses = tuple(u for section in _by_section(live) for u in _merged(section))
    if not live or not lines:
        return Consumption(uses)
    fits = {u: _lines_for(u, lines, linked) for u in uses}
    unused = tuple(x for x in lines if not any(x in fits[u] for u in uses) and not _named(x, live, linked))
    wanting = tuple(u for u in uses if not fits[u] and not _other_number(u, lines) and _needed(u, family))
    differing = (*_counts_differ(lines, fits), *_numbers_differ(lines, fits, uses))
    reasons = [_unused_told(x, live) for x in unused]
    reasons += [_wanting_told(u) for u in wanting]
    reasons += [d.why for d in differing]
    return Consumption(uses, unused, wanting, differing, tuple(dict.fromkeys(reasons)))


def _by_section(steps: Sequence[Step]) -> list[list[Step]]:
    """Steps by section, else by page."""
    found: dict[tuple[str, str], list[Step]] = {}
    for step in steps:
        found.setdefault((key(step.publication), step.section or f"page {key(step.page)}"), []).append(step)
    return list(found.values())


def _merged(steps: Sequence[Step]) -> list[StepUse]:
    """The uses of one section, each thing once."""
    found: list[StepUse] = []
    for step in steps:
        for use in read_uses(step.text or ""):
            at = next((i for i, held in enumerate(found) if _same_thing(held, use)), None)
            if at is None:
                found.append(_first(use, step))
            else:
                found[at] = _joined(found[at], use, step)
    return found


def _first(use: Use, step: Step) -> StepUse:
    return StepUse(use.description, use.part, use.quantity, use.renewed, use.quote, (step,))


def _same_thing(held: StepUse, use: Use) -> bool:
    if held.part and use.part:
        return key(held.part) == key(use.part)
    kinds = plate_kind(held.description), plate_kind(use.description)
    if kinds[0] or kinds[1]:
        return kinds[0] == kinds[1]
    return name_words(held.description) == name_words(use.description)


def _joined(held: StepUse, use: Use, step: Step) -> StepUse:
    """The greatest count; the sum where the words mean another one."""
    known = [q for q in (held.quantity, use.quantity) if q is not None]
    count = sum(known) if _FURTHER.match(use.quote) and len(known) == 2 else max(known, default=None)
    return StepUse(
        description=held.description,
        part=held.part or use.part,
        quantity=count,
        renewed=held.renewed or use.renewed,
        quote=use.quote if use.renewed and not held.renewed else held.quote,
        steps=tuple(dict.fromkeys((*held.steps, step))),
    )


def _lines_for(use: StepUse, lines: Sequence[KitLine], linked: Linked) -> tuple[KitLine, ...]:
    """The line with the use's number or one that stands for it, else every line most like it by name."""
    if use.part:
        mine = tuple(x for x in lines if x.part and _stands(x.part, use.part, linked))
        if mine:
            return mine
    if name_words(use.description) == ("disc",):  # "the new discs": any plate of the kit
        return tuple(x for x in lines if plate_kind(x.description))
    open_lines = [x for x in lines if not (use.part and x.part)]
    scores = [(same_name(use.description, x.description), x) for x in open_lines]
    best = max((score for score, _ in scores), default=0.0)
    return tuple(x for score, x in scores if score >= LEAST and score == best)


def _stands(listed: str, used: str, linked: Linked) -> bool:
    if key(listed) == key(used):
        return True
    return linked(listed, used) is not None or linked(used, listed) is not None


def _other_number(use: StepUse, lines: Sequence[KitLine]) -> bool:
    """A line of that name has another number: told as a difference, not as wanting."""
    return any(use.part and x.part and same_name(use.description, x.description) >= _SURE for x in lines)


def _needed(use: StepUse, family: Sequence[KitLine]) -> bool:
    return use.renewed or any(same_name(use.description, x.description) >= _SURE for x in family)


def _named(line: KitLine, steps: Sequence[Step], linked: Linked) -> bool:
    """Whether the words of any step name the line at all, be it only as the place for another part."""
    words = set(name_words(line.description))
    if not words or words & _NO_PART:
        return True
    for step in steps:
        text = step.text or ""
        if line.part and any(_stands(line.part, run.printed, linked) for run in runs(text)):
            return True
        if words <= set(name_words(text)) or (plate_kind(line.description) and _plates_of(line, text)):
            return True
    return False


def _plates_of(line: KitLine, text: str) -> bool:
    return any(plate_kind(u.description) == plate_kind(line.description) for u in read_uses(text))


def _counts_differ(lines: Sequence[KitLine], fits: dict[StepUse, tuple[KitLine, ...]]) -> list[Differing]:
    """Counts that disagree, of uses that fit one line alone and surely."""
    found = []
    for line in lines:
        mine = [u for u, some in fits.items() if some == (line,) and _surely(u, line)]
        counts = [u.quantity for u in mine]
        if not mine or line.quantity is None or None in counts:
            continue
        if plate_kind(line.description) and max(c or 0 for c in counts) < 2:  # "start with one steel plate"
            continue
        told = [c for c in counts if c is not None]
        twins = sum(1 for x in lines if same_name(x.description, line.description) >= _SURE)
        if line.quantity not in (*told, sum(told)) and (twins == 1 or mine[0].part):
            found.append(Differing(mine[0], line, _counts_told(mine[0], line)))
    return found


def _surely(use: StepUse, line: KitLine) -> bool:
    numbered = bool(use.part and line.part)
    return numbered or same_name(use.description, line.description) >= _SURE


def _numbers_differ(
    lines: Sequence[KitLine], fits: dict[StepUse, tuple[KitLine, ...]], uses: Iterable[StepUse]
) -> list[Differing]:
    """A new part by its number, where the kit lists one of that name under another number that nothing
    links."""
    found = []
    for use in uses:
        if fits[use] or not use.part or not use.renewed:
            continue
        like = [x for x in lines if x.part and same_name(use.description, x.description) >= _SURE]
        taken = {x.part for u, some in fits.items() if u is not use for x in some}
        free = [x for x in like if x.part not in taken]
        if len(free) == 1:
            other = f"the kit lists {free[0].part}, and no note held links the two"
            why = f"{use.where} fits {use.description} {use.part}; {other}"
            found.append(Differing(use, free[0], why))
    return found


def _where(step: Step) -> str:
    told = f"step {step.label} on page {step.page} of {step.publication}"
    return told if step.origin == "manual" else f"{told} (as {step.origin} has it)"


def _amount(quantity: int | None, name: str, part: str | None) -> str:
    return " ".join(w for w in ("the" if quantity is None else f"the {quantity}", name, part) if w)


def _unused_told(line: KitLine, steps: Sequence[Step]) -> str:
    places = dict.fromkeys(
        f"“{s.section}” of {s.publication}" if s.section else f"page {s.page} of {s.publication}"
        for s in steps
    )
    what = _amount(line.quantity, line.description, line.part)
    return f"no step held uses {what} of this kit (looked in {'; '.join(places)})"


def _wanting_told(use: StepUse) -> str:
    return f"{use.where} fits {_quoted(use)}; the kit brings none"


def _counts_told(use: StepUse, line: KitLine) -> str:
    return f"{use.where} fits {_quoted(use)}; the kit lists {line.quantity} {line.description}"


def _quoted(use: StepUse) -> str:
    """The words, or for a pack's plates their count."""
    if len(use.quote) > 80 or plate_kind(use.description):
        return " ".join(w for w in (str(use.quantity or ""), use.description, use.part) if w)
    return f"“{use.quote}”"

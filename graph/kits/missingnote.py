"""The missing note: what the arithmetic says against a kit, what note would explain it, and whom to ask what.

It works with no bulletin held: a manual's pack step and the plates on the counter are enough.
"""

import datetime as dt
import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from benchleaf.graph.applicability import Unit
from benchleaf.graph.binding import Family
from benchleaf.graph.book import pack_books
from benchleaf.graph.cancelled import cancelled_notes
from benchleaf.graph.keys import key
from benchleaf.graph.kits.expected import Expected
from benchleaf.graph.kits.explanations import as_asked, asks, explanations, first_looks, held_words
from benchleaf.graph.kits.heldnotes import HeldNote, HeldNotes, Wanted, held_notes
from benchleaf.graph.kits.packgap import Gap, find_gap
from benchleaf.graph.kits.packmarks import NUMBER_WORDS
from benchleaf.graph.kits.packstep import PackStep, books_counting, pack_items
from benchleaf.graph.kits.packwords import read_pack
from benchleaf.graph.kits.plates import NOUN
from benchleaf.graph.kits.received import Received
from benchleaf.graph.kits.unknownkit import packs_for_unknown
from benchleaf.graph.lean import Lean
from benchleaf.graph.missing import Missing, missing_among
from benchleaf.graph.model import Item, Note, Statement
from benchleaf.graph.shelf import Shelf

__all__ = ["HeldNote", "MissingNote", "missing_note", "packs_for_unknown"]

_ELSEWHERE = 3  # other packs told of
_NOUN = re.compile(NOUN, re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class MissingNote:
    """Why a note seems to be missing, in final sentences.

    `hold` is True where the pack cannot be built as asked, or where no settled word accounts for its counts;
    False where settled words account for them and only the pack height, or the step's own counts, stay
    open. `arithmetic` is what the figures say; `first_look` what to
    check before asking; `would_explain` the kinds of note that the figures admit, most likely first; `held`
    notes to look at, most relevant first, `more_held` how many more; `cited_missing` what is cited there but
    not held; `assumed` what had to be assumed; `ask` the words for the telephone.
    """

    kit: str
    friction: int
    steel: int
    hold: bool
    arithmetic: tuple[str, ...]
    first_look: tuple[str, ...]
    would_explain: tuple[str, ...]
    held: tuple[HeldNote, ...]
    more_held: int
    cited_missing: tuple[Missing, ...]
    assumed: tuple[str, ...]
    ask: str


def missing_note(
    store: Shelf,
    kit: str,
    family: Family,
    unit: Unit,
    counts: tuple[int | None, int | None],
    packs: Sequence[PackStep],
    expected: Expected,
    received: Sequence[Received] = (),
    on: dt.date | None = None,
) -> MissingNote | None:
    """What speaks for a missing note; None if nothing does, if a kind of plate was not counted,
    or if no plates came.

    `counts` are friction and steel plates in hand, `packs` the steps that the kit is for (or may be for),
    `received` the lines that came, whose descriptions may give a thickness.
    """
    friction, steel = counts
    if friction is None or steel is None or not (friction or steel):
        return None
    before = tuple(k for k in family.older(kit) if key(k) != key(kit))
    gap = find_gap(store, (friction, steel), packs, expected, received, before)
    if gap is None:
        return None
    relatives = _relatives(store, kit, before)
    found = held_notes(store, Wanted(kit, relatives, tuple(packs), gap.counts, unit, on))
    cited = _cited_missing(store, found, packs)
    return MissingNote(
        kit=kit,
        friction=friction,
        steel=steel,
        hold=_holds(gap, expected),
        arithmetic=gap.arithmetic,
        first_look=first_looks(gap),
        would_explain=explanations(gap, tuple(itertools.islice(_elsewhere(store, gap, packs), _ELSEWHERE))),
        held=found.notes,
        more_held=found.more,
        cited_missing=cited,
        assumed=tuple(dict.fromkeys(w for p in packs if p.link == "counts" for w in p.warnings)),
        ask=_ask(store, gap, kit, unit, cited, on),
    )


def _holds(gap: Gap, expected: Expected) -> bool:
    if gap.cannot_be_built or any(not c.listed for c in gap.changes if c.higher is not None and not c.level):
        return True
    listed_so = expected.basis == "contents" and expected.sure and not any(b.pack is None for b in gap.bases)
    return bool(gap.bases) and not listed_so


def _relatives(store: Shelf, kit: str, before: Sequence[str]) -> tuple[str, ...]:
    """Kits before and after this one: the nearest before first, then the others its papers connect."""
    told = [s for s in store.supersessions([key(kit)]) if s.standing != "refused"]
    numbers = [*before, *(n for s in told for n in (*s.old, *s.new))]
    return tuple({key(n): n for n in reversed(numbers) if key(n) != key(kit)}.values())[::-1]


def _elsewhere(
    store: Shelf, gap: Gap, packs: Sequence[PackStep]
) -> Iterator[tuple[str, Item, tuple[str, ...]]]:
    """Other pack steps that count just what came: publication, item, models."""
    mine = {(key(p.step.publication), key(p.step.page), key(p.step.item or "")) for p in packs}
    return (
        (manual.number, item, manual.models)
        for manual in pack_books(store, books_counting(store, gap.counts))
        for item in pack_items(store, manual)
        if (key(manual.number), key(item.page), key(item.label)) not in mine and _counts(item, gap.counts)
    )


def _counts(item: Item, counts: tuple[int, int]) -> bool:
    """Whether a step counts just these plates; the cheap look comes first."""
    plain = item.text.lower()
    if not _NOUN.search(plain) or not all(_figure_in(plain, n) for n in counts):
        return False
    told = read_pack(item.text)
    return told is not None and (told.friction, told.steel) == counts


def _figure_in(plain: str, number: int) -> bool:
    word = NUMBER_WORDS[number] if number < len(NUMBER_WORDS) else str(number)
    return str(number) in plain or word in plain


def _cited_missing(store: Shelf, found: HeldNotes, packs: Sequence[PackStep]) -> tuple[Missing, ...]:
    """What the notes that speak of the matter cite, and the notes on the step's publication, but is not
    held; what the former cite first."""
    notes, said = _said(store, found.close)
    for publication in dict.fromkeys(p.step.publication for p in packs):
        said += store.astray_on(publication) if isinstance(store, Lean) else store.overrides(publication)
    close = {key(number) for number in found.close}
    missing = missing_among(store, dict.fromkeys(said), notes)
    return tuple(sorted(missing, key=lambda m: close.isdisjoint(key(n) for n in m.cited_by)))


def _said(store: Shelf, numbers: Sequence[str]) -> tuple[list[Note], list[Statement]]:
    """The notes of these numbers and what they state; of a store no more of it than may not be held."""
    if isinstance(store, Lean):
        held = store.notes_newest(numbers)
        return [held[key(n)] for n in numbers if key(n) in held], [*store.astray_of_notes(numbers)]
    notes = [n for number in numbers if (n := store.note(number)) is not None]
    return notes, [s for note in notes for s in note.statements]


def _ask(store: Shelf, gap: Gap, kit: str, unit: Unit, cited: Sequence[Missing], on: dt.date | None) -> str:
    """The words to read on the telephone; a note known to be cancelled is not asked for."""
    model = f" of model {unit.model}" if unit.model else ""
    serial = f", serial {unit.serial}" if unit.serial else ""
    paper = as_asked(gap)
    said = (
        f"Which note changes {asks(gap)} for kit {kit}{model}{serial}? It holds {held_words(gap)}"
        f"{f'; {paper}' if paper else ''}."
    )
    named = [m.number for m in cited if m.kind == "note"]
    gone = cancelled_notes(store, on, named)
    numbers = [number for number in named if key(number) not in gone][:3]
    return f"{said} Is it {' or '.join(numbers)}, which we do not have?" if numbers else said

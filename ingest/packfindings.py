"""Findings on manuals and notes whose words on a pack contradict themselves or each other.

Within one step; between steps of one section; between a step and the manual's own contents of the kit that
it names, or its parts list; between a note's new step and the contents of the kit that it brings. What is
not surely one pack is left alone; see `benchleaf.graph.kits.packtold`.
"""

import itertools
import re
from collections.abc import Iterator, Sequence

from benchleaf.graph.binding import plate_counts
from benchleaf.graph.kits.packtold import (
    Told,
    against_each_other,
    against_lines,
    listed_plates,
    names,
    own_contradictions,
)
from benchleaf.graph.kits.packwords import read_pack
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.kits.uses import names_plates
from benchleaf.graph.model import Contents, Finding, Item, Manual, Note, Override, Source

MOST = 60
"""Pack steps of one section that are compared with each other; more are no chapter on one pack."""


def pack_findings(manual: Manual | None, notes: Sequence[Note], name: str) -> tuple[Finding, ...]:
    """Every contradiction about packs in one file's manual and notes, with its place and words."""
    found: list[Finding] = []
    if manual is not None:
        steps = [i for p in manual.pages for i in p.items if names_plates(i.text) and read_pack(i.text)]
        found += (f for i in steps for f in _own(manual, i, name))
        found += _between(manual, steps, name)
        found += _with_kits(manual, steps, name)
        found += _with_list(manual, steps, name)
    for note in notes:
        found += _of_note(note, name)
    return tuple(dict.fromkeys(found))


def _own(manual: Manual, item: Item, name: str) -> Iterator[Finding]:
    for why in own_contradictions(item.text):
        yield _finding(f"{_place(manual, item)} contradicts itself: {why}", item, name)


def _between(manual: Manual, steps: Sequence[Item], name: str) -> Iterator[Finding]:
    """Steps of one section, which must be one run of neighbours: two sections may bear one heading."""
    for _, group in itertools.groupby(steps, key=lambda i: i.section):
        for one, other in itertools.combinations(list(group)[:MOST], 2):
            why = against_each_other(_told(manual, one), _told(manual, other))
            if why:
                yield _finding(f"{manual.number} contradicts itself: {why}", other, name)


def _with_kits(manual: Manual, steps: Sequence[Item], name: str) -> Iterator[Finding]:
    """The manual's own contents of a kit against the only pack step that names the kit."""
    for kit in manual.kits:
        mine = [i for i in steps if names(i.text, kit.kit)]
        if len(mine) == 1 and listed_plates(kit):
            listed = f"the manual's own contents of kit {kit.kit} give"
            why = against_lines(mine[0].text, _place(manual, mine[0]), kit.lines, listed)
            if why:
                yield _finding(f"{manual.number} contradicts itself: {why}", mine[0], name)


def _with_list(manual: Manual, steps: Sequence[Item], name: str) -> Iterator[Finding]:
    """A parts list with one line of each kind of plate, against the manual's only pack step."""
    plates = [x for x in manual.parts if plate_kind(x.description)]
    if len(steps) != 1 or sorted(plate_kind(x.description) or "" for x in plates) != ["friction", "steel"]:
        return
    why = against_lines(steps[0].text, _place(manual, steps[0]), plates, "the parts list gives")
    if why:
        yield _finding(f"{manual.number} contradicts itself: {why}", steps[0], name)


def _of_note(note: Note, name: str) -> Iterator[Finding]:
    """A note's new steps by themselves, and its only new pack step against its only kit with plates."""
    said = [s for s in note.statements if s.standing != "refused"]
    changed = [s for s in said if isinstance(s, Override) and s.text and read_pack(s.text)]
    for o in changed:
        for why in own_contradictions(o.text or ""):
            yield Finding(f"the new step in {note.number} contradicts itself: {why}", o.source, o.quote)
    kits = [s for s in said if isinstance(s, Contents) and listed_plates(s)]
    if len({k.kit for k in kits}) == 1 and len(changed) == 1:
        place, listed = f"the new step in {note.number}", f"its contents of kit {kits[0].kit} give"
        told = [against_lines(changed[0].text or "", place, k.lines, listed) for k in kits]
        if told[0] and all(told) and _tied(changed[0], kits[0]):
            yield Finding(f"{note.number} contradicts itself: {told[0]}", changed[0].source, changed[0].quote)


def _tied(o: Override, kit: Contents) -> bool:
    """The step is that of the kit: it names it, or one of the two counts is the same. A note may bring a kit
    and correct the step of another pack."""
    text = o.text or ""
    words, (friction, steel) = read_pack(text), plate_counts(kit.lines)
    same = words is not None and (words.friction == friction or words.steel == steel)
    return (
        same
        or names(f"{text} {o.quote}", kit.kit)
        or re.search(r"\b(?:this|the new|new) kit\b", text) is not None
    )


def _told(manual: Manual, item: Item) -> Told:
    return Told(item.text, item.section, _place(manual, item))


def _place(manual: Manual, item: Item) -> str:
    return f"step {item.label} on page {item.page} of {manual.number}"


def _finding(message: str, item: Item, name: str) -> Finding:
    if item.by_ocr:
        message += " (read by OCR: compare with the picture)"
    return Finding(message, Source(name, item.sheet, item.page, item.box, item.by_ocr), item.text[:300])

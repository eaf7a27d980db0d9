"""The steps that a kit concerns, and the note that ties each to it."""

from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.binding import bindings
from benchleaf.graph.keys import key
from benchleaf.graph.kits.packstep import PackStep, overrides_bringing
from benchleaf.graph.shelf import Shelf


@dataclass(frozen=True, slots=True)
class KitStep:
    """A step that the kit concerns, and the note that ties it to the kit (None: the manual itself does)."""

    publication: str
    page: str
    item: str
    note: str | None


def kit_steps(store: Shelf, kit: str, packs: Sequence[PackStep]) -> tuple[KitStep, ...]:
    """Steps that notes bringing the kit change, that name it, and its pack steps; each once."""
    overrides = overrides_bringing(store, kit)
    bound = bindings(store, overrides)
    steps = [
        KitStep(o.target.publication or "", o.target.page or "", o.target.item or "", o.note)
        for o in overrides
        if o in bound
    ]
    steps += [KitStep(m.publication, m.page, m.item, None) for m in store.mentions(kit) if m.page and m.item]
    known = {(key(s.publication), key(s.page), key(s.item)) for s in steps}
    for p in packs:
        if (key(p.step.publication), key(p.step.page), key(p.step.label)) not in known:
            note = None if p.step.origin == "manual" else p.step.origin
            steps.append(KitStep(p.step.publication, p.step.page, p.step.label, note))
    return tuple(dict.fromkeys(steps))

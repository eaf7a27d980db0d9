"""An arrived kit against what the notes and the manual say: verdict, pack order, missing note, hold."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.applicability import Unit
from benchleaf.graph.binding import Family, plate_counts
from benchleaf.graph.keys import key
from benchleaf.graph.kits.consumption import NOTHING_USED, Consumption
from benchleaf.graph.kits.desk import Desk
from benchleaf.graph.kits.expected import Expected
from benchleaf.graph.kits.missingnote import MissingNote, missing_note, packs_for_unknown
from benchleaf.graph.kits.named import named
from benchleaf.graph.kits.packcheck import PackAnswer, check_pack
from benchleaf.graph.kits.received import Received, as_lines, parse_got
from benchleaf.graph.kits.steps import KitStep
from benchleaf.graph.kits.verdict import KitLineAnswer, Verdict
from benchleaf.graph.kits.words import spoken_of
from benchleaf.graph.shelf import Shelf

__all__ = ["KitAnswer", "KitStep", "Received", "kit_answer", "parse_got"]


@dataclass(frozen=True, slots=True)
class KitAnswer:
    """`verdict` as in the interface; with `hold` the kit must not be built in before the `reasons` are
    answered.

    `kit` is the number as written in the sources, else as asked; `near` are likely numbers when it is
    unknown. `missing` says what note seems to be missing, where the pack does not go together; `consumption`
    what the steps use of the kit.
    """

    kit: str
    verdict: Verdict
    hold: bool
    lines: tuple[KitLineAnswer, ...]
    pack: PackAnswer | None
    steps: tuple[KitStep, ...]
    reasons: tuple[str, ...]
    near: tuple[str, ...] = ()
    missing: MissingNote | None = None
    consumption: Consumption = NOTHING_USED


def kit_answer(
    store: Shelf,
    kit: str,
    got: Sequence[Received],
    model: str | None = None,
    serial: str | None = None,
    on: dt.date | None = None,
) -> KitAnswer:
    """Compare what came with the newest settled word on the kit, and its plates with the step in force."""
    printed = store.printed(key(kit))
    unit = Unit(model, serial)
    if printed is None and not store.contents(kit) and not store.manual_contents(kit):
        return _unknown(store, kit, got, unit, on)
    work = Desk(store, printed or kit, unit, on, got)
    return KitAnswer(
        kit=work.kit,
        verdict=work.verdict,
        hold=work.hold,
        lines=work.lines.lines,
        pack=work.pack.answer,
        steps=work.steps(),
        reasons=work.reasons(),
        missing=work.missing,
        consumption=work.consumption,
    )


def _unknown(store: Shelf, kit: str, got: Sequence[Received], unit: Unit, on: dt.date | None) -> KitAnswer:
    """A kit that no paper names: its plates can still be held against the pack steps that may be meant."""
    near = store.near_parts(kit)
    hint = f"; near: {', '.join(near)}" if near else ""
    where = spoken_of(store, kit)
    known = f"nothing was read of what kit {kit} is" if where else f"no paper held names kit {kit}{hint}"
    counts = plate_counts(as_lines(named(store, got)))
    packs = packs_for_unknown(store, unit, on) if None not in counts else ()
    pack = check_pack(counts, packs)
    family, nothing = Family(store, [kit]), Expected("nothing", ())
    missing = missing_note(store, kit, family, unit, counts, packs, nothing, got, on)
    said = (known, *where, *(w for p in packs for w in p.warnings), *pack.reasons)
    return KitAnswer(kit, "not-known", True, (), pack.answer, (), tuple(dict.fromkeys(said)), near, missing)

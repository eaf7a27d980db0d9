"""The part of a pack's answer that sets a play: the thickness to fit, and what at hand comes to it."""

from dataclasses import dataclass

from benchleaf.graph.errors import WrongUse
from benchleaf.graph.packs.question import AtHand, PackQuestion, Setting
from benchleaf.graph.packs.said import Figure, Pad
from benchleaf.graph.packs.select import Choice, choose, nearest, table_faults
from benchleaf.graph.packs.shims import Fill, Shims, end_play, fewest, preload
from benchleaf.graph.packs.size import EQUAL, Size, exactly
from benchleaf.graph.packs.stack import Sum

_TARGETS = "--target, --end-play or --preload"


@dataclass(frozen=True, slots=True)
class Filling:
    """The thickness to fit (`fill`, `name` says of what) and what answers it.

    `looked_up` is the figure taken to the table. `nearest` holds two thicknesses if they are equally near.
    """

    name: str
    fill: Fill | None
    looked_up: Size | None = None
    choice: Choice | None = None
    nearest: tuple[float, ...] = ()
    shims: Shims | None = None


def filling_of(question: PackQuestion, room: Sum | None, pad: Pad) -> Filling | None:
    """What must be fitted, from what was measured and is wanted, and the choice among what is at hand."""
    setting, at_hand = question.setting, question.at_hand
    _no_two_ways(setting)
    _judge_target(setting, room, pad)
    name, fill = _fill(setting, room, at_hand, pad)
    looked_up = fill.aim if fill else setting.measured if at_hand.rows and _only_measured(setting) else None
    for fault in table_faults(at_hand.rows):
        limits = (Figure(fault.low), " to ", Figure(fault.high))
        pad.find(f"the table has {_article(fault.fault)}, ", *limits, f" ({' and '.join(fault.rows)})")
    if looked_up is None:
        if at_hand != AtHand(tie=at_hand.tie):
            pad.want("the choice", f"the thickness to fit (--need), or what was measured and {_TARGETS}")
        return None
    if _below_zero(fill):
        pad.fault("nothing has to be added: the thickness comes out below zero; check the figures")
        return Filling(name, fill)
    return _chosen(name, fill, looked_up, setting, at_hand, pad)


def _chosen(
    name: str, fill: Fill | None, looked_up: Size, setting: Setting, at_hand: AtHand, pad: Pad
) -> Filling:
    choice = _from_table(at_hand, looked_up, pad) if at_hand.rows else None
    if fill is None:
        return Filling(name, None, looked_up, choice)
    if fill.sure is None:
        pad.find("the measuring leaves more open than the target allows: measure closer")
    near = _nearest(at_hand.sizes, fill, setting, pad) if at_hand.sizes else ()
    shims = _shims(fill, setting, at_hand, pad) if at_hand.shims else None
    return Filling(name, fill, looked_up, choice, near, shims)


def _no_two_ways(setting: Setting) -> None:
    wanted = [w for w in (setting.target, setting.end_play, setting.preload) if w is not None]
    if len(wanted) > 1:
        raise WrongUse(f"{_TARGETS} say different things", "give one of them")
    if setting.fitted is not None and setting.trial is not None:
        raise WrongUse(
            "--fitted and --trial both say what was in place", "give the one that was measured with"
        )
    if setting.need is not None and (wanted or setting.fitted or setting.trial or setting.measured):
        raise WrongUse("--need gives the thickness that the other figures would work out", "leave one out")


def _fill(setting: Setting, room: Sum | None, at_hand: AtHand, pad: Pad) -> tuple[str, Fill | None]:
    if setting.need is not None:
        return "thickness needed", Fill(setting.need, setting.need)
    wanted = setting.target or setting.end_play or setting.preload
    start = setting.fitted or setting.trial
    measured = setting.measured or (room.limits if room is not None and (start or setting.target) else None)
    if start is None and measured is not None and wanted is not None:
        if setting.measured is None and at_hand == AtHand(tie=at_hand.tie):
            return "", None  # the clearance was asked to be judged, not to be filled
        start = exactly(0.0)  # nothing was in place: all of the play is to be filled
    if start is None or measured is None or wanted is None:
        _ask(setting, start, measured, wanted, pad)
        return "", None
    return _worked(setting, start, measured, wanted, pad)


def _worked(setting: Setting, start: Size, measured: Size, wanted: Size, pad: Pad) -> tuple[str, Fill]:
    name = "thickness to fit" if setting.trial is None else "shim to fit"
    base = "trial shim" if setting.trial is not None else "fitted"
    sign, what = ("+", "preload") if setting.preload is not None else ("−", "target")
    fill = (preload if setting.preload is not None else end_play)(start, measured, wanted)
    terms = (_figure(start), " + ", _figure(measured), f" {sign} ", Figure(wanted.middle))
    pad.show(name, f"{base} + measured {sign} {what}", *terms, " = ", _figure(fill.aim))
    if not wanted.exact and fill.sure is not None:
        limits = (Figure(fill.sure.low), " to ", Figure(fill.sure.high))
        pad.show(f"{name}, limits", f"the same with both limits of the {what}", *limits)
    return name, fill


def _ask(setting: Setting, start: Size | None, measured: Size | None, wanted: Size | None, pad: Pad) -> None:
    if start is None and wanted is None:
        return
    lacks = ["the measured play (--measured)"] if measured is None else []
    lacks += [f"what is wanted ({_TARGETS})"] if wanted is None else []
    pad.want("the thickness to fit", *lacks)


def _only_measured(setting: Setting) -> bool:
    return setting == Setting(measured=setting.measured)


def _below_zero(fill: Fill | None) -> bool:
    return fill is not None and fill.aim.middle < -EQUAL


def _judge_target(setting: Setting, room: Sum | None, pad: Pad) -> None:
    """The computed clearance against the one wanted, if nothing else was measured."""
    if room is None or setting.target is None or setting.measured is not None:
        return
    want, has = setting.target, room.limits
    if want.low - EQUAL <= has.low and has.high <= want.high + EQUAL:
        pad.find("the clearance is within the target")
    elif want.low - EQUAL <= room.nominal <= want.high + EQUAL:
        pad.find("the clearance is within the target by nominal sizes, but not at the worst case: measure")
    else:
        way = "below" if room.nominal < want.low else "above"
        limit = want.low if way == "below" else want.high
        pad.find(f"the clearance is {way} the target by ", Figure(abs(room.nominal - limit)))


def _from_table(at_hand: AtHand, value: Size, pad: Pad) -> Choice:
    choice = choose(at_hand.rows, value, at_hand.tie)
    rule = f"a figure on an edge that two rows share belongs to the {at_hand.tie} row (--tie)"
    named = " or ".join(row.part for row in choice.rows) or "no row"
    pad.show("choice from the table", rule, _figure(value), f": {named}")
    if not choice.rows:
        pad.fault("nothing in the table fits ", _figure(value))
    elif choice.missed:
        pad.find("part of the range ", _figure(value), " lies in no row of the table: measure closer")
    elif len(choice.rows) > 1:
        pad.find(f"{_figure_words(choice)}: the figure does not decide between them")
    elif choice.edge:
        pad.find(
            "the figure lies on an edge that two rows share: the tie rule decided, ask the maker if unsure"
        )
    return choice


def _figure_words(choice: Choice) -> str:
    return "rows " + " and ".join(row.part for row in choice.rows) + " both hold it"


def _nearest(sizes: tuple[float, ...], fill: Fill, setting: Setting, pad: Pad) -> tuple[float, ...]:
    found = nearest(sizes, fill.aim.middle)
    for size in found:
        _play_with(size, setting, pad)
        _judge_size(size, fill, setting, pad)
    if len(found) > 1:
        pad.find("two thicknesses at hand are equally near: which one, is for the maker's limits to say")
    return found


def _shims(fill: Fill, setting: Setting, at_hand: AtHand, pad: Pad) -> Shims | None:
    """The fewest shims: within the limits that are surely right, else as near as can be to the aim."""
    band = fill.sure if fill.sure is not None else exactly(fill.aim.middle)
    shims = fewest(band, at_hand.shims)
    if shims is None:
        return None
    if not shims.thicknesses:
        pad.find("no shim is needed" if shims.within else "no shim at hand comes nearer than fitting none")
        return shims
    pieces = [part for t in shims.thicknesses for part in (" + ", Figure(t))]
    pad.show("shims", "the fewest whose sum fits", *pieces[1:], " = ", Figure(shims.total))
    _play_with(shims.total, setting, pad)
    if not shims.within:
        off = Figure(abs(shims.total - fill.aim.middle))
        pad.find("no sum of the shims at hand fits; the nearest is off by ", off)
    return shims


def _judge_size(size: float, fill: Fill, setting: Setting, pad: Pad) -> None:
    off = abs(size - fill.aim.middle)
    wanted = setting.target or setting.end_play or setting.preload or setting.need
    if fill.sure is not None and fill.sure.low - EQUAL <= size <= fill.sure.high + EQUAL:
        return
    if wanted is not None and not wanted.exact:
        pad.find("the nearest thickness at hand, ", Figure(size), ", does not surely meet the limits")
    elif off > EQUAL:
        pad.find("the nearest thickness at hand, ", Figure(size), ", is off by ", Figure(off))


def _play_with(size: float, setting: Setting, pad: Pad) -> None:
    """What the play or preload comes to with a thickness fitted."""
    start = setting.fitted or setting.trial or exactly(0.0)
    if setting.measured is None:
        return
    base = start.middle + setting.measured.middle
    if setting.preload is not None:
        words = (Figure(size), " − ", Figure(base), " = ", Figure(size - base))
        pad.show("preload with it", "what is fitted − (trial + measured)", *words)
    else:
        words = (Figure(base), " − ", Figure(size), " = ", Figure(base - size))
        pad.show("play with it", "(in place + measured) − what is fitted", *words)


def _figure(size: Size) -> Figure:
    return Figure(size.middle, tolerance=size.half)


def _article(fault: str) -> str:
    return {"gap": "a gap", "overlap": "an overlap", "reversed": "a row with its limits reversed"}[fault]

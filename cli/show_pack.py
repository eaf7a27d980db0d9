"""A pack's arithmetic for people: results first, then what is amiss or missing, then how it was reckoned."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from benchleaf.cli.packunits import Shop
from benchleaf.cli.say import listed
from benchleaf.cli.screen import Piece, Screen

if TYPE_CHECKING:
    from benchleaf.graph.packs.answer import PackAnswer
    from benchleaf.graph.packs.fillanswer import Filling
    from benchleaf.graph.packs.select import Row
    from benchleaf.graph.packs.stack import Sum

_WIDTH = 19


def show_pack(screen: Screen, answer: "PackAnswer", shop: Shop, notes: Sequence[str]) -> None:
    """Print the answer in the shop's units; `notes` say what was taken for granted in reading."""
    for fault in answer.faults:
        screen.line(Piece(f"NO: {shop.said(fault)}.", "bad"), hang=4)
    for label, words in _results(answer, shop):
        screen.labelled(label, words, width=_WIDTH)
    for finding in answer.findings:
        screen.labelled("Note", Piece(shop.said(finding), "doubt"), width=_WIDTH)
    for missing in answer.missing:
        screen.labelled("Still needed", missing, width=_WIDTH)
    _show_formulas(screen, answer, shop)
    screen.blank()
    for words in (*notes, *answer.cautions):
        screen.line(words, hang=2)


def _results(answer: "PackAnswer", shop: Shop) -> Iterator[tuple[str, str]]:
    yield from _counts(answer)
    yield from _stack(answer, shop)
    yield from _swap(answer, shop)
    if answer.filling is not None:
        yield from _filling(answer.filling, shop)
    yield from _torque(answer, shop)


def _counts(answer: "PackAnswer") -> Iterator[tuple[str, str]]:
    if answer.friction is not None and answer.steel is not None:
        ways = [f"{order.first} first and {order.last} last" for order in answer.orders]
        allowed = f"stack {listed(ways, 'or')}" if ways else "cannot alternate"
        yield "Pack", f"{answer.friction} friction and {answer.steel} steel plates {allowed}."
    if answer.faces is not None:
        before = f" (before: {answer.faces_before})" if answer.faces_before is not None else ""
        yield "Friction faces", f"{answer.faces}{before}"
    if answer.share is not None:
        change = "gained" if answer.share > 0 else "lost" if answer.share < 0 else "changed"
        yield "Torque " + change, f"{abs(answer.share):.1%} at equal force, friction and radii"


def _stack(answer: "PackAnswer", shop: Shop) -> Iterator[tuple[str, str]]:
    if answer.height is not None:
        yield "Pack height", _sum(answer.height, shop)
    if answer.clearance is not None:
        yield "Clearance", _sum(answer.clearance, shop)


def _sum(found: "Sum", shop: Shop) -> str:
    if found.worst <= 1e-9:
        return shop.words(found.nominal)
    worst, rss = shop.number(found.worst, "length"), shop.number(found.rss, "length")
    return f"{shop.words(found.nominal)}, worst case ±{worst}, root-sum-square ±{rss}"


def _swap(answer: "PackAnswer", shop: Shop) -> Iterator[tuple[str, str]]:
    swap = answer.swap
    if swap is None:
        return
    if swap.needed is not None:
        each = swap.needed.each
        limits = "" if each.exact else f" ({shop.number(each.low, 'length')} to {shop.words(each.high)})"
        plates = f"{swap.needed.count} {swap.needed.kind} plates of {shop.words(each.middle)}{limits}"
        yield "Needed", f"{plates} keep the height"
    if swap.difference is not None:
        way = "higher" if swap.difference > 1e-9 else "lower" if swap.difference < -1e-9 else ""
        yield "Height now", f"{shop.words(abs(swap.difference))} {way}" if way else "the same as before"
    if swap.pairs is not None:
        for pair in swap.pairs.pairs:
            both = f"friction {shop.words(pair.friction)} with steel {shop.words(pair.steel)}"
            yield "Keeps the height", f"{both} ({pair.why})"


def _filling(filling: "Filling", shop: Shop) -> Iterator[tuple[str, str]]:
    if filling.fill is not None:
        aim, sure = filling.fill.aim, filling.fill.sure
        words = shop.words(aim.middle)
        if sure == aim and not aim.exact:
            words = f"{shop.number(aim.low, 'length')} to {shop.words(aim.high)}"
        elif sure is not None and not sure.exact:
            words += f" ({shop.number(sure.low, 'length')} to {shop.words(sure.high)} will do)"
        elif not aim.exact:
            words = f"between {shop.number(aim.low, 'length')} and {shop.words(aim.high)}"
        yield filling.name.capitalize(), words
    elif filling.looked_up is not None:
        yield "Looked up", f"{shop.words(filling.looked_up.middle)} as measured"
    yield from _chosen(filling, shop)


def _chosen(filling: "Filling", shop: Shop) -> Iterator[tuple[str, str]]:
    if filling.choice is not None:
        rows = [_row(row, shop) for row in filling.choice.rows]
        sole = filling.choice.row is not None
        yield "Choice", listed(rows) if sole else f"NOT decided: {listed(rows, 'or') or 'no row fits'}"
    if filling.nearest:
        yield "Nearest at hand", listed([shop.words(size) for size in filling.nearest], "or")
    if filling.shims is not None and filling.shims.thicknesses:
        pieces = " + ".join(shop.number(t, "length") for t in filling.shims.thicknesses)
        count = len(filling.shims.thicknesses)
        yield "Shims", f"{pieces} = {shop.words(filling.shims.total)}, {count} in all"


def _row(row: "Row", shop: Shop) -> str:
    limits = f"{shop.number(row.low, 'length')} to {shop.words(row.high)}"
    thick = "" if row.thickness is None else f", {shop.words(row.thickness)} thick"
    return f"{row.part} (row {limits}{thick})"


def _torque(answer: "PackAnswer", shop: Shop) -> Iterator[tuple[str, str]]:
    if answer.force is not None:
        yield "Force on the pack", shop.words(answer.force, "force")
    if answer.capacity is not None:
        wear, even = answer.capacity.wear, answer.capacity.pressure
        both = (
            f"{shop.words(wear, 'torque')} by uniform wear, {shop.words(even, 'torque')} by uniform pressure"
        )
        yield "Torque", both
    if answer.thread is not None:
        yield "Thread torque", shop.words(answer.thread, "torque")
    if answer.wrench is not None:
        yield "Set the wrench to", shop.words(answer.wrench, "torque")


def _show_formulas(screen: Screen, answer: "PackAnswer", shop: Shop) -> None:
    if not answer.formulas:
        return
    screen.blank()
    screen.line(Piece("How it was reckoned", "head"))
    for formula in answer.formulas:
        screen.line(Piece(f"{formula.of}: ", "strong"), formula.rule, indent=2, hang=4)
        screen.line(shop.said(formula.figures), indent=4, hang=6)

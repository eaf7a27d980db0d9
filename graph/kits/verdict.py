"""The verdict on a kit's lines: is every difference accounted for by a settled note."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from benchleaf.graph.binding import plate_counts
from benchleaf.graph.keys import folded, key
from benchleaf.graph.kits.expected import Expected
from benchleaf.graph.kits.likeness import same_name
from benchleaf.graph.kits.matching import Pair
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.kits.received import Received
from benchleaf.graph.kits.succession import barred, overtaken, replaced_later
from benchleaf.graph.model import KitLine, Supersession

Verdict = Literal["as-listed", "explained", "unexplained", "not-known"]
State = Literal["as listed", "over", "short", "replaced", "superseded", "not listed", "not counted"]


@dataclass(frozen=True, slots=True)
class KitLineAnswer:
    """One line: expected and received quantities and their difference, None where not known; `because` are
    the notes that account for the expected quantity or the changed number.

    `state` is what became of the line, `reason` a plain sentence or "", `source` the note or publication
    whose word the expected line is (None where a step's or nobody's). A number that nothing links with the
    listed one is "not listed"; a set that stands for listed lines is "replaced". `wrong` is True
    where nothing accounts for the line.
    """

    part: str | None
    description: str
    expected: int | None
    received: int | None
    difference: int | None
    because: tuple[str, ...]
    state: State = "as listed"
    reason: str = ""
    source: str | None = None
    wrong: bool = False


@dataclass(frozen=True, slots=True)
class LinesVerdict:
    """`unexplained` are the differences nothing accounts for; `remarks` what to know besides; `changed` is
    True where settled notes account for a difference from what was before."""

    lines: tuple[KitLineAnswer, ...]
    unexplained: tuple[str, ...]
    remarks: tuple[str, ...]
    changed: bool


def judge_lines(pairs: Sequence[Pair], expected: Expected, told: Sequence[Supersession] = ()) -> LinesVerdict:
    """Judge every pair of an expected line with what came for it; `told` are the settled supersessions of the
    listed numbers."""
    pairs = [_aged(p, expected, told) for p in pairs]
    lines = tuple(_line(p, expected) for p in pairs)
    unexplained = [w for p in pairs if (w := _wrong(p))]
    remarks = [w for p in pairs for w in _remarks(p)]
    changed = any(p.because or p.packed_before for p in pairs) or _changed(expected)
    return LinesVerdict(lines, tuple(unexplained), tuple(remarks), changed)


def _aged(pair: Pair, expected: Expected, told: Sequence[Supersession]) -> Pair:
    """The pair with what later notes say of its numbers: an old number that must not be fitted any more, or
    one that came in its replacement's stead."""
    want, came = pair.expected, pair.received
    before = _packed_before(pair, expected)
    pair = replace(pair, carried_from=_carried_from(want, expected), packed_before=before)
    if want is None or want.part is None or came is None or not came.quantity:
        return pair
    if pair.stranger and came.part:
        notes = replaced_later(told, want.part, came.part)
        said = f"{_and(notes)} replaced {came.part} by it" if notes else ""
        return replace(pair, barred=f"{said}, and does not let the old one in") if notes else pair
    if came.part and key(came.part) != key(want.part):
        return pair
    later = overtaken(told, want.part, expected.dated(want))
    if later is None:
        return pair
    new = " and ".join(later.new)
    if came.part is None:
        return replace(
            pair, told=_also(pair, f"{want.part} became {new} ({later.note}): read the part's number")
        )
    if barred(later):
        return replace(pair, barred=f"{later.note} replaced it by {new}, and the old one must not be fitted")
    return replace(pair, told=_also(pair, f"{want.part}, which came, became {new} ({later.note}): old stock"))


def _packed_before(pair: Pair, expected: Expected) -> str:
    """A line that the newest word took out came as it was before: the box was packed before that word."""
    want, came = pair.expected, pair.received
    if want is None or want.quantity != 0 or came is None or not came.quantity or expected.note is None:
        return ""
    befores = (b for lines in _befores(expected) for b in lines if _one_line(b, want))
    if not any(b.quantity == came.quantity for b in befores):
        return ""
    return f"{expected.whose(want)} took it out; this box was packed before"


def _one_line(one: KitLine, other: KitLine) -> bool:
    if one.part and other.part:
        return key(one.part) == key(other.part)
    return same_name(one.description, other.description) >= 75.0


def _also(pair: Pair, words: str) -> str:
    return f"{pair.told}; {words}" if pair.told else words


def _and(notes: Sequence[str]) -> str:
    return " and ".join(notes)


def _carried_from(want: KitLine | None, expected: Expected) -> str:
    whose = next((c.note for c in expected.carried if c.line == want), None)
    return f"as {whose} lists; {expected.note} does not speak of it" if whose else ""


def _line(pair: Pair, expected: Expected) -> KitLineAnswer:
    want, came = pair.expected, pair.received
    notes: tuple[str, ...] = pair.because
    whose = expected.whose(want) if want is not None and expected.basis == "contents" else None
    if want is not None and whose and not pair.carried_from and _line_changed(want, expected):
        notes = tuple(dict.fromkeys((whose, *notes)))
    return KitLineAnswer(
        part=(want.part if want else None) or (came.part if came else None),
        description=want.description if want else came.description if came else "",
        expected=want.quantity if want else 0,
        received=came.quantity if came else None,
        difference=_difference(pair),
        because=notes,
        state=_state(pair),
        reason=_wrong(pair) or "; ".join(_remarks(pair)),
        wrong=_wrong(pair) is not None,
        source=pair.because[-1] if pair.because else expected.whose(want) if want else None,
    )


def _state(pair: Pair) -> State:
    if pair.expected is None or pair.stranger or _other_kind(pair.expected, pair.received):
        return "not listed"
    if pair.barred:
        return "superseded"
    if pair.received is None or pair.received.quantity is None:
        return "not counted"
    difference = _difference(pair)
    if difference and not pair.packed_before:
        return "over" if difference > 0 else "short"
    return "replaced" if pair.listed else "superseded" if pair.because else "as listed"


def _difference(pair: Pair) -> int | None:
    """Pieces too many. None where either is not known, as with a line by side: the sides are not counted."""
    want = pair.expected.quantity if pair.expected else 0
    came = pair.received.quantity if pair.received else None
    if want is None or came is None:
        return None
    if pair.each and want:
        return None if came in (want, 2 * want) else came - (want if came < want else 2 * want)
    return came - want


def _wrong(pair: Pair) -> str | None:
    want, came = pair.expected, pair.received
    if came is None or came.quantity is None:
        return _uncounted(pair)
    name = _name(came)
    if pair.packed_before:
        return None
    if want is None:
        besides = f": {pair.told}" if pair.told else ""
        return f"not listed: {came.quantity} {name}{besides}" if came.quantity else None
    if pair.stranger:
        return _stranger(want, came, pair.barred)
    if pair.barred:
        return f"{name} came: {pair.barred}"
    if _other_kind(want, came):
        return f"{came.part} came as “{came.description}” but is listed as “{want.description}”"
    if want.quantity is None and pair.told != "as required" and (pair.told or pair.listed):
        if plate_kind(want.description) or pair.listed:
            return f"{want.description}: {came.quantity} came, {pair.told}"
        return None
    difference = _difference(pair)
    if not difference:
        return None
    much = f"{abs(difference)} too {'many' if difference > 0 else 'few'}"
    if pair.each:
        each = f"{want.quantity} {pair.each} expected, {came.quantity} came"
        return f"{want.description}: {each}, right for neither one nor two: ask how many the unit takes"
    return f"{want.description}: {want.quantity} expected, {came.quantity} came, {much}"


def _uncounted(pair: Pair) -> str | None:
    """Why a line that nobody counted holds: plates, parts of a set, and what is not listed at all."""
    want, came = pair.expected, pair.received
    why = f" ({came.told})" if came is not None and came.told else ""
    if want is None:
        return f"not listed: {_name(came)}, not counted{why}" if came is not None else None
    if pair.listed:
        return f"{want.part} {pair.told}, but was not counted{why}: count it"
    return f"the {_plural(want.description)} were not counted{why}: count them" if _plates(want) else None


def _plural(name: str) -> str:
    """Several of a thing, for a plain name; "plate, lined, 2.6 mm" stands as it is."""
    return f"{name}s" if name.replace(" ", "").isalpha() and not name.endswith("s") else name


def _stranger(want: KitLine, came: Received, barred: str) -> str:
    name, listed = _name(came), f"{want.part} {want.description}"
    if barred:
        return f"{name} came where {listed} is listed: {barred}"
    if folded(want.part or "") == folded(came.part or ""):
        return f"{name} came where {listed} is listed: the numbers look alike; read the part's own again"
    return f"{name} came where {listed} is listed, and no note held links the two numbers"


def _other_kind(want: KitLine, came: Received | None) -> bool:
    """One number under the names of both kinds of plates: one of the papers errs."""
    if (
        came is None
        or not came.part
        or not want.part
        or key(came.part) != key(want.part)
        or not came.description
    ):
        return False
    kinds = plate_kind(want.description), plate_kind(came.description)
    return None not in kinds and kinds[0] != kinds[1]


def _remarks(pair: Pair) -> list[str]:
    want, came = pair.expected, pair.received
    if want is None:
        return []
    if came is None or came.quantity is None:
        return [] if _wrong(pair) or want.quantity == 0 else [_not_counted(want, pair, came)]
    if pair.packed_before:
        return [f"{came.quantity} {_name(came)} came: {pair.packed_before}"]
    said = []
    if pair.because and not pair.stranger and came:
        if pair.listed:
            said.append(f"{came.part} {pair.told}")
        else:
            said.append(f"{came.part} came for {want.part}: {', '.join(pair.because)}")
    if pair.each and want.quantity and _difference(pair) is None:
        of = "one" if came.quantity == want.quantity else "two"
        said.append(
            f"{want.description}, {want.quantity} {pair.each}: {came.quantity} came, right for {of};"
            " how many the unit has is not told: ask"
        )
    said += [f"{want.description}: {told}" for told in (came.told, pair.told) if told and not pair.listed]
    return said


def _not_counted(want: KitLine, pair: Pair, came: Received | None) -> str:
    why = f" ({came.told})" if came is not None and came.told else ""
    open_count = pair.told if want.quantity is None and pair.told else "as many as required"
    count = open_count if want.quantity is None else str(want.quantity)
    name = " ".join(w for w in (count, want.description, f"({want.part})" if want.part else "") if w)
    whose = f", {pair.carried_from}" if pair.carried_from else ""
    return f"not counted: {name}{whose}{why}; count it before assembly"


def _plates(line: KitLine) -> bool:
    return plate_kind(line.description) is not None


def _name(came: Received) -> str:
    return " ".join(w for w in (came.part, came.description) if w)


def _changed(expected: Expected) -> bool:
    """True if the newest note's list differs from the manual's own, or from that of the kit before."""
    if expected.basis != "contents":
        return False
    return any(_differs(expected.lines, before) for before in _befores(expected))


def _differs(lines: Sequence[KitLine], before: Sequence[KitLine]) -> bool:
    return any(_other_than(line, before) for line in lines) or plate_counts(before) != plate_counts(lines)


def _befores(expected: Expected) -> list[tuple[KitLine, ...]]:
    return [lines for lines in (expected.before, *(c.lines for c in expected.earlier)) if lines]


def _line_changed(line: KitLine, expected: Expected) -> bool:
    """True also where nothing is known of before: then the note is whose word the line is."""
    befores = _befores(expected)
    return not befores or any(_other_than(line, before) for before in befores)


def _other_than(line: KitLine, before: Sequence[KitLine]) -> bool:
    """Of the kit before, often only the plates are told; what it does not speak of is no change."""
    same = [b for b in before if same_name(b.description, line.description) >= 75.0]
    return bool(same) and all(b.quantity != line.quantity for b in same)

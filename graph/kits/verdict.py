"""The verdict on a kit's lines: is every difference accounted for by a settled note."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from benchleaf.graph.binding import plate_counts
from benchleaf.graph.kits.expected import Expected
from benchleaf.graph.kits.matching import Pair, same_name
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.model import KitLine

Verdict = Literal["as-listed", "explained", "unexplained", "not-known"]


@dataclass(frozen=True, slots=True)
class KitLineAnswer:
    """One line: expected and received quantities and their difference, None where not known; `because` are
    the notes that account for the expected quantity or the changed number."""

    part: str | None
    description: str
    expected: int | None
    received: int | None
    difference: int | None
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LinesVerdict:
    """`unexplained` are the differences nothing accounts for; `remarks` what to know besides; `changed` is
    True where settled notes account for a difference from what was before."""

    lines: tuple[KitLineAnswer, ...]
    unexplained: tuple[str, ...]
    remarks: tuple[str, ...]
    changed: bool


def judge_lines(pairs: Sequence[Pair], expected: Expected) -> LinesVerdict:
    """Judge every pair of an expected line with what came for it."""
    lines = tuple(_line(p, expected) for p in pairs)
    unexplained = [w for p in pairs if (w := _wrong(p))]
    remarks = [w for p in pairs if (w := _remark(p))]
    changed = any(p.because for p in pairs) or _changed(expected)
    return LinesVerdict(lines, tuple(unexplained), tuple(remarks), changed)


def _line(pair: Pair, expected: Expected) -> KitLineAnswer:
    want, came = pair.expected, pair.received
    notes: tuple[str, ...] = pair.because
    if want is not None and expected.basis == "contents" and expected.note and _line_changed(want, expected):
        notes = tuple(dict.fromkeys((expected.note, *notes)))
    return KitLineAnswer(
        part=(want.part if want else None) or (came.part if came else None),
        description=want.description if want else came.description if came else "",
        expected=want.quantity if want else 0,
        received=came.quantity if came else None,
        difference=_difference(pair),
        because=notes,
    )


def _difference(pair: Pair) -> int | None:
    want = pair.expected.quantity if pair.expected else 0
    came = pair.received.quantity if pair.received else None
    return None if want is None or came is None else came - want


def _wrong(pair: Pair) -> str | None:
    want, came = pair.expected, pair.received
    if came is None or came.quantity is None:
        name = want.description if want else came.description if came else "a line"
        return f"the {name}s were not counted: count them" if plate_kind(name) else None
    name = " ".join(w for w in (came.part, came.description) if w)
    if want is None:
        return f"not listed: {came.quantity} {name}" if came.quantity else None
    if pair.stranger:
        listed = f"{want.part} {want.description}"
        return f"{name} came where {listed} is listed, and no note held links the two numbers"
    difference = _difference(pair)
    if not difference:
        return None
    much = f"{abs(difference)} too {'many' if difference > 0 else 'few'}"
    return f"{want.description}: {want.quantity} expected, {came.quantity} came, {much}"


def _remark(pair: Pair) -> str | None:
    want, came = pair.expected, pair.received
    if want is None or (came is not None and came.quantity is not None) or plate_kind(want.description):
        if pair.because and want and came:
            return f"{came.part} came for {want.part}: {', '.join(pair.because)}"
        return None
    count = "as many as required" if want.quantity is None else str(want.quantity)
    return f"not counted: {count} {want.description}; count it before assembly"


def _changed(expected: Expected) -> bool:
    if expected.basis != "contents" or not expected.before:
        return False
    return any(_line_changed(line, expected) for line in expected.lines) or plate_counts(
        expected.before
    ) != plate_counts(expected.lines)


def _line_changed(line: KitLine, expected: Expected) -> bool:
    """True also where nothing is known of before: then the note is whose word the line is.

    Of the kit before, often only the plates are told; what it does not speak of is no change.
    """
    if not expected.before:
        return True
    same = [b for b in expected.before if same_name(b.description, line.description) >= 75.0]
    return bool(same) and all(b.quantity != line.quantity for b in same)

"""What steps tell of a pack, held against itself and against each other.

A contradiction is told only where the words surely speak of one pack: of the same section or kit, with the
same names of the pack, without variants by model, serial number or condition, and without plates that stand
outside the alternation. Better silent than wrong. Rules of ours, common practice.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchleaf.graph.binding import plate_counts
from benchleaf.graph.chapter import Step
from benchleaf.graph.keys import key
from benchleaf.graph.kits.pack import admits, arithmetic, orders
from benchleaf.graph.kits.packmarks import marked
from benchleaf.graph.kits.packwords import PackWords, read_pack
from benchleaf.graph.kits.uses import names_plates
from benchleaf.graph.mentions import runs
from benchleaf.graph.model import Contents, KitLine

_BESIDES = re.compile(  # plates that stand outside the alternation, or several readings of one text
    r"\b(?:together|side by side|back to back|double|doubled|pairs?|additional(?:ly)?|extra|plus|thick(?:er)?"
    r"|spare|in addition|further|more|fewer|less|wave[dy]?|wavy|dished|conical|cushion|spring plates?|twice"
    r"|adjacent|groups?|sub-?packs?|per side|each side|both sides|each clutch|both clutches|per clutch"
    r"|two (?:packs|clutches|brakes|stacks|sets|kits)|reused?|re-use|respectively|end plate is)\b"
)
_VARIANT = re.compile(
    r"\b(?:models?|types?|versions?|variants?|series|serial|s/n|from no|up to no|option(?:al)?|if|where"
    r"|only|depending|except|instead|either|or|formerly|previously|earlier|later|old|until [0-9]"
    r"|from [0-9]{4}|when fitted"
    r"|units? (?:with|without)|executions?|ratio|according|see table|as required)\b"
)
_OUT = re.compile(
    r"\b(?:remove|removed|removing|take out|taken out|withdraw|lift out|dismantle|disassemble|count the|check"
    r"|measure|inspect|examine|before removal)\b"
)
_QUALIFIER = re.compile(
    r"\b(?:forward|reverse|ahead|astern|front|rear|first|second|third|fourth|low|high|main|auxiliary|input"
    r"|output|left|right|upper|lower|brake|clutch|lock-?up|inner pack|outer pack|large|small|big|[kbc][1-9]"
    r"|steering|parking|service|range|splitter|pto|power take-off)\b"
)
_ORDINARY = re.compile(
    r"\b(?:first|second|last) (?=(?:plates?|dis[ck]s?|one)\b|(?:an?|the|then)\b"
    r"|(?:friction|steel|lined|plain)\b)"
    r"|(?<=,)\s?first\b|\bfirst,"
)
_K = r"(?:(?:an?|one|1|the)\s)?<(?P<k>[FS])(?::[0-9]{1,3})?>"
_STARTS = (
    re.compile(rf"\b(?:start|starting|begin|beginning|commence|commencing)\s(?:with|from)\s{_K}"),
    re.compile(rf"\bfirst(?:\s(?:plate|disc|disk))?\s(?:is|must be|being|to be)\s{_K}"),
    re.compile(rf"\b(?:bottom|lowest|lowermost)\s(?:plate|disc|disk)\s(?:is|must be|being)\s{_K}"),
    re.compile(rf"\b(?:fit|install|place|lay|insert|put)\s{_K}\sfirst\b"),
)


@dataclass(frozen=True, slots=True)
class Told:
    """A place that tells of a pack: its words, its section, and how to name the place."""

    text: str
    section: str | None
    place: str


def own_contradictions(text: str) -> tuple[str, ...]:
    """What one step's own words cannot all mean, in plain words.

    >>> own_contradictions("Alternate 6 friction and 9 steel plates.")[0][:39]
    'its own counts cannot alternate as it a'
    """
    if _clear(text) and len(_firsts(text)) > 1:
        return ("it names both a friction and a steel plate as the first",)
    words = _sure(text)
    if words is None:
        return ()
    if not words.counted or words.friction is None or words.steel is None or not _single_counts(text):
        return ()
    counts = arithmetic(words.friction, words.steel)
    if not orders(words.friction, words.steel):
        return (f"its own counts cannot alternate as it asks: {counts}",) if words.alternate else ()
    if admits(words, words.friction, words.steel) is False and words.alternate:
        asked = asked_order(words)
        return (f"its own counts do not stack in its own order: {counts}, but the words ask for {asked}",)
    return ()


def asked_order(words: PackWords) -> str:
    """The order that words ask for, as a person says it."""
    if words.first and words.first == words.last:
        return f"a {words.first} plate first and last"
    ends = ((words.first, "first"), (words.last, "last"))
    return " and ".join(f"a {kind} plate {end}" for kind, end in ends if kind)


def against_each_other(one: Told, other: Told) -> str | None:
    """How two places of one section that surely speak of the same pack contradict each other, or None."""
    if not one.section or one.section != other.section or not _same_pack(one.text, other.text):
        return None
    first, second = _sure(one.text), _sure(other.text)
    if first is None or second is None:
        return None
    if first.counted and second.counted and _counts(first) != _counts(second):
        if _single_counts(one.text) and _single_counts(other.text):
            return f"{one.place} counts {_counted(first)}, {other.place} {_counted(second)}"
        return None
    if first.ordered and second.ordered and (first.first, first.last) != (second.first, second.last):
        return f"{one.place} asks for {asked_order(first)}, {other.place} for {asked_order(second)}"
    return None


def against_lines(text: str, place: str, lines: Sequence[KitLine], listed: str) -> str | None:
    """How a step contradicts the lines of the kit that is meant for it, or None. Counts that are a multiple
    (a kit for two packs, two kits to a pack) are no contradiction."""
    words, (friction, steel) = _sure(text), plate_counts(lines)
    if words is None or not friction or not steel:
        return None
    if words.counted and words.friction and words.steel and _single_counts(text):
        if _multiple((friction, steel), (words.friction, words.steel)):
            return None
        return f"{place} counts {_counted(words)}, {listed} {friction} friction and {steel} steel"
    unfit = words.ordered and not words.counted and words.alternate and not admits(words, friction, steel)
    if unfit and orders(friction, steel):
        return f"{place} asks for {asked_order(words)}, but {listed} {arithmetic(friction, steel)}"
    return None


def told_against(step: Step, others: Iterable[Step]) -> tuple[str, ...]:
    """Sentences on what a step in force contradicts: itself, or other steps of its section."""
    if not step.text:
        return ()
    told = _told(step)
    said = [f"{told.place} contradicts itself: {why}" for why in own_contradictions(step.text)]
    for other in others:
        if other is step or not other.text or key(other.publication) != key(step.publication):
            continue
        why = against_each_other(told, _told(other))
        said += [f"two steps contradict each other: {why}"] if why else []
    return tuple(dict.fromkeys(said))


def names(text: str, number: str) -> bool:
    """Whether some words name a part or kit number."""
    return key(number) in {run.key for run in runs(text)}


def listed_plates(contents: Contents) -> bool:
    """Whether a kit's lines tell both counts of plates."""
    return None not in plate_counts(contents.lines)


def _told(step: Step) -> Told:
    return Told(step.text or "", step.section, f"step {step.label} on page {step.page} of {step.publication}")


def _sure(text: str) -> PackWords | None:
    """The pack words of a step that stacks one pack, without variants or plates besides."""
    return read_pack(text) if _clear(text) else None


def _clear(text: str) -> bool:
    low = text.lower()
    return names_plates(text) and not (_BESIDES.search(low) or _VARIANT.search(low) or _OUT.search(low))


def _firsts(text: str) -> set[str]:
    words = marked(text)
    return {m["k"] for pattern in _STARTS for m in pattern.finditer(words)}


def _single_counts(text: str) -> bool:
    """Each kind counted once (a lone one apart: `starting with one`), so that the counts are of one pack."""
    words = marked(text)
    for mark in "FS":
        if len({n for n in re.findall(rf"<{mark}:([0-9]{{1,3}})>", words) if n != "1"}) != 1:
            return False
    return True


def _same_pack(one: str, other: str) -> bool:
    """The same names of packs in both, such as forward, reverse, K1."""
    return _qualifiers(one) == _qualifiers(other)


def _qualifiers(text: str) -> set[str]:
    return set(_QUALIFIER.findall(_ORDINARY.sub(" ", text.lower())))


def _counts(words: PackWords) -> tuple[int | None, int | None]:
    return words.friction, words.steel


def _counted(words: PackWords) -> str:
    return f"{words.friction} friction and {words.steel} steel plates"


def _multiple(one: tuple[int, int], other: tuple[int, int]) -> bool:
    big, small = max(one, other), min(one, other)
    return big[0] % small[0] == 0 and big[1] % small[1] == 0 and big[0] // small[0] == big[1] // small[1]

"""Old and new value of a change in any words: two values of one unit, told apart by the words beside them."""

import re
from dataclasses import dataclass

from benchleaf.ingest.phrases.guesscues import Cues
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.tags import QUOTE, VALUE

_FIGURE = r"(?:[0-9]{1,5}(?:[.,][0-9]{1,4})?|\.[0-9]{1,4})"
_NOUN = (
    r"(?:pcs|pieces|off|times|turns|drops|strokes|minutes|hours|passes|coats|layers|shims|discs|plates"
    r"|springs|balls|rollers)\b\.?"
)
_ARROW = re.compile(r" ?(?:[-–—=]{0,2}>|[→➔⇒»]) ?")
_RATE = r"(?:l|m|mm|cm|dm3|cm3|ml|g|kg|U|rev)/(?:min|s|h|mm|m|cm2|cm²)"
_STRETCH = re.compile(
    rf"(?:(?<![0-9A-Za-z.,]){_FIGURE} (?P<to>to|and|up to) )?[{VALUE}]|[{QUOTE}]"
    rf"|(?<![0-9A-Za-z.,/-])[0-9]{{1,3}} {_NOUN}|(?<![0-9A-Za-z.,/-]){_FIGURE} ?{_RATE}(?![A-Za-z0-9])"
)
_QUOTED = re.compile(r"[^A-Za-z]{0,4}(?:[a-z]{1,7}\.? )?[±]?[0-9.,][^:;?!]{0,40}", re.IGNORECASE)
_UNIT = re.compile(r"[A-Za-z°µμ%/²³·.″Ω]+")
_FROM = re.compile(r"\bfrom $", re.IGNORECASE)
_STOP = re.compile(r"[;:] |\. (?=[A-Z])")
_BETWEEN = re.compile(r"\bbetween $", re.IGNORECASE)
_REACH = 60  # characters beside a value that may tell what it is


@dataclass(frozen=True, slots=True)
class Amount:
    """A value as printed at folded[start:end], with its unit."""

    start: int
    end: int
    text: str
    unit: str


@dataclass(frozen=True, slots=True)
class Change:
    """The old and the new value, and how plainly the words tell them apart."""

    was: Amount
    now: Amount
    weight: float


def amounts(passage: Passage, stretch: Sentence) -> tuple[Amount, ...]:
    """The values of a stretch: with a unit, quoted, or counts of things. "12 to 18 mm" is one of them."""
    found: list[Amount] = []
    for match in _STRETCH.finditer(passage.folded, stretch.start, stretch.end):
        start = match.start()
        before = passage.folded[max(0, start - 10) : start]
        if (match["to"] == "and" and not _BETWEEN.search(before)) or (match["to"] and _FROM.search(before)):
            figure = match.end("to") + 1
            if match["to"] != "and":
                text = passage.tagged.words(start, match.start("to")).strip()
                unit = _unit(passage.tagged.words(figure, match.end()))
                found.append(Amount(start, match.start("to"), f"{text} {unit}".strip(), unit))
            start = figure
        printed = _printed(passage, start, match.end())
        if printed is not None:
            found.append(Amount(start, match.end(), printed, _unit(printed)))
    return tuple(found)


def _printed(passage: Passage, start: int, end: int) -> str | None:
    tag = passage.tagged.tags.get(start)
    if tag is not None and tag.kind == QUOTE:
        return str(tag.content) if _QUOTED.fullmatch(str(tag.content)) else None
    return passage.tagged.words(start, end).strip(" ,;:") or None


def _unit(text: str) -> str:
    """The unit of a printed value, its words in lower case; what stands in brackets is left out."""
    bare = re.sub(r"[(\[][^)\]]{0,40}[)\]]", " ", text)
    words = [w.lower().strip(".") for w in _UNIT.findall(bare)]
    return " ".join(w for w in words if w and w not in ("to", "and", "max", "min", "up", "approx"))


def changed(cues: Cues, passage: Passage, stretch: Sentence, found: tuple[Amount, ...]) -> Change | None:
    """The pair of values that the words tell to be old and new; None if no pair of one unit is."""
    best: Change | None = None
    roles = [_role(cues, passage, stretch, found, n) for n in range(len(found))]
    for i, was in enumerate(found):
        for j, now in enumerate(found):
            if i == j or was.unit != now.unit or was.text == now.text or abs(i - j) > 2:
                continue
            weight = roles[i][0] + roles[j][1] - 0.5 * (roles[i][1] + roles[j][0]) - 0.4 * (abs(i - j) - 1)
            weight += 0.1 * (i < j)
            if best is None or weight > best.weight:
                best = Change(was, now, weight)
    return best if best is not None and best.weight >= 1.5 else None


def _role(
    cues: Cues, passage: Passage, stretch: Sentence, found: tuple[Amount, ...], at: int
) -> tuple[float, float]:
    """How much the words beside a value make it the old one, and the new one."""
    here = found[at]
    left = max(found[at - 1].end if at else stretch.start, here.start - _REACH)
    right = min(found[at + 1].start if at + 1 < len(found) else stretch.end, here.end + _REACH)
    before = _STOP.split(passage.folded[left : here.start])[-1]
    after = _STOP.split(passage.folded[here.end : right])[0]
    arrow = 3.0 * bool(_ARROW.fullmatch(after)), 3.0 * bool(_ARROW.fullmatch(before))
    was = arrow[0] + cues.before("was-before", before) + 0.8 * cues.after("was-after", after)
    now = arrow[1] + cues.before("now-before", before) + 0.8 * cues.after("now-after", after)
    return was, now

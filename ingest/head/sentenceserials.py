"""Serial numbers inside a sentence: which of its numbers they are, and the words that say so."""

import re
from collections.abc import Collection
from dataclasses import dataclass, replace

from benchleaf.graph.keys import key
from benchleaf.ingest.head.clauses import EXCEPT
from benchleaf.ingest.head.ranges import (
    DIFFER,
    SERIAL_WORD,
    Run,
    Serials,
    joined,
    met,
    run_pattern,
    runs_of,
    split,
)
from benchleaf.ingest.head.units import year_doubt


@dataclass(frozen=True, slots=True)
class Said:
    """The serial numbers a sentence limits itself to, those left out, and the exact words that say so."""

    serials: Serials
    excepted: tuple[str, ...]
    words: tuple[str, ...]


_UNITS = (
    r"(?:units?|machines?|gear\s?box(?:es)?|transmissions?|pumps?|clutch(?:es)?|brakes?|converters?|winch(?:es)?"
    r"|couplings?|motors?|retarders?|axles?|drives?|hoists?|reducers?|actuators?|models?|types?|boxes|equipment)"
)
_UNITS_BEFORE = re.compile(
    rf"\b{_UNITS},?\s(?:(?:numbered|with|having|bearing|of|built|produced|made|delivered|supplied)\s)?$",
    re.IGNORECASE,
)
_MEASURE = re.compile(
    r"\s?(?:[mcµ]m\b|m\b|in\b|inch|(?:k?N|kgf|lbf?|ozf?)\b|Nm\b|bar\b|psi\b|[kM]?Pa\b|k?g\b|rpm|r/min|°|%|hours?\b|hrs?\b|h\b|km\b"
    r"|miles|lit(?:re|er)s?|[lLVA]\b|years?|months?|weeks?|days?|kW\b|hp\b|thou\b|turns|teeth|pages?|times|pcs|shims?|pieces)"
)
_MORE = re.compile(r",?\s(?:and|&|or)\s|,\s")
_LEADS = ("between", "frm", "upto", "before", "after", "arrow", "least", "most")


def serials_said(text: str, known: Collection[str] = ()) -> Said:
    """The serial numbers of a sentence. A number is one where a word says so (`serial`, `S/N`), or where it
    is a bound that follows the units (`on gearboxes up to No. 4411`). `known` are keys of model names.

    >>> serials_said("On gearboxes from No. 4411 onwards fit two shims.").serials.first
    '4411'
    """
    runs: list[Run] = []
    excepted: list[str] = []
    words: list[str] = []
    doubts: list[str] = []
    position = 0
    while (m := run_pattern().search(text, position)) is not None:
        if not _meant(m, text, known):
            position = m.end("a")
            continue
        found, end = _listed(text, m.start())
        end, left_out = _left_out(text, end, found)
        runs += found
        excepted += left_out
        doubts += year_doubt(m)
        words.append(text[m.start() : end].strip(" ,"))
        position = max(end, m.end("a"))
    return Said(_total(runs, len(words), tuple(doubts)), tuple(excepted), tuple(dict.fromkeys(words)))


def _total(runs: list[Run], stretches: int, doubts: tuple[str, ...]) -> Serials:
    """One range; stretches apart with different ranges belong to different units."""
    if not runs:
        return Serials(doubts=doubts)
    total = joined(runs)
    if (
        stretches > 1
        and len({(r.first, r.last) for r in runs}) > 1
        and met(list(dict.fromkeys(runs))) is None
    ):
        total = Serials(doubts=(DIFFER,))
    return replace(total, doubts=(*total.doubts, *doubts))


def _meant(m: re.Match[str], text: str, known: Collection[str]) -> bool:
    if SERIAL_WORD.search(f"{m['label'] or ''} {m['label2'] or ''}"):
        return True
    bounded = m["b"] or m["on"] or m["down"] or m["arrow2"] or any(m[n] for n in _LEADS)
    figures = len(re.sub(r"[^0-9]", "", m["a"]))
    if not bounded or figures < 3 or _MEASURE.match(text, m.end("b") if m["b"] else m.end("a")):
        return False
    before = text[max(0, m.start() - 60) : m.start()]
    return bool(_UNITS_BEFORE.search(before)) or _follows_model(before, known)


def _follows_model(before: str, known: Collection[str]) -> bool:
    """True if the last words before the numbers are a model's name."""
    words = before.split()
    return any(key(" ".join(words[-n:]).strip(" ,(")) in known for n in (1, 2, 3) if len(words) >= n)


def _listed(text: str, at: int) -> tuple[list[Run], int]:
    """The run at a place and those listed behind it: numbers of the same kind, and nothing else."""
    runs: list[Run] = []
    end = position = at
    while (m := run_pattern().match(text, position)) is not None and len(runs) < 500:
        other = runs and (any(m[n] for n in _LEADS) or not _alike(m["a"], runs[0]))
        if other or (runs and _MEASURE.match(text, m.end())):
            break
        runs += runs_of(m)
        end = m.end()
        gap = _MORE.match(text, end)
        if gap is None:
            break
        position = gap.end()
    return runs, end


def _alike(serial: str, first: Run) -> bool:
    """True if two numbers are of one series: the same letters, as many figures."""
    bound = first.first or first.last or ""
    one, other = split(serial), split(bound)
    return one is not None and other is not None and one[0] == other[0] and len(serial) == len(bound)


def _left_out(text: str, end: int, runs: list[Run]) -> tuple[int, list[str]]:
    m = EXCEPT.match(text, end)
    if m is None or not runs:
        return end, []
    first = run_pattern().match(text, m.end())
    if first is None or not _alike(first["a"], runs[0]):
        return end, []
    found, stop = _listed(text, m.end())
    if any(r.first is None or r.last is None for r in found):
        return end, []
    return stop, [str(r.first) if r.first == r.last else f"{r.first}–{r.last}" for r in found]

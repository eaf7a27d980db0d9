"""Which units a text holds for: models, serial numbers, days of manufacture, kits."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies
from benchleaf.ingest.head.built import read_built
from benchleaf.ingest.head.clauses import EXCEPT, further_limits, kits_named
from benchleaf.ingest.head.fields import packaged, plain
from benchleaf.ingest.head.models import EXCEPT as MODELS_EXCEPT
from benchleaf.ingest.head.models import read_models
from benchleaf.ingest.head.ranges import DIFFER, SERIAL_WORD, Run, Serials, joined, read_runs, run_pattern
from benchleaf.ingest.lookalikes import strange_numbers

FieldKind = Literal["applies", "models", "serials", "built", "kits"]

_ALL = re.compile(r"\b(?:all|every|each|any|alle|tous|toutes|tutti|tutte|todos|todas)\b", re.IGNORECASE)
_ALL_OF_ONE = re.compile(
    r"\b(?:all|every)\s(?!models\b|types\b|units\b)[^;,]{0,30}[0-9][^;,]{0,30}(?:;|,\sand\b)[^;]{0,40}[0-9]",
    re.IGNORECASE,
)
"""`all KR 12; KR 14 up to …`: the bound belongs to the second only."""
_LABELLED = re.compile(
    r"(?:^|[;,]|\band\b)\s{0,2}([A-Z][A-Z0-9./-]{0,14}|[0-9]{1,3}[A-Z]{1,4}[-0-9]{0,6})\s?(?::"
    r"|=)\s{0,2}(?=[0-9A-Za-z#≤≥→])"
)


def read_applies(text: str, field: FieldKind = "applies", day_first: bool | None = None) -> Applies | None:
    """The units named by a text, or None if it names none.

    `field` says under which label the text stood: under a serial-number label bare numbers are serials,
    elsewhere they need a word that says so. What limits the units and fits no bounds is told in `unclear`.

    >>> read_applies("KX-4, KX-4B, from serial number 27384").serial_from
    '27384'
    """
    printed = " ".join(text.split())
    rest, kits = kits_named(_started(printed[:4000]))
    rest, further = further_limits(rest)
    built = read_built(rest, day_first)
    serials, excepted, rest = serials_in(built.rest, field)
    names = read_models(without_serial_words(rest)) if field != "kits" else read_models("")
    doubts = (*further, *built.doubts, *serials.doubts, *names.unclear)
    applies = Applies(
        models=names.models,
        serial_from=serials.first,
        serial_to=serials.last,
        excepted=(*serials.holes, *excepted, *names.excepted),
        built_from=built.first,
        built_to=built.last,
        kits=kits,
        as_printed=printed,
        unclear=tuple(dict.fromkeys((*doubts, *strange_numbers(printed)))),
    )
    nothing = replace(applies, as_printed="") == Applies()
    return None if nothing and not _ALL.search(printed) else applies


_STARTED = re.compile(
    r"\b(?:from\s)?(?:the\s)?(?:start|beginning|commencement)\sof\s(?:series\s|serial\s)?production"
    r"(?P<to>,?\s(?:up\s)?(?:to|through|thru|till|until)\s(?:and\sincluding\s)?)?",
    re.IGNORECASE,
)


def _started(text: str) -> str:
    """`From start of production to 1999` is a range with an open lower bound, 1999 included."""
    return _STARTED.sub(lambda m: "through " if m["to"] else " ; ", text)


def unread_words(text: str, field: FieldKind = "applies") -> tuple[str, ...]:
    """The words of a text that are no model, bound or noun of the trade: many of them tell a sentence."""
    rest, _ = kits_named(_started(" ".join(text.split())[:4000]))
    rest, _ = further_limits(rest)
    _, _, rest = serials_in(read_built(rest).rest, field)
    if read_models(without_serial_words(rest)).excepted:
        rest = MODELS_EXCEPT.sub(" ; ", rest)
    words = re.findall(r"(?<![A-Za-zÀ-ÿ0-9])[a-zà-ÿ][a-zà-ÿ-]{1,30}", without_serial_words(rest))
    return tuple(w for w in words if plain(w) not in packaged().nouns)


def merged(parts: tuple[Applies, ...]) -> Applies:
    """Several fields of one head as one: models and kits joined, bounds from the field that has them.

    Two fields that give different bounds cannot both be held: the bounds stay open and the doubt says so.
    """
    if not parts:
        return Applies()
    bounds = dict.fromkeys((p.serial_from, p.serial_to) for p in parts if p.serial_from or p.serial_to)
    dates = dict.fromkeys((p.built_from, p.built_to) for p in parts if p.built_from or p.built_to)
    doubts = [d for p in parts for d in p.unclear]
    if len(bounds) > 1 or len(dates) > 1:
        doubts.append("several serial ranges or building dates stand at the head")
    serial = next(iter(bounds), (None, None)) if len(bounds) == 1 else (None, None)
    built = next(iter(dates), (None, None)) if len(dates) == 1 else (None, None)
    return Applies(
        models=_distinct(m for p in parts for m in p.models),
        serial_from=serial[0],
        serial_to=serial[1],
        excepted=_distinct(e for p in parts for e in p.excepted),
        built_from=built[0],
        built_to=built[1],
        kits=_distinct(k for p in parts for k in p.kits),
        as_printed="; ".join(dict.fromkeys(p.as_printed for p in parts if p.as_printed)),
        unclear=tuple(dict.fromkeys(doubts)),
    )


def _distinct(names: Iterable[str]) -> tuple[str, ...]:
    kept: dict[str, str] = {}
    for name in names:
        kept.setdefault(key(name), name)
    return tuple(kept.values())


def serials_in(text: str, field: FieldKind = "applies") -> tuple[Serials, tuple[str, ...], str]:
    """The serial numbers, those left out, and the text without them."""
    plain = _unlabelled(text, field)
    found = clusters_in(plain, lambda m, before: _meant(m, plain, field, before))
    clusters = [c.span for c in found]
    runs = [r for c in found for r in c.runs]
    doubts = [d for c in found for d in (*c.doubts, *(c.year if field != "serials" else ()))]
    rest = _cut(plain, clusters)
    total = joined(runs)
    if _differ(plain, clusters, runs) or (plain != text and len(runs) > 1):
        total = Serials(doubts=(DIFFER,))
    doubts += _unread(plain, clusters, field)
    excepted = tuple(e for c in found for e in c.excepted)
    return replace(total, doubts=(*total.doubts, *doubts)), excepted, rest


@dataclass(frozen=True, slots=True)
class Cluster:
    """Serial numbers that stand together: their place, the runs, those left out, what is not certain.

    `year` is the doubt of a bound that may as well be a year."""

    span: tuple[int, int]
    runs: tuple[Run, ...]
    excepted: tuple[str, ...]
    doubts: tuple[str, ...]
    year: tuple[str, ...]


Meant = Callable[[re.Match[str], list[tuple[int, int]]], bool]


def clusters_in(text: str, meant: Meant) -> list[Cluster]:
    """Every stretch of serial numbers in a text; `meant` tells of a run, and of the stretches before it,
    whether serial numbers are meant."""
    found: list[Cluster] = []
    position = 0
    while (m := run_pattern().search(text, position)) is not None:
        if not meant(m, [c.span for c in found]):
            position = m.end("a")
            continue
        runs, end = read_runs(text, m.start())
        end, left_out = _left_out(text, end)
        doubts = tuple(_stray(text, end, runs))
        span = (_start(text, m.start()), end)
        found.append(Cluster(span, runs, tuple(left_out), doubts, tuple(year_doubt(m))))
        position = end
    return found


def _unlabelled(text: str, field: FieldKind) -> str:
    """`KX-4: 100 to 200`: under a serial-number label a model before a colon is no serial number."""
    return _LABELLED.sub(" ; ", text) if field == "serials" else text


def _meant(m: re.Match[str], text: str, field: FieldKind, before: list[tuple[int, int]]) -> bool:
    """True if the numbers are serial numbers: said by a word, or by a range of plain long numbers."""
    label = f"{m['label'] or ''} {m['label2'] or ''}"
    led = any(m[n] for n in ("frm", "upto", "before", "after", "arrow", "between", "least", "most"))
    if SERIAL_WORD.search(label):
        return True
    letters = not m["a"].replace(",", "").replace(".", "").replace(" ", "").isdigit()
    if field == "serials":
        return not (letters and not led and m["b"] and SERIAL_WORD.search(m[0]))
    open_end = m["on"] or m["arrow2"] or m["down"]
    if letters and not (label.strip() and SERIAL_WORD.search(text[: m.start()])):
        return _lettered(m["a"], bool(led or open_end), bool(m["b"]), _cut(text[: m.start()], before))
    digits = len(re.sub(r"[^0-9]", "", m["a"]))
    if m["b"] and not led:
        return digits >= 4 and not SERIAL_WORD.search(m[0])
    return digits >= 3 and bool(led or open_end)


_LETTERED = re.compile(r"[A-Z]{1,2}-?[0-9]{4,12}(?P<to>-[A-Z]{0,2}[0-9]{4,12})?")


def _lettered(a: str, bound: bool, run: bool, before: str) -> bool:
    """True if `K52111` is a serial number: a letter and four digits or more, with a word that makes it a
    bound or the end of a run, and of another form than the models listed before it."""
    m = _LETTERED.fullmatch(a)
    if m is None or not (bound or run or m["to"]):
        return False
    models = read_models(without_serial_words(before)).models
    if not models:
        return bound or len(re.sub("[^0-9]", "", a.split("-")[0] or a)) >= 5
    return all(_form(name) != _form(a) for name in models)


def _form(name: str) -> str:
    """How a name is built: `KX-4` as `A9`, so that what looks alike is told."""
    return re.sub(r"[0-9]", "9", re.sub(r"[A-Z]", "A", key(name)))


def year_doubt(m: re.Match[str]) -> list[str]:
    """Doubt where a bound that no word calls a serial number may be a year."""
    label = f"{m['label'] or ''}{m['label2'] or ''}"
    year = re.fullmatch(r"(?:19[5-9]|20[0-4])[0-9]", m["a"])
    return (
        [f"“{m[0].strip()}” may be a year or a serial number"]
        if year and not SERIAL_WORD.search(label)
        else []
    )


def _stray(text: str, end: int, runs: tuple[Run, ...]) -> list[str]:
    """`S/Ns 101, 105, A22`: the last may be a serial number or a model."""
    m = re.match(r",\s?([A-Z]{1,3}-?[0-9]{1,8})\b", text[end:])
    single = runs[-1].first == runs[-1].last
    return [f"“{m[1]}” may be a serial number or a model"] if m and single else []


def _start(text: str, at: int) -> int:
    """Where the words begin that lead to the serial numbers: `with serial number`."""
    lead = re.search(
        r"\b(?:with|having|bearing|of|within|and|mit|con|avec)\s(?:the\s)?$", text[max(0, at - 16) : at]
    )
    return at - len(lead[0]) if lead else at


def _left_out(text: str, end: int) -> tuple[int, list[str]]:
    m = EXCEPT.match(text, end)
    if m is None:
        return end, []
    runs, stop = read_runs(text, m.end())
    if not runs or any(r.first is None or r.last is None for r in runs):
        return end, []
    return stop, [str(r.first) if r.first == r.last else f"{r.first}–{r.last}" for r in runs]


def _cut(text: str, spans: list[tuple[int, int]]) -> str:
    for start, end in reversed(spans):
        text = text[:start] + " ; " + text[end:]
    return text


def _differ(text: str, clusters: list[tuple[int, int]], runs: list[Run]) -> bool:
    """True if each range belongs to its own model: models stand between ranges, or after the last."""
    if not clusters:
        return False
    if len(_LABELLED.findall(text)) > 1:
        return True
    if _ALL_OF_ONE.search(text[: clusters[0][0]]):
        return True
    between = [text[a[1] : b[0]] for a, b in pairwise(clusters)]
    if any(_models_in(t) for t in between):
        return len({(r.first, r.last) for r in runs}) > 1 or _models_in(text[clusters[-1][1] :])
    return _models_in(text[: clusters[0][0]]) and _models_in(text[clusters[-1][1] :])


def _models_in(text: str) -> bool:
    return bool(read_models(without_serial_words(EXCEPT.split(text)[0])).models)


def _unread(text: str, clusters: list[tuple[int, int]], field: FieldKind) -> list[str]:
    """Doubt where serial numbers are spoken of and none could be read."""
    if clusters or _ALL.search(text):
        return []
    if field == "serials" and re.search(r"[0-9]", text):
        return [f"the serial numbers could not be read: “{text.strip(' ;')}”"]
    m = SERIAL_WORD.search(text)
    return (
        [f"the serial numbers could not be read: “{text.strip(' ;')}”"]
        if m and re.search(r"[0-9]", text[m.end() :])
        else []
    )


def without_serial_words(text: str) -> str:
    """The text without the words that only lead to serial numbers, so that they are no model's name."""
    return SERIAL_WORD.sub(" ; ", text)

"""Which units a text holds for: models, serial numbers, days of manufacture, kits."""

import re
from dataclasses import replace
from typing import Literal

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies
from benchleaf.ingest.built import read_built
from benchleaf.ingest.models import read_models
from benchleaf.ingest.ranges import SERIAL_WORD, Run, Serials, joined, read_runs, run_pattern

FieldKind = Literal["applies", "models", "serials", "built", "kits"]

_PART = r"(?:[A-Z]{1,5}[ .-]?)?[0-9][0-9A-Z]{0,14}(?:[ ./-](?=[0-9A-Z]{0,8}[0-9])[0-9A-Z]{1,9}){0,4}"
_KIT = re.compile(
    r"(?i:,?\s?\b(?:but\s)?(?:only\s)?(?:when|if|where|with|using|having|incorporating|(?:that|which)\s(?:have|has)|(?:fitted|equipped|rebuilt|repaired|overhauled)\swith|for)\s"
    r"(?:the\s|a\s|an\s|new\s|old\s|repair\s|overhaul\s|service\s|conversion\s|rebuild\s|plate\s|disc\s|gasket\s|seal\s){0,4}kits?\s(?:(?:part\s)?(?:numbers?|nos?\.?)\s|p/n\s?|no\.\s?)?)"
    rf"(?P<parts>{_PART}(?:(?:\s?,\s|\s(?:or|and)\s)(?:kit\s)?{_PART}){{0,5}})"
    r"(?i:\s(?:(?:is|are|was|were|has\sbeen|have\sbeen|being)\s)?(?:fitted|installed|used|incorporated|present|in\suse))?"
)
_OPTION = re.compile(r"\bwith or without\b[^,;.()]{0,60}", re.IGNORECASE)
_FURTHER = re.compile(
    r"[\s,]{0,2}(?:\b(?:not\sall|some\sof|some|certain|selected|a\snumber\sof|several|part\sof)\s(?:the\s|of\sthe\s)?(?:units|models|machines|pumps|gearboxes|transmissions|clutches|brakes|serials?(?:\snumbers)?|vehicles)\b[^;.()]{0,60}"
    r"|\b(?:within|in)\s(?:the|this)\srange,?\s(?:but\s)?not\sall[^;.]{0,60}|\bnot\sall\b[^;.()]{0,60}"
    r"|\b(?:(?:if|when|where|only|and|or|that\sare|which\sare|units)\s){0,2}(?:equipped|fitted|provided|supplied)\swith\b[^,;()]{1,80}?(?=[,;()]|\sfrom\s|\sup\sto\s|\sprior\sto\s|\sbefore\s|\sserial|\.\s|\.?$)"
    r"|\b(?:(?:that|which|units)\s){0,2}(?:(?:have|has|having|had)\s)?(?:been\s)?(?:not\s(?:yet\s)?)?(?:incorporat(?:ed|ing)|modified|converted|updated|reworked|complied)\b[^;()]{0,80}?(?=[;()]|\.\s|\.?$)"
    r"|\b(?:with|without|w/o|mit|ohne|avec|sans)\s(?!(?:the\s)?(?:serial|s/?n\b|numbers?|unit\snumber|machine\sn|following|models?\b|types?\b))[^,;.()]{1,80}?(?=[,;.()]|\sfrom\s|\sserial|$))",
    re.IGNORECASE,
)
_EXCEPT = re.compile(
    r"[\s,;(]{0,3}\b(?:except(?:ing|ed)?(?:\sfor)?|excluding|excl\.|but\snot|not\sincluding|other\sthan|with\sthe\sexception\sof|omitting|außer|sauf|eccetto|excepto)\b:?\s{0,3}",
    re.IGNORECASE,
)
_ALL = re.compile(r"\b(?:all|every|each|any|alle|tous|toutes|tutti|tutte|todos|todas)\b", re.IGNORECASE)
_LABELLED = re.compile(r"(?:^|[;,]|\band\b)\s{0,2}([A-Z][A-Z0-9./-]{0,14}|[0-9]{1,3}[A-Z]{1,4}[-0-9]{0,6})\s?(?::|=)\s{0,2}(?=[0-9A-Za-z#≤≥→])")


def read_applies(text: str, field: FieldKind = "applies", day_first: bool | None = None) -> Applies | None:
    """The units named by a text, or None if it names none.

    `field` says under which label the text stood: under a serial-number label bare numbers are serials, elsewhere
    they need a word that says so. Whatever limits the units and cannot be held in bounds is told in `unclear`.

    >>> read_applies("DX-4, DX-4B, from serial number 27384").serial_from
    '27384'
    """
    printed = " ".join(text.split())
    rest, kits = _kits(printed[:4000])
    rest, further = _further(rest)
    built = read_built(rest, day_first)
    serials, excepted, rest = _serials(built.rest, field)
    names = read_models(_plain_models(rest)) if field != "kits" else read_models("")
    applies = Applies(
        models=names.models,
        serial_from=serials.first,
        serial_to=serials.last,
        excepted=(*serials.holes, *excepted, *names.excepted),
        built_from=built.first,
        built_to=built.last,
        kits=kits,
        as_printed=printed,
        unclear=tuple(dict.fromkeys((*further, *built.doubts, *serials.doubts, *names.unclear))),
    )
    nothing = replace(applies, as_printed="") == Applies()
    return None if nothing and not _ALL.search(printed) else applies


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


def _distinct(names: "object") -> tuple[str, ...]:
    kept: dict[str, str] = {}
    for name in names:  # type: ignore[attr-defined]  # replaced below
        kept.setdefault(key(name), name)
    return tuple(kept.values())


def _kits(text: str) -> tuple[str, tuple[str, ...]]:
    kits: list[str] = []
    for m in _KIT.finditer(text):
        kits += [p.strip() for p in re.split(r",\s|\s(?:or|and)\s(?:kit\s)?", m["parts"])]
    return _KIT.sub(" ; ", text), tuple(dict.fromkeys(kits))


def _further(text: str) -> tuple[str, tuple[str, ...]]:
    plain = _OPTION.sub(" ; ", text)
    limits = tuple(f"the units are limited further: “{m[0].strip(' ,')}”" for m in _FURTHER.finditer(plain))
    return _FURTHER.sub(" ; ", plain), limits


def _serials(text: str, field: FieldKind) -> tuple[Serials, tuple[str, ...], str]:
    """The serial numbers, those left out, and the text without them."""
    runs: list[Run] = []
    excepted: list[str] = []
    clusters: list[tuple[int, int]] = []
    doubts: list[str] = []
    position, plain = 0, _unlabelled(text, field)
    while (m := run_pattern().search(plain, position)) is not None:
        if not _meant(m, plain, field):
            position = m.end("a")
            continue
        found, end = read_runs(plain, m.start())
        runs += found
        end, left_out = _left_out(plain, end)
        excepted += left_out
        clusters.append((m.start(), end))
        doubts += _year_doubt(m)
        position = end
    rest = _cut(plain, clusters)
    total = joined(runs)
    if _differ(plain, clusters, runs) or (plain != text and len(runs) > 1):
        total = Serials(doubts=("the serial numbers differ by model, see the words as printed",))
    doubts += _unread(plain, clusters, field)
    return replace(total, doubts=(*total.doubts, *doubts)), tuple(excepted), rest


def _unlabelled(text: str, field: FieldKind) -> str:
    """`DX-4: 100 to 200`: under a serial-number label a model before a colon is no serial number."""
    return _LABELLED.sub(" ; ", text) if field == "serials" else text


def _meant(m: re.Match[str], text: str, field: FieldKind) -> bool:
    """True if the numbers are serial numbers: said by a word, or by a range of plain long numbers."""
    label = f"{m['label'] or ''} {m['label2'] or ''}"
    led = any(m[n] for n in ("frm", "upto", "before", "after", "arrow", "between", "least", "most"))
    if SERIAL_WORD.search(label):
        return True
    letters = not m["a"].replace(",", "").replace(".", "").replace(" ", "").isdigit()
    if field == "serials":
        return not (letters and not led and m["b"] and SERIAL_WORD.search(m[0]))
    if letters and not (label.strip() and SERIAL_WORD.search(text[: m.start()])):
        return False
    digits = len(re.sub(r"[^0-9]", "", m["a"]))
    open_end = m["on"] or m["arrow2"] or m["down"]
    if m["b"] and not led:
        return digits >= 4 and not SERIAL_WORD.search(m[0])
    return digits >= 3 and bool(led or open_end)


def _year_doubt(m: re.Match[str]) -> list[str]:
    label = f"{m['label'] or ''}{m['label2'] or ''}"
    year = re.fullmatch(r"(?:19[5-9]|20[0-4])[0-9]", m["a"])
    return [f"“{m[0].strip()}” may be a year or a serial number"] if year and not SERIAL_WORD.search(label) else []


def _left_out(text: str, end: int) -> tuple[int, list[str]]:
    m = _EXCEPT.match(text, end)
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
    """True if models stand between the ranges: then each range belongs to its own model."""
    between = [text[a[1] : b[0]] for a, b in zip(clusters, clusters[1:], strict=False)]
    return len({(r.first, r.last) for r in runs}) > 1 and any(read_models(_plain_models(t)).models for t in between)


def _unread(text: str, clusters: list[tuple[int, int]], field: FieldKind) -> list[str]:
    """Doubt where serial numbers are spoken of and none could be read."""
    if clusters or _ALL.search(text):
        return []
    if field == "serials" and re.search(r"[0-9]", text):
        return [f"the serial numbers could not be read: “{text.strip(' ;')}”"]
    m = SERIAL_WORD.search(text)
    return [f"the serial numbers could not be read: “{text.strip(' ;')}”"] if m and re.search(r"[0-9]", text[m.end() :]) else []


def _plain_models(text: str) -> str:
    """The text without the words that only lead to serial numbers, so that they are no model's name."""
    return SERIAL_WORD.sub(" ; ", text)

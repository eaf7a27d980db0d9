"""Words that limit a sentence to some units: `For units from serial number 20500 on, …`, `KX-6 only: …`."""

import re
from collections.abc import Collection
from dataclasses import replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies
from benchleaf.ingest.head.built import read_built
from benchleaf.ingest.head.clauses import PART
from benchleaf.ingest.head.models import read_models
from benchleaf.ingest.head.ranges import SERIAL_WORD, run_pattern
from benchleaf.ingest.head.units import read_applies

_NAME = r"[A-Z0-9][A-Za-z0-9]{0,11}(?:[-/.][A-Za-z0-9]{1,8}){0,3}(?:\ [0-9]{1,4}[A-Z]?(?![A-Za-z0-9]))?"
_NAMES = rf"{_NAME}(?:(?:,\ (?:and\ |or\ )?|\ (?:and|&|or)\ |/|\ /\ ){_NAME}){{0,8}}"
_NOUN = (
    r"(?i:(?:models?|types?|units?|machines?|gearboxes|transmissions|series)(?:\s(?:of\s)?(?:models?"
    r"|types?|series))?)"
)
_MODELS = (
    re.compile(
        rf"(?:^|(?<=[\s(]))(?i:only\s)?(?i:for|on|in|with)\s(?i:the\s|all\s)?{_NOUN}:?\s(?P<names>{_NAMES})"
    ),
    re.compile(
        rf"(?:^|(?<=[\s(]))(?P<names>{_NAMES})(?i:\s(?:units|gearboxes|models|types|machines))?\s(?i:only)\b"
    ),
    re.compile(rf"\b(?i:only\s(?:for|on|to|with|in))\s(?i:the\s)?(?P<names>{_NAMES})"),
    re.compile(
        rf"\b(?i:appl(?:y|ies|icable)\s(?:only\s)?to|valid\s(?:only\s)?for)\s(?i:the\s"
        rf"|all\s)?(?:{_NOUN}\s)?(?P<names>{_NAMES})"
    ),
    re.compile(rf"^(?i:models?|types?)\s(?P<names>{_NAMES})\s?:"),
    re.compile(rf"\((?i:models?|types?|units?|only)\s(?P<names>{_NAMES})(?i:\sonly)?\)"),
)
_KNOWN = (
    re.compile(rf"(?:^|(?<=[\s(]))(?i:for|on|of|in)\s(?i:the\s|all\s)?(?P<names>{_NAMES})"),
    re.compile(rf"^(?P<names>{_NAMES})(?i:\s(?:units|gearboxes|models|types))?\s?[:–—]"),
    re.compile(rf"\((?P<names>{_NAMES})\)"),
)
_KIT = re.compile(
    rf"(?i:\b(?:only\s)?(?:when|if|where)\s(?:the\s|a\s|an\s|new\s|old\s|repair\s|overhaul\s"
    rf"|service\s){{0,3}}kits?\s(?:no\.?\s|number\s|p/n\s)?)(?P<a>{PART}(?:(?:,\s|\sor\s"
    rf"|\sand\s){PART}){{0,4}})"
    rf"(?i:\s(?:is|are|has\sbeen|was)\s(?:fitted|installed|used|incorporated))"
    rf"|(?i:\b(?:units|gearboxes|clutches|pumps|brakes|transmissions)\s(?:that\sare\s"
    rf"|which\sare\s)?(?:fitted|equipped|rebuilt|repaired|overhauled)?\s?with\s(?:the\s|repair\s"
    rf"|new\s){{0,2}}kit\s)(?P<b>{PART})"
    rf"|(?i:\bonly\swith\s(?:the\s|repair\s|new\s){{0,2}}kit\s)(?P<c>{PART})"
    rf"|^(?i:with\s(?:the\s|repair\s|new\s){{0,2}}kit\s)(?P<d>{PART})(?=(?i:\s(?:fitted|installed))?\s?[,:])"
    rf"|(?i:\bwith\s(?:the\s|repair\s|new\s){{0,2}}kit\s)(?P<e>{PART})(?=(?i:\s(?:fitted|installed|in\suse)))"
)
_FURTHER = re.compile(
    r"\b(?:not\sall|some|certain|selected)\s(?:of\sthe\s|of\sthese\s)?(?:units|machines|gearboxes"
    r"|clutches|pumps|brakes|transmissions)\b[^;.:]{0,40}"
    r"|\b(?:units|machines|gearboxes|clutches|pumps|brakes|transmissions)\s(?:that\s|which\s)?(?:are\s"
    r"|have\s|were\s)?(?:equipped\swith|fitted\swith|without|incorporated|built\swith"
    r"|supplied\swith)\s[^;,:.]{1,60}"
    r"|\b(?:if|when|where)\s(?:the\sunit\sis\s)?(?:equipped|fitted)\s(?:with\s)?[^;,:.]{1,60}"
    r"|\bdate\scodes?\b[^;:]{1,60}",
    re.IGNORECASE,
)


def statement_applies(
    text: str, known: Collection[str] = (), day_first: bool | None = None
) -> Applies | None:
    """The units and kits that a sentence limits itself to, or None if it does not.

    `known` are model names of the note or manual: `On KX-6, fit …` limits it only if KX-6 is a model;
    without that knowledge a bare name may be a publication or a part, and is passed over.

    >>> statement_applies("For units from serial number 20500 on, fit two shims.").serial_from
    '20500'
    """
    sentence = " ".join(text.split())[:3000]
    found = [*_serial_words(sentence), *_built_words(sentence)]
    names, words = _model_names(sentence, {key(k) for k in known})
    kits, kit_words = _kit_names(sentence)
    limits = [m[0].strip() for m in _FURTHER.finditer(sentence) if not _KIT.search(m[0])]
    printed = "; ".join(dict.fromkeys([*words, *found, *kit_words, *limits]))
    if not printed:
        return None
    read = read_applies("; ".join(found), day_first=day_first) or Applies()
    unclear = (*read.unclear, *(f"the units are limited further: “{w}”" for w in limits))
    return replace(read, models=names, kits=kits, as_printed=printed, unclear=tuple(dict.fromkeys(unclear)))


def _serial_words(text: str) -> list[str]:
    """Every range that a word such as `serial number` marks as one."""
    found: list[str] = []
    position = 0
    while (m := run_pattern().search(text, position)) is not None:
        said = SERIAL_WORD.search(f"{m['label'] or ''} {m['label2'] or ''}")
        if said:
            found.append(m[0].strip())
        position = m.end() if said else m.end("a")
    return found


def _built_words(text: str) -> list[str]:
    m = re.search(
        r"\b(?:built|manufactured|produced|assembled)\s(?:before|after|from|between|until|up to|since"
        r"|prior to|in|on)\b",
        text,
        re.I,
    )
    if m is None:
        return []
    clause = re.match(r"[^;:]{0,90}", text[m.start() :])
    words = clause[0] if clause else ""
    read = read_built(words)
    return [words[: len(words) - len(_tail(read.rest))].strip(" ,")] if read.first or read.last else []


def _tail(rest: str) -> str:
    """What follows the dates in a clause that `read_built` has cut them from."""
    return rest.rsplit(" ; ", 1)[-1]


def _model_names(text: str, known: set[str]) -> tuple[tuple[str, ...], list[str]]:
    names: list[str] = []
    words: list[str] = []
    for pattern, need_known in [*((p, False) for p in _MODELS), *((p, True) for p in _KNOWN)]:
        for m in pattern.finditer(text):
            read = [n for n in read_models(m["names"]).models if _model_like(n) or key(n) in known]
            if need_known:
                read = [n for n in read if key(n) in known]
            if read and not set(read) <= set(names):
                names += read
                words.append(m[0].strip(" (:,"))
    return tuple(dict.fromkeys(names)), words


def _model_like(name: str) -> bool:
    return bool(re.search(r"[A-Z]", name) and re.search(r"[0-9]", name)) and len(key(name)) <= 10


def _kit_names(text: str) -> tuple[tuple[str, ...], list[str]]:
    kits: list[str] = []
    words: list[str] = []
    for m in _KIT.finditer(text):
        kits += re.split(r",\s|\s(?:or|and)\s", next(g for g in m.groups() if g))
        words.append(m[0].strip())
    return tuple(dict.fromkeys(kits)), words

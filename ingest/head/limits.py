"""Words that limit a sentence to some units: `For units from serial number 20500 on, …`, `KX-6 only: …`."""

import re
from collections.abc import Collection
from functools import lru_cache

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies
from benchleaf.ingest.head.built import read_built
from benchleaf.ingest.head.clauses import EXCEPT, PART
from benchleaf.ingest.head.models import read_models
from benchleaf.ingest.head.ranges import DIFFER
from benchleaf.ingest.head.sentenceserials import serials_said
from benchleaf.ingest.head.units import read_applies

# A stroke joins a name and parts two names: what can belong to the name does.
_NAME = (
    r"[A-Z0-9][A-Za-z0-9]{0,11}+(?:[-/.][A-Za-z0-9]{1,8}(?![A-Za-z0-9])){0,3}+"
    r"(?:\ [0-9]{1,4}[A-Z]?(?![A-Za-z0-9]))?+"
)
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
    re.compile(
        rf"(?:^|(?<=[\s(]))(?i:on|for|in|with)\s(?i:the\s|all\s)?(?P<names>{_NAMES})\s(?i:units|gearboxes|transmissions|machines"
        r"|models|pumps|clutches|brakes|winches|types|series)\b"
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
# A set is one where a number of four figures or more stands behind it: "with the lamella set 4471-20".
_KITS = (
    r"(?:(?!the\s|a\s)[a-z]{3,12}\s){0,2}(?:kits?"
    r"|sets?(?=\s(?:no\.?\s|number\s|p/n\s)?(?=(?:[^0-9,;:]{0,4}[0-9]){4})))"
)
_KIT = re.compile(
    rf"(?i:\b(?:only\s)?(?:when|if|where)\s(?:the\s|a\s|an\s|new\s|old\s|repair\s|overhaul\s"
    rf"|service\s){{0,3}}{_KITS}\s(?:no\.?\s|number\s|p/n\s)?)(?P<a>{PART}(?:(?:,\s|\sor\s"
    rf"|\sand\s){PART}){{0,4}})"
    rf"(?i:\s(?:is|are|has\sbeen|was)\s(?:fitted|installed|used|incorporated))"
    rf"|(?i:\b(?:units|gearboxes|clutches|pumps|brakes|transmissions)\s(?:that\sare\s"
    rf"|which\sare\s)?(?:fitted|equipped|rebuilt|repaired|overhauled)?\s?with\s(?:the\s|repair\s"
    rf"|new\s){{0,2}}{_KITS}\s)(?P<b>{PART})"
    rf"|(?i:\bonly\swith\s(?:the\s|repair\s|new\s){{0,2}}{_KITS}\s)(?P<c>{PART})"
    rf"|^(?i:with\s(?:the\s|repair\s|new\s){{0,2}}{_KITS}\s)(?P<d>{PART})(?=(?i:\s(?:fitted|installed))?\s?[,:])"
    rf"|(?i:\bwith\s(?:the\s|repair\s|new\s){{0,2}}{_KITS}\s)(?P<e>{PART})(?=(?i:\s(?:fitted|installed|in\suse)))"
)
_FURTHER = re.compile(
    r"\b(?:not\sall|some|certain|selected)\s(?:of\sthe\s|of\sthese\s)?(?:units|machines|gearboxes"
    r"|clutches|pumps|brakes|transmissions)\b[^;.:]{0,40}"
    r"|\b(?:units|machines|gearboxes|clutches|pumps|brakes|transmissions)\s(?:that\s|which\s)?(?:are\s"
    r"|have\s|were\s)?(?:equipped\swith|fitted\swith|without|incorporated|built\swith"
    r"|supplied\swith)\s[^;,:.]{1,60}"
    r"|\b(?:units|machines|gearboxes|clutches|pumps|brakes|transmissions)\s(?:(?:that|which)\s)?(?:are\s"
    r"|have\s(?:been\s)?|were\s)?(?:already\s|not\s(?:yet\s)?){0,2}(?:modified|converted|updated|reworked|repaired)\s[^;,:.]{1,60}"
    r"|\b(?:units|machines|gearboxes|clutches|pumps|brakes|transmissions)\swith\s(?!(?:the\s|new\s|old\s|repair\s){0,2}(?:kits?\b"
    r"|serial|s/n|ser\.|unit\s(?:no|num)|nos?\b|numbers?\b|machine\s(?:no|num)|date\scode))[^;,:.]{1,60}"
    r"|\bserial\s(?:numbers?|nos?\.?)?\s?(?:that\s|which\s)?(?:begin|start|end)(?:s|n?ing)?\swith\s(?![0-9]{3})[^;,:.]{1,40}"
    r"|\b(?:serial\s(?:numbers?\s|nos?\.?\s)?)?(?:prefix|suffix)\s[^;,:.]{1,40}"
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
    return _applies(sentence, frozenset(key(k) for k in known), day_first)


@lru_cache(maxsize=512)
def _applies(sentence: str, models: frozenset[str], day_first: bool | None) -> Applies | None:
    """Kept: each statement of a sentence asks for its units."""
    serials = serials_said(sentence, models)
    built = _built_words(sentence)
    excepted, spans = _excepted(sentence, models)
    names, words = _model_names(_blanked(sentence, spans), models)
    kits, kit_words = _kit_names(sentence)
    limits = [m[0].strip() for m in _FURTHER.finditer(sentence) if not _KIT.search(m[0])]
    left_out = [sentence[a:b].strip(" ,(") for a, b in spans]
    printed = "; ".join(dict.fromkeys([*words, *serials.words, *built, *kit_words, *left_out, *limits]))
    if not printed:
        return None
    read = read_applies("; ".join(built), "built", day_first) or Applies()
    unclear = (
        *serials.serials.doubts,
        *read.unclear,
        *(f"the units are limited further: “{w}”" for w in limits),
        *(f"models are left out: “{w}”" for w in left_out),
    )
    if len(names) > 1 and len(serials.words) > 1 and DIFFER not in unclear:
        unclear = (*unclear, DIFFER)
    return Applies(
        models=names,
        serial_from=serials.serials.first,
        serial_to=serials.serials.last,
        excepted=(*serials.serials.holes, *serials.excepted, *excepted),
        built_from=read.built_from,
        built_to=read.built_to,
        kits=kits,
        as_printed=printed,
        unclear=tuple(dict.fromkeys(unclear)),
    )


_LEFT_OUT = re.compile(
    rf"(?i:{EXCEPT.pattern}(?:on\s|for\s|in\s|with\s)?(?:the\s|all\s)?)(?P<noun>{_NOUN}\s)?(?P<names>{_NAMES})"
    r"(?P<units>(?i:\s(?:units|gearboxes|models|types|machines|series)))?"
)


def _excepted(text: str, known: Collection[str]) -> tuple[tuple[str, ...], list[tuple[int, int]]]:
    """Models that a sentence leaves out (`except on KX-6`), and where it does."""
    found: list[str] = []
    spans: list[tuple[int, int]] = []
    for m in _LEFT_OUT.finditer(text):
        said = m["noun"] or m["units"]
        names = [n for n in read_models(m["names"]).models if key(n) in known or (said and _model_like(n))]
        if names:
            found += names
            spans.append(m.span())
    return tuple(dict.fromkeys(found)), spans


def _blanked(text: str, spans: list[tuple[int, int]]) -> str:
    for start, end in spans:
        text = text[:start] + ";" * (end - start) + text[end:]
    return text


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


def _model_names(text: str, known: Collection[str]) -> tuple[tuple[str, ...], list[str]]:
    names: list[str] = []
    words: list[str] = []
    forms = [*((p, False) for p in _MODELS), *((p, True) for p in _KNOWN if known)]
    for pattern, need_known in forms:
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

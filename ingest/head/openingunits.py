"""The units of a head completed from its opening lines and the models that the held manuals name."""

import re
from collections.abc import Sequence
from dataclasses import replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Applies
from benchleaf.ingest.head.dates import find_dates
from benchleaf.ingest.head.knownmodels import Known, is_run, known_models
from benchleaf.ingest.head.models import EXCEPT, ticked
from benchleaf.ingest.head.ranges import DIFFER, Run, met
from benchleaf.ingest.head.serials import read_applies
from benchleaf.ingest.head.unreadlimits import unread_limits
from benchleaf.ingest.shapes import Header

_MANUAL = re.compile(
    r"\b(?:manuals?|handbooks?|publications?|refers to|supersedes|replaces|cancels|distribution)\b",
    re.IGNORECASE,
)
_FOR = re.compile(r"\b(?:for|covering|concerning)\b", re.IGNORECASE)
_DENIED = re.compile(
    r"\b(?:is|are|was|were|do|does)\s(?:not|also)\b|n['’]t\b|\b(?:unaffected|unlike|neither|nor|never)\b",
    re.IGNORECASE,
)
_INSTEAD = re.compile(r"\b(?:instead of|formerly|previously|in place of)\b", re.IGNORECASE)
_UNITS = (
    r"(?:gearbox(?:es)?|brakes?|pumps?|clutch(?:es)?|motors?|winch(?:es)?|drives?|transmissions?|units?|machines?"
    r"|hoists?|boxes)"
)
_ON = (
    r"\s?(?:to\b|through\b|thru\b|bis\b|[-–—]|\.\.\.|…|and\s(?:up|on|later|above|subs|following)"
    r"|onwards?|upwards?)"
)
_MEASURE = r"(?:rpm|mm|kg|nm|hp|kw|psi|bar|h|hours?|pcs?|units?)\b"
_BARE = re.compile(
    r"\b(?P<lead>from|to|starting with|beginning with|up to and including|up to)?"
    rf"(?P<unit>\s?\b{_UNITS})\s(?=(?P<a>[0-9]{{3,10}})(?P<on>{_ON})?)(?![0-9]{{3,10}}\s?{_MEASURE})",
    re.IGNORECASE,
)
"""`gearboxes 6200 to 6555`: figures behind the noun are serial numbers."""
_ALL_UNITS = re.compile(
    rf"(?:models?: |types?: )?(?:to |for )?(?:all|every|any)(?: (?:models?|types?|sizes?|series|{_UNITS}))?",
    re.IGNORECASE,
)
_ALL_NUMBERS = re.compile(
    r"(?:applicability|effectivity|validity|valid for|for)?:? ?all (?:serials?|(?:serial )?(?:numbers|nos))",
    re.IGNORECASE,
)
_BUILT = re.compile(r"\b(?:built|manufactured|produced|date code)\b[^;]{0,40}[0-9]", re.IGNORECASE)
_SERIALS = re.compile(
    r"\b(?:serials?|s/?n(?:os?)?|nos?\.?|numbers?|numbered|from|up|onwards?|through|thru|upwards|above|inclusive|incl"
    r"|fabr\.?-?nr|starting|later)\b",
    re.IGNORECASE,
)


def limited(header: Header, opening: Sequence[str], sentence: str, body: str, known: Known) -> Header:
    """Models that held manuals name, and a serial range, where the labels left them open.

    `sentence` is the first of the running text, `body` all of it."""
    texts = [t for line in opening if (t := _own_words(line))]
    header = _without_part(_without_numbers(header, known), (*texts, sentence), body)
    applies = _named(header.applies, texts, known)
    if not applies.models and not _all_units(applies, texts):
        applies = _named_in_text(applies, sentence, body, known)
    said = _ranged(texts)
    if said is not None and applies.serial_from is None and applies.serial_to is None:
        applies = _with_range(applies, said)
    elif said is None:
        applies = _spoken(_unheld(applies, texts), sentence)
    ends = {key(b) for b in _bounds(applies) if b}
    applies = replace(applies, models=tuple(m for m in applies.models if key(m) not in ends))
    borne_out = said is not None and (said.serial_from, said.serial_to) == (
        applies.serial_from,
        applies.serial_to,
    )
    told = {u for u in (*header.unclear, *applies.unclear) if _told(u, header, applies, known, borne_out)}
    fresh = tuple(u for u in applies.unclear if u not in header.applies.unclear)
    unclear = tuple(u for u in dict.fromkeys((*header.unclear, *fresh)) if u not in told)
    applies = replace(applies, unclear=tuple(u for u in applies.unclear if u not in told))
    unread = unread_limits(texts, applies, known.models, (*known.publications, header.number or ""))
    applies = replace(applies, unclear=(*applies.unclear, *unread))
    return replace(header, applies=applies, unclear=unclear)


_FOR_SOME = re.compile(r"\b(?:For|On) (?:all |the )?[a-z -]{1,30}$")
_LATER = re.compile(r"the text limits units that the head does not: “([^”]{1,300})”")


def _without_part(header: Header, texts: Sequence[str], body: str) -> Header:
    """Without a range that only a later sentence gives: `For gears from No. 9120 onwards, breather … becomes
    …` limits that sentence. The doubt stays."""
    a = header.applies
    later = next((m[1] for u in a.unclear if (m := _LATER.fullmatch(u))), None)
    if later is None or a.models or any(later in t for t in texts):
        return header
    if not _FOR_SOME.search(body.partition(later)[0]):
        return header
    a = replace(a, serial_from=None, serial_to=None, as_printed="")
    return replace(header, applies=a)


def _bounds(applies: Applies) -> tuple[str | None, str | None]:
    return applies.serial_from, applies.serial_to


def _own_words(line: str) -> str:
    """A line's words about its own units: none behind a manual's name, and only ticked boxes."""
    line = ticked(line)
    m = _MANUAL.search(line)
    if m is None:
        return line
    more = _FOR.search(line, m.end())
    named_before = re.search(r"[0-9]", line[: m.start()])
    return line[: m.start()] if named_before or more is None else line[more.start() :]


def _without_numbers(header: Header, known: Known) -> Header:
    """Without a range or a model that is really the number of the note, or of a manual."""
    a = header.applies
    others = {key(n) for n in (*known.publications, header.number or "") if n}
    models = tuple(m for m in a.models if key(m) not in others)
    bounds = [None if b and key(b) in others else b for b in (a.serial_from, a.serial_to)]
    return replace(header, applies=replace(a, models=models, serial_from=bounds[0], serial_to=bounds[1]))


def _all_units(applies: Applies, texts: Sequence[str]) -> bool:
    """True if a field or a line says `all models`: what other lines name is not the limit."""
    return any(_ALL_UNITS.fullmatch(t.strip(" .")) for t in (applies.as_printed, *texts))


def _named_in_text(applies: Applies, sentence: str, body: str, known: Known) -> Applies:
    """The models of the first sentence; a doubt where the text names others further down."""
    named = _named(applies, [sentence], known)
    if not set(known_models(body, known.models)) - set(named.models) or not named.models:
        return named
    doubt = f"the units are named only in running text, which names others too: “{sentence}”"
    return replace(named, unclear=(*named.unclear, doubt))


def _named(applies: Applies, texts: Sequence[str], known: Known) -> Applies:
    """The models: those read behind a label, else those of the opening lines."""
    names = {key(m) for m in known.models}
    if not names or (applies.models and {key(m) for m in applies.models} <= names):
        return applies
    if not applies.models and _all_units(applies, texts):
        return applies
    labelled = [applies.as_printed] if applies.models else []
    whole = any(re.search(r"[A-Za-z]", m) and re.search(r"[0-9]", m) for m in applies.models)
    for lines in (labelled,) if whole else (labelled, texts):
        lines = [t for t in lines if not _DENIED.search(t)]
        kept, left = zip(*(_parted(t) for t in lines), strict=True) if lines else ((), ())
        found = known_models("\n".join(kept), known.models)
        if found:
            out = known_models("\n".join(left), known.models)
            run = any(is_run(t, known.models) for t in kept)
            doubts = ("a run of models is named by its ends",) if run else ()
            return replace(
                applies,
                models=_joined(found, applies.models),
                excepted=tuple(dict.fromkeys((*applies.excepted, *out))),
                unclear=(*applies.unclear, *doubts),
            )
    return applies


def _parted(text: str) -> tuple[str, str]:
    """What a text names, and what it leaves out."""
    kept, *left = EXCEPT.split(_INSTEAD.split(text)[0])
    return kept, " ; ".join(left)


def _joined(found: Sequence[str], labelled: Sequence[str]) -> tuple[str, ...]:
    """Known models, and those of the label that are no part of one (`6` of `Mk 6`) and no bare figures."""
    longer = [key(m) for m in labelled]  # `30W` of a manual's cover is a part of `Tarvel 30W`
    found = [f for f in found if not any(k.endswith(key(f)) and k != key(f) for k in longer)]
    keys = [key(f) for f in found]
    more = [
        m
        for m in labelled
        if not any(key(m) in k for k in keys) and re.search(r"[A-Za-z]", m) and re.search(r"[0-9]", m)
    ]
    return tuple(dict.fromkeys((*found, *more)))


def _ranged(texts: Sequence[str]) -> Applies | None:
    """The one serial range of the opening lines; `from …` and `to …` may stand in lines of their own."""
    read = [a for t in texts if _speaks_of_serials(t) and (a := read_applies(_with_word(t))) is not None]
    held = [a for a in read if a.serial_from or a.serial_to]
    ranges = {(a.serial_from, a.serial_to): a for a in held}
    if len(ranges) == 1:
        return held[0]
    both = met([Run(*bounds) for bounds in ranges]) if len(ranges) == 2 else None
    return replace(held[0], serial_from=both.first, serial_to=both.last, unclear=()) if both else None


def _unheld(applies: Applies, texts: Sequence[str]) -> Applies:
    """Doubts where the opening lines limit the units in a way that one range cannot hold."""
    if _bounds(applies) != (None, None) or applies.built_from or applies.built_to or applies.unclear:
        return applies
    read = [(t, a) for t in texts if _speaks_of_serials(t) and (a := read_applies(_with_word(t)))]
    ranges = {_bounds(a) for _, a in read} - {(None, None)}
    differ = [t for t, a in read if any(DIFFER in u or "one range" in u for u in a.unclear)]
    differ += [
        t
        for t, a in read
        if a.excepted and _bounds(a) == (None, None) and re.search("[0-9]{3}", str(a.excepted))
    ]
    limits = [*(t for t, _ in read if len(ranges) > 1), *differ, *(t for t in texts if _BUILT.search(t))]
    doubts = tuple(f"the units are limited further: “{t}”" for t in dict.fromkeys(limits))
    return replace(applies, unclear=(*applies.unclear, *doubts))


def _with_word(text: str) -> str:
    """`gearboxes 6200 to 6555` with the word that makes the figures serial numbers; dates taken out."""
    for day in sorted((d.span for d in find_dates(text)), reverse=True):
        text = text[: day[0]] + ";" + text[day[1] :]
    return _BARE.sub(_serial_said, text)


def _serial_said(m: re.Match[str]) -> str:
    """Figures behind a unit's noun with the word for serial numbers, where they bound or begin a run."""
    bounded = m["lead"] or m["on"]
    return f"{m['unit']} {m['lead'] or ''} serial no. ".strip() + " " if bounded else m[0]


def _with_range(applies: Applies, said: Applies) -> Applies:
    doubts = tuple(d for d in said.unclear if "limits the units" not in d)
    return replace(
        applies,
        serial_from=said.serial_from,
        serial_to=said.serial_to,
        excepted=tuple(dict.fromkeys((*applies.excepted, *said.excepted))),
        as_printed=applies.as_printed or said.as_printed,
        unclear=tuple(dict.fromkeys((*applies.unclear, *doubts))),
    )


def _spoken(applies: Applies, sentence: str) -> Applies:
    """A range that only the first sentence gives: it may hold for a part of the note, which is a doubt."""
    if applies.serial_from or applies.serial_to or not _speaks_of_serials(sentence):
        return applies
    said = _ranged([sentence])
    if said is None:
        return applies
    doubt = f"the serial numbers are taken from the text: “{sentence}”"
    return _with_range(applies, replace(said, unclear=(*said.unclear, doubt)))


def _speaks_of_serials(text: str) -> bool:
    spoken = _SERIALS.search(text) or _with_word(text) != text
    return bool(spoken) and bool(re.search(r"[0-9]{3,}", text))


def _told(doubt: str, header: Header, applies: Applies, known: Known, borne_out: bool) -> bool:
    """True for a doubt about units in words that have been read since."""
    quoted = re.search(r"“([^”]{1,300})”", doubt)
    if quoted is None or not doubt.startswith(("the text limits units", "units may be named")):
        return False
    text = quoted[1]
    if _ALL_NUMBERS.fullmatch(text.strip(" .")):
        return True
    for day in sorted((d.span for d in find_dates(text)), reverse=True):
        text = text[: day[0]] + ";" + text[day[1] :]
    models = {key(m) for m in known_models(text, known.models)}
    if not models <= {key(m) for m in applies.models}:
        return False
    read = (header.number or "", *applies.models, *known.publications)
    for name in sorted((n for n in read if n), key=len, reverse=True):
        text = re.sub(re.escape(name), ";", text, flags=re.IGNORECASE)
    bounds = {key(b) for b in (applies.serial_from, applies.serial_to) if b} if borne_out else set()
    numbers = {key(n) for n in re.findall(r"[0-9]{2,}", text)}
    return (bool(numbers) or text != quoted[1]) and all(any(n in b for b in bounds) for n in numbers)

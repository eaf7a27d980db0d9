"""Runs of serial numbers as printed: `20109 to 21931`, `from 18228 on`, `S/Ns 101, 105, 110 through 118`."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache

EDGE_UNSAID = "it is not said whether"
"""How a doubt begins that concerns only the one unit whose serial number is the printed bound."""

DIFFER = "the serial numbers differ by model, see the words as printed"
"""The doubt of bounds that no single range can hold."""

_THOUSANDS = r"[0-9]{1,3}(?:[,.'’\u00a0\u202f ][0-9]{3}){1,3}(?![0-9A-Za-z]|[.,'’][0-9])"
_PLAIN = r"(?=[0-9A-Z./-]{0,12}[0-9])[0-9A-Z]{1,20}(?:[-./][0-9A-Z]{1,12}){0,4}"
SERIAL = rf"(?:(?:[A-Z]{{1,3}}[ -])?{_THOUSANDS}|(?:[A-Z]{{1,3}}\ )?{_PLAIN})(?![A-Za-z0-9])"
LABEL = (
    r"(?:(?:unit|machine|gearbox|pump|clutch|brake|winch|motor|drive|transmission|hoist|the|product"
    r"|manufacturing|production)\s)?"
    r"(?:serial(?:\s?(?:numbers?|nos?\b\.?|nrs?\b\.?|n°|\#))?(?:\(s\))?s?|s\.?/?\s?n(?:\(s\)|s"
    r"|[’']s)?\b\.?|ser\.?\s?(?:nos?|nrs?)\b\.?"
    r"|(?:unit|machine|gearbox|pump|clutch|brake|winch|motor|drive|transmission|hoist|production|manufacturing"
    r"|fabrication|matriculation)\s(?:numbers?|nos?\b\.?)|numbered"
    r"|numbers?|nos?\b\.?|nrs?\b\.?|n\.(?=\s?[0-9])|n°|nº|\#|serienr\.?|(?:serie|tillverknings)nummer"
    r"|serien-?(?:nummern?|nr\.?)|fabr(?:ik|\.)?-?\s?(?:nummern?|nr\.?)|num[ée]ros?\sde\ss[ée]rie|n°\sde\ss[ée]rie"
    r"|matricol[ae]|numer[oi]\sdi\sserie)"
    r"(?:\s(?:range|numbers?|nos?\b\.?))?\s{0,3}[:=]?\s{0,3}"
)
SERIAL_WORD = re.compile(
    r"\bserials?\b|\bserie-?nr|\b(?:serie|tillverknings)nummer|\bs\.?/?n(?:s|[’']s)?\b|\bser\.?\s?nos?\b|\bunit\s(?:numbers?|nos?)\b"
    r"|\b(?:machine|gearbox|pump|clutch|brake|winch|motor|drive|transmission|hoist)\s(?:numbers?|nos?)\b|\bnumbered\b"
    r"|serien-?n|fabrik-?n|\bfabr\.?-?\s?nr|de\ss[ée]rie|di\sserie|matricol"
    r"|\b(?:production|manufacturing|fabrication)\s(?:numbers?|nos?)\b",
    re.IGNORECASE,
)
_UP_TO = (
    r"up\sto,?\s(?:but\s)?(?:not\sincluding|excluding),?|up\sto(?:,?\s(?:and|&)\s(?:including|incl\b\.?),?)?(?!\sdate)"
    r"|not\slater\sthan|ending\s(?:with|at)|through|thru|until"
    r"|till\soch\smed|t\.?\s?o\.?\s?m\b\.?|till?|to|bis(?:\sund\smit|\seinschl(?:ie(?:ß|ss)lich)?\b\.?|\sincl\.)?"
    r"|jusqu['’]?\s?(?:à|au)|fino\s(?:ad|al|a)|hasta(?:\sel)?"
)
_FROM = (
    r"from\sand\sincluding|starting\s(?:with|at|from)|beginning\s(?:with|at|from)|commencing\s(?:with"
    r"|at|from)|with\seffect\sfrom|effective\s(?:from|with|at)|from|since|as\s(?:of|from)|(?-i:[Aa]b(?=\s))"
    r"|AB(?=\s[A-Z])|(?-i:[Vv]on|[Dd]u|[Dd]a)(?=\s)|från(?:\soch\smed)?|fr\.?\s?o\.?\s?m\b\.?|à\spartir\sd[eu]|depuis|dal|desde(?:\sel)?|a\spartire\sda[l]?"
)
_AFTER = (
    r"after|above|over|subsequent\sto|following|later\sthan|higher\sthan|greater\sthan|nach|oltre|efter"
    r"|after\sand\snot\sincluding"
)
_BEFORE = (
    r"prior\sto|before|below|under|less\sthan|lower\sthan|earlier\sthan|preceding|vor|avant|prima\sd(?:i|el|ella)"
    r"|före|innan|antes\sdel?"
)
_ARROWS = r"(?:-{1,2}>|=>|>>|→|⇒|►|➔|➜|⟶)"
_ON = (
    r"(?:,?\s?(?:and|&|or)\s(?:on(?:wards?)?|up(?:wards?)?(?!\sto)|above|later|subs(?:eq)?\b\.?|subsequent|following"
    r"|higher|over|after|beyond|newer|successive|all\s(?:later|subsequent|following)))(?:\s(?:units|serials?|numbers|ones))?"
    r"|,?\s(?:to|through|until)\s(?:the\s)?(?:end\sof\s(?:series\s)?production|date|present|current|now)"
    r"|,?\s?(?:onwards?|upwards?|on|up(?!\sto)|in\spoi|en\sadelante|och\s(?:framåt|senare|uppåt)|und\s(?:folgende|höher|später|aufwärts)"
    r"|aufwärts|e\ssuccessiv[ei]|e\soltre|et\ssuivants?|et\sau-delà|u\.?\sff?\.?|ff\.?|ed?\sseguenti"
    r"|y\ssiguientes|\+)(?![A-Za-z0-9])"
)
_DOWN = (
    r",?\s?(?:and|&|or)\s(?:below|earlier|lower|prior|previous|before|under|older|down)(?:\s(?:units"
    r"|serials?|numbers))?"
)
_INCLUSIVE = (
    r"inclusive|incl\b\.?|included|einschlie(?:ß|ss)lich|einschl\.|inkl\.|inclus[eo]?|compres[oa]|both\sinclusive"
    r"|inkluderad"
)
_EXCLUSIVE = (
    r"exclusive|excl\b\.?|not\sincluded|exclusief|ausschlie(?:ß|ss)lich"
    r"|escluso(?!\s?[0-9])|exclus(?!\s?[0-9])"
)
_TO_DATE = re.compile(r"date|present|current|now", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Run:
    """Serial numbers from `first` to `last`, both included; None is open. `doubts` in plain words; `part` is
    the sort of unit printed behind it: `from 5001 (DX)`."""

    first: str | None
    last: str | None
    doubts: tuple[str, ...] = ()
    part: str = ""


@dataclass(frozen=True, slots=True)
class Serials:
    """All runs of a text joined: the outer bounds, the holes between the runs, the doubts."""

    first: str | None = None
    last: str | None = None
    holes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


@cache
def run_pattern() -> re.Pattern[str]:
    """One run, with its groups: label, the word that leads it, a, b, on, down and the rest."""
    lead = "|".join(
        f"(?P<{n}>{p})"
        for n, p in {
            "between": r"between|entre|zwischen",
            "frm": _FROM,
            "upto": _UP_TO,
            "after": _AFTER,
            "before": _BEFORE,
            "arrow": _ARROWS,
            "least": "≥|>=",
            "most": "≤|<=",
            "dash": "[-–—](?=\\s?[0-9])",
        }.items()
    )
    link = (
        rf"\s(?:{_UP_TO}|a[lu]|[-–—])\s(?:and\sincluding\s)?|\s?[–—]\s?"
        rf"|\s?(?:…|\.\.\.?)\s?|\s?{_ARROWS}\s?|\s?~\s?"
    )
    joint = rf"(?i:{link})|(?(between)(?i:\s(?:and|&|und|et|y|e)\s)|(?!))"
    return re.compile(
        rf"(?<![A-Za-z0-9])(?P<label>(?i:{LABEL}))?(?:(?i:{lead})\s{{0,3}}:?\s{{0,2}})?"
        rf"(?P<label2>(?i:{LABEL}){{0,2}})(?P<a>{SERIAL})"
        rf"(?:(?:{joint})(?i:{LABEL})?(?P<b>{SERIAL}))?"
        rf"(?P<incl>(?i:,?\s{{0,2}}\(?(?:{_INCLUSIVE})\)?))?(?P<excl>(?i:,?\s{{0,2}}\(?(?:{_EXCLUSIVE})\)?))?"
        rf"(?:(?P<on>(?i:{_ON}))|(?P<down>(?i:{_DOWN}))|(?P<arrow2>\s?{_ARROWS})"
        rf"|(?P<dash2>\s?[–—-](?=\s{{0,3}}(?:$|[;)]))))?"
    )


_LIST_GAP = re.compile(
    r"\s{0,3}(?:,|;|&|\+|/|\band\b|\bor\b|\bund\b|\bet\b|\be\b|\by\b|\bas well as\b|\n|\|"
    r"|\s)\s{0,3}(?:(?:and|also|&)\s)?",
    re.IGNORECASE,
)
_TAG = re.compile(r"\s?\((?!INCL|EXCL|ONLY\b)([A-Z]{1,4}[0-9]{0,3})\)")


def read_runs(text: str, at: int = 0) -> tuple[tuple[Run, ...], int]:
    """The list of runs that starts at `at`, and where it ends. A label before the first number may stand.

    >>> read_runs("20109 to 21931")[0][0].last
    '21931'
    """
    runs: list[Run] = []
    end = position = at
    while len(runs) < 500:
        m = run_pattern().match(text, position)
        if m is None or (runs and _other_kind(m, runs[0])):
            break
        runs += runs_of(m)
        end = m.end()
        tag = _TAG.match(text, end)
        if tag is not None:
            runs[-1] = replace(runs[-1], part=tag[1])
            end = tag.end()
        gap = _LIST_GAP.match(text, end)
        if gap is None:
            break
        position = gap.end()
    return tuple(runs), end


def _other_kind(m: re.Match[str], first: Run) -> bool:
    """After plain numbers a token with letters and no word to lead it is no serial number, rather a model."""
    said = m["label"] or m["label2"] or not m["a"].isascii()
    begun = first.first or first.last or ""
    return not said and begun.isdigit() and re.search(r"[A-Z]", m["a"]) is not None


def runs_of(m: re.Match[str]) -> Iterator[Run]:
    """The runs that one match of `run_pattern` holds."""
    a, doubts = _number(m["a"])
    if m["b"]:
        run = _closed(a, _number(m["b"])[0], ())  # between two bounds a comma parts thousands
        yield _without_last(run) if m["excl"] or "not" in m[0].lower() else run
        return
    if _PAIR.fullmatch(a) and not (m["on"] or m["down"]):
        yield Run(a, a, (f"“{a}” may be one serial number, two, or a run",))
        return
    halves = _halves(m["a"]) if m["on"] is None and m["down"] is None else None
    if halves and not doubts:
        yield _closed(*halves[:2], halves[2])
        return
    yield _open(m, a, doubts)


_PAIR = re.compile(r"([0-9]{3,10})/(?:[0-9]{3,10})")


def _without_last(run: Run) -> Run:
    """The run up to the number before its last, where that is said to be left out."""
    end = split(run.last) if run.last else None
    if run.last is None or end is None or end[1] < 1:
        return replace(run, doubts=(*run.doubts, f"{run.last} itself is left out"))
    return replace(run, last=f"{end[0]}{end[1] - 1:0{len(run.last) - len(end[0])}d}")


def _open(m: re.Match[str], a: str, doubts: tuple[str, ...]) -> Run:
    if m["on"] and _TO_DATE.search(m["on"]):
        return Run(
            a, None, (*doubts, f"“{m[0].strip()}” ends with the units built when the note was written")
        )
    if re.fullmatch(r"AB [0-9]{3,12}", a) and m["on"] is None:  # in capitals `ab` may be German for `from`
        return Run(a, a, (*doubts, f"“{a}” may be one serial number, or all from {a[3:]}"))
    if m["on"] or m["arrow2"] or m["dash2"]:
        return Run(a, None, doubts)
    if m["down"]:
        return Run(None, a, doubts)
    return _led(m, a, doubts)


def _led(m: re.Match[str], a: str, doubts: tuple[str, ...]) -> Run:
    if (
        m["frm"] and m["frm"].lower().endswith("with") and len(a) < 3
    ):  # `starting with 7` tells the first figure
        return Run(None, None, (*doubts, f"“{m[0].strip()}” may tell how the serial numbers begin"))
    if m["frm"] or m["least"]:
        return Run(a, None)
    if m["most"] or m["arrow"] or m["dash"]:
        return Run(None, a)
    if (m["upto"] or m["before"]) and (m["excl"] or re.search("not including|excluding", m[0], re.I)):
        return _without_last(Run(None, a, doubts))
    if m["upto"]:
        said = m["incl"] or _SAYS_INCLUDED.search(m["upto"])
        return Run(None, a, doubts if said else (*doubts, _edge(m["upto"], a)))
    if m["before"]:
        return Run(None, a, (*doubts, _edge(m["before"], a)))
    if m["after"]:
        return Run(a, None, (*doubts, _edge(m["after"], a)))
    return Run(a, a, doubts)


_SAYS_INCLUDED = re.compile(
    r"incl|einschl|und mit|och med|\bt\.?\s?o\.?\s?m\b|^through$|^thru$", re.IGNORECASE
)


def _edge(word: str, serial: str) -> str:
    return f"{EDGE_UNSAID} “{' '.join(word.split()).lower()} {serial}” includes {serial} itself"


def _number(printed: str) -> tuple[str, tuple[str, ...]]:
    """A serial number without thousands separators; `100,200` may as well be two numbers."""
    text = printed.strip(" .-/")
    if not re.fullmatch(rf"(?:[A-Z]{{1,3}}[ -])?{_THOUSANDS}", text):
        return text.upper(), ()
    plain = re.sub(r"(?<=[0-9])[,.'’\u00a0\u202f ](?=[0-9]{3})", "", text).upper()
    if re.match(r"(?:[A-Z]+[ -])?[0-9]{3},[0-9]{3}", text):
        return plain, (f"“{text}” may be one serial number or several",)
    return plain, ()


def _halves(printed: str) -> tuple[str, str, tuple[str, ...]] | None:
    """`20109-21931` printed without blanks is a run if both sides are of one kind and rise."""
    m = re.fullmatch(r"([A-Z]{0,4})([0-9]{3,12})-(?:\1)?([0-9]{2,12})", printed)
    if m is None:
        return None
    first, last = m[2], m[3]
    if len(first) == len(last) and int(first) < int(last) and not first.startswith("0" * 3):
        return m[1] + first, m[1] + last, ()
    if len(last) == len(first) + 1 and int(first) < int(last):
        return m[1] + first, m[1] + last, (f"“{printed}” may be a run or one serial number",)
    return None


def _closed(a: str, b: str, doubts: tuple[str, ...]) -> Run:
    tail = re.search(r"[A-Z]{1,3}$", a)
    if tail and b.endswith(tail[0]):
        plain = _closed(a[: tail.start()], b[: -len(tail[0])], doubts)
        return Run(a, b, plain.doubts)
    first, last = split(a), split(b)
    if first is None or last is None or first[0] != last[0]:
        if last is not None and first is not None and not last[0] and len(b) <= len(a):
            return _closed(a, first[0] + b, (*doubts, f"“{a} to {b}” is read as {a} to {first[0] + b}"))
        return Run(a, b, (*doubts, f"the serial numbers {a} and {b} are of different kinds"))
    if first[1] <= last[1]:
        return Run(a, b, doubts)
    if len(b) < len(a) and first[0] == last[0]:
        whole = a[: len(a) - len(b)] + b
        if (end := split(whole)) and end[1] > first[1]:
            return Run(a, whole, (*doubts, f"“{a} to {b}” is read as {a} to {whole}"))
    return Run(a, b, (*doubts, f"the range {a} to {b} runs backwards"))


def split(serial: str) -> tuple[str, int] | None:
    """A serial number as its fixed front and its counting number; None if it does not end in digits.

    >>> split("A-0120")
    ('A-', 120)
    """
    m = re.fullmatch(r"(.{0,40}?)([0-9]{1,24})", serial)
    return (m[1], int(m[2])) if m else None


def joined(runs: Iterable[Run]) -> Serials:
    """Runs as one range with holes, which says the same; doubts where they cannot be ordered."""
    listed = list(dict.fromkeys(runs))
    doubts = tuple(dict.fromkeys(d for r in listed for d in r.doubts))
    if not listed:
        return Serials()
    if any(r.part for r in listed):
        return Serials(doubts=(*doubts, DIFFER))
    if len(listed) == 1:
        return Serials(listed[0].first, listed[0].last, (), doubts)
    if (both := met(listed)) is not None:  # in `from 100, up to 200` the upper bound is the range's own end
        return Serials(both.first, both.last, (), tuple(d for d in doubts if not d.startswith(EDGE_UNSAID)))
    return _with_holes(listed, doubts)


def met(runs: list[Run]) -> Run | None:
    """`from 100 on` and `up to 200` together mean 100 to 200."""
    if len(runs) != 2:
        return None
    low, high = (runs[0], runs[1]) if runs[1].first is None else (runs[1], runs[0])
    if low.first is None or low.last is not None or high.first is not None or high.last is None:
        return None
    a, b = split(low.first), split(high.last)
    return Run(low.first, high.last) if a and b and a[0] == b[0] and a[1] <= b[1] else None


def _with_holes(runs: list[Run], doubts: tuple[str, ...]) -> Serials:
    bounds = [_numbered(r) for r in runs]
    fronts = {front for known in bounds if known for front in (known[0],)}
    if len(fronts) != 1 or None in bounds:
        words = ", ".join(
            f"{r.first or ''}–{r.last or ''}" if r.first != r.last else str(r.first) for r in runs
        )
        return Serials(doubts=(*doubts, f"the serial numbers cannot be put into one range: {words}"))
    ordered = sorted(b for b in bounds if b is not None)
    printed = {s: s for r in runs for s in (r.first, r.last) if s}
    width = min(len(s) for s in printed) - len(ordered[0][0])
    holes: list[str] = []
    reach = ordered[0][2]
    for front, low, high in ordered[1:]:
        if low > reach + 1:
            ends = [f"{front}{n:0{width}d}" for n in (reach + 1, low - 1)]
            holes.append(ends[0] if low == reach + 2 else "–".join(ends))
        reach = max(reach, high)
    first = None if ordered[0][1] < 0 else f"{ordered[0][0]}{ordered[0][1]:0{width}d}"
    last = None if reach >= _OPEN else f"{ordered[0][0]}{int(reach):0{width}d}"
    return Serials(first, last, tuple(holes), doubts)


_OPEN = 10**30


def _numbered(run: Run) -> tuple[str, int, int] | None:
    """Front, lowest and highest number of a run, open ends as -1 and a number above all serials."""
    low = split(run.first) if run.first else None
    high = split(run.last) if run.last else None
    if (run.first and low is None) or (run.last and high is None) or (low and high and low[0] != high[0]):
        return None
    front = low[0] if low else high[0] if high else ""
    return front, low[1] if low else -1, high[1] if high else _OPEN

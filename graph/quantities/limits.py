"""Words that make a value a limit (`max.`, `not more than`, `or less`) or only set a condition."""

import re
from dataclasses import dataclass
from typing import Literal

Side = Literal["max", "min"]

_LEAD = 70
_SURE = (
    r"(?P<max>max(?:imum|\.)?|at (?:the )?most|(?:not|never) (?:to )?exceed(?:ing)?|within|≤|<=)"
    r"|(?P<min>min(?:imum|\.)?|at (?:the )?least|≥|>=)"
)
_THAN = (
    r"(?P<less>(?:less|smaller|lower|thinner|shorter|narrower|lighter|colder|cooler|slower) than|below|<)"
    r"|(?P<more>(?:more|greater|higher|larger|bigger|thicker|longer|wider|deeper|heavier|hotter|warmer|faster)"
    r" than|above|beyond|exceed(?:s|ing|ed)?|>)"
    r"|(?P<bare>over|under)|(?P<upto>up to)"
)
_WORDS = re.compile(rf"(?<![A-Za-z])(?<![0-9])(?<![0-9] (?=min))(?:{_SURE}|{_THAN})", re.IGNORECASE)
_LINK = re.compile(r"[\s:=]{0,3}(?:(?:of|is|a|an|about|approx\.|to be)\s){0,2}", re.IGNORECASE)
# "maximum permissible wear 0.3 mm": the name of the thing may stand between
_NAMED = re.compile(r"(?:[\s,:=]{0,2}[A-Za-z][A-Za-z-]{0,18}+\.?){1,5}+[\s:=-]{0,3}", re.IGNORECASE)
_NOT = re.compile(
    r"\b(?:not|never|no|nowhere|cannot|can't|don't|without)\b(?:\s{1,2}[a-z]{1,12}){0,4}\s{0,2}$",
    re.IGNORECASE,
)
_CONDITION = re.compile(
    r"\b(?:if|when|where|whenever|wherever|unless|until|once|in case|any|those|that|which|having)\b"
    r"[^.;:\n]{0,60}$",
    re.IGNORECASE,
)
_AFTER = re.compile(
    r"[\s,(]{0,3}(?:(?P<max>max(?:imum\b|\b\.?)|or (?:less|under|below|smaller|lower)\b"
    r"|and (?:below|under|less)\b)"
    r"|(?P<min>min(?:imum\b|\b(?!\s?[-0-9])\.?)|or (?:more|over|above|greater|higher|larger)\b"
    r"|and (?:above|over|up|more)\b))\)?",
    re.IGNORECASE,
)
_MUST = re.compile(
    r"\b(?:must|shall|has to|have to|is to|are to|keep|kept|remain|stay|maintain)\b|\w\s{1,2}should\b",
    re.IGNORECASE,
)
_DISCARD = re.compile(
    r"\b(?:scrap|reject|rejection|discard|renew|replace[ds]?|replacement|throw|condemn|fit a new)",
    re.IGNORECASE,
)
_UNSURE = "the words set a condition and may give no range"
_STOP = re.compile(r"[.;\n](?=\s)")


@dataclass(frozen=True, slots=True)
class Limit:
    """Which side is bounded and where the limit's words start (before a value) or end (behind it).

    `doubt` is set where the words may as well be a condition or a value to be reached.
    """

    side: Side
    at: int
    doubt: str = ""


def limit_before(text: str, start: int) -> Limit | None:
    """The limit that the words right before a place set on the value that starts there."""
    lead = max(0, start - _LEAD)
    said = list(_WORDS.finditer(text, lead, start))
    if not said:
        return None
    last = said[-1]
    kind = str(last.lastgroup)
    linked = _LINK.fullmatch(text, last.end(), start) is not None
    if kind in ("max", "min"):
        near = linked or (
            last.group()[:3].lower() in ("max", "min") and _named(text, last.start(), last.end(), start)
        )
        denied = last.group().lower() == "within" and _NOT.search(text[lead : last.start()])
        said_not = _UNSURE if denied else ""  # "do not start it within two hours"
        return Limit("max" if kind == "max" else "min", last.start(), said_not) if near else None
    return _compared(text, last, kind) if linked else None


def _named(text: str, word: int, start: int, end: int) -> bool:
    if re.search(r"[0-9][^.,;:()]{0,14}$", text[max(0, word - 16) : word]):
        return False  # "20 Nm max. Clearance 0.3 mm": the limit of the value before
    between = text[start:end]
    return not _STOP.search(between.lstrip(".")) and _NAMED.fullmatch(between) is not None


def _compared(text: str, found: re.Match[str], kind: str) -> Limit | None:
    """`less than` and the like: turned round by a `not` before, a mere condition behind an `if`."""
    lead = text[max(0, found.start() - _LEAD) : found.start()]
    denial = _NOT.search(lead)
    denied = denial is not None
    at = found.start() - len(lead) + denial.start() if denial else found.start()
    if kind == "upto":
        return Limit("max", found.start(), "'up to' may be the value to be reached or the most allowed")
    if kind == "bare" and not denied:
        return None
    more = kind == "more" or (kind == "bare" and found.group().lower() == "over")
    side: Side = "min" if more != denied else "max"
    clause = _STOP.split(lead)[-1]
    return Limit(side, at, "" if _bounds(text, clause, denied, found) else _UNSURE)


def _bounds(text: str, clause: str, denied: bool, found: re.Match[str]) -> bool:
    """Whether the words say what must be: denied, or asked for by a `must`, and not what to throw away."""
    if denied:
        return re.search(r"\b(?:if|when|where|unless)\b", clause, re.IGNORECASE) is None
    if _CONDITION.search(clause) or _DISCARD.search(_sentence(text, found.start())):
        return False
    return not clause.strip() or _MUST.search(clause) is not None


def _sentence(text: str, place: int) -> str:
    lead = max(0, place - 200)
    start = max((m.end() for m in _STOP.finditer(text, lead, place)), default=lead)
    end = _STOP.search(text, place, place + 200)
    return text[start : end.start() if end else place + 200]


def limit_after(text: str, end: int) -> Limit | None:
    """The limit that the words right behind a value set on it."""
    found = _AFTER.match(text, end)
    return Limit("max" if found["max"] else "min", found.end()) if found else None

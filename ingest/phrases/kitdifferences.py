"""Contents told as differences: "two more plates (8 in total, previously 6)", "the same 16 springs".

A difference alone tells no count; one with its total does. How notes say it is common practice, no source.
"""

import re
from typing import NamedTuple

from benchleaf.ingest.phrases.kitcounts import COUNT, quantity

_Q = COUNT
_WAS = (
    r"(?:previously|formerly|was|were|before|hitherto|originally|instead of|in place of|in lieu of|not|old)"
)
_MORE = r"(?:more|additional|extra|further|fewer|less)"
_ALL = r"(?:in total|in all|altogether|all told|total|now)"
_MAKING = r"(?:now|total(?: of)?|in total|in all|altogether|making(?: a total of)?|giving|that is|i\.?e\.?)"
# "(8 in total, previously 6)", ", making nine": the whole count behind a difference.
_TOTAL = re.compile(
    rf"(?:[\(\[] ?|[ ,]{{1,3}}(?=[^()\[\]]{{0,60}}$))"
    rf"(?:(?P<now>{_Q}) {_ALL}|{_MAKING}:? (?P<made>{_Q})(?: {_ALL})?"
    rf"|(?P<one>{_Q})(?= {_WAS} {_Q}))"
    rf"(?:[,;]? ?(?:and )?{_WAS}:? (?P<was>{_Q})|[,;]? (?P<old>{_Q}) {_WAS})? ?[\)\]]?[ .]{{0,4}}$",
    re.IGNORECASE,
)
_DIFFERENCE = re.compile(
    rf"^[ .]*(?:(?:with|has|plus|and|also) )*"
    rf"(?:(?P<by>{_Q}) (?P<sign>{_MORE}) (?P<name>[^()]{{3,60}}?)|(?P<by2>{_Q}) (?P<name2>[^()]{{3,60}}?)"
    r" (?P<sign2>more|fewer|less)(?: than (?:before|previously|formerly))?)$",
    re.IGNORECASE,
)
_FEWER = re.compile(r"fewer|less", re.IGNORECASE)
# "the same 16 springs", "the same number of plates (7)", "as before 16 springs".
_SAME_AHEAD = re.compile(
    r"^[ .]*(?:(?:with|and|also|plus) )*(?:(?:as|still) (?:before|hitherto)?[ ,]{0,2}"
    r"|(?:the |an )?(?:same|unchanged) (?:(?:number|count|quantity) of (?:the )?)?)(?=\S)",
    re.IGNORECASE,
)
_SAME_BEHIND = re.compile(
    r",? (?:(?:are|is|remains?|stays?) )?(?:as before|as hitherto|unchanged|the same(?: as before)?)[ .]*$",
    re.IGNORECASE,
)
# A comma that only leads to what a line was or makes now parts no lines: "eight washers, in place of six".
_WITHIN = re.compile(
    r",(?= (?:(?:in place of|instead of|in lieu of|previously|formerly|rather than|as against)"
    rf" {_Q}(?= ?(?:[,;.]|and\b|$))|(?:making|giving|that is) (?:a total of )?{_Q}\b"
    rf"|{_Q} (?:in all|in total|altogether|all told)\b))"
    rf"|(?<=\band),(?= as (?:before|hitherto),? {_Q}\b)|(?<=as before),(?= {_Q} )"
    rf"|(?<=as hitherto),(?= {_Q} )",
    re.IGNORECASE,
)
# "…; there is no split pin": what is not in the kit is none of its lines.
_NONE_OF = re.compile(
    r"[;,.] (?:but |and |while )?there (?:is|are|will be) (?:now )?no(?: longer (?:an? |any )?| more)? ?"
    r"[a-z][a-z ,-]{2,40}(?: (?:any more|any longer|now))?[ .]*$",
    re.IGNORECASE,
)
_ODD = "the counts before and now do not differ by what is said"


class Told(NamedTuple):
    """A line's words with its whole count in front, how many there were before, and what is unclear."""

    words: str
    was: int | None
    why: tuple[str, ...] = ()


def joined(body: str) -> str:
    """A list with the commas blanked that part no lines; its length is kept."""
    return _WITHIN.sub(" ", body)


def without_none(said: str) -> str:
    """A list without what it says is not in the kit."""
    return _NONE_OF.sub("", said)


def told(piece: str) -> Told | None:
    """What a line says that is told as a difference with its total, or as the same as before; None for any
    other.

    >>> told("two more friction plates (8 in total, previously 6)").words
    '8 friction plates'
    """
    total = _TOTAL.search(piece)
    if total is not None:
        return _of_total(piece, total)
    plain = _SAME_BEHIND.sub("", _SAME_AHEAD.sub("", piece))
    if plain == piece:
        return None
    counts = re.findall(rf"(?<![A-Za-z0-9]){_Q}", plain, re.IGNORECASE)
    count = quantity(counts[0]) if len(counts) == 1 else None
    return Told(re.sub(r"^ ?the (?=[0-9])", "", plain.strip()), count) if count is not None else None


def _of_total(piece: str, total: re.Match[str]) -> Told | None:
    found = _DIFFERENCE.match(piece[: total.start()].strip(" ,"))
    now = quantity(total["now"] or total["made"] or total["one"])
    if found is None or now is None:
        return None
    by = quantity(found["by"] or found["by2"]) or 0
    by = -by if _FEWER.fullmatch(found["sign"] or found["sign2"]) else by
    printed = total["was"] or total["old"]
    was = quantity(printed) if printed else now - by
    why = (_ODD,) if was is None or now - was != by else ()
    return Told(f"{now} {(found['name'] or found['name2']).strip()}", was, why)

"""Heads of columns that tell by their own words which number is the old one and which the new one.

"Supplied instead", "Number now", "No longer made": any shop puts such heads together anew, so they are known
by how they are made and not by a list.
"""

import re

_NUMBER = r"(?:(?:part|order|kit|article|spare|stock|catalogue) )?(?:parts?|nos?|nr|numbers?|ref|kits?)"
_HAD = (
    r"(?:made|supplied|kept|stocked|available|sold|listed|held|delivered|obtainable|produced|offered|current"
    r"|manufactured|to be had|in (?:production|stock|the programme|the range))"
)
_GONE = re.compile(
    rf"(?:{_NUMBER} )?(?:(?:is |are )?no longer {_HAD}|(?:is |are )?not {_HAD} any (?:more|longer)"
    rf"|gone|given up|out of production|superseded|withdrawn|discontinued|dropped)(?: {_NUMBER})?"
)
_BEFORE = re.compile(
    rf"{_NUMBER} (?:formerly|previously|hitherto|so far|until now|up to now|before|till now|out|withdrawn)"
    rf"|(?:formerly|previously|hitherto|until now|so far) {_NUMBER}"
)
_INSTEAD = re.compile(
    r"(?:.{1,30} )?(?:instead(?! of)|in (?:its|their) (?:place|stead)"
    r"|as (?:a )?(?:replacement|substitute)(?! for))"
)
_SENT = re.compile(
    rf"{_NUMBER} (?:we )?(?:supplied|sent|shipped|delivered|to (?:be )?(?:order|ordered|used))(?: now)?"
)
_NOW = re.compile(
    rf"{_NUMBER} (?:now|from now on|henceforth|in future|at present|today|in)"
    r"|(?:now|from now on|henceforth|in future|at present) (?:supplied|delivered|sold|listed)?(?: as)? ?"
    rf"{_NUMBER}"
)


def side_told(head: str) -> str | None:
    """ "old" or "new" for a head (small letters, no marks) whose words tell it; None for any other.

    >>> side_told("supplied instead"), side_told("no longer made"), side_told("instead of")
    ('new', 'old', None)
    """
    if _GONE.fullmatch(head) or _BEFORE.fullmatch(head):
        return "old"
    return "new" if leads_on(head) or _NOW.fullmatch(head) else None


def leads_on(head: str) -> bool:
    """True for the new number's head if it also says that a plain number beside it is the old one."""
    return bool(_INSTEAD.fullmatch(head) or _SENT.fullmatch(head))

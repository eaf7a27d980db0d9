"""A sentence behind a change that takes it back: nothing has been decided yet."""

import re

from benchleaf.ingest.phrases.passages import Passage

_DECISION = re.compile(
    r"(?:but |however,? |so far,? )?"
    r"(?:(?:an?|the|no) (?:final |definite |firm )?decision (?:on (?:this|it) )?"
    r"(?:has|is|was)(?: [a-z]{2,9}){0,6}"
    r"|nothing (?:has been|is) (?:yet )?(?:decided|settled|fixed)(?: yet| so far)?"
    r"|(?:this|it|that|the matter|the date) (?:has|is) (?:not|still)(?: [a-z]{2,9}){1,4}) ?[.;!]?",
    re.IGNORECASE,
)
_OPEN = re.compile(
    r"\b(?:no (?:final |definite |firm )?decision|nothing|not|pending|outstanding|still (?:open|to))\b",
    re.IGNORECASE,
)
_MATTER = re.compile(r"\b(?:deci(?:sion|ded)|settled|fixed|released|approved)\b", re.IGNORECASE)


def undecided(passage: Passage, place: int) -> str | None:
    """The sentence right behind a place where it says no more than that nothing is decided yet."""
    later = next((s for s in passage.sentences if s.start >= place), None)
    said = passage.folded[later.start : later.end].strip() if later else ""
    if not _DECISION.fullmatch(said) or not _OPEN.search(said) or not _MATTER.search(said):
        return None
    return said.rstrip(" .;!")

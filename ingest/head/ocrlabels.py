"""Labels as OCR gives them: a letter misread (`Modcls`), a figure for a letter (`Serial N0.`), no blank.

Only labels are forgiven, never values, and only on a sheet that OCR read: on a printed one `Modal` is no
`Model`.
"""

import re
from collections.abc import Mapping
from functools import lru_cache

from rapidfuzz.distance import Levenshtein

_LETTERS = str.maketrans("015|", "olsl")
"""Figures that OCR puts for letters."""
_LEAST = 5
"""Letters that a label must have for one of them to be forgiven."""
_GLUED = (
    "number",
    "date",
    "subject",
    "models",
    "serials",
    "built",
    "supersedes",
    "revision",
    "issuer",
)


def nearest(label: str, labels: Mapping[str, str]) -> str | None:
    """The field whose label differs in one sign; None if there is none, or if two fields come as near.

    >>> nearest("modcls", {"models": "models", "subject": "subject"})
    'models'
    """
    return _nearest(label, tuple(labels.items()))


@lru_cache(maxsize=4096)
def _nearest(label: str, labels: tuple[tuple[str, str], ...]) -> str | None:
    lettered = " ".join(w.translate(_LETTERS) if re.search(r"[a-z]", w) else w for w in label.split())
    known = dict(labels)
    if lettered in known:
        return known[lettered]
    letters = sum(c.isalpha() for c in lettered)
    if letters < _LEAST - 1:
        return None
    short = letters < _LEAST  # of the short labels only a date is forgiven: its value proves it
    near = {
        field
        for word, field in labels
        if (not short or (field == "date" and len(word) == len(lettered)))
        and abs(len(word) - len(lettered)) <= 1
        and word[:1] == lettered[:1]
        and Levenshtein.distance(word, lettered, score_cutoff=1) == 1
        and _long_enough(word, lettered, short)
    }
    return near.pop() if len(near) == 1 else None


def _long_enough(label: str, read: str, short: bool) -> bool:
    """True if the misread sign stands in a word of several letters: `Bulletin N` is not `Bulletin No`, since
    the letter may begin the number."""
    pairs = list(zip(label.split(), read.split(), strict=False))
    other = [min(len(a), len(b)) for a, b in pairs if a != b]
    return short or not other or min(other) >= _LEAST - 2


def glued(text: str, labels: Mapping[str, str]) -> tuple[str, int] | None:
    """The label that a text begins with where no blank parts it from its value, and where the value starts.

    >>> glued("SubjectNew clutch kit", {"subject": "subject"})
    ('subject', 7)
    """
    m = re.match(r"(?P<label>[A-Z][A-Za-z]{0,20}?(?:\s[A-Za-z]{1,12}){0,2}?[a-z])(?=[A-Z0-9])", text)
    if m is None:
        return None
    label = m["label"].lower()
    field, letter = labels.get(label), text[m.end()].isalpha()
    if field not in _GLUED or (len(label) < _LEAST and field != "date"):
        return None
    return (label, m.end()) if letter or field in ("date", "number") else None

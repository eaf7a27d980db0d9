"""Finding and changing a value inside a step's words.

A value stands as a whole: `9 Nm` is not found inside `19 Nm` nor inside `9 Nm²`; blanks may differ, and a
decimal comma counts as a point, since manuals and notes of one maker often disagree on both.
"""

import re
import unicodedata

_LIMIT = 400


def value_spans(value: str, text: str) -> tuple[tuple[int, int], ...]:
    """The places (start, end) where `value` stands whole in `text`.

    >>> value_spans("9 Nm", "first to 9 Nm, then to 19 Nm")
    ((9, 13),)
    """
    pattern = _pattern(value)
    return tuple(m.span() for m in pattern.finditer(text)) if pattern else ()


def _pattern(value: str) -> re.Pattern[str] | None:
    plain = unicodedata.normalize("NFKC", value).strip()[:_LIMIT]
    tokens = re.findall(r"[0-9]+(?:[.,][0-9]+)*|[^\W\d_]+|[^\w\s]|_", plain)
    if not tokens:
        return None
    body = r"\s{0,3}".join(_token(t) for t in tokens)
    before = r"(?<![\w])(?<![0-9][.,])" if tokens[0][0].isalnum() else ""
    after = r"(?![\w])(?![.,][0-9])" if tokens[-1][-1].isalnum() else ""
    return re.compile(before + body + after, re.IGNORECASE)


def _token(token: str) -> str:
    if token[0].isdigit():
        return "[.,]".join(re.escape(p) for p in re.split("[.,]", token))
    if token in "-–—−":
        return "[-–—−]"
    return re.escape(token)


def contains_words(part: str, whole: str) -> bool:
    """True if the words of `part` stand in `whole` in order, case and punctuation apart."""
    return f" {_bare(part)} " in f" {_bare(whole)} "


def _bare(text: str) -> str:
    return " ".join(re.findall(r"\w+", unicodedata.normalize("NFKC", text).lower()))

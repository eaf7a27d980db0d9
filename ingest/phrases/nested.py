"""A step that is named within another: "paragraph 5.2, step d)" is step d under the heading 5.2, and "step 4,
sub-item b" is a part of step 4. None of these names two steps.

How makers number headings and steps is common practice, no source.
"""

import re
from dataclasses import dataclass

_HEADING = re.compile(r"(?:paragraph|para|clause|point)s?\.?", re.IGNORECASE)
_SUB = re.compile(r"sub-?.*|(?:paragraph|para|clause|point)s?\.?", re.IGNORECASE)
_WORD = re.compile(r"[A-Za-z-]+\.?")
_DOTTED = re.compile(r"[0-9]{1,3}(?:\.[0-9]{1,3}){1,3}")
_LETTERED = re.compile(r"(?P<heading>[0-9]{1,3}(?:\.[0-9]{1,3}){1,3}) ?\((?P<letter>[a-z])\)", re.IGNORECASE)
_PART = "{} may be only a part of its step"
_SAME = {"para": "paragraph", "op": "operation", "opn": "operation", "pos": "position"}


@dataclass(frozen=True, slots=True)
class Within:
    """What two citations name together: the steps, the heading above them if one was named, a doubt."""

    items: tuple[str, ...]
    section: str | None = None
    why: tuple[str, ...] = ()


def word_of(said: str) -> str:
    """The word for a step that a citation begins with, in the singular: "paras. 3" gives "paragraph"."""
    found = _WORD.match(said)
    word = found.group().lower().rstrip(".") if found else ""
    word = word[:-3] + "y" if word.endswith("ries") else word.removesuffix("s") if word != "pos" else word
    return _SAME.get(word, word)


def nests(first: str, labels: tuple[str, ...], second: str, inner: tuple[str, ...]) -> bool:
    """True if the second of two citations side by side, each with its words and labels, is named within the
    first."""
    one, other = word_of(first), word_of(second)
    if len(labels) != 1 or not inner or one == other or "(" in labels[0]:
        return False
    if labels[0].isalpha() and inner[0][:1].isdecimal():
        return False  # "paragraph (b) of step 3"
    return not (_DOTTED.fullmatch(inner[0]) and not _DOTTED.fullmatch(labels[0]))


def within(first: str, labels: tuple[str, ...], second: str, inner: tuple[str, ...]) -> Within:
    """What two nested citations name (see `nests`).

    >>> within("paragraph 5.2", ("5.2",), "step d", ("d",)).items
    ('d',)
    """
    outer, one = labels[0], word_of(first)
    if _DOTTED.fullmatch(outer) and not _SUB.fullmatch(word_of(second)):
        return Within(inner, outer)
    if _HEADING.fullmatch(one) and not _SUB.fullmatch(word_of(second)):
        return Within(inner, outer, (f"whether {one} {outer} is a heading or a step is not said",))
    parts = tuple(f"{outer}({n})" for n in inner)
    # A lettered part is doubted where its step is overridden; a numbered one looks like a step.
    return Within(parts, why=(_PART.format(parts[0]),) if inner[0][:1].isdecimal() else ())


def headed(said: str, labels: tuple[str, ...]) -> bool:
    """True for "paragraph 5.2" behind "step d) of": a heading, and no step."""
    return (
        len(labels) == 1
        and _HEADING.fullmatch(word_of(said)) is not None
        and bool(_DOTTED.fullmatch(labels[0]))
    )


def under_heading(said: str, labels: tuple[str, ...]) -> Within | None:
    """ "Paragraph 5.2 (d)" in one citation: step d under the heading 5.2; None for any other."""
    found = [_LETTERED.fullmatch(n) for n in labels]
    parts = [f for f in found if f]
    if not parts or len(parts) < len(found) or not _HEADING.fullmatch(word_of(said)):
        return None
    headings = {f["heading"] for f in parts}
    return Within(tuple(f["letter"] for f in parts), headings.pop()) if len(headings) == 1 else None

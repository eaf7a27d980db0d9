"""Numbered and bulleted lists of web pages: the label of each item, as a browser shows it."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from benchleaf.ingest.papers.counting import decimal, letters, roman

if TYPE_CHECKING:
    from bs4 import Tag

BULLET = "•"
_STYLES: dict[str, Callable[[int], str]] = {
    "1": decimal, "a": letters, "A": lambda n: letters(n).upper(),
    "i": roman, "I": lambda n: roman(n).upper(),
    "decimal": decimal, "lower-alpha": letters, "lower-latin": letters, "lower-roman": roman,
    "upper-alpha": lambda n: letters(n).upper(), "upper-latin": lambda n: letters(n).upper(),
    "upper-roman": lambda n: roman(n).upper(), "decimal-leading-zero": lambda n: f"{n:02}",
}  # fmt: skip
_BULLETS = ("disc", "circle", "square", "disclosure-open", "disclosure-closed")
_MOST = 10**9


def style_of(tag: "Tag", styled: str) -> str | None:
    """The numbering that a list or an item is marked with: by its style, else by its `type`."""
    for word in styled.split():
        if word in _STYLES or word in _BULLETS or word == "none":
            return word
    kind = str(tag.get("type") or "").strip()
    return kind if kind in _STYLES else kind.lower() if kind.lower() in _BULLETS else None


class Counted:
    """One open list, counting its items (HTML Living Standard, "the ol element": start, reversed, value)."""

    def __init__(self, tag: "Tag", styled: str) -> None:
        self._numbered = tag.name == "ol"
        self._style = style_of(tag, styled) or ("1" if self._numbered else "disc")
        items = len(tag.find_all("li", recursive=False)) if tag.has_attr("reversed") else 0
        self._step = -1 if tag.has_attr("reversed") else 1
        self._next = _number(tag.get("start"), items or 1)

    def label(self, item: "Tag", styled: str) -> str:
        """The label of the next item, "" if it has none."""
        count = _number(item.get("value"), self._next) if self._numbered else self._next
        self._next = count + self._step
        style = style_of(item, styled) or self._style
        if style == "none":
            return ""
        return f"{_STYLES[style](count)}." if style in _STYLES else BULLET


def _number(text: object, otherwise: int) -> int:
    try:
        count = int(str(text).strip())
    except ValueError:
        return otherwise
    return count if abs(count) < _MOST else otherwise

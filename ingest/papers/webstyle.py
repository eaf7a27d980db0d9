"""What a web page's style says that changes its words: hidden, struck out, bold, numbered how.

Only plain rules are followed: names of tags, classes and ids, one inside another. Rules for other media than
the screen are left aside.
"""

import re
from collections.abc import Iterator
from itertools import islice
from operator import itemgetter
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from bs4 import Tag

_DECLARED = re.compile(r"([a-z-]{2,40})\s{0,5}:([^;]{1,300})")
_COMPOUND = re.compile(r"([a-z][a-z0-9]{0,20})?((?:[.#][a-z0-9_-]{1,80}){0,4})")
_SIGN = re.compile(r"[.#][a-z0-9_-]{1,80}")
_ZERO = re.compile(r"0(?:\.0{1,4})?(?:px|pt|em|rem|%)?")
_MOST_RULES = 5000
_FOLLOWED = frozenset((
    "display", "visibility", "mso-hide", "font-size", "opacity", "text-decoration", "text-decoration-line",
    "font-weight", "white-space", "list-style", "list-style-type", "page-break-before", "page-break-after",
    "break-before", "break-after",
))  # fmt: skip

Declared = dict[str, str]


class Rule(NamedTuple):
    """A style rule: the parts of its selector, outermost first, and what it declares."""

    parts: tuple[tuple[str, tuple[str, ...]], ...]
    declared: Declared


class Sheet:
    """The style rules of a page."""

    def __init__(self, text: str) -> None:
        self._by_last: dict[str, list[tuple[int, Rule]]] = {}
        self.counts = "counter(" in text or "counters(" in text
        for at, rule in enumerate(islice(_rules(_uncommented(text.lower())), _MOST_RULES)):
            name, signs = rule.parts[-1]
            self._by_last.setdefault(signs[-1] if signs else name, []).append((at, rule))

    def of(self, tag: "Tag") -> Declared:
        """What is declared of a tag: by rules in their order, then by its own `style`."""
        found: Declared = {}
        near = [r for key in (tag.name, *_marks(tag)) for r in self._by_last.get(key, ())]
        for _, rule in sorted(near, key=itemgetter(0)):
            if _fits(tag, rule.parts[-1]) and _inside(tag, rule.parts[:-1]):
                found.update(rule.declared)
        own = tag.get("style")
        if isinstance(own, str):
            found.update(declared(own.lower()))
        return found


def declared(text: str) -> Declared:
    """The properties that a declaration block sets, those that change a page's words."""
    found = {m[1]: m[2].replace("!important", "").strip() for m in _DECLARED.finditer(text[:5000])}
    return {name: value for name, value in found.items() if name in _FOLLOWED}


def _uncommented(text: str) -> str:
    parts = []
    at = 0
    while (begun := text.find("/*", at)) >= 0:
        parts.append(text[at:begun])
        ended = text.find("*/", begun + 2)
        at = ended + 2 if ended >= 0 else len(text)
    return " ".join([*parts, text[at:]])


def _rules(text: str) -> Iterator[Rule]:
    """The rules outside @-blocks, and those for the screen."""
    at = 0
    while (opened := text.find("{", at)) >= 0:
        head = text[at:opened].rpartition(";")[2].rpartition("}")[2].strip()
        closed = text.find("}", opened)
        if closed < 0:
            return
        if head.startswith("@"):
            whole = _end(text, opened)
            if head.startswith("@media") and ("screen" in head or "all" in head) and "not" not in head:
                text = text[:opened] + " " + text[opened + 1 : whole] + " " + text[whole + 1 :]
                at = opened + 1
            else:
                at = whole + 1
            continue
        yield from _selected(head, declared(text[opened + 1 : closed]))
        at = closed + 1


def _end(text: str, opened: int) -> int:
    """Where the block that opens at a place is closed."""
    depth = 0
    for sign in re.finditer(r"[{}]", text[opened:]):
        depth += 1 if sign[0] == "{" else -1
        if not depth:
            return opened + sign.start()
    return len(text)


def _selected(head: str, found: Declared) -> Iterator[Rule]:
    for one in head[:2000].split(","):
        parts = [_COMPOUND.fullmatch(p) for p in one.replace(">", " ").split()]
        if found and parts and all(parts) and len(parts) <= 6:
            yield Rule(tuple((p[1] or "", tuple(_SIGN.findall(p[2]))) for p in parts if p), found)


def _fits(tag: "Tag", part: tuple[str, tuple[str, ...]]) -> bool:
    name, signs = part
    if name and tag.name != name:
        return False
    return not signs or _marks(tag).issuperset(signs)


def _marks(tag: "Tag") -> set[str]:
    """A tag's classes and id, as selectors name them."""
    held = tag.get("class") or ()
    marks = {f".{c.lower()}" for c in (held.split() if isinstance(held, str) else held)}
    return marks | ({f"#{str(tag['id']).lower()}"} if tag.get("id") else set())


def _inside(tag: "Tag", parts: tuple[tuple[str, tuple[str, ...]], ...]) -> bool:
    """True if tags around one fit the outer parts of a selector, in their order."""
    left = list(parts)
    for outer in tag.parents:
        if not left:
            break
        if _fits(outer, left[-1]):
            left.pop()
    return not left


def hides(tag: "Tag", style: Declared) -> bool:
    """True for what a browser does not show."""
    return (
        tag.has_attr("hidden")
        or style.get("display", "").startswith("none")
        or style.get("visibility", "") in ("hidden", "collapse")
        or style.get("mso-hide", "") == "all"
        or _ZERO.fullmatch(style.get("font-size", "1")) is not None
        or _ZERO.fullmatch(style.get("opacity", "1")) is not None
    )


def strikes(tag: "Tag", style: Declared) -> bool:
    """True for text that is struck out."""
    line = style.get("text-decoration", "") + style.get("text-decoration-line", "")
    return tag.name in ("s", "strike", "del") or "line-through" in line


def breaks(style: Declared, side: str) -> bool:
    """True if a new sheet begins before or after (`side`) what is styled so."""
    value = style.get(f"page-break-{side}", "") or style.get(f"break-{side}", "")
    return value in ("always", "page", "left", "right")

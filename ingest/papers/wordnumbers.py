"""Word's automatic numbering: the label of each numbered paragraph, as Word shows it.

The rules are those of ISO/IEC 29500-1, clause 17.9: levels, start values, restarts and overrides.
"""

from collections.abc import Callable
from typing import NamedTuple

from benchleaf.ingest.papers.counting import decimal, repeated, roman
from benchleaf.ingest.papers.wordstyles import Styles
from benchleaf.ingest.papers.wordxml import Element, below, child, flag, number, val

BULLET = "•"
_LEVELS = 9
_FORMATS: dict[str, Callable[[int], str]] = {
    "decimal": decimal,
    "decimalZero": lambda n: f"{n:02}",
    "lowerLetter": repeated,
    "upperLetter": lambda n: repeated(n).upper(),
    "lowerRoman": roman,
    "upperRoman": lambda n: roman(n).upper(),
    "none": lambda n: "",
}


class Level(NamedTuple):
    """One level of a list: where it starts, how it counts, and the text around its numbers."""

    start: int
    form: str
    text: str
    restart: int
    plain: bool
    style: str | None


class Listed(NamedTuple):
    """One list as paragraphs name it: the definition it follows, and the starts that it sets anew."""

    definition: int
    levels: dict[int, Level]
    starts: dict[int, int]


class Numbers:
    """The lists of a file, counting as paragraphs are asked for in their order."""

    def __init__(self, root: Element | None, styles: Styles) -> None:
        self._styles = styles
        self._counts: dict[int, dict[int, int]] = {}
        self._seen: set[tuple[int, int]] = set()
        self.unknown: set[str] = set()
        self._definitions: dict[int, Element] = {}
        self._lists: dict[int, Element] = {}
        if root is not None:
            self._definitions = {number(val(a, "abstractNumId")) or 0: a for a in below(root, "abstractNum")}
            self._lists = {number(val(n, "numId")) or 0: n for n in root.iterchildren() if _is_num(n)}
        self._known: dict[int, Listed | None] = {}

    def label(self, paragraph: Element) -> str:
        """The label of a paragraph, which is counted; "" if it has none."""
        which, depth = self._place(paragraph)
        one = self._listed(which) if which else None
        if one is None or depth not in one.levels:
            return ""
        self._count(one, which or 0, depth)
        return self._shown(one, depth)

    def _place(self, paragraph: Element) -> tuple[int | None, int]:
        """The list and the level of a paragraph: its own, else its style's."""
        own = child(paragraph, "pPr", "numPr")
        style = self._styles.style_id(paragraph)
        which, depth = self._styles.numbering(style)
        if own is not None and child(own, "numId") is not None:
            which = number(val(child(own, "numId")))
            depth = number(val(child(own, "ilvl"))) or 0
        elif own is not None and child(own, "ilvl") is not None:
            depth = number(val(child(own, "ilvl")))
        elif which and (one := self._listed(which)) is not None:
            linked = [i for i, level in one.levels.items() if level.style == style]
            depth = linked[0] if linked else depth
        return which, min(depth or 0, _LEVELS - 1)

    def _listed(self, which: int) -> Listed | None:
        if which not in self._known:
            self._known[which] = self._read(which)
        return self._known[which]

    def _read(self, which: int) -> Listed | None:
        found = self._lists.get(which)
        at = number(val(child(found, "abstractNumId")))
        definition = self._definitions.get(at) if at is not None else None
        for _ in range(3):  # a definition may stand for a numbering style's
            style = val(child(definition, "numStyleLink"))
            linked = self._lists.get(self._styles.linked(style) or 0) if style else None
            at = number(val(child(linked, "abstractNumId"))) if linked is not None else at
            definition = self._definitions.get(at) if at is not None else None
        if found is None or definition is None or at is None:
            return None
        levels = {number(val(v, "ilvl")) or 0: _level(v) for v in definition.iterchildren() if _is_level(v)}
        starts: dict[int, int] = {}
        for override in below(found, "lvlOverride"):
            depth = number(val(override, "ilvl")) or 0
            if (own := child(override, "lvl")) is not None:
                levels[depth] = _level(own)
            if (start := number(val(child(override, "startOverride")))) is not None:
                starts[depth] = start
        return Listed(at, levels, starts)

    def _count(self, one: Listed, which: int, depth: int) -> None:
        counts = self._counts.setdefault(one.definition, {})
        if depth in one.starts and (which, depth) not in self._seen:
            counts[depth] = one.starts[depth]
        elif depth in counts:
            counts[depth] += 1
        else:
            counts[depth] = one.starts.get(depth, one.levels[depth].start)
        self._seen.add((which, depth))
        for deeper, level in one.levels.items():
            if deeper > depth and depth < level.restart:
                counts.pop(deeper, None)

    def _shown(self, one: Listed, depth: int) -> str:
        level, counts = one.levels[depth], self._counts[one.definition]
        if level.form == "bullet":
            return BULLET
        text = level.text
        for upper in range(depth + 1):
            if f"%{upper + 1}" in text and upper in one.levels:
                form = "decimal" if level.plain else one.levels[upper].form
                count = counts.get(upper, one.levels[upper].start)
                text = text.replace(f"%{upper + 1}", self._figure(form, count))
        return " ".join(text.split())

    def _figure(self, form: str, count: int) -> str:
        if form not in _FORMATS:
            self.unknown.add(form)
        return _FORMATS.get(form, decimal)(count)


def _is_num(one: Element) -> bool:
    return isinstance(one.tag, str) and one.tag.endswith("}num")


def _is_level(one: Element) -> bool:
    return isinstance(one.tag, str) and one.tag.endswith("}lvl")


def _level(one: Element) -> Level:
    depth = number(val(one, "ilvl")) or 0
    start = number(val(child(one, "start")))
    restart = number(val(child(one, "lvlRestart")))
    return Level(
        start if start is not None else 0,
        val(child(one, "numFmt")) or "decimal",
        val(child(one, "lvlText")) or "",
        restart if restart is not None else depth,
        bool(flag(one, "isLgl")),
        val(child(one, "pStyle")),
    )

"""How text looks in a Word file: styles, each based on another, and what a run says of itself."""

from typing import NamedTuple

from benchleaf.ingest.papers.blocks import BODY
from benchleaf.ingest.papers.wordxml import Element, below, child, flag, name, number, val

_DEEPEST = 20  # styles based on one another
_HEADING = ("heading", "title", "überschrift", "titre", "titolo", "título")


class Look(NamedTuple):
    """What is said of a run's look; None where nothing is."""

    bold: bool | None = None
    size: float | None = None
    struck: bool | None = None
    hidden: bool | None = None
    raised: str | None = None

    def over(self, other: "Look") -> "Look":
        """This look, and where it is silent the other one."""
        return Look(
            self.bold if self.bold is not None else other.bold,
            self.size if self.size is not None else other.size,
            self.struck if self.struck is not None else other.struck,
            self.hidden if self.hidden is not None else other.hidden,
            self.raised if self.raised is not None else other.raised,
        )


def look_of(properties: Element | None) -> Look:
    """What a run's properties say."""
    if properties is None:
        return Look()
    struck = [s for s in (flag(properties, "strike"), flag(properties, "dstrike")) if s is not None]
    hidden = [h for h in (flag(properties, "vanish"), flag(properties, "specVanish")) if h is not None]
    half = number(val(child(properties, "sz")))
    return Look(
        flag(properties, "b"),
        half / 2 if half else None,
        any(struck) if struck else None,
        any(hidden) if hidden else None,
        val(child(properties, "vertAlign")),
    )


class Styles:
    """The styles of a file."""

    def __init__(self, root: Element | None) -> None:
        found = [] if root is None else list(below(root, "style"))
        self._by_id = {val(s, "styleId") or "": s for s in found}
        kinds = {val(s, "type"): val(s, "styleId") for s in found if val(s, "default") in ("1", "true", "on")}
        self._default = kinds.get("paragraph") or ""
        base = child(root, "docDefaults", "rPrDefault", "rPr")
        self._base = look_of(base).over(Look(False, BODY, False, False, "baseline"))

    def look(self, paragraph: Element, run: Look, run_style: str | None) -> Look:
        """The look of a run in a paragraph: its own, its style's, its paragraph's."""
        own = run.over(self._styled(run_style)) if run_style else run
        return own.over(self._styled(self.style_id(paragraph))).over(self._base)

    def style_id(self, paragraph: Element) -> str:
        """The style that a paragraph has."""
        return val(child(paragraph, "pPr", "pStyle")) or self._default

    def chain(self, style: str) -> list[Element]:
        """A style and those it is based on, the nearest first."""
        found: list[Element] = []
        while style in self._by_id and len(found) < _DEEPEST and self._by_id[style] not in found:
            found.append(self._by_id[style])
            style = val(child(found[-1], "basedOn")) or ""
        return found

    def numbering(self, style: str) -> tuple[int | None, int | None]:
        """The list and the level that a style puts its paragraphs in."""
        for one in self.chain(style):
            properties = child(one, "pPr", "numPr")
            if properties is not None:
                return number(val(child(properties, "numId"))), number(val(child(properties, "ilvl")))
        return None, None

    def is_heading(self, paragraph: Element) -> bool:
        """True for a heading by its outline level or its style's name."""
        if child(paragraph, "pPr", "outlineLvl") is not None:
            return (number(val(child(paragraph, "pPr", "outlineLvl"))) or 0) < 9
        named = [val(child(s, "name")) or "" for s in self.chain(self.style_id(paragraph))]
        return any(n.lower().startswith(_HEADING) for n in named)

    def _styled(self, style: str) -> Look:
        look = Look()
        for one in self.chain(style):
            look = look.over(look_of(child(one, "rPr")))
        return look

    def linked(self, style: str) -> int | None:
        """The list that a numbering style stands for."""
        return self.numbering(style)[0]


def is_break_before(paragraph: Element, styles: Styles) -> bool:
    """True for a paragraph that begins a sheet by its own word or its style's."""
    own = flag(child(paragraph, "pPr"), "pageBreakBefore")
    if own is not None:
        return own
    said = (flag(child(s, "pPr"), "pageBreakBefore") for s in styles.chain(styles.style_id(paragraph)))
    return next((s for s in said if s is not None), False)


def deleted_mark(paragraph: Element) -> bool:
    """True if the end of a paragraph is deleted: it goes on with the next one."""
    marks = child(paragraph, "pPr", "rPr")
    return marks is not None and any(name(m) in ("del", "moveFrom") for m in marks)

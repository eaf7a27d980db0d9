"""The text of a Word paragraph: runs in their dress, fields, breaks, text boxes; what is deleted left out."""

from collections.abc import Iterator
from typing import NamedTuple

from benchleaf.ingest.papers.blocks import Piece
from benchleaf.ingest.papers.raised import lowered, raised
from benchleaf.ingest.papers.wordheard import Heard
from benchleaf.ingest.papers.wordstyles import Look, Styles, look_of
from benchleaf.ingest.papers.wordxml import Element, child, name, number, val
from benchleaf.ingest.sheets.glyphs import NO_MEANING

_GONE = frozenset(
    ("del", "moveFrom", "pPr", "rPr", "instrText", "delText", "delInstrText", "commentReference")
)
_WITHIN = frozenset(
    (
        "hyperlink",
        "smartTag",
        "sdt",
        "sdtContent",
        "customXml",
        "fldSimple",
        "dir",
        "bdo",
        "oMath",
        "oMathPara",
    )
)
_TOUCHED = frozenset(("ins", "moveTo"))
_PLAIN = {"tab": "\t", "cr": "\n", "noBreakHyphen": "-", "softHyphen": ""}
# The Symbol font's letters that papers of this trade use (from memory of its chart).
_SYMBOLS = {
    0x44: "Δ", 0x57: "Ω", 0x62: "β", 0x6D: "μ", 0xA3: "≤", 0xB0: "°", 0xB1: "±", 0xB2: "″",
    0xB3: "≥", 0xB4: "×", 0xB7: "•", 0xB8: "÷", 0xB9: "≠", 0xBB: "≈", 0xAE: "→", 0xC6: "Ø",
}  # fmt: skip
_SMALL_PICTURE = 640_000  # EMU, some 50 points: a smaller picture is an ornament
MOST_DEPTH = 60


class SheetBreak(NamedTuple):
    """A sheet ends here: by the writer's will, or where Word last broke it."""

    willed: bool


class PageField(NamedTuple):
    """The printed page number stands here, in the dress of its run."""

    look: Look


class TextBox(NamedTuple):
    """A text box hangs here."""

    content: Element


Item = Piece | SheetBreak | PageField | TextBox


class Runs:
    """Reads the content of paragraphs one after another: a field may run on over several."""

    def __init__(self, styles: Styles, heard: Heard) -> None:
        self._styles, self._heard = styles, heard
        self._fields: list[list[str]] = []  # open fields: instruction, and "shown" once the result begins

    def of(self, paragraph: Element) -> list[Item]:
        """What stands in a paragraph, in order."""
        return list(self._inside(paragraph, paragraph, False, 0))

    def _inside(self, one: Element, paragraph: Element, fresh: bool, depth: int) -> Iterator[Item]:
        for part in one if depth < MOST_DEPTH else ():
            tag = name(part)
            if tag == "r":
                yield from self._run(part, paragraph, fresh)
            elif tag in ("del", "moveFrom"):
                self._heard.keep(self._heard.deleted, _bare(part))
            elif tag in _TOUCHED:
                self._heard.keep(self._heard.inserted, _bare(part))
                yield from self._inside(part, paragraph, True, depth + 1)
            elif tag == "fldSimple" and _is_page(val(part, "instr") or ""):
                yield PageField(self._styles.look(paragraph, Look(), None))
            elif tag == "oMath":
                yield self._piece(_bare(part), Look(False, 10.0, False, False, "baseline"))
            elif tag in _WITHIN:
                yield from self._inside(part, paragraph, fresh, depth + 1)

    def _run(self, run: Element, paragraph: Element, fresh: bool) -> Iterator[Item]:
        properties = child(run, "rPr")
        look = self._styles.look(paragraph, look_of(properties), val(child(properties, "rStyle")))
        for part in run:
            tag = name(part)
            if tag == "fldChar":
                yield from self._field(val(part, "fldCharType") or "", look)
            elif tag == "instrText" and self._fields:
                self._fields[-1][0] += part.text or ""
            elif tag not in _GONE and not self._unshown():
                yield from self._part(part, tag, look)

    def _field(self, kind: str, look: Look) -> Iterator[Item]:
        if kind == "begin":
            self._fields.append(["", ""])
        elif self._fields and kind == "separate":
            self._fields[-1][1] = "shown"
        elif self._fields and kind == "end":
            instruction, _ = self._fields.pop()
            if _is_page(instruction) and not self._unshown():
                yield PageField(look)

    def _unshown(self) -> bool:
        """True within a field's instruction, and in the kept result of a page number."""
        return any(not shown or _is_page(said) for said, shown in self._fields)

    def _part(self, part: Element, tag: str, look: Look) -> Iterator[Item]:
        if tag == "t":
            yield self._piece(part.text or "", look)
        elif tag in _PLAIN:
            yield self._piece(_PLAIN[tag], look)
        elif tag == "br":
            yield SheetBreak(True) if val(part, "type") == "page" else self._piece("\n", look)
        elif tag == "lastRenderedPageBreak":
            yield SheetBreak(False)
        elif tag == "sym":
            yield self._piece(_symbol(part), look)
        elif tag in ("footnoteReference", "endnoteReference"):
            yield self._piece(raised(val(part, "id") or ""), look)
        elif tag in ("drawing", "pict", "object", "AlternateContent"):
            yield from self._drawn(part, tag)

    def _piece(self, text: str, look: Look) -> Piece:
        if look.hidden or look.struck:
            gone = self._heard.hidden if look.hidden else self._heard.struck
            self._heard.keep(gone, text)
            text = " " if text else ""
        if look.raised == "superscript":
            text = raised(text)
        elif look.raised == "subscript":
            text = lowered(text)
        return Piece(text, bool(look.bold), look.size or 10.0)

    def _drawn(self, part: Element, tag: str) -> Iterator[Item]:
        """The text boxes of a drawing; its pictures are only counted. A fallback repeats the drawing."""
        if tag == "AlternateContent":
            choice = next((c for c in part if name(c) == "Choice"), None)
            part = choice if choice is not None else part
        boxes = [b for b in part.iter() if name(b) == "txbxContent"]
        for box in boxes:
            if not any(name(a) in ("txbxContent", "Fallback") and a is not box for a in box.iterancestors()):
                yield TextBox(box)
        if tag == "object" or any(name(p) in ("blip", "imagedata") for p in part.iter()):
            self._heard.pictures += not _is_small(part)


def _bare(one: Element) -> str:
    """All words of an element, deleted ones too."""
    return "".join(t.text or "" for t in one.iter() if name(t) in ("t", "delText"))


def _is_page(instruction: str) -> bool:
    return instruction.split()[:1] == ["PAGE"]


def _symbol(part: Element) -> str:
    code = int(val(part, "char") or "0", 16) if len(val(part, "char") or "") < 6 else 0
    font = (val(part, "font") or "").lower()
    if code >= 0xF000:
        code -= 0xF000
    elif code > 0xFF:
        return chr(code)
    return _SYMBOLS.get(code, NO_MEANING) if "symbol" in font else NO_MEANING


def _is_small(part: Element) -> bool:
    extent = next((e for e in part.iter() if name(e) == "extent"), None)
    sides = [number(extent.get(k)) for k in ("cx", "cy")] if extent is not None else []
    return bool(sides) and min(s or 0 for s in sides) < _SMALL_PICTURE

"""Walking a web page: its words into paragraphs, its lists with their numbers, its tables as tables."""

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.papers.blocks import BODY, Block, Grid, NewSheet, Para, Piece, Said, quoted, words_of
from benchleaf.ingest.papers.raised import lowered, raised
from benchleaf.ingest.papers.signals import is_notice
from benchleaf.ingest.papers.weblists import Counted
from benchleaf.ingest.papers.webstyle import Declared, Sheet, breaks, hides, strikes

if TYPE_CHECKING:
    from bs4 import Tag

MOST_LEVELS = 4000
"""Tags inside one another: more is no page that a person wrote."""
_HEADINGS = {"h1": 18.0, "h2": 15.0, "h3": 13.0, "h4": 12.0, "h5": 11.0, "h6": 11.0}
_BOLD = frozenset(("b", "strong", "th", "caption", *_HEADINGS))
_BLOCKS = frozenset((
    "address", "article", "aside", "blockquote", "body", "caption", "center", "dd", "details", "div",
    "dl", "dt", "fieldset", "figcaption", "figure", "footer", "form", "header", "hr", "html", "legend", "li",
    "main", "menu", "ol", "p", "pre", "section", "summary", "table", "tbody", "td", "tfoot", "th", "thead",
    "tr", "ul", *_HEADINGS,
))  # fmt: skip
_SILENT = frozenset((
    "script", "style", "head", "template", "noscript", "title", "nav", "button", "select", "svg", "canvas",
    "audio", "video", "math", "datalist", "map",
))  # fmt: skip
_ELSEWHERE = frozenset(("iframe", "object", "embed", "frame"))
_BLANKS = re.compile(r"[ \t\r\n\f]{1,1000}")
_SMALL_PICTURE, _SMALL_SIDE = 4000, 64  # letters of a data: address, and pixels, that a mere ornament has
_SHORT = 80  # letters in a cell of a row that is set side by side


class Dress(NamedTuple):
    """How text is shown at a place of the page."""

    bold: bool = False
    size: float = BODY
    struck: bool = False
    hidden: bool = False
    typed: bool = False
    raised: str = ""


class Heard:
    """What the walk leaves out, gathered to be told once."""

    def __init__(self) -> None:
        self.struck: list[tuple[int, str]] = []
        self.hidden: list[tuple[int, str]] = []
        self.pictures = 0
        self.elsewhere = 0
        self.sheet = 1

    def said(self) -> Iterator[Said]:
        """The findings, in plain words."""
        for sheet, words in _runs(self.struck):
            yield Said("struck-out text is left out, as not in force", sheet, quoted(words))
        for sheet, words in _runs(self.hidden):
            yield Said("text that the page hides is left out", sheet, quoted(words))
        if self.pictures:
            some = "1 picture is" if self.pictures == 1 else f"{self.pictures} pictures are"
            yield Said(f"{some} in the page: words in pictures are not read; add them as files of their own")
        if self.elsewhere:
            yield Said("a part of the page lies in another file and is not read: open that and save it too")


def _runs(found: Sequence[tuple[int, str]]) -> Iterator[tuple[int, str]]:
    """What was left out, sheet by sheet."""
    for sheet in dict.fromkeys(s for s, _ in found):
        words = " ".join(" ".join(w for s, w in found if s == sheet).split())
        if words:
            yield sheet, words


class Walk:
    """One walk through a part of a page."""

    def __init__(self, sheet: Sheet, heard: Heard, dress: Dress | None = None) -> None:
        self.blocks: list[Block] = []
        self._css, self._heard = sheet, heard
        self._dress = [dress or Dress()]
        self._pieces: list[Piece] = []
        self._lists: list[Counted] = []
        self._label = ""
        self._skipped: Tag | None = None
        self._side_by_side: Tag | None = None

    def run(self, root: "Tag") -> list[Block]:
        """The blocks of everything inside a tag. Raises RefusedFile if tags stand too deep in one another."""
        for opens, node in events(root):
            if isinstance(node, str):
                if self._skipped is None:
                    self._text(node)
            elif self._skipped is not None:
                if not opens and node is self._skipped:
                    self._skipped = None
            elif opens:
                self._open(node)
            else:
                self._close(node)
        self._flush()
        return self.blocks

    def _open(self, tag: "Tag") -> None:
        style = self._css.of(tag)
        dress = self._dressed(tag, style)
        if breaks(style, "before"):
            self._new_sheet()
        if tag.name in _SILENT or tag.name in _ELSEWHERE or tag.name == "img":
            self._aside(tag, dress)
            return
        if tag.name in _BLOCKS and not self._inline(tag):
            self._flush()
        if tag.name == "table" and self._table(tag, dress):
            self._skipped = tag
            return
        self._dress.append(dress)
        self._begin(tag, style)

    def _begin(self, tag: "Tag", style: Declared) -> None:
        if tag.name == "br":
            self._pieces.append(Piece("\n"))
        elif tag.name in ("ol", "ul", "menu"):
            self._lists.append(Counted(tag, _list_style(style)))
        elif tag.name == "li" and self._lists and not self._dress[-1].hidden and not self._dress[-1].struck:
            label = self._lists[-1].label(tag, _list_style(style))
            self._label = f"{self._label} {label}".strip()
        elif tag.name == "tr" and self._side_by_side is None and _is_side_by_side(tag):
            self._side_by_side = tag
        elif tag.name in ("td", "th") and self._inline(tag) and words_of(self._pieces):
            self._pieces.append(Piece("\t"))

    def _close(self, tag: "Tag") -> None:
        if tag.name in ("ol", "ul", "menu") and self._lists:
            self._flush()
            self._lists.pop()
        if tag is self._side_by_side:
            self._side_by_side = None
        if tag.name in _BLOCKS and not self._inline(tag):
            self._flush()
        if tag.name == "li":
            self._label = ""
        self._dress.pop()
        if breaks(self._css.of(tag), "after"):
            self._new_sheet()

    def _inline(self, tag: "Tag") -> bool:
        """True for the cells of a row that is set side by side."""
        return self._side_by_side is not None and tag is not self._side_by_side

    def _dressed(self, tag: "Tag", style: Declared) -> Dress:
        above = self._dress[-1]
        weight = style.get("font-weight", "")
        bold = above.bold or tag.name in _BOLD
        if weight:
            bold = weight in ("bold", "bolder", "600", "700", "800", "900")
        return Dress(
            bold,
            _HEADINGS.get(tag.name, above.size),
            above.struck or strikes(tag, style),
            above.hidden or hides(tag, style),
            above.typed
            or tag.name in ("pre", "listing", "xmp")
            or style.get("white-space", "").startswith("pre"),
            tag.name if tag.name in ("sup", "sub") else above.raised,
        )

    def _text(self, text: str) -> None:
        dress = self._dress[-1]
        if dress.hidden or dress.struck:
            gone = self._heard.hidden if dress.hidden else self._heard.struck
            gone.append((self._heard.sheet, text))
            text = " "
        if not dress.typed:
            text = _BLANKS.sub(" ", text)
            if text.startswith(" ") and (not self._pieces or self._pieces[-1].text[-1:].isspace()):
                text = text[1:]
        if dress.raised:
            text = raised(text) if dress.raised == "sup" else lowered(text)
        if text:
            self._pieces.append(Piece(text.replace("\r\n", "\n"), dress.bold, dress.size))

    def _flush(self) -> None:
        """End the paragraph; an empty line within it ends one too."""
        pieces, self._pieces = self._pieces, []
        if not words_of(pieces):
            return
        typed = self._dress[-1].typed
        for part in [pieces] if typed else list(_parted(pieces)):
            self.blocks.append(Para(tuple(part), self._label, typed))
            self._label = ""

    def _new_sheet(self) -> None:
        self._flush()
        if self.blocks and not isinstance(self.blocks[-1], NewSheet):
            self.blocks.append(NewSheet())
            self._heard.sheet += 1

    def _aside(self, tag: "Tag", dress: Dress) -> None:
        """What is no text: told where it may hold words."""
        if tag.name == "img":
            self._heard.pictures += not dress.hidden and not _is_ornament(tag)
        self._heard.elsewhere += tag.name in _ELSEWHERE and not dress.hidden
        self._skipped = tag

    def _table(self, tag: "Tag", dress: Dress) -> bool:
        """Take a table as a table; False if it only serves to place text."""
        from benchleaf.ingest.papers.webtables import cells, is_layout

        if dress.hidden or dress.struck or is_layout(tag):
            return False
        for caption in tag.find_all("caption"):
            self.blocks.extend(Walk(self._css, self._heard, dress._replace(bold=True)).run(caption))
        rows = cells(tag, self._css, self._heard, dress)
        full = [c for row in rows for c in row if words_of(c)]
        if len(full) == 1 or is_notice(full):
            text = [p for i, c in enumerate(full) for p in (Piece(" " if i else ""), *c)]
            self.blocks.append(Para(tuple(text), framed=True))
        elif rows:
            self.blocks.append(Grid(rows))
        return True


def events(root: "Tag") -> Iterator[tuple[bool, "Tag | str"]]:
    """Every tag as it opens and closes, and the text between, without climbing into the depth of a page."""
    from bs4 import CData, Tag
    from bs4.element import NavigableString

    open_tags: list[tuple[Tag, Iterator[object]]] = [(root, iter(root.contents))]
    while open_tags:
        tag, inside = open_tags[-1]
        node = next(inside, None)
        if node is None:
            open_tags.pop()
            if open_tags:
                yield False, tag
        elif isinstance(node, Tag):
            if len(open_tags) >= MOST_LEVELS:
                raise RefusedFile(
                    "its tags stand thousands deep in one another", "Print the page as PDF and add that."
                )
            yield True, node
            open_tags.append((node, iter(node.contents)))
        elif type(node) in (NavigableString, CData):
            yield True, str(node)


def _parted(pieces: Sequence[Piece]) -> Iterator[list[Piece]]:
    """Pieces parted where two line breaks follow each other."""
    held: list[Piece] = []
    open_line = False  # the last thing seen was a line break
    for piece in pieces:
        if not piece.text.strip() and "\n" not in piece.text:
            held.append(piece)
            continue
        if piece.text == "\n":
            if open_line and words_of(held):
                yield held
                held = []
            elif words_of(held):
                held.append(piece)
            open_line = True
            continue
        held.append(piece._replace(text=piece.text.lstrip(" ")) if open_line or not held else piece)
        open_line = False
    if words_of(held):
        yield held


def _list_style(style: Declared) -> str:
    return f"{style.get('list-style-type', '')} {style.get('list-style', '')}"


def _is_side_by_side(row: "Tag") -> bool:
    """True for a row of short cells in a table that places text: a label and its value."""
    found = row.find_all(("td", "th"), recursive=False)
    full = [c for c in found if c.get_text(strip=True)]
    return (
        len(full) > 1
        and row.find(("table", "ol", "ul", "pre", *_HEADINGS)) is None
        and all(len(c.get_text()) <= _SHORT and len(c.find_all(("p", "div"))) < 2 for c in full)
    )


def _is_ornament(picture: "Tag") -> bool:
    """True for a picture too small to hold words that matter."""
    source = str(picture.get("src") or "")
    if source.startswith("data:"):
        return len(source) < _SMALL_PICTURE
    if source.startswith("cid:"):  # a mail's own enclosure, taken as such
        return True
    sides = [_pixels(picture.get(name)) for name in ("width", "height")]
    return any(side is not None and side <= _SMALL_SIDE for side in sides)


def _pixels(text: object) -> int | None:
    figures = re.match(r"\s{0,5}([0-9]{1,5})(?:px)?\s{0,5}$", str(text or ""))
    return int(figures[1]) if figures else None

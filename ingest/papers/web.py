"""Saved web pages to sheets.

Beautiful Soup keeps a page's text whole however badly it is written; it reads with lxml, which closes `<li>`,
`<p>` and `<td>` where writers leave them open, as browsers do (html.parser of the standard library nests them
instead, and html5lib has had no release since 2020).
"""

import codecs
import re
from typing import TYPE_CHECKING

from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.papers.blocks import Block, Reading, Said
from benchleaf.ingest.papers.extras import office
from benchleaf.ingest.papers.setting import set_pages
from benchleaf.ingest.papers.webstyle import Sheet
from benchleaf.ingest.papers.webwalk import Heard, Walk, events
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.text import decode

if TYPE_CHECKING:
    from bs4 import BeautifulSoup

_NAMED = re.compile(rb"(?:charset|encoding)\s{0,5}=\s{0,5}[\"']?\s{0,5}([A-Za-z0-9_.:-]{2,40})", re.I)
_MOST = 50_000_000


def read_html(data: bytes) -> tuple[Page, ...]:
    """The sheets of a web page: one, but where its style breaks pages.

    Raises RefusedFile if its libraries are missing, it shows no text, or its tags stand too deep.
    """
    return html_reading(data).pages


def html_reading(data: bytes) -> Reading:
    """The sheets of a web page, and what is to be said of their reading. Raises what read_html raises."""
    found = soup_reading(parse(text_of(data)))
    if not any(page.words for page in found.pages):
        raise RefusedFile("the web page shows no text", "Open it in a browser and print it as PDF.")
    return found


def text_of(data: bytes) -> str:
    """A page's text: by its byte order mark, else as it names its encoding, else as any text.

    WHATWG's Encoding standard takes the labels of Latin-1 and ASCII for Windows-1252.
    """
    named = _NAMED.search(data[:2048])
    if not data.startswith((codecs.BOM_UTF8, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)) and named:
        label = named[1].decode("ascii").lower()
        label = "cp1252" if label in ("iso-8859-1", "latin1", "latin-1", "us-ascii", "ascii") else label
        try:
            return data.decode(label, "replace") if not label.startswith("utf") else decode(data)
        except LookupError:
            pass
    return decode(data)


def parse(text: str) -> "BeautifulSoup":
    """A page's tags. Raises RefusedFile if the libraries are missing or the page is far too large."""
    if len(text) > _MOST:
        raise RefusedFile("the web page is larger than 50 million letters", "Print the part you need as PDF.")
    with office("a web page"):
        import lxml.etree  # noqa: F401 - Beautiful Soup names it only by a string
        from bs4 import BeautifulSoup
    return BeautifulSoup(text.replace("\0", ""), "lxml")


def soup_reading(soup: "BeautifulSoup") -> Reading:
    """The sheets of a parsed page."""
    for _ in events(soup):  # a page too deep is refused before anything climbs into it
        pass
    css, heard = Sheet(" ".join(style.get_text() for style in soup.find_all("style"))), Heard()
    blocks: list[Block] = Walk(css, heard).run(soup)
    said = list(heard.said())
    if css.counts:
        said.append(
            Said(
                "the page counts by its style sheet: numbers that it shows may be missing; compare the screen"
            )
        )
    return Reading(set_pages(blocks), tuple(said))

"""Manuals and notes of shops never seen before: tables of kits, lists under a set's number, fields of a head.
All makers, numbers and words are invented; the layouts are common practice, no source."""

from types import SimpleNamespace

import pytest
from benchleaf.graph.model import Box, Contents
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.book.manualkitstables import kit_tables
from benchleaf.ingest.document import read_document
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.shapes import Cell, Table
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.text import read_text


class Place:
    """A sheet with one table, as far as tables of kits need it."""

    def __init__(self, rows):
        box = Box(0, 0, 9, 9)
        cells = tuple(tuple(Cell(text, box) for text in row) for row in rows)
        self.page = SimpleNamespace(tables=(Table(1, box, cells, True),))

    def contents(self, kit, lines, box, quote, why):
        """Kit, lines in short, and whether it is doubted."""
        return kit, [f"{li.quantity} {li.part} {li.description}" for li in lines], bool(why)


HEADS = ("Kit P/N", "Used for", "P/N", "Contents", "QTY")
BLOCKS = [
    ("WQ-510", "Disc kit, Model 77", "52-5107", "Lined disc", "6"),
    ("", "", "52-5110", "Steel plate", "7"),
    ("", "", "52-5199", "Grease", "A/R"),
    ("WQ-520", "Seal kit, Model 77", "52-5120", "Shaft seal", "1"),
]
WANTED = [
    ("WQ-510", ["6 52-5107 lined disc", "7 52-5110 steel plate", "None 52-5199 grease"], False),
    ("WQ-520", ["1 52-5120 shaft seal"], False),
]


@pytest.mark.parametrize("heads", [HEADS, ("Kit No.", "For", "Part No.", "Contents", "No. off")])
def test_a_kits_number_on_the_first_row_of_its_block(heads):
    """The column of contents may name single parts that other columns number and count."""
    assert list(kit_tables(Place([heads, *BLOCKS]))) == WANTED


def test_contents_that_count_their_parts_themselves_are_not_single_parts():
    """ "Contents" with its own counts beside a column of kits a machine is never read as one line."""
    rows = [("Kit no.", "Contents", "Qty per machine"), ("WQ-510", "6 lined discs, 7 steel plates", "2")]
    assert list(kit_tables(Place(rows))) == [("WQ-510", ["6 None lined disc", "7 None steel plate"], False)]


def test_a_quantity_that_was_not_read_is_doubted():
    """A blank count is no "as required"."""
    rows = [HEADS, *BLOCKS[:2], ("", "", "52-5130", "Snap ring", "")]
    assert [doubted for *_, doubted in kit_tables(Place(rows))] == [True]


PAGE = """
                          OVERHAUL OF THE REVERSING CLUTCH KX 40

(1) Oil the plates and lay them ready in their order on a clean bench.
(2) Fit the piston with new seal rings; turn it while it goes in.
(3) Fit the return spring and its plate and let the retaining ring snap in.

{} consisting of:

   Pcs.     Part no.        Designation
   7        7412.440.07     Inner plate
   8        7412.440.08     Outer plate
   1        7412.460.11     Cover gasket

Hang a card with the number of the set on the basket.
"""


def typed(head):
    """The kits of a typed page with a list below this head."""
    pages = lay_out(read_text(PAGE.format(head).encode()))
    return read_manual(pages, "manual.txt").manual.kits


@pytest.mark.parametrize("head", ["Plate set 7412.030 for KX 40,", "Plate set 7412.030 for both clutches,"])
def test_what_a_set_is_for_is_no_limit_of_its_contents(head):
    """A set under a number with one stop, for a unit that is named, is listed for certain."""
    (found,) = typed(head)
    assert (found.kit, found.standing) == ("7412.030", "settled")
    assert [li.quantity for li in found.lines] == [7, 8, 1]


@pytest.mark.parametrize(
    "head", ["Plate set 7412.030 for KX 40 up to serial number 5500,", "Plate set 7412.030 only for KX 40,"]
)
def test_a_set_for_some_units_only_is_doubted(head):
    """Serial numbers and "only" limit the contents."""
    assert all(k.standing == "doubtful" for k in typed(head))


NOTE = """Halvard Pump Works - Customer service
SERVICE MESSAGE 14/02
Date: 03.05.2002
{}

{}
"""


def noted(words, fields="Concerns: KX 40\nMatter: New plate set"):
    """The one note of a typed file."""
    return read_document(NOTE.format(fields, words).encode(), "note.txt").notes[0]


def test_concerns_names_the_units_where_another_field_is_the_subject():
    """ "Concerns" with nothing but models beside "Matter" names the units."""
    text = NOTE.format("Concerns: KX 40\nMatter: New plate set", "Use the new set.")
    head = read_header(lay_out(read_text(text.encode())), "note.txt")
    assert (head.applies.models, head.subject) == (("KX 40",), "New plate set")


def test_concerns_alone_stays_the_subject():
    """Without another subject "Concerns" is what the note is about."""
    text = NOTE.format("Concerns: New plate set", "Use the new set.")
    assert read_header(lay_out(read_text(text.encode())), "note.txt").subject == "New plate set"


def test_a_field_on_what_to_file_the_note_with_ends_the_units():
    """ "File with" beside the units is a field of its own and limits nothing."""
    note = noted("Use the new set.", "Units: Model 77, all serial numbers      File with: Shop Manual 9-K")
    assert note.applies.models == ("77",)
    assert note.applies.unclear == ()


def test_a_column_heading_names_the_kit():
    """ "Kit A contains" over the names of parts tells whose list it is, whatever kits stand above it."""
    words = """Disc kit WQ-512 replaces disc kit WQ-510 for service. The new pack has more plates.

   P/N            Kit WQ-512 contains      QTY
   52-5207        Lined disc               8
   52-5210        Steel plate              8
   52-5215        Spring                   12
"""
    (found,) = [s for s in noted(words).statements if isinstance(s, Contents)]
    assert (found.kit, found.standing) == ("WQ-512", "settled")
    assert [li.description for li in found.lines] == ["lined disc", "steel plate", "spring"]

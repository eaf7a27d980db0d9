"""Invented manuals in many layouts read back paragraph by paragraph."""

import pytest
from benchleaf.ingest.shapes import Table
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.paragraphs import flow
from benchleaf.ingest.sheets.pdf import read_pdf
from many_layouts import Drawer, plain


@pytest.mark.parametrize("seed", range(60))
def test_a_manual_reads_back_whatever_its_layout(seed: int) -> None:
    """One to three columns, six ways of numbering, justified or ragged, with heads, figures and notices: all
    paragraphs come back in order and every printed page number is found."""
    drawn = Drawer(seed).drawn()
    laid = lay_out(read_pdf(drawn.pdf))
    for page, want in zip(laid, drawn.paragraphs, strict=True):
        assert ["TABLE" if isinstance(p, Table) else plain(p.text) for p in flow(page)] == want
    assert [p.folio for p in laid] == drawn.folios

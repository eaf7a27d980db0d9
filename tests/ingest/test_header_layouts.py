"""Heads by the dice: some hundred notes of invented makers in a dozen layouts, each read back whole."""

import random

import pytest
from benchleaf.graph.keys import key
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.shapes import Header, Paragraph
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pdf import read_pdf
from benchleaf.ingest.sheets.text import read_text
from note_layouts import BODY, Said, pdf_note, said, text_note


def check(header: Header, n: Said, printed: str) -> None:
    assert header.number is not None and key(header.number) == key(n.number)
    assert header.date == n.date
    assert header.applies.models == n.models or set(header.applies.models) == set(n.models)
    assert (header.applies.serial_from, header.applies.serial_to) == (n.serial_from, n.serial_to)
    assert header.unclear == ()
    if n.subject in printed:
        assert header.subject == n.subject
    if key(n.maker) in key(printed):
        assert header.issuer is not None and key(header.issuer) == key(n.maker)
    body = [e.text for e in header.body if isinstance(e, Paragraph)]
    assert [t for t in body if t in BODY] == [t for t in _lines(printed) if t in BODY]


def _lines(printed: str) -> list[str]:
    return printed.split("\n")


@pytest.mark.parametrize("seed", range(150))
def test_a_text_note_reads_back(seed: int) -> None:
    """Number, date, models, bounds, subject and maker come back as said; the body's sentences all stay."""
    dice = random.Random(seed)
    n = said(dice)
    text = text_note(dice, n)
    check(read_header(lay_out(read_text(text.encode())), "note.txt"), n, text)


@pytest.mark.parametrize("seed", range(70))
def test_a_drawn_note_reads_back(seed: int) -> None:
    """The same for notes drawn as PDFs: ruled boxes, label rows, aligned columns, side boxes, titles."""
    dice = random.Random(1000 + seed)
    n = said(dice)
    laid = lay_out(read_pdf(pdf_note(dice, n)))
    printed = "\n".join(line.text for page in laid for line in page.lines)
    check(read_header(laid, "note.pdf"), n, printed)

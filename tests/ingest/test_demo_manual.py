"""The demo manual, read back: every step that was drawn, its words whole."""

from pathlib import Path

from benchleaf.corpus_demo.manual import draw_manual
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pages import read_pages


def test_the_demo_manual_is_read_as_it_was_drawn(tmp_path: Path) -> None:
    """All 195 steps have their page, number and words: nothing of tables, figures and loose paragraphs."""
    path = tmp_path / "manual.pdf"
    truth = draw_manual(path)
    manual = read_manual(lay_out(read_pages(path.read_bytes(), path.name)), path.name).manual
    drawn = {(page, str(item)): text for page, items in truth.items() for item, text in items.items()}
    read = {(page.page, item.label): item.text for page in manual.pages for item in page.items}
    assert len(drawn) == 195
    assert read == drawn

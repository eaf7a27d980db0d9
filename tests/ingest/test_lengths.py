"""Paragraphs longer than a page of close print."""

from dataclasses import replace

from benchleaf.graph.model import Box
from benchleaf.ingest.phrases.lengths import LONGEST, shortened
from benchleaf.ingest.shapes import Paragraph
from hypothesis import given, settings
from hypothesis import strategies as st


def _paragraph(text: str) -> Paragraph:
    return Paragraph(text, Box(0, 0, 500, 700), 1, "4-1")


@settings(max_examples=60)
@given(st.text(alphabet="aB. \n,1", min_size=0, max_size=3 * LONGEST))
def test_no_word_is_lost_and_none_is_longer(text: str) -> None:
    """The parts have all the words in their order, and none is longer than the limit."""
    parts = shortened([_paragraph(text)])
    assert all(isinstance(p, Paragraph) and len(p.text) <= LONGEST for p in parts)
    joined = "".join(p.text for p in parts if isinstance(p, Paragraph))
    assert "".join(joined.split()) == "".join(text.split())


def test_it_is_cut_where_a_sentence_ends() -> None:
    """A long paragraph is cut behind a full stop, and each part keeps its place."""
    told = "Kit 44-1 becomes kit 44-2 at once. " * 200
    first, *rest = shortened([_paragraph(told)])
    assert rest and isinstance(first, Paragraph) and first.text.endswith("at once.")
    assert all(replace(p, text="") == replace(first, text="") for p in rest if isinstance(p, Paragraph))


def test_a_short_one_stays_as_it_is() -> None:
    """Whatever is no longer than the limit is the same object."""
    one = _paragraph("Kit 44-1 becomes kit 44-2.")
    assert shortened([one])[0] is one

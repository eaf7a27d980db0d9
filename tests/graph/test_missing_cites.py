"""What notes only speak of is missing too if it is not held."""

from dataclasses import replace

from benchleaf.graph.missing import missing_answer
from benchleaf.graph.model import Citation
from fake_shelf import PUB, FakeShelf, manual, note


def test_what_is_only_spoken_of_is_named_unless_it_is_held():
    """ "See also" another book, an older letter, a held book: the first two are missing."""
    cites = (Citation("publication", "QX 90", "3-2"), Citation("note", "VB 1"), Citation("publication", PUB))
    shelf = FakeShelf(
        [manual({"4-12": [("1", "Fit it.")]})], [replace(note("VB 7", "1999-03-12"), cites=cites)]
    )
    found = [(m.kind, m.number, m.cited_by, m.where) for m in missing_answer(shelf)]
    assert found == [("publication", "QX 90", ("VB 7",), ("page 3-2",)), ("note", "VB 1", ("VB 7",), ())]

"""How sure a statement is that OCR read: by its words with digits first."""

import datetime as dt
from dataclasses import replace

from benchleaf.graph.model import (
    Applies,
    Box,
    Contents,
    Item,
    KitLine,
    Manual,
    ManualPage,
    Note,
    Override,
    Source,
    Statement,
    Supersession,
    Target,
)
from benchleaf.ingest.ocrtrust import counted_folios, header_doubt, marked, unsure_steps, weighed
from benchleaf.ingest.shapes import Header, LaidPage, Line, Word

DAY = dt.date(1991, 4, 8)
SCAN = Source("scan.pdf", 1, by_ocr=True)


def sheet(*words: tuple[str, float], by_ocr: bool = True) -> LaidPage:
    made = tuple(Word(t, Box(10.0 * i, 10, 10.0 * i + 8, 20), confidence=c) for i, (t, c) in enumerate(words))
    return LaidPage(1, 600, 800, (Line(made, Box(0, 10, 600, 20), 1),), by_ocr=by_ocr)


def note(*statements: Statement) -> Note:
    return Note("B 7", DAY, None, None, "maker", None, Applies(), statements=statements)


def change(old: str, new: str, quote: str, source: Source = SCAN) -> Supersession:
    return Supersession(note="B 7", date=DAY, quote=quote, source=source, old=(old,), new=(new,))


def confidence(statement: Statement, *words: tuple[str, float]) -> float:
    return weighed(note(statement), [sheet(*words)]).statements[0].confidence


def test_a_poor_number_makes_a_poor_statement() -> None:
    """The worst word with a digit decides, however sure the other words are."""
    said = change("44-18", "44-90", "44-18 is replaced by 44-90.")
    words = [("44-18", 0.99), ("is", 1.0), ("replaced", 1.0), ("by", 1.0), ("44-90.", 0.61)]
    assert confidence(said, *words) == 0.61


def test_a_poor_word_without_a_digit_counts_by_the_mean() -> None:
    """One poor plain word among sure ones does not put the statement in doubt."""
    said = change("44-18", "44-90", "44-18 is replaced by 44-90.")
    words = [("44-18", 0.99), ("is", 0.5), ("replaced", 1.0), ("by", 1.0), ("44-90.", 0.98)]
    assert 0.8 < confidence(said, *words) < 0.9
    assert confidence(said, words[0], *words[2:]) == 0.98


def test_a_number_in_pieces_has_its_worst_piece() -> None:
    """A number that OCR read in two pieces, or that a line end broke, is as sure as the worse piece."""
    said = change("0441 207", "0441 209", "")
    words = [("0441", 0.99), ("207", 0.7), ("209", 0.95)]
    assert confidence(said, *words) == 0.7


def test_kit_lines_and_targets_count() -> None:
    """Quantities' part numbers, pages and items are words with digits too."""
    line = KitLine("K 12-7", "steel plate", 4)
    kit = Contents(note="B 7", date=DAY, quote="", source=SCAN, kit="K 1188", lines=(line,))
    assert confidence(kit, ("K", 1.0), ("12-7", 0.42), ("1188", 0.99)) == 0.42
    step = Override(
        note="B 7", date=DAY, quote="", source=SCAN, action="delete", target=Target("M 1", "4-12", "3")
    )
    assert confidence(step, ("4-12", 0.5), ("3", 0.9)) == 0.5


def test_a_text_layer_is_left_alone() -> None:
    """What was not read by OCR keeps its confidence."""
    said = change("44-18", "44-90", "44-18", Source("t.pdf", 1))
    assert confidence(said, ("44-18", 0.2)) == 1.0
    pages = [sheet(("44-18", 0.2), by_ocr=False)]
    assert weighed(note(said), pages) == note(said)


def test_steps_are_marked_with_their_unsure_words() -> None:
    """A manual's step that OCR read says so, and names the values that it was not sure of."""
    step = Item("3", "Tighten to 25 N·m (4 off).", "31", 1)
    manual = Manual("M 1", None, None, None, None, (), (ManualPage("31", 1, items=(step,)),), "m.pdf")
    read = marked(manual, [sheet(("Tighten", 0.3), ("25", 0.55), ("(4", 0.97), ("off).", 0.99))])
    assert read.pages[0].items[0].by_ocr and read.pages[0].items[0].unsure == ("25",)
    told = unsure_steps(read)
    assert len(told) == 1 and "“25”" in told[0].message and told[0].source.sheet == 1
    assert not unsure_steps(manual)


def head(day: dt.date | None = DAY) -> Header:
    return Header("B 7", day, None, None, "maker", None, Applies(serial_from="2201"), (), ())


def test_a_poor_head_is_a_doubt() -> None:
    """A date, number or serial at a note's head that OCR was not sure of is a doubt about the note."""
    assert "“8.4.1991”" in (header_doubt(head(), [sheet(("Date:", 0.99), ("8.4.1991", 0.7))]) or "")
    assert "“2201”" in (header_doubt(head(), [sheet(("from", 0.99), ("2201", 0.7))]) or "")
    assert header_doubt(head(), [sheet(("Date:", 0.2), ("8.4.1991", 0.97))]) is None
    assert header_doubt(head(), [sheet(("8.4.1991", 0.7), by_ocr=False)]) is None


def test_a_poor_telephone_number_is_no_doubt() -> None:
    """Other numbers at the head matter to nobody."""
    assert header_doubt(head(), [sheet(("Tel.", 0.99), ("555-01773", 0.6))]) is None
    assert header_doubt(head(None), [sheet(("555-01773", 0.6))]) is None


def test_a_page_number_told_by_its_neighbours_is_a_finding() -> None:
    """A number that stands on no head or foot of its scanned sheet was counted, and that is told."""
    read = replace(
        sheet(("9", 0.9)), folio="9", feet=(Line((Word("9", Box(0, 0, 9, 9)),), Box(0, 0, 9, 9), 1),)
    )
    counted = replace(sheet(("x", 0.9)), folio="10")
    assert [f.message.split(" was")[0] for f in counted_folios([read, counted], "m.pdf")] == [
        "the page number 10"
    ]
    assert not counted_folios([replace(counted, by_ocr=False)], "m.pdf")

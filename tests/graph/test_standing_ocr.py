"""What OCR read: settled only if read for certain, and if no number only looks like a known one.

The look-alikes O 0, I 1, S 5, B 8, Z 2, G 6 are common practice, no source. Numbers are invented.
"""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from benchleaf.graph.model import Contents, KitLine, Override, Source, Statement, Supersession, Withdrawn
from benchleaf.graph.ocrdoubts import SURE_OCR, numbers_of
from benchleaf.graph.restand import restand
from benchleaf.graph.settling import settle
from benchleaf.graph.store import Store
from store_papers import NOW, became, document, line, manual, note, override, put

SCAN = Source("scan.png", 1, None, None, by_ocr=True)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path, create=True) as opened:
        put(opened, document("m", "manual", manual=manual()))
        put(opened, document("t", notes=(note("T 1", became("KB 4471-88", "KB 4471-90")),)))
        yield opened


def _judged(store: Store, statement: Statement, confidence: float, name: str = "s") -> Statement:
    read = replace(statement, source=SCAN, confidence=confidence)
    content = document(name, notes=(note(f"N {name}", read),))
    number = put(store, content)
    with store.transaction():
        restand(store, number, content)
    (found,) = store.statements_of_document(number)
    return found


def test_a_sure_reading_of_known_numbers_is_settled(store: Store) -> None:
    """OCR at the bar, and every number known from a text layer: settled by rule."""
    got = _judged(store, became("KB 4471-88", "KB 4471-90"), SURE_OCR)
    assert (got.standing, got.settled_by) == ("settled", "rule")


def test_a_new_number_read_for_certain_is_settled(store: Store) -> None:
    """A number that no paper has named, and that looks like none: OCR's certainty counts."""
    assert _judged(store, became("KB 4471-88", "KB 4471-95"), 0.97).standing == "settled"


@pytest.mark.parametrize(
    ("read", "known"),
    [("KB 4471-8B", "KB 4471-88"), ("K8 4471-9O", "KB 4471-90"), ("KB 4410-Z1", "KB 4410-21")],
)
def test_a_number_that_looks_like_a_known_one_is_a_doubt_however_sure(
    store: Store, read: str, known: str
) -> None:
    """Look-alikes folded it is a known number, written it is not: a doubt that names both, takes neither."""
    got = _judged(store, became(read, "KB 5000-1"), 1.0)
    assert got.standing == "doubtful"
    assert got.why == (f"read by OCR as {read}; the store knows {known}: look at the picture",)
    assert isinstance(got, Supersession) and got.old == (read,)


def test_below_the_bar_is_a_doubt_with_what_it_may_be(store: Store) -> None:
    """An unsure reading is a doubt though its numbers are known; of an unknown number one error away from a
    known one, that one is named."""
    known = _judged(store, became("KB 4471-88", "KB 4471-90"), 0.89)
    assert known.why == ("read by OCR with confidence 0.89: compare with the picture",)
    got = _judged(store, became("KB 4477-88", "KB 4471-90"), 0.5, "s2")
    assert got.why[0] == "read by OCR with confidence 0.50: compare with the picture"
    assert got.why[1:] == ("read by OCR as KB 4477-88; the store knows KB 4471-88: look at the picture",)


def test_another_scan_proves_nothing(store: Store) -> None:
    """A number that only OCR has read is no known number: the same misreading twice is no proof, and a true
    reading is not held against it."""
    _judged(store, became("KB 6600-1B", "KB 6600-19"), 0.99)
    assert not store.known_by_text("KB 6600-1B")
    assert _judged(store, became("KB 6600-18", "KB 6600-19"), 0.99, "s2").standing == "settled"


def test_a_persons_eye_makes_a_number_known(store: Store) -> None:
    """Once a person has settled a scanned reading, its numbers are known, and a look-alike is doubtful."""
    first = _judged(store, became("KB 6600-18", "KB 6600-19"), 0.99)
    settle(store, first.id or 0, "yes", "AB", NOW)
    assert store.known_by_text("KB 6600-18")
    assert _judged(store, became("KB 6600-1B", "KB 6600-20"), 0.99, "s2").standing == "doubtful"


def test_an_override_read_by_ocr_needs_its_step_and_its_words(store: Store) -> None:
    """Step held and old value there: settled; a look-alike among its new words, or an old value that the step
    does not say: doubtful."""
    place = ("RM 55", "41-0", "5")
    change = {"action": "change-value", "text": None, "now": "31 N·m"}
    assert _judged(store, override(*place, was="29 N·m", **change), 0.95).standing == "settled"
    wrong = _judged(store, override(*place, was="2S N·m", **change), 0.95, "s2")
    assert "does not say" in wrong.why[0]
    words = _judged(store, override(*place, text="Fit seal KB 44I0-21."), 0.95, "s3")
    assert any("KB 4410-21" in why for why in words.why)


def test_text_layers_are_not_held_against_look_alikes(store: Store) -> None:
    """Two parts that differ by B and 8 may both exist: read from text, both are taken as printed."""
    content = document("x", notes=(note("X 1", became("KB 4471-8B", "KB 4471-91")),))
    number = put(store, content)
    with store.transaction():
        restand(store, number, content)
    (found,) = store.statements_of_document(number)
    assert found.standing == "settled"


def test_steps_read_by_ocr_make_no_number_known(store: Store) -> None:
    """A number in a step that OCR read is not known by it; in a step with a text layer it is."""
    pages = manual("RM 70").pages
    scanned = replace(
        pages[0], items=tuple(replace(i, text="Fit KB 8800-21.", by_ocr=True) for i in pages[0].items)
    )
    put(store, document("scan", "manual", manual=manual("RM 70", (scanned,))))
    assert not store.known_by_text("KB 8800-21")
    assert store.known_by_text("KB 4410-21")


def test_old_words_missing_in_a_scanned_step_say_so(store: Store) -> None:
    """An old value that a step read by OCR does not say may be a misreading of the step: the reason says
    where to look."""
    page = manual("RM 71").pages[1]
    scanned = replace(
        page, items=tuple(replace(i, text="Tighten to 2S N·m.", by_ocr=True) for i in page.items)
    )
    put(store, document("scan", "manual", manual=manual("RM 71", (scanned,))))
    change = override("RM 71", "41-0", "5", action="change-value", text=None, was="29 N·m", now="31 N·m")
    content = document("x", notes=(note("X 1", change),))
    number = put(store, content)
    with store.transaction():
        restand(store, number, content)
    (found,) = store.statements_of_document(number)
    assert found.why == ("the step as held, which OCR read from a picture, does not say “29 N·m”",)


def test_numbers_of_every_kind() -> None:
    """Each kind of statement brings its numbers; an override those of its new words."""
    common = {"note": "", "date": None, "quote": "q", "source": SCAN}
    kit = Contents(**common, kit="KB 9000-1", lines=(line("KB 1111", "disc", 5), KitLine(None, "ring", 1)))
    assert numbers_of(kit) == ("KB 9000-1", "KB 1111")
    assert numbers_of(Withdrawn(**common, part="KB 70")) == ("KB 70",)
    assert numbers_of(became("A-1", ("A-2", "A-3"))) == ("A-1", "A-2", "A-3")
    new_words = override("RM 55", "4-10", "5", text="Fit seal KB 4410-21 and no other.")
    assert isinstance(new_words, Override) and "KB 4410-21" in numbers_of(new_words)

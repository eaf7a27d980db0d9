"""Odd words that once stopped the reading: each is read, doubted or refused with a named error."""

import time
from pathlib import Path

import pytest
from benchleaf.cli.changes import changed_words
from benchleaf.cli.desk import taking
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.kits.received import parse_got
from benchleaf.graph.mentions import runs
from benchleaf.graph.quantities.reading import read_quantities
from benchleaf.graph.quantities.units import load
from benchleaf.ingest.document import read_document
from benchleaf.ingest.phrases.contents import _noiseless
from benchleaf.ingest.shapes import Paragraph
from benchleaf.ingest.sheets.folios import read_folio
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.paragraphs import flow
from benchleaf.ingest.sheets.text import read_text

NOTE = (
    "SERVICE BULLETIN No. OL-9\nDate: 12 May 2019\nSubject: Discs\nModels: V 12\n\n"
    "Kit {number} has been replaced by kit 4410-209.\n"
)


@pytest.mark.parametrize("words", ["for ring", "of disc", "with seal", ", 12", "in", "for"])
def test_a_name_that_begins_with_a_joining_word_is_no_crash(words: str) -> None:
    """A piece whose name is parted at its very beginning is read or refused."""
    try:
        assert all(one.quantity is None or one.quantity >= 0 for one in parse_got(words))
    except WrongUse as refused:
        assert refused.remedy


@pytest.mark.parametrize(
    ("text", "value"),
    [("0,000.00 mm", 0.0), ("0,000,000 mm", 0.0), ("0,350 mm", 0.35), ("1,250.5 mm", 1250.5)],
)
def test_a_zero_before_thousands_is_a_figure(text: str, value: float) -> None:
    """`0,350` is a decimal; a zero with thousands and a point behind it is nought."""
    assert [q.nominal for q in read_quantities(text)] == [value]


@pytest.mark.parametrize("text", ["\u0131", "x\u0131", "\u0130", "\u017f", "- \u0131v -"])
def test_a_dotless_i_is_no_page_number(text: str) -> None:
    """Matching without case takes the Turkish dotless i for an i: it is no roman numeral."""
    assert read_folio(text) is None
    assert read_folio("iv") == ("iv", "", 4, 0.5)


def test_a_paragraph_of_many_lines_takes_no_squared_time() -> None:
    """Eight times the lines take less than three times eight times as long, and stay one paragraph."""
    spent = []
    for lines in (300, 2400):
        (page,) = lay_out(read_text(("wide words here\n" * lines).encode()))
        times = []
        for _ in range(5):  # other work may run beside it
            started = time.process_time()
            found = flow(page)
            times.append(time.process_time() - started)
        spent.append(min(times))
        assert [type(one) for one in found] == [Paragraph]
    assert spent[1] < 24 * max(spent[0], 0.002), spent


@pytest.mark.parametrize("number", ["\u04104410-207", "4410-2\u041e7", "\uff14410-207", "\uff21 4410-207"])
def test_a_note_with_a_look_alike_number_settles_nothing_unseen(number: str) -> None:
    """Of a whole paper: the sign is told in a finding, and no statement about the number is settled."""
    found = read_document(NOTE.format(number=number).encode("utf-8"), "n.txt")
    told = " ".join(f.message for f in found.findings)
    assert "Cyrillic" in told or "Fullwidth" in told, told
    assert all(s.standing != "settled" for note in found.notes for s in note.statements)


def test_a_plain_number_in_the_same_note_settles() -> None:
    """The same note with plain signs is settled and has no finding; a diameter's sign is no look-alike."""
    found = read_document((NOTE.format(number="4410-207") + "Ø 12 mm\n").encode("utf-8"), "n.txt")
    (said,) = found.notes[0].statements
    assert said.standing == "settled" and not [f for f in found.findings if "bears" in f.message]


def test_a_number_before_a_strange_letter_is_no_mention() -> None:
    """`4410-207` is not mentioned where a letter of another script goes on with it."""
    assert [r.printed for r in runs("see 4410-207.")] == ["4410-207"]
    assert "4410-207" not in [r.printed for r in runs("see 4410-207\u0410.")]


@pytest.mark.parametrize("spelling", ["", " ", ".", "--"])
def test_an_empty_spelling_of_a_unit_is_refused_by_name(tmp_path: Path, spelling: str) -> None:
    """A shop's own unit without a spelling would stand everywhere: it is refused, and named."""
    own = tmp_path / "units.toml"
    own.write_text(
        f'[[unit]]\nname = "blob"\nkind = "length"\npint = "mm"\nspellings = ["{spelling}"]\n',
        encoding="utf-8",
    )
    with pytest.raises(WrongUse, match="blob") as refused:
        load(own)
    assert refused.value.remedy


@pytest.mark.parametrize("name", ["CON.txt", "nul", "com1.pdf", "Aux .txt", "LPT9.tar.gz"])
def test_a_devices_name_is_prefixed_at_the_desk(tmp_path: Path, name: str) -> None:
    """Microsoft, "Naming Files, Paths, and Namespaces": these names are devices whatever their ending."""
    path = taking._received(tmp_path, 1, name, lambda p: p.write_bytes(b"x"))
    assert path.name == f"_{name}" and path.read_bytes() == b"x"


@pytest.mark.parametrize(
    ("words", "bare"),
    [("the seals;", "seals"), (".;", ""), ("- ring.", "ring"), ("only : 3 discs , ", "3 discs"), (";;;", "")],
)
def test_marks_at_the_ends_of_a_line_go(words: str, bare: str) -> None:
    """What stood in one expression, squared in time, is two steps of the same meaning."""
    assert _noiseless(words) == bare


def test_words_bare_of_a_noun_are_plates_with_blanks_around_them() -> None:
    """`lined` alone is a friction plate, blanks or not."""
    assert plate_kind("  lined \n") == "friction" and plate_kind("steel") == "steel"
    assert plate_kind(" " * 50 + "ring") is None


def test_blanks_before_the_first_word_stay_in_a_comparison() -> None:
    """Every letter of both wordings is in the comparison, blanks at the start too."""
    found = changed_words("  Torque to  29 N.", "  Torque to  31 N.")
    assert "".join(t for m, t in found if m != "was").split() == ["Torque", "to", "31", "N."]
    assert found[0].text.startswith("  ")

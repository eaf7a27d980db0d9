"""Numbers with signs that only look plain: never taken for the plain number, and told with the sign.

The look-alikes are those of Unicode Technical Standard 39, "Unicode Security Mechanisms", from memory.
"""

import json
import unicodedata
from pathlib import Path

import pytest
from benchleaf.graph.keys import folded, key
from benchleaf.graph.model import Finding, SheetText
from benchleaf.ingest.document import read_document
from benchleaf.ingest.lists.lists import read_list
from benchleaf.ingest.lookalikes import LIKE, doubted, strange_findings, strange_numbers
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.statements import read_statements
from hostile_papers import call

STRANGE = {
    "Kit \u04104410-207": "CYRILLIC CAPITAL LETTER A",
    "Kit 4410-2\u041e7": "CYRILLIC CAPITAL LETTER O",
    "Kit \u0410\u0412 4410-207": "CYRILLIC CAPITAL LETTER VE",
    "Kit 4410-2\u039f7": "GREEK CAPITAL LETTER OMICRON",
    "Kit \uff14\uff14\uff11\uff10-207": "FULLWIDTH DIGIT FOUR",
    "Kit \u0664\u0664\u0661\u0660": "ARABIC-INDIC DIGIT FOUR",
    "Kit 4410-2\u00d87": "LATIN CAPITAL LETTER O WITH STROKE",
    "Kit 4410-207\u0301": "COMBINING ACUTE ACCENT",
    "Kit 44\u202e10-207": "RIGHT-TO-LEFT OVERRIDE",
    "Kit 4410\u200b-207": "ZERO WIDTH SPACE",
    "item 3 of V\u041c-30": "CYRILLIC CAPITAL LETTER EM",
}
PLAIN = (
    *("Kit 4410-207", "20 µm, 5 Ω, Ø20, φ30, 45°, 3³ mm, 5½ in", "2ème étage, 1er août 1990", "29 N·m ±2"),
    *("4410\u2011207 and 4410\u2013209", "Größe 2, Mü 10", "№ 12", "деталь 12 шт", "“4410-207” – see page 3"),
)


@pytest.mark.parametrize("text", STRANGE)
def test_a_strange_sign_in_a_number_is_named(text: str) -> None:
    """The reason names the sign as Unicode does."""
    assert STRANGE[text].lower() in " ".join(strange_numbers(text)).lower()


@pytest.mark.parametrize("text", PLAIN)
def test_plain_numbers_and_measures_are_left_alone(text: str) -> None:
    """Units, diameters, raised figures, ordinals, dashes and words of other scripts are no look-alikes."""
    assert strange_numbers(text) == ()


@pytest.mark.parametrize("text", [t for t in STRANGE if not t.startswith("item")])
def test_a_statement_with_one_is_never_settled(text: str) -> None:
    """What is read of such a sentence is a doubt that names the sign, or nothing; a plain one is settled."""
    said = f"{text} has been replaced by kit 4410-209."
    for one in read_statements(header_of(said), "note").statements:
        assert doubted(one).standing != "settled" or one.quote.isascii(), ascii(one)
    (plain,) = read_statements(
        header_of("Kit 4410-207 has been replaced by kit 4410-209."), "note"
    ).statements
    assert doubted(plain) is plain and plain.standing == "settled"


def test_such_a_row_of_a_list_is_a_finding_that_names_the_sign() -> None:
    """A supersession list's cell with a look-alike is no part number; the others are read."""
    rows = "\u04104410-3;4410-4\n4410\u200b-7;4410-8\n\uff14410-9;4410-10\n4410-1;4410-2\n"
    found = read_list(f"old number;new number\n{rows}".encode(), "l.csv")
    assert [(r.old, r.new) for r in found.rows] == [(("4410-1",), ("4410-2",))]  # type: ignore[union-attr]
    told = [f.message.lower() for f in found.findings]
    assert all(w in t for w, t in zip(("cyrillic", "zero width", "fullwidth"), told, strict=True)), told


@pytest.mark.parametrize("sign", [s for s in LIKE if s.isupper() and "LATIN" not in unicodedata.name(s)])
def test_a_key_with_a_look_alike_is_another_key(sign: str) -> None:
    """The plain number and the one that looks like it are two numbers, and near to each other."""
    plain = f"KB 44{LIKE[sign]}10"
    other = f"KB 44{sign}10"
    assert key(other) != key(plain) and key(other) != key("KB 4410")
    assert folded(other) == folded(plain)


def test_a_typed_look_alike_does_not_pass_as_known(tmp_path: Path) -> None:
    """`part` with a Cyrillic letter finds no such part and offers the plain one; so with `kit`."""
    store, paper = tmp_path / "store", tmp_path / "l.csv"
    paper.write_text("old number;new number\nB4410-3;B4410-4\n", encoding="utf-8")
    assert call(store, "add", str(paper)).exit_code == 0
    result = call(store, "part", "--json", "\u04124410-3")
    told = json.loads(result.stdout)
    assert result.exit_code == 1 and told.get("near", [])[:1] == ["B4410-3"], result.stdout
    assert json.loads(call(store, "part", "--json", "B4410-3").stdout)["current"] == ["B4410-4"]


def test_findings_are_told_with_their_place_and_bounded() -> None:
    """Each strange number of a sheet is a finding with sheet and line; twenty at most."""
    lines = "\n".join(f"Kit \u0410{n}-207" for n in range(100, 150))
    found = strange_findings([SheetText(2, "4-12", f"plain words\n{lines}")], "a.pdf")
    assert len(found) == 20 and isinstance(found[0], Finding)
    assert (found[0].source.sheet, found[0].source.page, found[0].quote) == (2, "4-12", "Kit \u0410100-207")


@pytest.mark.parametrize(
    "line",
    [
        "Models: KX-4, KX-4\u0412",
        "Models: \u041aX-4",
        "Serial numbers: from 27\u041e84",
        "Machine: KX-\uff14",
    ],
)
def test_units_with_a_look_alike_are_not_taken_for_certain(line: str) -> None:
    """A model or serial number at the head with such a sign is a doubt about the units that names it."""
    page = f"BULLETIN KX 12/99    14 March 1999\n{line}\n\nPart 4410-207 has been replaced by 4410-209.\n"
    (note,) = read_document(page.encode(), "n.txt").notes
    assert any("which looks like" in reason for reason in note.applies.unclear)
    plain = unicodedata.normalize("NFKC", page).translate({ord(a): b for a, b in LIKE.items()})
    (note,) = read_document(plain.encode(), "n.txt").notes
    assert not note.applies.unclear

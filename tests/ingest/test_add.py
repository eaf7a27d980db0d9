"""Taking files in: outcomes, refusals, and the shop's own wordings."""

import datetime as dt

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.graph.model import Supersession
from benchleaf.graph.store import Store
from benchleaf.ingest.add import add_paths, find_files

NOW = dt.datetime(2026, 11, 25, 9)
LETTER = """Brackwell Hoists
Service letter BH-7
Date: 12 November 1999
Subject: Seals
Models: H 40

{words}
"""
OWN = """
[[phrase]]
name = "swapped-for"
type = "supersession"
pattern = "{old} was swapped for {new}"
"""


@pytest.fixture
def store(tmp_path):
    with Store.open(tmp_path / "store", create=True) as opened:
        yield opened


def letter(path, words="Seal 4471-208 has been replaced by seal 4471-301."):
    path.write_text(LETTER.format(words=words))
    return path


def test_the_same_bytes_are_held_and_change_nothing(store, tmp_path):
    """A second copy under another name is known by its hash; the store keeps one document."""
    first = add_paths(store, [letter(tmp_path / "a.txt")], NOW)
    again = add_paths(store, [letter(tmp_path / "b.txt")], NOW)
    assert [f.outcome for f in (*first.files, *again.files)] == ["read", "held"]
    assert first.files[0].number == again.files[0].number == "BH-7"
    assert len(store.statements()) == 1


def test_one_bad_file_never_stops_the_others(store, tmp_path):
    """A damaged PDF, an empty file and a missing one are refused with a reason each; the letter is read."""
    (tmp_path / "bad.pdf").write_bytes(b"%PDF-1.7\nnothing")
    (tmp_path / "empty.txt").write_bytes(b"")
    paths = [tmp_path / "bad.pdf", tmp_path / "empty.txt", tmp_path / "none.pdf", letter(tmp_path / "z.txt")]
    report = add_paths(store, paths, NOW)
    assert [f.outcome for f in report.files] == ["refused", "refused", "refused", "read"]
    assert all(f.reason for f in report.files[:3])


def test_a_refused_file_can_be_tried_again(store, tmp_path):
    """A refusal is not remembered: the same path with good content is read."""
    path = tmp_path / "a.txt"
    path.write_bytes(b"")
    assert add_paths(store, [path], NOW).files[0].outcome == "refused"
    assert add_paths(store, [letter(path)], NOW).files[0].outcome == "read"


def test_folders_are_searched_but_links_in_them_are_not_followed(tmp_path):
    """Files at any depth are found in order; a link to a folder above would loop and is left out."""
    (tmp_path / "in" / "deep").mkdir(parents=True)
    files = [letter(tmp_path / "in" / "deep" / "b.txt"), letter(tmp_path / "in" / "a.txt")]
    (tmp_path / "in" / "loop").symlink_to(tmp_path)
    assert find_files([tmp_path / "in"]) == [files[1], files[0]]


def test_the_store_itself_is_no_paper(store, tmp_path):
    """Adding the folder in which the store lies takes the papers beside it, never its own files."""
    paper = letter(tmp_path / "a.txt")
    report = add_paths(store, [tmp_path], NOW)
    assert [(f.path, f.outcome) for f in report.files] == [(str(paper), "read")]


def test_a_shops_own_wording_is_read(store, tmp_path):
    """A sentence that nobody else would write is understood once phrases.toml in the store says how."""
    words = "Seal 4471-208 was swapped for seal 4471-301."
    add_paths(store, [letter(tmp_path / "before.txt", words)], NOW)
    assert not [s for s in store.statements() if isinstance(s, Supersession)]
    (store.folder / "phrases.toml").write_text(OWN)
    add_paths(store, [letter(tmp_path / "after.txt", words + " ")], NOW)
    (read,) = [s for s in store.statements() if isinstance(s, Supersession)]
    assert (read.old, read.new, read.standing) == (("4471-208",), ("4471-301",), "settled")


def test_a_malformed_own_wording_is_refused_by_name(store, tmp_path):
    """A shop's phrase of no known type stops the call with the phrase's name, before anything is read."""
    (store.folder / "phrases.toml").write_text(OWN.replace('"supersession"', '"swap"'))
    with pytest.raises(WrongUse, match="swapped-for"):
        add_paths(store, [letter(tmp_path / "a.txt")], NOW)


def test_a_manual_that_arrives_later_settles_its_notes(store, tmp_path):
    """A note that cites a manual not yet held waits as a doubt, and is settled when the manual comes."""
    words = "In manual HM 20, page 4-2, item 1, change 46 Nm to 52 Nm."
    add_paths(store, [letter(tmp_path / "a.txt", words)], NOW)
    (waiting,) = store.statements()
    assert waiting.standing == "doubtful" and "not held" in waiting.why[0]
    draw_manual(tmp_path / "m.pdf")
    add_paths(store, [tmp_path / "m.pdf"], NOW)
    assert [s.standing for s in store.statements()] == ["settled"]


def test_what_a_second_reader_counts_otherwise_is_told(store, tmp_path, monkeypatch):
    """If another reader finds another number of sheets in a PDF, the paper is taken in with a finding."""
    monkeypatch.setattr("benchleaf.ingest.sheets.secondopinion._sheets", lambda data: 7)
    draw_manual(tmp_path / "m.pdf")
    (taken,) = add_paths(store, [tmp_path / "m.pdf"], NOW).files
    assert taken.outcome == "read"
    assert any("one reader finds 3 sheets, another 7" in f.message for f in taken.findings)


def draw_manual(path):
    """A cover and two pages of steps, with running heads and page numbers."""
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(str(path), invariant=1)
    for n, line in enumerate(COVER):
        canvas.drawString(72, 700 - 24 * n, line)
    canvas.showPage()
    for folio, steps in (("4-2", STEPS[:3]), ("4-3", STEPS[3:])):
        canvas.drawString(72, 800, "HM 20  Fitting the shaft")
        for n, step in enumerate(steps, 1):
            canvas.drawString(72, 760 - 30 * n, f"{n}.")
            canvas.drawString(96, 760 - 30 * n, step)
        canvas.drawString(290, 40, folio)
        canvas.showPage()
    canvas.save()


COVER = ("Brackwell Hoists", "Workshop Manual", "Hoist H 40", "Publication No. HM 20")
STEPS = (
    "Tighten the flange nut to 46 Nm and stake the collar.",
    "Turn the shaft and check that it runs freely.",
    "Measure the play with a dial gauge.",
    "Fit the cover and tighten the screws.",
    "Fill with oil and check the level.",
)

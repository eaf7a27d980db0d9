"""A few thousand fuzzed inputs for every reader, with fixed seeds, and each crash that longer runs found.

Longer runs: `python tests/faults/fuzz_readers.py TARGET --inputs 100000 --seed 5`.
"""

import contextlib
import io
import zipfile
from pathlib import Path

import pytest
from benchleaf.graph.errors import RefusedFile, WrongUse
from benchleaf.graph.keys import natural
from benchleaf.ingest.head.dates import find_dates, read_date
from benchleaf.ingest.papers.mail import read_mail
from benchleaf.ingest.papers.word import word_reading
from benchleaf.ingest.papers.workbook import workbook_reading
from benchleaf.ingest.phrases.phrasebook import load
from fuzz_readers import Tally, feed, run
from fuzz_targets import _office

INPUTS = {
    **{
        "keys": 1200,
        "names": 1200,
        "dates": 400,
        "lists": 500,
        "slips": 300,
        "values": 300,
        "pages": 200,
        "got": 1000,
    },
    **{"phrases": 80, "head": 70, "mails": 100, "word": 30, "workbook": 25, "books": 6},
}


@pytest.mark.parametrize("target", INPUTS)
def test_spoilt_inputs_are_read_or_refused(target: str) -> None:
    """Each input is read or refused with a named error, in time, and what is read of it holds."""
    pytest.importorskip("docx", reason="office papers are an extra")
    tally = run(target, INPUTS[target], 120, seed=1)
    assert tally.findings == {} and tally.inputs == INPUTS[target]


def test_a_fault_would_be_found() -> None:
    """What raises anything but a named error, or what does not hold, is a finding."""
    tally = Tally("books")
    feed(tally, "[[phrase]]")
    assert tally.refused == 1 and tally.findings == {}
    broken = Tally("no such target")
    feed(broken, "x")
    assert broken.findings


def test_a_numeral_of_thousands_of_digits_is_sorted() -> None:
    """Python turns no more than 4,300 digits into a number ("Integer string conversion limit")."""
    assert natural("9" * 9000) > natural("12")


def test_a_month_with_a_dotless_i_is_no_crash() -> None:
    """Matching without case takes the Turkish dotless i for an i, and the long s for an s."""
    for text in ("between 3 and 5 Ma\u0131 2001", "3 Augu\u017ft 1999", "week of 3 \u0131un 1999"):
        find_dates(text)
        assert read_date(text).date is None or read_date(text).date.year in (1999, 2001)


def test_a_mail_with_bare_bytes_in_its_header_is_read() -> None:
    """Headers of 8-bit bytes (against RFC 5322) are read as UTF-8; what is none is marked as unreadable."""
    for name, want in (("Müller".encode(), "Müller"), (b"M\xfcller", "M\ufffdller")):
        mail = read_mail(b"From: " + name + b" <a@b.example>\nSubject: x\n\nwords of the mail\n")
        assert mail.sender == want
    spoilt = "From:: a\u2013b=c; d\n\nwords of the mail\n".encode()
    assert read_mail(spoilt).pages


def test_a_mail_in_an_odd_encoding_is_read() -> None:
    """An encoding that yields halves of letters gives words that can be stored."""
    head = b"From: a@b.example\nSubject: x\nContent-Type: text/plain; charset=unicode_escape\n\n"
    mail = read_mail(head + b"words \\ud800 and more words of this mail\n")
    "".join(w.text for page in mail.pages for w in page.words).encode("utf-8")


def _packed(kind: str, part: str, was: bytes, now: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        for name, data in _office(kind).items():
            packed.writestr(name, data.replace(was, now) if name == part else data)
    return out.getvalue()


def test_a_word_file_with_a_broken_member_is_refused() -> None:
    """A member that is not of its check sum is damage, and so is XML that python-docx stumbles on."""
    pytest.importorskip("docx", reason="office papers are an extra")
    data = bytearray(_packed("word", "", b"", b""))
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        member = packed.getinfo("docProps/thumbnail.jpeg")
    data[member.header_offset + 200] ^= 0xFF
    with pytest.raises(RefusedFile, match="damaged"):
        word_reading(bytes(data))


def test_a_workbook_with_odd_styles_prints_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    """openpyxl prints what puzzles it; nothing but the answer may stand on standard output."""
    pytest.importorskip("openpyxl", reason="office papers are an extra")
    data = _packed("workbook", "xl/styles.xml", b'fontId="0"', b'fontId="99"')
    with contextlib.suppress(RefusedFile):
        workbook_reading(data)
    assert capsys.readouterr().out == "" and capsys.readouterr().err == ""


BASE = '[[phrase]]\nname = "own"\ntype = "supersession"\npatterns = [\'{old} goes over to {new}\']\n'
WRONG = {
    "phrase = 3": "phrases.toml",
    "phrase = [3]": "phrases.toml",
    "guard = [3]": "phrases.toml",
    "columns = 3": "phrases.toml",
    "telltale = 3": "phrases.toml",
    "[telltale]\nwords = [3]": "telltale",
    "[columns]\nold = 'x'": "columns",
    "[words]\nbe = 3\n" + BASE.replace("goes", "<be>"): "phrases.toml",
    BASE.replace("['", "'").replace("']", "'"): "own",
    BASE.replace("['{old} goes over to {new}']", "[3]"): "own",
    BASE + "rank = 'x'": "phrases.toml",
    BASE + "yes = 'x'": "own",
    BASE + "no = [3]": "own",
    BASE + "action = 'explode'": "explode",
    BASE + "stock = 'burn'": "burn",
    BASE.replace("{old}", "(" * 3000 + "{old}" + ")" * 3000): "phrases.toml",
    "a = " + "[" * 5000: "phrases.toml",
    "[[guard]]\nname = 'mine'\nkind = 'denial'\npatterns = 'abc'": "mine",
}


@pytest.mark.parametrize("words", WRONG, ids=range(len(WRONG)))
def test_a_malformed_phrase_book_is_refused_by_name(tmp_path: Path, words: str) -> None:
    """What is not of the phrase book's form is told with the name of the phrase or the file; no crash."""
    own = tmp_path / "phrases.toml"
    own.write_text(words, encoding="utf-8")
    with pytest.raises(WrongUse) as refused:
        load(own)
    assert WRONG[words] in refused.value.message


SLOW = (
    "{old} start " + "(mend|bolt|mend bolt|bolt mend) " * 14 + "{new}",
    "start " + "[(mend|bolt|mend bolt)] (bolt|mend) " * 9 + "end {old} {new}",
    "{old} {np} {np} {np} {np} {np} {new}",
    "{any} {old} {any} {any} {any} {any} {any} to {new}",
    "{w} {w} {w} {w} {w} {w} {old} by {new}",
)


@pytest.mark.parametrize("pattern", SLOW, ids=range(len(SLOW)))
def test_a_pattern_slow_only_on_crafted_words_is_refused_by_name(tmp_path: Path, pattern: str) -> None:
    """Patterns that are quick on any one word repeated, and run away on their own words in another order."""
    own = tmp_path / "phrases.toml"
    own.write_text(BASE.replace("{old} goes over to {new}", pattern), encoding="utf-8")
    with pytest.raises(WrongUse, match=r"own.*too slow") as refused:
        load(own)
    assert refused.value.remedy


def test_a_slow_guard_is_refused_by_name(tmp_path: Path) -> None:
    """A shop's own guard is timed as its phrases are."""
    own = tmp_path / "phrases.toml"
    own.write_text(
        "[words]\nrun = 'a|b|a b'\n[[guard]]\nname = 'mine'\nkind = 'denial'\n"
        "patterns = ['q <run>* <run>* <run>* <run>* end']\n",
        encoding="utf-8",
    )
    with pytest.raises(WrongUse, match=r"mine.*too slow"):
        load(own)


def test_a_shops_telltale_words_join_the_books_own(tmp_path: Path) -> None:
    """A shop's words that betray an unread statement take none of the book's away."""
    own = tmp_path / "phrases.toml"
    own.write_text("[telltale]\nwords = ['swapp*']\n", encoding="utf-8")
    book = load(own)
    assert book.telltale.search("it was swapped") and not load().telltale.search("it was swapped")
    for word in ("replaced", "superseded", "delete"):
        assert bool(book.telltale.search(word)) == bool(load().telltale.search(word))

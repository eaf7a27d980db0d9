"""Kinds of office papers by their content, refusals with a remedy, and files made to burst a reader."""

import time
from typing import Any

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.papers import zips
from benchleaf.ingest.papers.kinds import is_html, is_mail, is_word, is_workbook, refusal
from benchleaf.ingest.papers.word import read_word
from benchleaf.ingest.papers.workbook import read_workbook
from hypothesis import given
from hypothesis import strategies as st
from papers_made import mail, replaced, word, workbook, xml, zipped

OLE = bytes.fromhex("d0cf11e0a1b11ae1") + bytes(512)
MEMO = b"From: Service\nTo: all shops\nSubject: Clutch\nDate: 3 May 2003\n\nFit six discs.\n"


def samples() -> dict[str, bytes]:
    message = mail()
    message.set_content("Fit six discs.")
    return {
        "mail": message.as_bytes(),
        "html": b"<!-- saved --><!DOCTYPE html>\n<html><p>Fit it.</p></html>",
        "word": word(lambda d: d.add_paragraph("Fit it.")),
        "workbook": workbook(lambda b: b.active.append(["a"])),
        "text": MEMO,
        "pdf": b"%PDF-1.4\n",
    }


@pytest.mark.parametrize("kind", ["mail", "html", "word", "workbook", "text", "pdf"])
def test_each_kind_is_told_by_its_content(kind: str) -> None:
    """Exactly one of the tests holds for a paper of its kind; a typed memo is no e-mail."""
    data = samples()[kind]
    told = {"mail": is_mail, "html": is_html, "word": is_word, "workbook": is_workbook}
    assert [name for name, test in told.items() if test(data)] == [kind][: kind in told]
    assert refusal(data) is None


def test_a_piece_of_a_page_is_a_page_and_a_text_with_brackets_is_not() -> None:
    """Several known tags make a page; a part number in angle brackets makes none."""
    assert is_html(b"<table><tr><td>44-100</td><td>6</td></tr></table>")
    assert not is_html(b"<44-100> is replaced by <44-200>, <p> see page 3\n")
    assert not is_html(b"Use <b>bold</b> in <p>HTML</p> <table>")


@pytest.mark.parametrize(
    ("data", "what", "remedy"),
    [
        (OLE + "WordDocument".encode("utf-16-le"), ".doc", ".docx"),
        (OLE + "Workbook".encode("utf-16-le"), ".xls", ".xlsx"),
        (OLE + "PowerPoint Document".encode("utf-16-le"), ".ppt", "PDF"),
        (OLE + "__substg1.0_0037".encode("utf-16-le"), ".msg", ".eml"),
        (OLE + "EncryptedPackage".encode("utf-16-le"), "password", "without"),
        (OLE, "binary", ".docx"),
        (bytes.fromhex("789f3e22") + bytes(20), "winmail.dat", ".eml"),
        (rb"{\rtf1 Fit it.}", "RTF", ".docx"),
        (zipped({"mimetype": b"application/vnd.oasis", "content.xml": b"<a/>"}), "OpenDocument", ".docx"),
        (zipped({"ppt/presentation.xml": b"<a/>"}), "PowerPoint", "PDF"),
        (zipped({"xl/workbook.bin": b"1"}), ".xlsb", ".xlsx"),
        (zipped({"a.pdf": b"1"}), "zip", "Unpack"),
        (b"PK\x03\x04 torn", "damaged", "again"),
    ],
)
def test_what_is_not_read_names_its_remedy(data: bytes, what: str, remedy: str) -> None:
    """Old and foreign kinds are refused in plain words with what to do."""
    refused = refusal(data)
    assert refused is not None
    assert what in refused.message and remedy in refused.remedy


@given(
    st.binary(max_size=300), st.sampled_from([b"", b"PK\x03\x04", b"<html>", b"From: ", b"\xff\xfe", OLE[:8]])
)
def test_no_bytes_make_the_telling_fail(data: bytes, start: bytes) -> None:
    """Whatever a file holds, telling its kind raises nothing."""
    whole = start + data
    assert {is_mail(whole), is_html(whole), is_word(whole), is_workbook(whole)} <= {True, False}
    assert refusal(whole) is None or refusal(whole).remedy  # type: ignore[union-attr]  # asked twice on purpose


def test_hostile_starts_are_told_at_once() -> None:
    """Twenty thousand signs of opening comments, tags or header lines are told in a moment."""
    for start in (
        b"<!--",
        b"<",
        b"<p ",
        b"a:",
        b"<?xml",
        b"Received:",
        b"< p" * 3,
        b"\n",
        b"<a x=" + b"<" * 9,
    ):
        begun = time.perf_counter()
        is_html(start * 7000)
        is_mail(start * 7000)
        assert time.perf_counter() - begun < 0.5


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16-le"])
def test_entities_that_swell_are_refused(encoding: str) -> None:
    """ISO/IEC 29500-2 forbids declarations in office files; a file with one is not opened at all."""
    bomb = '<!DOCTYPE a [<!ENTITY b "bb"><!ENTITY c "&b;&b;">]>'.encode(encoding)
    for data, member, read in (
        (samples()["word"], "word/document.xml", read_word),
        (samples()["workbook"], "xl/workbook.xml", read_workbook),
    ):
        with pytest.raises(RefusedFile, match="declares entities"):
            read(replaced(data, member, lambda x: bomb + x))


def test_what_swells_when_unpacked_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """A member larger than the bound is refused by the size that the zip states, before it is unpacked."""
    monkeypatch.setattr(zips, "MOST_BYTES", 100_000)
    data = samples()["word"]
    grown = replaced(data, "word/document.xml", lambda x: x + b" " * 200_000)
    assert len(grown) < 2 * len(data)
    with pytest.raises(RefusedFile, match="swells"):
        read_word(grown)


def test_too_many_parts_are_refused() -> None:
    """More than ten thousand members are no office file."""
    members = {f"word/{i}.bin": b"" for i in range(10_001)} | {"word/document.xml": b"<a/>"}
    with pytest.raises(RefusedFile, match="parts"):
        read_word(zipped(members))


def test_a_part_that_lies_about_its_size_is_refused() -> None:
    """Bytes changed after packing do not pass for what the zip promised."""
    data = bytearray(samples()["workbook"])
    at = data.index(b"xl/workbook.xml") + 60
    data[at : at + 20] = bytes(20)
    with pytest.raises(RefusedFile):
        read_workbook(bytes(data))


def test_content_controls_too_deep_end_in_words() -> None:
    """A Word file of thousands of nested parts ends in a refusal or a reading, never in a crash."""

    def build(document: Any) -> None:
        deep = "<w:sdt><w:sdtContent>" * 100 + "<w:p/>" + "</w:sdtContent></w:sdt>" * 100
        document.element.body.insert(0, xml(f"<w:sdt>{deep}</w:sdt>"))
        document.add_paragraph("Fit it.")

    try:
        assert read_word(word(build))
    except RefusedFile as refused:
        assert refused.remedy

"""E-mails: the writer's own words as a paper, earlier mails and enclosures as papers of their own."""

import datetime as dt
import sys
import time
from email.message import EmailMessage

import pytest
from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.papers.enclosures import safe_name, unlike
from benchleaf.ingest.papers.findings import paper_findings
from benchleaf.ingest.papers.mail import read_mail
from benchleaf.ingest.papers.mailtext import parted_text, unflowed
from hypothesis import given
from hypothesis import strategies as st
from papers_made import header, mail, texts

BULLETIN = "SERVICE BULLETIN 14/2003\nDate: 12 April 2003\nSubject: Clutch pack\n\nItem 5 is deleted.\n"


def test_the_header_stands_above_the_text() -> None:
    """Subject, date and sender are read like a note's own; the marks of forwards are taken off."""
    message = mail("Fwd: AW: Clutch pack of the K 40")
    message.set_content("Fit six discs.\n")
    read = read_mail(message.as_bytes())
    assert texts(read.pages) == [
        "Subject: Clutch pack of the K 40",
        "Date: 3 May 2004",
        "From: Service",
        "Fit six discs.",
    ]
    assert (read.subject, read.sender, read.date) == (
        "Clutch pack of the K 40",
        "Service",
        dt.date(2004, 5, 3),
    )


def test_a_number_in_the_subject_is_the_note_s() -> None:
    """A mailed bulletin often says its number only in the subject (common practice, no source)."""
    message = mail("Clutch pack - Service Letter 14/2004")
    message.set_content("Item 5 on page 31 now reads: Fit six discs.\n")
    assert header(read_mail(message.as_bytes()).pages).number == "14/2004"


def test_a_number_in_the_subject_of_a_cover_is_the_enclosure_s() -> None:
    """Words that only cover an enclosed bulletin do not bear its number a second time."""
    message = mail("Service Letter 14/2004")
    message.set_content("Please find it enclosed.\n")
    message.add_attachment(b"%PDF-1.4 x", maintype="application", subtype="pdf", filename="SL 14-2004.pdf")
    read = read_mail(message.as_bytes())
    assert header(read.pages).number is None
    assert [e.name for e in read.enclosures] == ["SL 14-2004.pdf"]


def test_a_bulletin_in_the_text_speaks_for_itself() -> None:
    """The bulletin's own date of issue is its date, not the day on which it was mailed."""
    message = mail("Please see below")
    message.set_content(BULLETIN)
    found = header(read_mail(message.as_bytes()).pages)
    assert (found.number, found.date, found.subject) == ("14/2003", dt.date(2003, 4, 12), "Clutch pack")


@pytest.mark.parametrize(
    "above",
    [
        "On Mon, 5 Apr 2004 at 09:00, Service <s@example.org> wrote:\n> ",
        "-----Original Message-----\nFrom: Service\nSent: 5 April 2004\nTo: shop\nSubject: Clutch\n\n",
        "From: Service\nSent: 5 April 2004\nTo: shop\nSubject: Clutch\n\n",
        "Begin forwarded message:\n\n> ",
        "> ",
    ],
)
def test_quoted_mails_are_papers_of_their_own(above: str) -> None:
    """What a reply quotes was said at another time: it is kept apart under its own date, and told."""
    message = mail()
    message.set_content(f"Fit six discs.\n\n{above}Fit four discs.\n")
    data = message.as_bytes()
    read = read_mail(data)
    assert texts(read.pages)[-1] == "Fit six discs."
    (quoted,) = read.enclosures
    assert quoted.name == "Papers, quoted.txt" and quoted.data.endswith(b"Fit four discs.")
    assert "quoted" in paper_findings(data, "a.eml")[0].message


def test_a_memo_s_own_lines_are_no_quoted_mail() -> None:
    """A text that begins with header lines, or says `From:` once, is the writer's own."""
    text = "From: stores\nTo: bench\nSubject: discs\n\nFit six.\nFrom: serial 100 on, fit seven.\n"
    assert parted_text(text) == (text, "")


def test_what_plain_words_cannot_show_is_read_from_the_page() -> None:
    """The plain half of a mail shows struck-out words as if in force, and tables as heaps of cells."""
    message = mail()
    message.set_content("Fit six or seven discs.")
    message.add_alternative("<p>Fit six <s>or seven</s> discs.</p>", subtype="html")
    read = read_mail(message.as_bytes())
    assert texts(read.pages)[-1] == "Fit six discs."
    assert any("struck-out" in s.message for s in read.said)


def test_struck_out_words_are_not_taken_from_the_plain_half(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where Beautiful Soup is missing, such a mail is refused rather than read wrong; others are read."""
    struck, plain = mail(), mail()
    for message, page in ((struck, "<p>Fit <s>six</s> five</p>"), (plain, "<ol><li>Fit five</ol>")):
        message.set_content("Fit six five discs, as agreed.")
        message.add_alternative(page, subtype="html")
    monkeypatch.setitem(sys.modules, "bs4", None)
    with pytest.raises(RefusedFile, match="not installed"):
        read_mail(struck.as_bytes())
    assert texts(read_mail(plain.as_bytes()).pages)[-1] == "Fit six five discs, as agreed."


def test_a_quotation_in_a_page_is_taken_out() -> None:
    """Mail programs mark what they quote in a page; it becomes a page of its own."""
    message = mail()
    quote = '<blockquote type="cite"><p>Fit four discs.</p></blockquote>'
    message.set_content(f"<p>Fit six discs.</p>{quote}", subtype="html")
    read = read_mail(message.as_bytes())
    assert texts(read.pages)[-1] == "Fit six discs."
    assert b"Fit four discs." in read.enclosures[0].data and read.enclosures[0].name.endswith(".html")


def test_enclosures_of_any_kind_have_safe_names() -> None:
    """Names lose folders and signs that steer; two of one name are told apart; enclosed mails come along."""
    message = mail()
    message.set_content("See enclosed.")
    for name in ("../../a:b.pdf", "a b.pdf", "C:\\x\\y.pdf", ""):
        message.add_attachment(b"%PDF-1.4", maintype="application", subtype="pdf", filename=name)
    inner = mail("Re / old news")
    inner.set_content("Old.")
    message.add_attachment(inner)
    read = read_mail(message.as_bytes())
    assert [e.name for e in read.enclosures] == [
        "a b.pdf",
        "a b (2).pdf",
        "y.pdf",
        "enclosure.pdf",
        "Re - old news.eml",
    ]
    assert texts(read_mail(read.enclosures[-1].data).pages)[-1] == "Old."


@given(st.text(max_size=200), st.sampled_from(["", ".pdf", ".eml"]))
def test_no_name_leaves_its_folder(name: str, ending: str) -> None:
    """Whatever a mail calls its enclosure, the name is one plain file name."""
    found = safe_name(name, ending)
    assert (
        found and not set(found) & set('/\\:*?"<>|\0\n\t') and not found.startswith(".") and len(found) < 140
    )


def test_names_are_told_apart() -> None:
    """Names that differ in capitals only are one name on many disks."""
    taken: set[str] = set()
    assert [unlike(n, taken) for n in ("a.pdf", "A.PDF", "a", "a")] == ["a.pdf", "A (2).PDF", "a", "a (2)"]


def test_logos_calendars_and_signatures_are_left_out() -> None:
    """Small pictures in the text are ornaments; a large one may be a scanned bulletin."""
    message = mail()
    message.set_content("See picture.")
    for size in (500, 40_000):
        picture = b"\x89PNG" + bytes(size)
        message.add_attachment(
            picture, maintype="image", subtype="png", disposition="inline", cid=f"<{size}>"
        )
    message.add_attachment("BEGIN:VCALENDAR", subtype="calendar")
    message.add_attachment(b"x", maintype="application", subtype="pgp-signature", filename="signature.asc")
    assert [len(e.data) for e in read_mail(message.as_bytes()).enclosures] == [40_004]


def test_a_mail_without_text_still_has_its_header() -> None:
    """A mail that only carries a file is read, so that its file is."""
    message = EmailMessage()
    message["Message-ID"], message["From"] = "<1@example.org>", "s@example.org"
    message.add_attachment(b"%PDF-1.4", maintype="application", subtype="pdf", filename="a.pdf")
    read = read_mail(message.as_bytes())
    assert texts(read.pages) == ["From: s@example.org"] and len(read.enclosures) == 1


def test_a_page_saved_as_one_file() -> None:
    """MHTML's date is the day of saving and no date of issue: its header is left aside."""
    message = EmailMessage()
    message["From"], message["Subject"] = "<Saved by a browser>", "Bulletin"
    message["Snapshot-Content-Location"], message["Date"] = (
        "https://example.org/",
        "Mon, 03 May 2004 10:00:00 +0200",
    )
    message.set_content("<html><body><p>Fit six discs.</p></body></html>", subtype="html")
    assert texts(read_mail(message.as_bytes()).pages) == ["Fit six discs."]


def test_flowed_lines_are_joined() -> None:
    """A blank at a line's end says that the line goes on (RFC 3676, section 4)."""
    assert (
        unflowed("Fit six \ndiscs.\nClose \nit.\n-- \nService", False)
        == "Fit six discs.\nClose it.\n-- \nService"
    )


def test_odd_headers_do_not_stop_a_mail() -> None:
    """A date that is none, an encoding nobody knows: the words are still read."""
    data = (
        b"From: =?x-none?Q?a?= <\r\nDate: yesterday\r\nMessage-ID: <<>\r\nSubject: =?utf-8?B?!?=\r\n"
        b"Content-Type: text/plain; charset=x-none\r\n\r\nFit six discs.\r\n"
    )
    read = read_mail(data)
    assert read.date is None and texts(read.pages)[-1] == "Fit six discs."


def nested(levels: int) -> bytes:
    parts = b"".join(
        b"Content-Type: multipart/mixed; boundary=b%d\r\n\r\n--b%d\r\n" % (i, i) for i in range(levels)
    )
    return b"From: a@example.org\r\nMIME-Version: 1.0\r\n" + parts + b"\r\nhello\r\n"


@pytest.mark.parametrize("levels", [12, 400, 3000])
def test_mails_nested_without_end_are_refused(levels: int) -> None:
    """More than ten levels are refused in plain words, not by a crash."""
    begun = time.perf_counter()
    with pytest.raises(RefusedFile, match="levels"):
        read_mail(nested(levels))
    assert time.perf_counter() - begun < 10


def test_mails_of_a_thousand_parts_are_refused() -> None:
    """A mail of more parts than people send is refused."""
    body = b"".join(b"--b\r\nContent-Type: text/plain\r\n\r\nx\r\n" for _ in range(1001))
    with pytest.raises(RefusedFile, match="1000 parts"):
        read_mail(
            b"Message-ID: <1@a>\r\nContent-Type: multipart/mixed; boundary=b\r\n\r\n" + body + b"--b--\r\n"
        )


@given(st.binary(max_size=600))
def test_any_bytes_after_a_header_are_read_or_refused(data: bytes) -> None:
    """Nothing that a mail holds makes its reader fail."""
    try:
        read_mail(b"Message-ID: <1@a>\r\nFrom: a@example.org\r\nMIME-Version: 1.0\r\n" + data)
    except RefusedFile as refused:
        assert refused.remedy


def test_hostile_lines_are_parted_at_once() -> None:
    """Twenty thousand signs of dividers and quotes are parted in a moment."""
    for text in (
        "-" * 20000,
        ">" * 20000,
        "On " * 7000,
        "From: a\n" * 2500,
        "on a wrote" * 2000,
        " " * 20000,
    ):
        begun = time.perf_counter()
        parted_text(text)
        assert time.perf_counter() - begun < 0.5

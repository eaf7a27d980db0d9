"""What kind of office paper a file is, told by its content, never by its name; and what is refused."""

import io
import re
import zipfile

from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.sheets.text import decode

_SEEN = 65_536  # bytes that are looked at
_HEADER = re.compile(r"([A-Za-z][A-Za-z0-9-]{1,60}):")
_POSTED = frozenset((
    "received", "message-id", "mime-version", "return-path", "delivered-to", "dkim-signature", "x-mailer",
    "content-transfer-encoding", "x-originating-ip", "authentication-results", "snapshot-content-location",
))  # fmt: skip
_WRITTEN = frozenset(("from", "to", "subject", "date", "sender", "cc", "content-type"))
_TAGS = re.compile(
    r"<(?:html|head|body|title|meta|table|tr|td|th|tbody|p|div|span|br|h[1-6]|ol|ul|li|b|i|strong|em|a|font)"
    r"(?:\s[^<>]{0,500})?/?>",
    re.I,
)
_ENOUGH = 3  # tags of a page without its outer ones
_OLE = bytes.fromhex("d0cf11e0a1b11ae1")
_TNEF = bytes.fromhex("789f3e22")


def is_mail(data: bytes) -> bool:
    """True for an e-mail or a web page saved as one file (MHTML): header lines that mail programs write.

    A typed memo with `From:` and `Subject:` is no e-mail.
    """
    head = data[:_SEEN].lstrip(b"\xef\xbb\xbf\r\n\t ")
    names: set[str] = set()
    for index, line in enumerate(head.decode("latin-1").splitlines()):
        if not line.strip():
            break
        if line[0] in " \t" or (index == 0 and line.startswith(("From ", ">From "))):
            continue
        if (name := _HEADER.match(line)) is None:
            return False
        names.add(name[1].lower())
    return bool(names & _POSTED) and bool(names & _WRITTEN)


def is_html(data: bytes) -> bool:
    """True for a web page: it begins with its outer tag, or with a tag and has several of HTML's tags."""
    if is_mail(data) or _is_zip(data):
        return False
    try:
        text = decode(data[:_SEEN])
    except RefusedFile:
        return False
    text = _opened(text)
    if text.startswith(("<!doctype html", "<html")):
        return True
    return text.startswith("<") and len(_TAGS.findall(text[:8192])) >= _ENOUGH


def _opened(text: str) -> str:
    """A text in small letters from its first tag on: comments and an XML declaration before it are passed."""
    text = text.lower().lstrip("\ufeff \t\r\n")
    for start, end in (("<?xml", "?>"), *(("<!--", "-->"),) * 10):
        if text.startswith(start):
            text = text[text.find(end) + len(end) :].lstrip() if end in text else ""
    return " ".join(text[:40].split()) + text[40:]


def is_word(data: bytes) -> bool:
    """True for a Word file (.docx and its kin): a zip that holds word/document.xml."""
    return "word/document.xml" in _members(data)


def is_workbook(data: bytes) -> bool:
    """True for a workbook (.xlsx and its kin): a zip that holds xl/workbook.xml."""
    return "xl/workbook.xml" in _members(data)


def refusal(data: bytes) -> RefusedFile | None:
    """The refusal of a kind of office paper that is not read, with the remedy; None for every other file."""
    if data.startswith(_OLE):
        return _of_compound(data)
    if data.startswith(_TNEF):
        return RefusedFile(
            "this is an Outlook attachment bundle (winmail.dat)",
            "Open the mail in Outlook and save it as .eml, or save its attachments one by one.",
        )
    if data[:5] == b"{\\rtf":
        return RefusedFile("this is an RTF file", "Open it in a word processor and save it as .docx or PDF.")
    return _of_zip(data) if _is_zip(data) else None


def _of_compound(data: bytes) -> RefusedFile:
    """Old binary files keep their parts' names in UTF-16, which tell them apart."""

    def holds(part: str) -> bool:
        return part.encode("utf-16-le") in data

    if holds("__substg1.0_") or holds("__properties_version1.0"):
        return RefusedFile("this is an Outlook .msg file", "Open it in Outlook and save it as .eml.")
    if holds("EncryptedPackage"):
        return RefusedFile(
            "this file is locked with a password", "Open it, save it without one, and add that."
        )
    if holds("WordDocument"):
        return RefusedFile("this is an old Word .doc file", "Save it as .docx or PDF and add that.")
    if holds("PowerPoint Document"):
        return RefusedFile("this is an old PowerPoint .ppt file", "Save it as PDF and add that.")
    if holds("Workbook") or holds("Book"):
        return RefusedFile("this is an old Excel .xls file", "Save it as .xlsx or PDF and add that.")
    return RefusedFile("this is an old binary office file", "Save it as .docx, .xlsx or PDF and add that.")


def _of_zip(data: bytes) -> RefusedFile | None:
    names = _members(data)
    if not names:
        return RefusedFile("this zip file is damaged", "Fetch it again, or save the paper as PDF.")
    if "mimetype" in names and "content.xml" in names:
        return RefusedFile(
            "this is an OpenDocument file (.odt, .ods)", "Save it as .docx, .xlsx or PDF and add that."
        )
    if "ppt/presentation.xml" in names:
        return RefusedFile("this is a PowerPoint file", "Save it as PDF and add that.")
    if "xl/workbook.bin" in names:
        return RefusedFile("this is a binary workbook (.xlsb)", "Save it as .xlsx and add that.")
    if names & {"word/document.xml", "xl/workbook.xml"}:
        return None
    return RefusedFile("this is a zip file", "Unpack it and add the files in it.")


def _is_zip(data: bytes) -> bool:
    return data[:4] in (b"PK\x03\x04", b"PK\x05\x06")


def _members(data: bytes) -> frozenset[str]:
    if not _is_zip(data):
        return frozenset()
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            return frozenset(packed.namelist())
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError):
        return frozenset()

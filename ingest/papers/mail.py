"""E-mails to sheets and enclosures, by the standard library.

The header's subject, date and sender stand as lines above the text, so that they are read like a note's. What
the mail quotes of earlier mails is no word of its writer's: it becomes an enclosure, a paper of its own with
the date it bears.
"""

import datetime as dt
import email
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from email import policy
from email.utils import parsedate_to_datetime
from typing import TYPE_CHECKING, Any

from benchleaf.graph.errors import RefusedFile
from benchleaf.ingest.papers.blocks import Reading, Said
from benchleaf.ingest.papers.enclosures import (
    Enclosure,
    enclosure,
    is_enclosed,
    is_ornament,
    parts_of,
    payload,
    safe_name,
    unlike,
)
from benchleaf.ingest.papers.mailhead import headed
from benchleaf.ingest.papers.mailtext import parted_page, parted_text, unflowed
from benchleaf.ingest.shapes import Page
from benchleaf.ingest.sheets.text import decode, read_text

if TYPE_CHECKING:
    from bs4 import BeautifulSoup

__all__ = ["Enclosure", "Mail", "mail_reading", "read_mail"]

_REPLY = re.compile(
    r"(?:\s{0,3}(?:re|fw|fwd|aw|wg|antw|sv|vs|tr|rv|rif|i|r)\s{0,2}(?:\[[0-9]{1,2}\])?\s?:){1,8}\s{0,3}", re.I
)
_RICHER = ("table", "ol", "s", "strike", "del")  # what plain words cannot show
_EMPTY = 20  # letters below which plain words only say that there are others


@dataclass(frozen=True, slots=True)
class Mail:
    """An e-mail: its own words as sheets, what it encloses, and its header's subject, sender and date."""

    pages: tuple[Page, ...]
    enclosures: tuple[Enclosure, ...]
    subject: str | None
    sender: str | None
    date: dt.date | None
    said: tuple[Said, ...] = ()


def read_mail(data: bytes) -> Mail:
    """An e-mail, or a web page saved as one file (MHTML).

    Raises RefusedFile for one of more levels or parts than people send, and if its text is a web page alone
    and Beautiful Soup is missing.
    """
    try:
        mail = email.message_from_bytes(_unboxed(data), policy=policy.default)
        parts = list(parts_of(mail))
    except RecursionError as deep:
        raise RefusedFile("the mail has too many levels", "Save its attachments and add those.") from deep
    bodies, enclosed = _sorted(parts)
    subject, sender, date = _subject(mail), _sender(mail), _date(mail)
    body, earlier = _body(bodies)
    saved = mail.get("snapshot-content-location") is not None or "<saved by" in (sender or "").lower()
    taken: set[str] = set()
    files = [enclosure(part, taken) for part in enclosed]
    if not saved:
        body = headed(body, subject, sender, date, alone=not files)
    if earlier is not None:
        kind = earlier.name.rpartition(".")[2]
        name = safe_name(f"{subject or 'mail'}, quoted.{kind}", "")
        files.append(replace(earlier, name=unlike(name, taken)))
    said = (*body.said, *_said(earlier is not None, files))
    return Mail(body.pages, tuple(f for f in files if f.data.strip()), subject, sender, date, said)


def mail_reading(data: bytes) -> Reading:
    """The sheets of a mail, and what is to be said of their reading. Raises what read_mail raises."""
    found = read_mail(data)
    return Reading(found.pages, found.said)


def _unboxed(data: bytes) -> bytes:
    """A mail without the line that a mailbox file puts before it."""
    plain = data.lstrip(b"\xef\xbb\xbf\r\n\t ")
    return plain.partition(b"\n")[2] if plain.startswith((b"From ", b">From ")) else plain


def _sorted(parts: Sequence[tuple[Any, Any]]) -> tuple[list[Any], list[Any]]:
    """The parts that are the mail's text, and those that are files."""
    bodies = [part for part, _ in parts if not is_enclosed(part)]
    return bodies, [part for part, _ in parts if is_enclosed(part) and not is_ornament(part)]


def _body(bodies: Sequence[Any]) -> tuple[Reading, Enclosure | None]:
    """The mail's own words, and the earlier mails quoted in it: its web page where that shows more."""
    pages = [p for p in bodies if p.get_content_type() == "text/html"]
    plain = "\n\n".join(_words(p) for p in bodies if p.get_content_type() != "text/html")
    if pages and (len(plain.strip()) < _EMPTY or _is_richer(pages, plain)):
        return _from_page(pages)
    own, earlier = parted_text(plain)
    read = Reading(read_text(own.encode())) if own.strip() else Reading(())
    return read, Enclosure("quoted mail.txt", earlier.encode()) if earlier.strip() else None


def _is_richer(pages: Sequence[Any], plain: str) -> bool:
    """True if a mail's web page shows what its plain words cannot. Without Beautiful Soup they must do."""
    source = " ".join(_words(p) for p in pages).lower()
    told = any(re.search(rf"<{tag}[\s>]", source) for tag in _RICHER) or "line-through" in source
    if not told:
        return False
    try:
        _parsed(pages)
    except RefusedFile:
        if "<s>" in source or "<del" in source or "<strike" in source or "line-through" in source:
            raise  # plain words would show what is struck out as if it were in force
        return False
    return True


def _parsed(pages: Sequence[Any]) -> "BeautifulSoup":
    from benchleaf.ingest.papers.web import parse

    return parse("\n".join(_words(p) for p in pages))


def _from_page(pages: Sequence[Any]) -> tuple[Reading, Enclosure | None]:
    from benchleaf.ingest.papers.web import soup_reading

    soup = _parsed(pages)
    earlier = parted_page(soup)
    read = soup_reading(soup)
    shown = Reading(read.pages if any(p.words for p in read.pages) else (), read.said)
    return shown, Enclosure("quoted mail.html", earlier.encode()) if earlier else None


def _words(part: Any) -> str:
    """The text of a part: in the encoding that it names, else in any that fits."""
    data = payload(part)
    try:
        text = data.decode(str(part.get_content_charset() or "utf-8"))
    except (LookupError, UnicodeDecodeError):
        try:
            text = decode(data)
        except RefusedFile:
            text = data.decode("latin-1")
    text = _whole(text).replace("\r\n", "\n").replace("\r", "\n")
    flowed = str(part.get_param("format") or "").lower() == "flowed"
    return unflowed(text, str(part.get_param("delsp") or "").lower() == "yes") if flowed else text


def _said(quotes: bool, files: Sequence[Enclosure]) -> list[Said]:
    said = []
    if quotes:
        said.append(Said("an earlier mail is quoted in this one: it is kept apart, as a paper of its own"))
    for file in files:
        if not file.data.strip():
            said.append(Said(f"the enclosure {file.name} is empty"))
    return said


def _header(mail: Any, name: str) -> str | None:
    try:
        found = mail.get(name)
        text = " ".join(str(found).split()) if found is not None else ""
    except Exception:  # the standard library stumbles on some malformed headers
        raw = next((v for k, v in mail.raw_items() if k.lower() == name), "")
        text = " ".join(str(raw).split())
    return _whole(text) or None


def _whole(text: str) -> str:
    """The text without halves of letters, which bare bytes in a header and odd encodings leave."""
    try:
        bare = text.encode("utf-8", "surrogateescape")
    except UnicodeEncodeError:
        return text.encode("utf-8", "replace").decode()
    try:
        return bare.decode("utf-8")
    except UnicodeDecodeError:
        return bare.decode("cp1252", "replace")


def _subject(mail: Any) -> str | None:
    """The subject without marks of replies and forwards."""
    text = _header(mail, "subject")
    return (_REPLY.sub("", text, count=1) if _REPLY.match(text) else text).strip() or None if text else None


def _sender(mail: Any) -> str | None:
    """The sender's name, else his address."""
    text = _header(mail, "from")
    if text is None:
        return None
    name = text.partition("<")[0].strip(" \"'") if "<" in text else text
    return name or text


def _date(mail: Any) -> dt.date | None:
    """The day on which it was sent, as its sender's clock showed."""
    text = _header(mail, "date")
    try:
        return parsedate_to_datetime(text).date() if text else None
    except (ValueError, TypeError, IndexError, OverflowError):
        return None

"""What an e-mail encloses: files with safe names, without logos, calendars and signatures."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from email.message import EmailMessage, Message
from typing import Any

from benchleaf.graph.errors import RefusedFile

MOST_LEVELS, MOST_PARTS = 10, 1000
_TINY = 12_000  # bytes of a picture in the text that is a logo and no scan
_ASIDE = frozenset((
    "text/calendar", "text/x-vcard", "text/vcard", "text/directory", "text/x-amp-html", "application/ics",
    "application/pkcs7-signature", "application/x-pkcs7-signature", "application/pgp-signature",
    "application/pgp-keys", "message/delivery-status", "text/rfc822-headers",
    "message/disposition-notification", "text/css", "text/javascript", "application/javascript",
))  # fmt: skip
_ENDINGS = {
    "application/pdf": ".pdf", "text/plain": ".txt", "text/html": ".html", "text/csv": ".csv",
    "image/jpeg": ".jpg", "image/png": ".png", "image/tiff": ".tif", "message/rfc822": ".eml",
}  # fmt: skip
# Controls, what no Windows name may hold, marks that turn or hide what is shown, halves of letters.
_UNSAFE = re.compile(
    '[\x00-\x1f\x7f-\x9f<>:"|?*\xad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff0-\uffff\ud800-\udfff]'
)
# "Naming Files, Paths, and Namespaces" of Microsoft's Win32 documentation names these, with any ending.
_DEVICE = re.compile(r"(?:con|prn|aux|nul|conin\$|conout\$|(?:com|lpt)[0-9¹²³])\s{0,9}", re.IGNORECASE)
_LONGEST, _LONGEST_BYTES = 120, 200


@dataclass(frozen=True, slots=True)
class Enclosure:
    """A file in a mail: a safe name, unlike every other of the mail, and its bytes."""

    name: str
    data: bytes


def parts_of(mail: Message) -> Iterator[tuple[Any, Any]]:
    """The single parts of a mail, each with the part that holds it; enclosed mails are single parts.

    Raises RefusedFile for a mail of more levels or parts than people send.
    """
    waiting: list[tuple[Any, Any, int]] = [(mail, None, 0)]
    count = 0
    while waiting:
        part, holder, depth = waiting.pop()
        count += 1
        if depth > MOST_LEVELS or count > MOST_PARTS:
            raise RefusedFile(
                f"the mail has more than {MOST_LEVELS} levels or {MOST_PARTS} parts",
                "Save its attachments and add those.",
            )
        content = part.get_content_maintype()
        if content == "multipart" and part.is_multipart():
            waiting.extend((inner, part, depth + 1) for inner in reversed(part.get_payload()))
        else:
            yield part, holder


def is_enclosed(part: Any) -> bool:
    """True for a part that is a file of its own and no text of the mail."""
    if part.get_content_type() in ("text/plain", "text/html"):
        return _disposition(part) == "attachment" or bool(_named(part))
    return True


def is_ornament(part: Any) -> bool:
    """True for what is left out: calendars, signatures, cards, and small pictures set in the text."""
    if part.get_content_type() in _ASIDE or part.get_content_maintype() == "font":
        return True
    if part.get_content_maintype() != "image":
        return False
    inline = _disposition(part) != "attachment" or part.get("content-id") is not None
    return inline and len(payload(part)) < _TINY


def payload(part: Any) -> bytes:
    """The bytes of a part, as they were before they were coded for the way."""
    if part.get_content_type() == "message/rfc822":
        inner = part.get_payload()
        one = inner[0] if isinstance(inner, list) and inner else None
        return _bytes(one) if one is not None else b""
    found = part.get_payload(decode=True)
    return found if isinstance(found, bytes) else b""


def _bytes(mail: Any) -> bytes:
    try:
        return bytes(mail)
    except Exception:  # the standard library stumbles on odd headers while it writes them anew
        return str(mail.get_payload()).encode("utf-8", "replace")


def _disposition(part: Any) -> str:
    try:
        return str(part.get_content_disposition() or "")
    except Exception:  # a malformed header; the part is then told by its type
        return ""


def _named(part: Any) -> str:
    try:
        return str(part.get_filename() or "")
    except Exception:  # a malformed header; the part then gets a name of its own
        return ""


def enclosure(part: Any, taken: set[str]) -> Enclosure:
    """A part as a file; its name is added to those taken."""
    kind = part.get_content_type()
    inner = part.get_payload()
    subject = ""
    if kind == "message/rfc822" and isinstance(inner, list) and inner and isinstance(inner[0], EmailMessage):
        subject = str(inner[0].get("subject") or "enclosed mail")
    name = safe_name(_named(part) or subject, _ENDINGS.get(kind, ""))
    return Enclosure(unlike(name, taken), payload(part))


def safe_name(name: str, ending: str) -> str:
    """A name without folders, control signs or leading full stops, which any system can keep: not too long,
    and none that Windows has taken for a device.

    >>> safe_name("../../etc/passwd", ""), safe_name("", ".pdf"), safe_name("CON.txt", "")
    ('passwd', 'enclosure.pdf', '_CON.txt')
    """
    last = re.split(r"[\\/]", name)[-1] if re.search(r"[\\/]", name) and ending != ".eml" else name
    plain = " ".join(_UNSAFE.sub(" ", re.sub(r"[\\/]", "-", last)).split()).strip(". ")
    plain = plain or "enclosure"
    stem, dot, kind = plain.rpartition(".")
    if not dot or len(kind) > 6 or " " in kind:
        stem, kind = plain, ending.lstrip(".")
    stem = _cut(stem)
    return f"{stem}.{kind}" if kind else stem


def _cut(stem: str) -> str:
    """A name's stem of at most so many letters and bytes, no device's."""
    short = stem[:_LONGEST].encode("utf-8")[:_LONGEST_BYTES].decode("utf-8", "ignore").strip(". ")
    return f"_{short}" if is_device(short) else short or "enclosure"


def is_device(name: str) -> bool:
    """Whether Windows takes a file of this name for a device: `CON`, `nul.txt`."""
    return _DEVICE.fullmatch(name.partition(".")[0]) is not None


def unlike(name: str, taken: set[str]) -> str:
    """The name, with a number if another file of the mail has it already."""
    stem, dot, kind = name.rpartition(".")
    stem, tail = (stem, f".{kind}") if dot else (name, "")
    found, count = name, 1
    while found.lower() in taken:
        count += 1
        found = f"{stem} ({count}){tail}"
    taken.add(found.lower())
    return found

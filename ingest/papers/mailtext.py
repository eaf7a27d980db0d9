"""The words of an e-mail as its writer typed them, and the earlier mails that mail programs quote below."""

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from bs4 import BeautifulSoup

# How mail programs head what they quote or forward (from memory, common practice).
_DIVIDER = re.compile(
    r"\s{0,4}(?:[-_*]{2,40}\s{0,3}(?:original(?: message| mail)?|forwarded (?:message|by.{0,80})|"
    r"urspr[üu]ngliche nachricht|weitergeleitete nachricht|message (?:d'origine|transf[ée]r[ée])|"
    r"messaggio (?:originale|inoltrato)|mensaje (?:original|reenviado))\s{0,3}[-_*]{0,40}|"
    r"begin forwarded message:?)\s{0,4}",
    re.I,
)
_WROTE = re.compile(
    r"\s{0,4}(?:on|am|le|il|el)\s.{4,160}\s(?:wrote|schrieb|a écrit|ha scritto|escribió)\s?.{0,80}:\s{0,4}",
    re.I,
)
_FIELD = re.compile(
    r"\s{0,4}\*?(from|von|de|da|sent|gesendet|envoyé|inviato|enviado(?: el)?|date|datum|data|fecha|to|an|à|a|"
    r"para|cc|subject|betreff|objet|oggetto|asunto)\s?:\*?\s{1,4}\S",
    re.I,
)
_SENDER = frozenset(("from", "von", "de", "da"))
_QUOTED = re.compile(r"\s{0,3}(?:>\s?)+")
_CITED = "blockquote[type=cite], .gmail_quote, .yahoo_quoted, .moz-forward-container, .protonmail_quote"
_BELOW = "#appendonsend, #divRplyFwdMsg, #x_divRplyFwdMsg, #mail-editor-reference-message-container"


class Parted(NamedTuple):
    """What a mail's writer wrote, and what of earlier mails he left in it; "" if nothing."""

    own: str
    earlier: str


def parted_text(text: str) -> Parted:
    """Plain words parted from the earlier mails in them: lines with `>`, and all below a divider."""
    lines = text.split("\n")
    cut = next((i for i in range(len(lines)) if _begins_earlier(lines, i)), len(lines))
    own = [line for line in lines[:cut] if not _QUOTED.match(line)]
    earlier = [_QUOTED.sub("", line, count=1) for line in lines[:cut] if _QUOTED.match(line)]
    below = lines[cut:]
    if below and (_DIVIDER.fullmatch(below[0]) or _WROTE.fullmatch(below[0])):
        below = below[1:]
    earlier += [_QUOTED.sub("", line, count=1) for line in below]
    return Parted("\n".join(own), "\n".join(earlier).strip("\n"))


def _begins_earlier(lines: Sequence[str], at: int) -> bool:
    """True for a divider, `On … wrote:` above a quotation, and the header lines of an earlier mail."""
    line = lines[at][:400]
    if _DIVIDER.fullmatch(line):
        return True
    after = next((later for later in lines[at + 1 :] if later.strip()), "")
    if _WROTE.fullmatch(line):
        return _QUOTED.match(after) is not None
    return at > 0 and _is_head(lines[at : at + 5])


def _is_head(lines: Sequence[str]) -> bool:
    """True for a sender's line with two more of a mail's header lines right below it."""
    named = [found[1].lower() if (found := _FIELD.match(line[:200])) else "" for line in lines]
    return named[0] in _SENDER and sum(map(bool, named[:4])) > 2


def parted_page(soup: "BeautifulSoup") -> str:
    """Takes the earlier mails out of a mail's web page, which is changed; gives their page, or ""."""
    from bs4 import Tag

    taken: list[Tag] = []
    for mark in soup.select(_BELOW)[:1]:
        taken.extend([mark, *(s for s in mark.next_siblings if isinstance(s, Tag))])
    for quote in soup.select(_CITED):
        if not any(quote is t or t in quote.parents for t in taken):
            taken.append(quote)
    parts = [str(tag) for tag in taken]
    for tag in taken:
        tag.extract()
    return f"<html><body>{''.join(parts)}</body></html>" if parts else ""


def unflowed(text: str, delsp: bool) -> str:
    """Lines that only the mail program broke are joined again (RFC 3676, format=flowed)."""
    found: list[str] = []
    open_line = False
    for line in text.split("\n"):
        line = line[1:] if line.startswith(" ") else line
        quoted = line.startswith(">")
        if open_line and not quoted:
            found[-1] += line
        else:
            found.append(line)
        open_line = line.endswith(" ") and not quoted and line != "-- "
        if open_line and delsp:
            found[-1] = found[-1][:-1]
    return "\n".join(found)

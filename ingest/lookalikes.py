"""Numbers that are not what they look like: a Cyrillic letter for a Latin one, digits of another script,
marks that turn the order in which signs are shown.

Reading knows plain letters and digits only, so a number with such a sign would be read without it, and pass
for another that is held. What bears one is a doubt that names the sign. The look-alikes are those of Unicode
Technical Standard 39 ("Unicode Security Mechanisms", confusables) for capitals and digits, from memory.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import islice
from typing import TypeVar

from benchleaf.graph.model import Contents, Finding, Override, SheetText, Source, Statement

Said = TypeVar("Said", bound=Statement)

_CYRILLIC = dict(
    zip("АВСЕНІЈКМОРЅТХУЗӀԌѴԜасеорхуіјѕһԁԛԝѵз", "ABCEHIJKMOPSTXY3IGVWaceopxyijshdqwv3", strict=True)
)
_GREEK = dict(zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧοντ", "ABEZHIKMNOPTYXovt", strict=True))
_LATIN = dict(zip("ØøıȷſӨ", "00ijf0", strict=True))
LIKE = {**_CYRILLIC, **_GREEK, **_LATIN}
"""Signs that look like a plain letter or digit, and which."""
_SCRIPTS = ("CYRILLIC", "GREEK", "COPTIC", "ARMENIAN", "CHEROKEE", "LISU")
_MEASURES = frozenset("µμΩΩΦφΔθαβγπσ°")  # signs of units, diameters, angles beside a figure
_TURNING = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
_ODD = re.compile("[^\x00-\x7f]")
_TOKEN = re.compile(r"[^\s,;:()\[\]{}<>|\"'“”„«»‘’=+*]{1,60}")  # noqa: RUF001 - the quotation marks are meant
_FEW = 4
"""Digits from which a word with a strange Latin letter is taken for a number: "2ème" is none."""
_MOST = 20


def strange_numbers(text: str) -> tuple[str, ...]:
    """Why numbers in a text may not be what they look like, in plain words, each once.

    >>> strange_numbers("Kit 4410-207 and 20 µm")
    ()
    >>> strange_numbers("Kit \u04104410-207")
    ('“\u04104410-207” bears “\u0410” (Cyrillic capital letter a), which looks like “A” and is not',)
    """
    if text.isascii():
        return ()
    found = dict.fromkeys(_told(text))
    return tuple(found)


def _told(text: str) -> Iterator[str]:
    if turning := _TURNING.search(text):
        yield f"the words hold a sign that turns their order ({_name(turning[0])}): look at the paper itself"
    tokens = _TOKEN.findall(text) if _ODD.search(text) else []
    for at, token in enumerate(tokens):
        after = tokens[at + 1] if at + 1 < len(tokens) else ""
        if strange := _strange(token, after):
            shown = token if any(c.isdigit() for c in token) else f"{token} {after}"
            yield f"“{_TURNING.sub('', shown)}” bears {_signs(strange)}"


def _strange(token: str, after: str) -> list[str]:
    """The signs of a number that are none of a number's; of a prefix of letters before one, too."""
    if token.isascii():
        return []
    digits = sum(c.isdigit() and unicodedata.category(c) == "Nd" for c in token)
    if not digits:
        prefix = (
            token != "Ø"
            and len(token) <= 4
            and all(_like(c) or c.isascii() for c in token)
            and token.isupper()
        )
        return [c for c in token if _like(c)] if prefix and after[:1].isdigit() else []
    return list(dict.fromkeys(c for c in token if _is_strange(c, digits)))


def _like(sign: str) -> bool:
    return sign in LIKE or "\uff21" <= sign <= "\uff3a"


def _is_strange(sign: str, digits: int) -> bool:
    if sign.isascii() or sign in _MEASURES:
        return False
    category = unicodedata.category(sign)
    if category in ("Nd", "Mn", "Me", "Cf"):
        return not _TURNING.match(sign)
    name = unicodedata.name(sign, "")
    if category.startswith("L"):
        return name.startswith((*_SCRIPTS, "FULLWIDTH")) or (name.startswith("LATIN") and digits >= _FEW)
    return False


def _signs(strange: Iterable[str]) -> str:
    return ", ".join(map(_sign, islice(strange, 3)))


def _sign(sign: str) -> str:
    figure = unicodedata.digit(sign, None)
    like = LIKE.get(sign) or (unicodedata.normalize("NFKC", sign) if figure is None else str(figure))
    shown = "" if unicodedata.category(sign) in ("Mn", "Me", "Cf") else f"“{sign}” "
    if like != sign and like.isascii():
        return f"{shown}({_name(sign)}), which looks like “{like}” and is not"
    return f"{shown}({_name(sign)}), which no number read here has"


def _name(sign: str) -> str:
    return unicodedata.name(sign, f"U+{ord(sign):04X}").capitalize()


def doubted(statement: Said) -> Said:
    """The statement, doubtful where a number in its words or fields is not what it looks like."""
    words = [statement.quote]
    if isinstance(statement, Override):
        words += [w for w in (statement.text, statement.was, statement.now) if w]
    if isinstance(statement, Contents):
        words += [f"{line.part or ''} {line.description}" for line in (*statement.lines, *statement.previous)]
    if all(w.isascii() for w in words):
        return statement
    why = tuple(dict.fromkeys(reason for w in words for reason in strange_numbers(w)))
    if not why or statement.standing == "refused":
        return statement
    return replace(statement, standing="doubtful", settled_by=None, why=(*statement.why, *why))


def strange_findings(sheets: Iterable[SheetText], name: str) -> tuple[Finding, ...]:
    """A finding for each number on the sheets that is not what it looks like, the first twenty."""
    found: list[Finding] = []
    for sheet in sheets:
        for line in sheet.text.splitlines() if not sheet.text.isascii() else ():
            source = Source(name, sheet.sheet, sheet.page, by_ocr=sheet.by_ocr)
            found += [Finding(why, source, line[:300]) for why in strange_numbers(line)]
    return tuple(found[:_MOST])

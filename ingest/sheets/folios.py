"""Printed page numbers: the numbers at head or foot whose value rises with the sheets."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from benchleaf.ingest.sheets.lines import Row, text_of

_CHANGE = r"(?:[ ,;/–-]{1,3}(?:change|chg|rev|revision|ch)\.? ?[0-9A-Z]{1,3})?"
_VALUE = r"(?P<value>[0-9]{1,4})(?P<insert>[A-Z]|\.[0-9]{1,2})?"
_CHAPTER = r"(?:[0-9]{1,3}[A-Z]?|[A-Z]{1,2}[0-9]{0,3}|[IVX]{3,5})"
_FORMS = (
    (
        re.compile(
            rf"(?P<folio>(?P<front>{_CHAPTER}(?:[-–.][0-9]{{1,3}})?)(?:[-–]| [-–] ){_VALUE}){_CHANGE}",
            re.IGNORECASE,
        ),
        1.0,
    ),
    (
        re.compile(
            rf"(?P<folio>(?P<front>{_CHAPTER})(?:[./]| / )(?P<value>[0-9]{{1,3}})(?P<insert>[A-Z])?)"
            rf"{_CHANGE}"
        ),
        0.6,
    ),
    (
        re.compile(
            r"(?P<folio>(?P<front>[A-Z]{1,2}|[IVX]{1,5}(?= )) ?(?P<value>[0-9]{1,4})(?P<insert>[A-Z]?))"
            rf"{_CHANGE}"
        ),
        0.8,
    ),
    (
        re.compile(
            rf"(?P<folio>(?P<front>)(?P<value>[0-9]{{1,4}})(?P<insert>[A-Za-z])?){_CHANGE}", re.IGNORECASE
        ),
        0.9,
    ),
    (re.compile(r"(?P<folio>(?P<front>)(?P<value>[ivxl]{1,7})(?P<insert>))", re.IGNORECASE), 0.5),
)
_DASHES = "-\u2010\u2011\u2012\u2013\u2014\u2015\u2212"
_OUTER = f"[{_DASHES}|*·•~ ]{{0,5}}"
_STROKES = re.compile(r"[\u4e00\u30fc\u2500\u2010-\u2015\u2212\u00ad]")  # what OCR makes of a dash
_TRIM = "_~=.,'\u2018\u2019`:;·•*|-"
_WRAPPED = re.compile(
    rf"{_OUTER}(?P<open>[\[(])?(?:(?:(?:page|seite|blatt|sheet|pag|pg|p)\.?|(?:s|bl|sh|str|sid)\.) {{0,2}}"
    r"(?:no\.? ?)?)?"
    rf"(?P<core>.{{1,26}}?)(?(open)[\])]){_OUTER}",
    re.IGNORECASE,
)
_SLASHED = re.compile(r"[0-9]{1,3} ?/ ?[0-9]{1,3}")
_OF = re.compile(
    r"(?:(?:page|sheet|seite|blatt|pg|p)\.? {0,2})?"
    r"(?P<value>[0-9]{1,4}) ?(?:of|von|/|de) ?(?P<all>[0-9]{1,4})",
    re.IGNORECASE,
)
_DATE = re.compile(
    r"[0-9]{1,2}[./-][0-9]{1,2}[./-](?:19|20)[0-9]{2}|[0-9]{1,2}[./][0-9]{1,2}[./][0-9]{2}"
    r"|(?:19|20)[0-9]{2}-[0-9]{2}-[0-9]{2}"
)


_MISREAD = re.compile(r"(?<![A-Za-z])[0-9lI|OoSBZgq]{1,4}(?![A-Za-z])")
_LOOKALIKES = str.maketrans("lI|OoSBZgq", "1110058299")
_GUESSED = 0.7  # share of its worth that a number read with a letter for a figure keeps


class Folio(NamedTuple):
    """A reading of a head or foot piece as a page number: as printed, its front part and value, its slot."""

    printed: str
    front: str
    value: int
    worth: float  # 0..1, how much the form looks like a page number
    row: Row
    level: float  # height of the piece's top on the sheet, in points
    at_foot: bool
    middle: float  # middle of the piece across the sheet, 0..1
    insert: str = ""  # the letter of a page put in later: A in 4-12A


def read_folio(text: str) -> tuple[str, str, int, float] | None:
    """The page number, its front part (chapter), its value and its worth, or None.

    >>> read_folio("- 31 -")
    ('31', '', 31, 0.9)
    >>> read_folio("4-200 Change 1")
    ('4-200', '4', 200, 1.0)
    """
    found = _read(text)
    return found[0][:4] if found else None


def _read(text: str) -> list[tuple[str, str, int, float, str]]:
    """Page number, its front part, value, worth and the letter of an inserted page, the likeliest first.

    `3/12` is the third sheet of twelve, or the twelfth page of chapter 3: the other sheets tell.
    """
    if len(text) > 30 or _DATE.fullmatch(text):
        return []
    counted = _OF.fullmatch(text)
    if counted is None:
        return [found] if (found := _chaptered(text)) is not None else []
    value, last = int(counted["value"]), int(counted["all"])
    sheet = [(counted["value"], "", value, 0.2, "")] if 0 < value <= last else []
    page = _chaptered(text) if _SLASHED.fullmatch(text) else None
    return [*sheet, page] if page is not None else sheet


def _chaptered(text: str) -> tuple[str, str, int, float, str] | None:
    """The same of a page number with its chapter, or alone."""
    wrapped = _WRAPPED.fullmatch(text)
    core = wrapped["core"].strip() if wrapped is not None else text
    for form, worth in _FORMS:
        found = form.fullmatch(core)
        if found is None:
            continue
        number = int(found["value"]) if found["value"].isdigit() else _roman(found["value"])
        if number is not None:
            return found["folio"], found["front"].upper(), number, worth, (found["insert"] or "").upper()
    return None


def _roman(text: str) -> int | None:
    """The value of a small roman numeral, None if it is none."""
    worth = {"i": 1, "v": 5, "x": 10, "l": 50}
    if not text.isascii():  # matching without case takes the dotless i for an i
        return None
    total = last = 0
    for letter in reversed(text.lower()):
        one = worth[letter]
        total += one if one >= last else -one
        last = max(last, one)
    return total if _as_roman(total) == text.lower() else None


def _as_roman(value: int) -> str:
    text = ""
    for sign, worth in (("l", 50), ("xl", 40), ("x", 10), ("ix", 9), ("v", 5), ("iv", 4), ("i", 1)):
        while value >= worth:
            text, value = text + sign, value - worth
    return text


def candidate(row: Row, at_foot: bool, width: float, by_ocr: bool = False) -> Folio | None:
    """A piece of a head or foot as a page number, if it can be one. By OCR letters may be misread figures."""
    found = readings(row, at_foot, width, by_ocr)
    return found[0] if found else None


def readings(row: Row, at_foot: bool, width: float, by_ocr: bool) -> list[Folio]:
    """What a piece of a head or foot can be as a page number; by OCR also with its letters as figures."""
    text = text_of(row)
    found = _read(text)
    if by_ocr:
        plain = _STROKES.sub("-", text).strip(_TRIM + " ")
        found += [*_read(plain), *_read(as_figures(plain))]
    middle = (row[0].box.x0 + row[-1].box.x1) / 2 / (width or 1.0)
    made: dict[str, Folio] = {}
    for one in found:
        if one[0] not in made:
            printed, front, value, worth, insert = one
            share = _GUESSED if made and by_ocr else 1.0
            made[printed] = Folio(
                printed, front, value, worth * share, row, row[0].box.top, at_foot, middle, insert
            )
    return list(made.values())


def as_figures(text: str) -> str:
    """The text with look-alike letters made figures where no word holds them: `4-I2`, `Page l of 12`."""
    return _MISREAD.sub(lambda m: m[0].translate(_LOOKALIKES), text)


def bare_sign(text: str) -> str:
    """What OCR read at a page number's place, without dashes and dots, letters that look like figures as
    figures."""
    return as_figures(_STROKES.sub("-", text).strip(_TRIM + " "))


def best_run(sheets: Sequence[Sequence[Folio]]) -> list[Folio | None]:
    """For each sheet the candidate of the run with the best arithmetic, or None.

    Values rise by one with each sheet; a change of the front part may start anew; sheets without a number
    are allowed (covers, plates) but count as sheets.
    """
    scores: list[list[float]] = []
    came: list[list[tuple[int, int] | None]] = []
    for at, found in enumerate(sheets):
        scores.append([])
        came.append([])
        for one in found:
            best, origin = one.worth * 0.5 - 0.6, None
            for back in range(1, min(at, 6) + 1):
                for index, before in enumerate(sheets[at - back]):
                    total = scores[at - back][index] + one.worth * 0.5 + _step(before, one, back)
                    if total > best:
                        best, origin = total, (at - back, index)
            scores[at].append(best)
            came[at].append(origin)
    return _traced(sheets, scores, came)


def _step(before: Folio, after: Folio, sheets: int) -> float:
    """How well one page number follows another so many sheets later."""
    same_slot = before.at_foot == after.at_foot and abs(before.level - after.level) < 12
    slot = 0.3 if same_slot else -0.4
    rise = after.value - before.value
    if before.front != after.front:
        return slot + 0.3 if after.value <= sheets + 2 else -1.5
    if (
        rise == sheets
        or (rise == 0 and before.insert < after.insert)
        or (before.insert and 0 < rise < sheets)
    ):
        return slot + 1.0 - 0.1 * (sheets - 1)
    if 0 < rise <= 40 * sheets:
        return slot - 0.1 * min(rise, 8)
    return -1.5


def _traced(
    sheets: Sequence[Sequence[Folio]],
    scores: Sequence[Sequence[float]],
    came: Sequence[Sequence[tuple[int, int] | None]],
) -> list[Folio | None]:
    chosen: list[Folio | None] = [None] * len(sheets)
    ends = [(s, at, i) for at, row in enumerate(scores) for i, s in enumerate(row)]
    if not ends:
        return chosen
    score, at, index = max(ends)
    if score <= 0.5:
        return chosen
    spot: tuple[int, int] | None = (at, index)
    while spot is not None:
        chosen[spot[0]] = sheets[spot[0]][spot[1]]
        spot = came[spot[0]][spot[1]]
    return chosen

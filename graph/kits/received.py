"""What came in the box, as a person types it: "10 friction disc, 11 steel disc"."""

import re
from dataclasses import dataclass

from benchleaf.graph.errors import WrongUse
from benchleaf.graph.kits.packmarks import NUMBER_WORDS

_SPLIT = re.compile(r"\s{0,5}(?:[;\n]|,(?![0-9])|\s\+\s|\sand\s|\s&\s)\s{0,5}", re.IGNORECASE)
_SPLIT_TIGHT = re.compile(r"(?<![0-9]),(?=[0-9]{1,3}\s{1,3}[^\W\d])")
_UNIT = r"(?:pcs?\.?|pieces?|off|ea\.?|each|nos?\.?)"
_LEAD = re.compile(
    rf"(?:qty\.?:?\s{{0,2}})?([0-9]{{1,4}})\s{{0,2}}(?:[x\u00d7*]|{_UNIT})(?:\s(?:of\s)?|(?=[^\w.,]))\s{{0,3}}(.{{1,200}})",
    re.I,
)
_TRAIL = re.compile(
    rf"(.{{1,200}}?)\s{{0,3}}(?:[x\u00d7*:=]|\(?\s?qty\.?:?|\(|\s-)\s{{0,3}}([0-9]{{1,4}})\s{{0,2}}{_UNIT}?\)?",
    re.I,
)
_PLAIN_LEAD = re.compile(r"([0-9]{1,4})\s{1,3}(.{1,200})")
_PLAIN_TRAIL = re.compile(r"([^0-9]{1,200}?)\s{1,3}([0-9]{1,4})")
_PART_TOKEN = re.compile(r"(?=[0-9A-Z./-]{0,40}[0-9])[0-9A-Z][0-9A-Z./-]{0,39}")
_PREFIX = re.compile(r"[A-Z]{1,4}")
_MEASURE = re.compile(r"[0-9.,]{1,12}\s{0,1}(?:mm|in|inch|cm|Nm|\")", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Received:
    """One line of what came: description, quantity (None: not counted), part number as printed on it, if
    any."""

    description: str
    quantity: int | None
    part: str | None = None


def parse_got(words: str) -> tuple[Received, ...]:
    """Read a list of quantities and names. Raises `WrongUse` for a piece without a quantity.

    >>> parse_got("10 friction disc, 2 x AB 4410-21 seal ring")[1]
    Received(description='seal ring', quantity=2, part='AB 4410-21')
    """
    lines: list[Received] = []
    for piece in _pieces(words):
        read = _read(piece)
        if read is None and lines and not re.search(r"[0-9]", piece):
            before = lines.pop()  # a name with a comma in it: "1 ring, retaining"
            read = Received(f"{before.description}, {piece}", before.quantity, before.part)
        if read is None:
            raise WrongUse(
                f"no quantity in “{piece}”", 'write it as in --got "10 friction disc, 11 steel disc"'
            )
        lines.append(read)
    if not lines:
        raise WrongUse(
            "nothing is said to have come", 'write it as in --got "10 friction disc, 11 steel disc"'
        )
    return tuple(lines)


def _pieces(words: str) -> list[str]:
    apart = [p for piece in _SPLIT.split(words) for p in _SPLIT_TIGHT.split(piece)]
    return [" ".join(p.split()) for p in apart if p.strip()]


def _read(piece: str) -> Received | None:
    plain = _figures(piece)
    if match := _LEAD.fullmatch(plain) or _plain_lead(plain):
        return _line(match[2], int(match[1]))
    if (match := _TRAIL.fullmatch(plain)) and not _MEASURE.search(plain[match.start(2) :]):
        return _line(match[1], int(match[2]))
    if match := _PLAIN_TRAIL.fullmatch(plain):
        return _line(match[1], int(match[2]))
    return None


def _plain_lead(plain: str) -> re.Match[str] | None:
    """A figure and a name; a figure before more figures counts only if it is short, before a measure
    never."""
    match = _PLAIN_LEAD.fullmatch(plain)
    if match is None or _MEASURE.match(plain):
        return None
    return match if not match[2][0].isdigit() or len(match[1]) <= 2 else None


def _figures(piece: str) -> str:
    """A leading number word as a figure: "ten discs"."""
    first, _, rest = piece.partition(" ")
    low = first.lower()
    if low in NUMBER_WORDS and rest:
        return f"{NUMBER_WORDS.index(low)} {rest}"
    return f"1 {rest}" if low in ("a", "an") and rest else f"0 {rest}" if low == "no" and rest else piece


def _line(words: str, quantity: int) -> Received:
    """The part number is the longest run of number-like words with at least four digits; measures are
    none."""
    tokens = words.strip(" ,:-").split()
    best: tuple[int, int] | None = None
    for start in range(len(tokens)):
        for end in range(start + 1, min(len(tokens), start + 6) + 1):
            if _is_part(tokens[start:end]) and (best is None or end - start > best[1] - best[0]):
                best = (start, end)
    if best is None:
        return Received(" ".join(tokens), quantity)
    rest = [*tokens[: best[0]], *tokens[best[1] :]]
    return Received(
        " ".join(rest).strip(" ,:-()"), quantity, " ".join(tokens[best[0] : best[1]]).strip("(),:")
    )


def _is_part(tokens: list[str]) -> bool:
    bare = [t.strip("(),:") for t in tokens]
    if _MEASURE.search(" ".join(bare)):
        return False
    shaped = all(_PART_TOKEN.fullmatch(t) or (i == 0 and _PREFIX.fullmatch(t)) for i, t in enumerate(bare))
    return shaped and sum(c.isdigit() for t in bare for c in t) >= 4

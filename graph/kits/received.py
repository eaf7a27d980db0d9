"""What came in the box, as a person types it: "10 friction disc, 11 steel disc"."""

import itertools
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from benchleaf.graph.errors import WrongUse
from benchleaf.graph.kits.packing import Count, Packing, packing_of, pieces
from benchleaf.graph.kits.packmarks import NUMBER_WORDS
from benchleaf.graph.kits.plates import plate_kind
from benchleaf.graph.model import KitLine

_SPLIT = re.compile(r"\s{0,5}([;\n]|,(?![0-9])|\s\+\s|\sand\s|\s&\s)\s{0,5}", re.IGNORECASE)
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
_TIMES = re.compile(
    rf"(.{{1,200}}?[^\W\d]|.{{1,200}}\s)\s{{0,2}}[x\u00d7*]\s{{0,2}}([0-9]{{1,4}})\s{{0,2}}{_UNIT}?", re.I
)
_PLAIN_LEAD = re.compile(r"([0-9]{1,4})\s{1,3}(.{1,200})")
_PLAIN_TRAIL = re.compile(rf"([^0-9]{{1,200}}?)\s{{1,3}}([0-9]{{1,4}})(?:\s{{0,2}}{_UNIT})?", re.I)
_UNIT_TRAIL = re.compile(rf"(.{{1,200}}?)\s{{1,3}}([0-9]{{1,4}})\s{{0,2}}{_UNIT}", re.I)  # "AB 4410-21 6 pcs"
_QTY = re.compile(r"(?:qty|quantity)\b\.?:?\s{0,2}(?=[0-9])", re.I)
_PART_TOKEN = re.compile(r"(?=[0-9A-Z./-]{0,40}[0-9])[0-9A-Z][0-9A-Z./-]{0,39}")
_PREFIX = re.compile(r"[A-Z]{1,4}")
_MEASURE = re.compile(r"[0-9.,]{1,12}\s{0,1}(?:(?:mm|in|inch|cm|Nm)(?![a-z])|\")", re.IGNORECASE)
_SIZE = re.compile(r"[0-9]{1,4}(?:[.,][0-9]{1,3})?\s?(?:mm|in|inch|\")")  # "1 bush, 28 mm"
_NONE = re.compile(
    r"(?:none|not one|no|zero|0)(?:\s(?:of\s)?(?:the\s)?|\s)(.{1,200})"
    r"|(?:missing|without)[: ]\s{0,2}(?:the\s)?(.{1,200})"
    r"|(.{1,200}?)(?::?\s(?:none|nil|missing|not in the box|did not come)|:\s{0,2}no)",
    re.I,
)
_VAGUE = re.compile(
    r"\b(?:about|approx(?:imately)?|around|circa|ca|roughly|some|few|several|many|maybe|perhaps|probably|nearly"
    r"|almost|at least|at most|more than|less than|up to|or so|all|both|each|every|part of|half of|half the)"
    r"(?![\w-])|[~\u2248?\u00b1<>]|[0-9]\+|^(?:or|to|till|-|\u2013|/)\s?[0-9]|(?<![.,0-9])[0-9]{1,4}\s(?:or|to|-|\u2013)\s[0-9]{1,4}(?![.,0-9]|\s?mm)",
    re.I,
)
_SECOND = re.compile(r"[0-9]{1,3}\s[^\W\d]")  # "1 x 10 friction discs"
_BARE_DIGITS = re.compile(r"[0-9]{1,9}(?:\s[0-9]{1,9}){1,5}")
_LONGEST = 200
_HEADS = frozenset(
    re.findall(
        "[a-z-]+",
        "ring o-ring oring seal gasket washer screw bolt nut circlip shim pin key bush bushing bearing joint"
        " disc disk plate spring plug clip filter packing diaphragm",
    )
)
_MANY = rf"(?:[0-9]{{1,4}}|an?|{'|'.join(NUMBER_WORDS)})"
_PACKS = r"(?:packs?|packets?|boxes|box|bags?|sets?|pairs?|dozen|pcs?\.?|pieces?|off)"
_COUNT_ALONE = re.compile(rf"{_MANY}\s{_PACKS}(?:\sof\s{_MANY})?|[0-9]{{1,4}}", re.IGNORECASE)
_LEADING_COUNT = re.compile(rf"{_MANY}\b(?!-)|.{{1,200}}[x\u00d7*]\s?[0-9]", re.IGNORECASE)
_SIDES = "left|right|inner|outer|upper|lower|front|rear|large|small|long|short"
_SIDE_ALONE = re.compile(rf"(?:{_MANY}\s)?(?:{_SIDES})", re.IGNORECASE)
_SIDE_OF = re.compile(rf"(?:{_MANY}\s)?(?:{_SIDES})\s([^0-9]{{2,80}})", re.IGNORECASE)
_PARTED_NAME = re.compile(r",|\b(?:for|with|of|from|to|on|in)\b")
_SEVERAL = re.compile(r"(?<![su])s$")
_FORM = 'write it as in --got "10 friction disc, 11 steel disc"'
_COUNT_IT = 'count the pieces, or write it as in --got "2 packs of 10 screws"'


@dataclass(frozen=True, slots=True)
class Received:
    """One line of what came: description, quantity in pieces (None: not counted), part number as printed on
    it, if any. `told` says how packs were counted, or why the line is not counted; it compares as nothing."""

    description: str
    quantity: int | None
    part: str | None = None
    told: str = field(default="", compare=False)


def parse_got(words: str) -> tuple[Received, ...]:
    """Read a list of quantities and names; packs, pairs and dozens are counted in pieces.

    Raises `WrongUse`, with the remedy, for a piece without a quantity or with one that is not clear.

    >>> parse_got("10 friction disc, 2 x AB 4410-21 seal ring")[1]
    Received(description='seal ring', quantity=2, part='AB 4410-21', told='')
    """
    lines: list[Received] = []
    for mark, piece in _with_their_nouns(_counted_behind(_pieces(words))):
        read = _read(piece)
        if read is None and lines and mark == "," and _goes_on(lines[-1], piece):
            before = lines.pop()  # a name with a comma in it: "1 ring, retaining"
            read = _counted(f"{before.description}, {piece}", before)
        if read is None:
            raise WrongUse(f"no quantity in “{piece}”", _FORM)
        lines.append(read)
    if not lines:
        raise WrongUse("nothing is said to have come", _FORM)
    return tuple(lines)


def _counted_behind(pieces: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """ "friction discs AB-14, two packs of 4": a count alone behind a name without one is that name's."""
    found: list[tuple[str, str]] = []
    for mark, piece in pieces:
        if found and _COUNT_ALONE.fullmatch(piece) and not _LEADING_COUNT.match(found[-1][1]):
            found[-1] = (found[-1][0], f"{piece} {found[-1][1]}")
        else:
            found.append((mark, piece))
    return found


def _with_their_nouns(pieces: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """ "one left and one right half gasket": the first has its noun from the second."""
    found = list(pieces)
    for i, ((_, one), (mark, other)) in enumerate(itertools.pairwise(pieces)):
        alone, whole = _SIDE_ALONE.fullmatch(one), _SIDE_OF.fullmatch(other)
        if mark in ("and", "&", "+") and alone and whole:
            found[i] = (found[i][0], f"{one} {whole[1]}")
    return found


def _goes_on(before: Received, piece: str) -> bool:
    """True if words behind a comma belong to the name before it: no plates of their own."""
    if re.search(r"[0-9]", piece):
        return _SIZE.fullmatch(piece) is not None
    return plate_kind(piece) is None or plate_kind(before.description) is None


def _counted(name: str, line: Received) -> Received:
    """A name that went on behind its comma; a unit there may change the count ("1 thrust washer, pair")."""
    if line.told:
        return Received(name, line.quantity, line.part, line.told)
    named, count = _packed(name, line.quantity or 0, packing_of(name))
    return Received(named, count.pieces, line.part, count.told)


def _pieces(words: str) -> list[tuple[str, str]]:
    """The pieces of a list, each with the mark before it; what stands in brackets is not split."""
    apart = _SPLIT.split(words)
    found = [("", apart[0]), *zip((m.strip().lower() for m in apart[1::2]), apart[2::2], strict=True)]
    joined: list[tuple[str, str]] = []
    for mark, piece in found:
        if joined and joined[-1][1].count("(") > joined[-1][1].count(")"):
            joined[-1] = (joined[-1][0], f"{joined[-1][1]}, {piece}")
        else:
            joined.append((mark, piece))
    tight = [(m, p) for mark, piece in joined for m, p in _tight(mark, piece)]
    return [(m, " ".join(p.split())) for m, p in tight if p.strip()]


def _tight(mark: str, piece: str) -> list[tuple[str, str]]:
    first, *rest = _SPLIT_TIGHT.split(piece)
    return [(mark, first), *((",", p) for p in rest)]


def _read(piece: str) -> Received | None:
    if (match := _NONE.fullmatch(piece)) and not _NONE_NUMBER.match(piece):
        return _line(next(w for w in match.groups() if w), 0)
    plain = _figures(piece)
    times = _TIMES.fullmatch(plain)
    lead = _LEAD.fullmatch(plain)
    if lead is None and times is not None and (plain_lead := _PLAIN_LEAD.fullmatch(plain)):
        if _is_part(times[1].split()[:6]):
            return _line(times[1], int(times[2]))
        if not any(c.isdigit() for c in times[1].split()[-1]) and not _MEASURE.match(plain_lead[0]):
            raise WrongUse(f"two quantities in “{piece}”", _FORM)
    if match := lead or _plain_lead(plain):
        if _SECOND.match(match[2]) and not _MEASURE.match(match[2]):
            raise WrongUse(f"two quantities in “{piece}”", _FORM)
        return _line(match[2], int(match[1]))
    if (match := _TRAIL.fullmatch(plain)) and not _MEASURE.search(plain[match.start(2) :]):
        return _line(match[1], int(match[2]))
    if match := _PLAIN_TRAIL.fullmatch(plain) or _UNIT_TRAIL.fullmatch(plain):
        return _line(match[1], int(match[2]))
    return _line(plain, 1) if _one_pack(plain) or _one_thing(plain) else None


_NONE_NUMBER = re.compile(r"nos?\.?\s{0,2}[0-9]", re.I)  # "no. 4471", "No 4471"


def _one_thing(plain: str) -> bool:
    """A number, or the name of one thing, with nothing before it is one: "AB 4410-21", "retaining ring".

    The name of several ("cover bolts") says no count, plates are always counted, a lone word may belong to
    the name before it.
    """
    if len(plain) > _LONGEST or _BARE_DIGITS.fullmatch(plain) or plate_kind(plain) is not None:
        return False
    plain = _MEASURE.sub("", plain)
    if _VAGUE.search(plain):
        return False
    tokens = plain.strip(" ,:-").split()
    bare = [t for t in tokens if not any(c.isdigit() for c in t)]
    numbered = len(bare) < len(tokens) and _line(plain, 1).part is not None
    names = [t.lower().strip(_EDGE) for t in bare if t.lower().strip(".") not in ("no", "nr", "p/n", "part")]
    if not names:
        return numbered
    if not numbered and (len(bare) < len(tokens) or (len(names) == 1 and names[0] not in _HEADS)):
        return False
    head = (_PARTED_NAME.split(" ".join(names))[0].split() or [""])[-1]
    return head == "circlips" or not _SEVERAL.search(head)


def _one_pack(plain: str) -> bool:
    """A pack, a pair or a dozen with nothing before it is one: "pair of thrust washers"."""
    packing = packing_of(plain)
    return packing.size not in (1, None) and not packing.behind and bool(packing.name)


def _plain_lead(plain: str) -> re.Match[str] | None:
    """A figure and a name; a figure before more figures counts only if it is short, before a measure
    never, before several bare figures never: those may be one part number."""
    match = _PLAIN_LEAD.fullmatch(plain)
    if match is None or _MEASURE.match(plain) or _BARE_DIGITS.fullmatch(match[2]):
        return None
    return match if not match[2][0].isdigit() or len(match[1]) <= 2 else None


def _figures(piece: str) -> str:
    """A leading number word as a figure: "ten discs"."""
    piece = _QTY.sub("", piece, count=1) if _QTY.match(piece) else piece
    first, _, rest = piece.partition(" ")
    low = first.lower()
    if low in NUMBER_WORDS and rest:
        return f"{NUMBER_WORDS.index(low)} {rest}"
    return f"1 {rest}" if low in ("a", "an", "the") and rest else piece


def _line(words: str, quantity: int) -> Received:
    """The part number is the longest run of number-like words with at least four digits; measures are
    none."""
    words = _of_the(words.strip(" ,:-"))
    packing = packing_of(words)
    named, count = _packed(words, quantity, packing)
    tokens = named.split()
    best: tuple[int, int] | None = None
    for start in range(len(tokens)):
        for end in range(start + 1, min(len(tokens), start + 6) + 1):
            if _is_part(tokens[start:end]) and (best is None or end - start > best[1] - best[0]):
                best = (start, end)
    if best is None:
        return Received(named, count.pieces, None, count.told)
    rest = [*tokens[: best[0]], *tokens[best[1] :]]
    name = _tidy_name(" ".join(rest))
    return Received(name, count.pieces, " ".join(tokens[best[0] : best[1]]).strip(_EDGE), count.told)


_EDGE = "(),:[]"


def _tidy_name(name: str) -> str:
    """A name without what stood around its number."""
    bare = name.strip(" ,:-[]")
    return bare if bare.count("(") == bare.count(")") and "()" not in bare else bare.strip(" ,:-()")


_OF_THE = re.compile(r"(?:of\s)?the\s|of\s", re.I)


def _of_the(words: str) -> str:
    match = _OF_THE.match(words)
    return words[match.end() :] if match else words


def _packed(words: str, quantity: int, packing: Packing) -> tuple[str, Count]:
    """The name and the count in pieces. Raises `WrongUse` where the words leave the count open."""
    if packing.each:
        raise WrongUse(f"“{words}” counts one of several", "count all the pieces that came")
    if _VAGUE.search(words):
        raise WrongUse(f"the quantity of “{words}” is not clear", _FORM)
    count = pieces(quantity, packing)
    if count.pieces is None:
        raise WrongUse(f"“{quantity} {words}” is not clear: {count.told}", _COUNT_IT)
    return (words if packing.size == 1 else packing.name), count


def _is_part(tokens: list[str]) -> bool:
    bare = [t.strip(_EDGE) for t in tokens]
    if _MEASURE.search(" ".join(bare)):
        return False
    shaped = all(_PART_TOKEN.fullmatch(t) or (i == 0 and _PREFIX.fullmatch(t)) for i, t in enumerate(bare))
    return shaped and sum(c.isdigit() for t in bare for c in t) >= 4


def as_lines(received: Iterable[Received]) -> tuple[KitLine, ...]:
    """What came, as lines of a kit."""
    return tuple(KitLine(r.part, r.description, r.quantity) for r in received)

"""What a kit contains: lines of quantity and description in prose, lists and brackets."""

import itertools
import re
from dataclasses import dataclass
from typing import NamedTuple

from benchleaf.graph.model import KitLine
from benchleaf.ingest.phrases.kitcounts import (
    COUNT,
    before_each,
    paired,
    quantity,
    without_compared,
    without_per,
)
from benchleaf.ingest.phrases.kitdifferences import joined, told, without_none
from benchleaf.ingest.phrases.tags import CODE, DATE, PART, WEAK, Tagged

__all__ = ["Lines", "quantity", "read_lines", "singular"]

_Q = COUNT
_P = f"[{PART}{CODE}{WEAK}]"
_SAME = re.compile(
    r" ?[\(\[] ?(?:unchanged|as before|no change|same as before|not changed|as hitherto) ?[\)\]]",
    re.IGNORECASE,
)
_MORE = re.compile(
    rf"\b(?:extra|additional|further|another|(?<![a-z] ){_Q} more|(?:a|some|many) more|supplementary"
    r"|(?:one|two|three|four|[0-9]{1,2}) [a-z -]{0,40}(?:fewer|less|more))\b",
    re.IGNORECASE,
)
_UNITS = (
    r"(?:(?:pcs|pc|pieces|piece|off|nos|no|x|×|each|ea|units|sets of|set of|only|each of|of"
    r" each|additional|new|further|times)\b\.?|×)"
)
_AS_REQUIRED = r"(?:\bas required\b|\bA/?R\b|\bas necessary\b|\bas needed\b)"
_WAS = (
    r"(?:previously|formerly|was|were|before|earlier|instead of|in place of|in lieu of|old|up"
    r" to now|hitherto|originally|until now|rather than|not|used to be|so far|prev\.?)"
)
_SEPARATOR = re.compile(
    r" ?[;•·\n] ?| ?,? (?:and|plus|as well as|together with|with|also) (?:also )?| ?, ?| & |"
    r" \+ | [–—] (?=[0-9])",
    re.I,
)
# "…, the old kit 4471 contained 10 friction discs": what follows is another kit's.
_OTHER_KIT = re.compile(
    rf"[,;.] (?:but |while |whereas |and )?(?:the )?(?:old |previous |former |earlier )?(?:kit )?{_P}? ?"
    r"(?:contained|had|held|contains|consisted of|comprised)\b",
    re.IGNORECASE,
)
_PREVIOUS = re.compile(
    rf"[ ,;–—-]{{0,3}}[\(\[]? ?\b(?:the (?:old|previous|former) kit (?:had|contained|held)"
    rf"|(?:(?:where|whereas|against) )?(?:there (?:were|was) |it (?:had|held) |(?:it|they) )?"
    rf"{_WAS}(?: the)?(?: previous| old| former| earlier| original)?"
    r"(?: (?:there were|there was|it was|it had|it contained|it held|they were|these were|had|held|contained"
    r"|the numbers were))?) ?:? ?(?P<was>(?:only"
    rf" )?{_Q}[^()\[\]]{{0,160}}?)[\)\]]? ?\.?$",
    re.I,
)
# "…; the seals are no longer part of it": what is not in the kit is none of its lines.
_LEFT_OUT = re.compile(
    r"[;,.] (?:but |while )?(?:the )?[a-z][a-z ,-]{2,40} (?:is|are) (?:no longer|not)"
    r" (?:an? )?(?:part of (?:it|the (?:kit|set))|(?:included|contained|supplied)(?: with)?"
    r"|in (?:it|the (?:kit|set)))\b[^;.0-9]{0,80}\.?$",
    re.IGNORECASE,
)
# "…; the extra pair is for the deep drum": what a thing is for is none of the lines.
_WHAT_FOR = re.compile(
    r"; (?:the|these|this|it|they|both)(?: [a-z-]{2,14}){0,4} (?:is|are)"
    rf" (?:(?:meant|intended|needed|used|required) )?for [^;:0-9{PART}{CODE}{WEAK}]{{2,80}}$",
    re.IGNORECASE,
)
_LINE_WAS = re.compile(
    rf"[\(\[] ?{_WAS} ?:? ?(?P<q>{_Q})(?:"
    rf" ?{_UNITS})?(?: (?:of )?(?:the )?(?:[a-z-]+ ){{0,3}}(?P<part>{_P}))? ?[\)\]]"
    rf"|,? (?:instead of|in place of|in lieu of|rather than|previously|formerly|as against)(?: the)?"
    rf"(?: previous| old| former| earlier| original)? (?P<bare>{_Q})"
    r"(?: (?:formerly|previously|hitherto|before|earlier|originally|so far)(?: (?:supplied|packed"
    r"|contained|fitted|used|included|required))?)?"
    r"(?= ?(?:[,;.]|and\b|$))",
    re.IGNORECASE,
)
_LEADING_Q = re.compile(
    rf"^(?:{_UNITS} )?(?P<q>{_Q}) ?(?:{_UNITS} ?){{0,3}}(?:of (?:the )?)?(?P<rest>.+)$", re.I
)
_BRACKET_Q = re.compile(
    r"^(?P<rest>.+?) ?[\(\[] ?(?:qty|quantity|q'ty|no|number|amount|count|x|×)?\.? ?:? ?"
    rf"(?P<q>{_Q}) ?(?:{_UNITS} ?)?[\)\]]$",
    re.I,
)
_TRAILING_Q = re.compile(
    r"^(?P<rest>.+?) ?(?:[:=,–—-] ?(?:qty|quantity|number)?\.? ?:? ?|,? (?:qty|quantity"
    rf"|q'ty)\.? ?:? ?| x ?| × ?| (?=[0-9]))(?P<q>{_Q}) ?(?:{_UNITS})?$",
    re.I,
)
_OFF_Q = re.compile(rf"^(?P<rest>.+?),? (?P<q>{_Q}) (?:{_UNITS})$", re.I)
_EACH = re.compile(rf"^ ?(?P<q>{_Q}) (?:pcs\.? )?(?:of )?each(?: of)?(?: the)?:? ", re.I)
_RUN_ON = re.compile(
    rf"(?<! of)(?<! the)(?<! same)(?<!was)(?<!rly)(?<!sly)(?<!than)(?<=[a-z\){PART}{CODE}]) "
    rf"(?=[0-9]{{1,3}} (?:x |pcs\.? |off )?[a-zA-Z{PART}{CODE}])"
)
# "Plate, friction (5)": the name turned round, as parts lists have it
_TURNED = re.compile(
    rf"^ ?[A-Za-z][A-Za-z -]{{2,30}}, [a-z -]{{3,30}},? ?[\(x×]? ?(?:qty\.? ?)?{_Q}\)?[ .]*$", re.IGNORECASE
)
_NOISE = re.compile(
    r"^(?:(?:the|new|following|now|each|also|containing|in total|total of|a total of|only)\b["
    r" :]*+)++|^[-•·*:.) ]++",
    re.I,
)
_LABELLED = re.compile(rf" ?[\(\[]? ?(?:p/?n|part (?:no\.?|number)|no\.)? ?:? ?{_P} ?[\)\]]?", re.I)
_HALF = frozenset(
    [
        "friction",
        "steel",
        "lined",
        "plain",
        "inner",
        "outer",
        "driving",
        "driven",
        "internal",
        "external",
        "clutch",
        "drive",
        "fibre",
        "fiber",
        "paper",
        "organic",
        "intermediate",
        "separator",
        "reaction",
        "pressure",
        "input",
        "output",
        "thick",
        "thin",
        "large",
        "small",
        "upper",
        "lower",
        "front",
        "rear",
    ]
)
_IRREGULAR = {
    "bushes": "bush",
    "boxes": "box",
    "discs": "disc",
    "axes": "axis",
    "halves": "half",
    "leaves": "leaf",
    "lenses": "lens",
    "keys": "key",
    "races": "race",
    "gauzes": "gauze",
    "pieces": "piece",
    "spacers": "spacer",
    "lamellae": "lamella",
    "axles": "axle",
}
# "3 bushes, left": the second half of a name turned round.
_WHICH = "|".join(
    sorted((*_HALF, "left", "right", "top", "bottom", "long", "short", "complete", "rotating", "stationary"))
)
_HALF_NAME = re.compile(rf" ?(?:the )?(?P<half>{_WHICH})(?: side| end)? ?[.]?", re.IGNORECASE)
_AFTER_HEAD = re.compile(r" (?:for|of|with|without|in|to|from|incl\.?|including|c/w) |[,(]")


@dataclass(frozen=True, slots=True)
class Lines:
    """Lines read, the lines of the kit before, whether every word was understood, and what is unclear."""

    lines: tuple[KitLine, ...]
    previous: tuple[KitLine, ...] = ()
    whole: bool = True
    why: tuple[str, ...] = ()


class _Read(NamedTuple):
    """One line, how many there were before (None if it is not said), and what is unclear. `partwas` is the
    part that they were of, where another one is named."""

    line: KitLine
    was: int | None = None
    why: tuple[str, ...] = ()
    partwas: str | None = None


def singular(description: str) -> str:
    """A description in lower case and the singular: "Friction discs" is "friction disc".

    >>> singular("Seal rings for the piston")
    'seal ring for the piston'
    """
    plain = re.sub(r"\s+", " ", description).strip(" .,;:-–").lower()
    cut = _AFTER_HEAD.search(plain)
    head, rest = (plain[: cut.start()], plain[cut.start() :]) if cut else (plain, "")
    words = head.split(" ")
    words[-1] = _single(words[-1])
    return (" ".join(words) + rest).strip()


def _single(word: str) -> str:
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) < 4 or not word.endswith("s") or word.endswith(("ss", "us", "is", "lens")):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    return word[:-2] if word.endswith(("shes", "ches", "xes", "sses", "zzes")) else word[:-1]


def read_lines(tagged: Tagged, start: int, end: int) -> Lines:
    """The lines in folded[start:end]: "10 friction discs and 11 steel discs (previously 10 and 9)"."""
    said = tagged.folded[start:end].strip()
    offset = start + len(tagged.folded[start:end]) - len(tagged.folded[start:end].lstrip())
    left_out = _LEFT_OUT.search(said)
    said = said[: left_out.start()] if left_out else said
    said = joined(without_none(_WHAT_FOR.sub("", said)))
    other = _OTHER_KIT.search(said)
    said = said[: other.start()] if other else said
    before = _PREVIOUS.search(said)
    if before and (
        _LINE_WAS.search(said, 0, before.start()) or re.search(rf"\b{_WAS}\b", before["was"], re.I)
    ):
        before = None
    body, moves = without_compared(said[: before.start()] if before else said)
    pieces = _pieces(body)
    read = [_line(tagged, offset + at, piece) for at, piece in pieces]
    whole = all(r is not None for r in read) and bool(read)
    places = [at for (at, _), one in zip(pieces, read, strict=True) if one is not None]
    found = _with_nouns([r for r in read if r is not None])
    lines = tuple(one.line for one in found)
    moved = before_each([line.quantity for line in lines], places, moves)
    was = [a.was if a.was is not None else b for a, b in zip(found, moved, strict=True)]
    previous = _previous(tagged, offset + before.start("was"), before["was"], lines) if before else ()
    if not previous and any(w is not None for w in was):
        previous = tuple(
            KitLine(one.partwas, one.line.description, one.line.quantity if w is None else w)
            for one, w in zip(found, was, strict=True)
        )
    why = tuple(dict.fromkeys(w for one in found for w in one.why))
    return Lines(lines, previous, whole and (before is None or bool(previous)), why)


def _pieces(body: str) -> list[tuple[int, str]]:
    """The stretches between separators; "six of each: friction and steel discs" gives each stretch its
    count."""
    each = _EACH.match(body)
    pieces = _cut(body[each.end() :] if each else body)
    if each:
        return [(each.end() + at, f"{each['q']} {piece.strip()}") for at, piece in pieces]
    return _each_behind(pieces)


def _each_behind(pieces: list[tuple[int, str]]) -> list[tuple[int, str]]:
    """ "…, one each of seal and circlip": lines behind "each" without a count have its count."""
    out: list[tuple[int, str]] = []
    count = ""
    for at, piece in pieces:
        each = _EACH.match(piece)
        count = each["q"] if each else "" if _has_count(piece) else count
        out.append((at, f"{count} {piece.strip()}" if count and not each else piece))
    return out


def _cut(body: str) -> list[tuple[int, str]]:
    """The stretches between separators that stand outside brackets, and between run-on lines of a list."""
    halves = [piece for piece in body.split(";") if piece.strip(" .")]
    if len(halves) > 1 and all(_TURNED.search(piece) for piece in halves):
        starts = itertools.accumulate((len(p) + 1 for p in body.split(";")), initial=0)
        return [(at, p) for at, p in zip(starts, body.split(";"), strict=False) if p.strip(" .")]
    cuts = [(m.start(), m.end()) for m in _SEPARATOR.finditer(body) if not _in_bracket(body, m.start())]
    cuts += [(m.start(), m.end()) for m in _RUN_ON.finditer(body) if not _in_bracket(body, m.start())]
    pieces: list[tuple[int, str]] = []
    at = 0
    for a, b in sorted(set(cuts)):
        if a >= at:
            pieces.append((at, body[at:a]))
            at = b
    pieces.append((at, body[at:]))
    merged: list[tuple[int, str]] = []
    for start, piece in pieces:
        if (
            (
                merged
                and _HALF_NAME.fullmatch(_LINE_WAS.sub("", piece))
                and re.fullmatch(r" ?, ?", body[merged[-1][0] + len(merged[-1][1]) : start])
                and _has_count(merged[-1][1])
                and "," not in merged[-1][1]
                and not _SAME.search(piece)
            )
            or (
                merged
                and piece.strip()
                and not _has_count(piece)
                and re.fullmatch(rf" ?(?:qty:?|quantity:?|{_P}|\W+) ?", piece, re.I)
            )
            or (
                merged
                and re.fullmatch(rf" ?(?:qty|quantity)?\.? ?:? ?{_Q} ?(?:{_UNITS})? ?", piece, re.I)
                and not _has_count(merged[-1][1])
            )
        ):
            merged[-1] = (merged[-1][0], body[merged[-1][0] : start + len(piece)])
        elif piece.strip(" .:;,-–•"):
            merged.append((start, piece))
    return merged


def _in_bracket(body: str, place: int) -> bool:
    return body.count("(", 0, place) > body.count(")", 0, place)


def _has_count(piece: str) -> bool:
    return re.search(rf"(?<![A-Za-z0-9]){_Q}", piece, re.I) is not None


def _noiseless(words: str) -> str:
    """The words without marks at their ends and the little words in front."""
    return _NOISE.sub("", words).rstrip(" .:;,")


def _counted_from(words: str) -> str:
    less = re.search(r"\b(?:fewer|less)$", words, re.IGNORECASE)
    return "it is counted from what the kit held before" if less else "the kit holds more than is listed"


def _line(tagged: Tagged, start: int, piece: str) -> _Read | None:
    """One line with what it was before, or None where a word is left that cannot be a kit's line."""
    was = _LINE_WAS.search(piece)
    spoken = was.span("part") if was and was["part"] else (len(piece), len(piece))
    named = [
        (place - start, t.text)
        for place, t in tagged.inside(start, start + len(piece))
        if t.kind in (PART, CODE, WEAK)
    ]
    part = next((text for place, text in named if not spoken[0] <= place < spoken[1]), None)
    partwas = next((text for place, text in named if spoken[0] <= place < spoken[1]), None)
    plain = _LINE_WAS.sub(" ", piece) if was else piece
    differs = None if was else told(piece)
    plain = differs.words if differs else plain
    same = _SAME.search(plain) is not None
    plain, why = without_per(paired(_SAME.sub("", plain)))
    more = _MORE.search(plain)
    why = (*why, f"“{more.group()}”: {_counted_from(more.group())}") if more else why
    plain = _LABELLED.sub(" ", plain)
    plain = re.sub(r"\s+", " ", _noiseless(plain.strip())).strip()
    plain = _SINCE.sub("", _noiseless(plain))
    required = re.search(_AS_REQUIRED, plain, re.I)
    if required:
        name = _clean(plain[: required.start()] + plain[required.end() :])
        return _Read(KitLine(part, name, None)) if _named(name) else None
    for form in (_BRACKET_Q, _LEADING_Q, _OFF_Q, _TRAILING_Q):
        match = form.match(plain)
        count = quantity(match["q"]) if match else None
        if match and count is not None and _named(_clean(match["rest"])):
            before = count if same else quantity(was["q"] or was["bare"]) if was else None
            if differs is not None:
                before, why = differs.was, (*differs.why, *why)
            return _Read(KitLine(part, _clean(match["rest"]), count), before, why, partwas)
    return None


def _clean(words: str) -> str:
    plain = re.sub(rf"^(?:{_UNITS} ?)+|[\(\)\[\]]", "", words.strip(), flags=re.I)
    return singular(re.sub(r"^(?:of|the|new|a)\s+", "", plain.strip(" .,:;-–"), flags=re.I))


_SINCE = re.compile(
    rf",? (?:since|from|as of|as from|with effect from|starting) (?:about )?{DATE}(?: onwards?| on)?$", re.I
)
_LOOSE = re.compile(
    r"^(?:for|and|or|on|in|since|from|until|with|of)\b|\bsince\b"
    r"|\b(?:the|a|an|for|and|or|of|on|in|from|until|to|with|by)$",
    re.IGNORECASE,
)
"""A list's words broken off where something else was meant: "friction discs for the", "discs since"."""


def _named(name: str) -> bool:
    """A description is made of words, not of numbers or whole clauses."""
    return (
        re.search(r"[a-z]{2}", name) is not None
        and re.search(r"[:;?!\ue001-\ue00b]|\b[0-9]+$", name) is None
        and (name == "of" or _LOOSE.search(name) is None)
        and len(name.split()) <= 9
        and re.search(
            r"\b(?:is|are|was|were|has|have|been|being|must|not|no|will|be|which|that|there|if"
            r"|instead|formerly|previously|than|than before)\b",
            name,
        )
        is None
    )


def _with_nouns(found: list[_Read]) -> list[_Read]:
    """ "five friction and four steel discs": a bare adjective borrows its noun from the next line."""
    out: list[_Read] = []
    noun = ""
    for one in reversed(found):
        words = one.line.description.split(" ")
        if len(words) > 1:
            noun = words[-1]
        elif noun and words[0] in _HALF:
            line = one.line
            one = one._replace(line=KitLine(line.part, f"{line.description} {noun}", line.quantity))
        out.append(one)
    return out[::-1]


def _previous(tagged: Tagged, start: int, words: str, lines: tuple[KitLine, ...]) -> tuple[KitLine, ...]:
    """ "previously 10 and 9" in the order of the lines, or lines with their own names."""
    counts = re.findall(rf"(?<![A-Za-z0-9]){_Q}", words, re.I)
    named = [m for m in (_line(tagged, start + at, p) for at, p in _pieces(words)) if m]
    if named and len(named) == len(counts):
        spoken = [one.line for one in _with_nouns(named)]
        if len(spoken) <= len(lines):  # "previously 6 of 318 604 22": the line now tells the name
            pairs = zip(spoken, lines, strict=False)
            names = [now.description if p.description == "of" else p.description for p, now in pairs]
            spoken = [KitLine(p.part, n, p.quantity) for p, n in zip(spoken, names, strict=True)]
        return tuple(spoken)
    found = [quantity(c) for c in counts]
    if found and len(found) <= len(lines) and None not in found:
        return tuple(KitLine(None, line.description, q) for line, q in zip(lines, found, strict=False))
    return ()

"""What a kit contains: lines of quantity and description in prose, lists and brackets."""

import re
from dataclasses import dataclass

from benchleaf.graph.model import KitLine
from benchleaf.ingest.phrases.tags import CODE, PART, WEAK, Tagged

NUMBER_WORDS = {
    "a": 1,
    "an": 1,
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
    "twenty": 20,
    "twenty-one": 21,
    "twenty-two": 22,
    "twenty-four": 24,
    "thirty": 30,
    "a pair of": 2,
    "a dozen": 12,
    "both": 2,
}
_COUNT_WORDS = "|".join(sorted(NUMBER_WORDS, key=len, reverse=True))
_Q = rf"(?:[0-9]{{1,3}}(?![0-9]|[.,][0-9])|\b(?:{_COUNT_WORDS})\b)"
_P = f"[{PART}{CODE}{WEAK}]"
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
    rf"|{_WAS}(?: the)?(?: previous| old| former| earlier| original)?) ?:? ?(?P<was>(?:only"
    rf" )?{_Q}[^()\[\]]{{0,160}}?)[\)\]]? ?\.?$",
    re.I,
)
_LINE_WAS = re.compile(
    rf"[\(\[] ?{_WAS} ?:? ?(?P<q>{_Q}) ?[\)\]]"
    rf"|,? (?:instead of|in place of|rather than|previously|formerly) (?P<bare>{_Q})(?= ?(?:[,;.]|and\b|$))",
    re.IGNORECASE,
)
_LEADING_Q = re.compile(
    rf"^(?:{_UNITS} )?(?P<q>{_Q}) ?(?:{_UNITS} ?){{0,3}}(?:of (?:the )?)?(?P<rest>.+)$", re.I
)
_BRACKET_Q = re.compile(
    r"^(?P<rest>.+?) ?[\(\[] ?(?:qty|quantity|q'ty|no|number|amount|count)?\.? ?:? ?"
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
    rf"(?<! of)(?<!was)(?<!rly)(?<!sly)(?<!than)(?<=[a-z\){PART}{CODE}]) (?=[0-9]{{1,3}} (?:x "
    rf"|pcs\.? |off )?[a-zA-Z{PART}{CODE}])"
)
_NOISE = re.compile(
    r"^(?:(?:the|new|following|now|each|also|containing|in total|total of|a total of|only)\b["
    r" :]*)+|^[-•·*:.) ]+|[ .:;,]+$",
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
}
_AFTER_HEAD = re.compile(r" (?:for|of|with|without|in|to|from|incl\.?|including|c/w) |[,(]")


@dataclass(frozen=True, slots=True)
class Lines:
    """Lines read, the lines of the kit before, and whether every word was understood."""

    lines: tuple[KitLine, ...]
    previous: tuple[KitLine, ...] = ()
    whole: bool = True


def quantity(word: str) -> int | None:
    """A count in digits or words; None if it is neither.

    >>> quantity("eleven")
    11
    """
    plain = word.strip().lower()
    return int(plain) if plain.isdecimal() and plain.isascii() else NUMBER_WORDS.get(plain)


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
    other = _OTHER_KIT.search(said)
    said = said[: other.start()] if other else said
    before = _PREVIOUS.search(said)
    if before and (
        _LINE_WAS.search(said, 0, before.start()) or re.search(rf"\b{_WAS}\b", before["was"], re.I)
    ):
        before = None
    body = said[: before.start()] if before else said
    pieces = _pieces(body)
    read = [_line(tagged, offset + at, piece) for at, piece in pieces]
    whole = all(r is not None for r in read) and bool(read)
    found = [r for r in read if r is not None]
    lines = tuple(line for line, _ in _with_nouns(found))
    was = [w for _, w in found]
    previous = _previous(before["was"], lines) if before else ()
    if not previous and any(w is not None for w in was):
        previous = tuple(
            KitLine(None, line.description, line.quantity if w is None else w)
            for line, w in zip(lines, was, strict=True)
        )
    return Lines(lines, previous, whole and (before is None or bool(previous)))


def _pieces(body: str) -> list[tuple[int, str]]:
    """The stretches between separators; "six of each: friction and steel discs" gives each stretch its
    count."""
    each = _EACH.match(body)
    pieces = _cut(body[each.end() :] if each else body)
    return [(each.end() + at, f"{each['q']} {piece.strip()}") for at, piece in pieces] if each else pieces


def _cut(body: str) -> list[tuple[int, str]]:
    """The stretches between separators that stand outside brackets, and between run-on lines of a list."""
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
            merged
            and piece.strip()
            and not _has_count(piece)
            and re.fullmatch(rf" ?(?:qty:?|quantity:?|{_P}|\W+) ?", piece, re.I)
        ) or (
            merged
            and re.fullmatch(rf" ?(?:qty|quantity)?\.? ?:? ?{_Q} ?(?:{_UNITS})? ?", piece, re.I)
            and not _has_count(merged[-1][1])
        ):
            merged[-1] = (merged[-1][0], body[merged[-1][0] : start + len(piece)])
        elif piece.strip(" .:;,-–•"):
            merged.append((start, piece))
    return merged


def _in_bracket(body: str, place: int) -> bool:
    return body.count("(", 0, place) > body.count(")", 0, place)


def _has_count(piece: str) -> bool:
    return re.search(rf"(?<![A-Za-z0-9]){_Q}", piece, re.I) is not None


def _line(tagged: Tagged, start: int, piece: str) -> tuple[KitLine, int | None] | None:
    """One line with what it was before, or None where a word is left that cannot be a kit's line."""
    part = next(
        (t.text for _, t in tagged.inside(start, start + len(piece)) if t.kind in (PART, CODE, WEAK)), None
    )
    was = _LINE_WAS.search(piece)
    plain = _LINE_WAS.sub(" ", piece) if was else piece
    plain = _LABELLED.sub(" ", plain)
    plain = re.sub(r"\s+", " ", _NOISE.sub("", plain.strip())).strip()
    plain = _NOISE.sub("", plain)
    required = re.search(_AS_REQUIRED, plain, re.I)
    if required:
        name = _clean(plain[: required.start()] + plain[required.end() :])
        return (KitLine(part, name, None), None) if _named(name) else None
    for form in (_BRACKET_Q, _LEADING_Q, _OFF_Q, _TRAILING_Q):
        match = form.match(plain)
        count = quantity(match["q"]) if match else None
        if match and count is not None and _named(_clean(match["rest"])):
            return KitLine(part, _clean(match["rest"]), count), quantity(
                was["q"] or was["bare"]
            ) if was else None
    return None


def _clean(words: str) -> str:
    plain = re.sub(rf"^(?:{_UNITS} ?)+|[\(\)\[\]]", "", words.strip(), flags=re.I)
    return singular(re.sub(r"^(?:of|the|new|a)\s+", "", plain.strip(" .,:;-–"), flags=re.I))


def _named(name: str) -> bool:
    """A description is made of words, not of numbers or whole clauses."""
    return (
        re.search(r"[a-z]{2}", name) is not None
        and re.search(r"[:;?!]|\b[0-9]+$", name) is None
        and len(name.split()) <= 9
        and re.search(r"\b(?:is|are|was|were|has|have|must|not|no|will|be|which|that|if)\b", name) is None
    )


def _with_nouns(found: list[tuple[KitLine, int | None]]) -> list[tuple[KitLine, int | None]]:
    """ "five friction and four steel discs": a bare adjective borrows its noun from the next line."""
    out: list[tuple[KitLine, int | None]] = []
    noun = ""
    for line, was in reversed(found):
        words = line.description.split(" ")
        if len(words) > 1:
            noun = words[-1]
        elif noun and words[0] in _HALF:
            line = KitLine(line.part, f"{line.description} {noun}", line.quantity)
        out.append((line, was))
    return out[::-1]


def _previous(words: str, lines: tuple[KitLine, ...]) -> tuple[KitLine, ...]:
    """ "previously 10 and 9" in the order of the lines, or lines with their own names."""
    counts = re.findall(rf"(?<![A-Za-z0-9]){_Q}", words, re.I)
    named = [m for m in (_line(Tagged(words, words, ()), 0, p) for _, p in _pieces(words)) if m]
    if named and len(named) == len(counts):
        return tuple(line for line, _ in _with_nouns(named))
    found = [quantity(c) for c in counts]
    if found and len(found) <= len(lines) and None not in found:
        return tuple(KitLine(None, line.description, q) for line, q in zip(lines, found, strict=False))
    return ()

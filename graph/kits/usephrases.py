"""Names of parts in a step's words: number word or article, adjectives, noun; part number and count
beside it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.graph.kits.uselexicon import Lexicon, singular, small_words
from benchleaf.graph.kits.usetokens import Token, part_at, tokens

ARTICLES = small_words("articles")
EVERY = small_words("every")
WHOLE = small_words("whole")
PIECES = small_words("pieces")
ENDS = small_words("ends")
DIRECTIONS = small_words("directions")
REFERENCES = small_words("references")
_SIDES = small_words("sides")
_SHAPES = small_words("shapes")
_COUNTED = re.compile(
    r"(?:\b(?:qty|quantity|no\.? off|off)\b[.:]?\s?([0-9]{1,3})\b|\bx\s?([0-9]{1,3})\b"
    r"|\b([0-9]{1,3})\s?(?:off|pcs?|pieces?|nos?|x|\u00d7|each|required|reqd)\b)"
)
_NUMBER_LABEL = re.compile(
    r"(?:\s?(?:,|\bpart\b|\bp/n\b|\bpn\b|\bnos?\b\.?|\bnumber\b|\bkey\b|\bitem\b|\bpos\b\.?|[0-9]{1,2},)){0,5}\s?",
    re.IGNORECASE,
)


LONGEST_FRONT = 10  # tokens before a name


@dataclass(frozen=True, slots=True)
class Phrase:
    """The name of a part with what stands beside it. `first` and `after` are token places; `known` is False
    where its last word is no noun of the lists. `count` is None where none is told."""

    name: str
    noun: str
    plural: bool
    count: int | None
    vague: bool
    new: bool
    part: str | None
    first: int
    after: int
    known: bool
    article: bool
    pronoun: bool = False


@dataclass(slots=True)
class _Front:
    """What stands before a name."""

    at: int
    count: int | None = None
    vague: bool = False
    new: bool = False
    part: str | None = None
    article: bool = False
    kept: tuple[str, ...] = ()


def phrase_at(toks: Sequence[Token], at: int, words: Lexicon) -> Phrase | None:
    """The part's name that begins at a token, or None."""
    if toks[at].kind == "count" and at and toks[at - 1].low.rstrip(".") in REFERENCES:
        return None
    front = _front(toks, at, words)
    if front.at >= len(toks):
        return None
    if toks[front.at].low in ("one", "ones") and front.at > at and (front.new or front.count):
        return _finish(toks, front, at, front.at, front.at + 1, words, pronoun=True)
    span = _name(toks, front.at, words)
    return None if span is None else _finish(toks, front, at, front.at, span, words)


def _front(toks: Sequence[Token], at: int, words: Lexicon) -> _Front:
    """Articles, counts, `new` and the like."""
    f, i = _Front(at), at
    while i < len(toks) and i - at < LONGEST_FRONT:
        t = toks[i]
        if t.kind == "count":
            if t.low == "one" and (f.article or f.new) and not _named_next(toks, i + 1):
                break
            i = _count(f, toks, i)
        elif t.kind == "part":
            f.part, i = t.text, i + 1
        elif t.kind == "bracket" and f.count is not None and t.text == f"({f.count})":
            i += 1  # `six (6) springs`
        elif (
            t.kind in ("size", "value")
            and i + 1 < len(toks)
            and toks[i + 1].kind in ("word", "size", "value")
        ):
            f.kept, i = ((*f.kept, t.text) if t.kind == "size" else f.kept), i + 1
        elif (t.kind == "word" and _taken(f, toks, i, words)) or _between_idle(toks, i, at, words):
            i += 1
        else:
            break
    f.at = i
    return f


def _between_idle(toks: Sequence[Token], i: int, at: int, words: Lexicon) -> bool:
    """The comma of `new, oiled discs`."""
    return toks[i].low == "," and i > at and toks[i - 1].low in words.idle and _continues(toks, i + 1)


def _count(f: _Front, toks: Sequence[Token], i: int) -> int:
    """Take a count, or the two of a range, which tell none for certain."""
    first = toks[i].number
    if i + 2 < len(toks) and toks[i + 1].low in ("or", "to", "-", "\u2013") and toks[i + 2].kind == "count":
        f.vague = True
        return i + 3
    if toks[i].low == "dozen" and f.count:
        first = 12 if f.count == 1 else 12 * f.count
        f.count = None
    f.count = first if f.count in (None, 1) or (f.article and f.count == 1) else f.count
    return i + 1


def _named_next(toks: Sequence[Token], i: int) -> bool:
    return i < len(toks) and (toks[i].kind == "size" or (toks[i].kind == "word" and toks[i].low not in ENDS))


def _continues(toks: Sequence[Token], i: int) -> bool:
    return i < len(toks) and (
        (toks[i].kind == "word" and (toks[i].low not in ENDS or toks[i].low in ("of", "off")))
        or toks[i].kind in ("size", "part", "value")
    )


def _taken(f: _Front, toks: Sequence[Token], i: int, words: Lexicon) -> bool:
    """Whether a word belongs before the name; what it tells is noted."""
    low = toks[i].low
    if low in ARTICLES:
        f.article = True
        f.count = 1 if low in ("a", "an") and f.count is None else f.count
    elif low in EVERY:
        f.vague = True
    elif low in WHOLE:
        f.count = {"both": 2, "another": 1}.get(low, f.count)
    elif low in PIECES:
        return f.count is not None and i > 0 and toks[i - 1].kind == "count"
    elif low in ("pair", "pairs"):
        f.count = 2 * (f.count or 1) if low == "pair" or f.count else None
        f.vague = low == "pairs" and f.count is None
    elif low in ("set", "sets", "number", "quantity", "couple"):
        if i + 1 >= len(toks) or toks[i + 1].low != "of":
            return False
        f.count, f.vague = None, True
    elif low == "of":
        return i > f.at and (f.count is not None or f.vague or toks[i - 1].low in (*EVERY, *WHOLE, "pair"))
    elif low in ("least", "most"):
        f.vague = True
    elif low in words.idle:
        f.new = f.new or low in ("new", "fresh", "unused", "replacement")
    else:
        return False
    return True


def _name(toks: Sequence[Token], start: int, words: Lexicon) -> int | None:
    """Where a name that begins at a token ends (the place after its last word); None if there is no name.
    A name whose last noun goes on into a word that is never a part (`seal ring groove`) is none."""
    end, head, i = start, None, start
    while i < len(toks) and i - start < 7:
        t = toks[i]
        if t.kind == "size":
            i += 1
            continue
        if t.kind != "word" or (t.low in ENDS and not (head is None and _describes(toks, i, words))):
            break
        if t.low.endswith("ly") and t.low != "assembly" and len(t.low) > 4 and head is not None:
            break
        one = singular(t.low)
        if _is_noun(one, words) and not _side_next(toks, i, one):
            head, end = i, i + 1
        elif head is not None and not _noun_next(toks, i, words):
            return _trail(toks, i, end, one, words)
        elif one in words.never and not _noun_next(toks, i, words):
            return None
        i += 1
    if head is None:
        last = i if i > start else None
        return last if last is not None and _could_be(toks[last - 1], words) else None
    return end


def _describes(toks: Sequence[Token], i: int, words: Lexicon) -> bool:
    """A word that mostly ends a name, but here opens one: `square section ring`, `free end cover`."""
    named = i + 1 < len(toks) and toks[i + 1].kind == "word" and toks[i + 1].low not in ENDS
    return _noun_next(toks, i, words) or (named and toks[i].low in _SHAPES)


def _trail(toks: Sequence[Token], i: int, end: int, one: str, words: Lexicon) -> int | None:
    """A word after the last noun: part of the name (`pump body`), its own head (`seal groove`), or none."""
    low = toks[i].low
    if one in words.never:
        return end if one in _SIDES and _points(toks, i) else None
    if low in words.verbs or i > end or len(low) < 4 or low in words.idle:
        return end
    closes = i + 1 >= len(toks) or toks[i + 1].kind != "word" or toks[i + 1].low in ENDS
    return i + 1 if closes else end


def _side_next(toks: Sequence[Token], i: int, one: str) -> bool:
    return one in _SIDES and _points(toks, i)


def _points(toks: Sequence[Token], i: int) -> bool:
    return any(t.low in DIRECTIONS for t in toks[i + 1 : i + 3])


def _noun_next(toks: Sequence[Token], i: int, words: Lexicon) -> bool:
    following = toks[i + 1] if i + 1 < len(toks) else None
    return (
        following is not None
        and following.kind == "word"
        and _is_noun(singular(following.low), words)
        and (
            toks[i].low not in ENDS
            or toks[i].low in ("back", "free", "dry", "square", "sharp", "inside", "outside", "one")
        )
    )


def _is_noun(one: str, words: Lexicon) -> bool:
    return (
        one in words.nouns or ("-" in one and one.rsplit("-", 1)[1] in words.nouns)
    ) and one not in words.never


def _could_be(token: Token, words: Lexicon) -> bool:
    one = singular(token.low)
    return (
        len(token.low) > 3
        and one not in words.never
        and token.low not in words.verbs
        and one not in words.idle
    )


def _finish(
    toks: Sequence[Token],
    f: _Front,
    first: int,
    start: int,
    end: int,
    words: Lexicon,
    *,
    pronoun: bool = False,
) -> Phrase:
    last = toks[end - 1]
    noun = singular(last.low)
    sizes, part, count, after = _beside(toks, end)
    said = [*f.kept, *(t.text if t.kind == "size" else _small(t.text) for t in toks[start : end - 1]), *sizes]
    head = singular(_small(last.text))
    name = (
        " ".join([*said[: len(said) - len(sizes)], head, *sizes]) if not f.kept else " ".join([*said, head])
    )
    known = (
        pronoun
        or _is_noun(noun, words)
        or any(_is_noun(singular(t.low), words) for t in toks[start : end - 1])
    )
    return Phrase(
        name=name,
        noun=noun,
        plural=noun != last.low,
        count=count if count is not None else f.count,
        vague=f.vague,
        new=f.new,
        part=part or f.part,
        first=first,
        after=after,
        known=known,
        article=f.article,
        pronoun=pronoun,
    )


def _small(word: str) -> str:
    return word[0].upper() + word[1:].lower() if re.match(r"[A-Za-z]-[A-Za-z]", word) else word.lower()


def _beside(toks: Sequence[Token], i: int) -> tuple[list[str], str | None, int | None, int]:
    """Sizes, part number and count behind a name, in any order, and the place after them."""
    sizes: list[str] = []
    part: str | None = None
    count: int | None = None
    while i < len(toks):
        t = toks[i]
        if t.kind == "size":
            sizes.append(t.text)
        elif t.kind == "part" and part is None:
            part = t.text
        elif t.kind == "bracket":
            inner_part, inner_count = in_bracket(t.text[1:-1])
            part, count = part or inner_part, count if count is not None else inner_count
        elif _introduces(toks, i):
            pass
        elif t.kind == "count" and _pieces_at(toks, i) and not _continues(toks, i + 2):
            count, i = t.number, i + 1
        else:
            break
        i += 1
    return sizes, part, count, i


def _introduces(toks: Sequence[Token], i: int) -> bool:
    """A word or sign before a number or a count that belongs to the name: `part no. 4471-33`, `, 2 off`."""
    low = toks[i].low
    if low == "," and i + 1 < len(toks) and toks[i + 1].low in ("part", "p/n", "no"):
        return _part_soon(toks, i + 1)
    if low == ",":
        counted = _pieces_at(toks, i + 1) and not _continues(toks, i + 3)
        return counted or _number_alone(toks, i + 1)
    abbreviated = low == "." and i > 0 and toks[i - 1].low in ("no", "nos")
    return (abbreviated or low in ("part", "p/n", "no", "nos", "number")) and _part_soon(toks, i)


def _part_soon(toks: Sequence[Token], i: int) -> bool:
    return any(t.kind == "part" for t in toks[i + 1 : i + 4])


def _number_alone(toks: Sequence[Token], i: int) -> bool:
    """A part number between commas: `the sensor ring, 31-515-0070, with …`."""
    if i >= len(toks) or toks[i].kind != "part":
        return False
    return i + 1 >= len(toks) or toks[i + 1].kind in ("sign", "bracket") or toks[i + 1].low in ENDS


def _pieces_at(toks: Sequence[Token], i: int) -> bool:
    return (
        i + 1 < len(toks)
        and toks[i].kind == "count"
        and toks[i + 1].low in PIECES
        and toks[i + 1].low not in ("no", "x")
    )


def in_bracket(inside: str) -> tuple[str | None, int | None]:
    """Part number and count inside brackets; a lone figure is a callout of the drawing and counts nothing.

    >>> in_bracket("4471-33, 2 off"), in_bracket("5"), in_bracket("two")
    (('4471-33', 2), (None, None), (None, 2))
    """
    label = _NUMBER_LABEL.match(inside)
    part = part_at(inside[label.end() :] if label else inside)
    rest = inside.replace(part, " ", 1) if part else inside
    counted = _COUNTED.search(rest.lower())
    if counted:
        return part, int(next(n for n in counted.groups() if n))
    told = [t for t in tokens(rest) if t.kind == "count" and not t.text[0].isdigit()]
    return part, told[0].number if len(told) == 1 and len(rest) < 12 else None

"""The phrase book's small language, made into regular expressions over folded text.

    {old} <be> (replaced|superseded) by [the new] {new}

Words match in either case with any blanks between; `(a|b)` are alternatives, `[a]` may be missing,
`{field}` is something to read, `<word>` stands for a pattern of the book's own `[words]`, `:` announces
new words, `->` is any arrow, `\\(` a bracket. `<word>*` is a run of up to eight of them, or none.
Every quantifier is bounded, so no pattern can run away.
"""

import random
import re
from collections.abc import Mapping, Sequence

from benchleaf.graph.errors import WrongUse
from benchleaf.ingest.phrases.tags import ANY, CODE, DATE, NOTE, PART, QUOTE, REF, SERIAL, VALUE, WEAK

_TOKEN = re.compile(
    r"\{(?P<field>[a-z]+)\}|<(?P<word>[a-z-]+)>\*?|(?P<mark>->|\\.|[()|\[\]:;.,=?+—-])|"
    r"(?P<text>[^\s(){}\[\]|<>:;.,=?+\\—-]+(?:-[^\s(){}\[\]|<>:;.,=?+\\—-]+)*)|(?P<blank>\s+)"
)
_OPTIONAL = 8  # optional elements that may follow one another
_RUN = 8  # words that a run may hold
_GAP = "[ ,]{0,3}"


def _any_of(words: str) -> str:
    """One of some words, by first letters: where none of a hundred stands, one letter tells so."""
    by_letter: dict[str, list[str]] = {}
    for word in sorted(set(words.split()), key=lambda w: (-len(w), w)):
        by_letter.setdefault(word[0], []).append(word[1:])
    return "|".join(f"{letter}(?:{'|'.join(ends)})" for letter, ends in sorted(by_letter.items()))


_STOPS = (
    "not no never nor neither without than that which who if unless whether is are was were be been has have"
    " had do does did can could may might will would shall should must cannot replace replaces replaced"
    " supersede supersedes superseded by use used fit order instead see but and or however because delete add"
    " insert become becomes remain remains contain contains consist consists to from into in within on at as"
    " under formerly previously originally ex replacing superseding now then when after before until only old"
    " respectively stock it they"
)
_STOP = _any_of(_STOPS)
_NOUN = rf"(?!(?:{_STOP})\b)[A-Za-zÀ-ɏ][A-Za-zÀ-ɏ'’/-]{{0,24}}+\.?"
# "seal ring (inner) 318 604 57": a word or two in brackets belong to the name
_ASIDE = rf"\((?![^()]{{0,30}}\b(?:{_STOP})\b)[A-Za-zÀ-ɏ][A-Za-zÀ-ɏ' -]{{0,30}}\)"
_NOUNS = rf"(?:(?:{_NOUN}|{_ASIDE}|[0-9]{{1,2}}(?: ?[x×])?|one|two)[ ,]{{1,2}}+){{0,7}}"
_STOP_IN_LIST = _any_of(f"{_STOPS} new current replacement latest present")
_IN_LIST = _NOUNS.replace(f"(?!(?:{_STOP})", f"(?!(?:{_STOP_IN_LIST})")
_BRACKET = r"(?: ?\([^()]{0,80}\))?"
_COMMA = r"(?: ?[,;/+&](?: (?:plus|either))?) ?"
_AND = (
    r"(?: ?,? (?:and|or|plus|and also|and/or|together with|as well as|along with|in"
    r" conjunction with)\b(?: either)?"
    r"(?: (?:the |an? )?(?:old|former|previous)\b)?) "
)
_SEPARATOR = rf"(?:{_AND}|{_COMMA})"
_VERB_AFTER = (
    r"(?! ?(?:\([^()]{0,60}\) ?)?(?:(?:is|are|was|were|has|have|had|replaces?|supersedes?"
    r"|superseded|replaced|becomes?|now|must|may"
    r"|can|will|does|do|remains?|should|shall|takes?|contains?|consists?|s/s|comes?|by|to"
    r"|instead|in place|in lieu)\b|→|->|=>|⇒|➔|>|=))"
)
_NUMBER = rf"[{PART}{CODE}{WEAK}]"
_WORD_NUMBER = (
    "one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|twenty"
)
_FIGURE = (
    rf"(?:(?<![0-9])[0-9]{{1,5}}(?:[.,/][0-9]{{1,4}})?(?: ?[–-] ?[0-9]{{1,5}}(?:[.,][0-9]{{1,4}})?)?|\b"
    rf"(?:{_WORD_NUMBER})\b)"
)
# "3.1 to 3.9 mm", "0.3 mm to 0.5 mm": tried before the one value, given up where the phrase needs its "to".
_RANGE = rf"(?:{VALUE}|(?<![0-9])[0-9]{{1,5}}(?:[.,][0-9]{{1,4}})?) (?:(?:up )?to|and) {VALUE}"
_COUNTED_THING = rf"{_FIGURE}(?: (?!(?:{_any_of(f'{_STOPS} of for')})\b)[a-z]{{3,14}}\b)?"
_AMOUNT = rf"(?:{_RANGE}|{VALUE}|{QUOTE}|{_NUMBER}|{_COUNTED_THING})"
_DATED = rf"(?:[ ,]{{0,2}}\(?(?:dated|of|issued|from|issue of)? ?{DATE}\)?)?"

# "a housing (318 604 22) and a cover [318 604 57]": the number of the thing just named
# and "[318 604 57] housing", "housing (new number [318 604 57])"
_LABELLED = r"(?:(?:new )?(?:part |kit )?(?:no|nos|number|identifier|P/N)\b\.? ?:? ?)?"
_NAMED = rf"(?:[\[(]{_LABELLED}[\[(]?{_NUMBER}[\])]{{1,2}}(?:(?: {_NOUN}){{1,4}}(?={_SEPARATOR}))?|{_NUMBER})"
_LIST = rf"{_NAMED}(?:{_BRACKET}{_SEPARATOR}{_IN_LIST}{_NAMED}GUARD){{0,11}}+{_BRACKET}"
# A field that opens a pattern starts where its list starts: "A and B are replaced" is not read from B on.
_NOT_INSIDE = "".join(
    rf"(?<![{PART}{CODE}{WEAK}{REF}]{re.escape(s)})"
    for s in (", ", " and ", ", and ", " or ", "/", " / ", " + ", " & ", ",")
)
# A kit may stand before a step: "With kit 4471, step 5 is replaced".
_NO_STEP_BEFORE = "".join(
    rf"(?<![{'' if s == ', ' else PART}{CODE}{WEAK}{REF}]{re.escape(s)})"
    for s in (", ", " and ", ", and ", " or ", "/", " / ", " + ", " & ", ",")
)
_NOT_BEHIND_THE = "".join(rf"(?<!{REF}{s} the )" for s in (",", " ,", " and", ", and"))
_LEADING = _NOT_INSIDE + _LIST.replace("GUARD", "")
_COUNTED = rf"(?:(?:[0-9]{{1,2}}|{_WORD_NUMBER}) (?:{_NOUN} ?){{1,3}}+: ?)?"  # "two parts: A and B"
_LATER = _COUNTED + _NOUNS + _LIST.replace("GUARD", "")
# At a pattern's end a list stops before a number that starts a clause of its own: "by B and C is replaced by
# D".
_LAST = _COUNTED + _NOUNS + _LIST.replace("GUARD", _VERB_AFTER)
_HEDGES = ("will", "may", "might", "can", "could", "would", "should")
_FIELDS: Mapping[str, str] = {
    "kit": rf"{_NOUNS}{_NUMBER}{_BRACKET}",
    "note": rf"(?:the |our |former |earlier ){{0,2}}[{NOTE}{CODE}]{_DATED}(?:(?: ?,| and|, and| &) "
    rf"(?:the |our )?[{NOTE}{CODE}{WEAK}]{_DATED}){{0,5}}",
    "ref": rf"(?:(?:the|our) )?{_NO_STEP_BEFORE}{_NOT_BEHIND_THE}{REF}(?:(?: ?,| and|, and| &| as well as"
    r"| ?;)(?: of| the|"
    rf" on){{0,2}} {REF}){{0,5}}+",
    "was": _AMOUNT,
    "now": _AMOUNT,
    "q": rf"(?:[0-9]{{1,3}}|\b(?:{_WORD_NUMBER})\b)",
    "date": DATE,
    "serial": SERIAL,
    "quote": QUOTE,
    "value": VALUE,
    "np": _NOUNS,
    "any": rf"[^{ANY}.;?!]{{0,90}}?",
    "w": r"(?:(?!(?:not|no|never|longer|hardly|only|yet|neither|nor)\b)[a-z][a-z'-]{1,20} ?){0,3}?",
    "words": rf"[^{ANY}.;:?!]{{1,40}}?",
    "when": rf"(?:{DATE}|(?:the |early |late )?[A-Za-z]{{3,12}}(?: [0-9]{{4}})?|[0-9]{{4}})",
    "front": r"[^.;:?!()]{3,300}?",
    "hedge": rf"\b(?:{'|'.join(_HEDGES)})\b",
    "lines": r".{0,700}",
    "text": r"[ :.–—-]{0,3}",
}
_NUMBERS = ("old", "new", "part")
SIGNS: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(("old", "new", "part", "single", "kit"), (PART, CODE, WEAK)),
    **{"note": (NOTE, CODE), "ref": (REF,), "date": (DATE,), "serial": (SERIAL,)},
    **{"quote": (QUOTE,), "value": (VALUE,)},
}
"""The signs of which a field holds at least one; the fields that are not here may do without any."""
TELLING: Mapping[str, tuple[str, ...]] = {"hedge": _HEDGES}
"""The words of which a field holds one."""
_MARKS: Mapping[str, str] = {
    ":": rf"(?: ?[:–—]| -(?= )| ?\.\.\.| ?…|(?=[ ,]?{QUOTE})|(?= ?$))",
    "->": r"(?:→|➔|⇒|[-–—=]{1,4}>|»|>)",
    "—": r"(?:[–—]|-)",
    "-": r"(?:[–—]|-)",
}


def fields_of(pattern: str) -> tuple[str, ...]:
    """The names of the fields in a pattern, in order."""
    return tuple(
        "old" if m["field"] == "single" else m["field"] for m in _TOKEN.finditer(pattern) if m["field"]
    )


_NOT_PACKED = "(?![\ue001-\ue00f]{3})"
"""No wording begins with three signs that touch: trying every pattern there only costs time."""


def compiled(pattern: str, words: Mapping[str, str], name: str) -> re.Pattern[str]:
    """One pattern as a regular expression with a named group a field; a field's second place is `old_2`.

    Raises WrongUse naming the phrase if the pattern is malformed.
    """
    maker = _Maker(words, name)
    expression = maker.sequence(tokens_of(pattern, name), outer=True)
    if not maker.anchored:
        raise WrongUse(
            f"phrase “{name}”: the pattern “{pattern}” has no word and no number of its own.", "Add one."
        )
    try:
        return re.compile(f"{_NOT_PACKED}{expression}", re.IGNORECASE)
    except (re.error, RecursionError) as problem:
        raise WrongUse(f"phrase “{name}”: the pattern “{pattern}” cannot be read ({problem}).") from problem


def tokens_of(pattern: str, name: str) -> list[str]:
    """The words, fields and marks of a pattern, in order. Raises WrongUse, naming the phrase, for anything
    else."""
    tokens: list[str] = []
    at = 0
    for match in _TOKEN.finditer(pattern):
        if match.start() != at:
            break
        at = match.end()
        if not match["blank"]:
            tokens.append(match.group())
    if at != len(pattern):
        raise WrongUse(
            f"phrase “{name}”: “{pattern[at : at + 12]}” cannot be read.", "Use \\( for a bracket."
        )
    return tokens


class _Maker:
    """Turns tokens into one expression; keeps count of the fields used."""

    def __init__(self, words: Mapping[str, str], name: str) -> None:
        self.words, self.name = words, name
        self.used: list[str] = []
        self.anchored = False
        self.leading = True
        self.blank = True  # nothing has been emitted yet, so no gap is needed
        self.depth = 0

    def sequence(self, tokens: list[str], outer: bool = False) -> str:
        """Reads alternatives up to the closing mark (or the end) and gives `a|b|c`."""
        options: list[str] = []
        parts, row = "", 0
        start = (self.leading, self.blank)
        while tokens:
            token = tokens.pop(0)
            if token in (")", "]"):
                if outer:
                    raise WrongUse(f"phrase “{self.name}”: a “{token}” too many.")
                return _longest_first([*options, parts])
            if token == "|":
                options.append(parts)
                parts, row, (self.leading, self.blank) = "", 0, start
                continue
            row = row + 1 if token == "[" else 0
            if row > _OPTIONAL:
                problem = f"phrase “{self.name}”: more than {_OPTIONAL} optional words in a row."
                raise WrongUse(problem, "They make a pattern too slow.")
            parts += self._element(token, tokens)
        if not outer:
            raise WrongUse(f"phrase “{self.name}”: a bracket is not closed.")
        return _longest_first([*options, parts])

    def _element(self, token: str, tokens: list[str]) -> str:
        if token == "[":
            return self._optional(tokens)
        if token == "(":
            return f"(?:{self.sequence(tokens)})"
        if token.endswith(">*"):
            return f"(?:{self._word(token[1:-2])}){{0,{_RUN}}}"
        if token.startswith("<"):
            return self._word(token[1:-1])
        gap = "" if self.blank else _GAP
        self.blank = False
        if token.startswith("{"):
            return gap + self._field(token[1:-1], _ends(tokens))
        return gap + self._single(token)

    def _optional(self, tokens: list[str]) -> str:
        """Words that may be missing at a pattern's start need not be looked for: only their fields count."""
        opening = self.blank
        before = (self.leading, self.anchored, self.blank)
        inner = self.sequence(tokens)
        if opening and "(?P<" not in inner:
            self.leading, self.anchored, self.blank = before
            return ""
        return f"(?:{inner})?"

    def _word(self, name: str) -> str:
        if name not in self.words or self.depth > 6:
            raise WrongUse(f"phrase “{self.name}”: there is no <{name}> in [words].")
        self.depth += 1
        inner = self.sequence([*tokens_of(self.words[name], self.name), ")"])
        self.depth -= 1
        return f"(?:{inner})"

    def _single(self, token: str) -> str:
        if token in _MARKS:
            return _MARKS[token]
        if token.startswith("\\"):
            return re.escape(token[1:])
        self.anchored = True
        self.leading = False
        word = re.escape(token)
        return (r"\b" if token[0].isalnum() else "") + word + (r"\b" if token[-1].isalnum() else "")

    def _field(self, name: str, last: bool) -> str:
        if name == "single":
            name, body = "old", ("" if self.leading else _NOUNS) + _NUMBER + _BRACKET
        elif name in _NUMBERS:
            body = _LEADING if self.leading else _LAST if last else _LATER
        elif name in _FIELDS:
            body = _FIELDS[name]
        else:
            raise WrongUse(
                f"phrase “{self.name}”: there is no field {{{name}}}.", f"Known: {', '.join(known())}."
            )
        if name == "kit" and self.leading:
            body = _NUMBER + _BRACKET
        if name == "front" and self.leading:
            body = rf"(?:^|(?<=[.!?:] )){body}"
        if name not in ("any", "np", "w", "words", "text", "lines", "hedge", "when", "front"):
            self.leading = False
            self.anchored = True
        self.used.append(name)
        count = self.used.count(name)
        return f"(?P<{name}{'' if count == 1 else f'_{count}'}>{body})"


def _ends(tokens: Sequence[str]) -> bool:
    """True if nothing that must be there follows in the pattern."""
    depth = 0
    for token in tokens:
        if token == "[":
            depth += 1
        elif token == "]" and depth:
            depth -= 1
        elif depth == 0:
            return token in ("|", ")", "]")
    return True


def _longest_first(options: Sequence[str]) -> str:
    """ "following text" must be tried before "following", or its second word would be taken for new words."""
    return "|".join(sorted(options, key=len, reverse=True))


def saying(pattern: str, words: Mapping[str, str], pick: random.Random) -> list[str]:
    """Words of folded text as the pattern wants them, among its alternatives; a sign for each field."""
    return _said(tokens_of(pattern, ""), words, pick, 0)


def _said(tokens: list[str], words: Mapping[str, str], pick: random.Random, depth: int) -> list[str]:
    options: list[list[str]] = [[]]
    while tokens:
        token = tokens.pop(0)
        if token in (")", "]"):
            break
        if token == "|":
            options.append([])
        elif token in ("(", "["):
            inner = _said(tokens, words, pick, depth)
            options[-1] += inner if token == "(" or pick.random() < 0.6 else []
        elif token.startswith("<") and depth < 7:
            inside = tokens_of(words.get(token.strip("<>*"), ""), "")
            options[-1] += _said(inside, words, pick, depth + 1)
        elif token.startswith("{"):
            options[-1].append(pick.choice((PART, CODE, WEAK, NOTE, REF, VALUE, QUOTE, DATE, SERIAL, "2")))
        else:
            options[-1].append(token.removeprefix("\\"))
    return pick.choice(options)


def known() -> Sequence[str]:
    """The names of all fields."""
    return sorted((*_FIELDS, *_NUMBERS, "single"))

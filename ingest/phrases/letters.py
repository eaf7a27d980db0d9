"""Steps named by letters: "paragraph (f)", "steps c) to e)", "6(a) and (b)"."""

import re

_ALONE = r"(?-i:[a-z])(?![A-Za-z0-9'’.-])"
_SUB = re.compile(r"(?P<number>[0-9]{1,3})? ?\((?P<letter>[a-z])\)", re.IGNORECASE)
_RUN = re.compile(
    r"(?P<a>[a-z]) (?:to|thru|through|up to) (?P<b>[a-z])|(?P<c>[a-z]) ?[-–—] ?(?P<d>[a-z])", re.IGNORECASE
)
_LONGEST = 20  # letters of a run


def one_letter(item_words: str) -> str:
    """The pattern of one lettered label.

    "(f)" and "f)" stand anywhere; a mere "f" only where a page, another step or a stop follows, for "a" is an
    article too. "(b) above" is a paragraph of the note itself.
    """
    goes_on = (
        rf"(?:(?: ?, ?| and | to | & ){_ALONE}){{0,6}}(?:[,;:] (?!(?-i:[a-z])(?:[ ,]|$))"
        rf"|,? (?:\()?(?:(?:on|of|at) )?(?:the )?(?:pages?|pp?\.|sheets?|{item_words})(?![A-Za-z]))"
    )
    return rf"(?:\([a-z]\)(?! (?:above|below|hereof|of this)\b)|(?-i:[a-z])\)|{_ALONE}(?={goes_on}))"


def lettered_run(piece: str, before: str) -> tuple[str, ...]:
    """The labels of "(c) to (e)" and "6(a) to (c)", and of the "(b)" behind `before`, "6(a)"; empty for any
    other piece.

    >>> lettered_run("6(a) to (c)", "")
    ('6(a)', '6(b)', '6(c)')
    """
    piece = piece.strip()
    own, lone = _SUB.match(piece), _SUB.match(before)
    number = (own and own["number"]) or (lone and own and lone["number"]) or ""
    ends = _RUN.fullmatch(re.sub("[()]|^[0-9]{1,3}", "", piece).strip())
    if ends is None:
        return (f"{number}({own['letter']})",) if own and number and not own["number"] else ()
    first, last = ord((ends["a"] or ends["c"]).lower()), ord((ends["b"] or ends["d"]).lower())
    run = [chr(n) for n in range(first, last + 1)] if last - first < _LONGEST else []
    return tuple(f"{number}({letter})" if number else letter for letter in run)

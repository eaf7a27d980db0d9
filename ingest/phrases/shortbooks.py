"""Numbers that what stands beside them makes a manual's or a step: "step 4 in QX", "5.3.3 on page 15"."""

import re
from collections.abc import Collection

from benchleaf.graph.keys import key
from benchleaf.ingest.phrases.citationwords import ITEM_WORDS, LETTERED_STEP, NO, C
from benchleaf.ingest.phrases.labels import SHORT
from benchleaf.ingest.phrases.tags import CODE, PUB, WEAK, Tag, Tagged, replace_at

_STEP_OF_LETTER = re.compile(LETTERED_STEP)
_STOPS = re.compile(r"[0-9]{1,2}(?:\.[0-9]{1,2}){2,3}")
# "para 1 of 2.1.4", "item 2 of A.1": a number with stops is a section, whatever stands before it.
SECTION_LIKE = re.compile(r"(?:[0-9]{1,2}|[A-Z])(?:\.[0-9]{1,2}){1,4}")
_OF_WORDS = re.compile(r"\b(?:words|wording|text) of $", re.IGNORECASE)
_ON_PAGE = re.compile(
    r",? ?(?:on |at |\()(?:the )?(?:[^(),.]{0,16}, )?(?:pages?|pp?\.|sheets?)[ :]", re.IGNORECASE
)
_LETTER_AND_FIGURE = re.compile(r"[A-Z]-[0-9]{1,2}")
_STANDS_ON = re.compile(r" on (?:the )?(?:pages?|pp?\.|sheets?)[ :]", re.IGNORECASE)
_BEHIND_PAGE = re.compile(r"(?:page [0-9]{1,2}|same page), $", re.IGNORECASE)
_PAGE_FORM = re.compile(r"[0-9]{1,3}-[0-9]{1,3}")
_STEP_ON = re.compile(rf"\b{ITEM_WORDS} \(?[0-9]{{1,3}}\)? on $", re.IGNORECASE)
# Words that stand before small numbers which are no manual's.
_NO_BOOK = (
    r"(?!(?:no|nos|nr|fig|figs|page|pages|pp?|pg|step|steps|item|items|section|sect|kit|part|para|paras|issue"
    r"|rev|ed|vol|table|chapter|chap|group|s|sn|m|op|ops|opn|note|line|sheet|model|type|point|pos|edition"
    r"|jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec|in|on|at|to|of|iso|din|bs|sae|en|ref|qty)\b)"
)
_CITES = rf"(?:{ITEM_WORDS}|pages?|pp?\.?|pg\.?|sections?|chapters?|sheets?|lines?)(?![A-Za-z])"
_BEHIND = re.compile(
    rf"\b{_CITES}{NO}[0-9][0-9A-Za-z.,–-]{{0,7}}[),]{{0,2}} (?:\(|(?:of|in|from|to) )?"
    rf"(?:the |our |your )?(?:copy of )?(?P<number>{_NO_BOOK}{SHORT})",
    re.IGNORECASE,
)
_CODED = re.compile(
    rf"\b{_CITES}{NO}[0-9][0-9A-Za-z.–-]{{0,7}}, (?P<number>{C})"
    r"(?= ?(?:[,:;.)–-]|$|(?:is|are|has|have|now|to)\b))",
    re.IGNORECASE,
)
_BETWEEN = re.compile(
    rf"[0-9)], (?:the )?(?P<number>{_NO_BOOK}{SHORT}|{C})(?= ?,? (?:pages?|pp?\.?|pg\.?|sheets?) ?[0-9A-Z])",
    re.IGNORECASE,
)
_PAGED = re.compile(r"\b(?:pages?|pp?\.?|pg\.?|sheets?|folios?)(?: ?nos?\.?)?[ :(]{0,2}$", re.IGNORECASE)
_LETTERED = re.compile(r"[A-Z]{2,5}[ ./-]?[0-9]{1,6}(?:[./-][0-9A-Z]{1,4})?")
_AHEAD = re.compile(
    r"(?:^|[.;:(] ?|\b(?:in|of|to|on|from|regarding|concerning|for|re|correct|amend|see|and)[ :] ?)"
    rf"(?:the |our |your )?(?:copy of )?(?P<number>{_NO_BOOK}{SHORT})"
    rf"(?= ?[,:;.(/–-]{{0,2}} ?\(?(?:on |under |at |to |see |turn to )?(?:the )?{_CITES}{NO}[0-9A-Z])",
    re.IGNORECASE,
)
_OPENS = re.compile(
    r"(?:^|[.;:] )(?:(?:in|to|re|regarding|concerning|amend|correct|change)[ :.]{1,2})?(?:the |our |your )?"
    rf"(?:copy of )?(?P<number>{_NO_BOOK}{SHORT})(?= ?[,.:–-] ?[^.;?!]{{0,60}}?\b{_CITES}{NO}[0-9A-Z])",
    re.IGNORECASE,
)
_COPIES = re.compile(
    r"\b(?:cop(?:y|ies) of|corrections? (?:to|of|for|in)|amendments? (?:to|of|in|for)|changes? (?:to|in)"
    rf"|amend|errat(?:a|um) (?:to|for|in)) (?:the |your |our )?(?P<number>{_NO_BOOK}{SHORT})",
    re.IGNORECASE,
)
_SHORT = re.compile(rf"(?<![A-Za-z0-9./-])(?P<number>{_NO_BOOK}{SHORT})", re.IGNORECASE)


def unfolded(tagged: Tagged) -> Tagged:
    """With the words of what looks like a number and stands as a step ("5.3.3 on page 15") or a page ("step 1
    on 3-7")."""
    for place, code in sorted(tagged.tags.items(), reverse=True):
        before, after = tagged.folded[max(0, place - 30) : place], tagged.folded[place + 1 :]
        step = _STOPS.fullmatch(code.text) and (_OF_WORDS.search(before) or _ON_PAGE.match(after))
        page = _PAGE_FORM.fullmatch(code.text) and _STEP_ON.search(before)
        lettered = _LETTER_AND_FIGURE.fullmatch(code.text) and (
            _STANDS_ON.match(after) or _BEHIND_PAGE.search(before)
        )
        if code.kind in (CODE, WEAK) and (step or page or lettered):
            tagged = _with_words(tagged, place)
    return tagged


def _with_words(tagged: Tagged, place: int) -> Tagged:
    start, end = tagged.spans[place]
    words = tagged.text[start:end]
    spans = (
        *tagged.spans[:place],
        *((i, i + 1) for i in range(start, end)),
        *tagged.spans[place + 1 :],
    )
    tags = {(p if p < place else p + len(words) - 1): t for p, t in tagged.tags.items() if p != place}
    return Tagged(tagged.text, tagged.folded[:place] + words + tagged.folded[place + 1 :], spans, tags)


def short_books(tagged: Tagged, known: Collection[str], models: Collection[str]) -> Tagged:
    """Short numbers that a page or a step stands beside, or that the note calls a manual elsewhere."""
    for pattern in (_CODED, _BETWEEN, _BEHIND, _AHEAD, _OPENS, _COPIES, _SHORT):
        stretches = []
        for found in pattern.finditer(tagged.folded):
            start, end = found.span("number")
            words = tagged.words(start, end)
            if pattern in (_CODED, _BETWEEN) and not _LETTERED.fullmatch(words):
                continue
            if _STEP_OF_LETTER.match(tagged.folded, start):
                continue
            if SECTION_LIKE.fullmatch(words) or _PAGED.search(tagged.folded, max(0, start - 12), start):
                continue
            if key(words) not in models and (pattern is not _SHORT or key(words) in known):
                stretches.append((start, end, Tag(PUB, words)))
        tagged = replace_at(tagged, stretches)
    return tagged

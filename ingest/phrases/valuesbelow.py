"""A value changed in a paragraph of its own, below the words that name the step: "Amend page 24, step 4:"
with "for “9 Nm” read “11 Nm”" under it. Those words change a value, and are no new text of the step."""

import re

from benchleaf.ingest.phrases.matches import Match, matches
from benchleaf.ingest.phrases.newwords import NewWords
from benchleaf.ingest.phrases.overriding import values
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.tags import QUOTE, VALUE

_LEAD = 6  # characters, such as "1. ", that may stand before what a paragraph says
# What only an editor of the page says; "Raise the pressure from 5 bar to 6 bar" may be the work itself.
_EDITS = re.compile(
    rf"\W{{0,6}}(?:(?:in place of|instead of|for) (?:the (?:value|figure|words?) )?[{QUOTE}{VALUE}]"
    rf"|[{QUOTE}{VALUE}] ?(?:becomes|now reads|is (?:now|changed|altered|amended|replaced)|→|->)"
    r"|(?:change|alter|amend|replace|delete|strike out|substitute|read|for)"
    rf" (?:the (?:value|figure|words?) )?{QUOTE})",
    re.IGNORECASE,
)
_SMALL_REST = 12  # characters that may follow the change in its paragraph


def value_below(reader: Reader, block: int, match: Match, words: NewWords) -> bool:
    """True if what stands below a match that looks for new words is a value changed, and only that."""
    above = reader.passage(block)
    at_end = not above.folded[match.end :].strip(" .:–—-")
    below = reader.body.blocks[block + 1] if block + 1 < len(reader.body.blocks) else None
    if not isinstance(below, Passage) or not (words.block > block or (at_end and not words.text)):
        return False
    if not _EDITS.match(below.folded):
        return False
    return any(_is_change(reader, below, m) for m in matches(reader.book, below))


def _is_change(reader: Reader, below: Passage, match: Match) -> bool:
    if match.phrase.action != "change-value" or match.phrase.weak or match.start > _LEAD:
        return False
    rest = below.folded[match.end :].strip(" .")
    return len(rest) <= _SMALL_REST and values(below, match) is not None

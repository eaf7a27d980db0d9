"""Words beside a change that narrow it: "in the front pump", "for export", "at first overhaul".

What limits the units by model, serial number or kit is read as such and taken out before; what is left and
begins with a preposition names a place, a use or an occasion that no answer can test. Such a change holds for
less than it seems to, so it is a doubt. Reasons and formalities ("for easier fitting", "in full") narrow
nothing: their first words stand in the phrase book under `no-limit`.
"""

import re
from collections.abc import Set
from functools import cache

from benchleaf.ingest.head.fields import packaged, plain
from benchleaf.ingest.phrases.phrasebook import PhraseBook

_PREPOSITION = (
    r"(?:for|on|in|at|during|as regards|(?:as|so) far as|as to|regarding|with regard to|in respect of"
    r"|in the case of|with|where|wherever|whenever|whilst|while|after|before|throughout|among|within|inside"
    r"|outside)"
)
_BEHIND = re.compile(
    rf"[ ,–—-]{{0,3}}(?P<limit>(?:(?:but|and) )?(?:only |solely |exclusively )?{_PREPOSITION}"
    r" (?P<words>[a-z][^.;:,()]{1,60}))",
    re.IGNORECASE,
)
_AHEAD = re.compile(
    r"(?:[^;]{0,200};)?[ ,]{0,3}(?P<limit>(?:(?:only|and|but|also) )?"
    r"(?:for|on|in respect of|in|at|during|with|under|as regards)"
    r" (?P<words>[a-z][^.;:,()\ue001-\ue00b]{1,50}))"
    r"(?:, ?(?:[a-z-]{1,20} ){0,4}(?:[a-z-]{1,20}|\ue008,?)?)?$",
    re.IGNORECASE,
)
_ONLY_AHEAD = re.compile(
    r"(?:[^;]{0,200};)?[ ,]{0,3}"
    r"(?P<limit>(?!(?:on|for|with|in) )[A-Za-z0-9][^;.:,\ue001-\ue00b]{2,50} (?:only|alone))"
    r" ?[:,–—-][^;:]{0,60}$",
    re.IGNORECASE,
)
_ONLY = re.compile(r"[ ,]{0,2}(?P<limit>(?:but )?(?:only|solely|exclusively)\b[^.;:]{0,60})", re.IGNORECASE)
_REGARDS = re.compile(r"(?:but |and )?(?:as regards|(?:as|so) far as|in respect of|regarding)", re.IGNORECASE)
_ONLY_AT_END = re.compile(r"\b(?:only|alone|solely|exclusively) ?[.;]?$", re.IGNORECASE)
_AGAIN = re.compile(
    r"[ ,]{0,3}(?P<limit>(?:is|are|has been|have been|was|were|and is)\b[^.;]{0,40}\bagain\b)", re.I
)
_ON_CONDITION = re.compile(r"\b(?:when|if|unless|provided)\b[^:;]{1,40}", re.IGNORECASE)
_ARTICLES = frozenset({"a", "an", "the", "our", "its", "their", "any", "such", "said"})


@cache
def _words_of(printed: str) -> frozenset[str]:
    return frozenset(re.findall(r"[a-z'’-]+", printed.lower()))


def vocabulary(book: PhraseBook, *names: str) -> frozenset[str]:
    """The single words of entries of the book's [words]."""
    return _words_of(" ".join(printed for name, printed in book.words if name in names))


def limited(before: str, after: str, harmless: Set[str]) -> list[str]:
    """Doubts about words that narrow a change. `before` and `after` are the words of its sentence around it,
    without those that name units; a limit whose first word is among `harmless` is none.

    >>> limited("", " in the front pump", set())
    ['“in the front pump” may limit it']
    >>> limited("", " in full", {"full"})
    []
    """
    return [f"“{words}” may limit it" for words in dict.fromkeys(_limits(before, after, harmless))]


def _limits(before: str, after: str, harmless: Set[str]) -> list[str]:
    found = []
    behind = _BEHIND.match(after)
    if behind and (_REGARDS.match(behind["limit"]) or _narrows(behind["words"], harmless)):
        found.append(behind["limit"])
    elif bare := _ONLY.match(after) or _AGAIN.match(after):
        found.append(bare["limit"])
    ahead = _AHEAD.fullmatch(before.rstrip())
    if ahead and (_REGARDS.match(ahead["limit"]) or _narrows(ahead["words"], harmless)):
        found.append(ahead["limit"])
    only = None if ahead else _ONLY_AHEAD.fullmatch(before.rstrip())
    if only and _narrows(only["limit"], harmless):
        found.append(only["limit"])
    return [words.strip() for words in found]


def _narrows(words: str, harmless: Set[str]) -> bool:
    """True if the words name something that is not everywhere. "Only" at their end narrows, but for units
    named before ("on these units only"); a machine's bare name ("on gearboxes") does not, nor a single word
    behind which units were taken out ("for gears  ,")."""
    printed = [w for w in re.findall(r"[a-z][a-z'’-]*", words.lower()) if w not in _ARTICLES]
    said = [w for w in printed if w != "only"]
    if (
        not said
        or said[0] in ("these", "those")
        or (len(said) == 1 and (words.endswith("  ") or plain(said[0]) in packaged().nouns))
    ):
        return False
    return said[0] not in harmless or said[1:2] == ["case"] or _ONLY_AT_END.search(words.rstrip()) is not None


def on_condition(stretch: str) -> list[str]:
    """A doubt for a condition between a change and its new words: "replaced, if the pump is new, by: …"."""
    found = _ON_CONDITION.search(stretch)
    return [f"it holds only under a condition (“{found.group().strip()}”)"] if found else []

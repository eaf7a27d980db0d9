"""Standing cautions: work that can hurt someone is told so, and the maker and the law are deferred to.

benchleaf gives no figures of its own here. What is a hazard is common practice, no source.
"""

import re
from collections.abc import Iterable

_DEFER = "Values are the maker's; local codes and licensed practice apply."

_TOPICS: tuple[tuple[re.Pattern[str], str], ...] = (
    (
        re.compile(
            r"\b(?:compressed|dry|shop|blown?(?: \w{1,12}){0,2}) air\b"
            r"|\bair (?:pressure|check|line|gun|hose)",
            re.IGNORECASE,
        ),
        "Compressed air: eye protection, no air on skin, hands clear of what it moves.",
    ),
    (
        re.compile(r"\bsprings?\b", re.IGNORECASE),
        "Springs under load: use the tool the maker names, and stand clear while releasing.",
    ),
    (
        re.compile(
            r"\b(?:hydraulic|arbou?r|shop|bench) press\b"
            r"|\bpress(?:es|ed|ing)? (?:\w{1,15} ){0,5}(?:off|out|on|in|into|onto|from)\b",
            re.IGNORECASE,
        ),
        "Pressing: guard the press, support the part squarely, keep hands out.",
    ),
    (
        re.compile(
            r"\bheat(?:ed|ing)?\b|\bhot\b|\boil bath\b|\boven\b"
            r"|\b(?:[89][0-9]|[1-9][0-9]{2})\s{0,2}°\s{0,2}C\b",
            re.IGNORECASE,
        ),
        "Hot oil and hot parts: burns and fire; gloves, no water, no open flame.",
    ),
    (
        re.compile(
            r"\b(?:lift(?:ed|ing)?|hoist|sling|crane|lowered|lower the|eyebolts?|eye bolts?)\b", re.IGNORECASE
        ),
        "Lifting: rated gear, nobody under the load.",
    ),
    (
        re.compile(
            r"\bpressuri[sz]ed?\b|\b(?:test|gauge|oil) pressure\b"
            r"|\b[0-9]{1,4}(?:[.,][0-9]{1,3})?\s{0,2}(?:bar|kPa|MPa|psi)\b",
            re.IGNORECASE,
        ),
        "Pressure: relieve it before opening anything; oil under pressure goes through skin.",
    ),
)


def cautions(texts: Iterable[str]) -> tuple[str, ...]:
    """The standing cautions that these steps call for, each once, with whom they defer to; empty if none."""
    said = " \n ".join(texts)
    told = tuple(words for pattern, words in _TOPICS if pattern.search(said))
    return (*told, _DEFER) if told else ()

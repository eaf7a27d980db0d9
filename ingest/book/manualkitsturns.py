"""Sentences of parts books turned into the order in which the phrase book has them."""

import re

_CODE = r"(?=[0-9A-Z ./-]{0,20}[0-9])[0-9A-Z][0-9A-Za-z./-]{2,16}(?: [0-9]{2,4}){0,3}"
_KIT_NAMED = (
    rf"(?P<word>[Kk]it|[Ss]et)(?:,? (?:[Pp]art |[Oo]rder )?(?:[Nn]o\b\.?|[Nn]umber))? (?P<number>{_CODE})"
)
# A book of parts turns round what a sentence says: "4471-208 Disc kit, consisting of: …", "(includes …)".
TURNED: tuple[tuple[re.Pattern[str], str], ...] = (
    (
        re.compile(
            rf"(?:^|(?<=[.;] ))(?:The )?(?P<name>[A-Za-z][a-z -]{{0,30}} |){_KIT_NAMED}"
            r"(?:,| [–—-]| for| \()\s[A-Za-z][A-Za-z ,/-]{0,50}?\)?(?:[.:;,]| [–—-]|) "
            r"(?:It |The kit |This kit |The set )?\b(?:[Cc]onsists of|[Cc]omprises|[Cc]ontains"
            r"|[Cc]onsisting of|[Cc]omprising|[Cc]ontaining|[Cc]ontents|[Hh]olds|[Ii]ncludes)\b"
            r"(?: the following(?: parts)?)? ?:?"
        ),
        "{name}{word} {number} contains:",
    ),
    (
        re.compile(
            rf"^(?:The )?(?P<name>[A-Za-z][a-z -]{{0,30}} |){_KIT_NAMED} for [A-Za-z ,/-]{{2,50}}: (?=[0-9])"
        ),
        "{name}{word} {number} contains: ",
    ),
    (
        re.compile(
            rf"(?:^|(?<=[.;] ))(?:The )?(?P<name>[A-Za-z][a-z -]{{0,30}} |){_KIT_NAMED}"
            r" (?:is (?:composed|made up) of|consists of|comprises|contains)"
            r" the following(?: (?:parts|items))?:"
        ),
        "{name}{word} {number} contains:",
    ),
    (
        re.compile(
            rf"^In (?:the )?(?P<word>[Kk]it|[Ss]et) (?P<number>{_CODE}) (?:are|is) (?:contained|included):"
        ),
        "{word} {number} contains:",
    ),
    (
        re.compile(
            r"\b(?:are|is) (?:supplied|available|delivered|sold) (?:together |complete )?as (?:an? )?"
            rf"(?:[a-z]+ )?(?P<word>kit|set)(?: under)?(?: [Nn]o\.| number)? (?P<number>{_CODE})(?=\.$|$)"
        ),
        "are contained in {word} {number}",
    ),
    (
        re.compile(
            rf"^(?P<number>{_CODE}) [–—-]?\s?[A-Za-z][A-Za-z ,/&-]{{0,50}}?\b(?:[Kk]it|[Ss]et)\b"
            r"[A-Za-z ,/&-]{0,30}?[ ,:(]{0,3}"
            r"\b(?:consisting of|comprising|containing|contains|consists of|comprises|contents)\b ?:?"
        ),
        "Kit {number} contains:",
    ),
    (
        re.compile(
            rf"^(?P<number>{_CODE}) [–—-]?\s?[A-Za-z][A-Za-z ,/&-]{{0,50}}?\b(?:[Kk]it|[Ss]et) (?=\([0-9])"
        ),
        "Kit {number} ",
    ),
    (
        re.compile(
            rf"\b(?P<word>[Kk]it|[Ss]et) (?P<number>{_CODE})"
            r", (?:which|that) (?=contains|comprises|holds|consists)"
        ),
        "{word} {number} ",
    ),
    (
        re.compile(
            rf"\b(?P<word>[Kk]it|[Ss]et) (?P<number>{_CODE})"
            r" \((?:includes|including|containing|contains|comprising) "
        ),
        "{word} {number} (",
    ),
    (
        re.compile(
            rf"^(?:The )?(?P<name>[A-Za-z -]{{0,30}}\b)(?P<word>[Kk]it|[Ss]et) (?P<number>{_CODE})"
            r" [–—-] (?=[0-9])"
        ),
        "{name}{word} {number}: ",
    ),
    (
        re.compile(
            rf"\b(?:come|comes|supplied|delivered) as (?:[a-z]+ )?(?P<word>kit|set) (?P<number>{_CODE})"
            r": ?(?=[0-9])"
        ),
        "come as {word} {number} contains: ",
    ),
)

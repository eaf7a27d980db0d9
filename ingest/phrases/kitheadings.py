"""A heading that names the kit of the list below it by its number and nothing else: "47-310 – Seals",
"Bearing set (47-311)", "Table 2: 47-312".

How makers head their lists is common practice, no source.
"""

import re

from benchleaf.graph.keys import key
from benchleaf.graph.model import Supersession
from benchleaf.ingest.phrases.labels import kit_label
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.tags import CODE, KINDS, PART, REF, WEAK, Tag

_LONGEST = 70  # characters of a folded heading
_NAME = r"[A-Za-z][A-Za-z'’ ,/&-]{0,40}"
_COUNTER = (
    rf"(?:{REF} ?[.:–—-]? ?)?"
    r"(?:(?:table|list|fig\.?|contents|[a-z]\)|\(?[0-9a-z]{1,2}[.)]) ?(?:of )?[0-9a-z]{0,2} ?[.:–—-]? ?)?"
)
_HEADING = re.compile(
    rf"{_COUNTER}(?:(?:new )?(?:{_NAME})[ :,–—-]{{1,3}}(?:no\.? )?)?\(?(?P<code>[{PART}{CODE}{WEAK}])\)?"
    rf"(?: ?[:,–—-]? ?\(?{_NAME}\)?)? ?[:.]?",
    re.IGNORECASE,
)
# Words of a heading that make it say something else than what the list is.
_OTHER = re.compile(
    r"\b(?:(?:pages?|manual|handbook|drawing|figure|tools?|steps?|serials?|formerly|former|previous(?:ly)?|old"
    r"|until|instead|is|are|was|were|has|have|fits?|for|see|not?|with|without|or|tests?|torque)\b"
    r"|replac|supersed)",
    re.IGNORECASE,
)
_KITS = re.compile(r"\b(?:kits?|sets?)\b", re.IGNORECASE)
_NO_KIT = "that {} is a kit is not said: it stands as a heading above the list"


def kit_heading(reader: Reader, block: int) -> tuple[str, tuple[str, ...]] | None:
    """The kit that the paragraph right above a list names as its heading, and a doubt; None if that paragraph
    is no such heading."""
    above = reader.body.blocks[block - 1] if block else None
    if not isinstance(above, Passage) or len(above.folded) > _LONGEST:
        return None
    found = _HEADING.fullmatch(above.folded.strip())
    if found is None or _OTHER.search(above.folded):
        return None
    at = next(i for i, c in enumerate(above.folded) if c in (PART, CODE, WEAK))
    codes = [t for _, t in above.tagged.inside(0, len(above.folded)) if t.kind in KINDS and t.kind != REF]
    tag = above.tagged.tags[at]
    if len(codes) != 1:
        return None
    sure = kit_label(tag) or _KITS.search(above.folded) or _said_to_be_one(reader, block, tag)
    return tag.text, () if sure else (_NO_KIT.format(tag.text),)


def _said_to_be_one(reader: Reader, block: int, tag: Tag) -> bool:
    """True if the note calls the number a kit elsewhere: by a word before it, or as one of several kits that
    take over from one."""
    mine = key(tag.text)
    named = {
        key(n)
        for s in reader.statements
        if isinstance(s, Supersession) and _KITS.search(s.quote)
        for n in s.new
    }
    passages = [reader.body.subject, *(b for b in reader.body.blocks[:block] if isinstance(b, Passage))]
    tags = [t for p in passages if p is not None for t in p.tagged.tags.values()]
    return mine in named or any(key(t.text) == mine and kit_label(t) for t in tags)

"""The two kinds of plates in a pack, by the names that makers give them (common practice, no source)."""

import re
from functools import lru_cache
from typing import Literal

Plate = Literal["friction", "steel"]

STRONG_FRICTION = r"friction|lined|fib(?:re|er)|sinter(?:ed)?|paper|lining|faced"
STRONG_STEEL = r"steel|plain|unlined|separator|separating|intermediate|mating|counter|reaction"
WEAK_FRICTION = r"clutch|inner|internal(?:ly)?[ -]?(?:toothed|splined)|bronze"
WEAK_STEEL = r"outer|external(?:ly)?[ -]?(?:toothed|splined)"
NOUN = r"(?:dis[ck]s?|plates?|lamell?ae|lamell?as?|laminae?)"

_OTHER_PLATES = re.compile(
    r"\b(?:end|pressure|backing|thrust|support|cover|retaining|reinforcing|apply|locking|clamp(?:ing)?|name)"
    r"[ -]?plates?\b"
)
_STRONG = (re.compile(rf"\b(?:{STRONG_FRICTION})\b"), re.compile(rf"\b(?:{STRONG_STEEL})s?\b"))
_WEAK = (re.compile(rf"\b(?:{WEAK_FRICTION})\b"), re.compile(rf"\b(?:{WEAK_STEEL})\b"))
_NOUN = re.compile(rf"\b{NOUN}\b")
_BARE = re.compile(rf"(?:{STRONG_FRICTION}|{STRONG_STEEL})s?")


@lru_cache(maxsize=4096)  # a kit asks it of the same few names
def plate_kind(description: str) -> Plate | None:
    """Which kind of plate a part's description means; None if it is no plate of an alternating pack.

    >>> plate_kind("Disc, lined"), plate_kind("steel ring"), plate_kind("end plate, steel")
    ('friction', None, None)
    """
    plain = description.lower()
    if _OTHER_PLATES.search(plain) or not (_NOUN.search(plain) or _BARE.fullmatch(plain.strip())):
        return None
    for friction, steel in (_STRONG, _WEAK):
        if friction.search(plain):
            return "friction"
        if steel.search(plain):
            return "steel"
    return None

"""Part names as words that can be compared: singular, without endings, synonyms under one word.

The synonyms are common practice, no source.
"""

import re
import unicodedata
from functools import lru_cache

_SAME = {
    "disk": "disc",
    "plate": "disc",
    "lamella": "disc",
    "lamellae": "disc",
    "lamina": "disc",
    "fiber": "fibre",
    "bolt": "screw",
    "capscrew": "screw",
    "setscrew": "screw",
    "instruction": "leaflet",
    "big": "large",
    "little": "small",
}
_PHRASES = (
    (re.compile(r"\b(?:snap|lock|locking|retaining)[ -]?rings?\b|\bcirclips?\b"), " circlip "),
    (re.compile(r"\bo[ -]?rings?\b"), " oring "),
    (re.compile(r"\b(?:lip|oil|shaft) seals?\b|\bseal(?:ing)? rings?\b"), " seal ring "),
)
_INVERTED = re.compile(r"([^,]{1,60}),\s{0,3}([^,]{1,60})")  # "ring, retaining"
_IDLE = frozenset(
    (
        "the",
        "a",
        "an",
        "of",
        "for",
        "with",
        "new",
        "and",
        "pcs",
        "pc",
        "off",
        "piece",
        "no",
        "set",
        "x",
        "per",
        "to",
        "in",
    )
)


@lru_cache(maxsize=4096)  # kit lines are compared each with each
def name_words(text: str) -> tuple[str, ...]:
    """The words of a part's name in a form that can be compared; figures and short connecting words left out.

    >>> name_words("Friction disks, 2.5 mm") == name_words("friction plate")
    True
    """
    plain = unicodedata.normalize("NFKC", text).lower()
    plain = _INVERTED.sub(r"\2 \1", plain)
    for pattern, word in _PHRASES:
        plain = pattern.sub(word, plain)
    words = (stem(w) for w in re.findall(r"[^\W\d_]+", plain) if w not in _IDLE and w != "mm")
    return tuple(dict.fromkeys(_SAME.get(w, w) for w in words))


def stem(word: str) -> str:
    """A word without its plural or -ing ending, roughly.

    >>> [stem(w) for w in ("discs", "bushes", "sealing", "gasses", "assemblies")]
    ['disc', 'bush', 'seal', 'gas', 'assembly']
    """
    for ending, instead in (("sses", "s"), ("shes", "sh"), ("ches", "ch"), ("xes", "x"), ("ies", "y")):
        if word.endswith(ending) and len(word) > len(ending) + 1:
            return word[: -len(ending)] + instead
    if word.endswith("s") and not word.endswith(("ss", "us", "is")) and len(word) > 3:
        word = word[:-1]
    return word[:-3] if word.endswith("ing") and len(word) > 6 else word

"""Keys: how numbers are compared.

A number is kept as printed; its key is upper case, letters and digits only, so that `TH 6573-575`,
`th6573575` and `TH.6573.575` are one number.
"""

import re
import unicodedata

_NOT_KEY = re.compile(r"[^0-9A-Z]+")
_NUMERAL = re.compile(r"[0-9]+")
_LOOK_ALIKE = str.maketrans("OQIL|SBZG", "001115826")


def key(printed: str) -> str:
    """The comparing key of a part, page, item, note or publication number.

    >>> key("TH 6573-575")
    'TH6573575'
    """
    plain = unicodedata.normalize("NFKC", printed).upper()
    return _NOT_KEY.sub("", plain)


def folded(printed: str) -> str:
    """The key with look-alikes folded (O Q 0, I L 1, S 5, B 8, Z 2, G 6): for finding near numbers only.

    >>> folded("TH 65O3-S75") == folded("TH 6503-575")
    True
    """
    return key(printed).translate(_LOOK_ALIKE)


def natural(printed: str) -> tuple[tuple[int, int | str], ...]:
    """A sort key that puts 4-9 before 4-10 and A2 before A10."""
    parts = re.findall(r"[0-9]+|[A-Z]+", key_with_gaps(printed))
    return tuple((0, int(p)) if _NUMERAL.fullmatch(p) else (1, p) for p in parts)


def key_with_gaps(printed: str) -> str:
    """Upper case with every separator as one blank: keeps `4-10` apart from `41-0` when sorting."""
    plain = unicodedata.normalize("NFKC", printed).upper()
    return _NOT_KEY.sub(" ", plain).strip()

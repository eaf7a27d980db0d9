"""Keys: how numbers are compared.

A number is kept as printed; its key is upper case, letters and digits only, so that `TH 6573-575`,
`th6573575` and `TH.6573.575` are one number. Letters of other scripts stay: a number with one that only looks
like a plain letter is another number.
"""

import re
import unicodedata

_NOT_KEY = re.compile(r"[\W_]+")
_NUMERAL = re.compile(r"[0-9]+")
_LONGEST = 4000  # digits: Python turns no more than 4,300 into a number
_LOOK_ALIKE = str.maketrans(
    # plain letters that look like digits, then letters of other scripts that look like plain ones
    "OQIL|SBZG\u0410\u0412\u0421\u0415\u041d\u0406\u0408\u041a\u041c\u041e\u0420\u0405\u0422\u0425\u0423\u0417\u0391\u0392\u0395\u0396\u0397\u0399\u039a\u039c\u039d\u039f\u03a1\u03a4\u03a5\u03a7\u04c0\u050c\u0474\u051c\u04e8",
    "001115826A8CEH1JKM0P5TXY3A8E2H1KMN0PTYX16VW0",
)


def key(printed: str) -> str:
    """The comparing key of a part, page, item, note or publication number.

    >>> key("TH 6573-575")
    'TH6573575'
    """
    plain = unicodedata.normalize("NFKC", printed).upper()
    return _NOT_KEY.sub("", plain)


_BOOK = re.compile(
    r"(?:THE )?(?:FORM|PUBLICATION|PUBL?|MANUAL|BOOK|BOOKLET|HANDBOOK|DOCUMENT|DOC|LEAFLET)"
    r"(?: (?:NO|NR|NUMBER))? (?=.{0,40}[0-9])"
)


def book_key(printed: str) -> str:
    """The key of a publication's number without the word for a publication before it, which one paper prints
    and another leaves out.

    >>> book_key("Form 730-B"), book_key("Publ. No. 730-B"), book_key("OHM 5204")
    ('730B', '730B', 'OHM5204')
    """
    plain = key_with_gaps(printed)
    return _BOOK.sub("", plain, count=1).replace(" ", "") if _BOOK.match(plain) else key(printed)


def folded(printed: str) -> str:
    """The key with look-alikes folded (O Q 0, I L 1, S 5, B 8, Z 2, G 6): for finding near numbers only.

    >>> folded("TH 65O3-S75") == folded("TH 6503-575")
    True
    """
    return key(printed).translate(_LOOK_ALIKE)


def natural(printed: str) -> tuple[tuple[int, int | str], ...]:
    """A sort key that puts 4-9 before 4-10 and A2 before A10."""
    parts = re.findall(r"[0-9]+|[A-Z]+", key_with_gaps(printed))
    return tuple((0, int(p[:_LONGEST])) if _NUMERAL.fullmatch(p) else (1, p) for p in parts)


def key_with_gaps(printed: str) -> str:
    """Upper case with every separator as one blank: keeps `4-10` apart from `41-0` when sorting."""
    plain = unicodedata.normalize("NFKC", printed).upper()
    return _NOT_KEY.sub(" ", plain).strip()

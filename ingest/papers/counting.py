"""The numbers of numbered paragraphs, as word processors and web pages write them."""

_ROMAN = (
    (1000, "m"), (900, "cm"), (500, "d"), (400, "cd"), (100, "c"), (90, "xc"), (50, "l"), (40, "xl"),
    (10, "x"), (9, "ix"), (5, "v"), (4, "iv"), (1, "i"),
)  # fmt: skip


def decimal(count: int) -> str:
    """A plain number."""
    return str(count)


def letters(count: int) -> str:
    """a to z, then aa, ab … as web pages count (CSS Counter Styles Level 3, lower-alpha).

    >>> letters(27)
    'aa'
    """
    if count < 1:
        return str(count)
    text = ""
    while count > 0:
        count, rest = divmod(count - 1, 26)
        text = chr(ord("a") + rest) + text
    return text


def repeated(count: int) -> str:
    """a to z, then aa, bb … as word processors count (ISO/IEC 29500-1, ST_NumberFormat lowerLetter).

    >>> repeated(28)
    'bb'
    """
    if not 1 <= count <= 780:
        return str(count)
    return chr(ord("a") + (count - 1) % 26) * ((count - 1) // 26 + 1)


def roman(count: int) -> str:
    """Roman numerals in small letters; plain figures beyond 3999.

    >>> roman(14)
    'xiv'
    """
    if not 1 <= count <= 3999:
        return str(count)
    text = ""
    for value, sign in _ROMAN:
        times, count = divmod(count, value)
        text += sign * times
    return text

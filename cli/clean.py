"""Text from documents made fit for a terminal."""

import unicodedata

# Categories that a document has no business sending to a terminal: controls, format marks (bidi overrides,
# zero-width signs, soft hyphens), lone surrogates.
_UNFIT = {"Cc", "Cf", "Cs"}
_BREAKS = {"Zl", "Zp"}


def clean(text: str) -> str:
    """The text without control characters, bidi marks and other invisible signs; line breaks stay.

    >>> clean("a\\x1b[31mb\\u202ec\\td")
    'a[31mbc d'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_fit(sign) for sign in text.replace("\r\n", "\n"))


def one_line(text: str) -> str:
    """The cleaned text with every run of white space as one blank."""
    return " ".join(clean(text).split())


def _fit(sign: str) -> str:
    if sign == "\n":
        return sign
    if sign in "\t\r\v\f":
        return " "
    category = unicodedata.category(sign)
    if category in _BREAKS:
        return "\n"
    return "" if category in _UNFIT else sign

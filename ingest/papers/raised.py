"""Raised and lowered figures: 10 with a raised 5 is no 105, so the figure keeps its place in the letter."""

_UP = str.maketrans("0123456789+-=()nio", "⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁼⁽⁾ⁿⁱᵒ")
_DOWN = str.maketrans("0123456789+-=()", "₀₁₂₃₄₅₆₇₈₉₊₋₌₍₎")


def raised(text: str) -> str:
    """Raised text: figures as raised letters, `1st` and the like plain, `o` before C or F a degree sign."""
    plain = text.strip()
    if plain in ("o", "O", "°"):
        return text.replace(plain, "°")
    return text.translate(_UP) if any(c.isdigit() for c in plain) else text


def lowered(text: str) -> str:
    """Lowered text: figures as lowered letters."""
    return text.translate(_DOWN) if any(c.isdigit() for c in text) else text

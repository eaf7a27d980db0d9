"""Second opinion on what matters: words with figures in them, as both engines read them.

Agreement of two engines raises a word's confidence to at least 0.97; disagreement lowers it to at most 0.85,
under the bar for settling (graph/standing.SURE_OCR). Where the second engine saw nothing, the word keeps the
first engine's confidence.
"""

from collections.abc import Callable, Sequence

from benchleaf.graph.model import Box
from benchleaf.ingest.scan.readings import Token
from benchleaf.ingest.shapes import Word

AGREED, DISAGREED = 0.97, 0.85
_LEAST_OWN = 0.75  # the first engine's confidence under which agreement is not enough
_MOST_AGAIN = 20  # words of a sheet that are read a third time, alone
_OUTER = ".,;:'\"’“”|_"
_SAME = str.maketrans({"–": "-", "—": "-", "−": "-", "’": "'", "×": "x", "º": "°", "“": '"', "”": '"'})

Again = Callable[[Box], str]


def matters(word: Word) -> bool:
    """True for a word with a figure in it: part numbers, values, dates, item and page numbers."""
    return any(c.isdigit() for c in word.text)


def judged(words: Sequence[Word], tokens: Sequence[Token], again: Again | None = None) -> list[Word]:
    """The words with their confidences after the second reading.

    `tokens` are the second engine's words, in the words' own unit; `again` has it read one box alone.
    """
    left = _MOST_AGAIN if again else 0
    found: list[Word] = []
    for word in words:
        said = _said(word, tokens)
        if not matters(word):
            figures = word.text.isupper() and any(c.isdigit() for c in said) and not _same(word.text, said)
            found.append(word._replace(confidence=min(word.confidence, DISAGREED)) if figures else word)
            continue
        if again and left and not _same(word.text, said):
            left -= 1
            alone = again(word.box)
            said = alone if _same(word.text, alone) or not said else said
        found.append(word._replace(confidence=_confidence(word, said)))
    return found


def _confidence(word: Word, said: str) -> float:
    if not said:
        return word.confidence
    if _same(word.text, said):
        return max(word.confidence, AGREED) if word.confidence >= _LEAST_OWN else word.confidence
    return min(word.confidence, DISAGREED)


def _same(one: str, other: str) -> bool:
    """True if two readings agree in every letter, figure and blank; points and commas at the ends aside."""
    return bool(other) and _bare(one) == _bare(other)


def _bare(text: str) -> str:
    return " ".join(text.translate(_SAME).split()).strip(_OUTER)


def _said(word: Word, tokens: Sequence[Token]) -> str:
    """What the second engine read in a word's place."""
    box = word.box
    near = [
        t for t in tokens if t.top < box.bottom and t.bottom > box.top and t.x0 < box.x1 and t.x1 > box.x0
    ]
    own = [t for t in near if _shared(t, box) > 0.5 * (t.x1 - t.x0)]
    wider = [t for t in near if _shared(t, box) > 0.6 * (box.x1 - box.x0) and t not in own]
    if wider and not own:  # the second engine joined this word with its neighbour: no opinion on it alone
        return ""
    return " ".join(t.text for t in sorted(own, key=lambda t: t.x0))


def _shared(token: Token, box: Box) -> float:
    level = min(token.bottom, box.bottom) - max(token.top, box.top)
    if level < 0.4 * min(token.bottom - token.top, box.bottom - box.top):
        return 0.0
    return min(token.x1, box.x1) - max(token.x0, box.x0)

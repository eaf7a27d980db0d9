"""Hostile inputs from good ones: pieces of papers cut, doubled, spliced, spoilt; the same for each seed."""

import random
from collections.abc import Iterator, Sequence

SIGNS = (
    *"\0\t\r\n\x0b\x0c\x1a\x1b\x7f\x85\xa0\xad",
    *"0123456789.,;:-/+=@|'\"()[]{}<>%*#&_?!",
    *("\u0300", "\u0301", "\u061c", "\u0660", "\u06f5", "\u200b", "\u200d", "\u200e", "\u2028", "\u202e"),
    *("\u2066", "\u2069", "\u2212", "\u2044", "\ufeff", "\ufffd", "\uffff", "\ufe0f", "\uff11", "\uff21"),
    *("\u0410", "\u041e", "\u0391", "\u039f", "\u0131", "\u00df", "\ufb01", "\u00bd", "\u00b2", "\u2160"),
    *("\ue000", "\ue001", "\ue002", "\ue008", "\ue00b", "\ud800", "\udfff", "\U0001d7d0", "\U0001f600"),
    *("¼", "º", "µ", "μ", "Ω", "Ø", "°", "×", "±", "–", "—", "…", "→", "“", "”", "„", "«", "’"),
)
WORDS = (
    *("not", "no", "and", "or", "to", "by", "of", "page", "item", "step", "kit", "is replaced by", "was"),
    *("delete", "add", "insert", "after", "through", "except", "serial", "from", "up to", "prior to"),
    *("31.02.1999", "00/00/00", "2016-13-45", "week 99", "29 February 2023", "12 Nov", "1e999", "NaN"),
    *("9" * 25, "0" * 40, "1.2.3.4.5.6", "1/0", "-0", "+-", "1,000,000.00", "=1+1", '="x"', "@SUM(A1)"),
    *("{old}", "<be>", "\\(", "$1", "%s", "{}", "../../x", "C:\\CON", "http://", "<!--", "-->", "]]>"),
    *("<table>", "<td colspan=99999>", "<s>", "</", "&#x202e;", "&#0;", "&amp", "style=", "NEAR(", '"'),
)
_LONG = 20_000


class Mutations:
    """An endless run of spoilt texts made from `papers`. The same `seed` gives the same run."""

    def __init__(self, papers: Sequence[str], seed: int, most: int = 1500) -> None:
        self.papers, self.most = papers, most
        self.pick = random.Random(seed)

    def texts(self) -> Iterator[str]:
        """Spoilt texts, of `most` letters at most; a few in a thousand are of 20,000."""
        while True:
            text = self.pick.choice(self.papers)[: self.most]
            for _ in range(self.pick.choice((1, 1, 2, 3, 5, 9))):
                text = self._spoilt(text)
            yield self._long(text) if self.pick.random() < 0.002 else text[: self.most]

    def _spoilt(self, text: str) -> str:
        at, to = sorted((self.pick.randint(0, len(text)), self.pick.randint(0, len(text))))
        to = min(to, at + self.pick.choice((1, 2, 5, 20, 200)))
        match self.pick.randrange(8):
            case 0:
                return text[:at] + self.pick.choice(SIGNS) * self.pick.choice((1, 1, 1, 3, 60)) + text[at:]
            case 1:
                return text[:at] + text[to:]
            case 2:
                return text[:at] + text[at:to] * self.pick.choice((2, 3, 30)) + text[to:]
            case 3:
                other = self.pick.choice(self.papers)
                cut = self.pick.randint(0, len(other))
                return text[:at] + other[cut : cut + self.pick.choice((10, 80, 400))] + text[to:]
            case 4:
                return f"{text[:at]} {self.pick.choice(WORDS)} {text[at:]}"
            case 5:
                return text[:at] + self.pick.choice(SIGNS) + text[at + 1 :]
            case 6:
                return text[:at] + text[at:to][::-1] + text[to:]
            case _:
                lines = text.split("\n")
                self.pick.shuffle(lines)
                return "\n".join(lines)

    def _long(self, text: str) -> str:
        piece = text[: self.pick.choice((1, 2, 7, 30, 300))] or "a"
        return (piece * (_LONG // len(piece) + 1))[:_LONG]


def spoilt_bytes(data: bytes, pick: random.Random) -> bytes:
    """A file with bytes turned over, cut out, doubled, or its end gone."""
    held = bytearray(data)
    for _ in range(pick.choice((1, 1, 3, 10, 60))):
        at = pick.randrange(len(held) + 1)
        match pick.randrange(4):
            case 0:
                held[at : at + 1] = bytes((pick.randrange(256),))
            case 1:
                del held[at : at + pick.choice((1, 4, 100))]
            case 2:
                held[at:at] = held[at : at + pick.choice((1, 8, 300))]
            case _:
                if pick.random() < 0.1:
                    del held[at:]
    return bytes(held)

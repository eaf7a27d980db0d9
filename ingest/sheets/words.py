"""Words with their boxes from a PDF page's text layer.

Blanks of the text, blanks that pdfium supposes and gaps between the glyphs all end a word; letter-spaced text
is judged by the spacing of its own line.
"""

import math
import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache, partial
from itertools import pairwise
from operator import sub
from statistics import median
from typing import Any, NamedTuple

from benchleaf.graph.model import Box
from benchleaf.ingest.shapes import Word
from benchleaf.ingest.sheets.glyphs import (
    NO_MEANING,
    NONE,
    SUPPOSED,
    SURE,
    Glyphs,
    Run,
    Sheet,
    Style,
    glyph_lines,
)

_DROPPED = re.compile("[\u200b-\u200f\u2060\ufeff\uffff]")
_NO_LETTER = re.compile(
    "[\x00-\x08\x0e-\x1f\ue000-\uf8ff]"
)  # codes that a font without a Unicode table gives
_CUT = re.compile("(?<=[^\\W_])[\x02\ufffe]$")  # pdfium's mark for a hyphen at a line end
_PLAIN = str.maketrans(
    {
        **dict.fromkeys("\xad\u2010\u2011", "-"),
        # Symbol fonts keep their old codes in the private area.
        **{
            "\uf0b7": "•",
            "\uf0a7": "▪",
            "\uf0fc": "✓",
            "\uf0b0": "°",
            "\uf0b1": "±",
            "\uf06d": "µ",
            "\uf057": "Ω",
        },
        **{"\uf0b4": "×", "\uf0a3": "≤", "\uf0b3": "≥", "\uf0e8": "→", "\uf0ae": "→", "\uf02d": "-"},
    }
)
_WIDE = re.compile("[\uff21-\uff3a\uff41-\uff5a]")
_box, _word = partial(tuple.__new__, Box), partial(tuple.__new__, Word)  # quicker than their own makers
_BLANK_GAP, _FREE_GAP, _TRACKED = 0.12, 0.24, 0.07  # in ems: with a supposed blank, with none, letter-spaced
_BACK = -0.7  # ems back from which another word begins
_MOST_TURNED = 0.75  # share of the glyphs from which the whole sheet counts as turned
_SHIFT = 1.5  # points by which a word drawn twice is shifted, at most
_TWINS = 12  # equal words before a word that are compared with it
_RAISED = frozenset(
    "\u00b2\u00b3\u00b9\u00bc\u00bd\u00be\u2070\u2074\u2075\u2076\u2077\u2078\u2079\u215b\u215c\u215d\u215e"
)


class TextLayer(NamedTuple):
    """A page's words, and what should be known about them."""

    words: tuple[Word, ...]
    hidden: int  # words drawn invisibly, as text recognition does over a scan
    unmapped: int  # characters without a meaning in Unicode
    turn: int  # the direction that nearly all glyphs are drawn in, degrees clockwise as displayed


def bounds(box: Iterable[Box]) -> Box:
    """The smallest box around boxes."""
    x0s, tops, x1s, bottoms = zip(*box, strict=False)  # boxes have four edges each
    return _box((min(x0s), min(tops), max(x1s), max(bottoms)))


def clean(text: str) -> str:
    """Ligatures undone, odd hyphens made plain, marks without width dropped; `mm²` keeps its raised figure.
    Digits and letters of double width stay: they are told, and never pass for a plain number unseen.

    Codes without a letter become the replacement character.
    """
    return text if text.isascii() and text.isprintable() else _cleaned(text)


@lru_cache(maxsize=4096)
def _cleaned(text: str) -> str:
    marked = _NO_LETTER.sub(NO_MEANING, _CUT.sub("-", text).translate(_PLAIN))
    plain = "".join(c if _stays(c) else unicodedata.normalize("NFKC", c) for c in marked)
    return _DROPPED.sub("", unicodedata.normalize("NFC", plain))


def _stays(sign: str) -> bool:
    return sign in _RAISED or (sign > "\x7f" and sign.isdecimal()) or bool(_WIDE.match(sign))


def text_layer(text_page: Any, sheet: Sheet) -> TextLayer:
    """The words of a pypdfium2 text page, in the order they are drawn in."""
    glyphs, lines = glyph_lines(text_page, sheet)
    words: list[Word] = []
    hidden = 0
    turns: dict[int, int] = {}
    gaps = list(map(sub, glyphs.x0[1:], glyphs.x1))
    width, height = sheet.width, sheet.height
    for line in lines:
        for word, style in _level(line, glyphs, gaps) or _parted(line, glyphs):
            text, (x0, top, x1, bottom), _, _, _ = word
            if not text or x1 < 0 or bottom < 0 or x0 > width or top > height:
                continue  # wholly outside the sheet
            words.append(word)
            hidden += not style.visible
            turns[style.turn] = turns.get(style.turn, 0) + len(text)
    turn = next((t for t, n in turns.items() if n > _MOST_TURNED * sum(turns.values())), 0)
    return TextLayer(tuple(_single(_letters_joined(words))), hidden, glyphs.text.count(NO_MEANING), turn)


def _level(line: Sequence[Run], glyphs: Glyphs, gaps: Sequence[float]) -> Sequence[tuple[Word, Style]] | None:
    """The words of a line that is level, and whose words only its own blanks part; None for another line.
    `gaps` are those behind each glyph."""
    text, x0, top, x1, bottom, odd, _ = glyphs
    if odd and not odd.isdisjoint(i for first, after, _ in line for i in range(first, after)):
        return None
    end, last = -math.inf, 0
    found: list[tuple[Word, Style]] = []
    for first, after, style in line:
        size, bold, turn, _ = style
        if turn or (x0[first] - end <= _BLANK_GAP * size and glyphs.blank(last, first) == SUPPOSED):
            return None
        end, last = x1[after - 1], after
        if after - first == 1:
            box = _box((x0[first], top[first], end, bottom[first]))
        else:
            inner, tops, bottoms = gaps[first : after - 1], top[first:after], bottom[first:after]
            if max(inner) > _TRACKED * size or min(inner) < _BACK * size:
                return None
            if min(bottoms) - max(tops) < 0.3 * size:
                return None
            box = _box((min(x0[first:after]), min(tops), max(x1[first:after]), max(bottoms)))
        found.append((_word((clean(text[first:after]), box, size, bold, 1.0)), style))
    return found


def _parted(line: Sequence[Run], glyphs: Glyphs) -> Iterator[tuple[Word, Style]]:
    """The words of a line looked at glyph by glyph; an odd glyph's word gets a box of its font's size."""
    places = [(i, run) for run in line for i in range(run.first, run.after)]
    if not places:
        return
    _mend_odd(places, glyphs)
    before = dict(zip((run.first for run in line[1:]), (run.after for run in line), strict=False))
    blanks = [glyphs.blank(before[i], i) if i in before else NONE for i, _ in places]
    begins, ends = _along(places, glyphs)
    gaps = [b - a for a, b in zip(ends, begins[1:], strict=False)]
    cuts = [0, *_cuts(places, glyphs, blanks, gaps), len(places)]
    for a, b in pairwise(cuts):
        at = [i for i, _ in places[a:b]]
        x0, top, x1, bottom = (
            [edge[i] for i in at] for edge in (glyphs.x0, glyphs.top, glyphs.x1, glyphs.bottom)
        )
        style = places[a][1].style
        text = clean("".join(glyphs.text[i] for i in at))
        yield Word(text, Box(min(x0), min(top), max(x1), max(bottom)), style.size, style.bold), style


def _mend_odd(places: Sequence[tuple[int, Run]], glyphs: Glyphs) -> None:
    """Gives glyphs without a proper box one beside the glyph before, in place."""
    for at, (i, run) in enumerate(places):
        if i not in glyphs.odd:
            continue
        if glyphs.x0[i] == glyphs.x1[i] and at:
            before = places[at - 1][0]
            glyphs.x0[i] = glyphs.x1[i] = glyphs.x1[before]
            glyphs.bottom[i] = glyphs.bottom[before]
        glyphs.top[i] = glyphs.bottom[i] - run.style.size


def _along(places: Sequence[tuple[int, Run]], glyphs: Glyphs) -> tuple[list[float], list[float]]:
    """Where each glyph begins and ends in its reading direction."""
    at = [i for i, _ in places]
    x0, top, x1, bottom = (
        [edge[i] for i in at] for edge in (glyphs.x0, glyphs.top, glyphs.x1, glyphs.bottom)
    )
    turn = places[0][1].style.turn
    if turn == 90:
        return top, bottom
    if turn == 180:
        return [-x for x in x1], [-x for x in x0]
    if turn == 270:
        return [-y for y in bottom], [-y for y in top]
    return x0, x1


def _cuts(
    places: Sequence[tuple[int, Run]], glyphs: Glyphs, blanks: Sequence[int], gaps: Sequence[float]
) -> Iterator[int]:
    """The places before which a word ends."""
    spacing = _letter_spacing(blanks, gaps, places[0][1].style.size or 10.0)
    level = places[0][1].style.turn % 180 == 0
    low, high = (glyphs.top, glyphs.bottom) if level else (glyphs.x0, glyphs.x1)
    for at in range(1, len(places)):
        (i, before), (j, run) = places[at - 1], places[at]
        size = max(before.style.size, run.style.size) or 10.0
        gap = gaps[at - 1] / size
        shared = min(high[i], high[j]) - max(low[i], low[j])
        off = shared < 0.3 * min(high[i] - low[i], high[j] - low[j]) or run.style.turn != before.style.turn
        wide = gap > spacing + (_BLANK_GAP if blanks[at] else _FREE_GAP)
        if blanks[at] == SURE or off or wide or gap < _BACK:
            yield at


def _letter_spacing(blanks: Sequence[int], gaps: Sequence[float], size: float) -> float:
    """The usual free space between glyphs, in ems, if the line is letter-spaced; else 0."""
    inner = [g / size for g, blank in zip(gaps, blanks[1:], strict=True) if blank != SURE]
    if len(inner) < 3:
        return 0.0
    usual = median(inner)
    return usual if _TRACKED < usual < 1.2 else 0.0


def _letters_joined(words: Sequence[Word]) -> Iterator[Word]:
    """`C A U T I O N` typed with blanks becomes one word: four or more single letters at even steps."""
    if sum(map(_is_letter, words)) < 4:
        yield from words
        return
    index = 0
    while index < len(words):
        run = _letter_run(words, index) if _is_letter(words[index]) else ()
        if len(run) < 4:
            yield words[index]
            index += 1
            continue
        yield Word("".join(w.text for w in run), bounds(w.box for w in run), run[0].size, run[0].bold)
        index += len(run)


def _letter_run(words: Sequence[Word], start: int) -> Sequence[Word]:
    run = [words[start]]
    step = 0.0
    for word in words[start + 1 :]:
        last = run[-1]
        gap = word.box.x0 - last.box.x1
        even = step == 0.0 or gap < 1.5 * step
        level = abs(word.box.bottom - last.box.bottom) < 0.2 * last.size
        if not (_is_letter(word) and level and 0 < gap < 1.1 * last.size and even):
            break
        step = step or gap
        run.append(word)
    return run


def _is_letter(word: Word) -> bool:
    return len(text := word.text) == 1 and text.isupper()


def _single(words: Iterable[Word]) -> list[Word]:
    """Words drawn twice with a tiny shift (a way to fake bold) are one bold word."""
    seen: dict[str, list[tuple[float, float, int]]] = {}
    kept: list[Word] = []
    for word in words:
        text, (x0, top, _, _), _, _, _ = word
        places = seen.get(text)
        if places is None:
            places = seen[text] = []
        for x, y, i in places[-_TWINS:]:
            if -_SHIFT < y - top < _SHIFT and -_SHIFT < x - x0 < _SHIFT:
                kept[i] = kept[i]._replace(bold=True)
                break
        else:
            places.append((x0, top, len(kept)))
            kept.append(word)
    return kept

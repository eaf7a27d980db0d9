"""Marks: what numbers a step at the start of a line (`1.`, `(1)`, `Step 1`, `5.3.1`, `D-7`, `A.`, `a)`)."""

import re
import unicodedata
from dataclasses import dataclass, replace

_NUMBER = r"(?P<n>[0-9]{1,3})(?P<s>[a-hA-H]?)"
_STEP_WORDS = (
    r"(?P<w>step|item|operation|oper|op|task|stage|seq|para|paragraph|instruction|action|schritt|étape|paso)"
)
_FORMS = (
    (
        "word",
        rf"{_STEP_WORDS}\b\.?\s{{0,3}}(?:no\.?\s{{0,2}})?{_NUMBER}(?P<e>\s?[.:)\-–—]|\b)",
        re.IGNORECASE,
    ),
    ("levels", r"(?P<m>[0-9]{1,2}(?:\.[0-9]{1,2}){1,4})\.?(?=\s|$)", 0),
    ("levels A", r"(?P<a>[A-Z])[-.](?P<of>[0-9]{1,2})[.:)]?(?=\s)", 0),
    ("(n)", rf"[(\[]\s?{_NUMBER}\s?[)\]]\.?", 0),
    ("n)", rf"{_NUMBER}\s?\.?\)", 0),
    ("n-", rf"{_NUMBER}\s?\.?\s?[-–—](?=\s)", 0),
    ("n.", rf"{_NUMBER}\s?\.(?![0-9])", 0),
    ("n:", rf"{_NUMBER}\s?[:/](?=\s|$)", 0),
    ("n", rf"{_NUMBER}(?=\s|$)", 0),
    ("(A)", r"[(\[](?P<u>[A-Z])[)\]]", 0),
    ("A)", r"(?P<u>[A-Z])\)", 0),
    ("A.", r"(?P<u>[A-Z])\.(?![A-Za-z0-9])", 0),
    ("(a)", r"[(\[](?P<u>[a-z])[)\]]", 0),
    ("a)", r"(?P<u>[a-z])\)", 0),
    ("a.", r"(?P<u>[a-z])\.(?![A-Za-z0-9])", 0),
)
_PATTERNS = tuple((style, re.compile(form, flags)) for style, form, flags in _FORMS)
_ROMAN = re.compile(r"[(\[]?(?P<r>x{0,2}(?:ix|iv|v?i{1,3}|v))[.)\]]{1,2}(?=\s|$)")
_ROMAN_VALUES = {"i": 1, "v": 5, "x": 10}
_BULLET = re.compile(r"(?:[•·●○◦▪■□►▶➢‣∙*o\uf0b7\uf0a7]|[-–—])(?=\s)")
_CIRCLED = re.compile("[\u2460-\u2473\u2776-\u277f]")
_MISREAD = str.maketrans("lI|!OoSBZ{}", "1111005" + "82()")
_SHORT_AND_MARKED = re.compile(r"[(\[{]?[0-9lI|!OoSBZ]{1,3}[)\]}.,]{1,2}(?=\s|$)")
_SHORT = re.compile(r"[0-9lI|!OSBZ]{1,3}(?=\s|$)")
_WORD_AND_SHORT = re.compile(
    rf"{_STEP_WORDS}\b\.?\s{{0,3}}(?P<d>[0-9lI|!OoSBZ]{{1,3}})[.:)]?(?=\s|$)", re.IGNORECASE
)
_LETTERED = frozenset({"(A)", "A)", "A.", "(a)", "a)", "a.", "(i)", "i)"})
_TOUCHING = _LETTERED | {"n.", "n)", "(n)", "circled"}
_LONGEST = 24


@dataclass(frozen=True, slots=True)
class Mark:
    """A number or letter at a line's start: its style, its values by level, and how many characters it takes.

    `values` has one number a level (`5.3.1` → (5, 3, 1); letters count from A = 1); `suffix` is the letter of
    `5a`. `label` is the mark without its punctuation. `guessed` is True if OCR look-alikes had to be read
    as digits.
    """

    style: str
    values: tuple[int, ...]
    label: str
    length: int
    suffix: str = ""
    guessed: bool = False

    @property
    def lettered(self) -> bool:
        """True for `A.`, `(a)` and the like."""
        return self.style in _LETTERED

    @property
    def last(self) -> int:
        """The value of the lowest level."""
        return self.values[-1]

    @property
    def bare(self) -> bool:
        """True for a number without any punctuation or word."""
        return self.style == "n"


def read_marks(text: str, by_ocr: bool = False) -> tuple[Mark, ...]:
    """The mark at the start of a line's text in each way it can be read: none, one, or two where it may be a
    letter or a roman numeral. By OCR a short mark may also be a misread number: `(l)` is `(1)`."""
    head = text[:_LONGEST]
    marks = [_circled(head) or _first_form(head)]
    if by_ocr and (marks[0] is None or marks[0].lettered):
        marks.append(_misread(head))
    if not text[:1].isdigit():
        marks.append(read_roman(text))
    return tuple(m for m in marks if m is not None and _ends_well(text, m))


def read_mark(text: str) -> Mark | None:
    """The mark at the start of a line's text, or None."""
    marks = read_marks(text)
    return marks[0] if marks else None


def read_roman(text: str) -> Mark | None:
    """A small roman numeral used as a sub-step's mark (`ii)`, `(iv)`), or None."""
    m = _ROMAN.match(text[:_LONGEST])
    if m is None:
        return None
    digits = [_ROMAN_VALUES[c] for c in m["r"]]
    pairs = zip(digits, [*digits[1:], 0], strict=True)
    value = sum(-a if a < b else a for a, b in pairs)
    return Mark("(i)" if m[0][0] in "([" else "i)", (value,), m["r"], m.end())


def bullet_length(text: str) -> int:
    """How many characters a bullet at the line's start takes; 0 if there is none."""
    m = _BULLET.match(text[:4])
    return m.end() if m else 0


def _circled(head: str) -> Mark | None:
    if not _CIRCLED.match(head):
        return None
    value = int(unicodedata.normalize("NFKC", head[0])) if ord(head[0]) < 0x2480 else ord(head[0]) - 0x2775
    return Mark("circled", (value,), str(value), 1)


def _first_form(head: str) -> Mark | None:
    for style, pattern in _PATTERNS:
        m = pattern.match(head)
        if m is not None:
            return _mark_of(style, m)
    return None


def _mark_of(style: str, m: "re.Match[str]") -> Mark:
    groups = m.groupdict()
    if groups.get("m"):
        values = tuple(int(v) for v in m["m"].split("."))
        return Mark(f"levels {len(values)}", values, m["m"], m.end())
    if groups.get("a"):  # `D-7`: the letter of the chapter, apart from numbers
        values = (100 + ord(m["a"]), int(m["of"]))
        return Mark(style, values, m.group().rstrip(".:)"), m.end())
    if groups.get("u"):
        return Mark(style, (ord(m["u"].upper()) - 64,), m["u"], m.end())
    if groups.get("w"):
        style = f"word {m['w'].lower()}"
    return Mark(style, (int(m["n"]),), m["n"].lstrip("0") + m["s"] or "0", m.end(), m["s"].lower())


def _misread(head: str) -> Mark | None:
    """A number of which OCR took signs for letters or lost the stop: `(l)`, `SO`, `Op. I0`, `7,`."""
    worded = _WORD_AND_SHORT.match(head)
    if worded is not None:
        number = worded["d"].translate(_MISREAD)
        mark = _first_form(head[: worded.start("d")] + number + head[worded.end("d") : worded.end()])
        return replace(mark, guessed=True) if mark is not None else None
    m = _SHORT_AND_MARKED.match(head) or _SHORT.match(head)
    if m is None:
        return None
    text = m[0].translate(_MISREAD)
    mark = _first_form(f"{text[:-1]}." if text.endswith(",") else text)
    if mark is None or mark.lettered:
        return None
    return replace(mark, guessed=True)


def _ends_well(text: str, mark: Mark) -> bool:
    """A mark ends at a blank or the line's end; a punctuated one may touch a capital (`1.Remove`)."""
    rest = text[mark.length : mark.length + 1]
    if not rest or rest.isspace():
        return True
    if mark.style.startswith("word") and text[mark.length - 1] in ".:)":
        return rest.isupper()
    return mark.style in _TOUCHING and (rest.isupper() or (mark.lettered and rest.isalpha()))

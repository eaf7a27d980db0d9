"""The identity of a publication in single lines: its number, edition and models, by their labels and their
form."""

import re
from collections.abc import Sequence

from benchleaf.ingest.head.models import read_models

_NO = r"(?:no|nos|number|nr|num|n°|nº|code|id|ref(?:erence)?)"
_BOOK = (
    r"(?:publication|publ|pub|manual|form|book|booklet|handbook|document|doc|literature|catalogue|catalog|instruction|"
    r"druckschrift|handbuch|notice|brochure|leaflet|order|reference|ref|print|"
    r"tech(?:nical)? pub(?:lication)?)"
)
_LABELS = (
    (3.0, rf"\bpart\s{_NO}\.?\s(?:of|for)\s(?:this|the)\s{_BOOK}\.?"),
    (3.0, rf"\b(?:this\s)?{_BOOK}['’]?s?\spart\s{_NO}\.?"),
    (
        3.0,
        rf"\b(?:publication|publ|pub|manual|book|booklet|handbook|document|doc|literature)\.?\s{{0,2}}{_NO}\b\.?",
    ),
    (2.5, rf"\b{_BOOK}\.?\s{{0,2}}{_NO}\b\.?"),
    (2.0, r"\b(?:publication|publ|pub|form|document|doc)\b\.?"),
    (1.5, r"\b(?:book|manual|handbook)\b(?=\s?:)"),
    (1.0, r"\b(?:book|manual|handbook)\b"),
)
_LABEL_PATTERNS = tuple(
    (worth, re.compile(rf"{form}\s{{0,3}}[:#=–-]?\s{{0,3}}", re.IGNORECASE)) for worth, form in _LABELS
)
_ABBREVIATION = re.compile(r"(?:PUB|PUBL|DOC|LIT)\s|(?:Form|FORM)\s(?=[0-9])")
_ENDS_NUMBER = re.compile(
    r"(?:edition|ed\.|issue|issued|rev\.?|revision|date|dated|page|printed|copyright|vol\.?|volume|part|section|for|"
    r"and|of|to|the|january|february|march|april|may|june|july|august|september|october|november|december|"
    r"jan|feb|mar|apr|jun|jul|aug|sept?|oct|nov|dec)\b|©",
    re.IGNORECASE,
)
_NUMERIC = re.compile(r"(?=[0-9A-Za-z./()_–-]{0,24}[0-9])[0-9A-Z][0-9A-Za-z./()_–-]{0,24}$")
_LETTERS = re.compile(r"[A-Z]{1,6}[.-]?$")
_INITIALS = re.compile(r"(?:[A-Z]\.-?){2,5}$")
_SUFFIX = re.compile(r"(?:[A-Z]{1,3}|[0-9]{1,6}[A-Z]{0,2}|[A-Z]{1,3}-?[0-9]{1,5})$")
_YEAR = re.compile(r"(?:19|20)[0-9]{2}$")
_ORDINALS = {
    word: str(number)
    for number, word in enumerate(
        ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"), 1
    )
}
_EDITION = re.compile(
    r"\b(?P<word>edition|ed|issue|revision|rev|version|reprint|amendment|ausgabe|auflage)\b\.?\s{0,2}"
    r"(?:no\.?|number|level|nr\.?)?\s{0,2}[:#]?\s{0,2}(?P<value>[0-9]{1,3}(?:\.[0-9]{1,2})?(?:st|nd|rd|th)?|[A-Z]{1,2})(?![0-9A-Za-z/])(?!\s?[./][0-9])",
    re.IGNORECASE,
)
_ORDINAL_EDITION = re.compile(
    rf"\b(?P<value>[0-9]{{1,3}}(?:st|nd|rd|th|\.)|{'|'.join(_ORDINALS)})\s(?:revised\s)?"
    r"(?P<word>edition|issue|revision|printing|reprint|ausgabe|auflage)\b",
    re.IGNORECASE,
)
_MODEL_LABEL = re.compile(
    r"\b(?:models?|types?|units?|gearboxes|machines|series|applies to|applicable to|covers|covering|"
    r"suitable for|valid for|for use with|for|modelle?|typen?)\b"
    r"(?:\s(?:covered|affected|types?|models?|units?))?\s{0,2}:?\s{1,3}",
    re.IGNORECASE,
)
_UNIT_NOUN = re.compile(
    r"\b(?:gear ?box(?:es)?|gear ?cases?|transmissions?|clutch(?:es)?|brakes?|pumps?|drop box(?:es)?|"
    r"transfer|box(?:es)?|drives?|winch(?:es)?|axles?|motors?|units?|converters?|hubs?|retarders?|couplings?|reducers?|gears?|"
    r"range|family|series|hoists?|compressors?|actuators?|valves?|heads?|governors?|starters?|cylinders?)\b",
    re.IGNORECASE,
)
_DOTS = re.compile(r"\s[·•|]\s")
_ADDRESS = re.compile(
    r"\b(?:street|st\.|road|rd\.|lane|avenue|ave\.|tel|telephone|phone|fax|telex|www|http|p\.?\s?o\.?\s?box|"
    r"e-?mail)\b|@|\+[0-9]{2}",
    re.IGNORECASE,
)


def number_in(text: str) -> tuple[str, float] | None:
    """A publication number after its label, with how much the label says (1 to 3); None without one.

    >>> number_in("Publication No. KM 310   Edition 2")
    ('KM 310', 3.0)
    """
    for worth, pattern in _LABEL_PATTERNS:
        for m in pattern.finditer(text[:300]):
            value = starts_as_number(text[m.end() : m.end() + 60], least=2 if worth >= 2.5 else 3)
            printed = _ABBREVIATION.match(text, m.start(), m.end() + 1)
            if (
                value and printed and printed.end() == m.end()
            ):  # `PUB 1234-1`, `Form 1234-A`: part of the number
                value = f"{m[0].strip()} {value}"
            if value:
                return value, worth - (1.0 if m.start() > 60 else 0.0)
    return None


def starts_as_number(text: str, least: int = 3) -> str | None:
    """The document number that a text begins with, in one or several pieces (`KM 310`, `4-210/B`, `K.M. 31`,
    `12 345 67`), of at least so many letters and digits."""
    taken: list[str] = []
    for word in text.split()[:5]:
        plain = word if _INITIALS.match(word) else word.rstrip(",;:.")
        if plain.endswith(")") and "(" not in plain:
            plain = plain.rstrip(")")
        if _ENDS_NUMBER.match(word) or not _next_piece(plain, taken):
            break
        taken.append(plain)
        if plain != word and not (word.endswith(".") and len(taken) == 1):
            break
    number = " ".join(taken)
    good = re.search(r"[0-9]", number) is not None and len(re.sub(r"[^0-9A-Za-z]", "", number)) >= least
    return number if good else None


def _next_piece(word: str, taken: Sequence[str]) -> bool:
    if not taken:
        return bool(_NUMERIC.match(word) or _LETTERS.match(word) or _INITIALS.match(word))
    if not any(c.isdigit() for piece in taken for c in piece):
        return bool(_NUMERIC.match(word)) or (len(taken) < 2 and bool(_LETTERS.match(word)))
    return bool(_SUFFIX.match(word)) and not _YEAR.match(word)


def edition_of(texts: Sequence[str]) -> str | None:
    """The edition as printed: `2` for `Edition 2`, and with its word for others (`Issue C`); several are
    joined."""
    found: dict[str, str] = {}
    for text in texts:
        for m in (*_ORDINAL_EDITION.finditer(text[:300]), *_EDITION.finditer(text[:300])):
            word, value = m["word"].lower(), _value(m["value"])
            if value is not None:
                found.setdefault(word, value)
    editions = [
        v if w in ("edition", "ed", "ausgabe", "auflage") else f"{w.capitalize()} {v}"
        for w, v in found.items()
    ]
    return ", ".join(editions) or None


def _value(printed: str) -> str | None:
    if printed.lower() in _ORDINALS:
        return _ORDINALS[printed.lower()]
    if printed.isalpha():
        return printed if printed.isupper() else None
    return re.sub(r"(?:st|nd|rd|th|\.)$", "", printed, flags=re.IGNORECASE)


def is_address(text: str) -> bool:
    """True for lines with a street, a telephone or the like."""
    return _ADDRESS.search(text[:300]) is not None


def models_in(text: str) -> tuple[float, tuple[str, ...]]:
    """How much a line looks like a list of models, and the models it names.

    >>> models_in("Winch gear RK-20, RK-24")[1]
    ('RK-20', 'RK-24')
    """
    line = _DOTS.sub(", ", text[:300])
    if is_address(line) or number_in(line) or edition_of([line]) or len(line.split()) > 25:
        return 0.0, ()
    family = _family(line)
    if family:
        return 2.5, family
    label = _MODEL_LABEL.search(line)
    named = label is not None and any(line[label.start() :].startswith(m) for m in read_models(line).models)
    listed = (
        line[label.end() :] if label and not named and any(c.isdigit() for c in line[label.end() :]) else line
    )
    models = tuple(
        m for m in read_models(listed).models if any(c.isdigit() for c in m) and not _YEAR.match(m)
    )
    worth = (2.0 if label and (named or listed is not line) else 0.0) + (
        1.5 if _UNIT_NOUN.search(line) else 0.0
    )
    worth += 0.5 if len(models) > 1 else 0.0
    return (worth if models else 0.0), models


_NAME = r"[A-Z][A-Za-z]{0,9}[ .-]?[0-9]{1,4}[A-Z]{0,3}(?:\s[A-Z]{1,2})?(?![\w.])"
_FAMILY = re.compile(rf"(?<![\w-]){_NAME}(?:\s?(?:,|/|&|\+|·|,?\sand|,?\sor)\s?{_NAME}){{1,11}}")
_STEM = re.compile(r"[A-Z][A-Za-z]{0,9}")


def _family(line: str) -> tuple[str, ...]:
    """Models of one family listed side by side, `Mk 6, Mk 6A and Mk 9`; their common stem proves them models.

    >>> _family("Overhaul of the boxes Tarvel 20, Tarvel 30 and Tarvel 30W")
    ('Tarvel 20', 'Tarvel 30', 'Tarvel 30W')
    """
    run = _FAMILY.search(line)
    if run is None:
        return ()
    names = [" ".join(m[0].split()) for m in re.finditer(_NAME, run[0])]
    stems = {s[0].upper() for n in names if (s := _STEM.match(n))}
    return tuple(dict.fromkeys(names)) if len(stems) == 1 else ()


def without_fields(text: str) -> str:
    """A title line without the edition or year printed on the same line."""
    plain = _ORDINAL_EDITION.sub("", _EDITION.sub("", text[:300]))
    return re.sub(r"\s{2,}", " ", plain).strip(" ,;–-")

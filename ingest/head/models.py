"""Model names read from a list such as `KX-4, KX-4B and KX-6`."""

import re
from dataclasses import dataclass
from functools import lru_cache

from benchleaf.ingest.head.fields import packaged, plain


@dataclass(frozen=True, slots=True)
class ModelReading:
    """Model names as printed, the names left out, and what could not be read for certain."""

    models: tuple[str, ...] = ()
    excepted: tuple[str, ...] = ()
    unclear: tuple[str, ...] = ()


EXCEPT = re.compile(
    r"[\s,;(]{0,3}\b(?:except(?:ing|ed)?(?: for)?|excluding|excl\.|but not|not including|other than"
    r"|save(?: for)?"
    r"|with the exception of|not(?: for)?|außer|ausgenommen|sauf|excepté"
    r"|esclus[oaie]|eccetto|salvo|excepto|utom|förutom)\b:?\s{0,3}",
    re.IGNORECASE,
)
_SEPARATOR = re.compile(
    r"\s{0,3}(?:[,;&•·|]|\n|(?<=\s)(?:and|AND|or|OR|und|UND|oder|ODER"
    r"|et|ET|ou|e|ed|y|o|och|OCH|samt|og|OG|en|as well as|plus)(?=\s)|(?<=\s)/(?=\s)"
    r"|\+(?=\s))\s{0,3}"
)
_PARENTHESES = re.compile(r"[(\[]([^()\[\]]{0,200})[)\]]")
_TO = re.compile(
    r"(?<=\s)(?:to|through|thru|bis|[–—-])(?=\s)|(?<=[A-Za-z0-9])\s?(?:…|\.\.\.)\s?(?=[A-Za-z0-9])"
)
_TOKEN = re.compile(r"(?:(?:Type|Size|Mark)\u2060)?[A-Za-z0-9][\w*]{0,19}(?:[-./+–][\w*]{1,12}){0,4}")
_HANGING = re.compile(r"[-/–]\s?([0-9A-Za-z]{1,6}(?:-[0-9A-Za-z]{1,4})?)")
_WORDY = re.compile(
    r"[0-9]+(?:st|nd|rd|th|[-–][a-z]{3,20}|[-–](?:SPEED|STAGE|PLATE|DISC|DISK|WAY|CYLINDER))|[0-9]{1,4}(?:mm|kW|Nm|bar|kg|rpm|Hz|V)"
)
_ROMAN = re.compile(r"[IVX]{1,5}[a-z]?")


_TICKED = re.compile(r"(?:\[\s?[xX✓✔]\s?\]|[☒☑])\s?([^\[\]☐☒☑□]{1,40})")
_BOXES = re.compile(r"\[\s?[xX✓✔]?\s?\]|[☐☒☑□]")


def ticked(text: str) -> str:
    """Of a row of boxes only what is ticked: `[x] KX-4 [ ] KX-6` says KX-4; other text as it is."""
    if not _BOXES.search(text):
        return text
    return " ; ".join(m[1].strip() for m in _TICKED.finditer(text))


@lru_cache(maxsize=1024)
def read_models(text: str) -> ModelReading:
    """The models that a list names. Nouns around them (`gearbox type KX-4`) are left off.

    >>> read_models("types 6HP, 8HP-70 and 4-speed box S5").models
    ('6HP', '8HP-70', 'S5')
    """
    text = ticked(text)
    if letters := _LETTERS.fullmatch(text.strip(" .")):
        return ModelReading(tuple(re.findall(r"\b[A-Z]\b", letters["list"])))
    kept, *left_out = EXCEPT.split(_named_by_type(text[:2000]))
    models, unclear = _listed(kept)
    excepted: list[str] = []
    for part in left_out:
        names, doubts = _listed(part)
        excepted += names
        unclear += doubts
        if not names and part.strip(" .;,)"):
            unclear.append(f"what is left out is not clear: “{part.strip()}”")
    return ModelReading(_apart(models), _apart(excepted), _apart(unclear))


_LETTERS = re.compile(
    r"(?i:all\s)?(?i:models?|types?|marks?|modell[eoi]?|typen?|tip[oi])\s(?P<list>[A-Z](?:(?:,\s?|\s?&\s?|\s(?i:and|or|und|e|och)\s|,\sand\s)[A-Z]){0,8})"
)
"""`Models A, B and C`: a single letter is a name only behind the noun."""


def _apart(names: list[str]) -> tuple[str, ...]:
    """Each name once, its words apart again."""
    return tuple(dict.fromkeys(n.replace(_JOINT, " ") for n in names))


_NOUN = "·"
"""Stands where a noun was taken out: what it parts is not one name (`Anchor winch 40`)."""
_JOINT = "\u2060"
"""Holds a name of two words together while the list is cut."""
NAMING = ("Type", "Size", "Mark")
"""Words that may be part of a model's name where they stand before its number."""
_TYPE = re.compile(
    r"(?<![A-Za-z])(?P<word>Type|Size|Mark)\s{1,3}(?P<number>[0-9]{1,4}[A-Z]?)(?![\w/.-]*[A-Za-z0-9])"
)
_BARE = re.compile(
    r"(?<![A-Za-z0-9./-])(?<!Type )(?<!Size )(?<!Mark )[0-9]{1,4}[A-Z]?(?![\w./-]*[A-Za-z0-9])"
)


def _named_by_type(text: str) -> str:
    """`Type 40, Type 42`: the word before each number belongs to the name. Where it stands once before a list
    (`Type 40, 42`), or the names have letters of their own (`Type KX-4`), it is a label."""
    plain_numbers = any(m["number"].isdigit() for m in _TYPE.finditer(text))
    if not plain_numbers or _BARE.search(EXCEPT.split(text)[0]):
        return text
    return _TYPE.sub(lambda m: f"{m['word']}{_JOINT}{m['number']}", text)


_CAPITAL_AND = re.compile(r"(?<=[0-9])\s[EYOU]\s(?=[A-Z]{1,4}\s?-?[0-9])")
"""In capitals `OV 40 E OV 50` is two models in Italian."""


def _listed(text: str) -> tuple[list[str], list[str]]:
    models: list[str] = []
    unclear = [f"“{m[0].strip()}” may be “and” or part of a name" for m in _CAPITAL_AND.finditer(text)]
    for piece in _pieces(_CAPITAL_AND.sub(" ; ", text)):
        names, doubts = _segment(piece, models[-1] if models else None)
        models += names
        unclear += doubts
    return models, unclear


def _pieces(text: str) -> list[str]:
    """The list cut at its separators; what stands in parentheses is left off, unless only it has names."""
    outside = _PARENTHESES.sub(" ; ", text)
    inside = [m[1] for m in _PARENTHESES.finditer(text) if _names(m[1])]
    if inside and re.search(r"[0-9]", outside) is None:
        outside = " ; ".join(inside)  # `the KX family (KX-4, KX-6)`
    return [p for p in _SEPARATOR.split(" " + outside + " ") if p and p.strip(" .:–-")]


def _segment(piece: str, before: str | None) -> tuple[list[str], list[str]]:
    ends = _TO.split(piece)
    if len(ends) == 2 and all(_names(e) for e in ends):
        names = [n for e in ends for n in _names(e)]
        return names, [f"“{piece.strip()}” is a run of models; only its ends are named"]
    if family := _FAMILY.search(piece):
        return _slashed(_names(piece), piece, [f"“{family[1]}” may stand for several models"])
    hanging = _HANGING.fullmatch(piece.strip(" ."))
    if hanging and before:  # `KX-4 and -6`: the second shares the first one's stem
        return [_stem(before) + hanging[1]], []
    return _slashed(_names(piece), piece, _leftover(piece))


_FAMILY = re.compile(
    r"\b(?:[Aa]ll|ALL|[Ee]very|[Aa]ny|[Aa]lle|[Tt]utt[ie]|[Aa]lla)\s([A-Z]{1,6})(?:[\s-](?i:series|family|range|baureihe))?\s"
    r"(?i:models|types|units|machines|gearboxes|transmissions|pumps|clutches|brakes|variants|versions|typen)\b"
)
"""`all KX models`: letters without a figure name a family, not one model."""


def _stem(model: str) -> str:
    cut = max(model.rfind("-"), model.rfind("/"), model.rfind(" "))
    return model[: cut + 1] if cut > 0 else re.sub(r"[0-9]+[A-Za-z]*$", "", model)


def _names(piece: str) -> list[str]:
    """The model's name in one piece of a list: its last name-like words, nouns taken off both ends."""
    words = _without_nouns(piece)
    named = [i for i, w in enumerate(words) if _is_name(w)]
    if not named:
        return _bare_names(words)
    names: list[str] = []
    i = 0
    while i < len(words):
        run = list(words[i : i + 3])
        if not _begins(run):
            i += 1
            continue
        size = _name_length(run)
        names.append(" ".join(run[:size]))
        i += size
    return names


def _without_nouns(piece: str) -> list[str]:
    nouns = packaged().nouns
    words = [w.strip("\"'“”„:;,.()") for w in piece.split()]
    return [_NOUN if plain(w) in nouns else w for w in words if w]


@lru_cache(maxsize=1024)
def _is_name(word: str) -> bool:
    """True for a token with a digit that is no ordinal, no `4-speed`, no measure."""
    return bool(re.search(r"[0-9]", word) and _TOKEN.fullmatch(word) and not _WORDY.fullmatch(word))


def _begins(run: list[str]) -> bool:
    first = run[0]
    if _is_name(first):
        return True
    follows = len(run) > 1 and (_is_name(run[1]) or bool(_ROMAN.fullmatch(run[1]))) and _JOINT not in run[1]
    short = bool(re.fullmatch(r"[A-Z]{1,5}", first))
    stands_off = follows and not re.match(r"[A-Za-z]+[-/.]?[0-9]", run[1])
    word = bool(re.fullmatch(r"[A-Z][a-z]{1,15}", first))
    whole = follows and bool(re.match(r"[0-9]{1,2}[A-Z]{2,4}", run[1]))  # `4WD-18` needs no word before it
    return follows and stands_off and (short or (word and not whole))


def _name_length(run: list[str]) -> int:
    """Words of the name that starts here: `KX 4 B` and `Mk II` are written apart by some makers."""
    size = 1 if _is_name(run[0]) else 2
    if size < len(run) and re.fullmatch(r"[A-Z]{1,2}|[IVX]{1,4}", run[size]):
        size += 2 if run[size + 1 :] and run[size + 1].isdigit() else 1
    return size


def _bare_names(words: list[str]) -> list[str]:
    """Names without a digit (`ATLAS`, `Orion`): only where nothing but capitalised words is left."""
    words = [w for w in words if w != _NOUN]
    good = [w for w in words if re.fullmatch(r"[A-Z]{2,12}(?:[-/][A-Z]{1,6})?|[A-Z][a-z]{2,15}", w)]
    return [" ".join(good)] if good and len(good) == len(words) <= 3 else []


def _slashed(names: list[str], piece: str, doubts: list[str]) -> tuple[list[str], list[str]]:
    """`KX-4/KX-6` is two models, `R90/2` one; `R90/120` may be either."""
    result: list[str] = []
    for name in names:
        first, *rest = name.split("/")
        whole = all(
            re.search(r"[A-Za-z]", p) and re.search(r"[0-9]", p) and len(p) > 1 for p in (first, *rest)
        )
        if rest and (
            whole or (name.replace("/", "").isdigit() and len({len(p) for p in (first, *rest)}) == 1)
        ):
            result += [first, *rest]
        elif rest and all(p.isdigit() and len(p) > 1 for p in rest) and re.match("[A-Za-z]", first):
            result.append(name)
            doubts.append(f"“{name}” may be one model or several")
        else:
            result.append(name)
    for name in result:
        if "*" in name or re.search(r"[0-9A-Z-]x{1,3}$|xx", name):
            doubts.append(f"“{name}” stands for several models")
    return result, doubts


def _leftover(piece: str) -> list[str]:
    """Doubt where a limiting word (`only with …`) is left beside the names."""
    limiting = packaged().limiting
    nouns = packaged().nouns
    left = [
        w for w in re.findall(r"[A-Za-zÀ-ÿ]{2,20}", piece) if plain(w) in limiting and plain(w) not in nouns
    ]
    return [f"“{' '.join(piece.split())}” limits the units further"] if left else []

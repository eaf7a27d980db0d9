"""Words that tell what a number numbers: a part, a kit, a serial, a model, a note, a manual.

Each label and the numbers behind it are folded into one sign of that kind (see `tags`).
"""

import re
from collections.abc import Collection

from benchleaf.graph.keys import key
from benchleaf.ingest.phrases.tags import (
    CODE,
    MODEL,
    NOTE,
    PART,
    PUB,
    SERIAL,
    VALUE,
    WEAK,
    Tag,
    Tagged,
    refold,
)

_C = f"[{CODE}{WEAK}]"
_NO = r"(?:(?: ?-? ?(?:number|no|nos|nr|num|#)s?\b\.?| ?#) ?:? ?)"
_PLAIN = r"[0-9]{1,8}[A-Za-z]?(?![0-9A-Za-z]|[.,][0-9])"

_NOTE_WORDS = (
    r"(?:bulletins?|circulars?|notices?|notes?|letters?|memos?|memorand(?:um|a)|informations?"
    r"|advisor(?:y|ies)"
    r"|notifications?|updates?|leaflets?|instructions?|tsbs?|sibs?|sbs?|sils?|communications?"
    r"|newsletters?|directives?|messages?)"
)
_NOTE_KIND = (
    r"(?:(?:our|the|technical|tech\.?|service|product|parts?|spare parts|workshop|engineering"
    r"|modification|maintenance"
    r"|repair|information|information|dealer|customer|earlier|previous|former|old|assembly"
    r"|factory|overhaul|field)[ -])"
)
_NOTE = re.compile(
    rf"\b{_NOTE_KIND}{{0,3}}{_NOTE_WORDS}\b{_NO}?[ :(]{{0,2}}"
    rf"(?P<number>{_C}|[A-Z]{{0,4}}[0-9]{{1,8}}(?:[-/][0-9A-Z]{{1,6}}){{0,3}})\)?(?![0-9A-Za-z])",
    re.IGNORECASE,
)
# The number of another note of this series, known by its shape, and the words before it: "Parts and Service
# News SL-07-1993".
_NOTE_WORD = re.compile(
    rf"\b{_NOTE_WORDS[:-1]}|news|flash(?:es)?|hints?|tips?|bulletin sheets?|releases?)\b", re.I
)
_PART_WORD = re.compile(
    r"\b(?:kits?|parts? n|part|p/?n|sets?|dis[ck]s?|rings?|seals?|plates?|pages?|items?|steps?)[a-z. ]*$",
    re.I,
)
_NAMED = re.compile(
    rf"(?:(?<=[a-z,] )(?:[A-Z][a-z]+ ){{1,2}}(?:(?:and |& |of )?[A-Z][a-z]+ ){{0,4}}"
    rf"|\b(?i:{_NOTE_KIND}(?:(?:and |& )?{_NOTE_KIND}){{0,4}})|\b)"
    rf"(?i:{_NOTE_WORDS[:-1]}|news|flash(?:es)?|hints?|tips?|releases?)(?![A-Za-z]){_NO}?[ :(]{{0,2}})?"
    rf"(?P<number>[{CODE}{WEAK}{NOTE}])\)?",
)
# What stands before a number of a series that is counted 1, 2, 3: "Newsletter No. 9", "bulletins 12 and ".
_COUNTED_BEFORE = re.compile(
    rf"\b{_NOTE_WORDS[:-1]}|news|flash(?:es)?|hints?|tips?|bulletin sheets?|releases?)\b{_NO}?[ :(]{{0,2}}"
    r"(?:[0-9]{1,3} ?(?:,? ?(?:and|or|to) |[,&-]) ?){0,8}$"
    r"|\b(?:replac|supersed|cancel|withdraw)[a-z]{1,4}(?: by| with)? (?:no|nr|number)\b\.? ?$",
    re.IGNORECASE,
)
_COUNTED_SUBJECT = re.compile(r"(?:^|[.;:] )(?:no|nr|number)\b\.? ?$", re.IGNORECASE)
_TOLD_OF = re.compile(r",? (?:(?:is|has|was|dated|of|from)\b)", re.IGNORECASE)
_PUB_WORDS = (
    r"(?:manuals?|handbooks?|books?|booklets?|publications?|pub\.|guides?|instruction books?"
    r"|documents?|brochures?"
    r"|catalogues?|catalogs?|textbooks?|(?<!Order )(?<!Claim )(?-i:Form|FORM))"
)
_PUB_KIND = (
    r"(?:(?:the|our|your|this|workshop|service|repair|overhaul|maintenance|shop|technical"
    r"|parts|operator'?s?|rebuild"
    r"|rebuilding|assembly|instruction|reconditioning|factory|training|unit|component|field"
    r"|spare parts|gearbox"
    r"|transmission|clutch|pump|brake|axle|product)[ -])"
)
# A manual's number too short to be told from a size or a grade without the words around it: "HB 5", "K-77".
SHORT = r"(?-i:[A-Z]{1,5})[ .-]?[0-9]{1,4}(?-i:[A-Z])?(?![0-9A-Za-z]|[./-][0-9A-Za-z])"
_EDITION = (
    r"(?:,? ?\(?(?:\b(?:edition|issue|ed\.|rev\.|revision|printing|version|volume|vol\.|part)\b"
    r" ?(?:no\.? ?)?(?:of )?[\w./-]{1,9}\b)\)?)"
)
_CATALOGUE = re.compile(
    r"\b(?:tools?|equipment|special tools?) (?:catalogues?|catalogs?|lists?|books?)\b", re.IGNORECASE
)
_BOOK_FORM = re.compile(r"[A-Z]{1,4}[ .-]?[0-9]{1,5}(?:[-/][0-9A-Z]{1,3})?(?: [A-Z])?")
_PUB = re.compile(
    rf"\b{_PUB_KIND}{{0,4}}{_PUB_WORDS}(?![A-Za-z])(?:{_NO}[ :(]{{0,2}}|[ (]{{0,2}}|, )"
    rf"(?P<number>{_C}|[0-9]{{3,8}}(?![0-9A-Za-z.])|{SHORT})\)?{_EDITION}?",
    re.IGNORECASE,
)
_SERIAL_WORDS = (
    r"(?:serials?|s/ns?|ser\.|chassis|unit numbers?|unit nos?\.?|engine nos?\.?|gearbox"
    r" nos?\.?|machine nos?\.?"
    r"|fabrication nos?\.?|fab\. ?nos?\.?|production nos?\.?)"
)
_SERIAL_ONE = rf"(?:{_C}|{_PLAIN})"
_SERIAL = re.compile(
    rf"\b{_SERIAL_WORDS}(?![A-Za-z]){_NO}?[ :.]{{0,3}}(?:(?:range|ranges|from|after|before|up"
    r" to|and including|until"
    rf"|through|prior to|above|below|to|and|,|between|numbers?|nos?\.)[ :]{{1,2}}){{0,4}}{_SERIAL_ONE}"
    rf"(?: ?(?:,|;|-|–|—|to|thru|through|until|up to|and|&|or|inclusive|excluding|except|and including)"
    rf" ?(?:and |to |including |serial |no\.? )?{_SERIAL_ONE}(?![A-Za-z0-9])){{0,10}}",
    re.IGNORECASE,
)
# "from gear number 4400": a number of the unit where a bound stands beside it; alone it may be a part's.
_UNIT_NO = (
    r"(?:gear|gear ?box|pump|brake|clutch|winch|coupling|transmission|motor|engine|works|factory"
    r"|manufacturing|apparatus|equipment)[ -](?:numbers?|nos?\b\.?)"
)
_BOUND = (
    r"(?:from|after|before|since|until|up to|as (?:of|from)|starting with|beginning with|through|above|below)"
    r"(?: and including)?"
)
_UNIT_SERIAL = re.compile(
    rf"\b{_BOUND} (?:the )?{_UNIT_NO} ?{_SERIAL_ONE}"
    rf"(?: (?:to|up to|until|through|and) {_SERIAL_ONE}(?![A-Za-z0-9]))?"
    rf"|\b{_UNIT_NO} ?{_SERIAL_ONE}"
    r"(?= (?:onwards?|upwards?|and (?:up|on|above|higher|later|below|lower|earlier)"
    r"|or (?:later|higher|earlier|lower)))",
    re.IGNORECASE,
)
_MODEL = re.compile(
    rf"\b(?:models?|types?|series|versions?|variants?)\b[ :]{{1,2}}{_C}(?: ?(?:,|and|/|&|or) ?{_C}){{0,8}}",
    re.IGNORECASE,
)
_PART_WORDS = (
    r"(?:(?:(?:spare|service|kit|part|parts|article|assembly|repair"
    r"|set|component|oem)[ -]){0,2}"
    rf"(?:(?:parts?|kits?|sets?|assembl(?:y|ies)|assy\.?|p/?ns?|pt\.)(?![A-Za-z]){_NO}?|"
    r"(?:articles?|ident(?:ification)?\.?|ordering|order|stock|catalogue|catalog"
    rf"|ref|reference|material|component|supply)\b\.?{_NO})|p/?no?s?\.?(?![A-Za-z])|#)"
)
_PART = re.compile(
    rf"(?:\b|(?=#))(?P<label>{_PART_WORDS})[ :.]{{0,3}}(?P<number>{_C}|[0-9]{{3,8}}[A-Z]?)"
    r"(?![0-9A-Za-z.,]*[0-9])",
    re.I,
)
_IN_BRACKETS = re.compile(rf"\( ?({PART}|{CODE}) ?\)")
_FOLLOWED = re.compile(r" ?(?:off|pcs|pieces|pc)\b", re.IGNORECASE)


def label(tagged: Tagged, models: Collection[str] = (), own: str | None = None) -> Tagged:
    """Folds labelled numbers. `models` are the note's models and `own` its number: neither is a part.

    Manuals come first, so that "parts manual 4471" is no part, and "kit bulletin 12" no kit.
    """
    taken = {key(m) for m in models}
    tagged = refold(tagged, re.compile(_C), lambda m, t: _known(t, m.start(), taken, own))
    tagged = refold(tagged, _PUB, _publication)
    tagged = _alike(tagged, own)
    tagged = refold(tagged, _NOTE, _note)
    tagged = refold(tagged, _SERIAL, lambda m, t: Tag(SERIAL, t.words(m.start(), m.end())))
    tagged = refold(tagged, _UNIT_SERIAL, lambda m, t: Tag(SERIAL, t.words(m.start(), m.end())))
    tagged = refold(tagged, _MODEL, lambda m, t: Tag(MODEL, t.words(m.start(), m.end())))
    tagged = refold(tagged, _PART, _part)
    return refold(tagged, _IN_BRACKETS, lambda m, t: t.tags.get(m.start(1)))


def _alike(tagged: Tagged, own: str | None) -> Tagged:
    """Numbers of the shape of this note's own number, with the words that say what they number."""
    forms = _forms(own) if own else None
    if forms is None:
        return tagged
    shape, lettered = forms
    # A series counted 1, 2, 3 has the shape of every count and step: only words before it tell its numbers.
    counted = own is not None and own.strip().isdigit() and len(own.strip()) < 4

    def alike(match: re.Match[str], found: Tagged) -> Tag | None:
        before = found.folded[max(0, match.start() - 70) : match.start()]
        subject = _COUNTED_SUBJECT.search(before) and _TOLD_OF.match(found.folded, match.end())
        if counted and not (_COUNTED_BEFORE.search(before) or subject):
            return None
        return Tag(NOTE, found.words(match.start(), match.end()))

    tagged = refold(tagged, shape, alike)

    def named(match: re.Match[str], found: Tagged) -> Tag | None:
        old = found.tags[match.start("number")]
        if not shape.fullmatch(old.text) and old.kind != NOTE:
            return None
        words = found.folded[match.start() : match.start("number")]
        if not (_NOTE_WORD.search(words) or (lettered and not _PART_WORD.search(words))):
            return None
        mine = own is not None and key(old.text) == key(own)
        return Tag(NOTE, old.text, "own" if mine else words.lower().strip(" (:"))

    return refold(tagged, _NAMED, named)


def _forms(own: str) -> tuple[re.Pattern[str], bool] | None:
    """A pattern for the numbers of a note's series, and whether letters tell it from other numbers."""
    pieces = re.findall(r"[A-Za-z]+|[0-9]+|[^A-Za-z0-9]+", own.strip())
    if not pieces or not own.strip()[-1].isdigit() or sum(ch.isdigit() for ch in own) < 2 or len(own) > 24:
        return None
    lettered = any(p.isalpha() for p in pieces)
    if len(pieces) < 3:
        lettered = lettered and len(pieces[0]) > 1
    body = "".join(
        re.escape(p)
        if p.isalpha()
        else rf"[0-9]{{{max(1, len(p) - 1)},{len(p) + 1}}}"
        if p.isdigit()
        else r" ?"
        if p.isspace()
        else re.escape(p)
        for p in pieces
    )
    return re.compile(rf"(?<![A-Za-z0-9.,/-]){body}(?![A-Za-z0-9]|[-./,][0-9A-Za-z])"), lettered


def of_series(printed: str, own: str | None) -> bool:
    """True if a number has the shape of the note's own number, letters included."""
    forms = _forms(own) if own else None
    return forms is not None and forms[1] and forms[0].fullmatch(printed) is not None


def _known(tagged: Tagged, place: int, models: Collection[str], own: str | None) -> Tag | None:
    tag = tagged.tags[place]
    if key(tag.text) in models:
        return Tag(MODEL, tag.text)
    if own and key(tag.text) == key(own):
        return Tag(NOTE, tag.text, "own")
    return None


def _publication(match: re.Match[str], tagged: Tagged) -> Tag | None:
    """A catalogue of tools holds no steps; behind a comma only a number with letters is a manual's."""
    number = tagged.words(*match.span("number"))
    if _CATALOGUE.search(tagged.folded[max(0, match.start() - 14) : match.start("number")]):
        return None
    if "," in tagged.folded[match.start() : match.start("number")] and not _BOOK_FORM.fullmatch(number):
        return None
    return Tag(PUB, number, _label(match, tagged))


_LETTERED_STEP = re.compile(r"[A-Z]-[0-9]{1,2}")  # "instruction D-7"


def _note(match: re.Match[str], tagged: Tagged) -> Tag | None:
    """A bare small number behind "note" is a footnote; behind "instruction" a step."""
    number = tagged.words(*match.span("number"))
    words = _label(match, tagged)
    if (
        number.isdigit()
        and len(number) < 3
        and not re.search(r"bulletin|circular|letter|sb|no\b|number", words)
    ):
        return None
    if re.fullmatch(r"(?:the )?(?:instructions?|leaflets?|notes?) ?", words) and number.isdigit():
        return None
    told = re.search(r"(?:^|\s)(?:information|instructions?|updates?)$", words.strip())
    if told and (not number[0].isalpha() or _LETTERED_STEP.fullmatch(number)):
        return None
    return Tag(NOTE, number, words)


def _part(match: re.Match[str], tagged: Tagged) -> Tag | None:
    """ "no." alone makes nothing a part that is not shaped like one; "12 parts 3" is a count."""
    number = tagged.words(*match.span("number"))
    label = match["label"].lower()
    plain = number.isdigit() and tagged.folded[match.start("number")].isdigit()
    if plain and (
        not re.search(r"no|number|p/?n|#|kit|ref", label) or _FOLLOWED.match(tagged.folded, match.end())
    ):
        return None
    if plain and re.search(r"order|stock", label) and len(number) < 4:
        return None
    return Tag(PART, number, label)


def _label(match: re.Match[str], tagged: Tagged) -> str:
    return tagged.folded[match.start() : match.start("number")].lower().strip(" (:")


def kit_label(tag: Tag) -> bool:
    """True if the words before a number call it a kit or a set."""
    return bool(re.search(r"kit|set", tag.label))


__all__ = ["SHORT", "VALUE", "kit_label", "label", "of_series"]

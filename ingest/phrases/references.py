"""References to a step of a manual, in whatever order their words come.

"item 3 on page 26 of workshop manual X", "X, page 27, item 3", "page 24: item 3", "operation 7, section 4.2":
each becomes one sign with a `Reference`, as much of it as the words give.
"""

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.keys import key
from benchleaf.ingest.phrases.citationwords import ITEM_WORDS, LETTERED_STEP, NO, C
from benchleaf.ingest.phrases.labels import label
from benchleaf.ingest.phrases.letters import lettered_run, one_letter
from benchleaf.ingest.phrases.nested import Within, headed, nests, under_heading, within
from benchleaf.ingest.phrases.shortbooks import SECTION_LIKE, short_books, unfolded
from benchleaf.ingest.phrases.tags import CODE, PUB, QUOTE, REF, VALUE, WEAK, Tag, Tagged, fold, replace_at


@dataclass(frozen=True, slots=True)
class Reference:
    """What a citation names. `items` keeps the order of the words; `why` holds what is unclear about it;
    `same` tells that it says "the same page"."""

    publication: str | None = None
    page: str | None = None
    items: tuple[str, ...] = ()
    section: str | None = None
    why: tuple[str, ...] = ()
    same: bool = False


_ONE = (
    rf"(?:{one_letter(ITEM_WORDS)}|\(?(?:[0-9]{{1,3}}(?:\.[0-9]{{1,3}}){{0,3}}[a-z]?|{WEAK}|(?-i:[A-Z](?![A-Za-z'’])"
    rf"|[ivx]{{1,4}}(?![A-Za-z])))\)?(?: ?\([a-z0-9]{{1,2}}\)|(?<=[0-9]) (?-i:[a-z])\))?)"
)
_LIST = (
    rf"{_ONE}(?:(?: ?, ?(?:and |or )?| ?(?:and|&|\+|to|thru|through|or|up to) ?| ?[-–—/] ?)"
    rf"(?!{C} ?(?:of|in) )(?![0-9.,]{{1,8}} ?(?:to|and|-|–) ?{VALUE})"
    rf"{_ONE}(?![A-Za-z0-9]|[.,][0-9])){{0,12}}"
)
_ITEM = (
    rf"(?P<item>\b(?!(?<=following )[a-z]{{3,12}} ?:){ITEM_WORDS}(?![A-Za-z]){NO}"
    rf"(?P<items>{_LIST})(?![A-Za-z0-9]))"
)
_NTH = (
    r"(?P<nth>\b(?P<ordinal>first|second|third|fourth|fifth|sixth|seventh|eighth|ninth|tenth"
    r"|last|[0-9]{1,2}(?:st|nd|rd|th))"
    r"(?: (?:numbered|listed))? (?:step|item|operation|paragraph|instruction|point)\b)"
)
# "page C 3", "page II/7", "page 3 - 12": a chapter's letter or number belongs to the page.
_NO_CHAPTER = r"(?!(?:IN|ON|OF|TO|AT|IS|NO|NR|OR|AS|BY|IF|IT|WE|AN|AND|SEE|STEP|ITEM)[ .])"
_CHAPTERED = (
    rf"(?-i:{_NO_CHAPTER}(?:[A-Z]{{1,2}}|[IVX]{{1,5}})(?: ?[./–-] ?| )[0-9]{{1,4}}[A-Z]?(?![0-9A-Za-z]))"
    rf"|(?-i:[0-9]{{1,3}}[A-Z]? [–—-] [0-9]{{1,3}}[A-Za-z]?(?![0-9A-Za-z]|[.,][0-9])"
    r"(?! (?!is\b|has\b)[a-z]{2,14}s\b))"
)
_PAGE_ONE = (
    rf"(?:{C}|{_CHAPTERED}|[A-Z]{{0,2}}-?[0-9]{{1,4}}(?:[-.][0-9]{{1,4}}){{0,3}}[A-Z]?(?![0-9A-Za-z])"
    rf"|[ivx]{{1,5}}(?![A-Za-z]))"
)
_PAGE = (
    rf"(?P<page>\b(?:pages?|pp?\.|pg\.?|pgs\.?|sheets?|folios?|p(?= ?(?:[0-9]|{C})))"
    r"(?![A-Za-z])(?:(?<=(?:following|preceding) page),|(?<=(?:previous|opposite) page),|(?<=next page),)?"
    rf"{NO}(?P<pages>{_PAGE_ONE}"
    rf"(?:(?: ?, ?(?:and )?| (?:and|&|to|thru|through|or) )(?!{CODE}){_PAGE_ONE}(?! ?(?:%|mm"
    rf"|cm|Nm|in)\b)(?!\.[-–])){{0,6}})(?:,? change [0-9]{{1,2}})?)"
)
_SHEETS = re.compile(
    r"(?:page|sheet|pg|p)\b\.? ?(?:nos?\b\.? ?)?:? ?(?P<at>[0-9]{1,2}) ?(?:of|/|von|de) ?"
    r"(?P<all>[0-9]{1,2})(?![0-9A-Za-z]|[.,/-][0-9A-Za-z])",
    re.IGNORECASE,
)
_PLURAL = re.compile("pages|pp|pgs|sheets|folios", re.IGNORECASE)
_SECTION = (
    r"(?P<section>\b(?:(?:sub-?)?sections?|chapters?|groups?|headings?|procedures?|sect?\."
    rf"|chap\.|tables?)(?![A-Za-z]){NO}"
    rf"(?P<sections>{C}|{QUOTE}|(?-i:(?=[A-Z]{{0,3}}[0-9]|[A-Z](?![A-Za-z])|[IVX])[0-9A-Z]{{1,4}}(?:[.-][0-9A-Z]{{1,4}}){{0,3}})"
    r"(?![A-Za-z0-9])))"
)
_LINE = (
    r"(?P<line>\b(?P<lined>lines?|rows?|columns?|figs?\.?|figures?|illustrations?)"
    r"(?: nos?\.?)? (?P<lines>[0-9]{1,3}(?:-[0-9]{1,3})?)\b"
    r"(?P<tabled> (?:of|in) (?:the|this|that) (?:[a-z]{3,12} )?table\b(?! [0-9]))?)"
)
TABLE_ROW = "the words name a line of a table"
# A page in a form that nobody foresaw: what is cited with it may not settle on another page.
_LOST = (
    r"(?P<lost>\b(?:pages?|folios?)(?![A-Za-z]) ?\(?(?-i:[A-Z](?![A-Za-z’'])"
    r"|[A-Z]{0,4}[ .:–-]{0,2}[0-9])[^ ,;)]{0,8}\)?)"
)
_SAME = (
    r"(?P<same>\b(?:the |this |that )?same (?P<what>page|sheet|manual|section|publication)|\b(?:this"
    r"|that) (?:page|sheet|section))"
)
_RELATIVE = (
    r"(?P<relative>\b(?:the|this|that) (?:next|previous|preceding|last but one)"
    r" (?:step|item|operation|paragraph|point)\b(?! (?:after|before|behind))"
    r"|\bthe (?:step|item|operation|paragraph|point|one) (?:right |directly |immediately )?"
    r"(?:after|before|following|preceding) (?:it|that|this)\b)"
)
# "5.3.3 on page 15", "the words of 5.3.3": a step that is only a number with two stops or more.
_DOTTED = (
    r"(?P<dotted>(?<![A-Za-z0-9.,/-])(?:[0-9]{1,2}(?:\.[0-9]{1,2}){2,3}(?![0-9A-Za-z-]|\.[0-9])"
    r"(?:(?=,? ?(?:on |at |\()(?:the )?(?:[^(),.]{0,16}, )?(?:pages?|pp?\.|sheets?)[ :])"
    r"|(?<=words of [0-9.]{5})|(?<=wording of [0-9.]{5})|(?<=text of [0-9.]{5}))"
    rf"|{LETTERED_STEP}))"
)
# "step 1 on 3-7"
_ON = r"(?P<on>(?<=[0-9)] on )[0-9]{1,3}-[0-9]{1,3}(?![0-9A-Za-z-]))"
_PUB = rf"(?P<pub>{PUB})"
_BARE_PUB = (
    r"(?P<book>\b(?:(?:the|your|our|said|above|this|that|current|relevant) )?(?:(?:workshop"
    r"|service|repair|overhaul"
    r"|maintenance|shop|technical|rebuild|assembly) )?(?:manual|handbook|instruction book)\b"
    r"(?! (?:of|for)\b))"
)
_PIECE = re.compile(
    rf"{_ITEM}|{_DOTTED}|{_ON}|{_NTH}|{_RELATIVE}|{_PAGE}|{_LOST}|{_SECTION}|{_LINE}|{_SAME}|{_PUB}|{_BARE_PUB}|(?P<code>{C})",
    re.IGNORECASE,
)
_JOIN = re.compile(
    r"\)?[ ]{0,2}[,;:(\[/–—-]{0,1}[ ]{0,2}(?:\(|(?:(?:of|on|in|from|at|under|for|see|within"
    r"|to)\b)?) ?(?:(?:the|our|your|this)\b ?)?(?:cop(?:y|ies) of (?:the )?)?"
    r"(?:(?:same|above|current|relevant|heading|title|present|existing|said)\b ?)?",
    re.IGNORECASE,
)
_WHICH = re.compile(
    r",? (?:which|that) (?:is|are|stands?|appears?) (?:(?:to be )?(?:found|printed|given|shown) )?"
    r"(?:on|in|at|under) ?(?:the )?",
    re.IGNORECASE,
)
_DATED = re.compile(
    r" (?:workshop |service |repair |overhaul |maintenance )?(?:manual|handbook)\b(?! (?:of|for))"
    r"|\)?[ ,]{0,2}\(?(?:dated |of |edition |issue |ed\. |rev\.? )\ue00a\)?| ?[)\]]"
)
_OF = re.compile(r"\b(?:of|in|from)\b|\(", re.IGNORECASE)
_BOOK = re.compile(r"[A-Z]{1,4}[ .-][0-9]{2,6}(?:[-./]?[0-9A-Z]{1,4}){0,2}")
_LEAD = re.compile(
    r"(?:^|[.;!] )(?:(?:in|on|to|for|re|ref|concerning|regarding) ?[.:]? ?)?(?:the )?"
    rf"(?P<code>{C})(?= ?[:,.])",
    re.IGNORECASE,
)
_VERB = re.compile(
    r" (?:to|is|are|has|have|now|should|must|shall|with|by|reads|as|was|were|be|no longer|does|do|will)\b",
    re.IGNORECASE,
)
_COPY = re.compile(
    r"\b(?:copy of|copies of|corrections? (?:to|of|for|in)|amendments? (?:to|of|in|for)"
    r"|changes? (?:to|in)|revisions? (?:to|of)"
    rf"|errat(?:a|um) (?:to|for|in)|supplement to|in) (?:the |your )?(?P<code>{C})",
    re.IGNORECASE,
)
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
_RANGE = re.compile(
    r"(?P<a>[0-9]{1,3})\)? ?(?:to|thru|through|up to|[-–—]) ?\(?(?P<b>[0-9]{1,3})", re.IGNORECASE
)
_LABELS = re.compile(
    r"\(?(?P<label>[0-9]{1,3}(?:\.[0-9]{1,3}){0,3}[A-Za-z]?|[A-Za-z]-?[0-9]{0,3}"
    r"|[ivx]{1,4})\)?(?P<sub> ?\([a-z0-9]{1,2}\)|(?<=[0-9]) [a-z]\))?"
)
_AND = re.compile(r" ?[,&+/] ?(?:and |or )?| (?:and|or) ", re.IGNORECASE)


def tag(
    text: str,
    models: Collection[str] = (),
    own: str | None = None,
    publications: Collection[str] = (),
    shapes: Collection[tuple[int, ...]] = (),
) -> Tagged:
    """A text with every number, label and reference folded. `publications` are manuals that the note
    cites elsewhere by label: a bare number is taken for a manual where it is one of them. `shapes` are
    those of the maker's numbers."""
    known = {key(p) for p in publications}
    labelled = label(unfolded(fold(text, shapes)), models, own)
    return _references(short_books(labelled, known, {key(m) for m in models}), known)


def read_reference(text: str) -> Reference | None:
    """The one reference in a text, such as a table cell or a subject line; None if there is none.

    >>> read_reference("item 3 on page 26 of workshop manual QX 210").page
    '26'
    """
    tagged = tag(text)
    found = [t.content for _, t in sorted(tagged.tags.items()) if isinstance(t.content, Reference)]
    return merged(found) if found else None


def merged(found: Sequence[Reference]) -> Reference | None:
    """Several references that complete one another as one; None if two of them name different things."""
    whole = Reference()
    for one in found:
        for mine, other in (
            (whole.publication, one.publication),
            (whole.page, one.page),
            (whole.items, one.items),
        ):
            if mine and other and _keys(mine) != _keys(other):
                return None
        whole = Reference(
            whole.publication or one.publication,
            whole.page or one.page,
            whole.items or one.items,
            whole.section or one.section,
            (*whole.why, *one.why),
            whole.same or one.same,
        )
    return whole


def completed(reference: Reference, context: Reference) -> Reference:
    """A reference with what it leaves open taken from its context. A page belongs to its publication: a
    reference that names another manual takes no page from the context."""
    other = (
        reference.publication
        and context.publication
        and key(reference.publication) != key(context.publication)
    )
    page = reference.page or (None if other or "page" in " ".join(reference.why) else context.page)
    return replace(reference, publication=reference.publication or context.publication, page=page)


def _keys(named: str | tuple[str, ...]) -> tuple[str, ...]:
    return tuple(key(n) for n in ((named,) if isinstance(named, str) else named))


def labels_of(words: str) -> tuple[str, ...]:
    """The item labels in "3, 5 and 7" or "4 to 6", each without its marks.

    >>> labels_of("4 to 6")
    ('4', '5', '6')
    """
    labels: list[str] = []
    for piece in _AND.split(words):
        ends = _RANGE.fullmatch(piece.strip("() ."))
        if ends and 0 < int(ends["b"]) - int(ends["a"]) < 40:
            labels.extend(str(n) for n in range(int(ends["a"]), int(ends["b"]) + 1))
            continue
        found = _LABELS.match(piece.strip())
        if run := lettered_run(piece, labels[-1] if labels else ""):
            labels.extend(run)
        elif found:
            sub = (found["sub"] or "").strip()
            labels.append(found["label"] + (f"({sub}" if sub and sub[0] != "(" else sub))
    return tuple(labels)


def _references(tagged: Tagged, known: Collection[str]) -> Tagged:
    groups: list[list[re.Match[str]]] = []
    for piece in _PIECE.finditer(tagged.folded):
        if piece["on"] and not (groups and _joins(tagged, groups[-1], piece, known)):
            continue
        if groups and _joins(tagged, groups[-1], piece, known):
            groups[-1].append(piece)
        else:
            groups.append([piece])
    stretches = []
    tabled = False
    for group in groups:
        tabled = tabled or any(p["tabled"] or (p["section"] or "").lower().startswith("table") for p in group)
        bare = all(p["code"] for p in group) or _own_count(tagged, group)
        content = None if bare else _content(tagged, group, tabled)
        if content is not None:
            start, end = group[0].start(), _closing(tagged, group)
            stretches.append((start, end, Tag(REF, tagged.words(start, end), content=content)))
    return _with_lead(replace_at(tagged, stretches))


def _own_count(tagged: Tagged, group: Sequence[re.Match[str]]) -> bool:
    """True for "Page 1 of 2", "Sheet 1/1": the note counts its own sheets and cites none of a manual."""
    start = tagged.spans[group[0].start()][0]
    counted = _SHEETS.match(tagged.text, start) if len(group) == 1 else None
    return counted is not None and 0 < int(counted["at"]) <= int(counted["all"])


def _joins(
    tagged: Tagged, group: Sequence[re.Match[str]], piece: re.Match[str], known: Collection[str]
) -> bool:
    """True if a piece goes on with the same reference: close behind it, and naming what it does not name
    yet."""
    between = tagged.folded[group[-1].end() : piece.start()]
    kinds = {_kind(p) for p in group}
    joined = _WHICH.fullmatch(between) or (len(between) <= 24 and _JOIN.fullmatch(between))
    if _of_lettered(group, between, piece):
        return True
    if joined and piece["item"] and _nested(tagged, group, piece):
        return True
    if not joined or _kind(piece) in kinds:
        return False
    if ";" in between and "item" in kinds and _kind(piece) == "page":
        return False  # the page begins the next change
    if piece["code"]:
        return _is_book(tagged, piece, between, known)
    if kinds == {"pub"} and group[-1]["code"]:
        if not any(ch.isalpha() for ch in tagged.tags[group[-1].start()].text) and group[-1].group() == WEAK:
            return False
        return (piece.lastgroup != "line" and ":" not in between) or key(
            tagged.tags[group[-1].start()].text
        ) in known
    return True


def _of_lettered(group: Sequence[re.Match[str]], between: str, piece: re.Match[str]) -> bool:
    """True for the step of "paragraph (b) of step 3"."""
    letters = group[0]["items"] if len(group) == 1 else None
    mine = piece["items"] or ""
    return (
        letters is not None
        and between.strip().lower() in ("of", "of the", "in", "under", "to")
        and not any(ch.isdecimal() for ch in letters)
        and mine[:1].isdecimal()
    )


def _nested(tagged: Tagged, group: Sequence[re.Match[str]], piece: re.Match[str]) -> bool:
    """True for the step of "paragraph 5.2, step d)": one named within the one before it."""
    named = [p for p in group if _kind(p) == "item"]
    if len(named) != 1 or not named[0]["item"]:
        return False
    first, second = (_labelled(tagged, p) for p in (named[0], piece))
    return nests(*first, *second)


def _labelled(tagged: Tagged, piece: re.Match[str]) -> tuple[str, tuple[str, ...]]:
    """The words of a citation of steps, and its labels."""
    return tagged.words(*piece.span("item")), labels_of(tagged.words(*piece.span("items")))


def _is_book(tagged: Tagged, piece: re.Match[str], between: str, known: Collection[str]) -> bool:
    """A bare number behind a page or step: a manual after "of", or at the end of the citation."""
    code = tagged.tags[piece.start()]
    after = tagged.folded[piece.end() : piece.end() + 1]
    if SECTION_LIKE.fullmatch(code.text):
        return False
    if key(code.text) in known or (_OF.search(between) and re.search("of|in", between, re.IGNORECASE)):
        return True
    lettered = code.kind == CODE or (code.text[0].isalpha() and code.text[-1].isdigit())
    goes_on = _VERB.match(tagged.folded, piece.end())
    closed = after in ("", ".", ":", ";", ",", ")") or goes_on is not None
    return (
        lettered
        and closed
        and ("," in between or "(" in between or tagged.words(*piece.span()).startswith("("))
    )


def _kind(piece: re.Match[str]) -> str:
    if piece["code"] or piece["pub"] or piece["book"]:
        return "pub"
    if piece["same"]:
        return "page" if (piece["what"] or "page").lower() in ("page", "sheet") else "pub"
    if piece["on"] or piece["lost"]:
        return "page"
    return (
        "item"
        if piece["nth"] or piece["relative"] or piece["dotted"]
        else next(k for k in ("item", "page", "section", "line") if piece[k])
    )


def _closing(tagged: Tagged, group: Sequence[re.Match[str]]) -> int:
    """The end of a citation with its closing bracket and the date or edition of its manual."""
    start, end = group[0].start(), group[-1].end()
    dated = _DATED.match(tagged.folded, end)
    opened = tagged.folded[start:end].count("(") - tagged.folded[start:end].count(")")
    if dated and (")" not in dated.group() or opened > 0 or "(" in dated.group()):
        return dated.end()
    return end


def _content(tagged: Tagged, group: Sequence[re.Match[str]], tabled: bool = False) -> Reference | None:
    publication = page = section = None
    items: tuple[str, ...] = ()
    why: list[str] = []
    outer: tuple[str, tuple[str, ...]] | None = None
    for piece in group:
        if piece["item"]:
            said, named = _labelled(tagged, piece)
            if outer is not None and nests(*outer, said, named):
                inside = within(*outer, said, named)
                items, section, why = inside.items, inside.section or section, [*why, *inside.why]
            elif items and headed(said, named):
                section = named[0]
            elif items:
                items = tuple(f"{n}({letter})" for n in named for letter in items)
            else:
                inside = under_heading(said, named) or Within(named)
                items, section = inside.items, inside.section or section
            outer = said, named
        elif piece["dotted"]:
            items = (piece["dotted"],)
        elif piece["on"]:
            page = piece["on"]
        elif piece["nth"]:
            items = _nth(piece["ordinal"].lower())
            why.append(f"“{piece.group()}” counts the steps instead of naming one")
        elif piece["relative"]:
            why.append(f"“{piece.group()}” names a step by its place only")
        elif piece["page"]:
            page, book, unclear = _page(
                tagged.words(*piece.span("pages")), _PLURAL.match(piece["page"]) is not None
            )
            publication = publication or book
            why.extend(unclear)
        elif piece["line"] and tabled and piece["lined"].lower()[:3] in ("lin", "row"):
            if any(p["item"] or p["dotted"] or p["nth"] for p in group):
                continue
            items = labels_of(piece["lines"])
            why.append(TABLE_ROW)
        elif piece["lost"]:
            why.append(f"the page “{tagged.words(*piece.span())}” was not understood")
        elif piece["section"]:
            section = tagged.words(*piece.span("sections"))
        elif piece["pub"] or piece["code"]:
            publication = tagged.tags[piece.start()].text
    if not (publication or page or items or section) and not any(
        p["same"] or p["book"] or p["relative"] for p in group
    ):
        return None
    if section and items and not page:
        why.append(f"cites section {section} and no page")
    same = any(p["same"] and _kind(p) == "page" for p in group)
    return Reference(publication, page, items, section, tuple(why), same)


def _nth(ordinal: str) -> tuple[str, ...]:
    digits = re.match("[0-9]+", ordinal)
    if digits:
        return (digits.group(),)
    return (str(_ORDINALS.index(ordinal) + 1),) if ordinal in _ORDINALS else ()


def _page(words: str, plural: bool) -> tuple[str | None, str | None, tuple[str, ...]]:
    """The page; a manual that follows it as if it were a second page ("page 9, HB 35"); a doubt for
    several, as of "pages 3 - 12"."""
    pages, _, last = words.rpartition(",")
    book = last.strip() if pages and _BOOK.fullmatch(last.strip()) else None
    words = pages if book else words
    several = re.search(r",|\b(?:and|to|thru|through|or)\b|&", words) or (
        plural and re.fullmatch("[0-9]{1,3} [–—-] [0-9]{1,3}", words)
    )
    return (None, book, (f"several pages are named ({words})",)) if several else (words.strip(), book, ())


def _with_lead(tagged: Tagged) -> Tagged:
    """ "HB 35: before step 5 on page 12 …", "in your copy of HB 35, turn to page 12", "Correction to HB
    35": a number that opens a sentence about a step, or a heading, is the manual's."""
    stretches: list[tuple[int, int, Tag]] = []
    for lead in (*_LEAD.finditer(tagged.folded), *_COPY.finditer(tagged.folded)):
        place = lead.start("code")
        code = tagged.tags[place]
        after = [t.content for _, t in tagged.inside(lead.end(), min(len(tagged.folded), lead.end() + 160))]
        first = next((r for r in after if isinstance(r, Reference)), None)
        titled = lead.re is _COPY and not lead.group().lower().startswith("in ")
        heading = titled and len(tagged.folded) < 50 and first is None
        cites = first is not None and not first.publication and bool(first.items or first.page)
        if SECTION_LIKE.fullmatch(code.text):
            continue
        if (cites or heading) and code.text[0].isalpha() and not any(place == a for a, _, _ in stretches):
            stretches.append((place, place + 1, Tag(REF, code.text, content=Reference(code.text))))
    return replace_at(tagged, sorted(stretches, key=lambda s: s[0]))

"""What the sentences of a note say of interchange and old stock, where they name the old and the new part.

"The new cap may be fitted in place of the old" allows one way; "not the old in place of the new" forbids
the other. Which part is meant is told by its number, or by "old" and "new" where the note replaces but one
thing; where that is not plain, or a condition stands in the sentence, nothing is taken from it. Wordings:
common practice, no source.
"""

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from benchleaf.graph.keys import key
from benchleaf.graph.model import Interchange, Statement, Stock, Supersession
from benchleaf.ingest.phrases.guards import trips
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Reader
from benchleaf.ingest.phrases.sentences import Sentence
from benchleaf.ingest.phrases.tags import CODE, KINDS, PART, WEAK

Pair = tuple[frozenset[str], frozenset[str]]
Told = dict[Pair, tuple[set[Interchange], set[Stock]]]
_OLD, _NEW = "\x02", "\x03"
_A, _B = f"(?P<a>[{_OLD}{_NEW}])", f"(?P<b>[{_OLD}{_NEW}])"
_SIDE = re.compile(
    r"\b(?:(?P<old>old|older|former|previous|earlier|superseded|replaced|discontinued|original)"
    r"|(?P<new>new|newer|later|improved|replacement|superseding|present))\b"
    r"(?! (?:numbers?|stocks?|manuals?|editions?|texts?|wordings?|steps?|values?|sheets?|letters?"
    r"|bulletins?)\b)"
    r"(?P<noun> (?:parts?|ones?|kinds?|types?|versions?|designs?|[a-z][a-z-]{2,20}))?",
    re.IGNORECASE,
)
_GENERIC = re.compile(
    r" (?:parts?|ones?|kinds?|types?|versions?|designs?|pieces?|items?|style)$", re.IGNORECASE
)
# Words behind "the old" that are no noun: "the old may …", "the new for the old".
_NO_NOUN = re.compile(
    r" (?:may|can|must|should|is|are|was|were|for|in|instead|and|or|cannot|will|has|have|as|when"
    r"|where|by|with|on"
    r"|to|does|do|not|only|also|but|still|if|than|fits?|still|shall|might|could)$",
    re.IGNORECASE,
)
_SAME = re.compile(
    rf"([{_OLD}{_NEW}])(?: (?!and|or|for|in|of|the|not|may|can)[a-z-]{{3,20}}){{0,3}}[ ,(]{{1,2}}\1\)?"
)
_MAY = re.compile(
    r"\b(?:may|can|could|cannot|permitted|permissible|allowed|acceptable|accepted|suitable"
    r"|interchang[a-z]+|exchang[a-z]+"
    r"|must (?:not|never)|not|never|no)\b",
    re.IGNORECASE,
)
_PLACE = (
    r"(?:instead of|in place of|in lieu of|in the place of|in substitution for|as a (?:replacement"
    r"|substitute) for"
    r"|as (?:replacement|substitute) for|(?:a|no) (?:replacement|substitute) for|to replace|replace"
    r"|in exchange for|for)"
)
_NAMES = r"(?:(?:the|an?|any|this|every) )?(?:(?!not|no|and|or|but|which|that|units?)[a-z-]{2,20} ){0,3}"
_LINK = re.compile(rf"{_A}(?P<between>[^{_OLD}{_NEW};.:]{{0,70}}?) {_PLACE} {_NAMES}{_B}", re.IGNORECASE)
_PRONOUN = re.compile(
    rf"(?:^|[,;] (?:and |but )?)(?P<a>it|they|this|these)(?P<between> [^{_OLD}{_NEW};.:]{{0,70}}?) {_PLACE} "
    rf"{_NAMES}{_B}",
    re.IGNORECASE,
)
_NOT = re.compile(r"\b(?:not|never|cannot|no|nor|neither)\b|n['’]t\b", re.IGNORECASE)
_NOT_BEFORE = re.compile(
    r"(?:\b(?:not|never|nor)(?: (?:the|an?|any|fit|use|install|put|the other way round:?))*|"
    r"\b(?:do not|never|don['’]t) (?:fit|use|install|put|mount|supply) (?:the |an? |any )?)\s*$",
    re.IGNORECASE,
)
_IF = re.compile(
    r"\b(?:if|unless|provided|providing|until|only (?:when|where|in|on|for|if|with)|when|where|except"
    r"|as long as"
    r"|so long as|in case|whether|condition|some|certain|up to|from serial|before serial|after serial"
    r"|temporarily"
    r"|emergency|on units|perhaps|expected|planned|will|would)\b",
    re.IGNORECASE,
)
# "provided that both are used together" of a set of parts is how the set is fitted, and no condition.
TOGETHER = re.compile(
    r"[ ,]{0,2}(?:provided|providing|as long as|so long as|on condition|if|only if|but only)(?: that)?"
    r" [^.;]{0,80}?\b(?:together|as a set|in sets|as a pair|in pairs)\b",
    re.IGNORECASE,
)
_EXHAUSTED = re.compile(
    r"[ ,]{0,8}+\b(?:until|till|as long as|so long as|while)(?: the| your| any| all)? (?:stocks?|supplies"
    r"|supply|they|it|these)"
    r"(?: of [^.;]{1,30})? (?:lasts?|(?:is|are|has been|have been) (?:exhausted|used up|gone|finished"
    r"|sold|consumed))",
    re.IGNORECASE,
)
_BOTH = re.compile(
    r"(?:^|[,;:] )(?:both|either)(?: of them| kinds| sorts| types| versions| designs"
    r"|(?: [a-z][a-z-]{2,20}){1,2})?"
    r" (?:may|can) (?:still |also |now |equally |freely )?be (?:used|fitted|installed|mixed)\b"
    r"(?! (?:only|together|as a set|for (?!both|either|all|any|every)|on (?!all|any|every|either"
    r"|both)|up\b))",
    re.IGNORECASE,
)
_NEITHER = re.compile(
    r"\bneither(?: of (?:them|the two)| [a-z]+| of the [a-z]+)? (?:may|can|must|will) (?:be (?:used"
    r"|fitted|installed) "
    r"(?:instead of|in place of|in lieu of|for)|replace) the other"
    r"|\b(?:one|the one) (?:cannot|can not|may not|must not|must never) be (?:used|fitted|installed"
    r"|exchanged) "
    r"(?:instead of|in place of|in lieu of|for) the other|\bnot be (?:exchanged|used|fitted"
    r"|substituted)(?: the)? one for the other",
    re.IGNORECASE,
)
_SCRAPPING = (
    r"(?:scrap|destroy|discard|dispose of|return|send back|throw away|throw out|quarantine|withdraw"
    r"|remove|clear out"
    r"|weed out|hand back|give back|write off|mutilate)"
)
_SCRAPPED = (
    r"(?:scrapped|destroyed|discarded|disposed of|returned|sent back|thrown away|quarantined"
    r"|mutilated|written off)"
)
_STOCKS = r"(?:stocks?|supplies|remainders?|remaining (?:parts|pieces|stocks?)|leftovers)"
_USED = r"(?:used(?! up)|fitted|installed|sold|supplied|issued)"
_ANY_MORE = (
    r"(?: again| any ?more| any longer| at all| under any circumstances| in any (?:case|unit|event)"
    r"| henceforth| in future)"
)
_SCRAP = tuple(
    re.compile(form, re.IGNORECASE)
    for form in (
        rf"\b{_SCRAPPING}(?: (?!not\b|no\b)[a-z]+){{0,4}}? (?:{_STOCKS}\b|{_OLD})(?! (?:for|in place"
        rf"|instead|in lieu)\b)",
        rf"\b(?:send|return|give|hand)(?: [a-z]+){{0,3}} {_OLD}(?: [a-z]+)? back\b",
        rf"\b{_STOCKS}\b[^.;]{{0,60}}? (?:must|should|is to|are to|shall|has to|have to|to)(?: all"
        rf"| now)? be {_SCRAPPED}",
        rf"{_OLD}[^.;{_NEW}]{{0,50}}? (?:must|should|is to|are to|shall|has to|have to)(?: all"
        rf"| now)? be {_SCRAPPED}",
        rf"{_OLD}[^.;{_NEW}]{{0,30}}? (?:must|may|can|should|shall|is|are)(?: (?:not|never)(?: to)?"
        rf"|no longer(?: to)?"
        rf"| no longer| under no circumstances| on no account) be {_USED}{_ANY_MORE}?(?= ?(?:[.,;]|and\b|$))",
        rf"\b(?:do not|never|don['’]t) (?:use|fit|install|sell|issue)(?: (?:the|any|any more"
        rf"|further))? {_OLD}"
        rf"(?: [a-z]+)?{_ANY_MORE}?(?= ?(?:[.,;]|and\b|$))",
        rf"\b(?:the )?(?:use|fitting|sale) of (?:the |any )?{_OLD}[^.;]{{0,20}}? is (?:now "
        rf"|henceforth )?(?:forbidden"
        r"|prohibited|no longer (?:permitted|allowed)|not (?:permitted|allowed))(?: any more"
        r"| any longer)?(?= ?(?:[.,;]|$))",
    )
)
_USE_UP = tuple(
    re.compile(form, re.IGNORECASE)
    for form in (
        rf"\b{_STOCKS}\b[^.;]{{0,50}}? (?:may|can|should|must|are to|is to|shall)(?: still| first| all"
        rf"| however| also)*"
        r" be (?:used(?: up)?|fitted|exhausted|consumed|sold|run (?:out|down)|cleared)\b(?! (?:only"
        r"|for|in place|instead)\b)",
        rf"{_OLD}[^.;{_NEW}]{{0,30}}?\b(?:in (?:stock|store|hand)|on (?:hand|the shelf|shelf"
        rf"|your shelves|the shelves)|in your"
        r" stores?|held in stock|that you (?:hold|still have)|still held|still in stock"
        r"|already supplied|you (?:hold|have))"
        r"[^.;]{0,30}? (?:may|can|should|must|are to)(?: still| first| all| however| also)* be"
        r" (?:used(?: up)?|fitted|consumed|sold)\b(?! (?:only|for|in place|instead)\b)",
        rf"{_OLD}[^.;{_NEW}]{{0,30}}? (?:may|can|should|must|are to|is to)(?: still| first| all"
        rf"| however| also)* be"
        r" (?:used up|run out|run down|used first)\b",
        rf"\b(?:use up|exhaust|run down|finish|sell off"
        rf"|clear)(?: first)?(?: [a-z]+){{0,4}}? (?:{_STOCKS}\b|{_OLD})",
        rf"\buse(?: the| any| all| up)? {_OLD}[^.;{_NEW}]{{0,20}} first\b",
    )
)


def with_riders(statements: Sequence[Statement], reader: Reader) -> list[Statement]:
    """The statements with what later sentences say of the interchange and the old stock of each
    supersession, where it did not say so itself."""
    changes: dict[Pair, list[Supersession]] = {}
    for one in statements:
        if isinstance(one, Supersession) and one.standing != "refused":
            changes.setdefault(_pair(one), []).append(one)
    told: Told = {pair: (set(), set()) for pair in changes}
    for block, passage in enumerate(reader.body.blocks):
        if isinstance(passage, Passage):
            for sentence in passage.sentences:
                _hear(reader, block, passage, sentence, changes, told)
    better = {id(one): _filled(one, *told[pair]) for pair, same in changes.items() for one in same}
    return [better.get(id(s), s) for s in statements]


def _pair(one: Supersession) -> Pair:
    return frozenset(key(n) for n in one.old), frozenset(key(n) for n in one.new)


def _filled(
    one: Supersession, interchange: Collection[Interchange], stock: Collection[Stock]
) -> Supersession:
    """A supersession with what was heard of it; what contradicts itself is left unsaid."""
    if one.interchange == "unstated" and len(interchange) == 1:
        one = replace(one, interchange=next(iter(interchange)))
    if one.stock is None and len(stock) == 1:
        one = replace(one, stock=next(iter(stock)))
    return one


def _hear(
    reader: Reader,
    block: int,
    passage: Passage,
    sentence: Sentence,
    changes: Mapping[Pair, Sequence[Supersession]],
    told: Told,
) -> None:
    if any(a < sentence.end and sentence.start < b for a, b in reader.texts.get(block, ())):
        return
    alone = len(changes) == 1
    ways: dict[Pair, Interchange] = {}
    stocks: dict[Pair, Stock] = {}
    named = {key(t.text) for _, t in passage.tagged.inside(*sentence) if t.kind in (PART, CODE, WEAK)}
    for pair, same in changes.items():
        if not (alone or named & pair[0] or named & pair[1]):
            continue  # it speaks of other things
        for one in same:
            way, stock = _said_of(reader, passage, sentence, one, alone)
            ways.update({pair: way} if way else {})
            stocks.update({pair: stock} if stock else {})
    if len(ways) == 1:
        told[next(iter(ways))][0].update(ways.values())
    if len(stocks) == 1:
        told[next(iter(stocks))][1].update(stocks.values())


def _said_of(
    reader: Reader, passage: Passage, sentence: Sentence, one: Supersession, alone: bool
) -> tuple[Interchange | None, Stock | None]:
    said = _marked(passage, sentence, one, alone)
    if said is None or said.rstrip().endswith("?"):
        return None, None
    if len(one.old) + len(one.new) > 2:
        said = TOGETHER.sub("", said)
    lasting = _EXHAUSTED.search(said) is not None and _OLD in said and _NEW not in said
    said = _EXHAUSTED.sub(" up" if lasting else "", said)
    if _IF.search(said) or any(t.effect != "doubt" for t in trips(reader.book, _lead(said), "", "")):
        return None, None
    own = passage.tagged.words(*sentence) in one.quote or one.quote in passage.tagged.words(*sentence)
    plain = len(one.old) == len(one.new) == 1
    return (None if own else _interchange(said, plain)), (None if own else _stock(said))


def _lead(said: str) -> str:
    """What stands before the first thing named, but for a command or a "not" that belongs to it."""
    first = re.search(f"[{_OLD}{_NEW}]|\\b(?:stocks?|both|either|scrap|destroy)\\b", said, re.IGNORECASE)
    lead = said[: first.start()] if first else ""
    return re.sub(
        r"\b(?:do not|don['’]t|never|not) (?:use|fit|install|sell|issue|put|mount|supply)\b.*$",
        "",
        lead,
        flags=re.I,
    )


def _marked(passage: Passage, sentence: Sentence, one: Supersession, alone: bool) -> str | None:
    """A sentence with one sign for the old part and one for the new; None if neither is named in it and the
    note replaces other things too."""
    old, new = ({key(n) for n in numbers} for numbers in (one.old, one.new))
    out, numbered = "", False
    for place in range(*sentence):
        tag = passage.tagged.tags.get(place)
        sign = passage.folded[place]
        if tag is None or tag.kind not in (PART, CODE, WEAK):
            out += sign
            continue
        side = _OLD if key(tag.text) in old else _NEW if key(tag.text) in new else ""
        numbered = numbered or bool(side)
        out += side or sign
    if not numbered and (not alone or any(ch in KINDS for ch in out)):
        return None
    if not numbered and not _mentions_it(out, one):
        return None
    out = _SIDE.sub(lambda m: _side(m, one), out)
    for _ in range(2):
        out = _SAME.sub(r"\1", out)
    return out


def _mentions_it(said: str, one: Supersession) -> bool:
    """True where every old or new thing of a sentence may be the one replaced."""
    nouns = [m["noun"] for m in _SIDE.finditer(said) if m["noun"]]
    return all(_fits(noun, one) for noun in nouns)


def _fits(noun: str, one: Supersession) -> bool:
    return fits(noun, one.quote)


def old_thing_fits(said: str, about: str) -> bool:
    """False where a sentence speaks of old or new things of another name than the words about a change do:
    "the old plates may be used up" behind a change of seals."""
    return all(fits(m["noun"], about) for m in _SIDE.finditer(said) if m["noun"])


def fits(noun: str, about: str) -> bool:
    """True for "part" and its like, and for a noun that the words about a change have too."""
    if _GENERIC.fullmatch(noun) or _NO_NOUN.fullmatch(noun):
        return True
    return re.search(rf"{re.escape(noun.strip().rstrip('s'))}", about, re.IGNORECASE) is not None


def _side(match: re.Match[str], one: Supersession) -> str:
    noun = match["noun"] or ""
    if noun and not _fits(noun, one):
        return match.group()
    return (_OLD if match["old"] else _NEW) + noun


def _interchange(said: str, plain: bool) -> Interchange | None:
    allowed: set[tuple[str, str]] = set()
    denied: set[tuple[str, str]] = set()
    at = 0
    while (link := _next_link(said, at)) is not None:
        a, b = link["a"], link["b"]
        if a not in (_OLD, _NEW):
            a = _NEW if b == _OLD else _OLD
        if a != b:
            no = _NOT.search(link["between"]) or _NOT_BEFORE.search(said[: link.start("a")])
            no = no or re.search(r"\bno (?:replacement|substitute) for\b", link.group(), re.I)
            (denied if no else allowed).add((a, b))
        at = link.end() - 1
    if allowed and not _MAY.search(said):
        return None
    if plain and not allowed and not denied and _BOTH.search(said) and not _NOT.search(said):
        return "both ways"
    if not allowed and not denied and _NEITHER.search(said):
        return "none"
    forward, back = (_NEW, _OLD), (_OLD, _NEW)
    if forward in allowed and back in allowed:
        return None if denied else "both ways"
    if forward in denied:
        return "none" if back in denied else None
    return "new for old" if forward in allowed or (back in denied and back not in allowed) else None


def _next_link(said: str, at: int) -> re.Match[str] | None:
    found = [m for m in (_LINK.search(said, at), _PRONOUN.search(said, at)) if m]
    return min(found, key=lambda m: m.start("b"), default=None)


def _stock(said: str) -> Stock | None:
    scrap = any(_really(said, m) for form in _SCRAP for m in form.finditer(said))
    use = any(_really(said, m) for form in _USE_UP for m in form.finditer(said))
    return None if scrap == use else "scrap" if scrap else "use up"


def _really(said: str, match: re.Match[str]) -> bool:
    """True unless a "not" stands before the words in their clause."""
    clause = re.split(r"[;,:.]", said[: match.start()])[-1]
    return _NOT.search(clause) is None and _NEW not in match.group()

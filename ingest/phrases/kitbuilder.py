"""Kit contents from matches: which kit is meant, its lines, and those of the kit before."""

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import cast

from benchleaf.graph.keys import key
from benchleaf.graph.model import Contents, KitLine, Statement, Supersession
from benchleaf.ingest.phrases.contents import Lines, read_lines, singular
from benchleaf.ingest.phrases.judging import Verdict
from benchleaf.ingest.phrases.kitcounts import comparison, quantity
from benchleaf.ingest.phrases.kitdropped import build_dropped
from benchleaf.ingest.phrases.kitrest import kit_for_unit, kits_together, with_rest
from benchleaf.ingest.phrases.labels import kit_label
from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.reader import Built, Reader
from benchleaf.ingest.phrases.sentences import sentence_at
from benchleaf.ingest.phrases.supersessions import numbers_in
from benchleaf.ingest.phrases.tabular import kit_lines
from benchleaf.ingest.phrases.tags import CODE, PART, WEAK, Tag
from benchleaf.ingest.shapes import Table

_PARTICIPLE = re.compile(r"\b(?:containing|comprising|consisting of|composed of)[ :,]*$", re.IGNORECASE)
_GOES_ON = re.compile(
    r", (?:is|are|has|have|can|may|will|replaces?|supersedes?|remains?|must|should)\b", re.IGNORECASE
)
_ACTIVE = re.compile(r"\b(?:replaces|supersedes|takes the place of|takes over from)\b[^.;]*$", re.IGNORECASE)
# "Destroy any 4471 with a red lip" tells pieces by their look, and no kit by what it holds.
_SOME = re.compile(r"\b(?:any|every|each|no|such|some|all|those) (?:[a-z-]+ ){0,3}$", re.IGNORECASE)
_DENIED = re.compile(r"[ ,]{0,3}(?:not|never|neither|nor|no longer|by no means) ", re.IGNORECASE)
_LOOKS = re.compile(rf"[{CODE}{PART}{WEAK}] ?with $", re.IGNORECASE)
# "It came with three O-rings before."
_BEFORE = re.compile(
    r",? (?:before|previously|formerly|hitherto|until now|up to now|so far) ?[.;]?$", re.IGNORECASE
)
_PARTLY = "not every word of the list was understood"
_OTHERS = re.compile(
    r"\b(?:(?:the |all )?(?:other|remaining|rest of the) (?:kit(?= (?:is|remains?|stays?)\b)"
    r"|(?:kit )?(?:contents?|parts?|items?"
    r"|quantit(?:y|ies)|components?|pieces?"
    r"|numbers?)) (?:\w+ ){0,3}(?:unchanged|unaffected|remains?|stays?|as before|the same|unaltered)"
    r"|(?:other|contents )wise unchanged|unchanged otherwise|no other changes?)",
    re.I,
)
_MORE = "“{}”: the kit holds more than is listed"
_INTRO = re.compile(
    r"[ :.,–—-]*+(?:(?:the )?following(?: parts| items| components)?|as follows|see (?:table"
    r"|list)(?: below)?|below)?[ :.,–—-]*",
    re.I,
)


def build_contents(reader: Reader, block: int, match: Match) -> Built | None:
    """The contents that a match lists; None if nothing listed can be read as kit lines."""
    passage = reader.passage(block)
    own = _from_its_sentence(passage, match)
    if own is None:
        return None
    match = own
    if _told_by_look(match):
        return None
    kit, why = _kit(reader, block, match)
    if kit is None:
        return None
    if match.phrase.follows == "counts":
        return _counts(reader, block, match, kit)
    if match.phrase.follows == "compared":
        return _compared(reader, block, match, kit)
    if match.phrase.follows == "dropped":
        return build_dropped(reader, block, match, kit)
    lines, end, claims = _lines(reader, block, match)
    if not lines.lines or (not lines.whole and _loose(match)):
        return None
    others = kits_together(passage, match)
    told = [n.part for n in (*lines.lines, *lines.previous) if n.part]
    before = [n for s in reader.statements if isinstance(s, Supersession) and kit in s.new for n in s.old]
    around, verdict = reader.judged(block, match, end, tuple(map(key, (kit, *others, *told, *before))))
    if verdict.standing is None:
        return Built((), match.start, match.end)
    if match.phrase.follows == "previous":
        reader.contained[key(kit)] = lines.lines
        if verdict.standing == "settled" or _only_stays(verdict):
            _give_previous(reader, kit, lines.lines)
        return Built((), match.start, end, claims)
    why = (*why, *lines.why, *_others_stay(passage, end), *(() if lines.whole else (_PARTLY,)))
    stands = _stands(verdict, [*verdict.why, *why])
    also = " ".join(_also(reader, claims))
    made = Contents(
        **reader.common(passage, around, stands, also), kit=kit, lines=lines.lines, previous=lines.previous
    )
    earlier = reader.contained.get(key(kit))
    made = replace(made, previous=earlier) if earlier and not made.previous else made
    return Built((*(replace(made, kit=other) for other in others), made), match.start, end, claims)


def _told_by_look(match: Match) -> bool:
    """True for "any 4471 with a red lip", and for what "has not been enlarged"."""
    words, lines = match.found.string, match.span("lines")
    if lines is not None and _DENIED.match(words, lines[0]):
        return True
    with_what = lines is not None and _LOOKS.search(words, max(0, lines[0] - 8), lines[0])
    return bool(with_what) and _SOME.search(words, max(0, match.start - 60), match.start) is not None


def _from_its_sentence(passage: Passage, match: Match) -> Match | None:
    """A match whose kit stands in a later sentence than its first words, without these words; None if the
    phrase itself opens in the earlier sentence."""
    span = match.span("kit")
    tags = passage.tagged.inside(*span) if span else ()
    start = sentence_at(passage.sentences, tags[0][0]).start if tags else 0
    if span is None or start <= match.start:
        return match
    return replace(match, start=start) if span[0] <= match.start else None


def _give_previous(reader: Reader, kit: str, lines: tuple[KitLine, ...]) -> None:
    """What a kit is said to have contained goes to the contents that were read before."""
    for i, one in enumerate(reader.statements):
        if isinstance(one, Contents) and key(one.kit) == key(kit) and not one.previous:
            reader.statements[i] = replace(one, previous=lines)


def _others_stay(passage: Passage, end: int) -> tuple[str, ...]:
    """ "The other contents are unchanged": then the kit holds more than the note lists."""
    said = _OTHERS.search(passage.folded, end)
    return (_MORE.format(said.group()),) if said else ()


def _compared(reader: Reader, block: int, match: Match, kit: str) -> Built | None:
    """ "That is three gaskets more than the one before it" behind a kit's contents: the counts before."""
    passage = reader.passage(block)
    sentence = sentence_at(passage.sentences, match.start)
    more = comparison(passage.folded[match.end : sentence.end])
    held = next((i for i, s in enumerate(reader.statements) if _is_contents(s, kit)), None)
    if more is None or held is None:
        return None
    _, verdict = reader.judged(block, match, sentence.end)
    one = cast(Contents, reader.statements[held])
    lines = [line for line in one.lines if not more[1] or _same_thing(line.description, more[1])]
    if verdict.standing is None or len(lines) != 1 or lines[0].quantity is None:
        return Built((), match.start, sentence.end) if verdict.standing is None else None
    was = KitLine(None, lines[0].description, lines[0].quantity - more[0])
    stands = _stands(replace(verdict, standing=one.standing), [*one.why, *verdict.why])
    words = passage.tagged.words(*sentence)
    reader.statements[held] = replace(
        one,
        previous=one.previous or (was,),
        quote=one.quote if words in one.quote else f"{one.quote} {words}",
        standing=stands.standing or one.standing,
        why=stands.why,
    )
    return Built((), match.start, sentence.end)


def _is_contents(statement: Statement, kit: str) -> bool:
    return isinstance(statement, Contents) and key(statement.kit) == key(kit)


def _same_thing(description: str, name: str) -> bool:
    """ "gaskets" and "paper gasket": the shorter name ends the longer one."""
    a, b = description.lower(), singular(name)
    return a == b or a.endswith(f" {b}") or b.endswith(f" {a}")


def _only_stays(verdict: Verdict) -> bool:
    """True where nothing is doubted but that a sentence adds what stays ("the step remains valid")."""
    stays = all(w.startswith(("the sentence says that something stays",)) for w in verdict.why)
    return verdict.standing == "doubtful" and stays


def _stands(verdict: Verdict, why: list[str]) -> Verdict:
    standing = "doubtful" if why and verdict.standing == "settled" else verdict.standing
    return replace(verdict, standing=standing, why=tuple(dict.fromkeys(why)))


def _loose(match: Match) -> bool:
    return match.phrase.weak or match.span("kit") is None or match.span("front") is not None


def _kit(reader: Reader, block: int, match: Match) -> tuple[str | None, tuple[str, ...]]:
    """The kit by number; "it" and "the new kit" by what was named last."""
    passage = reader.passage(block)
    span = match.span("kit")
    if span is not None:
        if match.phrase.weak and not _heading_kit(passage, match, span):
            return None, ()
        held = [k for p, _ in passage.tagged.inside(*span) if (k := kit_for_unit(passage, p))]
        if held:
            return held[0], ()
        found = numbers_in(passage, span, {key(p) for p in reader.body.publications})
        return (found.numbers[0], ()) if found and len(found.numbers) == 1 else (None, ())
    if match.phrase.follows == "clause":
        return _of_clause(reader, block, match)
    near = _just_named(passage, match)
    if len(near) == 1 and kit_label(near[0]) and match.phrase.follows != "previous":
        return near[0].text, ()
    superseded = [s for s in reader.statements if isinstance(s, Supersession) and s.standing != "refused"]
    named = _named_before(reader, block, match.start) or _in_subject(reader)
    if match.phrase.follows == "previous" and not superseded:
        listed = {key(s.kit): s.kit for s in reader.statements if isinstance(s, Contents)}
        if len(listed) == 1:
            return next(iter(listed.values())), ()
    if superseded and len(superseded[-1].new) == 1:
        return _superseding(superseded, match.phrase.follows == "previous", near)
    if len(named) == 1:
        return named[0], ()
    if named:
        return named[-1], ("several numbers were named before: which kit is meant is a guess",)
    later = {
        key(t.text): t.text for _, t in passage.tagged.inside(match.end, len(passage.folded)) if kit_label(t)
    }
    one = next(iter(later.values())) if len(later) == 1 else None
    return one, ("the kit's number stands only behind its contents",) if one else ()


def _superseding(
    superseded: Sequence[Supersession], past: bool, near: Sequence[Tag]
) -> tuple[str, tuple[str, ...]]:
    """The kit that the note's last change leads to, or comes from; a guess where others were named since."""
    last = superseded[-1]
    kit = last.old[0] if past and len(last.old) == 1 else last.new[0]
    others = {key(t.text) for t in near} - {key(n) for n in (*last.old, *last.new)}
    why = (f"that kit {kit} is meant is a guess",) if len(superseded) > 1 or others else ()
    doubtful = last.standing != "settled"
    return kit, (
        *why,
        *(("the kit is taken from a statement that is itself in doubt",) if doubtful else ()),
    )


def _just_named(passage: Passage, match: Match) -> tuple[Tag, ...]:
    """The numbers of the last sentence before a match that has any."""
    here = sentence_at(passage.sentences, match.start)
    spans = [
        (here.start, match.start),
        *((s.start, s.end) for s in reversed(passage.sentences) if s.end <= here.start),
    ]
    for span in spans:
        tags = {key(t.text): t for _, t in passage.tagged.inside(*span) if t.kind in (PART, CODE)}
        if tags:
            return tuple(tags.values())
    return ()


def _of_clause(reader: Reader, block: int, match: Match) -> tuple[str | None, tuple[str, ...]]:
    """ "Kit B replaces kit A and contains …": kit B. Nothing where the sentence has another form."""
    passage = reader.passage(block)
    sentence = sentence_at(passage.sentences, match.start)
    tags = [t for _, t in passage.tagged.inside(sentence.start, match.start) if t.kind in (PART, CODE)]
    joined = _ACTIVE.search(passage.folded, sentence.start, match.start)
    if joined is None or len(tags) != 2 or passage.folded[match.start : match.start + 5] == "which":
        return None, ()
    new = next((s.new[0] for s in reader.statements if isinstance(s, Supersession) and len(s.new) == 1), None)
    return (new, ()) if new is not None and key(new) == key(tags[0].text) else (None, ())


def _heading_kit(passage: Passage, match: Match, span: tuple[int, int]) -> bool:
    """ "Kit 4471:" at a paragraph's start, with nothing but the list behind it."""
    tags = passage.tagged.inside(*span)
    return match.start <= 12 and bool(tags) and kit_label(tags[0][1])


def _named_before(reader: Reader, block: int, place: int) -> tuple[str, ...]:
    found: dict[str, str] = {}
    for where in range(block + 1):
        passage = reader.body.blocks[where]
        if not isinstance(passage, Passage):
            continue
        stop = place if where == block else len(passage.folded)
        for _, tag in passage.tagged.inside(0, stop):
            if tag.kind in (PART, CODE):
                found[key(tag.text)] = tag.text
    return tuple(found.values())


def _in_subject(reader: Reader) -> tuple[str, ...]:
    """The one number that the note's subject calls a kit."""
    subject = reader.body.subject
    tags = [t for _, t in sorted(subject.tagged.tags.items()) if t.kind == PART] if subject else []
    kits = {key(t.text): t.text for t in tags if kit_label(t)}
    return tuple(kits.values()) if len(kits) == len({key(t.text) for t in tags}) == 1 else ()


def _lines(reader: Reader, block: int, match: Match) -> tuple[Lines, int, tuple[tuple[int, int], ...]]:
    """The lines behind a match: in its sentence, in the sentences that go on with the list, or below it."""
    passage = reader.passage(block)
    front = match.span("front")
    if front is not None:
        return read_lines(passage.tagged, *front), match.end, ()
    start = match.end
    sentence = sentence_at(passage.sentences, max(match.start, start - 1))
    said = passage.folded[start : sentence.end]
    if _INTRO.fullmatch(said):
        below, claims = _listed(reader, block)
        return below, sentence.end, claims
    stop = sentence.end
    if _PARTICIPLE.search(passage.folded[match.start : match.end]):
        goes_on = _GOES_ON.search(passage.folded, start, stop)
        stop = goes_on.start() if goes_on else stop
    if match.phrase.follows == "previous" and (before := _BEFORE.search(passage.folded, start, stop)):
        stop = before.start()
    found = read_lines(passage.tagged, start, stop)
    if not found.whole:
        return found, sentence.end, ()
    rest = with_rest(passage, found, sentence.end)
    found = rest.found
    if rest.untold:
        found = replace(found, why=(*found.why, _MORE.format(rest.untold)))
    return found, rest.end, ()


def _listed(reader: Reader, block: int) -> tuple[Lines, tuple[tuple[int, int], ...]]:
    """Lines below a heading such as "Contents of kit 4471:": a table, or paragraphs that are nothing but
    lines."""
    lines: list[KitLine] = []
    previous: list[KitLine] = []
    claims: list[tuple[int, int]] = []
    for where in range(block + 1, len(reader.body.blocks)):
        follower = reader.body.blocks[where]
        if isinstance(follower, Table):
            read = kit_lines(reader.book, follower)
            if not lines and read is not None:
                return read, ((where, 1),)
            break
        found = read_lines(follower.tagged, 0, len(follower.folded))
        if not found.whole:
            break
        lines.extend(found.lines)
        previous.extend(found.previous)
        claims.append((where, len(follower.folded)))
    return Lines(tuple(lines), tuple(previous), bool(lines)), tuple(claims)


def _also(reader: Reader, claims: tuple[tuple[int, int], ...]) -> list[str]:
    found = []
    for where, _ in claims:
        block = reader.body.blocks[where]
        if isinstance(block, Passage):
            found.append(block.tagged.text)
        else:
            found.append(" / ".join(" ".join(c.text for c in row) for row in block.rows))
    return found


def _counts(reader: Reader, block: int, match: Match, kit: str) -> Built | None:
    """ "The number of steel discs in kit X goes from 9 to 11": one line of the kit, the others unsaid."""
    passage = reader.passage(block)
    spans = [match.span(n) for n in ("np", "was", "now")]
    name, was, now = (passage.tagged.words(*s) if s else "" for s in spans)
    name = re.sub(r"^(?:the|of)\s+", "", name.strip(" ,"), flags=re.IGNORECASE)
    before, after = quantity(was), quantity(now)
    if not name or before is None or after is None:
        return None
    around, verdict = reader.judged(block, match, match.end, (key(kit),))
    if verdict.standing is None:
        return Built((), match.start, match.end)
    stands = _stands(verdict, [*verdict.why, "only one line of the kit is named"])
    line, old = KitLine(None, singular(name), after), KitLine(None, singular(name), before)
    made = Contents(**reader.common(passage, around, stands), kit=kit, lines=(line,), previous=(old,))
    return Built((made,), match.start, match.end)

"""The reader of a step's words for the parts that go in: which verb governs which name.

See `benchleaf.graph.kits.uses` for what counts and what does not.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchleaf.graph.kits.uselexicon import Lexicon, Verb, VerbKind, small_words
from benchleaf.graph.kits.usephrases import ARTICLES, ENDS, EVERY, WHOLE, Phrase, phrase_at
from benchleaf.graph.kits.usetokens import Token, tokens

_PLACES = small_words("places")
_WITH = small_words("with")
_VERB_AFTER = small_words("verb_after")
_AWAY = small_words("away")
_PARTICLES = small_words("particles")
_DENIALS = small_words("denials")
_CONDITIONS = small_words("conditions")
_SECURING = small_words("securing")
_PULLING = small_words("pulling")
_PUSHING = small_words("pushing")
_SUBORDINATE = small_words("subordinate")
_LAYING = small_words("laying")
_SMALL = _PLACES | _WITH | _DENIALS | _VERB_AFTER | ENDS | ARTICLES
_OPENING = ARTICLES | EVERY | WHOLE
FAR = 30
"""How many tokens or names away a word may stand that still belongs to a name."""
_BE = small_words("be")


@dataclass(frozen=True, slots=True)
class Use:
    """Parts that a step fits. `description` is singular; `quantity` is None where the words do not say;
    `quote` the words; `renewed` is True where they call for new parts (new, renew, replace)."""

    description: str
    part: str | None
    quantity: int | None
    quote: str
    renewed: bool


@dataclass(slots=True)
class _Told:
    """A name met in the words, whether it is a use, and which verb it belongs to."""

    phrase: Phrase
    use: Use | None
    verb: int
    placed: bool = False
    removed: bool = False


class UseReader:
    """One step read from left to right."""

    def __init__(self, text: str, words: Lexicon) -> None:
        self.text, self.words, self.toks = text, words, tokens(text)
        self.told: list[_Told] = []
        self.verb: Verb | None = None
        self.kind: VerbKind | None = None
        self.verb_at = -1
        self.place: str | None = None
        self.placed_last = self.denied = self.after_object = False
        self.start = self.stop = 0
        self.doubtful = False

    def read(self) -> tuple[Use, ...]:
        """The uses in order."""
        i = 0
        self._sentence(0)
        while i < len(self.toks):
            i = self._take(i)
        return self._closing_count(tuple(t.use for t in self.told if t.use is not None))

    def _closing_count(self, uses: tuple[Use, ...]) -> tuple[Use, ...]:
        """`16 pcs.` as the step's last words counts its only use."""
        last = [t for t in self.toks[-3:] if t.low != "."]
        alone = len(last) == 2 and last[0].kind == "count" and last[1].low in ("pcs", "pieces", "off")
        if not alone or len(uses) != 1 or uses[0].quantity is not None:
            return uses
        before = self.toks[self.toks.index(last[0]) - 1].low if self.toks.index(last[0]) else ""
        return (replace(uses[0], quantity=last[0].number),) if before == "." else uses

    def _sentence(self, at: int) -> None:
        self.verb, self.kind, self.place, self.denied = None, None, None, False
        self.placed_last = self.after_object = False
        self.start = at
        self.stop = next((j for j in range(at, len(self.toks)) if _ends(self.toks, j)), len(self.toks))
        here = self.toks[at : self.stop]
        lows = [t.low for t in here]
        self.doubtful = bool(_CONDITIONS & set(lows)) or any(
            a in ("where", "as", "when")
            and b in ("necessary", "required", "worn", "damaged", "fitted", "needed")
            for a, b in itertools.pairwise(lows)
        )

    def _take(self, i: int) -> int:
        """Read one token or one name; the place after it."""
        t = self.toks[i]
        if _ends(self.toks, i):
            self._sentence(i + 1)
            return i + 1
        if t.low in ("reuse", "re-use"):
            self.kind, self.verb_at, self.place = ("renew" if self.denied else "fit"), i, None
            self.verb, self.denied = Verb(self.kind, "reuse", "plain"), False
            return i + 1
        verb = self._verb_at(i)
        if verb is not None:
            self._enter(i, verb)
            return i + 1
        if (
            t.low in ("it", "them")
            and self.kind in ("fit", "renew")
            and self.place is None
            and not self.denied
        ):
            self._pronoun()
            return i + 1
        phrase = self._phrase_at(i)
        if phrase is not None:
            self._keep(phrase)
            return max(phrase.after, i + 1)
        if i - 1 == self.verb_at and t.low in ("in", "on", "up", "down", "back") and self._particle(i):
            return i + 1
        self._small_word(i)
        return i + 1

    def _particle(self, i: int) -> bool:
        """`put in the springs`: the word belongs to the verb."""
        following = self.toks[i + 1] if i + 1 < len(self.toks) else None
        pushed = self.verb is not None and self.verb.plain in _PUSHING and self.toks[i].low in ("on", "down")
        if pushed or following is None or following.low in _PARTICLES - {"all"}:
            return False
        if not _begins(following, self.words) and not self._alone(i + 1):
            return False
        self.after_object = True
        return True

    def _alone(self, i: int) -> bool:
        """A bare noun with no further word: `screw in plug (10)`."""
        last = i + 1 >= len(self.toks) or self.toks[i + 1].kind != "word"
        return self.toks[i].low in self.words.nouns and last

    def _small_word(self, i: int) -> None:
        t = self.toks[i]
        if t.low in _WITH:
            self.place = "against" if self._level(i) else "with"
        elif t.low in _PLACES:
            self.place = None if t.low == "without" else t.low
            self.denied = self.denied or t.low == "without"
        elif t.low in _DENIALS:
            self.denied = True
        elif t.low in _SUBORDINATE and not self._as_well(i):
            self.verb, self.kind, self.place = None, "other", None
        elif t.low in (",", ":"):
            self.place = None
            return
        elif t.low in ("and", "or", "plus"):
            self.place = self.place if self.placed_last else None
            return
        if t.kind == "word":
            self.after_object = False

    def _level(self, i: int) -> bool:
        """`in line with`, `flush with`: a place, no part that goes in."""
        before = self.toks[i - 1].low if i else ""
        return before in (
            "line",
            "flush",
            "level",
            "contact",
            "aligned",
            "coincide",
            "parallel",
            "meshes",
            "mesh",
        )

    def _as_well(self, i: int) -> bool:
        return self.toks[i].low == "as" and "well" in {t.low for t in self.toks[max(0, i - 1) : i + 2]}

    def _verb_at(self, i: int) -> Verb | None:
        """The verb at a token, if it stands where a verb stands."""
        t = self.toks[i]
        verb = self.words.verbs.get(t.low) or self._unknown_verb(i)
        if verb is None or (verb.form == "done" and verb.plain != t.low) or t.kind != "word":
            return None
        before = self.toks[i - 1] if i > self.start else None
        opens = before is None or before.kind in ("sign", "bracket") or before.low in _VERB_AFTER
        opens = opens or (before is not None and before.low.endswith("ly"))
        if not opens:
            return None
        following = self.toks[i + 1] if i + 1 < len(self.toks) else None
        noun = t.low in self.words.nouns or (t.low.endswith("ing") and not _begins(following, self.words))
        return None if noun and not _begins(following, self.words) else verb

    def _unknown_verb(self, i: int) -> Verb | None:
        """A word that the lists do not know, before an article where a verb stands: `stake the collar`."""
        t = self.toks[i]
        following = self.toks[i + 1] if i + 1 < len(self.toks) else None
        known = (
            t.low in _PLACES | _WITH | _DENIALS | _VERB_AFTER | ENDS | ARTICLES or t.low in self.words.nouns
        )
        if t.kind != "word" or known or following is None or t.low in self.words.never | self.words.idle:
            return None
        return Verb("other", t.low, "plain") if following.low in _OPENING else None

    def _enter(self, i: int, verb: Verb) -> None:
        following = self.toks[i + 1].low if i + 1 < len(self.toks) else ""
        denied = (
            self.denied
            and i - self.verb_at > 0
            and any(t.low in _DENIALS for t in self.toks[max(self.start, i - 3) : i])
        )
        self.verb, self.verb_at, self.place, self.denied = verb, i, None, denied
        self.kind = (
            "other" if following == "aside" or (following == "back" and verb.plain in _PUSHING) else verb.kind
        )
        if following in ("out", "off", "away", "apart"):
            self.kind = "remove"
        elif verb.plain == "turn" and following in ("in", "on"):
            self.kind = "fit"
        self.placed_last = False
        self.after_object = True

    def _phrase_at(self, i: int) -> Phrase | None:
        """A name that begins here: with an article, a count, a size, a number or `new`; bare only where one
        must stand."""
        t = self.toks[i]
        led = t.kind in ("count", "size", "part", "value") or t.low in _OPENING
        led = led or t.low in ("new", "pair", "remaining", "fresh", "pairs")
        before = self.toks[i - 1] if i else None
        bare = (
            t.kind == "word"
            and before is not None
            and (
                (
                    self.after_object
                    and (before.low in (",", "and", "or") or i - 1 == self.verb_at or i - 2 == self.verb_at)
                )
                or before.low in _WITH
            )
        )
        if not led and not bare:
            return None
        phrase = phrase_at(self.toks, i, self.words)
        return phrase if phrase is not None and (led or phrase.known) else None

    def _keep(self, phrase: Phrase) -> None:
        if phrase.pronoun:
            self._ones(phrase)
            return
        use = self._use(phrase) if self._fitted(phrase) else None
        if use is not None and self.kind == "renew" and self.place == "with":
            self._undo_last()
        aside = self.place is not None and use is None
        placed = self.place is not None and self.place != "with" and use is None
        self.told.append(_Told(phrase, use, self.verb_at, aside, self.kind == "remove"))
        self.placed_last, self.after_object = placed, True

    def _fitted(self, p: Phrase) -> bool:
        if self.denied or not (p.known or self._strong(p)):
            return False
        if self._tool(p) or self._taken_away(p) or p.noun in self.words.never:
            return False
        if self.place is not None and self.place != "with":
            return p.new and self.kind in ("fit", "renew", "use", None) and self.place != "of"
        if self.kind in ("fit", "renew"):
            return True
        if self.kind == "use":
            several = p.count is not None and p.count > 1 and p.article
            return p.new or p.part is not None or several or p.noun not in self.words.tools
        if self.kind == "handle":
            return self.place is None and (p.new or p.part is not None)
        return self.kind is None and self._told_later(p)

    def _strong(self, p: Phrase) -> bool:
        """A name with an unknown last word needs another sign of a part."""
        direct = self.kind in ("fit", "renew") and self.place is None and p.first == self.verb_at + 1
        return p.part is not None or p.new or (direct and p.plural and (p.count or 0) > 0)

    def _tool(self, p: Phrase) -> bool:
        if self.place == "with" and self._its(p):
            return True  # `with its open end upwards`
        if self.place != "with" or p.new or p.part is not None:
            return False
        if self.verb is None or self.kind not in ("fit", "renew", "use"):
            return True
        using = any(t.low == "using" for t in self.toks[max(0, p.first - 2) : p.first])
        return p.noun in self.words.tools and (using or self.verb.plain not in _SECURING)

    def _its(self, p: Phrase) -> bool:
        together = any(t.low in ("together", "complete") for t in self.toks[max(0, p.first - 2) : p.first])
        return self.toks[p.first].low in ("its", "their") and not together

    def _taken_away(self, p: Phrase) -> bool:
        """`press the bush out`, `two bolts as pullers`, `screws to press off the cover`."""
        after = self.toks[p.after : min(self.stop, p.after + 12)]
        if after and after[0].low in _AWAY - {"back"}:
            return True
        moving = self.verb is not None and self.verb.plain in _PULLING | _PUSHING
        if moving and after and after[0].low == "from":
            return True
        for one, other in itertools.pairwise(after):
            if one.low in (",", "and"):
                break
            if one.low == "as" and other.low not in (
                "shown",
                "far",
                "described",
                "before",
                "required",
                "in",
                "necessary",
            ):
                return other.low not in self.words.verbs
            stem = self.words.verbs.get(other.low)
            if one.low in ("to", "for") and stem is not None and stem.plain in _PULLING:
                return True
        return False

    def _told_later(self, p: Phrase) -> bool:
        """No verb before it: a new part, or one of which the sentence says that it is fitted."""
        for j in range(p.after, min(self.stop, p.after + FAR)):
            verb = self.words.verbs.get(self.toks[j].low)
            if verb is not None and verb.form == "done" and self._passive(j):
                if verb.kind == "remove" or any(
                    t.low in _DENIALS for t in self.toks[max(self.start, j - 4) : j]
                ):
                    return False
                if verb.kind in ("fit", "renew", "use"):
                    return True
        return p.new or (p.first == self.start and p.after == self.stop)

    def _passive(self, j: int) -> bool:
        return any(t.low in _BE for t in self.toks[max(self.start, j - 4) : j])

    def _use(self, p: Phrase) -> Use:
        verb = self.verb.plain if self.verb else self._passive_verb(p)
        renews = self.kind == "renew" or verb in ("renew", "replace")
        if verb == "replace" and p.noun in self.words.lasting:
            renews = False
        either = p.first > 0 and self.toks[p.first - 1].low == "or"
        renewed = (p.new or renews) and not self.doubtful and not either
        return Use(p.name, p.part, self._quantity(p), self._quote(p), renewed)

    def _passive_verb(self, p: Phrase) -> str | None:
        verbs = (self.words.verbs.get(t.low) for t in self.toks[p.after : min(self.stop, p.after + FAR)])
        return next((v.plain for v in verbs if v is not None and v.form == "done"), None)

    def _quantity(self, p: Phrase) -> int | None:
        count = p.count if p.count is not None or p.plural else 1
        if p.vague or count is None:
            return None
        after = [t.low for t in self.toks[p.after : min(self.stop, p.after + 6)]]
        after = after[: after.index(",")] if "," in after else after
        if after[:1] in (["on"], ["at"]) and after[1:2] in (["each"], ["either"], ["both"]):
            return (
                2 * count if after[2:3] in (["side"], ["end"], ["sides"], ["ends"]) and count == 1 else None
            )
        before = [t.low for t in self.toks[max(self.start, p.first - 3) : p.first]]
        shared = {"each", "every", "either", "per"} & {*after[:5], *before}
        again = any(w in ("overhaul", "time", "occasion", "repair", "dismantling", "assembly") for w in after)
        return None if shared and not again else count

    def _quote(self, p: Phrase) -> str:
        return self.text[self.toks[p.first].start : self.toks[p.after - 1].end]

    def _undo_last(self) -> None:
        """`replace the washer with a spacer`: the washer is not what goes in."""
        if self.told and self.told[-1].verb == self.verb_at:
            self.told[-1].use = None

    def _antecedent(self) -> _Told | None:
        return next((t for t in self.told[-1 : -FAR - 1 : -1] if not t.phrase.pronoun and not t.placed), None)

    def _ones(self, p: Phrase) -> None:
        """`fit new ones`: the part named last before."""
        before = self._antecedent()
        if before is None or self.kind not in ("fit", "renew", "use", None) or self.denied:
            return
        count = p.count or (before.phrase.count if p.plural else 1)
        meant = replace(
            before.phrase,
            count=count,
            vague=False,
            new=p.new,
            part=p.part or (before.phrase.part if not p.new else None),
        )
        before.use = None if before.verb == self.verb_at else before.use
        use = self._use(meant)
        self.told.append(
            _Told(replace(meant, after=p.after), replace(use, quote=self._quote(p)), self.verb_at)
        )

    def _pronoun(self) -> None:
        """`coat the seals and fit them`: the part named last before is fitted."""
        before = self._antecedent()
        if before is None or before.verb == self.verb_at:
            return
        if before.removed and (self.verb is None or self.verb.plain in _LAYING):
            return  # `take out the plate and lay it on clean paper`
        if before.use is None and (before.phrase.known or before.phrase.part):
            before.use = self._use(before.phrase)
        elif before.use is not None and self.kind == "renew" and not self.doubtful:
            before.use = replace(before.use, renewed=True)


def _begins(token: Token | None, words: Lexicon) -> bool:
    """Whether a token opens what a verb acts on."""
    if token is None:
        return False
    return (
        token.kind in ("count", "part", "size")
        or token.low in _OPENING | _PARTICLES
        or token.low in ("new", "remaining")
    )


def _ends(toks: Sequence[Token], i: int) -> bool:
    t = toks[i]
    return t.low in (";", "!", "?") or (
        t.low == "." and not (i and toks[i - 1].low in ("no", "nos", "fig", "pos", "approx", "max", "min"))
    )

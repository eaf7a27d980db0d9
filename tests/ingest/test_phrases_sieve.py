"""Wordings are searched only where their words stand: never is a match hidden by that, and none is made into
an expression before it is searched. No published source: these are facts of the program."""

import random
import re
import subprocess
import sys
from dataclasses import replace

import pytest
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.matches import _found, matches
from benchleaf.ingest.phrases.needs import Needing, in_order, words_in
from benchleaf.ingest.phrases.passages import Passage, body_of
from benchleaf.ingest.phrases.pattern import SIGNS, compiled, saying
from benchleaf.ingest.phrases.phrasebook import Guard, Phrase, load
from benchleaf.ingest.phrases.sieve import Wording, Wordings
from hypothesis import given, settings
from hypothesis import strategies as st

BOOK = load()
WORDS = dict(BOOK.words)
OWNED = [(owner, w) for owner in (*BOOK.phrases, *BOOK.guards) for w in owner.wordings]
STATING = ("supersession", "withdrawn", "override", "contents", "cancels")
SAYINGS = 30  # of each wording


def passages(text: str) -> list[Passage]:
    """The folded paragraphs of a text."""
    return [b for b in body_of(header_of(text), "note").blocks if isinstance(b, Passage)]


def examples() -> list[str]:
    """Every example of the book, folded."""
    said = [e.say for p in BOOK.phrases for e in (*p.yes, *p.no)]
    said += [e for g in BOOK.guards for e in (*g.yes, *g.no)]
    return [p.folded for text in dict.fromkeys(said) for p in passages(text)]


FILLERS = {
    "q": "2",
    "was": "3",
    "now": "4",
    "hedge": "may",
    "when": "1999",
    "front": "the kit",
    "any": "",
    "w": "",
}


def sayings(wording: Wording) -> list[str]:
    """Texts as a wording wants them, with fitting signs for its fields, in all three cases."""
    pick = random.Random(wording.printed)
    texts = []
    for _ in range(SAYINGS):
        fitting = {**FILLERS, **{name: pick.choice(signs) for name, signs in SIGNS.items()}}
        printed = re.sub(r"\{([a-z]+)\}", lambda m, f=fitting: f.get(m[1], "ring"), wording.printed)
        text = " ".join(saying(printed, wording.words, pick))
        texts.append(pick.choice((str, str.upper, str.title))(text))
    return texts


@pytest.fixture(scope="module")
def folded() -> list[str]:
    return examples()


def test_no_example_is_hidden(folded: list[str]) -> None:
    """A wording that matches any example of the book, its own or another's, finds its needs there."""
    known = [(text, words_in(text)) for text in folded]
    found = 0
    for _, wording in OWNED:
        hidden = [t for t, words in known if not in_order(wording.needs, words)]
        assert not any(wording.pattern.search(text) for text in hidden), wording.printed
        found += len(known) - len(hidden)
    assert found < 0.2 * len(known) * len(OWNED)  # and most of the searches are spared


@pytest.mark.parametrize("owner", [*BOOK.phrases, *BOOK.guards], ids=lambda o: o.name)
def test_no_saying_is_hidden(owner: Phrase | Guard) -> None:
    """Texts made from a wording's own words, among its alternatives, hold its needs wherever it matches."""
    matched = 0
    for wording in owner.wordings:
        for text in filter(wording.pattern.search, sayings(wording)):
            matched += 1
            assert in_order(wording.needs, words_in(text)), (wording.printed, text)
    assert matched


LETTERS = st.sampled_from("abehiklnoprstuw\u0130\u0131\u017f\u212a\u00e9 -,.'’/_0\ue001\ue002\ue008\ue009")
PIECES = st.one_of(
    st.sampled_from(sorted({w for _, wording in OWNED for n in wording.needs for w in n})),
    st.sampled_from(
        sorted({w for _, wording in OWNED for w in saying(wording.printed, WORDS, random.Random(1))})
    ),
    st.text(LETTERS, max_size=6),
)


def brute(wordings: list[tuple[Phrase, Wording]], text: str) -> list[tuple[str, tuple[int, int]]]:
    """Every match of every wording, searched for without any sieve."""
    return [
        (phrase.name, found.span())
        for phrase, wording in wordings
        for found in _found(wording.pattern, text, phrase.follows == "chain")
    ]


@given(st.lists(PIECES, max_size=14), st.sampled_from((" ", "", ", ", "-")))
@settings(max_examples=60, deadline=None)
def test_any_words_give_the_same_matches(pieces: list[str], joint: str) -> None:
    """Whatever words stand in a text, the sieved search finds what a search of every wording finds, and takes
    out the same asides."""
    text = joint.join(pieces)
    owned = [(p, w) for p in BOOK.phrases for w in p.wordings]
    likely = Wordings([(p, replace(w)) for p, w in owned]).likely(text)
    sieved = [(p.name, f.span()) for p, made in likely for f in _found(made, text, p.follows == "chain")]
    assert sieved == brute(owned, text)
    rest = text
    for phrase in BOOK.of("aside", "ending", "rider"):
        for pattern in phrase.patterns:
            rest = pattern.sub(" ", rest)
    assert BOOK.wordings("aside", "ending", "rider").without(text) == rest


def test_examples_give_the_same_matches(folded: list[str]) -> None:
    """On every fifth example the sieved matches are those of a search of every wording."""
    owned = [(p, w) for p in BOOK.of(*STATING) for w in p.wordings]
    for text in folded[::5]:
        (passage,) = passages("A") if not text else [_passage(text)]
        sieved = sorted((m.phrase.name, m.found.span()) for m in matches(BOOK, passage))
        likewise = {p.name for p in BOOK.phrases if p.follows == "likewise"}
        found = sorted(one for one in brute(owned, text) if one[1][0] < one[1][1])
        assert [o for o in sieved if o[0] not in likewise] == [o for o in found if o[0] not in likewise]


def _passage(folded: str) -> Passage:
    (one,) = passages("A")
    return replace(one, tagged=replace(one.tagged, folded=folded))


def _wording(printed: str) -> Wording:
    return Wording(printed, "", {}, Needing({}).of(printed))


def test_words_in_another_order() -> None:
    """A wording whose words stand in another order is not made into an expression for it; each word stands
    for one need only."""
    one = _wording("item (is|was) [now] (is|gone)")
    assert not one.worth_a_search("is gone the item") and not one.worth_a_search("item is")
    assert one.worth_a_search("the item is, or was, gone") and one.worth_a_search("item is is")
    assert list(Wordings([("", one)]).likely("is gone the item")) == [] and "pattern" not in vars(one)
    assert len(list(Wordings([("", one)]).likely("the item was now gone"))) == 1 and "pattern" in vars(one)


def test_words_that_a_removal_lays_bare() -> None:
    """What is left of a word once an aside is taken out is searched again by the wordings that follow."""
    printed = ("aside {words}", "ring")
    owned = [("", _wording(p)) for p in printed]
    assert Wordings(owned).without("an aside xring.").split() == ["an", "."]


def test_letters_that_match_plain_ones() -> None:
    """Whatever letter of any script matches a plain one where case is ignored counts as that one."""
    all_letters = "".join(map(chr, range(0x80, 0x110000)))
    odd = re.findall("[a-z0-9]", all_letters, re.IGNORECASE)
    assert len(odd) >= 4
    for letter in odd:
        (plain,) = (c for c in "abcdefghijklmnopqrstuvwxyz" if re.fullmatch(c, letter, re.IGNORECASE))
        assert f"x{plain}y" in words_in(f"X{letter}Y")


@pytest.mark.parametrize(
    ("printed", "needs"),
    [
        ("item (is|was) [now] deleted", [{"item"}, {"is", "was"}, {"deleted"}]),
        ("(a b|c)", [{"a", "c"}]),
        ("[only] if", [{"if"}]),
        ("(if|[when])", []),
        ("if <fill>* then", [{"if"}, {"then"}]),
        ("P/N {any}", [{"p"}, {"n"}]),
        ("up-to-date", [{"up"}, {"to"}, {"date"}]),
        ("é {w} after \\(x", [{"after"}, {"x"}]),
        ("{hedge} be", [{"will", "may", "might", "can", "could", "would", "should"}, {"be"}]),
    ],
)
def test_what_is_needed(printed: str, needs: list[set[str]]) -> None:
    """What may be missing is not needed, and alternatives need one word of each."""
    assert [set(n) for n in Needing({"fill": "(of|the)"}).of(printed)] == needs


def test_a_sign_is_needed_for_a_number() -> None:
    """A field that holds a number needs one of the signs that stand for it; one that may be words, none."""
    (old,), (ref,) = Needing({}).of("{old}"), Needing({}).of("{ref}")
    assert all(re.search(compiled("{old} x", {}, ""), f"{sign} x") for sign in old)
    assert all(re.search(compiled("{ref} x", {}, ""), f"{sign} x") for sign in ref)
    assert Needing({}).of("{was} {now} {np} {lines}") == ()


_FRESH = """
import time
started = time.process_time()
from benchleaf.ingest.phrases.phrasebook import load
imported = time.process_time()
book = load()
print(time.process_time() - imported)
owned = [w for o in (*book.phrases, *book.guards) for w in o.wordings]
assert len(owned) > 400 and not any("pattern" in vars(w) for w in owned)
"""


def test_loading_makes_no_expression() -> None:
    """The book is there in less than 0.3 s of processor time: wordings become expressions when searched."""
    spent = [
        float(
            subprocess.run([sys.executable, "-c", _FRESH], check=True, capture_output=True, text=True).stdout
        )
        for _ in range(3)
    ]
    assert min(spent) < 0.3

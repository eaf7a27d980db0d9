"""Property tests: sentences made from the wordings with other numbers, separators and line ends."""

import re

from benchleaf.graph.keys import key
from benchleaf.graph.model import Contents, Override, Supersession
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.statements import read_statements
from hypothesis import given, settings
from hypothesis import strategies as st

DIGITS = st.integers(100, 989).filter(lambda n: n % 10 != 0)
NUMBERS = st.one_of(
    st.builds(lambda a, b, c: f"{a} {b} {c % 90 + 10}", DIGITS, DIGITS, DIGITS),
    st.builds(lambda a, b: f"{a}-{b}-0{a % 7}", DIGITS, DIGITS),
    st.builds(lambda a, b: f"RG {a}{b % 10}-{b}", DIGITS, DIGITS),
    st.builds(lambda a, b, c: f"{a % 90 + 10}.{b}.{c}", DIGITS, DIGITS, DIGITS),
    st.builds(lambda a, b: f"K-{a}{b}", DIGITS, DIGITS),
    st.builds(lambda a, b: f"{a % 8 + 1}R/{b}{a}", DIGITS, DIGITS),
    st.builds(lambda a, b: f"A {a} {b} {a % 90 + 10} {b % 90 + 10}", DIGITS, DIGITS),
)
SENTENCES = st.sampled_from(
    [
        "Kit {a} has been replaced by kit {b}.",
        "{b} replaces {a}.",
        "{a} is superseded by {b}.",
        "{a} S/S {b}",
        "Part number {a} is no longer available. Use {b}.",
        "{a}: NLA, use {b}.",
        "Use {b} in place of {a}.",
        "The seal ring {a} has now been superseded by the seal ring {b}, which is more durable.",
        "{a} → {b}",
        "As from May, {b} is supplied instead of {a}.",
        "Order {b} (previously {a}).",
        "{a} is now {b}.",
        "{a} changed to {b}",
        "Kit {a} is discontinued and has been replaced by kit {b}.",
        "For {a} use {b}.",
    ]
)
DENIED = st.sampled_from(
    [
        "{b} does not replace {a}.",
        "{a} is not superseded by {b}.",
        "{b} must not be fitted in place of {a}.",
        "{a} has never been replaced by {b}.",
        "Do not use {b} instead of {a}.",
        "Does {b} replace {a}?",
        "{a} and {b} are both available.",
    ]
)
BREAKS = st.sampled_from([" ", "\n", "  ", "\u00a0"])


def broken(text: str, blank: str) -> str:
    return text.replace(" ", blank)


@settings(max_examples=300, deadline=None)
@given(SENTENCES, NUMBERS, NUMBERS, BREAKS)
def test_any_number_in_any_wording(sentence: str, old: str, new: str, blank: str) -> None:
    """Every wording holds for every shape of number and wherever the lines break; nothing but the pair is
    settled."""
    if key(old) == key(new):
        return
    found = read_statements(header_of(broken(sentence.format(a=old, b=new), blank)), "note").statements
    pairs = [(tuple(map(key, s.old)), tuple(map(key, s.new))) for s in found if isinstance(s, Supersession)]
    assert pairs == [((key(old),), (key(new),))]
    assert all(s.standing == "settled" for s in found)


@settings(max_examples=200, deadline=None)
@given(DENIED, NUMBERS, NUMBERS, BREAKS)
def test_denial_of_any_number(sentence: str, old: str, new: str, blank: str) -> None:
    """No denial, question or mere mention settles anything, whatever the numbers."""
    found = read_statements(header_of(broken(sentence.format(a=old, b=new), blank)), "note").statements
    assert [s for s in found if s.standing == "settled"] == []


PLACES = st.sampled_from(
    [
        "item {i} on page {p} of {m}",
        "{m}, page {p}, item {i}",
        "step {i} (p. {p}) of workshop manual {m}",
        "paragraph {i}, page {p}, {m},",
    ]
)
PAGES = st.one_of(
    st.integers(1, 300).map(str),
    st.builds(lambda a, b: f"{a}-{b}", st.integers(1, 30), st.integers(1, 99)),
    st.sampled_from(["C9", "2A-7", "55-20-03"]),
)
CHANGES = st.sampled_from(
    [
        ("In {r}, change {x} to {y}.", "change-value"),
        ("The value in {r} is now {y} (was {x}).", "change-value"),
        ("Delete {r}.", "delete"),
        ("{r} now reads: Oil the ring. Wipe it.", "replace"),
        ("After {r} insert: Oil the ring. Wipe it.", "insert-after"),
        ("Replace {r} by the following: Oil the ring. Wipe it.", "replace"),
        ("Before {r} add: Oil the ring. Wipe it.", "insert-before"),
    ]
)
VALUES = st.sampled_from(
    [
        ("9 Nm", "11 Nm"),
        ("0.25-0.35 mm", "0.20-0.30 mm"),
        ("29 N·m (21 lbf·ft)", "35 N·m (26 lbf·ft)"),
        ("60 bar", "72 bar"),
    ]
)


@settings(max_examples=300, deadline=None)
@given(CHANGES, PLACES, PAGES, st.integers(1, 60), VALUES, BREAKS)
def test_any_place_in_any_wording(
    change: tuple[str, str], place: str, page: str, item: int, pair: tuple[str, str], blank: str
) -> None:
    """Every override holds for every order of a citation, every kind of page number, and wherever lines
    break."""
    sentence, action = change
    where = place.format(i=item, p=page, m="HB 350")
    text = sentence.format(
        r=where if sentence.startswith("{r}") is False else where[0].upper() + where[1:], x=pair[0], y=pair[1]
    )
    found = read_statements(header_of(broken(text, blank)), "note").statements
    assert len(found) == 1 and isinstance(found[0], Override), text
    one = found[0]
    assert (one.action, one.target.publication, one.target.page, one.target.item) == (
        action,
        "HB 350",
        page,
        str(item),
    )
    assert one.standing == "settled", one.why
    if action == "change-value":
        assert (one.was, one.now) == pair
    elif action != "delete":
        assert one.text == "Oil the ring. Wipe it."


@settings(max_examples=100, deadline=None)
@given(
    NUMBERS,
    st.integers(2, 20),
    st.integers(2, 20),
    st.sampled_from(["contains", "consists of", "comprises", "includes", "is made up of"]),
)
def test_any_kit(kit: str, friction: int, steel: int, verb: str) -> None:
    """Kit contents hold for every shape of number."""
    found = read_statements(
        header_of(f"Kit {kit} {verb} {friction} friction discs and {steel} steel discs."), "note"
    ).statements
    assert [(key(s.kit), [line.quantity for line in s.lines]) for s in found if isinstance(s, Contents)] == [
        (key(kit), [friction, steel])
    ]


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet=st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=300))
def test_any_text_is_read_without_an_error(text: str) -> None:
    """No text makes the reading fail, and text without numbers states nothing."""
    reading = read_statements(header_of(text), "note")
    if not re.search(r"\w*[0-9]", text):
        assert not [s for s in reading.statements if s.standing == "settled"]

"""Trust over generated sentences: every example of the phrase book, with other numbers, separators, line ends
and hyphens, keeps its reading; denied, asked, rumoured or under a condition it settles nothing.

Numbers are invented; their shapes are those that makers of this trade print (common practice, no source).
"""

import random
import re

from benchleaf.graph.model import Statement
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.phrasebook import load
from benchleaf.ingest.phrases.statements import identity, read_statements
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

BOOK = load()
STATING = ("supersession", "withdrawn", "override", "contents", "cancels")
EXAMPLES = [e for p in BOOK.phrases if p.type in STATING for e in p.yes]
SINGLE = [e.say for e in EXAMPLES if "\n" not in e.say and len(re.findall(r"[.!?](?: |$)", e.say)) <= 1]
# A part number of the examples: three digits, three digits, two or more.
NUMBER = re.compile(r"(?<![0-9A-Za-z.,/-])[0-9]{3} [0-9]{3} [0-9]{2,3}(?![0-9A-Za-z]| [0-9])")
SHAPES = (
    "###-####",
    "## ### ###",
    "A ### ### ## ##",
    "#.###.####",
    "X####-###",
    "XQ ####-###",
    "####.##.###",
)
FRAMES = (
    "It is not true that {}",
    "This does not mean that {}",
    "Is it so that {}",
    "A dealer reported that {}",
    "We have heard that {}",
    "If the cover is of cast iron, {}",
    "It is planned that {}",
    "Perhaps {}",
)
FEW = settings(
    max_examples=90,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
    database=None,
)


def number(shape: str, source: random.Random) -> str:
    """A number of a shape: "#" is a digit, "X" a capital letter."""
    digits = (source.choice("123456789") if ch == "#" else ch for ch in shape)
    return "".join(source.choice("BCDFHKNPR") if ch == "X" else ch for ch in digits)


def renumbered(text: str, shape: str, source: random.Random) -> tuple[str, dict[str, str]]:
    """A text with other part numbers of one shape, the same for the same, and which stands for which."""
    names: dict[str, str] = {}
    for old in NUMBER.findall(text):
        while old not in names or list(names.values()).count(names[old]) > 1:
            names[old] = number(shape, source)
    return NUMBER.sub(lambda m: names[m.group()], text), names


def told(found: tuple[Statement, ...], names: dict[str, str]) -> set[tuple[str, ...]]:
    """What statements say, with the numbers of the example in place of those that were put in."""
    back = {re.sub(r"[^A-Z0-9]", "", new.upper()): re.sub(r"[^0-9]", "", old) for old, new in names.items()}
    whole: set[tuple[str, ...]] = set()
    for one in found:
        words = tuple(identity(one))
        for new, old in back.items():
            words = tuple(w.replace(new, old) for w in words)
        whole.add(tuple(" ".join(sorted(w.split())) for w in words))
    return whole


def settled(found: tuple[Statement, ...]) -> tuple[Statement, ...]:
    """Those that are settled."""
    return tuple(s for s in found if s.standing == "settled")


def read(text: str) -> tuple[Statement, ...]:
    """The statements of a note with this text."""
    return read_statements(header_of(text), "note", BOOK).statements


@FEW
@given(st.sampled_from([e for e in SINGLE if NUMBER.search(e)]), st.sampled_from(SHAPES), st.integers(0, 99))
def test_other_numbers_settle_nothing_else(text: str, shape: str, seed: int) -> None:
    """With part numbers of another shape an example settles what it settled before, or less, never another
    thing."""
    changed, names = renumbered(text, shape, random.Random(seed))
    meant = told(read(text), {})
    assert told(settled(read(changed)), names) <= meant, changed


@FEW
@given(
    # "4935 in" may be inches where the number is short.
    st.sampled_from([e for e in SINGLE if NUMBER.search(e) and not re.search(r"[0-9] in\b", e)]),
    st.sampled_from(SHAPES),
    st.integers(0, 99),
)
def test_other_numbers_are_still_read(text: str, shape: str, seed: int) -> None:
    """With part numbers of another shape an example is still spoken of: a statement or a finding, no
    silence."""
    changed, _ = renumbered(text, shape, random.Random(seed))
    reading = read_statements(header_of(changed), "note", BOOK)
    assert reading.statements or reading.findings, changed


@FEW
@given(st.sampled_from(SINGLE), st.integers(0, 99))
def test_line_ends_change_nothing(text: str, seed: int) -> None:
    """Blanks that became line ends, tabs, double or unbreakable blanks change no reading and no standing."""
    source = random.Random(seed)
    broken = re.sub(" ", lambda _: source.choice((" ", " ", "  ", "\u00a0", "\t")), text)
    assert told(settled(read(broken)), {}) == told(settled(read(text)), {}), broken


@FEW
@given(
    st.sampled_from([e for e in SINGLE if NUMBER.search(e)]),
    st.sampled_from("-\u2010\u2011."),
    st.integers(0, 9),
)
def test_separators_settle_nothing_else(text: str, mark: str, seed: int) -> None:
    """A number printed with hyphens or dots, broken behind one of them or not, is the same number."""
    source = random.Random(seed)
    behind = source.choice(("", "", " ")) if mark != "." else ""
    changed = NUMBER.sub(lambda m: m.group().replace(" ", mark, 1).replace(" ", mark + behind), text)
    assert told(settled(read(changed)), {}) <= told(read(text), {}), changed


@FEW
@given(st.sampled_from(SINGLE), st.sampled_from(FRAMES))
def test_framed_example_settles_nothing(text: str, frame: str) -> None:
    """An example that is denied, asked, reported, supposed or planned settles nothing."""
    body = text[0].lower() + text[1:] if text[1:2].islower() else text
    said = frame.format(body)
    said = f"{said.rstrip(chr(46))}?" if frame.startswith("Is it") else said
    assert not settled(read(said)), said

"""The phrase book: its own examples, its language, and what is refused."""

import re
import time
from pathlib import Path

import pytest
from benchleaf.graph.errors import WrongUse
from benchleaf.ingest.phrases.examples import failures, header_of
from benchleaf.ingest.phrases.pattern import compiled, fields_of
from benchleaf.ingest.phrases.phrasebook import Phrase, load
from benchleaf.ingest.phrases.statements import read_statements

BOOK = load()
SHOP = """
[[phrase]]
name = "goes over to"
type = "supersession"
patterns = ['{old} goes over to {new}']
yes = [{ say = "318 604 22 goes over to 318 604 57.", old = ["318 604 22"], new = ["318 604 57"] }]
no = ["318 604 22 never goes over to 318 604 57."]
"""


@pytest.mark.parametrize("phrase", BOOK.phrases, ids=lambda p: p.name)
def test_phrase_examples(phrase: Phrase) -> None:
    """Each phrase gives what its examples say, and nothing for its counter-examples."""
    assert list(failures(phrase, BOOK)) == []


def test_every_stating_phrase_has_examples() -> None:
    """A phrase that states something on its own proves it by an example."""
    bare = {"words without quotes", "kit contained"}
    for phrase in BOOK.of("supersession", "withdrawn", "override", "contents", "cancels"):
        assert phrase.yes or phrase.name in bare, phrase.name


HOSTILE = (
    "a ",
    "item 3 on page 4 ",
    "\ue001 and ",
    "\ue001, ",
    "\ue008 , the ",
    "no. \ue002 (",
    "the kit ",
    "\ue009 to ",
    "new ",
    ": ",
    "\ue001",
    "is ",
    "x, ",
    "(",
)


def _slowness() -> float:
    """How many times as long as on the machine where the limit was set a plain search takes; at least 1."""
    plain, text, best = re.compile(r"(?:one|two|three) [0-9]{1,4} x"), "two 17 y three 4 " * 40_000, 9.0
    for _ in range(5):
        started = time.process_time()
        plain.search(text)
        best = min(best, time.process_time() - started)
    return max(1.0, best / 0.0046)


LIMIT = 0.05 * _slowness()


@pytest.mark.parametrize("phrase", [*BOOK.phrases, *BOOK.guards], ids=lambda p: p.name)
def test_patterns_are_quick(phrase: Phrase) -> None:
    """Every pattern searches 20 kB of hostile text in 50 ms (the best of five runs; other work may run
    beside)."""
    for pattern in phrase.patterns:
        for piece in HOSTILE:
            text = (piece * 20000)[:20000]
            best = 9.0
            for _ in range(5):
                started = time.process_time()
                pattern.search(text)
                best = min(best, time.process_time() - started)
                if best < LIMIT:
                    break
            assert best < LIMIT, (pattern.pattern[:80], piece)


def test_whole_note_of_hostile_text_is_read() -> None:
    """20 kB of one paragraph full of telltale words are read in seconds, without a statement."""
    text = "replace item 3 on page and change the kit by the following of " * 320
    started = time.process_time()
    read_statements(header_of(text), "note")
    assert time.process_time() - started < 20


def test_shop_phrase_is_added(tmp_path: Path) -> None:
    """A shop's own wording, in its own file, works beside the book's."""
    own = tmp_path / "shop.toml"
    own.write_text(SHOP, encoding="utf-8")
    book = load(own)
    (said,) = read_statements(header_of("RG 1-2344 goes over to RG 1-2345."), "note", book).statements
    assert said.standing == "settled"
    assert len(book.phrases) == len(BOOK.phrases) + 1


@pytest.mark.parametrize(
    ("toml", "word"),
    [
        (SHOP.replace("{new}'", "{new} {nothing}'"), "nothing"),
        (SHOP.replace("'{old} goes over to {new}'", "'{old} (goes over to {new}'"), "goes over to"),
        (SHOP.replace("'{old} goes over to {new}'", "'{old} goes) over to {new}'"), "goes over to"),
        (SHOP.replace("{new}'", "<nowhere> {new}'"), "nowhere"),
        (SHOP.replace("{old} goes over to {new}'", "goes over to {new}'"), "goes over to"),
        (SHOP.replace('new = ["318 604 57"]', 'new = ["318 604 58"]'), "goes over to"),
        (SHOP.replace('type = "supersession"', 'type = "wonder"'), "wonder"),
        (SHOP.replace('name = "goes over to"', 'name = "arrow"'), "arrow"),
        (SHOP.replace("never goes over", "goes over"), "goes over to"),
        (SHOP + "\ncolour = 3", "colour"),
        ("[[phrase]\n", "shop.toml"),
    ],
)
def test_bad_shop_file_is_refused_by_name(tmp_path: Path, toml: str, word: str) -> None:
    """A malformed pattern, an unknown field, word, type or key, a doubled name or an example that fails
    is WrongUse."""
    own = tmp_path / "shop.toml"
    own.write_text(toml, encoding="utf-8")
    with pytest.raises(WrongUse) as refused:
        load(own)
    assert word in refused.value.message


def test_slow_pattern_is_refused_by_name(tmp_path: Path) -> None:
    """A pattern that runs away on hostile text is refused with the phrase's name, in seconds."""
    many = "[a] [a] [a] [a] [a] [a] (a|a a|a a a) " * 6
    own = tmp_path / "shop.toml"
    own.write_text(
        SHOP.replace("{old} goes over to {new}", f"a {many} {{old}} goes over to {{new}}"), encoding="utf-8"
    )
    started = time.process_time()
    with pytest.raises(WrongUse) as refused:
        load(own)
    assert "goes over to" in refused.value.message and time.process_time() - started < 20


def test_many_optional_words_in_a_row_are_refused() -> None:
    """More than eight optional words in a row are refused at once, by name."""
    with pytest.raises(WrongUse, match="test"):
        compiled("{old} " + "[a] " * 9 + "by {new}", {}, "test")


def test_missing_shop_file_is_wrong_use(tmp_path: Path) -> None:
    """A shop's phrase book that is not there is WrongUse."""
    with pytest.raises(WrongUse):
        load(tmp_path / "none.toml")


def test_language() -> None:
    """Words match in either case and over any comma; alternatives, optional words and fields are read."""
    pattern = compiled("{old} [now|also] (replaced|superseded) by {new}", {}, "test")
    found = pattern.search("\ue002 , Now SUPERSEDED by the \ue002")
    assert found is not None and found["old"].strip() and found["new"].endswith("\ue002")
    assert pattern.search("\ue002 not replaced by \ue002") is None
    assert fields_of("{old} by {new}") == ("old", "new")


def test_field_may_stand_twice() -> None:
    """A field's second place has a group of its own."""
    assert "ref_2" in compiled("{ref} then {ref}", {}, "test").groupindex

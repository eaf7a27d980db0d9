"""References to a step, in every order of their words. Wordings: common practice, no source; all numbers
invented."""

import time

import pytest
from benchleaf.ingest.phrases.references import Reference, completed, labels_of, merged, read_reference, tag
from benchleaf.ingest.phrases.tags import NOTE, PART, SERIAL
from hypothesis import given
from hypothesis import strategies as st

ORDERS = (
    "item {i} on page {p} of workshop manual {m}",
    "{m}, page {p}, item {i}",
    "page {p} of {m}, item {i}",
    "workshop manual {m}, page {p}: item {i}",
    "step {i} (p. {p}) of {m}",
    "operation {i}, page {p}, {m},",
    "paragraph {i} on p. {p} of publication {m}",
    "{m} p. {p} item {i}",
    "manual no. {m} (page {p}, step {i})",
    "step no. {i} on page {p} in the service manual {m}",
    "Page {p}, para. {i}, of the overhaul manual {m}",
    "item {i}, page {p}, {m},",
    "item {i} (page {p}, {m})",
    "ITEM {i} ON PAGE {p} OF MANUAL {m}",
)
PAGES = ("31", "4-62", "2A-7", "C9", "14-218", "55-20-03", "4.62")
MANUALS = ("HB 350", "OM-77", "4471-B", "RM 12/3", "TX-4400")


@given(st.sampled_from(ORDERS), st.sampled_from(PAGES), st.sampled_from(MANUALS), st.integers(1, 60))
def test_every_order_of_words(order: str, page: str, manual: str, item: int) -> None:
    """Publication, page and item come out the same in whatever order a citation gives them."""
    found = read_reference(order.format(i=item, p=page, m=manual))
    assert found is not None
    assert (found.publication, found.page, found.items) == (manual, page, (str(item),))


@pytest.mark.parametrize(
    ("words", "labels"),
    [
        ("3, 5 and 7", ("3", "5", "7")),
        ("4 to 6", ("4", "5", "6")),
        ("4-6", ("4", "5", "6")),
        ("(3)", ("3",)),
        ("3 and 4", ("3", "4")),
        ("5a", ("5a",)),
        ("4 through 6", ("4", "5", "6")),
        ("3(b)", ("3(b)",)),
        ("A", ("A",)),
    ],
)
def test_lists_of_items(words: str, labels: tuple[str, ...]) -> None:
    """A list or a run of items names each of them; a sub-step keeps its letter."""
    assert labels_of(words) == labels


def test_missing_parts_stay_open() -> None:
    """What a citation does not name is None."""
    assert read_reference("delete item 3") == Reference(items=("3",))
    assert read_reference("Fit the ring dry.") is None


def test_section_without_page_is_unclear() -> None:
    """A section is no page: the citation says so."""
    found = read_reference("operation 7, section 4.2")
    assert found is not None and found.page is None and found.section == "4.2" and found.why


def test_several_pages_are_unclear() -> None:
    """Two pages at once name none."""
    found = read_reference("items 3 and 5 on pages 26 and 27 of HB 350")
    assert found is not None and found.page is None and found.why


def test_counted_step_is_unclear() -> None:
    """ "the third step" counts and does not name."""
    found = read_reference("the third step on page 5")
    assert found is not None and found.items == ("3",) and found.why


def test_merging_and_completing() -> None:
    """Parts that complete one another are one citation; contradicting ones are none; a page stays with
    its manual."""
    whole = merged([Reference("HB 350", "24"), Reference(items=("3",))])
    assert whole == Reference("HB 350", "24", ("3",))
    assert merged([Reference("HB 350", "24"), Reference("HB 360", "24")]) is None
    assert completed(Reference("HB 360", None, ("3",)), Reference("HB 350", "24")).page is None


@pytest.mark.parametrize(
    ("text", "kind", "number"),
    [
        ("bulletin TI 88-14", NOTE, "TI 88-14"),
        ("Service bulletin no. 12", NOTE, "12"),
        ("kit 4471", PART, "4471"),
        ("P/N 20719", PART, "20719"),
        ("part number 318 604 22", PART, "318 604 22"),
        ("part no. 7R/1234", PART, "7R/1234"),
    ],
)
def test_labels_tell_what_a_number_is(text: str, kind: str, number: str) -> None:
    """The words before a number tell what it numbers."""
    assert [(t.kind, t.text) for t in tag(f"See {text} now.").tags.values()] == [(kind, number)]


def test_serial_numbers_are_no_parts() -> None:
    """A range of serial numbers holds no part number."""
    tags = tag("Serial numbers 10324 to 13255 and up are concerned.").tags.values()
    assert [t.kind for t in tags] == [SERIAL]


@pytest.mark.parametrize(
    "piece",
    [
        "item 3 ",
        "page 4, ",
        "item 3 on page 4 of ",
        "manual ",
        "kit no. ",
        "1, 2 and ",
        "X 123, page ",
        "serial no. 1, ",
    ],
)
def test_hostile_text_is_tagged_quickly(piece: str) -> None:
    """20 kB of beginnings of citations are tagged in about a second at most."""
    text = (piece * 20000)[:20000]
    started = time.process_time()
    tag(text)
    assert time.process_time() - started < 1.5


@pytest.mark.parametrize(
    ("text", "manual", "page", "items"),
    [
        ("item 3 on page 26 of HB 5", "HB 5", "26", ("3",)),
        ("HB 5, page 26, item 3", "HB 5", "26", ("3",)),
        ("step 3 (p. 26) of K-7", "K-7", "26", ("3",)),
        ("item 8 at page 14 of HB 5 in its entirety", "HB 5", "14", ("8",)),
        ("Page 64, operation 2, RM-18", "RM-18", "64", ("2",)),
        ("operation 2 on page 64 of your RM-18 manual", "RM-18", "64", ("2",)),
        ("steps 4-6 inclusive on page 40 of PM 6", "PM 6", "40", ("4", "5", "6")),
    ],
)
def test_short_manual_numbers(text: str, manual: str, page: str, items: tuple[str, ...]) -> None:
    """A manual's short number is known by the page or step beside it; "8 at" is no pressure there."""
    found = read_reference(text)
    assert found is not None
    assert (found.publication, found.page, found.items) == (manual, page, items)


def test_step_named_by_its_place_only() -> None:
    """ "The step after it" names no step that could be looked up."""
    found = read_reference("The step after it")
    assert found is not None
    assert not found.items
    assert found.why


def test_a_model_is_no_manual() -> None:
    """A short number that is one of the note's models is not taken for a manual."""
    tagged = tag("Item 3 on page 26 of QX 4", models=["QX 4"])
    named = [t.content.publication for t in tagged.tags.values() if isinstance(t.content, Reference)]
    assert named == [None]

"""Manuals drawn in many layouts are read back; the truth is what was drawn."""

from functools import cache

import drawn_manuals
import pytest
from benchleaf.graph.model import Manual
from benchleaf.ingest.book.manual import read_manual
from benchleaf.ingest.kind import kind_of
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pdf import read_pdf

LOOKS = {look.name: look for look in drawn_manuals.LOOKS}


@cache
def drawn(name, seed=1):
    """A drawn manual, its laid-out pages and its reading."""
    truth = drawn_manuals.draw(LOOKS[name], seed)
    laid = lay_out(read_pdf(truth.data))
    return truth, laid, read_manual(laid, "book.pdf")


def items_of(manual: Manual):
    """Items by page, label and, where a page has a label twice, their order."""
    found = {}
    for page in manual.pages:
        for item in page.items:
            nth = 0
            while (page.page, item.label, nth) in found:
                nth += 1
            found[page.page, item.label, nth] = item
    return found


def right(truth, manual):
    """Keys of the items whose words are exactly those drawn, and of items that were never drawn."""
    found = items_of(manual)
    good = {k for k, text in truth.items.items() if k in found and found[k].text == text}
    return good, [k for k in found if k not in truth.items]


@pytest.mark.parametrize("name", LOOKS)
def test_steps_of_each_layout_are_read_word_for_word(name):
    """In each layout nearly all steps have their page, label and exact words, and none is invented."""
    truth, _, reading = drawn(name)
    good, invented = right(truth, reading.manual)
    assert not invented
    assert len(good) >= 0.93 * len(truth.items), sorted(set(truth.items) - good)


def test_over_all_layouts_nearly_every_step_is_right():
    """Over all layouts and two seeds each, at least 99 of 100 steps are exact."""
    wanted = exact = 0
    for name in LOOKS:
        for seed in (1, 2):
            truth, _, reading = drawn(name, seed)
            wanted += len(truth.items)
            exact += len(right(truth, reading.manual)[0])
    assert wanted > 4000
    assert exact / wanted >= 0.99


@pytest.mark.parametrize("name", LOOKS)
def test_each_step_knows_its_section(name):
    """At least 95 of 100 steps stand under the heading that was drawn above them."""
    truth, _, reading = drawn(name)
    found = items_of(reading.manual)
    good = sum(k in found and found[k].section == section for k, section in truth.sections.items())
    assert good >= 0.95 * len(truth.sections)


@pytest.mark.parametrize("name", [n for n, look in LOOKS.items() if look.notices != "none"])
def test_notices_hang_on_the_step_before_them(name):
    """Framed, run-in, bold and headed notices are read with kind and words, and belong to the step above."""
    truth, _, reading = drawn(name)
    found = items_of(reading.manual)
    given = {k: tuple((n.kind, n.text) for n in found[k].notices) for k in found}
    good = sum(given.get(k) == notices for k, notices in truth.notices.items())
    assert good >= 0.95 * len(truth.notices)


@pytest.mark.parametrize("name", LOOKS)
def test_each_layout_is_told_to_be_a_manual(name):
    """A book of steps is a manual in every layout, with or without cover, also as a single page."""
    _, laid, _ = drawn(name)
    assert kind_of(laid) == "manual"


@pytest.mark.parametrize("name", LOOKS)
def test_the_publication_number_is_found(name):
    """The number is read from the cover, or from running head or foot where there is no cover."""
    truth, _, reading = drawn(name)
    assert reading.manual.number == truth.pub


def test_the_cover_gives_title_issuer_edition_and_models():
    """The cover's lines are told apart."""
    manual = drawn("plain")[2].manual
    assert (manual.issuer, manual.edition, manual.models) == ("Orrin Vale", "3", ("RK-20", "RK-24"))
    assert manual.title is not None and manual.title.startswith("Overhaul Manual")


def test_a_step_belongs_to_the_page_where_it_starts_and_its_box_lies_on_it():
    """A step that flows onto the next page is listed once, on the first, with a box on that sheet."""
    truth, laid, reading = drawn("parentheses in two columns")
    sheets = {p.sheet: p for p in laid}
    for page in reading.manual.pages:
        for item in page.items:
            assert item.page == page.page and item.sheet == page.sheet
            assert item.box is not None
            assert 0 <= item.box.x0 < item.box.x1 <= sheets[item.sheet].width
            assert 0 <= item.box.top < item.box.bottom <= sheets[item.sheet].height
    assert len({k[0] for k in truth.items}) > 1


def test_two_counts_on_one_page_keep_their_printed_labels():
    """Two sections of one page may both have a step 1; the section tells them apart."""
    reading = drawn("plain")[2]
    pages = [p for p in reading.manual.pages if [i.label for i in p.items].count("1") > 1]
    assert pages
    for page in pages:
        ones = [i.section for i in page.items if i.label == "1"]
        assert len(set(ones)) == len(ones)


def test_the_cover_has_no_steps_and_gives_no_section():
    """Words of the cover never become the section of a step."""
    manual = drawn("Step n")[2].manual
    sections = {i.section for p in manual.pages for i in p.items}
    assert sections <= set(drawn_manuals.HEADINGS)

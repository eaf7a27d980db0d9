"""How notes name themselves, in words that no list may have. All makers, kinds and numbers are invented."""

import datetime as dt
import time

import pytest
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.head.issuers import maker_of
from benchleaf.ingest.head.notetitles import is_kind_only, read_opening, read_title
from benchleaf.ingest.kind import kind_of
from benchleaf.ingest.shapes import Header
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.text import read_text

BODY = "\n\nPlate 61-20 is replaced by plate 61-21.\n"


def head(text: str) -> Header:
    return read_header(lay_out(read_text(text.encode())), "note.txt")


TITLES = {
    "Brunnvik Gear Overhaul Advice RX 3/07": ("Brunnvik Gear", "RX 3/07"),
    "BRUNNVIK GEAR DEALER AND PARTS NEWS 44-B": ("BRUNNVIK GEAR", "44-B"),
    "Unit Notice Q-118": (None, "Q-118"),
    "Spare Parts Circular 4.17": (None, "4.17"),
    "Warranty Memo No. 09/14": (None, "09/14"),
}


@pytest.mark.parametrize("line", TITLES)
def test_number_kind_and_maker_are_told_apart(line: str) -> None:
    """A kind put together from the trade's words is no maker, and neither it nor the number is a model."""
    h = head(f"{line}\n3 May 2007\n\nModels: KV 4, KV 6{BODY}")
    assert (h.issuer, h.number, h.date) == (*TITLES[line], dt.date(2007, 5, 3))
    assert h.applies.models == ("KV 4", "KV 6") and h.unclear == ()


def test_the_line_above_the_title_is_the_maker() -> None:
    """Words before the kind that no list has belong to the kind where a maker's line stands above it."""
    h = head(f"Brunnvik Gear\n\nRunning Hours Bulletin 31-A\n3 May 2007\n\nModels: KV 4{BODY}")
    assert (h.issuer, h.number) == ("Brunnvik Gear", "31-A")


def test_a_kind_that_no_list_has() -> None:
    """`Werkblatt No. 7-31, 3 May 2007` gives number and date by the word `No.` alone."""
    h = head(f"Brunnvik Gear\n\nBench Broadsheet No. 7-31, 3 May 2007\n\nModels: KV 4{BODY}")
    assert (h.issuer, h.number, h.date) == ("Brunnvik Gear", "7-31", dt.date(2007, 5, 3))
    assert h.applies.models == ("KV 4",)


@pytest.mark.parametrize("number", ["QB-113", "QI 1988.09", "95/02", "INF 4/05", "V9301"])
@pytest.mark.parametrize("date", ["May 4, 2002", "4 MAY 2002", "4.5.2002"])
def test_a_title_that_opens_running_text(number: str, date: str) -> None:
    """Number, date, subject and units of `Memo No. … of …. Subject. This information applies to …`."""
    text = (
        f"Depot Memo No. {number} of {date}. Oil seals. This information applies to KV 4 and KV 6, all units."
    )
    h = head(f"Brunnvik Gear\n\n{text}{BODY}")
    assert (h.number, h.date, h.subject) == (number, dt.date(2002, 5, 4), "Oil seals")
    assert (h.issuer, h.applies.models) == ("Brunnvik Gear", ("KV 4", "KV 6"))


def test_unlisted_words_open_running_text() -> None:
    """Where no list has the kind, `No.`, the date and the full stop mark the opening."""
    title = read_opening("Brunnvik Handzettel No. 12-B of 3 May 2007. Oil seals. It applies to KV 4.")
    assert title is not None and title.number.number == "12-B"


@pytest.mark.parametrize(
    "line",
    [
        "Disregard Parts Memo QI 26 of 3 May 2007.",
        "Bin Parts Memo QI 26 of 3 May 2007.",
        "Parts Memo QI 26 of 3 May 2007 is cancelled.",
    ],
)
def test_another_note_in_the_first_sentence_is_not_this_one(line: str) -> None:
    """A note named by a sentence of the body does not give its number where a label gave one."""
    h = head(f"Brunnvik Gear\n\nOur ref.: QI 45\nDate: 9 June 2008\nModels: KV 4\n\n{line}\n")
    assert (h.number, h.date) == ("QI 45", dt.date(2008, 6, 9))


def test_running_text_is_no_title() -> None:
    """A sentence that goes on behind the number, and one that refers, are no titles."""
    assert read_title("Parts Memo QI 26. Oil seals. This information applies to Type 42,") is None
    assert read_title("See Parts Memo QI 26") is None
    assert is_kind_only("Spare Parts Circular") and not is_kind_only("Brunnvik Parts Circular")


SENDERS = {
    "service office, Brunnvik Gear Works": "Brunnvik Gear Works",
    "Brunnvik Gear Works, Fenmouth, technical department": "Brunnvik Gear Works",
    "Technical Publications, Arlen & Toft": "Arlen & Toft",
    "Brunnvik Gear Works, Fenmouth": "Brunnvik Gear Works, Fenmouth",
    "after-sales": "after-sales",
}


@pytest.mark.parametrize("sender", SENDERS)
def test_the_maker_in_a_sender_line(sender: str) -> None:
    """A department beside the maker's name is left off; a line without one stays as printed."""
    assert maker_of(sender) == SENDERS[sender]


def test_colons_set_in_a_column() -> None:
    """Typed heads set their colons one under another; no value keeps one."""
    h = head(
        "BRUNNVIK GEAR - PARTS MEMO\n\nOur ref.       : QI 45\nDate           : 9 June 2008\n"
        f"Subject        : Rear cover\nApplicable to  : KV 4\nSerial No.     : 52111 and on\n{BODY}"
    )
    assert (h.number, h.subject, h.applies.models) == ("QI 45", "Rear cover", ("KV 4",))
    assert h.applies.serial_from == "52111" and ": :" not in h.applies.as_printed


def test_a_box_drawn_with_characters() -> None:
    """Pipes and rules of a typed box part cells and are no words; the bound beside its label is read."""
    text = (
        "Brunnvik Gear Parts Memo\n\n+-------------+------------------------------+\n"
        "| Ref.        | QI 4/05                      |\n+-------------+------------------------------+\n"
        "| Dated       | 22 June 2005                 |\n+-------------+------------------------------+\n"
        "| Type        | KV 4 and KV 6                |\n+-------------+------------------------------+\n"
        "| Effectivity | from 1494 up to and including 2454 |\n+-------------+--------------------------+\n"
        "\nAll is as before.\n"
    )
    pages = lay_out(read_text(text.encode()))
    h = read_header(pages, "note.txt")
    assert kind_of(pages) == "note"
    assert (h.number, h.issuer, h.applies.models) == ("QI 4/05", "Brunnvik Gear", ("KV 4", "KV 6"))
    assert (h.applies.serial_from, h.applies.serial_to, h.unclear) == ("1494", "2454", ())
    assert "+--" not in h.applies.as_printed


def test_all_serial_numbers_is_a_value() -> None:
    """`all serial numbers` beside its label limits nothing and leaves no doubt."""
    h = head(f"Parts Memo QI 45\n9 June 2008\n\nModels: KV 4\nSerial No.: all serial numbers{BODY}")
    assert h.applies.models == ("KV 4",) and h.unclear == ()


def test_a_short_paper_with_number_and_date_is_a_note() -> None:
    """Whatever it calls itself; without a date it may be anything."""
    text = "Brunnvik Gear\n\nHandzettel No. 12-B of 3 May 2007. Oil seals.\n\nThe lip faces the oil.\n"
    assert kind_of(lay_out(read_text(text.encode()))) == "note"
    assert kind_of(lay_out(read_text(b"Brunnvik Gear\n\nThe lip faces the oil.\n"))) == "other"


def test_a_date_beside_a_line_of_unknown_words() -> None:
    """Number and date side by side give the note's number with a doubt; a unit's name there gives none."""
    h = head(f"Brunnvik Gear\n\nBench Broadsheet QX 4-07                    3 May 2007\n\nModels: KV 4{BODY}")
    assert (h.number, h.date, h.issuer) == ("QX 4-07", dt.date(2007, 5, 3), "Brunnvik Gear")
    assert len(h.unclear) == 1 and "QX 4-07" in h.unclear[0]
    unit = head(f"Brunnvik Gear\n\nReversing Gearbox KV 4                      3 May 2007\n{BODY}")
    assert unit.number is None
    same = head(f"Brunnvik Gear\n\nTorrent KV 4                      3 May 2007\n\nModels: KV 4{BODY}")
    assert same.number is None and same.applies.models == ("KV 4",)


def test_a_plain_heading_with_number_and_date() -> None:
    """A heading in small letters is a title where a date stands behind its number."""
    h = head(f"Brunnvik Gear GmbH\n\nInformation for dealers 2001/07 (3 May 2001)\n\nModels: KV 4{BODY}")
    assert (h.number, h.date, h.issuer) == ("2001/07", dt.date(2001, 5, 3), "Brunnvik Gear GmbH")


def test_heads_of_a_table_are_no_subject_and_a_heading_no_maker() -> None:
    """What the body begins with is not taken into the head."""
    h = head(
        "PARTS MEMO\n\nNo.: QI 45\nDate: 9 June 2008\nModels: KV 4\n\nCorrections to manual KM 2\n\nText.\n"
    )
    assert h.issuer is None and h.number == "QI 45"
    h = head("Brunnvik Gear\nParts Memo QI 45\n9 June 2008\nUnits: KV 4\n\n| Old | New |\n| 5-1 | 5-2 |\n")
    assert (h.subject, h.issuer) == (None, "Brunnvik Gear")


def test_a_number_under_a_serial_field_is_no_serial_number() -> None:
    """Fields one under another are not read on into each other."""
    h = head(f"Date: 9 June 2008\nModels: KV 4\nS/N: all serial numbers\nNo.: QI 45 E\n{BODY}")
    assert (h.number, h.applies.serial_from, h.unclear) == ("QI 45 E", None, ())


@pytest.mark.parametrize("words", ["service ", "parts and ", "Memo No. ", "Norbeck ", "+--", "Subject: "])
def test_hostile_titles_are_read_fast(words: str) -> None:
    """A title of 20 kB made of the trade's words takes no time to speak of."""
    text = (words * 20000)[:20000]
    began = time.process_time()
    read_title(text), read_opening(text), is_kind_only(text)
    assert time.process_time() - began < 0.15

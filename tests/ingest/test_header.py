"""The head of a note in many layouts, as plain text through the real reader. All is invented."""

import datetime as dt
import time

import pytest
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.shapes import Header, Paragraph
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.text import read_text


def head(text: str) -> Header:
    return read_header(lay_out(read_text(text.encode())), "note.txt")


def body(header: Header) -> str:
    return "\n".join(e.text for e in header.body if isinstance(e, Paragraph))


def test_fields_at_left_and_right() -> None:
    """A maker's block at left, fields at right, hanging lines of units below: each finds its own."""
    h = head(
        "ROTAMAX PUMPS                                   Bulletin:   88/12\n"
        "Kiln Road, Fenwick                              Date:       12.3.88\n"
        "                                                Page:       1/2\n\n"
        "SUBJECT:  SHAFT SEAL, CHANGE OF MATERIAL\n\n"
        "UNITS AFFECTED:   P2V45 up to and including S/N 10.450\n"
        "                  P2V60 up to and including S/N 10.450\n\n"
        "Seal 4411-20 is superseded by seal 4411-21.\n"
    )
    assert (h.number, h.date, h.issuer) == ("88/12", dt.date(1988, 3, 12), "ROTAMAX PUMPS")
    assert h.subject == "SHAFT SEAL, CHANGE OF MATERIAL"
    assert (h.applies.models, h.applies.serial_to, h.unclear) == (("P2V45", "P2V60"), "10450", ())
    assert body(h).endswith("Seal 4411-20 is superseded by seal 4411-21.")


def test_revision_and_what_is_superseded() -> None:
    """A revision behind the number and a `Supersedes` field are read, and no doubt is left."""
    h = head(
        "Service Information no. 14/2003 (Rev. B)          Issued: 3 May 2003\n"
        "Supersedes: Service Information no. 9/2001 dated 4 March 2001\n"
        "Concerning: End play of input shaft\nGearbox types: ZL 12, ZL 14\n"
        "Serial nos.: 4410 thru 5120, except 4500\n\n1. General\n\nThe end play has been changed.\n"
    )
    assert (h.number, h.revision, h.supersedes) == ("14/2003", "B", ("9/2001",))
    assert (h.date, h.subject) == (dt.date(2003, 5, 3), "End play of input shaft")
    assert h.applies.models == ("ZL 12", "ZL 14")
    assert (h.applies.serial_from, h.applies.serial_to, h.applies.excepted) == ("4410", "5120", ("4500",))


def test_a_part_that_is_replaced_stays_in_the_body() -> None:
    """`Replaces: 123 456` under a note TB 12 is a part number: no superseded note, and the line stays."""
    h = head("Bulletin TB 12\n3 May 2003\n\nReplaces: 123 456 78\n\nThe part has been changed once more.\n")
    assert h.supersedes == () and "Replaces: 123 456 78" in body(h)


def test_a_letter() -> None:
    """A letter with place and date, a subject line, and the units in its first sentence, which stays."""
    h = head(
        "To all service stations\n\nNorham, 12th May 1999\n\nSERVICE LETTER SL-204-B\n\n"
        "Re: Clutch pack K3\n\nDear Sirs,\n\n"
        "This letter applies to transmissions type TX 40 from serial number 30221 on.\n"
        "Kit 55-100 is replaced by kit 55-101.\n"
    )
    assert (h.number, h.date, h.subject) == ("SL-204-B", dt.date(1999, 5, 12), "Clutch pack K3")
    assert (h.applies.models, h.applies.serial_from) == (("TX 40",), "30221")
    assert h.issuer is None and h.source == "unknown"
    assert "Kit 55-100 is replaced by kit 55-101." in body(h)


def test_running_text_alone() -> None:
    """Number, date and units in one sentence."""
    h = head(
        "Norbeck Gear Works\n\nThis bulletin, No. 14/2003 of 3 May 2003, applies to gearboxes\n"
        "type KR 12 and KR 14 with serial numbers 1200 to 1300.\n\nKit 5-1 is replaced by kit 5-2.\n"
    )
    assert (h.number, h.date, h.issuer) == ("14/2003", dt.date(2003, 5, 3), "Norbeck Gear Works")
    assert (h.applies.models, h.applies.serial_from, h.applies.serial_to) == (
        ("KR 12", "KR 14"),
        "1200",
        "1300",
    )


def test_another_notes_number_in_the_text_is_not_taken() -> None:
    """`This bulletin cancels bulletin TB 97-06 dated …` gives neither number nor date of this note."""
    h = head(
        "Bulletin TB 99-20\n27.11.1999\n\nModels: KX-4\n\n"
        "This bulletin cancels bulletin TB 98-08 dated 06.02.1998.\n"
    )
    assert (h.number, h.date) == ("TB 99-20", dt.date(1999, 11, 27))
    assert head("Models: KX-4\n\nThis bulletin cancels bulletin TB 98-08.\n").number is None


def test_headings_with_lists_below() -> None:
    """`Models affected` alone on a line, a list under it, and serial numbers in the same way."""
    h = head(
        "HALDEN & VOSS\nTECHNICAL INFORMATION\nNo. 118\n5 March 2004\n\nModels affected\n\n- S5\n"
        "- S5-H\n- S6\n\n"
        "Serial numbers affected\n\n4100 and up\n\nDescription\n\nPlate 1200 is replaced by plate 1201.\n"
    )
    assert (h.number, h.date, h.issuer) == ("118", dt.date(2004, 3, 5), "HALDEN & VOSS")
    assert (h.applies.models, h.applies.serial_from, h.unclear) == (("S5", "S5-H", "S6"), "4100", ())
    assert "Plate 1200 is replaced by plate 1201." in body(h)


def test_a_box_drawn_with_characters_and_an_ambiguous_date() -> None:
    """Bars part label and value; 05/06/2016 is a doubt."""
    h = head(
        "+----------------------+------------------+\n| Bulletin No.         | TI-88-004        |\n"
        "| Date                 | 05/06/2016       |\n| Subject              | Drain plug       |\n"
        "| Models               | HX-10, HX-12     |\n| Effectivity          | S/N 100 to 250   |\n"
        "+----------------------+------------------+\n\nPlug 77-1 is superseded by 77-2.\n"
    )
    assert (h.number, h.subject) == ("TI-88-004", "Drain plug")
    assert (h.applies.models, h.applies.serial_from, h.applies.serial_to) == (
        ("HX-10", "HX-12"),
        "100",
        "250",
    )
    assert any("05/06/2016" in d for d in h.unclear)
    assert "Plug 77-1 is superseded by 77-2." in body(h)


def test_other_dates_of_the_note_settle_its_date() -> None:
    """19/06/2015 in the text proves the day first, so the note's 05/06/2016 is sure."""
    h = head("Bulletin 7\nDate: 05/06/2016\n\nThis replaces our bulletin 5 of 19/06/2015 in every respect.\n")
    assert h.date == dt.date(2016, 6, 5) and h.unclear == ()


def test_a_shops_own_note() -> None:
    """A note that says it is the shop's own is no maker's."""
    h = head(
        "SHOP NOTE 12\nDate: 3 June 2005\nOwn note, not issued by the maker.\nApplies to: AL4\n\n"
        "Use two shims.\n"
    )
    assert (h.number, h.source, h.applies.models) == ("12", "shop", ("AL4",))


def test_an_e_mail() -> None:
    """Sender, date sent, and the number in the subject; what the text says of serial numbers is a doubt."""
    h = head(
        "From:    Service dept., Lindqvist Gear AB\nSent:    Monday, 14 September 2009 10:12\n"
        "To:      dealers\n"
        "Subject: Bulletin 2009-07: New friction plates\n\nHello all,\n\n"
        "MG335 units from S/N 7001 upward get new plates. Plate 100-1 replaced by 100-2.\n"
    )
    assert (h.number, h.date, h.issuer) == (
        "2009-07",
        dt.date(2009, 9, 14),
        "Lindqvist Gear AB",
    )
    assert any("7001" in d for d in h.unclear)


def test_labels_without_colons() -> None:
    """Label words without colons, and a list of models over three lines."""
    h = head(
        "Number 31\nIssued on 4 Aug. 2009\nSubject Revised torque\nApplicable models KR 12, KR 14, KR 18,\n"
        "KR 20 and KR 22 from serial number\n12 000 onwards\n\n"
        "In manual KM 2, page 9, item 3, change 9 Nm to 11 Nm.\n"
    )
    assert (h.number, h.date, h.subject) == ("31", dt.date(2009, 8, 4), "Revised torque")
    assert h.applies.models == ("KR 12", "KR 14", "KR 18", "KR 20", "KR 22")
    assert (h.applies.serial_from, h.applies.serial_to, h.unclear) == ("12000", None, ())
    assert body(h) == "In manual KM 2, page 9, item 3, change 9 Nm to 11 Nm."


def test_other_languages() -> None:
    """German labels, month and range."""
    h = head(
        "Rundschreiben Nr. 12/98                         Datum: 3. Mai 1998\nBetreff: Neue Dichtung\n"
        "Gültig für: Typ G 40, G 60 ab Seriennummer 12345\n\nDichtung 44 wird ersetzt durch 45.\n"
    )
    assert (h.number, h.date, h.subject) == ("12/98", dt.date(1998, 5, 3), "Neue Dichtung")
    assert (h.applies.models, h.applies.serial_from) == (("G 40", "G 60"), "12345")


def test_everything_on_one_line() -> None:
    """Five fields in one line."""
    h = head(
        "Model(s): TX 40   S/N(s): all   Bulletin #: 7   Date: 9/30/2010   Rev: 2\n\n"
        "Screw 4-1 changed to 4-2.\n"
    )
    assert (h.number, h.date, h.revision, h.applies.models) == ("7", dt.date(2010, 9, 30), "2", ("TX 40",))


def test_capitals_and_a_range_that_fits_none() -> None:
    """Serial numbers of two series cannot be one range: models are read, bounds are not, and it is told."""
    h = head(
        "BULLETIN NO: 44-7          DATE: JUNE 5, 1981        SHEET 1 OF 2\nSUBJECT: CLUTCH PLATES\n"
        "MODELS: 1100, 1150 AND 1200 SERIES\nSERIAL NO. RANGE: 11-2000 THRU 11-4500 AND 12-1000 AND UP\n\n"
        "PLATE 1-22 REPLACES PLATE 1-21.\n"
    )
    assert (h.number, h.date) == ("44-7", dt.date(1981, 6, 5))
    assert (h.applies.models, h.applies.serial_from) == (("1100", "1150", "1200"), None)
    assert h.applies.unclear and h.unclear


def test_units_that_were_not_read_are_told() -> None:
    """A field of units that cannot be read is a doubt and stays in the body."""
    h = head(
        "Bulletin 7\nDate: 3 May 2003\nModels: see enclosed sheet 4-11\n"
        "Serial numbers: as per list 12\n\nFit two shims.\n"
    )
    assert any("list 12" in d for d in h.unclear)


def test_models_named_again_in_the_text_are_told() -> None:
    """A second `Models:` further down may limit a part of the note: a doubt."""
    h = head(
        "Bulletin 7\nDate: 3 May 2003\nModels: KX-4, KX-6\n\n"
        "The oil has been changed in all units since then.\n\n"
        "Models: KX-6\n\nFit two shims instead of one shim from now on.\n"
    )
    assert h.applies.models == ("KX-4", "KX-6") and h.applies.unclear


def test_two_numbers_or_dates_are_told() -> None:
    """A head that contradicts itself is a doubt."""
    h = head("Bulletin TB 12\nBulletin No.: TB 13\nDate: 3 May 2003\nIssued: 4 May 2003\n\nFit two shims.\n")
    assert sum("several" in d for d in h.unclear) == 2


def test_a_body_that_begins_at_once() -> None:
    """Without any field everything is body, and nothing is made up."""
    h = head("Kit 5-1 is replaced by kit 5-2 for all units in the field.\n")
    assert (h.number, h.date, h.applies.models, h.unclear) == (None, None, (), ())
    assert body(h) == "Kit 5-1 is replaced by kit 5-2 for all units in the field."


def test_a_statement_behind_the_subject_on_one_line_stays() -> None:
    """What follows a field's sentence on the same line is body."""
    h = head(
        "NOTE 55 / 3 May 2003\nRe: Parts. Models: KX-4. Kit 5-1 is replaced by kit 5-2.\n\nPlease file.\n"
    )
    assert (h.number, h.subject, h.applies.models) == ("55", "Parts", ("KX-4",))
    assert "Kit 5-1 is replaced by kit 5-2." in body(h)


@pytest.mark.parametrize(
    "text", ["", "\n\n", "....", "Date:", "Bulletin", ":::::", "|||\n|||", "Models:\n\nSerial numbers:\n"]
)
def test_nothing_raises(text: str) -> None:
    """Empty and broken heads give an empty reading."""
    if not text.strip():
        return
    assert head(text).number is None


@pytest.mark.parametrize(
    "line", ["Models: ", "Bulletin ", "a: ", "Date: 1/", "from serial number ", "No. 1 "]
)
def test_hostile_text_is_fast(line: str) -> None:
    """20 kB of near-fields on 200 lines are read within a second or two."""
    text = "\n".join([(line * 100)[:100]] * 200)
    pages = lay_out(read_text(text.encode()))
    start = time.process_time()
    read_header(pages, "note.txt")
    assert time.process_time() - start < 2.0


def test_numbers_of_other_things_are_not_the_notes() -> None:
    """`Drawing No.`, `Oil type` and `Ref: Workshop manual` are other things; `Our ref` is the note's."""
    h = head("Brandt\nDrawing No.: 44-118\nTechnical Bulletin No. 9\nOil type: EP 80\nType: P40\n\nFit.\n")
    assert (h.number, h.applies.models) == ("9", ("P40",))
    h = head("NOTICE\n\nRef: Workshop manual KM 210\nOur ref: SB-44\nDate: 3rd May 2003\n\nFit two shims.\n")
    assert (h.number, h.date) == ("SB-44", dt.date(2003, 5, 3))


def test_a_number_that_looks_like_a_date() -> None:
    """Under its own label 12-11-99 is a number."""
    h = head("Bulletin No.: 12-11-99\nDate: 12.11.1999\nFor: all P40 pumps\n\nFit two shims as shown.\n")
    assert (h.number, h.date, h.applies.models) == ("12-11-99", dt.date(1999, 11, 12), ("P40",))


def test_months_of_manufacture() -> None:
    """`01/2002 to 06/2003` under a production label reaches to the end of June."""
    h = head(
        "TECHNICAL SERVICE BULLETIN\nTSB Number: 03-14-02\nDate Issued: 05/13/2003\nModel: 4L80 / 4L85\n"
        "Production date: 01/2002 to 06/2003\n\nFit two shims.\n"
    )
    assert (h.number, h.date, h.applies.models) == ("03-14-02", dt.date(2003, 5, 13), ("4L80", "4L85"))
    assert (h.applies.built_from, h.applies.built_to) == (dt.date(2002, 1, 1), dt.date(2003, 6, 30))

"""What a document is, told by the weight of evidence. All papers are invented."""

import pytest
from benchleaf.ingest.kind import kind_of, read_kind
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.text import read_text

NOTES = {
    "bulletin with a replaced list": """
HOLLIN GEAR WORKS LTD
SERVICE BULLETIN No. 14/2003
Date: 4 March 2003
Subject: Reversing gear, order of the plates
Models affected: RK-20, RK-24
Serial numbers: 10400 and up

Items 4 to 9 on page 18 of Overhaul Manual KM 310 are replaced by the following:

4. Soak the lined plates in oil for 30 minutes.
5. Stack the plates, a lined plate first.
6. Measure the clearance.
7. Fit the end plate.
8. Fit the ring.
9. Test with air at 4 bar.
""",
    "fields only": """
No.        TI 88-17
Date       12.04.1988
Re         Charge pump, sealing ring
Applies to RK-20 from serial number 5210

Sealing ring 210-44-1 has been superseded by 210-44-7. The new ring may be fitted to all units.
""",
    "letter": """
Ordway Drives, Technical Department
To all workshops
15 June 1996
Our ref. 96/22

We inform you that in Workshop Manual 5514, page 4-62, item 7, the value "12 Nm" should read "15 Nm".
Please amend your copy.
""",
    "shop note": """
SHOP NOTE 7
14 May 2011
KM 310, page 31: after item 5 add the following: Check the dowels for wear.
""",
    "circular with a whole procedure": """
TECHNICAL CIRCULAR TC 41
Issued: 2004-02-11     Supersedes: TC 33
Subject: New procedure for the brake pack
Units: KB100

Publication No. 4410, page 12 is to be disregarded. Work as follows:

1. Drain the oil.
2. Remove the cover.
3. Compress the spring with the press.
4. Take out the ring.
5. Take out the plates.
6. Clean all parts.
7. Soak the lined plates.
8. Stack the plates.
9. Fit the ring.
10. Release the press.
""",
    "information sheet": """
Kestle Brakes
Service Information 07-112
Kit 410-22 is no longer available. Use kit 410-30 instead of it.
""",
    "modification notice": """
MODIFICATION NOTICE           MN 230
Group: clutch                 Page 1 of 1
Models: A12, A14
Reason: wear of the splines
The drive plate 611-20 is replaced by 611-24 from unit 4401 onwards. Delete step 3.
""",
}
MANUALS = {
    "loose page with its number in the head": """
Manual No. 5514                                   Charge pump



Fitting the pump

1. Fit the rotor into the body.
2. Fit the vanes with the round edge outwards.
3. Fit the cover over the dowels.
4. Tighten the screws to 9 Nm.
5. Turn the shaft by hand.
6. Fill with oil and check the level.



                                                  4-62
""",
    "title page and steps": """
WERNOCK HYDRAULICS
Repair Instructions
Handbook for vane pump VP 30
Publication 1120E      Issue 2
\fStripping the pump

1. Drain the oil.
2. Undo the four screws.
3. Lift the cover.
4. Take out the vanes.

                                      3
\fBuilding the pump

1. Fit the rotor.
2. Fit the vanes.
3. Fit the cover.
4. Fill with oil.

                                      4
""",
}
SLIPS = {
    "packing slip": """
PACKING SLIP
Order 88123      Date 4 May 2010
Qty  Part No.   Description
2    210-44-1   Seal ring
6    210-44-2   Plain plate
""",
    "delivery note": """
Hollin Gear Works Ltd
Delivery Note 4471
Kit 410-30
1  Circlip
6  Plain plate
5  Lined plate
""",
}
OTHERS = {
    "letter on holidays": """
Dear all,
the workshop is closed from Friday on. We wish you good days and are back in January.
""",
    "price table": """
Oil 20 l      84.00
Oil 60 l      221.00
Grease 5 kg   61.50
""",
}


def laid(text):
    return lay_out(read_text(text.strip("\n").encode()))


@pytest.mark.parametrize("name", NOTES)
def test_bulletins_and_letters_are_notes(name):
    """Bulletins, circulars, letters and shop notes are notes, also where they print whole procedures."""
    assert kind_of(laid(NOTES[name])) == "note", read_kind(laid(NOTES[name]))


@pytest.mark.parametrize("name", MANUALS)
def test_books_and_loose_pages_of_them_are_manuals(name):
    """A page with a publication number and a count of steps is a manual, with or without a cover."""
    assert kind_of(laid(MANUALS[name])) == "manual", read_kind(laid(MANUALS[name]))


@pytest.mark.parametrize("name", SLIPS)
def test_papers_that_come_with_a_parcel_are_slips(name):
    """Packing slips and delivery notes are slips."""
    assert kind_of(laid(SLIPS[name])) == "slip", read_kind(laid(SLIPS[name]))


@pytest.mark.parametrize("name", OTHERS)
def test_what_is_none_of_these_is_other(name):
    """Without evidence nothing is claimed."""
    assert kind_of(laid(OTHERS[name])) == "other", read_kind(laid(OTHERS[name]))


def test_the_reasons_are_told():
    """The reading names what it rests on, most telling first."""
    reading = read_kind(laid(NOTES["bulletin with a replaced list"]))
    assert "SERVICE BULLETIN" in reading.reasons[0]


def test_nothing_is_other():
    """No pages are no document of any kind."""
    assert kind_of(()) == "other"


def test_a_note_that_refers_to_a_book_is_no_book() -> None:
    """A head field that names the handbook does not make a list of new steps a manual."""
    text = """
Hollin Hydraulics
No.: TI 92-08
Date: 18.02.1992
For: QK 110 from no. 37001
Refers to: Repair Handbook KR 2210 E
Metal gasket at the port plate

On page 22 operation 90 now reads: Lay the metal gasket dry.
"""
    assert kind_of(lay_out(read_text(text.encode()))) == "note"

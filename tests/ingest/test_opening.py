"""Heads completed from their opening lines: number, date, models of held manuals, serial ranges.

All heads are invented. What a head may look like is common practice, no source.
"""

import datetime as dt
import time

import pytest
from benchleaf.ingest.head.header import read_header
from benchleaf.ingest.head.knownmodels import is_run
from benchleaf.ingest.head.opening import Known, completed, known_models
from benchleaf.ingest.head.openingnumbers import is_number
from benchleaf.ingest.shapes import Header
from benchleaf.ingest.sheets.layout import lay_out
from benchleaf.ingest.sheets.pages import read_pages

KNOWN = Known(("KX 40", "KX 40L", "KX 63", "Vn 2", "Vn 2B"), ("RB 811",))
BODY = "\n\nThe lip of the seal was found turned over on several units that came back to us.\n"


def head(text: str, known: Known = KNOWN) -> Header:
    """The completed head of a note typed as plain text."""
    pages = lay_out(read_pages((text + BODY).encode(), "note.txt"))
    return completed(read_header(pages, "note.txt"), pages, "note.txt", known)


def bounds(header: Header) -> tuple[str | None, str | None]:
    return header.applies.serial_from, header.applies.serial_to


NUMBERS = {
    "CORRECTION SLIP CS-07\nto workshop book RB 811\n27 January 1999": "CS-07",
    "REVISION 77 / Vn 2 / 31 March 1993\nMOD 77": "MOD 77",
    "HALVORN WORKS ZB 03-05\nService Publications 2003-03-20": "ZB 03-05",
    "TELEX HALVORN GEAR WORKS 26 JAN 1990\nOUR REF ............. QL 90/1\nTO ALL AGENTS": "QL 90/1",
    "AMENDMENT LIST AMT 4\n18 June 1985": "AMT 4",
    "HALVORN - WORKS NOTICE VD/0612 - 19 DECEMBER 2006": "VD/0612",
    "From: R. Olm\nTo: all branches\nDate: 16 February 1988\nFile: WSM-219\nRe: shoulder screws": "WSM-219",
    "Sent: 29 March 2011 16:41\nSubject: [HL-2011-118] nut on the output shaft, KX 63": "HL-2011-118",
    "Knowledge base article GR-KB-2021-08\nPublished: 2021-03-22\nDocument: RB 811": "GR-KB-2021-08",
    "Halvorn Gear\nOur sign TI 95-06\nDate 12th June 1995": "TI 95-06",
}


@pytest.mark.parametrize(("text", "number"), NUMBERS.items())
def test_number_without_a_listed_label(text: str, number: str) -> None:
    """The number that stands out in the opening lines is the note's, without the words before it."""
    assert head(text).number == number


def test_number_taken_without_a_label_is_told() -> None:
    """A number that no label names goes with a finding that says so."""
    header = head("CORRECTION SLIP CS-07\n27 January 1999")
    assert any("CS-07" in f.message for f in header.findings)


STRANGE = {
    "a manual's number": "Halvorn Gear Works\nRB 811\n27 January 1999",
    "a model": "Halvorn Gear Works\nKX 63\n27 January 1999",
    "a page count": "Halvorn Gear Works\nP 1/1\n27 January 1999",
    "a part number": "Thrust washer K4512\nHalvorn Gear Works\n27 January 1999",
    "a part number behind its label": "Halvorn Gear Works\nPart No. 31-2204\n27 January 1999",
    "a date": "Halvorn Gear Works\n27 JANUARY 1999",
    "a phone number": "Halvorn Gear Works\nTel. 4711-220\n27 January 1999",
    "a fax number behind a town": "Halvorn Gear Works\nTelephone Oldbeck 218/44\n27 January 1999",
    "a torque": "Halvorn Gear Works\nTIGHTEN TO 40 Nm\n27 January 1999",
    "the note that it supersedes": "Halvorn Gear Works\nSupersedes AB 12/1\n27 January 1999",
    "a standard": "Halvorn Gear Works\nOil to ISO VG 46\n27 January 1999",
    "your reference": "Halvorn Gear Works\nYour ref. QM 17-3\n27 January 1999",
    "the number of a standard": "Halvorn Gear Works\nDIN 471/22\n27 January 1999",
    "a serial number": "Halvorn Gear Works\nSerial No. 6200\n27 January 1999",
}


@pytest.mark.parametrize(("what", "text"), STRANGE.items())
def test_other_numbers_are_never_the_note_s(what: str, text: str) -> None:
    """What is plainly something else's number is never taken as the note's."""
    assert head(text).number is None, what


def test_two_equal_candidates_give_none() -> None:
    """Of two numbers that stand out alike none is taken."""
    assert head("Halvorn Gear Works\nQA 17-3 / QB 44-1\n27 January 1999").number is None


def test_manual_s_number_behind_a_weak_label_is_dropped() -> None:
    """`Document: RB 811` names the manual; with nothing better the note has no number."""
    assert head("Halvorn Gear Works\nDocument: RB 811\n27 January 1999").number is None


def test_what_only_looks_like_a_number() -> None:
    """Page counts, held models and held manuals are no note numbers; any other may be."""
    assert not any(is_number(n, KNOWN) for n in ("P 1/1", "Sheet 2 of 3", "KX-63", "RB811"))
    assert is_number("QL 90/1", KNOWN)


def test_one_date_is_taken_and_of_two_none() -> None:
    """The one date of the opening lines is the note's; of two different ones none is."""
    assert head("MOD 77 / Vn 2 / 31 March 1993").date == dt.date(1993, 3, 31)
    two = head("CORRECTION SLIP CS-07\n31 March 1993 and 2 May 1994\n")
    assert two.date is None or two.unclear


MODELS = {
    "SLIP CS-07, 27 January 1999\nGearbox types KX 40 / KX 40L / KX 63": (
        "KX 40",
        "KX 40L",
        "KX 63",
    ),
    "Leaflet L.22, 17 February 1981\nVn 2 and Vn 2B gearboxes. Obsolete parts.": ("Vn 2", "Vn 2B"),
    "MOD 77 / KX 40/40L / 31 March 1993": ("KX 40", "KX 40L"),
    "Modification sheet MB-031\nDate 25 Feb. 2009\nPump type [x] KX 40 [ ] KX 40L [x] KX 63": (
        "KX 40",
        "KX 63",
    ),
    "SERVICE LETTER SL/86/1\n28 Jan. 1986\nUsed in: KX 63": ("KX 63",),
    "BULLETIN QB 12/1, 3 May 2001\nSubject: KX 40L and KX 63, serials 6120 and up": ("KX 40L", "KX 63"),
    "NO. QB 98/06    31 MARCH 1998\nTYPE KX 63       ALL NUMBERS": ("KX 63",),
    "AMENDMENT SHEET AS 4-2\nto workshop book RB 811, for KX 40 and KX 63\n15.04.1997": ("KX 40", "KX 63"),
}


@pytest.mark.parametrize(("text", "models"), MODELS.items())
def test_models_of_held_manuals(text: str, models: tuple[str, ...]) -> None:
    """Models that a held manual names are found in the opening lines, and only those that the head means."""
    header = head(text)
    assert header.applies.models == models
    assert not header.applies.excepted


@pytest.mark.parametrize("said", ["Models: all", "For all gearboxes"])
def test_all_units_are_not_narrowed_by_the_subject(said: str) -> None:
    """Where the head says `all`, a model that the subject names is not the limit."""
    header = head(f"BULLETIN QB 12/1, 3 May 2001\n{said}\nNew seal, as used in KX 63")
    assert header.applies.models == ()


def test_subject_adds_no_model_to_the_label() -> None:
    """A label that names a model is not added to from the subject."""
    header = head("BULLETIN QB 12/1, 3 May 2001\nModels: QZ 90\nSubject: seal as used in KX 63")
    assert header.applies.models == ("QZ 90",)


LIMITS = (
    "KX 63 up to 6100 and from 7000",
    "KX 40 from 6100, KX 63 from 7000",
    "KX 63 built 1998 to 2001",
)


@pytest.mark.parametrize("line", LIMITS)
def test_limits_that_one_range_cannot_hold_are_doubts(line: str) -> None:
    """Two ranges, a range for each model and building dates without a label leave a doubt."""
    header = head(f"Halvorn Gear\nBulletin No. 12 of 3 May 2001\n{line}")
    assert bounds(header) == (None, None)
    assert header.applies.unclear


def test_speed_is_no_serial_number() -> None:
    """`KX 63 gearboxes 2400 rpm` gives a speed."""
    assert bounds(head("Bulletin No. 12 of 3 May 2001\nKX 63 gearboxes 2400 rpm")) == (None, None)


def test_labelled_model_of_no_held_manual_is_kept() -> None:
    """A shop need not hold every manual: a model behind its label stays beside a held one."""
    header = head("BULLETIN QB 12/1, 3 May 2001\nModels: KX 40, QZ 90")
    assert set(header.applies.models) == {"KX 40", "QZ 90"}


def test_model_left_out_is_no_model() -> None:
    """`All types except KX 40L` names no KX 40L."""
    header = head("MOD 77 / 31 March 1993\nKX 40 and KX 63 gearboxes, except KX 40L")
    assert header.applies.models == ("KX 40", "KX 63")
    assert header.applies.excepted == ("KX 40L",)


def test_model_denied_is_no_model() -> None:
    """A line that says what is not concerned names no unit."""
    assert head("MOD 77 / 31 March 1993\nThe KX 63 is not affected.").applies.models == ()


def test_models_in_a_letter_s_first_sentence() -> None:
    """A letter names its units in its first sentence; a doubt goes with them where others follow."""
    first = "Several shops with a KX 40 or a KX 63 on the bench have written to us.\n"
    letter = f"SERVICE LETTER SL/86/1\n28 Jan. 1986\nGentlemen,\n\n{first}"
    assert head(letter).applies.models == ("KX 40", "KX 63")
    more = head(letter + "\nOn the Vn 2 the washer stays as it was and need not be changed at all.\n")
    assert more.applies.models == ("KX 40", "KX 63")
    assert any("names others too" in u for u in more.applies.unclear)


def test_false_models_are_dropped() -> None:
    """A bound, a manual's number and bare figures are no models."""
    header = head(
        "BULLETIN QB 12/1\nIssued 3 May 2001\nGearboxes: KX 40 and KX 63\n"
        "From number 7001\nTo number 7400\nBook RB 811"
    )
    assert header.applies.models == ("KX 40", "KX 63")
    assert bounds(header) == ("7001", "7400")


RANGES = {
    "MOD 77 / KX 63 / 31 March 1993 / gearboxes 6200 to 6555": ("6200", "6555"),
    "BULLETIN QB 12/1, 3 May 2001\nKX 63\nNumbers : 3055 - 3190 incl.": ("3055", "3190"),
    "FAX MESSAGE\nOur No. FX 60-92 / 27th August 1992 / KX 63 Nos. 6001 to 6100": ("6001", "6100"),
    "BULLETIN QB 12/1, 3 May 2001\nKX 63 from gearbox number 37001": ("37001", None),
    "BULLETIN QB 12/1, 3 May 2001\nKX 63, No. 6200 onwards": ("6200", None),
    "BULLETIN QB 12/1, 3 May 2001\nModels: KX 63\nSerial: 46000 and successive": ("46000", None),
    "BULLETIN QB 12/1, 3 May 2001\nValidity: KX 63 up to and including pump number 79999.": (None, "79999"),
    "BULLETIN QB 12/1, 3 May 2001\nType KX 63\nFrom brake no. 60125\nTo brake no. 61840": ("60125", "61840"),
    "BULLETIN QB 12/1, 3 May 2001\nMotor: KX 63, Fabr.-Nr. 2400 bis 3099": ("2400", "3099"),
    "BULLETIN QB 12/1, 3 May 2001\nKX 63, all numbers": (None, None),
    "BULLETIN QB 12/1, 3 May 2001\nFor: KX 63\nBrakes: No. 99200 and all later ones": ("99200", None),
}


@pytest.mark.parametrize(("text", "wanted"), RANGES.items())
def test_serial_ranges_of_the_opening_lines(text: str, wanted: tuple[str | None, str | None]) -> None:
    """A range that the opening lines give is read, and no doubt about the same numbers stays."""
    header = head(text)
    assert bounds(header) == wanted
    assert header.applies.models == ("KX 63",)
    assert not header.applies.unclear


def test_range_of_the_text_alone_is_a_doubt() -> None:
    """A range that only running text gives may hold for a part of the note: it stays a doubt."""
    header = head(
        "SERVICE LETTER SL/84/6\n15 May 1984\n\n"
        "From winch number 3151 the KX 63 has the pump of the new factory.\n"
    )
    assert bounds(header) == ("3151", None)
    assert header.applies.unclear


def test_note_s_own_number_is_no_range() -> None:
    """`Serial QC 7/87` may be the label of the note's number; it bounds no units."""
    header = head("HALVORN SERVICE CIRCULAR\nSerial     QC 7/87\nDate       14.4.87\nGearbox    KX 63, all")
    assert bounds(header) == (None, None)


def test_known_models_in_other_words() -> None:
    """Models are found however they are parted, and go on without their first letters."""
    assert known_models("Units Vn 2, 2B and KX-63", KNOWN.models) == ("Vn 2", "Vn 2B", "KX 63")
    assert known_models("KX40/40L", KNOWN.models) == ("KX 40", "KX 40L")
    assert known_models("kx 63", KNOWN.models) == ("KX 63",)


@pytest.mark.parametrize("text", ["KX 631", "AKX 63", "KX 63-B", "KX 63 B", "KX 6", "63", "40 pieces", ""])
def test_longer_names_and_bare_figures_are_other_models(text: str) -> None:
    """A longer name is another model, and a figure alone is none."""
    assert known_models(text, KNOWN.models) == ()


def test_longest_model_wins() -> None:
    """`KX 40 L` is the KX 40L and not the KX 40 too."""
    assert known_models("KX 40 L", KNOWN.models) == ("KX 40L",)


def test_figure_as_a_model_needs_its_noun() -> None:
    """A model that is a bare figure is found only behind a word that says so."""
    assert known_models("11 bolts, 11 May", ("11",)) == ()
    assert known_models("Type 11", ("11",)) == ("11",)


def test_run_of_models() -> None:
    """`KX 40 to KX 63` names a run by its ends: a doubt, for what lies between is not said."""
    assert is_run("KX 40 to KX 63", KNOWN.models)
    assert not is_run("KX 40 and KX 63", KNOWN.models)
    assert head("MOD 77 / 31 March 1993\nKX 40 to KX 63 gearboxes").applies.unclear


def test_no_text_at_all_changes_nothing() -> None:
    """A head without a page stays as it is."""
    header = read_header((), "note.txt")
    assert completed(header, (), "note.txt", KNOWN) == header


@pytest.mark.parametrize(
    "text", ["KX 40, " * 900, "A" * 6000, "[x] " * 1500, "A 1-" * 1500, "from to " * 800]
)
def test_hostile_lines_take_no_time(text: str) -> None:
    """Lines of several thousand characters are read in well under a second."""
    begun = time.perf_counter()
    head(text)
    assert time.perf_counter() - begun < 2.0


@pytest.mark.parametrize("line", ("M 12/40", "M12x1.5", "M 10 x 30", "G 1/4"))
def test_thread_alone_on_a_line_is_no_number(line: str) -> None:
    """The size of a thread on a line of its own, cut off from a list of screws, names no note."""
    assert head(f"HALVORN GEAR WORKS\n27 January 1999\n{line}").number is None


def test_number_like_a_thread_behind_a_label() -> None:
    """A label makes even `M 12/40` a note's number."""
    assert head("HALVORN GEAR WORKS\nBulletin No.: M 12/40\n27 January 1999").number == "M 12/40"


def test_number_of_a_fax_message() -> None:
    """`Fax No. 118/95` numbers the message; behind a telephone line's figures it does not."""
    top = "TELEFAX\nTo: All agents\nDate: 7 September 1995\n"
    assert head(top + "Fax No.: 118/95").number == "118/95"
    assert head(top + "Fax No.: 0420 38811").number is None


def test_sentence_in_capitals_names_no_units() -> None:
    """In a telex `PUMP GEAR SET … IS NO LONGER SUPPLIED` is a sentence, not the field `Pump`."""
    telex = (
        "SERVICE TELEX ST 69-04\n21 MARCH 1969\nKX 40 GEARS, SERIAL 402 AND ONWARDS\n\n"
        "PUMP GEAR SET 31.4407 IS NO LONGER SUPPLIED. ORDER 31.4482."
    )
    found = head(telex)
    assert (found.applies.models, bounds(found)) == (("KX 40",), ("402", None))


def test_range_of_one_statement_is_not_the_notes() -> None:
    """A range that only a later sentence gives limits that sentence; the note gets a doubt and no range."""
    text = (
        "E-97/46\n20 Nov 1997\nKX 40, KX 40L\n\nTwo things came out of the meeting of Monday with agents.\n\n"
        "For gears from serial number 9120 onwards, breather 31.7005 has become 31.7025."
    )
    found = head(text)
    assert bounds(found) == (None, None)
    assert any("9120" in u for u in found.unclear)


def test_a_letter_behind_a_label_is_not_a_misread_label() -> None:
    """`Bulletin N 97-02`: on a scanned sheet too the N belongs to the number."""
    from benchleaf.ingest.head.ocrlabels import nearest

    labels = {"bulletin no": "number", "models": "models"}
    assert nearest("bulletin n", labels) is None
    assert nearest("bulletln no", labels) == "number" and nearest("modcls", labels) == "models"


def test_two_sentences_in_a_line_are_running_text() -> None:
    """A line in which one sentence ends and another begins is no head, though its own end breaks off."""
    from benchleaf.ingest.head.opening import opening
    from benchleaf.ingest.sheets.layout import lay_out
    from benchleaf.ingest.sheets.text import read_text

    said = "Plate Q41 does not replace plate Q40. It looks alike but belongs to the\nwinch brake."
    text = f"TL 14 / 12 March 1999\n\n{said}\n"
    assert [line.text for line in opening(lay_out(read_text(text.encode()))[0])] == ["TL 14 / 12 March 1999"]

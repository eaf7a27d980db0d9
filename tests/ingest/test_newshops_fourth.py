"""Shops that letter their paragraphs and write in an older hand. All makers, numbers and words are invented;
the ways of writing are common practice, no source. The wordings themselves are proved in the phrase book."""

import pytest
from benchleaf.graph.model import Box, Contents, Item, Override, Supersession
from benchleaf.graph.shortening import strikes_sentence, without_sentence
from benchleaf.ingest.phrases.columnsides import side_told
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.phrasebook import load
from benchleaf.ingest.phrases.references import read_reference
from benchleaf.ingest.phrases.statements import read_statements
from benchleaf.ingest.phrases.tabular import columns
from benchleaf.ingest.shapes import Cell, Table


def read(said):
    """The statements of a note with these words, refused ones left out."""
    found = read_statements(header_of(said), "note.txt").statements
    return [s for s in found if s.standing != "refused"]


@pytest.mark.parametrize(
    ("words", "page", "items"),
    [
        ("paragraph (f), page K6", "K6", ("f",)),
        ("page K6, paragraph f: fit it", "K6", ("f",)),
        ("paragraphs (c) to (e) on page 12", "12", ("c", "d", "e")),
        ("steps c, d and f of page 12", "12", ("c", "d", "f")),
        ("para. c), page 12", "12", ("c",)),
        ("step 6(a) and (b) on page 7", "7", ("6(a)", "6(b)")),
        ("paragraph (b) of step 3, page 7", "7", ("3(b)",)),
        ("clause 4 on page 7", "7", ("4",)),
    ],
)
def test_steps_are_named_by_letters(words, page, items):
    """A letter in brackets, or one that a page follows, names a step; a run names all of its letters."""
    found = read_reference(words)
    assert found is not None
    assert (found.page, found.items) == (page, items)


@pytest.mark.parametrize(
    "words",
    ["as in paragraph (b) above", "paragraph (c) of this letter", "in step a mark is put", "step a, b"],
)
def test_letters_that_name_no_step_of_a_manual(words):
    """A paragraph of the note itself, and the article "a", are no steps."""
    found = read_reference(words)
    assert found is None or not found.items


@pytest.mark.parametrize(
    ("said", "action"),
    [
        ("For paragraph (f), page K3 of HB 35, substitute:\n\nFit two shims.", "replace"),
        ("Page K3 of HB 35, paragraph (f), now runs: “Fit two shims.”", "replace"),
        ("Kindly gum the following over paragraph (f) on page K3 of HB 35: “Fit two shims.”", "replace"),
        (
            "Following paragraph (f), page K3 of HB 35, a further paragraph is introduced: “Fit two shims.”",
            "insert-after",
        ),
        ("Write in after paragraph (f), page K3 of HB 35: “Fit two shims.”", "insert-after"),
        ("Paragraph (f) on page K3 of HB 35 is rescinded.", "delete"),
        ("Paragraph (f) on page K3 of HB 35: amend 8.0 bar to 8.3 bar.", "change-value"),
        (
            "Paragraph (f), page K3 of HB 35, is to be understood with 31 litres in the place of 27 litres.",
            "change-value",
        ),
    ],
)
def test_changes_of_lettered_paragraphs_are_settled(said, action):
    """What is said of a lettered paragraph is read as of a numbered step."""
    [one] = read(said)
    assert isinstance(one, Override)
    assert (one.action, one.target.page, one.target.item, one.standing) == (action, "K3", "f", "settled")


@pytest.mark.parametrize(
    "said",
    [
        "Paragraph (f) on page K3 of HB 35 is not rescinded.",
        "Is paragraph (f) on page K3 of HB 35 rescinded?",
        "A dealer wrote that paragraph (f) on page K3 of HB 35 might well be deleted.",
        "In circular 12 we wrote: “For paragraph (f), page K3 of HB 35, substitute: Fit two shims.”",
        "A slip was pasted in: “Page K3, paragraph (f): for 7.0 bar read 7.5 bar.” It is not applied.",
        "Paragraph (f), page K3 of HB 35, is again to be followed in its printed form.",
        "Please destroy any KV 3031 with a red lip, which may have left the works by mistake.",
        "The seal KV 3031 has not been absorbed by KV 3060.",
        "Kit KV 8800 has not been enlarged to two paper joints and six washers.",
    ],
)
def test_what_is_denied_asked_reported_or_quoted_states_nothing(said):
    """No statement comes of a denial, a question, a dealer's wish, a quotation, or a part told by looks."""
    assert read(said) == []


def test_part_of_a_step_is_never_settled_as_the_whole_step():
    """ "Paragraph (b) of step 3 is deleted" strikes out no more than its part, so it is a doubt."""
    [one] = read("Paragraph (b) of step 3, page 7 of HB 35, is deleted.")
    assert (one.target.item, one.standing) == ("3(b)", "doubtful")


def test_where_formerly_is_no_condition():
    """ "…, where formerly there were four" tells the contents before; "where fitted" is a condition still."""
    [one] = read(
        "Set KV 8800 now has in it two joints and six washers, where formerly there were four joints."
    )
    assert isinstance(one, Contents)
    assert one.standing == "settled"
    assert [(li.description, li.quantity) for li in one.previous] == [("joint", 4)]
    [one] = read("Set KV 8800 contains two joints and six washers, where fitted.")
    assert one.standing == "doubtful"


@pytest.mark.parametrize(
    "said",
    [
        "The seal KV 3031 has been absorbed by KV 3060.",
        "The seal KV 3031 has yielded to KV 3060.",
        "Set KV 3031 is struck from the price list. Orders for it are executed with set KV 3060.",
    ],
)
def test_older_words_for_a_supersession(said):
    """A number that was absorbed, that yielded, or whose orders are executed with another, is superseded."""
    [one] = read(said)
    assert isinstance(one, Supersession)
    assert (one.old, one.new, one.standing) == (("KV 3031",), ("KV 3060",), "settled")


@pytest.mark.parametrize(
    ("heads", "old", "new"),
    [
        ("Discontinued|Supplied instead|Part", 0, 1),
        ("Now|Formerly", 1, 0),
        ("Number ordered|Number supplied", 0, 1),
        ("In its stead|No longer made", 1, 0),
        ("Part no. now|Part no. formerly", 1, 0),
        ("Old no.|Interchangeable|New no.", 0, 2),
    ],
)
def test_heads_tell_the_old_number_and_the_new(heads, old, new):
    """Which column holds the old numbers is told by the heads, in whatever order they stand."""
    box = Box(0, 0, 1, 1)
    rows = tuple(
        tuple(Cell(c, box) for c in r) for r in (heads.split("|"), ["KV 3012", "KV 3018", "KV 3019"])
    )
    found = columns(load(), Table(1, box, rows, True))
    assert found is not None
    assert (found.kind, found.at["old"], found.at["new"]) == ("supersession", old, new)


@pytest.mark.parametrize("head", ["instead of", "as a substitute for", "no longer tight", "number of parts"])
def test_heads_that_tell_no_side(head):
    """Words that only look like a side's head are not taken for one."""
    assert side_told(head) is None


STEP = "Fit the seats dry. Use one washer under each plug. Tighten the plugs to 95 Nm."


@pytest.mark.parametrize(
    ("which", "text", "left", "doubt"),
    [
        ("second", STEP, "Fit the seats dry. Tighten the plugs to 95 Nm.", ""),
        ("last", STEP, "Fit the seats dry. Use one washer under each plug.", ""),
        ("fourth", STEP, None, "has no fourth sentence"),
        ("first", "Fit the seats dry.", None, "has no first sentence"),
        ("second", "Set it as in fig. Two. Turn it once.", None, "cannot be told"),
    ],
)
def test_step_is_left_without_the_sentence_struck_out(which, text, left, doubt):
    """The new words are the step's own without the sentence; where its sentences are unclear, a doubt."""
    [one] = read(f"Kindly strike out the {which} sentence of step 3 on page 27 of HB 35.")
    assert strikes_sentence(one)
    assert (one.action, one.target.item, one.text, one.standing) == ("replace", "3", None, "settled")
    item = Item("3", text, "27", 1)
    words, why = without_sentence(one, item, ())
    assert words == left
    assert doubt in " ".join(why)


def test_sentence_of_a_step_already_changed_is_a_doubt():
    """Where an earlier note gave the step other words, what the striking leaves is not guessed."""
    [one] = read("Kindly strike out the second sentence of step 3 on page 27 of HB 35.")
    item = Item("3", STEP, "27", 1)
    assert without_sentence(one, item, ("11 Nm",))[0] is None


@pytest.mark.parametrize(
    "said",
    [
        "Omit the second sentence of step 6 on page 7 of HB 35 and replace it by “Fit two shims.”",
        "Omit the second sentence of step 6 on page 7 of HB 35. Write in its place: “Fit two shims.”",
        "Omit the second sentence of steps 6 and 7 on page 7 of HB 35.",
        "Omit the second and third sentences of step 6 on page 7 of HB 35.",
        "Omit the second sentence of the note at step 6 on page 7 of HB 35.",
    ],
)
def test_more_or_other_than_one_sentence_is_never_settled(said):
    """New words for a sentence, several sentences or steps, and a notice's sentence are for a person."""
    assert all(s.standing == "doubtful" for s in read(said))

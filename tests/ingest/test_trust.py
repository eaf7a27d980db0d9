"""Trust: what is denied, asked, supposed, planned, rumoured, or said in passing settles nothing.

All sentences are invented; that notes of the trade speak so is common practice, no source.
"""

import pytest
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.statements import read_statements

CORES = (
    "kit 318 604 22 is replaced by kit 318 604 57",
    "item 3 on page 26 of workshop manual HB 350 is deleted",
    "in item 5 on page 12 of workshop manual HB 350 the torque 40 Nm is changed to 45 Nm",
    "bulletin XB 3/97 is cancelled",
)
FRAMES = {
    "denied": (
        "It is not true that {}.",
        "It is not so that {}.",
        "Nowhere have we written that {}.",
        "Nobody at the works has decided that {}.",
        "This does not mean that {}.",
        "We never said that {}.",
        "It would be wrong to conclude that {}.",
        "Contrary to what some think: {} – that is false.",
        "There is no question of it that {}.",
        "Nor is it the case that {}.",
        "It isn’t the case that {}.",
    ),
    "negated later": (
        "That {} is untrue.",
        "That {} is not correct.",
        "That {} has never been the case.",
        "The statement that {} is false.",
        "The remark that {} must be ignored; it is not so.",
        "The claim that {} is without foundation.",
        "“{}” is what it said, but that is not so.",
        "The sentence “{}” never appeared in any paper of ours.",
    ),
    "open question": (
        "Is it so that {}?",
        "Did you know whether {}?",
        "Who says that {}?",
        "We do not know whether {}.",
        "It remains open whether {}.",
        "He wants to know whether {}.",
        "Does anybody know if {}?",
        "Should it be that {}?",
        "Question: is it right that {}?",
        "WHY: does it follow that {}?",
    ),
    "condition": (
        "If the cover is of cast iron, {}.",
        "Unless stated otherwise on the card, {}.",
        "Provided that the pump has two stages, {}.",
        "Only where a brake is fitted {}.",
        "In case of noise {}.",
        "Until new stock arrives {}.",
        "Should the clearance be too small, {}.",
        "When the shaft shows wear, {}.",
        "As long as the old tool is used, {}.",
        "On condition that the engineer agrees, {}.",
        "Subject to approval {}.",
    ),
    "to be checked": (
        "Check that {}.",
        "Make sure that {}.",
        "Verify whether {}.",
        "Please confirm that {}.",
        "Ascertain whether {}.",
        "See to it that {}.",
        "Make certain that {}.",
    ),
    "possible": (
        "It may be that {}.",
        "Perhaps {}.",
        "Possibly {}.",
        "It could be that {}.",
        "Presumably {}.",
        "Maybe {}.",
        "It might turn out that {}.",
        "Provisionally {}.",
        "As a trial {}.",
        "It is likely that {}.",
    ),
    "future": (
        "It is planned that {}.",
        "It is proposed that {}.",
        "It is under consideration that {}.",
        "In due course it will be decided that {}.",
        "We intend it so that {}.",
        "It is expected that {}.",
        "The next edition will say that {}.",
        "In a forthcoming edition {}.",
        "From next spring it will be so that {}.",
        "A bulletin is in preparation, in which {}.",
    ),
    "hearsay": (
        "Customers reported that {}.",
        "A dealer told us that {}.",
        "It has been suggested that {}.",
        "There is a rumour that {}.",
        "It is being said that {}.",
        "A fitter claims that {}.",
        "Somebody believes that {}.",
        "We heard that {}.",
        "Some workshops think that {}.",
        "According to dealers {}.",
        "The story goes that {}.",
    ),
    "in error": (
        "Our last letter stated in error that {}.",
        "By mistake it was printed that {}.",
        "An old list says erroneously that {}.",
        "It was inadvertently announced that {}.",
        "The slip says wrongly that {}.",
        "Mistakenly a circular announced that {}.",
        "Somebody has noted in error on the card that {}.",
    ),
    "example": (
        "For instance, a note may say: {}.",
        "An example of such a note: {}.",
        "A typical entry would be, for example: {}.",
        "Sample text: {}.",
        "The form is filled in like this example: {}.",
        "If a bulletin says, for instance, that {}, enter it in the list.",
        "Wordings such as: {}.",
    ),
}
PAIRS = [(name, frame.format(core)) for name, frames in FRAMES.items() for frame in frames for core in CORES]
ONE_BY_ONE = (
    "318 604 57 does not replace 318 604 22.",
    "318 604 57 must not be fitted in place of 318 604 22.",
    "318 604 57 must on no account be used instead of 318 604 22.",
    "Kit 318 604 57 is no replacement for kit 318 604 22.",
    "Kit 318 604 22 has not been superseded by kit 318 604 57, although the two look alike.",
    "Neither kit 318 604 57 nor kit 318 604 58 replaces kit 318 604 22.",
    "Kit 318 604 57 replaces nothing; kit 318 604 22 stays in the list.",
    "Instead of being replaced by 318 604 57, 318 604 22 was made stronger.",
    "Nothing has come in place of 318 604 22, least of all 318 604 57.",
    "318 604 22 and 318 604 57 differ by one figure.",
    "Item 3 on page 26 of HB 350 is not deleted.",
    "Item 3 on page 26 of HB 350 must not be left out.",
    "Do not delete item 3 on page 26 of HB 350.",
    "Never omit item 3 on page 26 of HB 350.",
    "Item 3 on page 26 of HB 350 remains unchanged.",
    "Item 3 on page 26 of HB 350 is still valid.",
    "Item 3 on page 26 of HB 350 is correct as printed.",
    "See item 3 on page 26 of HB 350.",
    "See also HB 350, page 26, item 3: oil the ring.",
    "Refer to item 3 on page 26 of HB 350 before you add oil.",
    "Compare HB 350, page 26, item 3, where the value is 40 Nm and not 45 Nm.",
    "The ring is oiled as described in item 3 on page 26 of HB 350.",
    "After item 3 on page 26 of HB 350 the shaft is turned by hand.",
    "Before item 3 on page 26 of HB 350 is begun the bench must be clean.",
    "Page 26 of HB 350 shows the new ring in place of the old.",
    "Whether item 3 on page 26 of HB 350 was carried out must be stated in the claim.",
    "Does kit 318 604 57 replace kit 318 604 22?",
    "Item 3 on page 26 of HB 350: deleted?",
    "Is item 3 on page 26 of HB 350 to be deleted? No.",
    "Has the torque in item 5 on page 12 of HB 350 been changed from 40 Nm to 45 Nm?",
    "Why is kit 318 604 22 replaced by kit 318 604 57?",
    "You asked whether kit 318 604 57 replaces kit 318 604 22.",
    "Another wants to know if kit 318 604 22 was ever replaced by kit 318 604 57.",
    "The handbook of another maker says that its item 3 is deleted.",
    "The translation of item 3 on page 26 of HB 350 may be wrong; it is being checked.",
    "Footnote: in the French edition item 3 on page 26 of HB 350 was omitted by mistake.",
    "Nobody knows of a bulletin by which kit 318 604 22 is replaced by kit 318 604 57.",
    "It had once been planned to replace kit 318 604 22 by kit 318 604 57; the plan was given up.",
    "We were going to delete item 3 on page 26 of HB 350, but the trials went badly.",
    "At one time it was intended to cancel bulletin XB 3/97.",
    "Bulletin XB 3/97 has not been cancelled.",
    "Bulletin XB 3/97 is still valid.",
    "Who has cancelled bulletin XB 3/97?",
    "The torque in item 5 on page 12 of HB 350 is not to be changed from 40 Nm to 45 Nm.",
    "If item 3 on page 26 of HB 350 read “Oil the ring”, nobody would do it.",
    "Would kit 318 604 57 replace kit 318 604 22, the shop could use up its stock.",
    "Had item 3 on page 26 of HB 350 been deleted, we should have told you.",
    "A reader thinks that in item 5 on page 12 of HB 350 40 Nm should read 45 Nm.",
)


def settled(text: str) -> list[str]:
    """What a text settles, as reading stands before anything held is asked."""
    return [s.quote for s in read_statements(header_of(text), "note").statements if s.standing == "settled"]


@pytest.mark.parametrize("core", CORES)
def test_the_bare_statement_is_settled(core: str) -> None:
    """Said plainly, each of the statements is settled: so what keeps it from being so below is the frame."""
    assert settled(f"{core[0].upper()}{core[1:]}.")


@pytest.mark.parametrize("name", FRAMES)
def test_there_are_enough_sentences(name: str) -> None:
    """Each guard is tried with at least 25 sentences."""
    assert sum(n == name for n, _ in PAIRS) >= 25


@pytest.mark.parametrize(("name", "text"), PAIRS, ids=[f"{n}-{i}" for i, (n, _) in enumerate(PAIRS)])
def test_framed_statement_is_not_settled(name: str, text: str) -> None:
    """A statement that is denied, asked, supposed, planned, rumoured or an example settles nothing."""
    assert not settled(text), f"{name}: {text}"


@pytest.mark.parametrize("text", ONE_BY_ONE)
def test_treacherous_sentence_is_not_settled(text: str) -> None:
    """A sentence that only sounds like a change settles nothing."""
    assert not settled(text)


@pytest.mark.parametrize("core", CORES)
def test_heading_in_question_form_is_not_settled(core: str) -> None:
    """A heading that asks is no statement, whatever stands below it."""
    assert not settled(f"{core[0].upper()}{core[1:]}?\n\nNo.")

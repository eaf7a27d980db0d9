"""Wordings of the trade, read from text to statement. All texts are invented; wordings are common
practice, no source."""

import re
from pathlib import Path

import pytest
from benchleaf.graph.model import Cancels, Contents, KitLine, Override, Statement, Supersession, Withdrawn
from benchleaf.ingest.phrases.examples import header_of
from benchleaf.ingest.phrases.phrasebook import load
from benchleaf.ingest.phrases.statements import read_statements

TOLD = (Path(__file__).parent / "wordings.txt").read_text(encoding="utf-8").splitlines()
WORDINGS = [
    tuple(part.strip() for part in line.rsplit("|", 1))
    for line in TOLD
    if line.strip() and not line.startswith("#")
]
PLAIN = [text.replace("\\n", "\n") for text, wants in WORDINGS if wants != "-" and "?" not in wants]
PLAIN += [e.say for p in load().phrases for e in p.yes if not {"doubt", "refused"} & {k for k, _ in e.wants}]


def told(statement: Statement) -> str:
    if isinstance(statement, Supersession):
        relation = "" if statement.relation == "one" else f" {statement.relation}"
        return f"S {','.join(sorted(statement.old))}>{','.join(sorted(statement.new))}{relation}"
    if isinstance(statement, Override):
        target = statement.target
        action = "change" if statement.action == "change-value" else statement.action
        words = f"{statement.was}->{statement.now}" if action == "change" else statement.text or ""
        return f"O {action} {target.publication} {target.page} {target.item} {words}".strip()
    if isinstance(statement, Contents):
        return f"C {statement.kit} {','.join(map(line, statement.lines))}"
    if isinstance(statement, Cancels):
        return f"X {statement.cancels}"
    assert isinstance(statement, Withdrawn)
    return f"W {statement.part}"


def line(one: KitLine) -> str:
    return f"{'AR' if one.quantity is None else one.quantity} {one.description}"


@pytest.mark.parametrize(("text", "wants"), WORDINGS, ids=[text[:60] for text, _ in WORDINGS])
def test_wording(text: str, wants: str) -> None:
    """Each wording gives just what it states; a text that states nothing settles nothing."""
    found = [
        s
        for s in read_statements(header_of(text.replace("\\n", "\n")), "note").statements
        if s.standing != "refused"
    ]
    if wants == "-":
        assert [told(s) for s in found if s.standing == "settled"] == []
        return
    wanted = wants.split(";")
    assert sorted(told(s) for s in found) == sorted(w.lstrip("?") for w in wanted)
    if not any(w.startswith("?") for w in wanted):
        assert all(s.standing == "settled" for s in found), [s.why for s in found]


AUXILIARY = re.compile(r"\b(?:is|are|was|were|has|have|must|should|may|can|will|shall)\b(?! not| no )")
VERBS = {
    "replaces": "replace",
    "supersedes": "supersede",
    "contains": "contain",
    "cancels": "cancel",
    "reads": "read",
    "comprises": "comprise",
    "becomes": "become",
    "takes": "take",
    "consists": "consist",
    "revises": "revise",
}
VERB = re.compile(rf"\b(?:{'|'.join(VERBS)})\b")
ORDER = re.compile(
    r"^(?:Please )?(?:Delete|Omit|Use|Order|Fit|Replace|Change|Add|Insert|Strike|Leave|Ignore"
    r"|Cancel|Amend|Alter|Correct|Update|Remove)\b"
)


def lowered(text: str) -> str:
    return text[0].lower() + text[1:] if text[1:2].islower() else text


def one_sentence(text: str) -> bool:
    """The spoilt word must stand in the sentence that states something."""
    return (
        "\n" not in text
        and ";" not in text.split(":")[0]
        and not re.search(r"[.;] (?=[A-Z“\"])", text.split(":")[0])
    )


OPENINGS = (
    "It is not true that",
    "If the shaft is worn,",
    "Some workshops reported that",
    "It has been suggested that",
    "It is planned that",
    "Perhaps",
    "It was announced in error that",
    "Should the shaft be worn,",
    "We are considering whether",
)
SINGLE = [t for t in PLAIN if one_sentence(t)]


@pytest.mark.parametrize("opening", OPENINGS)
def test_guarded_opening_settles_nothing(opening: str) -> None:
    """No sentence is settled behind words that deny it, suppose it, plan it or hand it on as hearsay."""
    for text in SINGLE:
        found = read_statements(header_of(f"{opening} {lowered(text)}"), "note").statements
        assert [told(s) for s in found if s.standing == "settled"] == [], text


def test_denied_verb_settles_nothing() -> None:
    """ "has been replaced" and "replaces" settle nothing once a "not" stands at the verb."""
    for text in SINGLE:
        head = text.split(":")[0]
        spoilt = []
        if AUXILIARY.search(head):
            spoilt.append(AUXILIARY.sub(lambda m: f"{m.group()} not", text, count=1))
        if VERB.search(head):
            spoilt.append(VERB.sub(lambda m: f"does not {VERBS[m.group()]}", text, count=1))
        order = ORDER.search(text)
        if order:
            spoilt.append(f"Do not {lowered(order.group().removeprefix('Please '))}{text[order.end() :]}")
        for one in spoilt:
            found = read_statements(header_of(one), "note").statements
            assert [told(s) for s in found if s.standing == "settled"] == [], one


def test_question_settles_nothing() -> None:
    """No sentence that ends in a question mark is settled."""
    for text in SINGLE:
        if ":" in text or text.rstrip().count(".") > 1:
            continue
        found = read_statements(header_of(f"{text.rstrip('.')}?"), "note").statements
        assert [told(s) for s in found if s.standing == "settled"] == [], text


def test_condition_at_the_end_settles_nothing() -> None:
    """A sentence that goes on "unless …" is not settled."""
    for text in SINGLE:
        if ":" in text or "." in text.rstrip(".").replace("no.", "") or text.endswith('"'):
            continue
        found = read_statements(header_of(f"{text.rstrip('.')} unless the shaft is worn."), "note").statements
        assert [told(s) for s in found if s.standing == "settled"] == [], text

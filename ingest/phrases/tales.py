"""What was found or done on some unit, and is no instruction: "Both had been tightened to 90 Nm, the figure
on page 26 of the other manual".

How reports of damage are told is common practice, no source.
"""

import re

from benchleaf.ingest.phrases.matches import Match
from benchleaf.ingest.phrases.passages import Passage
from benchleaf.ingest.phrases.sentences import sentence_at

_DONE = re.compile(
    r"\b(?:had (?:evidently |obviously |wrongly |all |both |also )?been"
    r"|(?:was|were) found (?:to (?:be|have been) )?"
    r"|(?:had|has) (?:evidently |obviously |apparently )?"
    r"(?:used|taken|set|tightened|adjusted|applied|read|followed))\b",
    re.IGNORECASE,
)


def tells_of_others(passage: Passage, match: Match) -> bool:
    """True for a value in a sentence that tells what somebody had done before, with no value it replaces."""
    sentence = sentence_at(passage.sentences, match.start)
    return _DONE.search(passage.folded[sentence.start : match.end]) is not None

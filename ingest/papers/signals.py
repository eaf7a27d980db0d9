"""Notices: a signal word in capitals beside its text."""

import re
from collections.abc import Sequence

from benchleaf.ingest.papers.blocks import Text, words_of

_SIGNAL = re.compile(r"[A-ZÀ-Ý]{4,24}(?: [A-ZÀ-Ý]{3,24})?[ !]{0,3}:?")


def is_notice(cells: Sequence[Text]) -> bool:
    """True for two cells, the first a signal word such as CAUTION, the second longer."""
    texts = [words_of(c) for c in cells]
    return len(texts) == 2 and _SIGNAL.fullmatch(texts[0]) is not None and len(texts[1]) > len(texts[0])

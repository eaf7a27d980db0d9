"""What the shop chose to read pictures with."""

import os
from typing import cast, get_args

from benchleaf.graph.errors import WrongUse
from benchleaf.ingest.scan.engines import EngineChoice

OCR_VARIABLE = "BENCHLEAF_OCR"


def engine_chosen() -> EngineChoice:
    """What the shop chose to read pictures with, by the variable BENCHLEAF_OCR; `auto` if nothing.

    Raises WrongUse for a name that is not known.
    """
    chosen = os.environ.get(OCR_VARIABLE, "auto").strip().lower() or "auto"
    if chosen not in get_args(EngineChoice):
        known = ", ".join(get_args(EngineChoice))
        raise WrongUse(f"{OCR_VARIABLE} is “{chosen}”, which is not known.", f"Set it to one of: {known}.")
    return cast(EngineChoice, chosen)

"""Imported once, before workers are forked: what every reading needs is then there from the start."""

import gc

import benchleaf.ingest.document  # noqa: F401 - imported for its sake
from benchleaf.ingest.phrases.phrasebook import load

load()
gc.collect()
gc.freeze()  # what is shared with the workers stays shared

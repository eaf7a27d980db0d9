"""What holds for every test: the collector looks at a test's own objects, not at the whole suite's."""

import gc
from itertools import count

import pytest

_COLLECT_EVERY = 500
_ended = count(1)


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Late in the suite one full collection takes over half a second of processor time, and would fall into
    whichever timed test happens to run."""
    gc.freeze()


def pytest_runtest_teardown(item: pytest.Item) -> None:
    gc.unfreeze()
    if next(_ended) % _COLLECT_EVERY == 0:
        gc.collect()

"""Commands that write, on a disk that refuses; the whole search is the script shortage.py."""

import os
import sys

import pytest

pytestmark = pytest.mark.skipif(
    not hasattr(os, "fork") or sys.platform == "darwin", reason="limits and rights of Linux are used"
)


@pytest.fixture(scope="module")
def found() -> dict[str, list[str]]:
    import shortage

    counts = shortage.main(["--small"])
    assert counts["limits, permissions, folders"]["tried"] == 10 * len(shortage.limits(small=True))
    return {name: list(part["found"]) for name, part in counts.items()}


def test_a_disk_that_refuses_is_told_with_a_remedy(found: dict[str, list[str]]) -> None:
    """`add`, `settle`, `job`, `kit`, `note`, `backup`, `sheet --out` and `week --csv` under a limit on file
    sizes, on a full disk, in a folder that may not be written or entered, and one that goes away: done, or
    one message with a remedy and status 1 or 2; the store whole, and a store that may only be read answers
    as before; an earlier sheet or report of the same name stays whole."""
    assert [f for faults in found.values() for f in faults] == []

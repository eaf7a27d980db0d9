"""The examples in the store's docstrings hold."""

import doctest
import importlib

import pytest


@pytest.mark.parametrize("name", ["keys", "mentions", "db.near", "places", "db.search"])
def test_examples_hold(name: str) -> None:
    """Every example in the module's docstrings gives what it says, and there is at least one."""
    result = doctest.testmod(importlib.import_module(f"benchleaf.graph.{name}"))
    assert result.attempted > 0
    assert result.failed == 0

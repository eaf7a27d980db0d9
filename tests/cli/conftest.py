from collections.abc import Callable
from pathlib import Path

import pytest
from benchleaf.cli.main import benchleaf
from click.testing import CliRunner, Result
from small_store import build

Run = Callable[..., Result]


@pytest.fixture(scope="session")
def held(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store that no test may change."""
    return build(tmp_path_factory.mktemp("held") / "store")


@pytest.fixture
def fresh(tmp_path: Path) -> Path:
    """A store that a test may change."""
    return build(tmp_path / "store")


@pytest.fixture
def run(held: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run benchleaf in this process on a store (the unchanging one unless `store` is given), 80 wide."""
    for name in ("BENCHLEAF_STORE", "BENCHLEAF_INITIALS", "BENCHLEAF_TRACE", "COLUMNS", "NO_COLOR"):
        monkeypatch.delenv(name, raising=False)

    def call(*words: str, store: Path | None = None, env: dict[str, str] | None = None) -> Result:
        surroundings = {"BENCHLEAF_STORE": str(store or held), **(env or {})}
        return CliRunner().invoke(benchleaf, list(words), env=surroundings)

    return call

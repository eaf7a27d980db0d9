"""The holds on a job's kits are judged once, whether or not it has a procedure."""

from pathlib import Path

import pytest
from benchleaf.graph.jobs.job import About
from benchleaf.graph.jobs.procedure import job_procedure
from benchleaf.graph.jobs.work import Told, open_job
from benchleaf.graph.kits import holding
from benchleaf.graph.kits.received import parse_got
from benchleaf.graph.store import Store
from drawn_sheets import AT, DAY


@pytest.mark.parametrize("steps", [True, False])
def test_each_hold_is_judged_once(steps: bool, fresh: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Judging a hold is judging a kit, the dearest of all questions: one arrival, one judgement; a job of
    which no procedure is known has its hold all the same."""
    judged = []
    judge = holding.kit_answer

    def counting(*asked, **how):
        judged.append(asked[1])
        return judge(*asked, **how)

    with Store.open(fresh, write=True) as store, store.transaction():
        if steps:
            told = Told(model="VR 30", kits=("7751-1",), about=(About(page="4-12"),))
            open_job(store, "2611", told, "AB", AT)
        else:
            store.open_job("2611", None, None, ("7751-1",), DAY)
        came = parse_got("6 friction disc, 4 steel disc")
        store.set_hold("7751-1", "one steel disc short", AT, came)
        job = store.job_or_stop("2611")
    monkeypatch.setattr(holding, "kit_answer", counting)
    with Store.open(fresh) as store:
        found = job_procedure(store, job, DAY)
    assert bool(found.steps) == steps
    assert [h.kit for h in found.holds] == ["7751-1"]
    assert judged == ["7751-1"]

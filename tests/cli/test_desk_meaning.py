"""The desk's search box knows the units in work: by the number of the job, and by the unit's serial."""

from pathlib import Path

import pytest
from benchleaf.graph.jobs.work import Told, build_job, open_job, ship_job
from benchleaf.graph.store import Store
from desk_visit import Visit, visit
from drawn_sheets import AT


@pytest.fixture
def desk(fresh: Path) -> Visit:
    """Unit 5300 came twice: shipped as 2611, back as 2640; 2612 is another unit."""
    with Store.open(fresh, write=True) as store, store.transaction():
        for number, serial in (("2611", "5300"), ("J-2612", "5188")):
            open_job(store, number, Told(model="VR 30", serial=serial), "AB", AT)
        build_job(store, "2611", "AB", AT)
        ship_job(store, "2611", "AB", AT)
        open_job(store, "2640", Told(model="VR 30", serial="5300"), "AB", AT)
    return visit(fresh)


@pytest.mark.parametrize("asked", ["2640", "job 2640", "Job: 2640", " 26 40 "])
def test_a_job_s_number_leads_to_it(desk: Visit, asked: str) -> None:
    """Whatever stands around the number, the one job meant opens at once."""
    answer = desk.get("/", query_string={"q": asked})
    assert (answer.status_code, answer.headers.get("Location")) == (302, "/job/2640")


@pytest.mark.parametrize("asked", ["j2612", "5188", "serial 5188", "S/N 5188"])
def test_a_serial_leads_to_its_only_job(desk: Visit, asked: str) -> None:
    """The number on the unit's plate is as good as the job's."""
    assert desk.get("/", query_string={"q": asked}).headers.get("Location") == "/job/J-2612"


def test_a_unit_that_came_twice_is_offered_twice(desk: Visit) -> None:
    """Both jobs are offered, each with its state, and none is taken."""
    page = desk.get("/", query_string={"q": "5300"})
    assert page.status_code == 200
    assert "job 2611, VR 30 serial 5300: shipped 2026-11-24" in page.text
    assert "job 2640, VR 30 serial 5300: opened 2026-11-24" in page.text


def test_a_number_near_a_job_s_is_offered_and_not_taken(desk: Visit) -> None:
    """One typing error away: offered under its kind."""
    page = desk.get("/", query_string={"q": "job 2641"})
    assert page.status_code == 200
    assert 'href="/job/2640">job 2640</a>' in page.text


def test_words_that_are_no_number_lead_to_no_job(desk: Visit) -> None:
    """The word job alone is searched for like any other."""
    page = desk.get("/", query_string={"q": "job"})
    assert page.status_code == 200 and "/job/" not in page.text

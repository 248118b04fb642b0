"""A pack of reports is printed once, site by site, and handed to whom it concerns."""

from datetime import timedelta
from pathlib import Path

import pytest

from maintenance.engine.errors import EngineError
from maintenance.models import Site, TestRecord
from maintenance.services.backflow.drafts import begin_correction
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.jobs.ask import cancel_job
from maintenance.services.jobs.hourly import clear_by_the_hour
from maintenance.services.jobs.pack_files import KEPT, clear_packs, pack_folder
from maintenance.services.jobs.packs import open_pack, pack_is_there
from maintenance.services.jobs.print_reports import printer
from maintenance.services.jobs.queries import jobs
from tests.services.backflow.field_tests import LATER, SITE, signed
from tests.services.jobs.many_sites import NOW
from tests.services.jobs.report_packs import (
    PERIOD,
    Press,
    ask,
    keep_tested,
    make_pack,
    work,
)


@pytest.fixture(autouse=True)
def data(settings, tmp_path: Path) -> Path:
    settings.DATA_DIR = tmp_path
    return tmp_path


def files(data):
    return sorted(path for path in data.glob("packs/**/*") if path.is_file())


def test_every_report_of_the_period_is_a_file_and_a_site_may_have_none(owner, data):
    keep_tested(owner, "B1", "B2")
    job = make_pack(owner)
    assert (job.state, job.done, job.total) == ("done", 2, 2)
    assert job.result["counts"] == {
        "reports printed": 2,
        "sites with nothing to print": 1,
    }
    pack = open_pack(owner, job=job.pk)
    assert [(line["link"], line["serial"]) for line, _file in pack.rows] == [
        ("B1", "OR-101"),
        ("B2", "OR-102"),
    ]
    for line, file in pack.rows:
        assert file
        assert file.read_text().startswith(f"%PDF {line['serial']} Orchard Row A4 ")
    assert len(files(data)) == 3  # two reports and the index


def test_files_and_folders_are_for_their_owner_alone(owner, data):
    keep_tested(owner, "B1")
    job = make_pack(owner)
    assert pack_folder(job.pk) == data / "packs" / str(job.pk)
    folders = [data / "packs", pack_folder(job.pk), files(data)[0].parent]
    assert {path.stat().st_mode & 0o777 for path in folders} == {0o700}
    assert {path.stat().st_mode & 0o777 for path in files(data)} == {0o600}


def test_only_tests_of_the_period_are_in_it_the_days_at_its_ends_too(owner):
    keep_tested(owner, "B1")
    day = str(TestRecord.objects.get().tested_on)
    assert make_pack(owner, first=day, last=day).result["counts"]["reports printed"]
    for first, last in (("2026-01-01", "2026-04-14"), ("2026-04-16", "2026-12-31")):
        job = make_pack(owner, first=first, last=last)
        assert job.result["counts"] == {"sites with nothing to print": 2}
        with pytest.raises(ServiceError, match="No report of this period"):
            open_pack(owner, job=job.pk)


def test_a_correction_and_what_it_replaced_are_both_in_it(owner):
    keep_tested(owner, "B1")
    first = TestRecord.objects.get()
    draft = begin_correction(owner, record_id=first.pk, now=LATER, actor="Ada")
    signed(owner, draft_id=draft, now=LATER)
    pack = open_pack(owner, job=make_pack(owner).pk)
    told = [(line["number"], line["corrected_by"]) for line, _file in pack.rows]
    assert told == [(1, 2), (2, None)]


def test_reports_of_a_site_that_was_taken_out_are_in_it(owner):
    keep_tested(owner, "B1")
    Site.objects.filter(key=SITE).update(retired_at=NOW)
    assert make_pack(owner).result["counts"]["reports printed"] == 1


def test_a_piece_done_twice_leaves_the_same_files_and_prints_nothing_again(owner, data):
    keep_tested(owner, "B1", "B2")
    press = Press()
    prepare = printer(render=press)
    asked = PERIOD | {"job": 7}
    one, two = (prepare(owner, asked, [SITE], NOW) for _time in range(2))
    assert one() == two()
    assert press.printed == ["OR-101", "OR-102"]
    assert len(files(data)) == 3


def test_a_worker_that_was_stopped_is_followed_by_one_that_goes_on(owner, data):
    keep_tested(owner, "B1", "B2")
    number = ask(owner)
    with pytest.raises(SystemExit):
        work(Press(OR_102=SystemExit()))
    assert [path.suffix for path in files(data)] == [".pdf"]
    press = Press()
    while work(press):
        pass
    assert press.printed == ["OR-102"]
    assert len(open_pack(owner, job=number).rows) == 2


def test_a_file_that_was_not_written_whole_has_no_name(owner, data, monkeypatch):
    keep_tested(owner, "B1")

    def full(_number):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    job = make_pack(owner)
    assert files(data) == []
    assert job.result["counts"]["refused"] == 1
    (said,) = job.result["said"]
    assert said.startswith(f"{SITE}: ")
    assert "No space left on device): make room there" in said


def test_a_report_that_cannot_be_made_is_told_and_the_others_go_on(owner, caplog):
    keep_tested(owner, "B1", "B2")
    job = make_pack(owner, Press(OR_101=RuntimeError("seam")))
    assert job.result["counts"]["reports printed"] == 1
    assert job.result["counts"]["reports refused"] == 1
    (said,) = job.result["said"]
    assert said.startswith(f"{SITE}: The report of test 1 of B1 could not be made")
    assert "seam" in caplog.text
    pack = open_pack(owner, job=job.pk)
    assert [file is None for _line, file in pack.rows] == [True, False]
    assert pack.said == [said]


def test_where_no_pdf_can_be_made_each_site_says_so(owner):
    keep_tested(owner, "B1")
    job = make_pack(owner, Press(OR_101=EngineError("nothing prints here")))
    assert (job.state, job.result["said"]) == ("done", [f"{SITE}: nothing prints here"])
    with pytest.raises(ServiceError, match="No report of this period"):
        open_pack(owner, job=job.pk)


def test_a_pack_called_off_is_refused_and_its_files_go(owner, data):
    keep_tested(owner, "B1")
    number = ask(owner)
    with pytest.raises(ServiceError, match="not ready yet"):
        open_pack(owner, job=number)
    assert work()
    assert clear_packs(now=NOW) == 0
    cancel_job(owner, job=number, now=NOW)
    with pytest.raises(ServiceError, match="never finished"):
        open_pack(owner, job=number)
    assert not pack_is_there(jobs(owner)[0])
    assert clear_packs(now=NOW) == 1
    assert files(data) == []


def test_what_an_overtaken_worker_writes_late_goes_with_the_next_hour(owner, data):
    keep_tested(owner, "B1")
    number = ask(owner)

    class Late(Press):
        def __call__(self, *about):
            cancel_job(owner, job=number, now=NOW)
            clear_packs(now=NOW)
            return super().__call__(*about)

    assert work(Late())
    assert len(files(data)) == 2
    assert clear_packs(now=NOW) == 1
    assert files(data) == []


def test_a_pack_is_kept_for_thirty_days_and_other_folders_stay(owner, data):
    keep_tested(owner, "B1")
    job = make_pack(owner)
    (data / "packs" / "mine").mkdir()
    assert clear_packs(now=NOW + KEPT) == 0
    assert pack_is_there(jobs(owner)[0])
    assert clear_packs(now=NOW + KEPT + timedelta(seconds=1)) == 1
    assert not pack_is_there(jobs(owner)[0])
    assert [each.name for each in (data / "packs").iterdir()] == ["mine"]
    with pytest.raises(ServiceError, match="not in the data folder any more"):
        open_pack(owner, job=job.pk)


def test_the_schedule_clears_once_an_hour(owner):
    keep_tested(owner, "B1")
    for _time in range(2):
        make_pack(owner)
    late = NOW + KEPT + timedelta(days=1)
    assert clear_by_the_hour(now=late) == 2
    make_pack(owner)
    assert clear_by_the_hour(now=late) == 0


def test_a_pack_that_lacks_one_file_is_not_handed_out(owner, data):
    keep_tested(owner, "B1", "B2")
    job = make_pack(owner)
    next(path for path in files(data) if path.suffix == ".pdf").unlink()
    with pytest.raises(ServiceError, match="ask for it again"):
        open_pack(owner, job=job.pk)


def test_old_files_under_the_same_number_are_not_taken_in(owner, data):
    """As after the database was begun anew beside an old data folder."""
    keep_tested(owner, "B1")
    old = make_pack(owner)
    job = ask(owner, first="2020-01-01", last="2020-12-31")
    pack_folder(old.pk).rename(pack_folder(job))
    while work():
        pass
    with pytest.raises(ServiceError, match="No report of this period"):
        open_pack(owner, job=job)
    assert not any(path.name == "index.json" for path in files(data))


def test_nobody_else_gets_it_nor_one_who_sees_some_sites_only(
    owner, colleague, stranger
):
    keep_tested(owner, "B1")
    job = make_pack(owner)
    assert open_pack(colleague, job=job.pk).rows
    colleague.site_keys = frozenset({SITE})
    for reader in (stranger, colleague):
        with pytest.raises(NotFoundError):
            open_pack(reader, job=job.pk)


def test_asked_twice_it_is_one_pack_and_another_period_has_to_wait(owner):
    keep_tested(owner, "B1")
    assert ask(owner) == ask(owner)
    with pytest.raises(ConflictError, match="other choices"):
        ask(owner, first="2025-01-01")

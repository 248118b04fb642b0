"""The demonstration's tests go away with it; a person's own records stay."""

from datetime import date

from maintenance.models import (
    AssemblyEvent,
    AssemblyFacts,
    AssemblyPhoto,
    Device,
    ReportFiled,
    TestChain,
    TestDraft,
    TestRecord,
)
from maintenance.services.backflow.drafts import begin_correction, begin_test
from maintenance.services.backflow.filing import record_filed
from maintenance.services.backflow.verify import verify_records
from maintenance.services.inventory.demo import remove_demo
from tests.services.backflow.field_tests import LATER, MORNING, keep_site, signed

KEEPS_HISTORY = (AssemblyEvent, AssemblyFacts, AssemblyPhoto, ReportFiled, TestDraft)


def counts():
    tables = [(t.objects.count(), t.history.count()) for t in KEEPS_HISTORY]
    return tables, TestRecord.objects.count(), TestChain.objects.count()


def test_all_that_was_tried_out_goes_and_the_own_chain_stays_whole(office):
    own = signed(office)
    record_filed(
        office,
        record_id=own.pk,
        filed_on=date(2026, 4, 16),
        to="water office",
        now=LATER,
        actor="Ada",
    )
    before = counts()
    keep_site(office, "demo-row", demo=True)
    draft_id = begin_test(
        office, site_key="demo-row", link="B1", now=MORNING, actor="Ada"
    )
    record = signed(office, draft_id=draft_id)
    record_filed(
        office,
        record_id=record.pk,
        filed_on=date(2026, 4, 16),
        to="water office",
        now=LATER,
        actor="Ada",
    )
    begin_correction(office, record_id=record.pk, now=LATER, actor="Ada")
    device = Device.objects.get(site__key="demo-row", link__key="B1")
    AssemblyFacts.objects.create(device=device, hazard="high")
    AssemblyEvent.objects.create(
        device=device, kind="installed", on=date(2026, 3, 1), reported_at=MORNING
    )
    AssemblyPhoto.objects.create(device=device, file_name="x.jpg", added_at=MORNING)
    assert remove_demo(office) == ("demo-row",)
    assert counts() == before
    assert verify_records().findings == []

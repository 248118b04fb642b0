"""Calibrations of gauges and certificates of testers, by the days on which they end."""

from datetime import datetime

from maintenance.engine.reminding.reconcile import Found
from maintenance.models import Account, Gauge, Tester
from maintenance.services.reminders.sources.looked import Looked, office_zone


def look(account: Account, *, now: datetime) -> Looked:
    """Find what of an account's kit runs out."""
    looked = Looked(("gauge_calibration", "certificate_renewal"))
    zone = office_zone(account)
    for gauge in Gauge.objects.for_account(account).standing():
        if gauge.ends is None:
            continue
        looked.found.append(
            Found(
                kind="gauge_calibration",
                about=f"gauge:{gauge.pk}",
                due_on=gauge.ends,
                what=f"Calibrate the test gauge {gauge}",
                why=f"Its calibration{_from(gauge.calibrated)} ends on {gauge.ends}.",
                zone=zone,
                last_done_on=gauge.calibrated,
            )
        )
    for tester in Tester.objects.for_account(account).standing():
        if tester.ends is None:
            continue
        named = f" {tester.certificate}" if tester.certificate else ""
        looked.found.append(
            Found(
                kind="certificate_renewal",
                about=f"tester:{tester.pk}",
                due_on=tester.ends,
                what=f"Renew the certificate of {tester.name}",
                why=f"Certificate{named}{_from(tester.issued)} ends on {tester.ends}.",
                zone=zone,
                last_done_on=tester.issued,
            )
        )
    return looked


def _from(day: object) -> str:
    return f" of {day}" if day else ""

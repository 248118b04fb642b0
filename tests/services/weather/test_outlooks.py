"""Outlooks: the same as the engine's, kept whole, levels held between forecasts."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from maintenance.engine.climate.part_dates import dates_of_sites, site_dates
from maintenance.engine.climate.site_outlook import site_outlook
from maintenance.models import KeptDates, PartAlert, SiteOutlook
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.queries import site
from maintenance.services.inventory.store import store_site
from maintenance.services.weather.forecasts import keep_forecast
from maintenance.services.weather.observations import observe_night
from maintenance.services.weather.outlooks import keep_outlook, outlook_of
from maintenance.services.weather.queries import outlook_lines
from maintenance.services.weather.refresh import refresh_outlooks
from maintenance.services.weather.site_weather import (
    Stated,
    attach_station,
    state_offset,
    state_terms,
)
from tests.services.inventory.files import card_file, read, rich_file
from tests.services.weather.skies import (
    HOUR,
    NOW,
    SITE,
    champion,
    degf,
    forecast,
    keep_champion,
    keep_site,
)

B1 = "B1"


def give(account, low_degf, at=NOW):
    keep_forecast(account, site_key=SITE, forecast=forecast(low_degf, now=at), now=at)
    return keep_outlook(account, site_key=SITE, now=at).found


def level_of(found, part=B1):
    return next(each.alert.level for each in found.parts if each.part.part == part)


def test_the_outlook_is_that_of_the_engine(owner):
    keep_site(owner)
    keep_champion(owner)
    kept = give(owner, 30.0)
    whole = site(owner, key=SITE)
    alone = site_outlook(
        whole,
        NOW,
        date(2026, 10, 5),
        dates=site_dates(whole, champion()),
        forecast=forecast(30.0),
    )
    assert [each.alert for each in kept.parts] == [each.alert for each in alone.parts]
    assert [each.dates for each in kept.parts] == [each.dates for each in alone.parts]
    assert [e.tonight for e in kept.parts] == [e.tonight for e in alone.parts]
    assert kept.advice == alone.advice


def test_a_page_keeps_nothing(owner):
    keep_site(owner)
    keep_champion(owner)
    found = outlook_of(owner, site_key=SITE, now=NOW)
    assert found.found.dates is not None
    assert not KeptDates.objects.exists()
    assert not SiteOutlook.objects.exists()
    assert not PartAlert.objects.exists()


def test_dates_are_worked_out_once_and_anew_after_a_change(owner, monkeypatch):
    keep_site(owner)
    keep_champion(owner)
    worked = []

    def counted(*args, **options):
        worked.append(args)
        return dates_of_sites(*args, **options)

    monkeypatch.setattr("maintenance.services.weather.basis.dates_of_sites", counted)
    first = keep_outlook(owner, site_key=SITE, now=NOW).found
    again = keep_outlook(owner, site_key=SITE, now=NOW).found
    assert len(worked) == 1
    assert again.parts == first.parts
    state_offset(owner, site_key=SITE, offset_k=-2.0, now=NOW, actor="Robin")
    colder = keep_outlook(owner, site_key=SITE, now=NOW).found
    assert len(worked) == 2
    before, after = first.parts[0].dates, colder.parts[0].dates
    assert before is not None
    assert after is not None
    assert (after.days[10] or 0) < (before.days[10] or 0)
    store_site(read(rich_file() | {"name": "Other"}), account=owner, now=NOW)
    keep_outlook(owner, site_key=SITE, now=NOW)
    assert len(worked) == 3


def test_the_ground_is_followed_once_for_all_sites_of_a_station(owner, monkeypatch):
    keep_site(owner)
    keep_champion(owner)
    store_site(read(card_file()), account=owner, now=NOW)
    attach_station(
        owner, site_key="card", station_key="CHAMPION", now=NOW, actor="Robin"
    )
    worked = []

    def counted(sites, *args, **options):
        worked.append(len(sites))
        return dates_of_sites(sites, *args, **options)

    monkeypatch.setattr("maintenance.services.weather.basis.dates_of_sites", counted)
    *_, done = refresh_outlooks(owner, ask=None, now=NOW, jitter=0.0)
    assert (done.sites, worked) == (2, [2])
    for key in (SITE, "card"):
        alone = site_dates(site(owner, key=key), champion())
        kept = outlook_of(owner, site_key=key, now=NOW).found.dates
        assert kept is not None
        assert replace(kept, record=alone.record) == alone


def test_a_level_falls_only_after_two_forecasts_in_a_row(owner):
    keep_site(owner)
    assert level_of(give(owner, 12.0)) == 4
    mild = NOW + HOUR
    assert level_of(give(owner, 60.0, mild)) == 4
    # The same forecast looked at again is no second one.
    for _ in range(3):
        again = keep_outlook(owner, site_key=SITE, now=mild)
        assert level_of(again.found) == 4
    assert level_of(give(owner, 60.0, mild + HOUR)) == 0
    assert level_of(give(owner, 60.0, mild + 2 * HOUR)) == 0
    assert not PartAlert.objects.exists()


def test_a_level_rises_at_once(owner):
    keep_site(owner)
    assert level_of(give(owner, 60.0)) == 0
    assert level_of(give(owner, 12.0, NOW + HOUR)) == 4


def test_a_level_held_is_seen_on_the_page_too(owner):
    keep_site(owner)
    give(owner, 12.0)
    give(owner, 60.0, NOW + HOUR)
    seen = outlook_of(owner, site_key=SITE, now=NOW + 1.5 * HOUR)
    assert level_of(seen.found) == 4


def test_without_anything_known_the_outlook_says_so(owner):
    keep_site(owner)
    found = keep_outlook(owner, site_key=SITE, now=NOW).found
    assert found.advice.act == "none"
    row = SiteOutlook.objects.get()
    assert (row.chance, row.planning_date, row.first_ice_at) == (None, None, None)


def test_what_is_kept_of_an_outlook_tells_the_worst(owner):
    keep_site(owner)
    keep_champion(owner)
    found = give(owner, 26.0)
    row = SiteOutlook.objects.get()
    assert row.level == max(each.alert.level for each in found.parts)
    assert row.level >= 3
    assert NOW < (row.first_ice_at or NOW) < NOW + 24 * HOUR
    assert 0.5 < (row.chance or 0.0) <= 1.0
    planned = row.planning_date or date.max
    assert date(2026, 9, 1) < planned < date(2026, 10, 15)


def test_what_a_person_states_decides(owner):
    keep_site(owner)
    careful = Stated(crew_days=4, worth=(1.0, 5000.0, 0.0))
    state_terms(owner, site_key=SITE, stated=careful, now=NOW, actor="Robin")
    terms = keep_outlook(owner, site_key=SITE, now=NOW).found.terms
    assert (terms.crew_days, terms.assumed) == (4, ())
    assert terms.act_at == pytest.approx(1.0 / 5000.0)


def test_sixty_observed_nights_replace_the_defaults(owner):
    keep_site(owner)
    for day in range(61):
        at = NOW + timedelta(days=day)
        keep_forecast(owner, site_key=SITE, forecast=forecast(40.0, now=at), now=at)
    end = NOW + timedelta(days=61)
    before = outlook_of(owner, site_key=SITE, now=end).found.errors
    for day in range(1, 61):
        seen = (NOW + timedelta(days=day)).date()
        colder = degf(38.0 if day % 2 else 36.0)
        observe_night(
            owner, site_key=SITE, day=seen, minimum_k=colder, now=end, actor="Robin"
        )
    errors = outlook_of(owner, site_key=SITE, now=end).found.errors
    assert not any(before.learnt)
    assert errors.learnt[0]
    assert errors.nights[0] == 60
    assert errors.bias_k[0] == pytest.approx(3.0 / 1.8, abs=0.05)
    # Fewer nights were forecast as far ahead: those leads keep the default.
    assert not errors.learnt[6]


def test_another_account_finds_nothing(owner, stranger):
    keep_site(owner)
    for work in (outlook_of, keep_outlook):
        with pytest.raises(NotFoundError):
            work(stranger, site_key=SITE, now=NOW)
    assert outlook_lines(stranger) == []


def test_sites_stand_by_exposure_and_unknown_ones_last(owner):
    keep_site(owner)
    store_site(read(card_file()), account=owner, now=NOW)
    cold = read(rich_file() | {"id": "cold", "name": "Zz cold"})
    store_site(cold, account=owner, now=NOW)
    give(owner, 60.0)
    keep_forecast(owner, site_key="cold", forecast=forecast(12.0), now=NOW)
    keep_outlook(owner, site_key="cold", now=NOW)
    lines = outlook_lines(owner)
    assert [line.key for line in lines] == ["cold", SITE, "card"]
    assert lines[2].outlook is None

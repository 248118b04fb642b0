"""The frost depth of a site comes from its station and goes to the map of water."""

import pytest

from maintenance.engine.climate.frost_depths import UNCERTAINTY
from maintenance.models import KeptDates
from maintenance.services.weather.frost_depth import frost_depth_of
from maintenance.services.weather.outlooks import keep_outlook
from tests.services.weather.skies import NOW, SITE, keep_champion, keep_site


def test_without_a_station_no_depth_is_known(owner):
    keep_site(owner)
    keep_outlook(owner, site_key=SITE, now=NOW)
    assert frost_depth_of(owner, site_key=SITE) is None


def test_the_deepest_cover_of_one_winter_in_ten_counts_and_what_it_may_be_off(owner):
    keep_site(owner)
    keep_champion(owner)
    dates = keep_outlook(owner, site_key=SITE, now=NOW).found.dates
    found = frost_depth_of(owner, site_key=SITE)
    assert dates is not None
    assert found is not None
    deepest = {cover: sorted(depths) for cover, depths in dates.deepest_m.items()}
    assert found.frost.cover == "bare"
    assert deepest["bare"][-6] < found.reached_m < deepest["bare"][-1]
    assert found.reached_m > deepest["turf"][-4]
    assert found.depth_m == pytest.approx(found.reached_m * (1.0 + UNCERTAINTY))
    assert "Champion" in found.told("us")
    assert " m" in found.told("si") or " cm" in found.told("si")


def test_another_account_finds_none(owner, stranger):
    keep_site(owner)
    keep_champion(owner)
    keep_outlook(owner, site_key=SITE, now=NOW)
    assert frost_depth_of(stranger, site_key=SITE) is None


def test_dates_of_another_version_are_passed_over(owner):
    keep_site(owner)
    keep_champion(owner)
    keep_outlook(owner, site_key=SITE, now=NOW)
    kept = KeptDates.objects.get()
    kept.dates = {"format": "site_dates/0"}
    kept.save()
    assert frost_depth_of(owner, site_key=SITE) is None
    assert keep_outlook(owner, site_key=SITE, now=NOW).found.dates is not None

"""The freeze outlook of a site: the answer first, every figure with its method."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from maintenance.models import ForecastNight, ObservedNight
from maintenance.models.sites import Site
from maintenance.services.accounts import local_account
from maintenance.services.weather.outlooks import outlook_of
from maintenance.services.weather.site_weather import (
    Stated,
    state_offset,
    state_terms,
)
from tests.web.conftest import text_of
from tests.web.freeze_sites import (
    NOW,
    TO_THE_COLD_NIGHT,
    attach,
    dates_once,
    keep_champion,
    weathered,
)

KEY = "larkmoor"
CARD = "cinder-walk-9"
At = Callable[[datetime], None]


def address(key: str = KEY) -> str:
    return reverse("freeze_outlook", args=[key])


@pytest.fixture
def at(monkeypatch: pytest.MonkeyPatch) -> At:
    """Set the clock of the page; it stands at NOW until then."""
    monkeypatch.setattr("maintenance.services.weather.basis.dates_of_sites", dates_once)

    def set_clock(now: datetime) -> None:
        monkeypatch.setattr("maintenance.web.views.freeze.timezone.now", lambda: now)

    set_clock(NOW)
    return set_clock


@pytest.fixture
def cold(estate: Client, at: At) -> Client:
    """Larkmoor on the day of its first damaging night."""
    weathered(local_account(), KEY, skip=TO_THE_COLD_NIGHT)
    return estate


@pytest.fixture
def mild(estate: Client, at: At) -> Client:
    """Larkmoor two days before."""
    weathered(local_account(), KEY)
    return estate


def headings(answer: Any) -> list[str]:
    return re.findall(r"<h2>([^<]+)</h2>", answer.content.decode())


def test_the_site_leads_to_its_outlook_and_the_strip_to_all(estate: Client) -> None:
    body = estate.get(reverse("site", args=[KEY])).content.decode()
    assert f'<a href="{address()}">Freeze outlook</a>' in body
    assert f'<a href="{reverse("freeze_office")}">Frost</a>' in body


def test_the_page_reads_from_the_answer_down(mild: Client) -> None:
    answer = mild.get(address())
    assert answer.status_code == 200
    text = text_of(answer)
    found = outlook_of(local_account(), site_key=KEY, now=NOW).found
    assert f"act Shut the site down by Wed 7 Oct 2026. {found.advice.reason}" in text
    assert headings(answer) == [
        "What freezes first",
        "Tonight: the next 24 hours",
        "The odds by date",
        "The days ahead by the forecast",
        "What waiting costs",
        "What it rests on",
        "What to look at",
        "Notes",
    ]
    assert "worked out 5 Oct 2026, 12:30" in text
    assert not re.search(r"\b(safe|proved|certified|compliant)\b", text)


def test_every_part_is_named_and_groups_fold_their_members(mild: Client) -> None:
    text = text_of(mild.get(address()))
    found = outlook_of(local_account(), site_key=KEY, now=NOW).found
    assert len(found.parts) > 200
    for each in found.parts:
        assert re.search(rf"\b{re.escape(each.part.part)}\b", text), each.part.part
    assert "29 zone valves" in text


def test_each_figure_opens_its_method_which_stands_once_among_the_notes(
    mild: Client,
) -> None:
    body = mild.get(address()).content.decode()
    doors = re.findall(r'(?s)<details class="door">.*?</details>', body)
    assert len(doors) > 60
    notes = body[body.index("<h2>Notes</h2>") :]
    numbers = len(re.findall(r"<li><strong>", notes))
    for door in doors:
        assert re.search(r'(?s)<div class="working">\s*<p>[^<]{20,}', door)
        number = re.search(r"<sup>(\d+)</sup>", door)
        assert number
        assert 1 <= int(number[1]) <= numbers


def test_a_cold_night_names_the_parts_and_leads_to_the_card(cold: Client) -> None:
    answer = cold.get(address())
    text, body = text_of(answer), answer.content.decode()
    assert "damage possible tonight" in text
    assert "Ice within a day in" in text
    assert "B1" in text[: text.index("Caution")]
    card = reverse("season_start", args=[KEY, "frost_night"])
    assert f'<a class="button" href="{card}">Frost-night card</a>' in body
    assert reverse("water_left", args=[KEY]) in body


def test_the_chart_has_its_table_and_todays_line(mild: Client) -> None:
    body = mild.get(address()).content.decode()
    assert '<svg xmlns="http://www.w3.org/2000/svg"' in body
    assert "today, Mon 5 Oct" in body
    assert (
        "<td>small bare parts above ground (7)</td><td>26 Sep 2026 ± 3 d</td>" in body
    )


def test_station_offset_and_height_are_shown_and_never_silent(mild: Client) -> None:
    text = text_of(mild.get(address()))
    assert "none stated: hollows and hill tops differ" in text
    assert "Champion" in text
    assert "1 Jan 1982 to 31 Dec 2018, 36 seasons count" in text
    assert re.search(r"the site lies [\d,]+ ft above it", text)
    state_offset(local_account(), site_key=KEY, offset_k=-1.0, now=NOW, actor="Ann")
    assert "1.8 °F colder than station and forecast, as stated" in text_of(
        mild.get(address())
    )


def test_where_money_is_stated_the_best_day_and_the_costs_are_shown(
    estate: Client, at: At
) -> None:
    early = datetime.fromisoformat("2026-09-01T15:00+00:00")
    at(early)
    weathered(local_account(), KEY, now=early)
    assert "Expected cost" not in text_of(estate.get(address()))
    stated = Stated(2, (12.0, 900.0, 0.9))
    state_terms(local_account(), site_key=KEY, stated=stated, now=NOW, actor="Ann")
    text = text_of(estate.get(address()))
    assert "Expected cost" in text
    assert text.count("(least cost)") == 1


def test_in_spring_the_page_begins_with_the_day_to_fill(mild: Client, at: At) -> None:
    at(datetime.fromisoformat("2027-03-15T15:00+00:00"))
    answer = mild.get(address())
    text = text_of(answer)
    assert re.search(r"Do not fill before \w{3} \d+ \w{3} 2027\.", text)
    assert "If water is in it now" in text
    assert headings(answer)[:2] == ["What to do first", "When to fill in spring"]


def test_without_anything_the_page_says_what_to_do_first(
    estate: Client, at: At
) -> None:
    answer = estate.get(address(CARD))
    text, body = text_of(answer), answer.content.decode()
    assert headings(answer)[0] == "What to do first"
    assert "not known There is no advice." in text
    assert "Attach a station" in text
    assert "Give the position of the site" in text
    assert reverse("edit_place", args=[CARD]) in body
    assert "Get a forecast" in text
    assert "calm" not in text[: text.index("What freezes first")]


def test_an_old_forecast_is_no_forecast(mild: Client, at: At) -> None:
    at(NOW + timedelta(hours=40))
    text = text_of(mild.get(address()))
    assert "Get a newer forecast" in text
    assert "Nothing is known of tonight" in text
    assert "Age 40 hours" in text


def test_the_units_are_those_of_the_browser(mild: Client) -> None:
    mild.cookies["units"] = "si"
    text = text_of(mild.get(address()))
    assert "a night at -2 °C" in text
    assert not re.search(r"\d (?:°F|ft|miles)\b", text)


def test_looking_keeps_nothing_and_asks_seldom(mild: Client) -> None:
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        assert fresh.get(address()).status_code == 200
    assert len(seen) <= 20
    assert not [q for q in seen if not q["sql"].lstrip().startswith("SELECT")]


def test_dates_that_are_not_kept_are_worked_out_and_the_page_says_so(
    estate: Client, at: At
) -> None:
    keep_champion(local_account())
    attach(local_account(), KEY)
    text = text_of(estate.get(address()))
    assert "worked out just now" in text
    assert "Sat 26 Sep 2026" in text


def test_errors_learnt_here_are_told_with_their_nights(mild: Client) -> None:
    site = Site.objects.get(key=KEY)
    days = [NOW.date() - timedelta(days=at) for at in range(2, 63)]
    ForecastNight.objects.bulk_create(
        [
            ForecastNight(site=site, day=day, lead=1, minimum_k=275.0 + at % 4)
            for at, day in enumerate(days)
        ]
    )
    ObservedNight.objects.bulk_create(
        [
            ObservedNight(site=site, day=day, minimum_k=274.0, seen_at="site")
            for day in days
        ]
    )
    text = text_of(mild.get(address()))
    assert "learnt here from 61 nights" in text
    assert "Nights compared 61, 0, 0, 0, 0, 0, 0 for the days 1 to 7" in text

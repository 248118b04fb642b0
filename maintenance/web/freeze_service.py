"""The weather service, asked as the settings say: the one way there from a page."""

from django.conf import settings

from maintenance.engine.climate.fetched import Answer, PlaceAsked
from maintenance.exchange.weather.service.fetch import fetch_forecast


def ask_service(place: PlaceAsked, contact: str) -> Answer:
    """Ask for the forecast of a place."""
    return fetch_forecast(place, contact=contact, base_url=settings.WEATHER_SERVICE_URL)

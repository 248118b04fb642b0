"""Addresses of the weather of sites, and of the stations."""

from django.urls import URLPattern, path

from maintenance.web.views import stations, weather

urlpatterns: list[URLPattern] = [
    path("sites/<id:key>/weather/", weather.site_weather, name="site_weather"),
    path("sites/<id:key>/weather/attach/", weather.attach, name="attach_station"),
    path("sites/<id:key>/weather/file/", weather.station_file, name="station_file"),
    path("sites/<id:key>/weather/offset/", weather.offset, name="site_offset"),
    path("sites/<id:key>/weather/terms/", weather.terms, name="site_terms"),
    path("sites/<id:key>/weather/forecast/", weather.forecast, name="forecast_file"),
    path("sites/<id:key>/weather/night/", weather.night, name="observe_night"),
    path("weather-service/", stations.contact, name="weather_contact"),
    path("stations/", stations.stations, name="stations"),
    path("stations/<id:key>/", stations.station, name="station"),
    path("stations/<id:key>/retire/", stations.retire, name="retire_station"),
]

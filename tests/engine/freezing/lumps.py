"""Parts and steady weather for the tests of the lumped model."""

import numpy as np
from hypothesis import strategies as st

from maintenance.engine.freezing.lumped import (
    IceTimes,
    forced_film,
    heat_loss,
    times_in_steady_weather,
)
from maintenance.engine.freezing.outlook import Exposure, Weather
from maintenance.engine.freezing.thermal import Insulation, Thermal, thermal_part

BORES = st.floats(0.008, 0.10)
MATERIALS = st.sampled_from(["copper", "brass", "PVC", "PE", "iron"])
FROSTS = st.floats(0.05, 30.0)
WINDS = st.floats(0.0, 15.0)
SKIES = st.floats(0.0, 12.0)
LAYERS = st.floats(0.0, 0.06)


def wrapped(bore: float, material: str, thickness: float = 0.0) -> Thermal:
    layer = Insulation(thickness_m=thickness, conductivity_w_per_m_k=0.04)
    return thermal_part(bore, 1.15 * bore, material, layer if thickness else None)


def steady(
    part: Thermal, frost: float, wind: float, sky: float, start: float = 283.15
) -> IceTimes:
    film = forced_film(part, wind)
    cooling = heat_loss(part, -frost, film, sky, warmth_k=0.5 * (start - 273.15))
    return times_in_steady_weather(
        part, start, cooling, heat_loss(part, -frost, film, sky)
    )


def as_array(times: IceTimes) -> np.ndarray:
    return np.array([times.first_ice_s, times.half_frozen_s, times.frozen_s])


def steady_weather(air: np.ndarray, wind: float = 1.0, sky: float = 0.0) -> Weather:
    """Weather of one site whose air has the axes hour and track."""
    hours = air.shape[0]
    return Weather(
        air[:, :, None],
        np.full((hours, 1), wind),
        np.full((hours, 1), sky),
        np.array([280.0]),
        np.array([280.0]),
    )


def in_the_open(count: int = 1) -> Exposure:
    return Exposure(np.ones(count), np.full(count, 0.5), np.ones(count))

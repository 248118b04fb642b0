"""Colder, windier, smaller or barer never freezes later."""

import numpy as np
from hypothesis import given, settings, strategies as st

from maintenance.engine.freezing.outlook import freeze_outlook
from tests.engine.freezing.lumps import (
    BORES,
    FROSTS,
    LAYERS,
    MATERIALS,
    SKIES,
    WINDS,
    as_array,
    in_the_open,
    steady,
    steady_weather,
    wrapped,
)

MORE = st.floats(1e-3, 10.0)
CASES = settings(max_examples=100)
HOURS = 36


def never_later(sooner, later):
    assert np.all(sooner <= later * (1.0 + 1e-9))


@given(bore=BORES, material=MATERIALS, frost=FROSTS, wind=WINDS, sky=SKIES, more=MORE)
@CASES
def test_colder_air_never_freezes_later(bore, material, frost, wind, sky, more):
    part = wrapped(bore, material)
    colder = as_array(steady(part, frost + more, wind, sky))
    never_later(colder, as_array(steady(part, frost, wind, sky)))


@given(bore=BORES, frost=FROSTS, wind=WINDS, layer=LAYERS, more=MORE, sky=SKIES)
@CASES
def test_more_wind_below_freezing_never_freezes_later(
    bore, frost, wind, layer, more, sky
):
    part = wrapped(bore, "copper", layer)
    windier = as_array(steady(part, frost, wind + more, 0.0))
    never_later(windier, as_array(steady(part, frost, wind, 0.0)))
    if layer == 0.0:
        # Bare, the sky's share of the loss is the same in any wind.
        windier = as_array(steady(part, frost, wind + more, sky))
        never_later(windier[1:] - windier[0], _freezing(part, frost, wind, sky))


def _freezing(part, frost, wind, sky):
    found = as_array(steady(part, frost, wind, sky))
    return found[1:] - found[0]


@given(bore=BORES, material=MATERIALS, frost=FROSTS, wind=WINDS, sky=SKIES, more=MORE)
@CASES
def test_a_smaller_part_never_freezes_later(bore, material, frost, wind, sky, more):
    larger = as_array(steady(wrapped(bore * (1 + more), material), frost, wind, sky))
    never_later(as_array(steady(wrapped(bore, material), frost, wind, sky)), larger)


@given(bore=BORES, frost=FROSTS, wind=WINDS, layer=st.floats(0.005, 0.06), more=MORE)
@CASES
def test_less_insulation_never_freezes_sooner_than_none_nor_later_than_more(
    bore, frost, wind, layer, more
):
    thin = as_array(steady(wrapped(bore, "PVC", layer), frost, wind, 0.0))
    thick = as_array(steady(wrapped(bore, "PVC", layer * (1 + more)), frost, wind, 0.0))
    never_later(thin, thick)
    never_later(as_array(steady(wrapped(bore, "PVC"), frost, wind, 0.0)), thin)


@given(
    bore=BORES,
    air=st.lists(st.floats(255.0, 285.0), min_size=HOURS, max_size=HOURS),
    sky=SKIES,
    more=st.floats(0.01, 6.0),
)
@settings(max_examples=50)
def test_a_colder_track_never_freezes_later_nor_less(bore, air, sky, more):
    tracks = np.stack([np.array(air) - more, np.array(air)], axis=1)
    outlook = freeze_outlook(
        wrapped(bore, "brass"),
        in_the_open(),
        steady_weather(tracks, sky=sky),
        np.full((1, 1), 282.0),
    )
    for times in (outlook.first_ice_s, outlook.half_frozen_s, outlook.frozen_s):
        assert times[0] <= times[1] * (1 + 1e-9)
    assert outlook.ice_fraction[0] >= outlook.ice_fraction[1] - 1e-9

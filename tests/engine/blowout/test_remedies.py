"""What helps a zone is told beside what it is now and what was tried in vain."""

from dataclasses import replace

import pytest

from maintenance.engine.blowout.remedies import help_for_zone
from maintenance.engine.blowout.trials import what_to_try
from maintenance.engine.errors import InputError
from maintenance.engine.site.card import lay_out
from maintenance.exchange.demonstration import read_demonstration

FILES = read_demonstration()
SITES = {each.id: each for each in FILES.sites}
MACHINES = {each.id: each for each in FILES.compressors}


@pytest.mark.parametrize(
    ("site", "zone", "compressor"),
    [
        ("larkmoor", "13", "pancake-6"),
        ("larkmoor", "28", "yard-25"),
        ("crook-lane-22", "4", "yard-25"),
        ("cinder-walk-9", "4", "pancake-6"),
    ],
)
def test_every_remedy_tried_helps_or_does_not(site: str, zone: str, compressor: str):
    value, machine = SITES[site], MACHINES[compressor]
    found = help_for_zone(value, machine, zone=zone)
    tried = [
        (each.act, each.on, each.value)
        for each in what_to_try(lay_out(value), machine, found.as_it_is)
    ]
    assert len(tried) == len(set(tried))
    helping = [(each.act, each.on, each.value) for each in found.remedies]
    in_vain = [(each.act, each.on, each.value) for each in found.in_vain]
    # If the remedies were measured against another answer, these would not fit.
    assert sorted(helping + in_vain) == sorted(tried)
    assert found.as_it_is.row.zone == zone


def test_the_air_asked_for_is_used():
    machine = MACHINES["yard-25"]
    cold = help_for_zone(SITES["larkmoor"], machine, zone="28", air_temperature_k=275.0)
    warm = help_for_zone(SITES["larkmoor"], machine, zone="28", air_temperature_k=300.0)
    assert cold.as_it_is.limit != warm.as_it_is.limit or (
        cold.as_it_is.passes != warm.as_it_is.passes
    )


def test_without_a_regulator_nothing_gets_a_setting_and_no_air_is_enough():
    machine = replace(MACHINES["yard-25"], regulator=None)
    found = help_for_zone(SITES["larkmoor"], machine, zone="13")
    assert found.as_it_is.verdict == "cannot"
    assert found.as_it_is.set_pressure_pa is None
    assert {each.free_air_m3_per_s for each in found.frontier} == {None}


def test_an_unknown_zone_is_a_sentence():
    with pytest.raises(InputError, match='There is no zone "99" on this site'):
        help_for_zone(SITES["larkmoor"], MACHINES["yard-25"], zone="99")

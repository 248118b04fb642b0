"""The limit of a part: least of every bound, lower for every doubt."""

import itertools

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.errors import InputError
from maintenance.engine.pipes.catalogue import catalogue_rows, pipe_row
from maintenance.engine.pipes.derating import temperature_factor
from maintenance.engine.pipes.limits import (
    DRIP_CAP_PA,
    PLASTICS,
    TRADE_CAPS,
    part_limit,
)

PSI = 6894.757293168361


def kelvin(degf):
    return (degf + 459.67) / 1.8


def limit(material="PVC", placement="buried", rating_pa=200 * PSI, degf=50.0, **more):
    return part_limit(
        material=material,
        placement=placement,
        rating_pa=rating_pa,
        temperature_k=kelvin(degf),
        **more,
    ).limit_pa


PVC = {73.4: 1, 80: 0.88, 90: 0.75, 100: 0.62, 110: 0.5, 120: 0.4, 130: 0.3, 140: 0.22}


@pytest.mark.reference
@pytest.mark.parametrize(("degf", "factor"), PVC.items())
def test_pvc_keeps_the_printed_share(degf, factor):
    assert temperature_factor("PVC", kelvin(degf)) == pytest.approx(factor)


@pytest.mark.parametrize(
    ("material", "degf", "factor"),
    [
        ("PVC", 85, 0.815),
        ("PVC", -20, 1.0),
        ("PE4710", 80, 1.0),
        ("PE4710", 80.1, 0.9),
        ("PE4710", 110, 0.8),
        ("PE4710", 140, 0.6),
        ("PE3408", 80.5, 0.9),
        ("PE3408", 100, 0.8),
        ("PE100", 95, 0.8),
        ("copper", 200, 1.0),
        ("unknown plastic", 90, 0.75),
    ],
)
def test_pvc_goes_by_lines_and_pe_by_steps(material, degf, factor):
    assert temperature_factor(material, kelvin(degf)) == pytest.approx(factor)


@pytest.mark.parametrize(
    ("material", "last"), [("PVC", 140), ("PE4710", 140), ("PE3408", 100)]
)
def test_above_the_last_point_there_is_no_rating(material, last):
    with pytest.raises(InputError, match=f"{last} °F") as refusal:
        temperature_factor(material, kelvin(last + 0.1))
    assert refusal.value.high == pytest.approx(kelvin(last))


@given(a=st.floats(-30, 99), b=st.floats(-30, 99))
def test_warmer_pipe_never_keeps_more(a, b):
    cool, warm = sorted((a, b))
    for material in PLASTICS:
        assert temperature_factor(material, kelvin(warm)) <= temperature_factor(
            material, kelvin(cool)
        )


def test_caps_of_the_trade_come_first():
    assert limit("PVC", rating_pa=450 * PSI) == pytest.approx(80 * PSI)
    assert limit("PE", rating_pa=160 * PSI) == pytest.approx(50 * PSI)
    assert limit("unknown plastic") == pytest.approx(50 * PSI)
    assert limit("copper", "indoors", None) == pytest.approx(80 * PSI)
    assert limit(local_limits=(("Drip emitters", DRIP_CAP_PA),)) == pytest.approx(
        30 * PSI
    )
    assert limit(unstated_riser=True) == pytest.approx(50 * PSI)


def test_a_weak_or_warm_pipe_comes_below_its_cap():
    assert limit("PE", rating_pa=63 * PSI) == pytest.approx(0.72 * 63 * PSI)
    assert limit("PVC", rating_pa=100 * PSI, degf=90) == pytest.approx(54 * PSI)


@pytest.mark.parametrize("placement", ["above_ground", "indoors"])
@pytest.mark.parametrize("material", PLASTICS)
def test_plastic_that_is_not_buried_gets_no_setting(material, placement):
    result = part_limit(
        material=material,
        placement=placement,
        rating_pa=None,
        temperature_k=283.15,
        local_limits=(("Own", 20 * PSI),),
    )
    assert result.limit_pa is None
    assert result.limited_by.startswith("No setting")


def test_the_least_bound_is_named_with_every_other():
    result = part_limit(
        material="PVC",
        placement="buried",
        rating_pa=200 * PSI,
        temperature_k=283.15,
        local_limits=(("Filter X1", 40 * PSI), ("Site", 50 * PSI)),
        drop_below_gauge_m=7.0,
    )
    assert result.limit_pa == pytest.approx(40 * PSI - 9.80665 * 1000 * 7)
    assert result.limited_by.startswith("Filter X1: 40 psi")
    assert len(result.reasons) == 5
    assert all(reason.source for reason in result.reasons)


def test_a_part_above_the_gauge_allows_no_more():
    assert limit(drop_below_gauge_m=-10.0) == limit()
    assert limit(drop_below_gauge_m=200.0) == 0.0


@given(
    rating=st.floats(10, 600),
    drop=st.floats(0, 30),
    degf=st.floats(-20, 99),
    local=st.lists(st.floats(1, 100), max_size=3),
)
def test_no_doubt_and_no_added_bound_raises_a_limit(rating, drop, degf, local):
    for material in PLASTICS:
        bounds = tuple((f"bound {n}", p * PSI) for n, p in enumerate(local))
        plain = limit(material, rating_pa=rating * PSI, degf=degf)
        bound = limit(
            material,
            rating_pa=rating * PSI,
            degf=degf,
            local_limits=bounds,
            drop_below_gauge_m=drop,
            unstated_riser=True,
        )
        assert 0.0 <= bound <= plain <= TRADE_CAPS[material][1]


def test_saying_unknown_never_gives_more_than_saying_what_it_is():
    for row, unknown in itertools.product(
        catalogue_rows(), ("unknown plastic", "unknown PVC", "unknown PE", "unknown")
    ):
        if unknown == "unknown PVC" and row.material != "PVC":
            continue
        if unknown == "unknown PE" and not row.material.startswith("PE"):
            continue
        if unknown == "unknown plastic" and row.material in ("copper", "steel"):
            continue
        guess = pipe_row(unknown, row.size)
        assert limit(guess.material, rating_pa=guess.rating_pa) <= limit(
            row.material, rating_pa=row.rating_pa
        )


def test_a_material_nobody_knows_is_refused_by_name():
    with pytest.raises(InputError, match="bamboo"):
        limit("bamboo")
    with pytest.raises(InputError, match="bamboo"):
        temperature_factor("bamboo", 283.15)

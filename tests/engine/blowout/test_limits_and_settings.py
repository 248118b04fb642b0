"""Limits of rows, and the settings that follow from them."""

from typing import Any

import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.blowout.prepare import AskedSetting, Prepared, prepare
from maintenance.engine.blowout.settings import as_groups, group_settings, own_setting
from maintenance.engine.errors import InputError
from tests.engine.network.small_sites import (
    PSI,
    Record,
    compressor_of,
    head,
    joined,
    lateral,
    machine_record,
    main_line,
    one_zone,
    pipe,
    point,
    site_of,
    site_record,
)

few = settings(max_examples=20)
KNOWN: tuple[tuple[str, str, float], ...] = (
    ("PVC Sch 40", "unknown PVC", 80.0),
    ("PVC SDR-21", "unknown PVC", 80.0),
    ("PE SIDR-15", "unknown PE", 50.0),
    ("PE IPS DR-11", "unknown PE", 50.0),
    ("copper L", "unknown", 80.0),
)
"""Pipe, the unknown of its class, and the trade cap as this test knows it [psi]."""
WEIGHT = 1000.0 * 9.80665


def prepared(record: Record, **keys: Any) -> Prepared:
    machine = compressor_of(machine_record(**keys.pop("machine", {})))
    return prepare(site_of(record), machine, **keys)


def limit_of(record: Record, key: str = "1") -> float:
    limit = prepared(record).limits[key].limit_pa
    assert limit is not None
    return limit


kinds = st.lists(st.sampled_from(range(len(KNOWN))), min_size=3, max_size=3)
falls = st.lists(
    st.floats(-3.0, 6.0).map(lambda x: round(x, 2)), min_size=3, max_size=3
)


def mixed(kinds_: list[int], falls_: list[float]) -> Record:
    record = one_zone(falls_m=falls_)
    pipes = [one for one in record["links"] if one["id"].startswith("P1.")]
    for one, kind in zip(pipes, kinds_, strict=True):
        one["pipe"] = KNOWN[kind][0]
    return record


@few
@given(kinds, falls)
def test_a_limit_is_never_above_the_cap_of_any_part_less_its_water(
    kinds_: list[int], falls_: list[float]
) -> None:
    record = mixed(kinds_, falls_)
    limit = limit_of(record)
    height = 0.0
    for kind, fall in zip(kinds_, falls_, strict=True):
        lowest = min(height, height - fall)
        height -= fall
        cap = KNOWN[kind][2] * PSI
        assert limit <= cap - WEIGHT * max(0.0, -lowest) + 1.0


@few
@given(kinds, falls, st.integers(0, 2))
def test_making_a_pipe_unknown_never_raises_the_limit(
    kinds_: list[int], falls_: list[float], which: int
) -> None:
    known = mixed(kinds_, falls_)
    unknown = mixed(kinds_, falls_)
    part = next(x for x in unknown["links"] if x["id"] == f"P1.{which + 1}")
    part["pipe"] = KNOWN[kinds_[which]][1]
    assert limit_of(unknown) <= limit_of(known)
    part["pipe"] = "unknown"
    assert limit_of(unknown) <= limit_of(known)


@few
@given(kinds, falls)
def test_not_knowing_the_risers_never_raises_the_limit(
    kinds_: list[int], falls_: list[float]
) -> None:
    known = mixed(kinds_, falls_)
    unknown = mixed(kinds_, falls_)
    for one in unknown["points"]:
        one.pop("riser", None)
    assert limit_of(unknown) <= limit_of(known)


@few
@given(kinds, falls, st.sampled_from(range(len(KNOWN))), st.floats(0.0, 5.0))
def test_adding_a_part_never_raises_the_limit(
    kinds_: list[int], falls_: list[float], kind: int, fall: float
) -> None:
    record = mixed(kinds_, falls_)
    before = limit_of(record)
    end = -sum(falls_) - round(fall, 2)
    record["points"].append(head("H1.9", round(end, 6)))
    record["links"].append(pipe("P1.9", "H1.3", "H1.9", 8.0, pipe=KNOWN[kind][0]))
    assert limit_of(record) <= before


@few
@given(kinds, falls, st.floats(3.0, 100.0))
def test_an_entered_limit_of_a_part_or_of_the_site_holds(
    kinds_: list[int], falls_: list[float], entered: float
) -> None:
    record = mixed(kinds_, falls_)
    plain = limit_of(record)
    record["links"][-1]["max_air_pressure"] = f"{entered} psi"
    assert limit_of(record) <= min(plain, entered * PSI) + 1e-3
    record["air_limit"] = "20 psi"
    assert limit_of(record) <= 20.0 * PSI + 1e-3


def test_the_static_head_down_to_the_weakest_part_is_taken_off() -> None:
    level = limit_of(one_zone(pipe="PE SIDR-15", falls_m=(0.0, 0.0)))
    deep = limit_of(one_zone(pipe="PE SIDR-15", falls_m=(0.0, 4.0)))
    assert level == pytest.approx(50.0 * PSI)
    assert level - deep == pytest.approx(4.0 * WEIGHT, rel=1e-6)


def test_a_drip_zone_is_held_to_30_psi_or_to_its_regulator() -> None:
    drip = {"head_head": "drip_emitters", "head_riser": None}
    assert limit_of(one_zone(**drip)) == pytest.approx(30.0 * PSI)
    record = one_zone(**drip)
    record["points"].append(point("L0"))
    valve = next(one for one in record["links"] if one["kind"] == "zone_valve")
    valve["to"] = "L0"
    record["links"].append(
        {
            "id": "REG",
            "kind": "pressure_regulator",
            "from": "L0",
            "to": "L1",
            "outlet_pressure": "25 psi",
        }
    )
    assert limit_of(record) == pytest.approx(25.0 * PSI)


def many_zones(caps_psi: list[float]) -> Record:
    """Return one zone for each cap, its last pipe entered with that limit."""
    zones = [str(n) for n in range(1, len(caps_psi) + 1)]
    parts = [lateral(z, f"J{z}", (0.0, 0.0), pipe="PVC Sch 80") for z in zones]
    points, links = joined(main_line(len(zones)), *parts)
    for zone, cap in zip(zones, caps_psi, strict=True):
        last = next(one for one in links if one["id"] == f"P{zone}.2")
        last["max_air_pressure"] = f"{cap:.2f} psi"
    return site_record(points, links, zones)


@settings(max_examples=10)
@given(
    st.lists(st.floats(11.0, 70.0), min_size=1, max_size=6),
    st.sampled_from((1.0, 2.0, 5.0, 10.0)),
)
def test_settings_are_steps_under_the_limits_in_at_most_three_groups(
    caps: list[float], step: float
) -> None:
    got = prepared(many_zones(caps), machine={"step_psi": step})
    for key, setting in got.settings.items():
        limit = got.limits[key].limit_pa
        assert limit is not None
        assert 0.0 < setting <= limit * (1.0 + 1e-12)
        steps = setting / (step * PSI)
        assert steps == pytest.approx(round(steps), abs=1e-6)
    ordered = {k: got.settings[k] for k in got.order if k in got.settings}
    assert len(set(ordered.values())) <= 3
    assert list(ordered.values()) == sorted(ordered.values(), reverse=True)
    assert len(as_groups(ordered)) == len(set(ordered.values()))


def with_coupler(cap_psi: float) -> Record:
    points, links = joined(main_line(1), lateral("1", "J1"))
    points.append(point("Q1", "quick_coupler"))
    links.append(pipe("MQ", "J1", "Q1", 6.0, max_air_pressure=f"{cap_psi} psi"))
    points.append(point("Q2", "quick_coupler"))
    links.append(pipe("MQ2", "J1", "Q2", 4.0))
    return site_record(points, links, ["1"])


@pytest.mark.parametrize("cap_psi", [80.0, 28.3, 23.0])
def test_mains_and_couplers_keep_to_steps_limits_and_the_last_setting(
    cap_psi: float,
) -> None:
    got = prepared(with_coupler(cap_psi))
    zones = [v for k, v in got.settings.items() if got.rows[k].kind == "zone"]
    for key, setting in got.settings.items():
        limit = got.limits[key].limit_pa
        assert limit is not None
        assert setting <= limit * (1.0 + 1e-12)
        steps = setting / (5.0 * PSI)
        assert steps == pytest.approx(round(steps), abs=1e-6), (key, setting / PSI)
        if got.rows[key].kind == "coupler":
            assert setting <= min(zones)
    assert len(set(got.settings.values())) <= 3


def test_couplers_come_last_and_the_main_first() -> None:
    got = prepared(with_coupler(60.0))
    ranks = [got.rows[key].kind for key in got.order]
    assert ranks == ["main", "zone", "coupler"]


def test_a_setting_above_the_limit_of_a_computed_zone_is_refused() -> None:
    record = many_zones([60.0, 31.0])
    with pytest.raises(InputError, match=r"above the limit of zone 2") as refused:
        prepared(record, asked=AskedSetting(40.0 * PSI))
    assert "P2.2" in refused.value.text
    assert refused.value.high == pytest.approx(31.0 * PSI, rel=1e-3)
    only = prepared(record, asked=AskedSetting(40.0 * PSI, "1"))
    assert only.settings["1"] == pytest.approx(40.0 * PSI)
    assert only.settings["2"] <= 31.0 * PSI


def test_a_zone_order_of_ones_own_is_kept_within_its_setting() -> None:
    record = many_zones([60.0, 60.0, 60.0])
    assert prepared(record).order == ("3", "2", "1"), "farthest first"
    record["zones"][1]["blow_out_order"] = 1
    got = prepared(record)
    assert got.order == ("2", "3", "1")
    assert "own order" in got.reasons["2"]


@given(
    st.dictionaries(
        st.text("abcdefgh", min_size=1, max_size=2),
        st.integers(1, 16).map(lambda n: n * 5.0 * PSI),
        min_size=1,
        max_size=12,
    )
)
def test_grouping_only_lowers_and_keeps_the_lowest(own: dict[str, float]) -> None:
    chosen = group_settings(own, dict.fromkeys(own, 0.0))
    assert chosen.keys() == own.keys()
    assert len(set(chosen.values())) <= 3
    assert all(chosen[key] <= own[key] for key in own)
    assert set(chosen.values()) <= set(own.values())


@given(
    limit=st.floats(1.0, 90.0),
    lift=st.floats(0.0, 30.0),
    step=st.sampled_from((1.0, 2.5, 5.0)),
    speed=st.floats(0.1, 6.0),
    first=st.floats(1.0, 200.0),
)
def test_the_own_choice_is_a_step_under_every_bound(
    limit: float, lift: float, step: float, speed: float, first: float
) -> None:
    choice = own_setting(
        limit_pa=limit * PSI,
        lift_m=lift,
        step_pa=step * PSI,
        trial_pa=min(limit, 50.0) * PSI,
        trial_speed=speed,
        first_pipe_pa=first * PSI,
    )
    assert 0.0 <= choice <= min(limit, 50.0, first) * PSI * (1.0 + 1e-9)
    assert choice / (step * PSI) == pytest.approx(
        round(choice / (step * PSI)), abs=1e-6
    )

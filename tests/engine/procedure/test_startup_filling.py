"""Filling in spring: slow, by the least of speed, yield and pump, and told in minutes."""

import math
from datetime import UTC, datetime
from typing import Any

import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.startup.autumn import begin_startup
from maintenance.engine.procedure.startup.choices import StartupChoices
from maintenance.engine.procedure.startup.compiler import compile_startup
from maintenance.engine.procedure.startup.fill_plan import Fill, plan_fills
from maintenance.engine.procedure.startup.surge_at_closing import knock_at_closing
from maintenance.engine.procedure.step import Step
from maintenance.engine.site import Site
from tests.engine.network.small_sites import (
    Record,
    joined,
    lateral,
    link,
    pipe,
    point,
    site_of,
    site_record,
)
from tests.engine.procedure.gardens import valve

FOOT_M = 0.3048
GALLON_M3 = 3.785411784e-3
GPM = GALLON_M3 / 60.0
SCH40_1_IN_M = 1.049 * 0.0254
AT_NINE = datetime(2026, 4, 20, 9, 0, tzinfo=UTC)


def one_main(
    *,
    length_m: float = 100.0,
    supply: Record | None = None,
    pump: Record | None = None,
    riser: Record | None = None,
    **main: Any,
) -> Site:
    """A source, a valve, 1 in Sch 40 to J1, a coupler at the top on a riser, a zone."""
    source = "well" if pump is not None else "public"
    points = [point("SRC", "supply", 0.0, source=source, **(supply or {}))]
    links = []
    at = "SRC"
    if pump is not None:
        points.append(point("W"))
        links.append(link("PU", "pump", "SRC", "W", control="start_relay", **pump))
        at = "W"
    points += [point("K"), point("J1"), point("Q", "quick_coupler", 2.0)]
    links += [
        valve("IN", at, "K", "open", "closed"),
        pipe("M", "K", "J1", length_m, **main),
        pipe("R", "J1", "Q", 2.0, **(riser or {})),
    ]
    zone = lateral("1", "J1")
    return site_of(site_record(*joined((points, links), zone), ["1"]))


def the_fill(site: Site, **choices: Any) -> Fill:
    piping = lay_piping(build_graph(site))
    left = begin_startup(site).standing.positions
    (fill,) = plan_fills(piping, left, StartupChoices(**choices))
    return fill


def fill_step(site: Site, **keys) -> Step:
    steps = compile_startup(site, **keys).steps
    return next(step for step in steps if step.act == "fill")


def test_time_is_volume_over_flow_and_for_one_bore_length_over_speed():
    amounts = the_fill(one_main()).amounts
    area = math.pi / 4.0 * SCH40_1_IN_M**2
    assert amounts.volume_m3 == pytest.approx(102.0 * area)
    assert amounts.flow_m3_per_s == pytest.approx(FOOT_M * area)
    assert amounts.time_s == pytest.approx(102.0 / FOOT_M)


def test_published_case_of_500_ft_of_2_in_pipe():
    # 500 ft of 2.149 in at 1 ft/s: 11.3 gpm, 94.2 gal, 8.33 min (length over speed;
    # worked from Q = 2.448 v d^2 and 0.0408 d^2 gal/ft). The riser is of that pipe too
    # and adds 2 m to it.
    two_inch: Record = {"pipe": "PVC SDR-21", "size": "2"}
    site = one_main(length_m=500 * FOOT_M - 2.0, riser=two_inch, **two_inch)
    amounts = the_fill(site).amounts
    assert amounts.flow_m3_per_s == pytest.approx(11.3 * GPM, rel=5e-3)
    assert amounts.volume_m3 == pytest.approx(94.2 * GALLON_M3, rel=5e-3)
    assert amounts.time_s == pytest.approx(8.33 * 60.0, rel=5e-3)


def test_the_narrowest_pipe_on_the_way_to_the_outlet_sets_the_flow():
    amounts = the_fill(one_main(size="2")).amounts
    assert amounts.narrowest == "R"
    area = math.pi / 4.0 * SCH40_1_IN_M**2
    assert amounts.flow_m3_per_s == pytest.approx(FOOT_M * area)
    assert amounts.volume_m3 is not None
    assert amounts.time_s == pytest.approx(amounts.volume_m3 / (FOOT_M * area))


@pytest.mark.parametrize(
    ("supply", "pump", "gpm", "limit"),
    [
        ({"flow": "20 gpm"}, None, 2.693, "speed"),
        ({"flow": "1 gpm"}, None, 1.0, "what SRC yields"),
        ({"flow": "2 gpm"}, {"flow": "1.5 gpm"}, 1.5, "what pump PU gives"),
        ({"flow": "1.2 gpm"}, {"flow": "9 gpm"}, 1.2, "what SRC yields"),
    ],
)
def test_the_least_of_speed_yield_and_pump_is_taken(supply, pump, gpm, limit):
    amounts = the_fill(one_main(supply=supply, pump=pump)).amounts
    assert amounts.flow_m3_per_s == pytest.approx(gpm * GPM, rel=2e-3)
    assert amounts.limit == limit


@pytest.mark.parametrize(
    ("least", "gpm", "in_spells"),
    [("2 gpm", 2.693, False), ("4 gpm", 4.0, False), ("6 gpm", 2.693, True)],
)
def test_a_pump_that_cannot_run_so_slowly_raises_the_speed_up_to_the_hard_limit(
    least, gpm, in_spells
):
    amounts = the_fill(one_main(pump={"least_flow": least})).amounts
    assert amounts.flow_m3_per_s == pytest.approx(gpm * GPM, rel=2e-3)
    assert amounts.in_spells == in_spells
    assert bool(amounts.pump) == (least != "2 gpm")


def test_the_speed_is_a_setting_with_its_source():
    amounts = the_fill(one_main(), fill_velocity_m_per_s=FOOT_M / 2.0).amounts
    assert amounts.time_s == pytest.approx(102.0 / FOOT_M * 2.0)
    usual = fill_step(one_main()).source
    assert "common practice, found in no source that was read" in usual
    assert "Indian River County" in usual
    own = fill_step(one_main(), choices=StartupChoices(fill_velocity_m_per_s=0.2))
    assert "as chosen for this site" in own.source


@pytest.mark.parametrize(
    "choices",
    [
        {"fill_velocity_m_per_s": 0.0},
        {"fill_velocity_m_per_s": -0.1},
        {"fill_velocity_m_per_s": 0.62},
        {"fill_velocity_m_per_s": math.nan},
        {"most_fill_velocity_m_per_s": 0.7},
        {"fill_velocity_m_per_s": 0.3, "most_fill_velocity_m_per_s": 0.2},
        {"pump_start_volume_m3": 0.0},
        {"pump_start_volume_m3": math.inf},
    ],
)
def test_a_choice_that_cannot_be_meant_is_refused_in_a_sentence(choices):
    with pytest.raises(InputError) as refused:
        StartupChoices(**choices)
    assert "must be above 0" in refused.value.text


def test_the_step_tells_flow_gallons_litres_and_a_time_of_day():
    step = fill_step(one_main(), now=AT_NINE)
    # 102 m of 0.5576 L/m; 102 m at 1 ft/s are 335 s.
    assert "no more than 2.6 gpm (10.1 L/min) may run" in step.text
    assert "The pipes take 15.1 gal (56.9 L)." in step.text
    assert "at least 6 min: no water at coupler Q before 09:" in step.text
    assert step.minutes == 6
    before = list(compile_startup(one_main(), now=AT_NINE).steps)
    spent = sum(s.minutes for s in before[: before.index(step)])
    minutes = int(step.text.partition("before 09:")[2][:2])
    assert minutes == math.ceil(spent + 102.0 / FOOT_M / 60.0)


def test_without_a_start_only_durations_are_told():
    step = fill_step(one_main())
    assert "at least 6 min" in step.text
    assert "before 0" not in step.text


def test_unknown_is_not_zero():
    site = one_main(pipe="unknown PVC", size=None)
    step = fill_step(site)
    assert "unknown: enter the size of M" in step.text
    assert step.minutes > 0
    warnings = compile_startup(site).warnings
    assert [w.about for w in warnings if w.code == "fill_unknown"] == [("M",)]


def test_water_comes_in_only_after_an_outlet_is_open_and_opens_fully_last():
    steps = compile_startup(one_main()).steps
    moves = [(c.element, c.position) for step in steps for c in step.changes]
    order = [
        ("Q", "key_in"),
        ("IN", "half_open"),
        ("IN", "closed"),
        ("Q", "key_out"),
        ("IN", "open"),
    ]
    assert [move for move in moves if move in order] == order


def test_the_knock_at_closing_is_16_psi_for_each_foot_per_second_in_sdr_21():
    # Joukowsky with a = 1193 ft/s for SDR-21: 16.0 psi at 1 ft/s; Sch 40 of 1 in has a
    # thicker wall (DR 9.9) and 1775 ft/s.
    psi = 6894.757293168361
    graph = build_graph(one_main(pipe="PVC SDR-21", size="1"))
    flow = FOOT_M * math.pi / 4.0 * (1.189 * 0.0254) ** 2
    knock = knock_at_closing(graph, ["M"], flow)
    assert knock.pressure_pa == pytest.approx(16.0 * psi, rel=0.01)
    assert not knock.rigid


@pytest.mark.parametrize(
    ("name", "rigid", "known"),
    [("copper L", True, True), ("unknown PVC", False, False)],
)
def test_metal_is_bounded_as_rigid_and_unknown_pipe_is_said_to_be_unknown(
    name, rigid, known
):
    graph = build_graph(one_main(pipe=name, size="1"))
    knock = knock_at_closing(graph, ["M"], 1e-4)
    assert (knock.pressure_pa is not None) == known
    assert knock.rigid == rigid
    assert knock.unknown == (() if known else ("M",))
    step = next(
        s
        for s in compile_startup(one_main(pipe=name, size="1")).steps
        if s.act == "close" and s.on == "IN"
    )
    (said,) = step.cautions
    assert ("taken as rigid" in said) == rigid
    assert ("unknown pipe" in said) != known

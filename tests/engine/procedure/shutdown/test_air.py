"""Air: the sheet's order, its settings and times, the change-over, the end."""

import pytest

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.beginning import begin
from maintenance.engine.procedure.elements import COMPRESSOR
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.replay import Replay
from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from tests.engine.network.small_sites import (
    joined,
    lateral,
    main_line,
    site_of,
    site_record,
)
from tests.engine.procedure.shutdown.lists import (
    acts,
    at,
    checked,
    compiled,
    larkmoor_drained,
    larkmoor_list,
    larkmoor_sheet,
    step_of,
    words,
)
from tests.fixtures.demo import larkmoor

BY_PORT = {row.row.key: row.row.port for row in larkmoor_sheet().rows}
ORDER = {row.row.key: row.order for row in larkmoor_sheet().rows}


def rows_of(procedure):
    return [step.row for step in procedure.steps if step.row]


def test_every_row_with_a_setting_is_blown_but_the_anti_siphon_zone():
    assert set(rows_of(larkmoor_list())) == set(ORDER) - {"10"}


def test_the_hose_is_moved_once_and_the_order_within_a_port_is_the_sheets():
    rows = rows_of(larkmoor_list())
    ports = [BY_PORT[row] for row in rows]
    assert ports == sorted(ports, key=ports.index)
    for port in set(ports):
        orders = [ORDER[row] for row in rows if BY_PORT[row] == port]
        assert orders == sorted(orders)
    assert acts(larkmoor_list(), "connect") == list(dict.fromkeys(ports))


def test_each_row_carries_its_setting_and_its_times():
    rows = {row.row.key: row for row in larkmoor_sheet().rows}
    for step in larkmoor_list().steps:
        if step.row is None:
            continue
        row = rows[step.row]
        assert row.set_pressure_pa is not None
        psi = int(row.set_pressure_pa / 6894.757 + 1e-6)
        assert step.to.startswith(f"{psi} psi")
        assert step.block.endswith(f"set {psi} psi")
        assert f"{len(row.passes)} × {row.passes[0].on_s:.0f} s" in step.to
        assert (row.verdict == "not_enough") == any(
            "Does not clear" in caution for caution in step.cautions
        )


def test_the_regulator_is_set_anew_before_the_setting_changes():
    block, told = "", ""
    for step in larkmoor_list().steps:
        if step.on == COMPRESSOR and step.act == "set":
            told = step.block
        if step.act == "blow":
            block = step.block
            assert told == block


def moments(procedure, site):
    """Yield every moment of a list: the step, the positions, and what air presses on."""
    piping = lay_piping(build_graph(site))
    replay = Replay(piping, begin(piping, "shutdown"))
    for n, step in enumerate(procedure.steps, start=1):
        for _, after in replay.do(n, step):
            yield step, after


@pytest.mark.parametrize("how", ["controller", "next_first", "hand"])
def test_air_is_never_on_without_an_outlet_at_any_moment_between_two_zones(how):
    procedure = larkmoor_list(ShutdownChoices(change_over=how))
    on = 0
    for step, after in moments(procedure, larkmoor()):
        if after.standing.air:
            on += 1
            seen = [o for cell in after.standing.air for o in after.seen_open(cell)]
            assert seen, step.key
    assert on > 30


def test_by_hand_the_air_is_off_while_a_valve_moves_and_the_person_walks_clear():
    procedure = larkmoor_list(ShutdownChoices(change_over="hand"))
    zones = {f"Z{n}" for n in range(1, 30)}
    for step, after in moments(procedure, larkmoor()):
        if step.act in ("open", "close") and step.on in zones:
            assert not after.standing.air
            assert "gauge at zero" in step.text
            assert "walk clear" in step.text or step.act == "close"
    assert "Start station" not in "".join(
        step.text for step in procedure.steps if step.row
    )


def test_with_the_next_zone_first_the_air_stays_on_and_two_zones_run_for_a_moment():
    procedure = larkmoor_list(ShutdownChoices(change_over="next_first"))
    both = 0
    for _, after in moments(procedure, larkmoor()):
        running = [
            key
            for key, word in after.standing.positions.items()
            if key.startswith("Z") and word == "open"
        ]
        if after.standing.air and len(running) == 2:
            both += 1
    assert both > 5
    stops = [s.text for s in procedure.steps if s.key.endswith("with air on")]
    assert stops
    assert all("next zone runs" in text for text in stops)


def test_the_air_is_off_before_the_station_ends():
    for step in larkmoor_list().steps:
        if step.row and "Start station" in step.text:
            assert step.text.count("Air off before the station ends") == 1


def test_keys_and_caps_move_only_with_the_air_off():
    for step, after in moments(larkmoor_list(), larkmoor()):
        moved = {change.element for change in step.changes}
        if moved & {"Q1", "Q2", "Q3", "E1", "A1", "A2"}:
            assert not after.standing.air, step.key


def test_air_ends_with_the_last_outlet_open_and_the_hose_last():
    procedure = larkmoor_list()
    for port, last in (("A2", "Q3"), ("A1", "Q1")):
        off = at(procedure, f"switch_off at {port}")
        hose = at(procedure, f"disconnect {port}")
        shut = max(
            n
            for n, step in enumerate(procedure.steps)
            if step.act == "close" and step.on == last
        )
        assert off < hose < shut
        assert "reads zero" in procedure.steps[off].text
        assert "plug back" in step_of(procedure, f"leave {port}").text


def test_no_drain_stands_open_while_its_pipe_is_blown():
    for step, after in moments(larkmoor_list(), larkmoor()):
        for cell in after.standing.air:
            kinds = {o.kind for o in after.standing.open.get(cell, ())}
            assert "drain" not in kinds, step.key


def test_an_anti_siphon_zone_is_drained_and_what_stays_is_drawn_out():
    procedure = larkmoor_list()
    drained = at(procedure, "drain Z10")
    assert "vacuum breaker" in procedure.steps[drained].why
    drawn = step_of(procedure, "draw Z10")
    assert "1.6 gal" in drawn.why
    assert at(procedure, "draw Z10") > drained
    assert [w.about for w in procedure.warnings if w.code == "not_blown"] == [("10",)]


def test_another_port_is_left_out_where_a_person_chose_one():
    procedure = larkmoor_list(ShutdownChoices(port="A1"))
    assert {BY_PORT[row] for row in rows_of(procedure)} == {"A1"}
    assert acts(procedure, "connect") == ["A1"]
    assert "drain Z24" in {step.key for step in procedure.steps}
    assert checked(larkmoor(), procedure).broken == ()


def test_a_port_indoors_is_not_blown_from():
    parts = joined(main_line(placement="indoors", pipe="copper L"), lateral("1", "J1"))
    procedure = compiled(site_of(site_record(*parts, ["1"])))
    assert not acts(procedure, "connect")
    assert any("indoors" in warning.text for warning in procedure.warnings)


def test_the_port_lies_downstream_of_the_assembly_and_that_is_said():
    assert "B1" in step_of(larkmoor_list(), "connect A1").why
    assert at(larkmoor_list(), "close B1/shutoff_2") < at(larkmoor_list(), "connect A1")


def test_the_ring_is_shut_for_the_air_and_its_legs_run_off_afterwards():
    procedure = larkmoor_list()
    assert at(procedure, "close VR for air") < at(procedure, "connect A1")
    again = at(procedure, "drain through VR")
    assert at(procedure, "disconnect A1") < again < at(procedure, "leave VR")


def test_without_a_compressor_nothing_is_said_of_air():
    said = words(larkmoor_drained()).lower()
    for word in ("compressor", "regulator", "psi;", "hose"):
        assert word not in said.replace("settings, passes", "").replace(
            "who, compressor,", ""
        ), word


def test_a_drip_zones_end_is_told_to_be_open_before_the_air():
    step = step_of(larkmoor_list(), "blow 22")
    assert any("Drip" in caution for caution in step.cautions)

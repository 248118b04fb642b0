"""What a list says of itself while it is carried out."""

import json
from datetime import timedelta

import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.elements import site_elements
from maintenance.engine.procedure.positions import changed, summer_positions
from maintenance.engine.procedure.progress import (
    left_to_do,
    positions_reached,
    steps_to_check,
    suggested_end,
)
from maintenance.engine.procedure.step import Change
from maintenance.engine.procedure.step_record import step_from_record, step_to_record
from tests.engine.procedure.listed_steps import COMPILED, MORNING, listed, step
from tests.services.inventory.files import example, read

START = {"A": "open", "B": "open", "C": "open", "Z": "open"}


def test_what_has_no_outcome_is_told_in_order():
    rows = listed(
        (step("a"), "done"),
        step("b"),
        (step("c"), "skipped"),
        (step("d"), None, {"gone": True}),
        (step("own:1"), None, {"own": True}),
    )
    assert [each.step.key for each in left_to_do(rows)] == ["b", "own:1"]


def test_skipped_steps_change_nothing_and_those_left_out_still_count():
    rows = listed(
        (step("a"), "done"),
        (step("b"), "skipped"),
        (step("c", "half_open"), "done", {"gone": True}),
        step("z"),
    )
    reached = positions_reached(START, rows)
    assert reached.positions == START | {"A": "closed", "C": "half_open"}
    assert reached.unsure == ()


def test_a_checker_gets_what_is_or_will_be_done():
    rows = listed(
        (step("a"), "done"),
        (step("b"), "skipped"),
        step("c"),
        (step("d"), "done", {"gone": True}),
    )
    assert [each.key for each in steps_to_check(rows)] == ["a", "c"]


def station(number, before=None):
    """Return a row blown from a controller; the station before it stops first."""
    stops = () if before is None else (Change(f"Z{before}", "closed"),)
    opens = Change(f"Z{number}", "open")
    return step(f"blow {number}", act="blow", on=f"Z{number}", changes=(*stops, opens))


@pytest.mark.parametrize("skipped", [1, 2, 3])
def test_a_station_ends_though_the_rows_after_it_are_skipped(skipped):
    rows = listed(
        (station(1), "done"),
        *((station(n + 1, n), "skipped") for n in range(1, skipped + 1)),
        (station(skipped + 2, skipped + 1), "done"),
        (step("end", "closed", on="Z9", changes=()), "done"),
    )
    start = {f"Z{n}": "closed" for n in range(1, skipped + 3)}
    left = positions_reached(start, rows).positions
    assert {key for key, each in left.items() if each == "open"} == {f"Z{skipped + 2}"}
    replayed = steps_to_check(rows)
    assert len(replayed) == 3, "what ends by itself is no step of its own"
    assert replayed[1].changes[0] == Change("Z1", "closed")
    assert all(len(each.changes) <= 3 for each in replayed)


def test_a_station_that_was_never_started_does_not_end():
    rows = listed((station(1), "skipped"), station(2, 1))
    assert steps_to_check(rows)[0].changes == station(2, 1).changes


def at(minute):
    return {"when": MORNING + timedelta(minutes=minute)}


@pytest.mark.parametrize(
    ("first", "second", "unsure"),
    [(0, 5, ()), (5, 0, ("A",)), (0, 0, ())],
)
def test_a_part_moved_in_another_order_than_the_lists_is_a_question(
    first, second, unsure
):
    later = step("x", changes=(Change("A", "open"),))
    rows = listed(
        (step("a"), "done", at(first)),
        (later, "done", at(second)),
        (step("b"), "done", at(30)),
    )
    reached = positions_reached(START, rows)
    assert reached.unsure == unsure
    assert reached.positions["A"] == "open"


def test_moved_twice_to_one_position_is_no_question():
    again = step("x", changes=(Change("A", "closed"),))
    rows = listed((step("a"), "done", at(9)), (again, "done", at(1)))
    assert positions_reached(START, rows).unsure == ()


@settings(max_examples=60)
@given(steps=COMPILED)
def test_a_list_fully_done_leaves_its_end_state(steps):
    rows = listed(*((each, "done") for each in steps))
    wanted = {e.upper(): "open" for e in "abcdefgh"}
    reached = positions_reached(wanted, rows)
    for each in steps:
        wanted |= {change.element: change.position for change in each.changes}
    assert reached.positions == wanted


@settings(max_examples=30)
@given(data=st.data())
def test_the_end_state_is_that_of_the_elements_of_a_site(data):
    graph = build_graph(read(example("site-a")))
    elements, start = site_elements(graph), summer_positions(graph)
    moves = data.draw(
        st.lists(
            st.sampled_from(sorted(elements)).flatmap(
                lambda key: st.builds(
                    Change, st.just(key), st.sampled_from(elements[key].words)
                )
            ),
            max_size=12,
        )
    )
    rows = listed(
        *((step(str(n), changes=(move,)), "done") for n, move in enumerate(moves))
    )
    wanted = start
    for move in moves:
        wanted = changed(elements, wanted, [move])
    assert positions_reached(start, rows).positions == wanted


@pytest.mark.parametrize(
    ("outcomes", "end"),
    [
        (("done", "done"), "done"),
        (("skipped", "skipped"), "skipped"),
        (("done", "skipped"), "partly"),
        (("done", None), None),
        ((), None),
    ],
)
def test_a_zone_ends_as_its_steps_did(outcomes, end):
    of_zone = [(step(f"{n}", row="4"), each) for n, each in enumerate(outcomes)]
    others = [
        (step("x", row="5"), "skipped"),
        (step("y", row="4"), "skipped", {"gone": True}),
    ]
    assert suggested_end(listed(*of_zone, *others), "4") == end


@settings(max_examples=60)
@given(
    given_step=st.builds(
        step,
        st.text(min_size=1, max_size=5),
        during=st.just((Change("Z1", "open"),)),
        cautions=st.lists(st.text(max_size=5), max_size=2).map(tuple),
        minutes=st.floats(0, 1e6),
        row=st.none() | st.text(max_size=3),
        sees=st.lists(st.text(max_size=3), max_size=2).map(tuple),
        why=st.text(max_size=5),
        block=st.text(max_size=5),
        source=st.text(max_size=5),
    )
)
def test_a_step_comes_back_as_it_was_kept(given_step):
    kept = json.loads(json.dumps(step_to_record(given_step)))
    assert step_from_record(kept) == given_step

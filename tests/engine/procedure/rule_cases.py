"""For each rule a site with a list that breaks it and one that does not.

A breaking list breaks its own rule and no other, so that taking the rule away must let
it pass.
"""

from dataclasses import dataclass, replace

from maintenance.engine.procedure.step import Season
from maintenance.engine.site import Site
from tests.engine.network.small_sites import (
    joined,
    lateral,
    link,
    pipe,
    point,
    site_of,
    site_record,
)
from tests.engine.procedure.gardens import (
    List,
    closing,
    garden,
    opening,
    put_before,
    shutdown,
    startup,
    step,
    swapped,
    valve,
    without,
)


@dataclass(frozen=True)
class Case:
    """``breaks`` breaks the rule first at the step with the key ``at``."""

    rule: str
    site: Site
    breaks: List
    keeps: List
    at: str
    season: Season = "shutdown"


def _air_towards_a_double_check() -> Case:
    site = garden(device="DC", well=False)
    keeps = shutdown(well=False)
    return Case("I1", site, without(keeps, "close B1/shutoff_2"), keeps, "air on V1")


def _well_let_in_beside_the_town() -> Case:
    breaks = (opening("VW"), closing("VW"))
    keeps = (closing("IN"), opening("VW"), closing("VW"), opening("IN"))
    return Case("I2", garden(), breaks, keeps, "open VW", "frost_night")


def _air_through_an_anti_siphon_valve() -> Case:
    site = garden(valve_anti_siphon=True)
    breaks = shutdown()
    keeps = breaks
    for key in ("air on V2", "blow V2", "air off V2"):
        keeps = without(keeps, key)
    return Case("I3", site, breaks, keeps, "air on V2")


def _drain_before_relief() -> Case:
    keeps = shutdown()
    return Case(
        "I4", garden(), put_before(keeps, "open D1", "run V1"), keeps, "open D1"
    )


def _filled_with_a_drain_open() -> Case:
    keeps = startup()
    breaks = (*without(keeps, "close D1"), closing("D1"))
    return Case("I5", garden(), breaks, keeps, "open IN", "startup")


def _air_on_exposed_plastic() -> Case:
    site = garden(main_placement="above_ground")
    keeps = tuple(
        each
        for each in shutdown()
        if each.row is None and not each.key.startswith("air on")
    )
    return Case("I6", site, shutdown(), keeps, "air on V1")


def _air_before_the_outlet() -> Case:
    keeps = shutdown()
    return Case(
        "I7", garden(), put_before(keeps, "air on V1", "open V1"), keeps, "air on V1"
    )


def _pump_against_a_shut_valve() -> Case:
    keeps = (
        step("switch_off", "PU", ("PU", "off")),
        step("prove_dead", "PU", ("PU", "proved_dead"), sees=("V1",)),
        step("run", "V1", during=(("V1", "open"),), sees=("V1",)),
        opening("D1"),
        closing("VW"),
    )
    breaks = put_before(keeps, "close VW", "switch_off PU")
    return Case("I8", pumped(), breaks, keeps, "close VW")


def pumped() -> Site:
    """Return a well with nothing on it but one zone."""
    points = [
        point("WELL", "supply", -5.0, source="well"),
        point("W1"),
        point("J1"),
        point("D1", "drain", -1.0, drain="manual"),
        point("DW", "drain", -1.0, drain="automatic", opens_below="5 psi"),
    ]
    links = [
        link("PU", "pump", "WELL", "W1", control="pressure_switch"),
        valve("VW", "W1", "J1", "open", "closed"),
        pipe("PD1", "J1", "D1"),
        pipe("PDW", "W1", "DW"),
    ]
    return site_of(site_record(*joined((points, links), lateral("1", "J1")), ["1"]))


def _spur_shut_off_full() -> Case:
    keeps = shutdown()
    return Case(
        "I9", garden(), put_before(keeps, "close SPUR", "run V1"), keeps, keeps[-1].key
    )


def _controller_left_on() -> Case:
    keeps = shutdown()
    breaks = without(keeps, "switch_off K")
    breaks = swapped(breaks, "set K", replace(breaks[0], changes=()))
    return Case("I10", garden(), breaks, keeps, breaks[-1].key)


def _source_valve_not_watched() -> Case:
    keeps = shutdown()
    breaks = without(keeps, "prove_holding IN")
    for key in ("open D0", "open B1/test_cocks"):
        breaks = put_before(breaks, key, "disconnect AIR")
    return Case("I11", garden(), breaks, keeps, "air on V1")


def _house_shut_off() -> Case:
    keeps = shutdown()
    return Case(
        "I12",
        garden(),
        (closing("STOP"), opening("STOP"), *keeps),
        keeps,
        "close STOP",
    )


CASES = (
    _air_towards_a_double_check(),
    _well_let_in_beside_the_town(),
    _air_through_an_anti_siphon_valve(),
    _drain_before_relief(),
    _filled_with_a_drain_open(),
    _air_on_exposed_plastic(),
    _air_before_the_outlet(),
    _pump_against_a_shut_valve(),
    _spur_shut_off_full(),
    _controller_left_on(),
    _source_valve_not_watched(),
    _house_shut_off(),
)

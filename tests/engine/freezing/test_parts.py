"""Which parts the frost can reach, what is assumed of each, what nobody knows."""

from pathlib import Path

import numpy as np
import pytest

from maintenance.engine.errors import EngineError, InputError
from maintenance.engine.freezing.kinds import (
    damaging_night,
    harm_of_ice,
    nominal_size,
)
from maintenance.engine.freezing.part_at_risk import side_by_side
from maintenance.engine.freezing.parts import parts_at_risk
from maintenance.engine.freezing.shelter import shelter_of
from maintenance.engine.freezing.thermal import thermal_part
from maintenance.engine.site import Site
from maintenance.engine.site.record import from_record
from maintenance.exchange.site_file import read_site

DEMO = Path(__file__).parents[3] / "fixtures" / "demo"
INCH = 0.0254


def site_of(*links, points=()):
    ids = {link[end] for link in links for end in ("from", "to")}
    junctions: list[object] = [
        {"id": key, "kind": "junction", "elevation": "0 m"} for key in sorted(ids)
    ]
    record: dict[str, object] = {
        "format": "irrigation-site/1",
        "id": "trial",
        "name": "Trial",
        "place": {"elevation": "0 m", "time_zone": "UTC"},
        "points": [*junctions, *points],
        "links": list(links),
        "zones": [],
    }
    return from_record(Site, record)


def link(key, kind, **more):
    return {"id": key, "kind": kind, "from": f"{key}.a", "to": f"{key}.b", **more}


def only_part(*links, points=()):
    (part,) = parts_at_risk(site_of(*links, points=points))
    return part


def buried(**more):
    pipe = {"pipe": "PVC Sch 40", "size": "1", "length": "10 m", **more}
    return only_part(link("P", "pipe", **pipe))


def assembly(**more):
    return only_part(link("B", "backflow", device="PVB", **more))


def test_an_unknown_depth_is_said_and_never_guessed():
    part = buried(placement="buried", cover="turf")
    assert part.depth_m is None
    assert part.unknown == ("depth",)
    assert part.threshold_of == "soil"
    known = buried(placement="buried", cover="turf", depth="18 in")
    assert known.depth_m == pytest.approx(18 * INCH)
    assert (known.unknown, known.cover) == ((), "turf")


def test_an_unknown_cover_is_taken_as_bare_and_said():
    part = buried(depth="12 in")
    assert part.cover == "bare"
    assert part.unknown == ("placement", "cover")
    assert len(part.assumed) == 2


def test_what_stands_indoors_or_under_water_holds_no_water_or_none_outside_is_left_out():
    site = site_of(
        link("B", "backflow", device="RP", placement="indoors"),
        link("AG", "backflow", device="AG", placement="above_ground"),
        link("PU", "pump", pump="submersible"),
        link("P", "pipe", pipe="copper L", size="1", length="3 m", placement="indoors"),
    )
    assert parts_at_risk(site) == ()


def test_an_assembly_above_ground_has_the_bore_of_its_size():
    part = assembly(size="1", placement="above_ground", enclosure="none")
    assert part.shape is not None
    assert part.shape.inside_diameter_m == pytest.approx(INCH)
    assert part.threshold_k * 1.8 - 459.67 == pytest.approx(28.0)
    assert part.unknown == ()


def test_what_is_not_recorded_of_an_assembly_is_named_and_taken_as_the_quickest():
    unknown = assembly()
    assert unknown.unknown == ("size", "placement", "enclosure")
    for size in ("3/4", "1", "2"):
        known = assembly(size=size, placement="above_ground", enclosure="none")
        assert known.thermal is not None
        assert unknown.thermal is not None
        assert unknown.thermal.latent_j_per_m <= known.thermal.latent_j_per_m * 1.000001


def test_a_large_body_and_a_covered_one_bear_colder_nights():
    degf = [
        part.threshold_k * 1.8 - 459.67
        for part in (
            assembly(size="1", placement="above_ground", enclosure="none"),
            assembly(size="2", placement="above_ground", enclosure="none"),
            assembly(size="1", placement="above_ground", enclosure="pouch R-5"),
        )
    ]
    assert degf == pytest.approx([28.0, 24.0, 20.0])


def test_a_buried_assembly_and_a_zone_valve_follow_the_air_in_their_box():
    for part in (
        assembly(size="1", placement="buried"),
        only_part(link("V", "zone_valve", zone="1")),
    ):
        assert part.threshold_of == "box_air"
        assert part.threshold_k == 273.15
    breaker = only_part(link("V", "zone_valve", zone="1", anti_siphon=True))
    assert breaker.threshold_of == "night_air"


def test_a_pump_of_unknown_place_is_taken_to_stand_in_the_open():
    part = only_part(link("PU", "pump", pump="jet"))
    assert part.threshold_of == "night_air"
    assert set(part.unknown) == {"placement", "size"}


def test_couplers_ports_and_hydrants_are_found_with_their_size():
    points = [
        {"id": "Q", "kind": "quick_coupler", "elevation": "0 m", "opening": "1 in"},
        {
            "id": "A",
            "kind": "blowout_port",
            "elevation": "0 m",
            "fitting": "3/4 in NPT plug",
            "where": "box 1",
        },
        {"id": "H", "kind": "hydrant", "elevation": "0 m"},
        {"id": "T", "kind": "test_cock", "elevation": "0 m"},
    ]
    coupler, port, hydrant = parts_at_risk(site_of(points=points))
    assert coupler.shape is not None
    assert port.shape is not None
    assert coupler.shape.inside_diameter_m == pytest.approx(INCH)
    assert port.shape.inside_diameter_m == pytest.approx(0.75 * INCH)
    assert (port.threshold_of, port.unknown) == ("box_air", ())
    assert hydrant.unknown == ("opening", "where")


def test_an_unknown_pipe_in_the_air_takes_the_smallest_bore_it_can_have():
    pipe = {"length": "3 m", "placement": "above_ground"}
    unknown = only_part(link("P", "pipe", pipe="unknown", size="1", **pipe))
    assert unknown.unknown == ("pipe",)
    assert unknown.shape is not None
    for name in (
        "PVC Sch 40",
        "PVC Sch 80",
        "copper K",
        "PE CTS SDR-7.3",
        "steel Sch 40",
    ):
        known = only_part(link("P", "pipe", pipe=name, size="1", **pipe))
        assert known.shape is not None
        assert unknown.shape.inside_diameter_m <= known.shape.inside_diameter_m


@pytest.mark.parametrize(
    ("text", "insulated", "wind", "unknown"),
    [
        ("none", False, 1.0, ()),
        ("R-10 pouch", True, 1.0, ()),
        ("frost bag", False, 0.0, ("R-value of the enclosure",)),
        ("aluminium enclosure", False, 0.0, ()),
        ("heated hut", False, 0.0, ()),
        ("under the old oak", False, 1.0, ("enclosure",)),
        (None, False, 1.0, ("enclosure",)),
    ],
)
def test_an_enclosure_shelters_only_as_far_as_it_is_understood(
    text, insulated, wind, unknown
):
    shelter = shelter_of(text)
    assert (shelter.insulation is not None) is insulated
    assert (shelter.wind_share, shelter.unknown) == (wind, unknown)


def test_every_demonstration_site_has_its_parts_in_order_of_the_file():
    files = sorted(DEMO.glob("**/*.json"))
    sites = [read_site(f.read_bytes()) for f in files if "compressors" not in f.parts]
    assert len(sites) > 10
    for site in sites:
        parts = parts_at_risk(site)
        assert len({part.part for part in parts}) == len(parts)
        assert any(part.kind == "assembly" for part in parts) or any(
            link.kind == "backflow" and link.placement == "indoors"
            for link in site.links
        )
        above = [part for part in parts if part.thermal is not None]
        thermal, exposure = side_by_side(above)
        assert thermal.latent_j_per_m.shape == exposure.air_share.shape == (len(above),)
        assert np.all(thermal.latent_j_per_m > 0.0)


def test_a_buried_pipe_has_no_outlook_by_the_hour():
    with pytest.raises(EngineError, match=r"^P lies in the ground"):
        side_by_side([buried(depth="12 in")])


@pytest.mark.parametrize("text", ["", "plug", "0", "-1 in", "nan", None, "1/0"])
def test_what_is_no_size_is_unknown_and_not_zero(text):
    assert nominal_size(text) is None


@pytest.mark.parametrize(
    ("inside", "outside", "name"),
    [
        (float("nan"), 0.03, "inside_diameter"),
        (-0.01, 0.03, "inside_diameter"),
        (0.02, 0.02, "outside_diameter"),
        (0.02, float("inf"), "outside_diameter"),
    ],
)
def test_a_part_of_impossible_size_is_refused_by_name(inside, outside, name):
    with pytest.raises(InputError, match=f"^{name}: ") as caught:
        thermal_part(inside, outside, "copper")
    assert caught.value.input == name
    assert damaging_night(0.02, wrapped=False) > damaging_night(0.02, wrapped=True)


@pytest.mark.parametrize(
    ("share", "harm"),
    [
        (0.0, "none"),
        (0.0099, "none"),
        (0.01, "ice_forms"),
        (0.5, "damage_possible"),
        (0.999, "damage_possible"),
        (1.0, "damage_expected"),
    ],
)
def test_the_harm_rises_with_the_ice(share, harm):
    assert harm_of_ice(share) == harm


@pytest.mark.parametrize("share", [float("nan"), -0.1, 1.1])
def test_what_is_no_share_of_ice_is_refused_by_name(share):
    with pytest.raises(InputError, match=r"^ice_fraction: "):
        harm_of_ice(share)


def test_a_site_known_from_a_card_says_so_of_every_part():
    record = {
        "format": "irrigation-site/1",
        "id": "card",
        "name": "Card",
        "place": {"elevation": "0 m", "time_zone": "UTC"},
        "card": {"zones": 2, "pipe": "unknown plastic", "size": "1", "main": "90 ft"},
    }
    parts = parts_at_risk(from_record(Site, record))
    assert {part.kind for part in parts} >= {"assembly", "zone_valve", "buried_pipe"}
    assert all("from a card" in part.assumed[-1] for part in parts)
    assert all(part.depth_m is None for part in parts)

"""Make the whole sheet: prepare, blow, and say it."""

from collections import Counter

from maintenance.engine.blowout.compute import Blown, blow
from maintenance.engine.blowout.figures import sheet_figures
from maintenance.engine.blowout.prepare import AskedSetting, Prepared, prepare
from maintenance.engine.blowout.settings import as_groups
from maintenance.engine.blowout.sheet import RowSheet, Sheet
from maintenance.engine.blowout.unknowns import most_useful_unknown
from maintenance.engine.blowout.words import AFTER, BEFORE, BRING, SIGNS
from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning, without_repeats
from maintenance.engine.site import Compressor, Pipe, Site
from maintenance.engine.site.card import site_from_card
from maintenance.engine.site.quantities import ASSUMED
from maintenance.engine.units import UnitSystem, display

CHANGE_OVER_S = 120.0
"""Hands-on time to change from one row to the next; common practice, no source."""
SET_UP_S = 1800.0
"""Hands-on time to set up and to pack; common practice, no source."""
MOST_PASSES = 20
"""Passes that a person may ask for on each row."""


def make_sheet(
    site: Site,
    compressor: Compressor,
    *,
    setting_pa: float | None = None,
    passes: int | None = None,
    air_temperature_k: float | None = None,
    zone: str | None = None,
    longest_pass_s: float | None = None,
    units: UnitSystem = "us",
) -> Sheet:
    """Compute the blow-out sheet of a site with a compressor.

    Parameters
    ----------
    site : Site
        As recorded, checked; a one-card site is laid out by assumption. [-]
    compressor : Compressor
        As recorded. [-]
    setting_pa : float, optional
        Gauge setting asked for. [Pa]
    passes : int, optional
        Passes asked for, 1 to 20. [-]
    air_temperature_k : float, optional
        Temperature of air, ground and inlet. [K]
    zone : str, optional
        Show this zone only; the rows before it are computed all the same. [-]
    longest_pass_s : float, optional
        The person's own bound on a pass, at least 5 s. [s]
    units : str
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    Sheet
        Everything a face shows. [SI]

    Raises
    ------
    InputError
        If an option cannot be followed.
    """
    if passes is not None and not 1 <= passes <= MOST_PASSES:
        raise InputError(
            f"--passes takes 1 to {MOST_PASSES}.",
            input="passes",
            low=1,
            high=MOST_PASSES,
        )
    assumed_layout = site.card is not None
    whole = site_from_card(site) if assumed_layout else site
    if zone is not None and zone not in {z.id for z in whole.zones}:
        known = ", ".join(z.id for z in whole.zones)
        raise InputError(
            f'--zone "{zone}" is not on this site; it has {known}.', input="zone"
        )
    prepared = prepare(
        whole,
        compressor,
        asked=None if setting_pa is None else AskedSetting(setting_pa, zone),
        air_temperature_k=air_temperature_k,
        longest_pass_s=longest_pass_s,
        units=units,
    )
    blown = blow(prepared, passes=passes)
    rows = tuple(r for r in blown.rows if zone is None or r.row.zone == zone)
    shown = {r.row.key for r in rows}
    settings = {
        key: prepared.settings[key]
        for key in prepared.order
        if key in prepared.settings and key in shown
    }
    left = sum(blown.water.values())
    hands = SET_UP_S + CHANGE_OVER_S * len(rows)
    return Sheet(
        site=site.id,
        site_name=site.name,
        compressor=compressor.id,
        air_temperature_k=prepared.machine.temperature_k,
        groups=as_groups(settings),
        rows=rows,
        answer=answer_sentence(prepared, rows),
        before=BEFORE,
        after=AFTER,
        bring=BRING,
        if_this_happens=SIGNS,
        total_time_s=sum(row.air_s for row in rows) + hands,
        hands_on_time_s=hands,
        total_free_air_m3=sum(row.free_air_m3 or 0.0 for row in rows),
        water_out_m3=blown.site_volume_m3 - left,
        water_left_m3=left,
        site_volume_m3=blown.site_volume_m3,
        most_useful_unknown=most_useful_unknown(prepared, rows),
        assumed=_assumed(prepared, assumed_layout=assumed_layout),
        figures=sheet_figures(prepared, rows),
        warnings=_warnings(prepared, blown),
    )


def answer_sentence(prepared: Prepared, rows: tuple[RowSheet, ...]) -> str:
    """Say the whole sheet in a sentence or two.

    Parameters
    ----------
    prepared : Prepared
        The sheet's decisions. [-]
    rows : tuple of RowSheet
        Rows shown. [-]

    Returns
    -------
    str
        What the compressor should clear, and the settings. [-]
    """
    zones = [row for row in rows if row.row.kind == "zone"]
    verdicts = Counter(row.verdict for row in zones)
    clears = verdicts["enough"] + verdicts["too_much"] + verdicts["enough_with_rests"]
    name = prepared.machine.key
    if not zones:
        return "There is no zone to blow: enter zones with their valves and heads."
    if all(row.set_pressure_pa is None for row in zones):
        return f"No setting can be given for {name}: {zones[0].verdict_text}"
    if len(zones) == 1:
        text = f"{name} {'should' if clears else 'does not'} clear {_named(zones[0])}"
        return f"{text}.{_settings_sentence(rows, prepared.units)}"
    text = f"{name} should clear {clears} of {len(zones)} zones"
    if verdicts["enough_with_rests"]:
        text += f", {verdicts['enough_with_rests']} of them with rests"
    missed = [row.row.key for row in zones if row.verdict in ("not_enough", "cannot")]
    if missed:
        text += f"; not {', '.join(missed[:8])}" + (" and others" if missed[8:] else "")
    return f"{text}.{_settings_sentence(rows, prepared.units)}"


def _named(row: RowSheet) -> str:
    with_rests = ", with rests" if row.verdict == "enough_with_rests" else ""
    return row.name.lower() + with_rests


def _settings_sentence(rows: tuple[RowSheet, ...], units: UnitSystem) -> str:
    """Say the settings in running order: mains, then zones from the highest down."""
    parts = []
    for kind, start in (
        ("main", "mains at "),
        ("zone", "zones at "),
        ("coupler", "couplers at "),
    ):
        found = {
            r.set_pressure_pa for r in rows if r.row.kind == kind and r.set_pressure_pa
        }
        steps = [
            display(s, "pressure", units, "down") for s in sorted(found, reverse=True)
        ]
        if steps:
            parts.append(start + ", then ".join(steps))
    if not parts:
        return ""
    return f" Set {'; '.join(parts)}."


def _assumed(prepared: Prepared, *, assumed_layout: bool) -> tuple[str, ...]:
    result = list(prepared.machine.assumed)
    if assumed_layout:
        result.append(
            "The layout is assumed from one card: every figure is an estimate"
        )
    else:
        result += _assumed_runs(prepared)
    result += [text for bore in prepared.graph.bores.values() for text in bore.assumed]
    result.append("Every row starts with the tank at its start pressure")
    return tuple(dict.fromkeys(result))


def _assumed_runs(prepared: Prepared) -> list[str]:
    """Name the zones that are taken as straight runs, wholly or still in part."""
    whole: list[str] = []
    in_part: list[str] = []
    for zone in prepared.graph.site.zones:
        row = prepared.rows.get(zone.id)
        if row is None or zone.valve not in row.links:
            continue
        beyond = row.links[row.links.index(zone.valve) :]
        lengths = [
            pipe.length.origin
            for pipe in map(prepared.graph.links.get, beyond)
            if isinstance(pipe, Pipe)
        ]
        if ASSUMED in lengths:
            (whole if set(lengths) == {ASSUMED} else in_part).append(zone.id)
    run = "a straight run of equal heads"
    told = (
        (whole, f"assumed layout, {run}"),
        (in_part, f"layout still assumed in part, {run}"),
    )
    return [
        f"{'Zone' if len(zones) == 1 else 'Zones'} {', '.join(zones)}: {words}"
        for zones, words in told
        if zones
    ]


def _warnings(prepared: Prepared, blown: Blown) -> tuple[Warning, ...]:
    found = list(prepared.warnings)
    for row in blown.rows:
        for code, text in row.row.problems:
            found.append(Warning(code, text, (row.row.key,)))
        if row.row.key in prepared.blocked and not row.row.problems:
            found.append(Warning("no_setting", row.verdict_text, (row.row.key,)))
        if row.displacement is not None and row.displacement.time_s is None:
            found.append(Warning("front_stalls", row.verdict_text, (row.row.key,)))
    if prepared.machine.discharge_k is None:
        text = "discharge_temperature is not recorded: no heat clock can be given."
        found.append(Warning("no_heat_clock", text, (prepared.machine.key,)))
    supplies = [p.id for p in prepared.graph.points.values() if p.kind == "supply"]
    if len(supplies) > 1:
        text = "Two sources: shut each and see that it holds before any air."
        found.append(Warning("two_sources", text, tuple(supplies)))
    reached = {link for row in blown.rows for link in row.row.links}
    missed = [key for key in prepared.graph.bores if key not in reached]
    if missed:
        text = "No air reaches these pipes on any row: their water counts as left."
        found.append(Warning("not_reached", text, tuple(missed)))
    return without_repeats(found)

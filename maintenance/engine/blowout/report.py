"""The sheet as the contract's JSON object."""

from maintenance.engine.blowout.sheet import RowSheet, Sheet


def sheet_as_json(sheet: Sheet) -> dict[str, object]:
    """Return the object of ``blowout --json``, format ``blowout/1``.

    Parameters
    ----------
    sheet : Sheet
        The sheet. [-]

    Returns
    -------
    dict
        SI numbers, unrounded, the unit in the key. [-]
    """
    unknown = sheet.most_useful_unknown
    return {
        "format": "blowout/1",
        "site": sheet.site,
        "compressor": sheet.compressor,
        "air_temperature_k": sheet.air_temperature_k,
        "groups": [
            {"setting_pa": g.setting_pa, "rows": list(g.rows)} for g in sheet.groups
        ],
        "zones": [_row(r) for r in sheet.rows if r.row.kind == "zone"],
        "mains": [
            {**_row(r), "to": r.row.to} for r in sheet.rows if r.row.kind != "zone"
        ],
        "answer": sheet.answer,
        "before": list(sheet.before),
        "after": list(sheet.after),
        "bring": list(sheet.bring),
        "if_this_happens": [
            {"sign": s.sign, "meaning": s.meaning, "do": s.do}
            for s in sheet.if_this_happens
        ],
        "total_time_s": sheet.total_time_s,
        "hands_on_time_s": sheet.hands_on_time_s,
        "total_free_air_m3": sheet.total_free_air_m3,
        "water_out_m3": sheet.water_out_m3,
        "water_left_m3": sheet.water_left_m3,
        "site_volume_m3": sheet.site_volume_m3,
        "most_useful_unknown": {"key": unknown.key, "why": unknown.why}
        if unknown
        else None,
        "assumed": list(sheet.assumed),
        "figures": {key: f.as_json() for key, f in sheet.figures.items()},
        "warnings": [w.as_json() for w in sheet.warnings],
    }


def _row(r: RowSheet) -> dict[str, object]:
    volume = None if r.water_at_start_m3 is None else r.row.volume_m3
    return {
        "row": r.row.key,
        "zone": r.row.zone,
        "order": r.order,
        "order_reason": r.order_reason,
        "port": r.row.port or None,
        "volume_m3": volume,
        "water_at_start_m3": r.water_at_start_m3,
        "limit_pressure_pa": r.limit.limit_pa,
        "limited_by": {"part": r.limit.part, "text": r.limit.text},
        "set_pressure_pa": r.set_pressure_pa,
        "displacement": None
        if r.displacement is None
        else {
            "time_s": r.displacement.time_s,
            "left_fraction": r.displacement.left_fraction,
            "peak_pressure_pa": r.displacement.peak_pressure_pa,
            "peak_velocity_m_per_s": r.displacement.peak_velocity,
        },
        "passes": [
            {
                "on_s": p.on_s,
                "rest_s": p.rest_s,
                "left_fraction_after": p.left_fraction_after,
                "left_low": p.left_low,
                "left_high": p.left_high,
            }
            for p in r.passes
        ],
        "gauge": _gauge(r),
        "sweep": [
            {
                "link": s.link,
                "ratio": s.ratio,
                "steepest_rise_deg": s.steepest_rise_deg,
                "swept": s.swept,
            }
            for s in r.sweep
        ],
        "standing_water": [
            {
                "at": w.at,
                "link": w.link,
                "volume_m3": w.volume_m3,
                "fills_bore": w.fills_bore,
                "text": w.text,
            }
            for w in r.standing_water
        ],
        "free_air_m3": r.free_air_m3,
        "verdict": r.verdict,
        "verdict_text": r.verdict_text,
        "least_free_air_m3_per_s": r.least_free_air_m3_per_s,
        "stored_energy_j": r.stored_energy_j,
        "inlet": None
        if r.heat is None
        else {
            "air_temperature_k": r.heat.air_temperature_k,
            "seconds_to_37_8_c": r.heat.seconds_to_warm,
            "seconds_to_60_c": r.heat.seconds_to_hot,
        },
        "longest_pass_s": r.longest_pass_s,
        "cautions": list(r.cautions),
    }


def _gauge(r: RowSheet) -> dict[str, object] | None:
    if r.gauge is None:
        return None
    return {
        "dry_pa": r.gauge.dry_pa,
        "dry_high_pa": r.gauge.dry_high_pa,
        "one_head_blocked_pa": r.gauge.one_head_blocked_pa,
        "two_heads_blocked_pa": r.gauge.two_heads_blocked_pa,
        "heads_stay_up": r.gauge.heads_stay_up,
        "usable": r.gauge.usable,
        "at_compressor_dry_pa": r.gauge.at_compressor_dry_pa,
    }

"""A sheet asked for in metric units says no sentence in others."""

import json
import re
from pathlib import Path

import pytest

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.units import UnitSystem
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site

DEMO = Path(__file__).parents[3] / "fixtures" / "demo"
FOREIGN = {
    "si": re.compile(r"\d (psi|ft|ft/s|gal|gpm|cfm|°F)(?![\w/])(?! \()"),
    "us": re.compile(r"\d (kPa|bar|m|m/s|L|L/s|°C)(?![\w/)])"),
}


def sentences(sheet: Sheet) -> list[str]:
    said = [sheet.answer, *sheet.before, *sheet.after, *sheet.bring, *sheet.assumed]
    said += [warning.text for warning in sheet.warnings]
    if sheet.most_useful_unknown is not None:
        said.append(sheet.most_useful_unknown.why)
    for figure in sheet.figures.values():
        said += [figure.missing, *(entry.text for entry in figure.inputs)]
    for row in sheet.rows:
        said += [row.verdict_text, row.order_reason, row.limit.text]
        said += [*row.limit.reasons, *row.cautions]
        said += [pool.text for pool in row.standing_water]
        said.append(row.gauge.why_not if row.gauge else "")
    return said


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("name", ["yard-25", "pancake-6"])
def test_every_sentence_is_in_the_units_asked_for(name: str, units: UnitSystem) -> None:
    site = read_site((DEMO / "larkmoor.json").read_bytes())
    machine = read_compressor((DEMO / "compressors" / f"{name}.json").read_bytes())
    said = sentences(make_sheet(site, machine, units=units))
    own = {"us": "psi", "si": "kPa"}[units]
    assert any(own in text for text in said)
    foreign = [text for text in said if FOREIGN[units].search(text)]
    assert foreign == []


def test_units_change_no_number() -> None:
    site = read_site((DEMO / "larkmoor.json").read_bytes())
    record = json.loads((DEMO / "compressors" / "yard-25.json").read_text("utf-8"))
    machine = read_compressor(json.dumps(record))
    us, si = (make_sheet(site, machine, units=units) for units in ("us", "si"))
    assert us.groups == si.groups
    assert [row.displacement for row in us.rows] == [r.displacement for r in si.rows]
    assert [row.verdict for row in us.rows] == [row.verdict for row in si.rows]

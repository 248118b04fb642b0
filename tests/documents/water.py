"""Maps of water for the tests of documents: Larkmoor and sites of one rule."""

import json
from collections.abc import Collection
from functools import cache
from typing import Any

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.water_left import WaterLeft, water_left
from maintenance.exchange.site_file import read_site
from tests.benchmarks.sites import larkmoor, yard_compressor
from tests.engine.network.small_sites import Record


@cache
def sheet() -> Sheet:
    return make_sheet(larkmoor(), yard_compressor())


def larkmoor_left(done: Collection[str] | None = None, **keys: Any) -> WaterLeft:
    graph = build_graph(larkmoor())
    return water_left(graph, {}, sheet=sheet(), done_rows=done, **keys)


def left_of(record: Record, **keys: Any) -> WaterLeft:
    return water_left(build_graph(read_site(json.dumps(record))), {}, **keys)

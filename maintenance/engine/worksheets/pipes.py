"""Worksheets on pipes: dimensions, derating, and the limit of one part."""

from maintenance.engine.figure import Warning
from maintenance.engine.pipes.catalogue import pipe_names, pipe_row
from maintenance.engine.pipes.derating import temperature_factor
from maintenance.engine.pipes.limits import (
    PLACEMENTS,
    STANDARDS_ON_COMPRESSED_AIR,
    part_limit,
)
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import temperature

_PIPE = Input(
    name="pipe",
    label="name of the pipe",
    kind="text",
    choices=pipe_names(),
    help="As printed on the pipe; unknown plastic where it cannot be read.",
)
_SIZE = Input(
    name="size",
    label="nominal size",
    kind="text",
    choices=("1", "3/4", "1-1/4", "1-1/2", "2", "63 mm"),
    help="In inches without the unit, or with mm.",
)
_DIMENSIONS = (
    "ASTM D1785, D2241, D2239, D2737, D3035 and B88, ASME B36.10, ISO 4427 and DIN "
    "8062 by way of the tables named on each row of the catalogue"
)
_DERATING = (
    "Machinery's Handbook, 31st ed., Industrial Press 2020, p. 2770, table 14 (PVC)",
    "PPI Handbook of PE Pipe, 2nd ed., errata of 9 December 2021, table A.2 (PE4710)",
    "AWWA M55 (2006), p. 47, table 4-6 (PE3408)",
)


def _pipe(*, pipe: str, size: str) -> Outcome:
    row = pipe_row(pipe, size)
    warnings = []
    if row.mark == "from memory":
        warnings.append(
            Warning(
                "from_memory",
                f"The figures of {row.pipe} {row.size} are from memory; measure the "
                "pipe where they matter.",
                (row.pipe,),
            )
        )
    return Outcome(
        {
            "outside_diameter_m": row.outside_diameter_m,
            "inside_diameter_m": row.inside_diameter_m,
            "volume_m3_per_m": row.volume_m3_per_m,
            "rating_pa": row.rating_pa,
        },
        tuple(warnings),
        assumptions=(f"dimensions from {row.source} ({row.mark})",),
        missing={
            "rating_pa": "no rating by this standard: it depends on temper and joint"
        },
    )


def _pipe_derating(*, material: str, rating: float, temperature: float) -> Outcome:
    factor = temperature_factor(material, temperature)
    return Outcome({"factor": factor, "rating_pa": factor * rating})


def _pressure_limit(
    *,
    pipe: str,
    size: str,
    placement: str,
    temperature: float,
    drop_below_gauge: float,
    local_limit: float | None,
) -> Outcome:
    row = pipe_row(pipe, size)
    local = () if local_limit is None else (("The limit of this part", local_limit),)
    limit = part_limit(
        material=row.material,
        placement=placement,
        rating_pa=row.rating_pa,
        temperature_k=temperature,
        drop_below_gauge_m=drop_below_gauge,
        local_limits=local,
    )
    plastic = row.material not in ("copper", "steel")
    return Outcome(
        {
            "limit_pa": limit.limit_pa,
            "limited_by": limit.limited_by,
            "reasons": [f"{r.text} [{r.source}]" for r in limit.reasons],
        },
        tuple(
            Warning("air_in_plastic", f"{text} [{source}]", (pipe,))
            for text, source in STANDARDS_ON_COMPRESSED_AIR
            if plastic
        ),
        missing={"limit_pa": limit.limited_by},
    )


WORKSHEETS = (
    Worksheet(
        name="pipe",
        title="Pipe dimensions",
        purpose="Diameters, volume and water rating of a pipe of the catalogue.",
        method="table; inside = outside - 2 x minimum wall (SIDR pipe: its bore)",
        inputs=(_PIPE, _SIZE),
        outputs=(
            Output(
                key="outside_diameter_m",
                label="outside diameter",
                dimension="diameter",
            ),
            Output(
                key="inside_diameter_m", label="inside diameter", dimension="diameter"
            ),
            Output(
                key="volume_m3_per_m",
                label="volume in each length",
                dimension="volume_per_length",
                rounding="up",
            ),
            Output(
                key="rating_pa",
                label="rating for cold water",
                dimension="pressure",
                rounding="down",
            ),
        ),
        sources=(_DIMENSIONS,),
        function=_pipe,
        cautions=("The rating is for water at 73 °F (23 °C), never for air.",),
    ),
    Worksheet(
        name="pipe_derating",
        title="Rating of warm pipe",
        purpose="What is left of a plastic pipe's water rating when it is warm.",
        method="PVC: straight lines between points; PE: steps",
        inputs=(
            Input(
                name="material",
                label="compound",
                kind="choice",
                choices=("PVC", "PE4710", "PE3408"),
                help="PE of unknown compound: PE3408.",
            ),
            Input(
                name="rating",
                label="water rating at 73 °F",
                dimension="pressure",
                low=1e4,
                high=1e7,
            ),
            temperature(label="temperature of the pipe", high=500.0),
        ),
        outputs=(
            Output(key="factor", label="share kept", rounding="down"),
            Output(
                key="rating_pa",
                label="rating at that temperature",
                dimension="pressure",
                rounding="down",
            ),
        ),
        sources=_DERATING,
        function=_pipe_derating,
        cautions=("Below 73 °F the factor stays 1; cold PVC breaks more easily.",),
    ),
    Worksheet(
        name="pressure_limit",
        title="Air pressure limit of a part",
        purpose="Highest gauge pressure of air that a pipe should see, and why.",
        method=(
            "least of the trade's cap, 0.72 x derated water rating and local limit, "
            "less the static head of the water from the gauge down to the part"
        ),
        inputs=(
            _PIPE,
            _SIZE,
            Input(
                name="placement",
                label="where the pipe lies",
                kind="choice",
                choices=PLACEMENTS,
            ),
            temperature(label="temperature of air and ground"),
            Input(
                name="drop_below_gauge",
                label="how far the part lies below the gauge",
                dimension="height",
                low=-200.0,
                high=200.0,
                default="0 m",
                default_origin="level with the gauge",
                help="Negative where the part lies higher; that allows no more.",
            ),
            Input(
                name="local_limit",
                label="limit of the part itself",
                dimension="pressure",
                low=0.0,
                high=2e6,
                optional=True,
            ),
        ),
        outputs=(
            Output(
                key="limit_pa",
                label="highest gauge reading",
                dimension="pressure",
                rounding="down",
            ),
            Output(key="limited_by", label="what sets it", kind="text"),
            Output(key="reasons", label="every bound", kind="texts"),
        ),
        sources=(
            (
                "Colorado State University Extension, fact sheet 4.719, as quoted at "
                "gardenguides.com/100407 (caps)"
            ),
            (
                "Missouri Livestock Watering Systems Handbook (USDA-NRCS series), 5.1 "
                "(0.72)"
            ),
            *_DERATING,
        ),
        function=_pressure_limit,
        cautions=("Where plastic pipe is not buried, no setting is given.",),
    ),
)

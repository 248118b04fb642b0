"""The missing fact that would change an answer most."""

from dataclasses import dataclass

from maintenance.engine.blowout.prepare import Prepared
from maintenance.engine.blowout.sheet import RowSheet, Unknown
from maintenance.engine.pipes.limits import TRADE_CAPS
from maintenance.engine.site import Head, Pipe
from maintenance.engine.units import display


@dataclass(frozen=True, slots=True)
class _Change:
    """A missing fact and how much it could move: rows without answer, then pressure."""

    weight: float
    key: str
    why: str


def most_useful_unknown(
    prepared: Prepared, rows: tuple[RowSheet, ...]
) -> Unknown | None:
    """Work out which missing fact would change the sheet most.

    Parameters
    ----------
    prepared : Prepared
        The sheet's decisions. [-]
    rows : tuple of RowSheet
        The rows. [-]

    Returns
    -------
    Unknown or None
        None where nothing that counts is missing. [-]

    Notes
    -----
    A fact that leaves rows without any answer counts most, by their number; then
    one that could raise limits, by the pressure gained summed over the rows whose
    weakest part it is.
    """
    changes = [*_blocking(rows), *_limiting(prepared, rows), *_machine(prepared, rows)]
    if not changes:
        return None
    best = max(changes, key=lambda change: change.weight)
    return Unknown(best.key, best.why)


def _blocking(rows: tuple[RowSheet, ...]) -> list[_Change]:
    counts: dict[str, int] = {}
    for row in rows:
        for _, text in row.row.problems:
            counts[text] = counts.get(text, 0) + 1
    return [
        _Change(1e9 * n, text.split(":")[0], f"{_rows(n)} cannot be computed. {text}")
        for text, n in counts.items()
    ]


def _limiting(prepared: Prepared, rows: tuple[RowSheet, ...]) -> list[_Change]:
    gains: dict[str, float] = {}
    counts: dict[str, int] = {}
    for row in rows:
        part = row.limit.part
        if row.limit.limit_pa is None or not _is_unknown(prepared, part):
            continue
        others = TRADE_CAPS["PVC"][1]
        gains[part] = gains.get(part, 0.0) + others - row.limit.limit_pa
        counts[part] = counts.get(part, 0) + 1
    return [
        _Change(
            gain,
            _missing_key(prepared, part),
            f"It sets the limit of {_rows(counts[part])}; if it is rigid PVC the limit "
            f"could rise by up to {display(gain / counts[part], 'pressure', prepared.units)}.",
        )
        for part, gain in gains.items()
    ]


def _rows(count: int) -> str:
    return "1 row" if count == 1 else f"{count} rows"


def _is_unknown(prepared: Prepared, part: str) -> bool:
    link = prepared.graph.links.get(part)
    if isinstance(link, Pipe):
        return (link.pipe or "unknown").startswith("unknown") and not link.material
    point = prepared.graph.points.get(part)
    return isinstance(point, Head) and point.riser is None


def _missing_key(prepared: Prepared, part: str) -> str:
    return (
        f"links {part}.pipe" if part in prepared.graph.links else f"points {part}.riser"
    )


def _machine(prepared: Prepared, rows: tuple[RowSheet, ...]) -> list[_Change]:
    if prepared.machine.discharge_k is not None or not rows:
        return []
    why = (
        "Without it no heat clock can be given for any row: read it, or ask the lender."
    )
    return [_Change(float(len(rows)), "compressor.discharge_temperature", why)]

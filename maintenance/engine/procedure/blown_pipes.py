"""What the air left in each pipe: the last row that was really blown through it."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from maintenance.engine.blowout.judge import HALF_FULL
from maintenance.engine.blowout.sheet import RowSheet, Sheet
from maintenance.engine.figure import Warning


@dataclass(frozen=True, slots=True)
class BlownPipe:
    """Water in a pipe after a row; ``stands`` where it fills more than half the bore."""

    row: str
    volume_m3: float
    stands: bool


@dataclass(frozen=True, slots=True)
class BlownParts:
    """Where air went: pipes by id, and every link and point on the way.

    ``rows_of`` names the rows of the sheet that a link lies on, blown or not.
    """

    pipes: Mapping[str, BlownPipe]
    links: Mapping[str, str]
    points: frozenset[str]
    rows_of: Mapping[str, tuple[str, ...]]
    warnings: tuple[Warning, ...]


NOTHING_BLOWN: Final = BlownParts({}, {}, frozenset(), {}, ())


def what_air_left(sheet: Sheet | None, done_rows: Collection[str] | None) -> BlownParts:
    """Say what the sheet leaves in each pipe that air went through.

    Parameters
    ----------
    sheet : Sheet or None
        The whole sheet; None where nothing was blown. [-]
    done_rows : collection of str or None
        Keys of the rows that were blown to their end; None for all. [-]

    Returns
    -------
    BlownParts
        What the last of those rows leaves in each pipe. [m³]

    Notes
    -----
    Rows share mains, and each is worked out from what the rows before it left. Where
    one before it was not blown there is more water on its way than it counted on: its
    first front drives out a full pipe too, but later, so what stays is told with a
    warning and not worked out anew.
    """
    if sheet is None:
        return NOTHING_BLOWN
    ordered = sorted(sheet.rows, key=lambda row: row.order)
    asked = {row.row.key for row in ordered} if done_rows is None else set(done_rows)
    done = [row for row in ordered if row.row.key in asked and row.left_in_pipes]
    pipes: dict[str, BlownPipe] = {}
    links: dict[str, str] = {}
    for row in done:
        links.update(dict.fromkeys(row.row.links, row.name))
        for left in row.left_in_pipes:
            stands = left.fullest > HALF_FULL
            pipes[left.link] = BlownPipe(row.name, left.volume_m3, stands)
    rows_of: dict[str, tuple[str, ...]] = {}
    for row in ordered:
        for link in row.row.links:
            rows_of[link] = (*rows_of.get(link, ()), row.name)
    return BlownParts(
        pipes,
        links,
        frozenset(point for row in done for point in row.row.points),
        rows_of,
        (*_not_told(ordered, asked), *_counted_on(ordered, done)),
    )


def _not_told(rows: Sequence[RowSheet], asked: set[str]) -> Iterator[Warning]:
    known = {row.row.key for row in rows}
    unknown = tuple(sorted(asked - known))
    if unknown:
        text = "These rows are not on the sheet: what was blown in them counts as not blown."
        yield Warning("row_not_on_sheet", text, unknown)
    silent = tuple(
        row.row.key for row in rows if row.row.key in asked and not row.left_in_pipes
    )
    if silent:
        text = "The sheet works nothing out for these rows: their pipes count as not blown."
        yield Warning("row_not_worked_out", text, silent)


def _counted_on(
    rows: Sequence[RowSheet], done: Sequence[RowSheet]
) -> Iterator[Warning]:
    """Name rows that counted on pipes which no row before them had emptied after all."""
    emptied: set[str] = set()
    skipped: dict[str, str] = {}
    for row in rows:
        own = [left.link for left in row.left_in_pipes]
        if row not in done:
            skipped.update({link: row.name for link in own if link not in skipped})
            continue
        short = tuple(link for link in own if link in skipped and link not in emptied)
        emptied.update(own)
        if short:
            text = (
                f"{row.name} was worked out after {skipped[short[0]]}, which was not "
                "blown: more water than shown may stay in these pipes."
            )
            yield Warning("counted_on_skipped", text, short)

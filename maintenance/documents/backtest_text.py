"""What dates and rules would have done in past seasons, as plain text."""

from collections.abc import Sequence

from maintenance.documents.text_blocks import columns, listed
from maintenance.engine.climate.backtest import BackTest
from maintenance.engine.climate.fixed_dates import Trial
from maintenance.engine.units import UnitSystem, display


def backtest_text(result: BackTest, name: str, system: UnitSystem = "us") -> str:
    """Write the three tables, and what a failure and a day are."""
    threshold = display(result.threshold_k, "temperature", system)
    crew = result.crew_days
    return "\n\n".join(
        [
            (
                f"Freezes of {threshold} or colder: {name}, each season judged by the "
                "others"
            ),
            f"Work on a date fixed by its chance, {_span(result.fall)}\n"
            + _table("chance", "days lost", result.fixed_fall),
            f"Work when the forecast says it is the last chance, crew {_days(crew)} "
            f"after the call, {result.repeats} drawn forecasts a season\n"
            + _table("act at", "days lost", result.last_chance),
            f"Start on a date fixed by its chance, {_span(result.spring)}\n"
            + _table("chance", "days waited", result.fixed_spring),
            listed(
                "What the columns say",
                (
                    (
                        "Failed: the first damaging freeze came on or before the work day; "
                        "in spring, the last one on the start or later."
                    ),
                    (
                        "Days lost: from the work day to the day before that freeze, mean of "
                        "seasons that did not fail; days waited likewise, after the last."
                    ),
                    (
                        "Forecasts are drawn around what came, without bias, with assumed "
                        "errors that grow with the lead: a real forecast is worse in "
                        "valleys."
                    ),
                ),
            ),
        ]
    )


def _table(at: str, days: str, trials: Sequence[Trial]) -> str:
    lines = [(at, "failed", days)]
    lines += [
        (
            f"{100 * trial.at:.0f} %",
            f"{100 * trial.failure_share:.1f} %",
            "-" if trial.days is None else f"{trial.days:.1f}",
        )
        for trial in trials
    ]
    return columns(lines)


def _span(seasons: Sequence[int]) -> str:
    return f"{len(seasons)} seasons from {seasons[0]} to {seasons[-1]}"


def _days(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"

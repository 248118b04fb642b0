"""What fixed dates and the last-chance rule would have done in past seasons."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

import numpy as np

from maintenance.documents.backtest_text import backtest_text
from maintenance.engine.climate.backtest import back_test, back_test_as_json
from maintenance.engine.errors import InputError
from maintenance.exchange.json_text import json_text
from maintenance.management.climate_options import (
    add_record_options,
    record_named,
    threshold_of,
)
from maintenance.management.plain import PlainCommand

BAR = 30
MOST_REPEATS = 10_000


class Command(PlainCommand):
    """Read a record, try every rule on every season, print the tables."""

    help = (
        "Try fixed dates, and the rule that acts on the forecast's last chance, on each "
        "season of a record, fitted to the others. Forecasts are drawn at random around "
        "what came; the same --seed gives the same draw."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare the record, the crew and the draw."""
        add_record_options(parser, threshold="28 degF")
        parser.add_argument(
            "--crew",
            type=int,
            default=2,
            metavar="DAYS",
            help="days from the call to the work; 2 if not given",
        )
        parser.add_argument(
            "--repeats",
            type=int,
            default=200,
            metavar="N",
            help="forecasts drawn for each season; 200 if not given",
        )
        parser.add_argument(
            "--seed", type=int, default=1, metavar="N", help="start of the draw"
        )

    def answer(self, **options: Any) -> None:
        """Read, try, print."""
        repeats, seed = options["repeats"], options["seed"]
        if not 1 <= repeats <= MOST_REPEATS:
            raise InputError(f"--repeats is {repeats}; write 1 to {MOST_REPEATS:,}")
        if seed < 0:
            raise InputError(f"--seed is {seed}; write 0 or more")
        threshold_k = threshold_of(options["threshold"])
        record = record_named(options["series"], options["unit"])
        result = back_test(
            record.series,
            threshold_k,
            crew_days=options["crew"],
            repeats=repeats,
            rng=np.random.default_rng(seed),
            exact=options["exact"],
            told=self._progress,
        )
        if options["json"]:
            self.show(json_text(back_test_as_json(result)))
        else:
            self.show(backtest_text(result, Path(options["series"]).name))

    def _progress(self, done: int, total: int) -> None:
        """Draw a bar that stays on its line; where nobody watches, only the end."""
        watched, last = self.stderr.isatty(), done == total
        if watched or last:
            bar = "#" * (BAR * done // total)
            line = f"[{bar:<{BAR}}] season {done} of {total}"
            start, ending = ("\r" if watched else ""), ("\n" if last else "")
            self.stderr.write(f"{start}{line}", ending=ending)
            self.stderr.flush()

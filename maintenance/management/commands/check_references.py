"""Recompute every published example and print the differences."""

from typing import Any

from django.core.management.base import CommandError

from maintenance.engine.worksheets.examples import (
    Comparison,
    WordsComparison,
    published_examples,
    recompute,
)
from maintenance.management.plain import PlainCommand


class Command(PlainCommand):
    """Print each example beside what the engine computes now."""

    help = "Recompute every published example and print the differences."

    def answer(self, **_options: Any) -> None:
        """Compare, print, and fail if any difference passes its tolerance."""
        comparisons = [recompute(example) for example in published_examples()]
        for comparison in comparisons:
            self.show(_rows(comparison))
        missed = sum(not comparison.holds for comparison in comparisons)
        by_mark = {
            mark: sum(c.example.mark == mark for c in comparisons)
            for mark in ("published", "computed", "from memory")
        }
        counts = ", ".join(f"{n} {mark}" for mark, n in by_mark.items())
        self.show(f"\n{len(comparisons)} check values ({counts}); {missed} differ.")
        if missed:
            raise CommandError(
                f"{missed} of the check values differ by more than their tolerance: "
                "the rows marked DIFFERS say which."
            )


def _rows(comparison: Comparison | WordsComparison) -> str:
    example = comparison.example
    inputs = "; ".join(f"{name}={text}" for name, text in example.inputs.items())
    verdict = "holds" if comparison.holds else "DIFFERS"
    output = "" if example.is_function else f" {example.output}"
    return (
        f"{verdict:<8}{example.subject}{output}: {example.expected} expected, "
        f"{comparison.text} computed, {comparison.difference_text} "
        f"(tolerance {example.tolerance})\n"
        f"        {inputs}\n"
        f"        [{example.mark}] {example.source}"
    )

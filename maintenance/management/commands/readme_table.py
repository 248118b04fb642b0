"""Write the README's table of what is computed, or check that it is fresh."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from maintenance.engine.errors import EngineError
from maintenance.engine.worksheets.registry import reference_rows
from maintenance.management.plain import PlainCommand

README = Path(__file__).resolve().parents[3] / "README.md"
BEGIN, END = (
    "<!-- worksheets: made by manage.py readme_table -->",
    "<!-- end of table -->",
)


def make_table() -> str:
    """Return the table in Markdown, one line for each worksheet."""
    lines = ["| worksheet | what it works out | sources |", "|---|---|---|"]
    for name, purpose, sources in reference_rows():
        cells = (f"`{name}`", purpose, sources)
        lines.append("| " + " | ".join(c.replace("|", "/") for c in cells) + " |")
    return "\n".join(lines)


def with_table(text: str) -> str:
    """Return the README with its table made anew."""
    before, _, rest = text.partition(BEGIN)
    _, found, after = rest.partition(END)
    if not found:
        raise EngineError(f"README.md has no lines {BEGIN} and {END}; put them back.")
    return f"{before}{BEGIN}\n{make_table()}\n{END}{after}"


class Command(PlainCommand):
    """Keep the README's table of worksheets in step with the worksheets."""

    help = "Write the README's table of what is computed; --check only compares."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Add the option."""
        parser.add_argument(
            "--check", action="store_true", help="compare, write nothing"
        )

    def answer(self, **options: Any) -> None:
        """Write the table, or say that it is old."""
        text = README.read_text("utf-8")
        fresh = with_table(text)
        if options["check"]:
            if fresh != text:
                raise EngineError(
                    "The README's table is old: run manage.py readme_table."
                )
            self.show("The README's table is fresh.")
            return
        README.write_text(fresh, "utf-8")
        self.show("The README's table is written.")

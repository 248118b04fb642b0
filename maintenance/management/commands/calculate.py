"""Compute a worksheet: ``calculate NAME key="value unit" …``."""

import json
from textwrap import fill
from typing import Any, Final

from django.core.management.base import CommandParser

from maintenance.engine.errors import EngineError, InputError
from maintenance.engine.worksheets.declaration import Answer, Worksheet, as_json
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.registry import WORKSHEETS, find_worksheet
from maintenance.management.plain import PlainCommand

_INDENT: Final = " " * 6


class Command(PlainCommand):
    """Read the inputs, compute, and print the answer as text or as JSON."""

    help = (
        "Compute a worksheet. Example: calculate free_air "
        'free_air_delivery="25 cfm" elevation="5280 ft" inlet_temperature="40 degF"'
    )

    def add_arguments(self, parser: CommandParser) -> None:
        """Declare the name, the inputs and the two options."""
        parser.add_argument("worksheet", nargs="?", help="name of the worksheet")
        parser.add_argument(
            "inputs", nargs="*", metavar="key=value", help='such as pressure="50 psi"'
        )
        parser.add_argument(
            "--list",
            action="store_true",
            help="list the worksheets, or what the named one takes",
        )
        parser.add_argument("--json", action="store_true", help="print one JSON object")

    def create_parser(
        self, prog_name: str, subcommand: str, **kwargs: Any
    ) -> CommandParser:
        """Let options stand anywhere among the inputs."""
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        parser.parse_args = parser.parse_intermixed_args  # type: ignore[method-assign]
        return parser

    def answer(self, **options: Any) -> None:
        """Compute, or list."""
        name: str | None = options["worksheet"]
        if options["list"] or name is None:
            self._list(name)
            return
        try:
            result = find_worksheet(name).answer(_pairs(options["inputs"]))
        except EngineError as error:
            if options["json"]:
                self.show(json.dumps({"error": _error(error)}))
            raise
        if options["json"]:
            self.show(json.dumps(as_json(result), indent=2, ensure_ascii=False))
        else:
            self.show(_as_text(find_worksheet(name), result))

    def _list(self, name: str | None) -> None:
        if name is None:
            width = max(len(known) for known in WORKSHEETS)
            rows = [f"{s.name:<{width}}  {s.purpose}" for s in WORKSHEETS.values()]
        else:
            sheet = find_worksheet(name)
            rows = [sheet.purpose, ""]
            rows += [_input_row(entry) for entry in sheet.inputs]
        self.show("\n".join(rows))


def _pairs(words: list[str]) -> dict[str, str]:
    pairs: dict[str, str] = {}
    for word in words:
        key, sign, text = word.partition("=")
        if not sign:
            raise InputError(
                f'"{word}" is not an input; write key="value unit", such as '
                'pressure="50 psi"',
                input=word,
            )
        if key in pairs:
            raise InputError(f"{key} is given twice; give it once", input=key)
        pairs[key] = text
    return pairs


def _error(error: EngineError) -> dict[str, object]:
    if isinstance(error, InputError):
        return {
            "input": error.input,
            "text": str(error),
            "low": error.low,
            "high": error.high,
        }
    return {"input": "", "text": str(error), "low": None, "high": None}


def _input_row(entry: Input) -> str:
    if entry.default is not None:
        note = f"if left out: {entry.default} ({entry.default_origin})"
    else:
        note = "may be left out" if entry.optional else "needed"
    row = f'  {entry.name}="{entry.example}"  {entry.label}; {note}'
    if entry.choices:
        row += f"\n{_choices(entry)}"
    return row + (f"\n{_INDENT}{entry.help}" if entry.help else "")


def _choices(entry: Input) -> str:
    # A choice of several words stays on one line.
    words = ", ".join(choice.replace(" ", "\0") for choice in entry.choices)
    lines = fill(
        f"one of: {words}",
        width=88,
        initial_indent=_INDENT,
        subsequent_indent=_INDENT,
        break_on_hyphens=False,
    )
    return lines.replace("\0", " ")


def _as_text(sheet: Worksheet, result: Answer) -> str:
    lines = [sheet.title, ""]
    for output in sheet.outputs:
        value = result.outputs[output.key]
        if output.key in result.figures:
            figure = result.figures[output.key]
            us, si = figure.text("us"), figure.text("si")
            text = us if us == si else f"{us} ({si})"
            doubt = "" if figure.in_range else "  [outside the range of the method]"
            lines.append(f"{output.label}: {text}{doubt}")
        elif isinstance(value, bool):
            lines.append(f"{output.label}: {'yes' if value else 'no'}")
        elif isinstance(value, list):
            lines += [f"{output.label}:", *(f"  - {entry}" for entry in value)]
        else:
            lines.append(f"{output.label}: {'none' if value is None else value}")
    lines += ["", "From:"]
    for given in result.inputs:
        why = f", {given.why}" if given.why else ""
        lines.append(f"  {given.name} = {given.text} ({given.origin}{why})")
    assumed = {a for figure in result.figures.values() for a in figure.assumptions}
    lines += [
        f"Assumed: {text}" for text in sorted(assumed) if " taken as " not in text
    ]
    lines += [f"Note: {warning.text}" for warning in result.warnings]
    lines += [f"Caution: {text}" for text in sheet.cautions]
    lines += [f"Method: {sheet.method}", *(f"Source: {text}" for text in sheet.sources)]
    return "\n".join(lines)

"""The ordered list of a season, with cautions and the check of each step."""

from argparse import ArgumentParser
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from maintenance.documents.half_day_text import half_day_text
from maintenance.documents.procedure_text import procedure_text
from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.errors import InputError
from maintenance.engine.procedure.frost_night import compile_frost_night
from maintenance.engine.procedure.frost_undo import compile_frost_undo
from maintenance.engine.procedure.half_day import half_a_day
from maintenance.engine.procedure.report import ReportedList, list_as_json, report_list
from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.engine.procedure.startup.compiler import compile_startup
from maintenance.engine.site import Compressor, Site
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.json_text import json_text
from maintenance.management.database import prepare_database
from maintenance.management.plain import PlainCommand
from maintenance.management.site_named import is_file, site_named
from maintenance.services.accounts import local_account
from maintenance.services.inventory import queries

Options = Mapping[str, Any]
CHANGE_OVERS = ("controller", "next_first", "hand")


class Command(PlainCommand):
    """Compile a list; with files nothing is read or kept but those."""

    help = (
        "Compile the list of a season from a site and check each of its steps. A site "
        "or compressor is a file, or the id of one that is kept here."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare the site, the season and what a person decides."""
        parser.add_argument("site", metavar="FILE-or-SITE", help="a site file or an id")
        season = parser.add_mutually_exclusive_group(required=True)
        season.add_argument(
            "--shutdown", action="store_true", help="the autumn shutdown"
        )
        season.add_argument(
            "--startup", action="store_true", help="the spring start-up"
        )
        season.add_argument(
            "--frost-night",
            action="store_true",
            help="the card for one frosty night, and the one that takes it back",
        )
        parser.add_argument(
            "--compressor",
            metavar="FILE-or-ID",
            help="with --shutdown: a compressor file or an id; without one the list "
            "drains only",
        )
        parser.add_argument(
            "--change-over",
            choices=CHANGE_OVERS,
            default=CHANGE_OVERS[0],
            help="with --shutdown, from zone to zone: by the controller with the air "
            "off (default), by the controller with the next zone running first, by hand",
        )
        parser.add_argument(
            "--agreed",
            metavar="ID",
            nargs="+",
            action="extend",
            default=[],
            help="with --shutdown: other uses whose people agree to have no water",
        )
        parser.add_argument(
            "--port", metavar="ID", help="with --shutdown: blow through this port only"
        )
        parser.add_argument(
            "--hours",
            type=float,
            help="with --shutdown or --startup: only so many hours are left; says what "
            "comes first and what can wait",
        )
        parser.add_argument(
            "--people", type=int, default=1, help="with --hours: how many work"
        )
        parser.add_argument(
            "--frost-tonight",
            action="store_true",
            help="with --hours: what freezes first comes first",
        )
        parser.add_argument("--json", action="store_true", help="print one JSON object")

    def answer(self, **options: Any) -> None:
        """Read, compile, check, print."""
        _refuse_misplaced(options)
        site = site_named(options["site"], say=self.say)
        compile_mode = next(mode for name, mode in MODES.items() if options[name])
        reported, sheet = compile_mode(site, options, self._compressor)
        if options["hours"] is not None:
            self._half_day(site, reported, options)
            return
        undo = _undo_of(site, reported) if options["frost_night"] else None
        if options["json"]:
            record = list_as_json(reported)
            if undo is not None:
                record["undo"] = list_as_json(undo)
            self.show(json_text(record))
            return
        self.show(procedure_text(reported, sheet=sheet))
        if undo is not None:
            self.show(f"\n{procedure_text(undo)}")

    def _half_day(self, site: Site, whole: ReportedList, options: Options) -> None:
        half = half_a_day(
            site,
            whole.checked.procedure,
            hours=options["hours"],
            people=options["people"],
            frost_tonight=options["frost_tonight"],
            agreed=options["agreed"],
        )
        if options["json"]:
            today = report_list(site, half.procedure, agreed=options["agreed"])
            self.show(json_text({**list_as_json(today), "half_day": half.as_json()}))
        else:
            self.show(half_day_text(site, half))

    def _compressor(self, name: str) -> Compressor:
        if not is_file(name):
            prepare_database(say=self.say)
            return queries.compressor(local_account(), key=name)
        return read_compressor(Path(name).read_bytes())


Compressors = Callable[[str], Compressor]
Made = tuple[ReportedList, Sheet | None]


def _shutdown(site: Site, options: Options, compressors: Compressors) -> Made:
    sheet = None
    if options["compressor"] is not None:
        sheet = make_sheet(site, compressors(options["compressor"]))
    choices = ShutdownChoices(
        change_over=options["change_over"],
        agreed=frozenset(options["agreed"]),
        port=options["port"],
    )
    procedure = compile_shutdown(site, sheet=sheet, choices=choices)
    reported = report_list(site, procedure, sheet=sheet, agreed=choices.agreed)
    return reported, sheet


def _startup(site: Site, _options: Options, _compressors: Compressors) -> Made:
    return report_list(site, compile_startup(site)), None


def _frost_night(site: Site, _options: Options, _compressors: Compressors) -> Made:
    return report_list(site, compile_frost_night(site)), None


def _undo_of(site: Site, night: ReportedList) -> ReportedList:
    undo = compile_frost_undo(site, night=night.checked.procedure)
    return report_list(site, undo, start=night.checked.end)


MODES: Mapping[str, Callable[[Site, Options, Compressors], Made]] = {
    "shutdown": _shutdown,
    "startup": _startup,
    "frost_night": _frost_night,
}


def _refuse_misplaced(options: Options) -> None:
    """Refuse what the list asked for cannot follow, rather than leave it out unsaid."""
    if options["hours"] is None:
        for name, usual in (("people", 1), ("frost_tonight", False)):
            if options[name] != usual:
                flag = name.replace("_", "-")
                raise InputError(f"--{flag} goes with --hours only.", input=name)
    elif options["frost_night"]:
        raise InputError("--hours goes with --shutdown or --startup.", input="hours")
    if options["shutdown"]:
        return
    for name in ("compressor", "port", "agreed"):
        if options[name]:
            raise InputError(f"--{name} goes with --shutdown only.", input=name)

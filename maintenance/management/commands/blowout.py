"""The blow-out sheet of a site with a compressor."""

import json
import threading
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from maintenance.documents.blowout_text import sheet_text
from maintenance.documents.remedies_text import remedies_text
from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.remedies import help_for_zone, remedies_as_json
from maintenance.engine.blowout.report import sheet_as_json
from maintenance.engine.errors import InputError
from maintenance.engine.site import Compressor
from maintenance.engine.units import parse_quantity
from maintenance.exchange.compressor_file import read_compressor
from maintenance.management.database import prepare_database
from maintenance.management.plain import PlainCommand
from maintenance.management.site_named import is_file, site_named
from maintenance.services.accounts import local_account
from maintenance.services.inventory import queries

PATIENCE_S = 1.0
"""After this long a person who waits is told what is going on."""


class Command(PlainCommand):
    """Compute the sheet; with two files nothing is read or kept but those."""

    help = (
        "Compute the blow-out sheet of a site with a compressor: limits, settings, "
        "times, order, and whether it is enough. A site or compressor is a file, or "
        "the id of one that is kept here."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare the site, the compressor and what a person may ask for."""
        parser.add_argument("site", metavar="FILE-or-SITE", help="a site file or an id")
        parser.add_argument(
            "--compressor",
            metavar="FILE-or-ID",
            required=True,
            help="a compressor file or an id",
        )
        parser.add_argument(
            "--set",
            metavar='"30 psi"',
            help="setting of the regulator; above a limit it is refused",
        )
        parser.add_argument(
            "--passes", metavar="N", type=int, help="passes on each row, 1 to 20"
        )
        parser.add_argument(
            "--air",
            metavar='"50 degF"',
            help="temperature of air and ground; default: the site's, else 50 degF",
        )
        parser.add_argument("--zone", metavar="ID", help="this zone only")
        parser.add_argument(
            "--remedies",
            action="store_true",
            help="with --zone: what would help it, the cheapest first",
        )
        parser.add_argument("--json", action="store_true", help="print one JSON object")

    def answer(self, **options: Any) -> None:
        """Read, compute, print."""
        if options["remedies"] and options["zone"] is None:
            raise InputError(
                "--remedies looks at one zone at a time: name it with --zone.",
                input="remedies",
            )
        setting_pa = _pressure(options["set"])
        air_k = _temperature(options["air"])
        site = site_named(options["site"], say=self.say)
        compressor = self._compressor(options["compressor"])
        with self._patience(f"Computing {site.name}."):
            sheet = make_sheet(
                site,
                compressor,
                setting_pa=setting_pa,
                passes=options["passes"],
                air_temperature_k=air_k,
                zone=options["zone"],
            )
            helps = (
                help_for_zone(
                    site, compressor, zone=options["zone"], air_temperature_k=air_k
                )
                if options["remedies"]
                else None
            )
        if options["json"]:
            record = sheet_as_json(sheet)
            if helps is not None:
                record |= remedies_as_json(helps)
            self.show(json.dumps(record, indent=2, allow_nan=False, ensure_ascii=False))
        else:
            self.show(sheet_text(sheet))
            if helps is not None:
                self.show("\n" + remedies_text(helps))

    def _compressor(self, name: str) -> Compressor:
        if not is_file(name):
            prepare_database(say=self.say)
            return queries.compressor(local_account(), key=name)
        return read_compressor(Path(name).read_bytes())

    @contextmanager
    def _patience(self, sentence: str) -> Iterator[None]:
        """Say a sentence if the work takes long enough for a person to wonder."""
        told = threading.Timer(PATIENCE_S, self.say, (sentence,))
        told.daemon = True
        told.start()
        try:
            yield
        finally:
            told.cancel()


def _pressure(text: str | None) -> float | None:
    if text is None:
        return None
    value = _read("--set", text, "pressure")
    if value <= 0:
        raise InputError(
            f'--set "{text}" is no pressure to blow with: write e.g. "30 psi".',
            input="set",
        )
    return value


LOWEST_AIR_K, HIGHEST_AIR_K = 233.15, 333.15


def _temperature(text: str | None) -> float | None:
    if text is None:
        return None
    value = _read("--air", text, "temperature")
    if not LOWEST_AIR_K <= value <= HIGHEST_AIR_K:
        raise InputError(
            f'--air "{text}" is no air outdoors: give -40 to 140 degF.', input="air"
        )
    return value


def _read(option: str, text: str, dimension: str) -> float:
    try:
        return parse_quantity(text, dimension)
    except InputError as refusal:
        raise InputError(f"{option}: {refusal}.", input=option[2:]) from refusal

"""Season lists as a browser without scripts meets them: its forms, read and sent."""

from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any

from django.test import Client

from maintenance.exchange.compressor_file import read_compressor
from maintenance.services.accounts import local_account
from maintenance.services.inventory.store import store_compressor, store_site
from maintenance.services.seasons.kept_list import WholeList
from maintenance.services.seasons.queries import lists_of_site, season_list
from tests.fixtures.demo import DEMO, larkmoor
from tests.services.inventory.files import (
    SPRING,
    example,
    read,
    read_machine,
    rich_file,
)

SITE = "example-lateral"
LISTS = f"/sites/{SITE}/lists/"


@dataclass
class Form:
    """A form of a page: where it goes, its fields, and its buttons by what they say."""

    action: str
    fields: dict[str, str] = field(default_factory=dict)
    buttons: dict[str, tuple[str, str]] = field(default_factory=dict)

    def send(
        self, office: Client, button: str = "", *, script: bool = False, **typed: Any
    ) -> Any:
        """Press a button; with a script the page asks as the library does."""
        pressed = dict([self.buttons[button]] if button in self.buttons else [])
        assert not button or button in self.buttons, self.buttons
        headers = {"HX-Request": "true"} if script else {}
        data = {**self.fields, **{k: v for k, v in pressed.items() if k}, **typed}
        return office.post(self.action, data, headers=headers)


class _Reader(HTMLParser):
    """Collects forms, with the fields that stand elsewhere and name their form."""

    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.by_id: dict[str, Form] = {}
        self.open: Form | None = None
        self.text: tuple[Form, str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {key: value or "" for key, value in attrs}
        if tag == "form":
            self.open = Form(told.get("action", ""))
            self.forms.append(self.open)
            self.by_id[told.get("id", "")] = self.open
        form = self.by_id.get(told["form"]) if "form" in told else self.open
        if form is None:
            return
        if tag == "button":
            said = told.get("aria-label", "") or "button"
            form.buttons[said] = (told.get("name", ""), told.get("value", ""))
        elif "name" in told and tag == "textarea":
            form.fields[told["name"]] = ""
            self.text = (form, told["name"])
        elif "name" in told:
            form.fields[told["name"]] = told.get("value", "")

    def handle_data(self, data: str) -> None:
        if self.text:
            form, name = self.text
            form.fields[name] += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.open = None
        if tag == "textarea":
            self.text = None


def forms_of(answer: Any) -> list[Form]:
    """Return the forms of a page."""
    reader = _Reader()
    reader.feed(answer.content.decode())
    return reader.forms


def form_to(answer: Any, ending: str) -> Form:
    """Return the first form of a page whose address ends so."""
    found = [form for form in forms_of(answer) if form.action.endswith(ending)]
    assert found, [form.action for form in forms_of(answer)]
    return found[0]


def keep_site() -> None:
    """Keep a small site and a compressor."""
    account = local_account()
    store_site(read(rich_file()), account=account, now=SPRING)
    machine = read_machine(example("compressor-25"))
    store_compressor(machine, account=account, now=SPRING)


def start(office: Client, season: str = "shutdown", **answers: str) -> WholeList:
    """Start a list by its form; return it."""
    page = f"{LISTS}start/{season}/"
    answer = office.post(page, {"year": "2026", **answers})
    assert answer.status_code == 302, answer.content.decode()
    return latest()


def start_estate(office: Client) -> WholeList:
    """Keep Larkmoor and the compressor of its yard, start its shutdown; return it."""
    account = local_account()
    store_site(larkmoor(), account=account, now=SPRING)
    machine = read_compressor((DEMO / "compressors" / "yard-25.json").read_bytes())
    store_compressor(machine, account=account, now=SPRING)
    page = "/sites/larkmoor/lists/start/shutdown/"
    assert office.post(page, {"compressor": "yard-25"}).status_code == 302
    (line,) = lists_of_site(account, site_key="larkmoor")
    return season_list(account, list_id=line.head.id)


def latest() -> WholeList:
    """Return the newest list of the site."""
    account = local_account()
    line = lists_of_site(account, site_key=SITE)[0]
    return season_list(account, list_id=line.head.id)


def address(whole: WholeList, *more: object) -> str:
    """Return an address below a list's own."""
    lists = f"/sites/{whole.head.site_key}/lists/"
    return lists + "/".join(str(each) for each in (whole.head.id, *more)) + "/"


def look(office: Client, whole: WholeList) -> Any:
    """Open the list."""
    answer = office.get(address(whole))
    assert answer.status_code == 200
    return answer


def tick(office: Client, whole: WholeList, number: int | None, **typed: Any) -> Any:
    """Tick a step by its number as the page stands now."""
    line = next(line for line in whole.steps if line.number == number)
    form = form_to(look(office, whole), f"/{line.id}/done/")
    return form.send(office, **typed)


def finish(office: Client, whole: WholeList) -> WholeList:
    """Tick all that is left and end all zones."""
    for line in latest().steps_left:
        form_to(look(office, whole), f"/{line.id}/done/").send(office)
    for zone in latest().zones_left:
        form_to(look(office, whole), f"/zones/{zone.zone}/").send(
            office, f"Done: zone {zone.zone}"
        )
    return latest()

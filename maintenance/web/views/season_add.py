"""A person adds a step to a list, behind one that is there."""

from secrets import token_urlsafe
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from maintenance.documents.season_words import list_title
from maintenance.engine.errors import EngineError
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory import queries as inventory
from maintenance.services.seasons.arrange import add_step
from maintenance.services.seasons.kept_list import StepLine, WholeList
from maintenance.services.seasons.queries import season_list
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.own_step import OwnStepForm
from maintenance.web.page import show_page
from maintenance.web.views.season_list import go_on, refuse_elsewhere
from maintenance.web.who import who_works


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def add(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Ask for the step and put it where the person wants it."""
    account = account_of(request)
    whole = season_list(account, list_id=list_id)
    refuse_elsewhere(whole.head, key)
    site = inventory.site(account, key=key)
    asked = request.POST if request.method == "POST" else request.GET
    behind = _behind(whole, asked.get("after", ""))
    form = OwnStepForm(request.POST if request.method == "POST" else None, site=site)
    client_id = request.POST.get("client_id") or token_urlsafe(12)
    if request.method == "POST" and form.is_valid():
        block = behind.step.block if behind else ""
        try:
            added = add_step(
                account,
                list_id=list_id,
                step=form.step(client_id=client_id, block=block),
                after=behind.id if behind else None,
                now=timezone.now(),
                actor=who_works(request),
            )
        except NotFoundError:
            raise
        except EngineError as refusal:
            form.add_error(None, str(refusal))
        else:
            return go_on(request, key, list_id, f"step-{added}")
    context: dict[str, Any] = {
        "head": whole.head,
        "title": list_title(whole.head),
        "form": form,
        "behind": behind,
        "client_id": client_id,
    }
    status = 422 if form.errors else 200
    return show_page(request, "season_add.html", context, status=status)


def _behind(whole: WholeList, number: str) -> StepLine | None:
    """Return the step to stand behind: the one asked for, else the last."""
    standing = [line for line in whole.all_steps if not line.gone]
    asked = (line for line in standing if str(line.id) == number)
    last = standing[-1] if standing else None
    return next(asked, None if number == "head" else last)

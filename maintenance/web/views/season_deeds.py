"""What a person does with a season's list: tick, skip, undo, move, tell how a zone is."""

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_POST

from maintenance.engine.errors import EngineError
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.seasons.arrange import move_step, write_notes
from maintenance.services.seasons.carry_out import (
    Tick,
    record_step,
    skip_step,
    undo_step,
)
from maintenance.services.seasons.queries import (
    refuse_no_step,
    season_head,
    season_list,
)
from maintenance.services.seasons.suggested_ends import take_over_ends
from maintenance.services.seasons.zone_ends import set_zone_outcome
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.readings_asked import read_seconds
from maintenance.web.season_rows import ZONES, Refusal
from maintenance.web.views.season_list import (
    go_on,
    place_in,
    refuse_elsewhere,
    show_list,
)
from maintenance.web.who import keep_name, who_works

if TYPE_CHECKING:
    from maintenance.models import Account

_TYPED = ("reading", "seconds", "note", "reason", "outcome", "place", "notes")


@require_POST
@answered
def tick(request: HttpRequest, key: str, list_id: int, step: int) -> HttpResponse:
    """Store that a step is done; sent twice, it is stored once."""
    post = request.POST

    def deed(account: "Account") -> object:
        told = Tick(
            step=step,
            client_id=post.get("client_id", ""),
            outcome="done",
            reading=post.get("reading", "").strip(),
            seconds=read_seconds(post.get("seconds", "")),
            note=post.get("note", "").strip(),
        )
        now, who = timezone.now(), who_works(request)
        return record_step(account, list_id=list_id, tick=told, now=now, actor=who)

    return _do(request, key, list_id, deed, at=f"step-{step}", step=step)


@require_POST
@answered
def skip(request: HttpRequest, key: str, list_id: int, step: int) -> HttpResponse:
    """Store that a step is skipped, and why."""
    post = request.POST

    def deed(account: "Account") -> object:
        return skip_step(
            account,
            list_id=list_id,
            step=step,
            client_id=post.get("client_id", ""),
            reason=post.get("reason", ""),
            now=timezone.now(),
            actor=who_works(request),
        )

    return _do(request, key, list_id, deed, at=f"step-{step}", step=step)


@require_POST
@answered
def undo(request: HttpRequest, key: str, list_id: int, step: int) -> HttpResponse:
    """Take back what was reported of a step."""

    def deed(account: "Account") -> object:
        return undo_step(
            account,
            list_id=list_id,
            step=step,
            client_id=request.POST.get("client_id", ""),
            now=timezone.now(),
            actor=who_works(request),
        )

    return _do(request, key, list_id, deed, at=f"step-{step}", step=step)


@require_POST
@answered
def move(request: HttpRequest, key: str, list_id: int, step: int) -> HttpResponse:
    """Put a step behind another one, or at a place that is typed in."""

    def deed(account: "Account") -> None:
        now, who = timezone.now(), who_works(request)
        after = _behind(account, request, list_id, step)
        move_step(account, list_id=list_id, step=step, after=after, now=now, actor=who)

    return _do(request, key, list_id, deed, at=f"step-{step}", step=step)


@require_POST
@answered
def zone(request: HttpRequest, key: str, list_id: int, zone: str) -> HttpResponse:
    """Store how a zone ended, or take it back."""
    post = request.POST

    def deed(account: "Account") -> object:
        return set_zone_outcome(
            account,
            list_id=list_id,
            zone=zone,
            outcome=post.get("outcome") or None,  # type: ignore[arg-type]
            seen=post.get("seen") or None,  # type: ignore[arg-type]
            note=post.get("note", ""),
            now=timezone.now(),
            actor=who_works(request),
        )

    return _do(request, key, list_id, deed, at=place_in(post.get("at", "")) or ZONES)


@require_POST
@answered
def zones(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Store of all zones what their steps say."""

    def deed(account: "Account") -> object:
        now, who = timezone.now(), who_works(request)
        return take_over_ends(account, list_id=list_id, now=now, actor=who)

    return _do(request, key, list_id, deed, at=ZONES)


@require_POST
@answered
def notes(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Write the notes of a list in place of those seen."""

    def deed(account: "Account") -> None:
        write_notes(
            account,
            list_id=list_id,
            notes=_text(request, "notes"),
            seen=_text(request, "seen"),
            now=timezone.now(),
            actor=who_works(request),
        )

    return _do(request, key, list_id, deed, at="notes")


@require_POST
@answered
def who(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Keep the name of who is at work with this browser."""
    answer = _do(request, key, list_id, lambda _account: None, at="")
    keep_name(answer, request.POST.get("name", ""))
    return answer


def _do(
    request: HttpRequest,
    key: str,
    list_id: int,
    deed: Callable[["Account"], object],
    *,
    at: str,
    step: int | None = None,
) -> HttpResponse:
    """Do it and go on, or say at its row of the list why it was refused."""
    account = account_of(request)
    refuse_elsewhere(season_head(account, list_id=list_id), key)
    if step is not None:
        refuse_no_step(account, list_id=list_id, step=step)
    try:
        deed(account)
    except NotFoundError:
        raise
    except EngineError as refused:
        typed = {name: request.POST.get(name, "") for name in _TYPED}
        refusal = Refusal(at, str(refused), typed)
        status = 409 if isinstance(refused, ConflictError) else 422
        return show_list(request, key, list_id, refusal=refusal, status=status)
    return go_on(request, key, list_id, request.POST.get("then", at))


def _behind(
    account: "Account", request: HttpRequest, list_id: int, step: int
) -> int | None:
    """Return the step to stand behind: named by a button, or by a place typed in."""
    if "after" in request.POST:
        after = request.POST["after"]
        return int(after) if re.fullmatch(r"[0-9]{1,9}", after) else None
    whole = season_list(account, list_id=list_id)
    others = [e.id for e in whole.all_steps if not e.gone and e.id != step]
    place = request.POST.get("place", "").strip()
    number = re.fullmatch(r"[0-9]{1,9}", place)
    if number is None or not 1 <= int(place) <= len(others) + 1:
        raise ServiceError(
            f'"{place}" is no place in this list: write a number from 1 to '
            f"{len(others) + 1}."
        )
    return others[int(place) - 2] if int(place) > 1 else None


def _text(request: HttpRequest, name: str) -> str:
    """Return a text of several lines, its line ends as they are kept."""
    return request.POST.get(name, "").replace("\r\n", "\n").strip()

"""The next piece of the jobs is done, once."""

import logging
from collections.abc import Mapping
from datetime import datetime, timedelta

from django.db import DatabaseError, transaction

from maintenance.engine.errors import EngineError
from maintenance.services.jobs.claim import (
    OvertakenError,
    claim_piece,
    claimable,
    count_done,
    give_back,
)
from maintenance.services.jobs.values import Claimed, Piece, Prepare, Store

_log = logging.getLogger(__name__)


def work_on_next(
    doers: Mapping[str, Prepare], *, lease: timedelta, now: datetime
) -> bool:
    """Do the next piece of the job that waits longest; False where none waits.

    What a piece needs is worked out with no transaction open. It is stored in the same
    transaction that counts it, under the condition that this worker still holds it: so
    a worker that was overtaken, or killed at any point, stores nothing twice.

    Parameters
    ----------
    doers : mapping
        Who works out a piece, by the kind of job.
    lease : timedelta
        How long a piece is held.
    now : datetime
        When this happens.

    Raises
    ------
    DatabaseError
        If the database does not answer: the lease brings the piece back.
    """
    piece = claim_piece(lease=lease, now=now)
    if piece is None:
        return False
    try:
        store = _prepared(doers, piece, now)
        with transaction.atomic():
            count_done(piece, store(), now=now)
    except OvertakenError:
        pass  # whoever has it now goes on with it
    except DatabaseError:
        raise
    except BaseException:
        give_back(piece)  # as when the worker is told to end in the middle of it
        raise
    return True


def _prepared(doers: Mapping[str, Prepare], piece: Claimed, now: datetime) -> Store:
    """Work a piece out; what a person can mend, and what not, is said with the job."""
    asked = {**piece.asked, "job": piece.job}
    try:
        return doers[piece.kind](piece.account, asked, piece.sites, now)
    except EngineError as refusal:
        said = str(refusal)
    except DatabaseError:
        raise
    except Exception:  # noqa: BLE001  (one site must not stop the others)
        _log.exception("A piece of job %d failed.", piece.job)
        said = "The tool made a mistake here; its log says more."
    refused = Piece(
        {"refused": len(piece.sites)}, [f"{', '.join(piece.sites)}: {said}"]
    )
    return lambda: refused


def waiting_jobs() -> int:
    """Count the jobs that a worker could take up now."""
    return claimable().count()

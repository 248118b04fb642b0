"""What the page of a draft shows: questions, the verdict as it stands, what is wrong."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from maintenance.documents.test_report import reading_table
from maintenance.engine.backflow.criteria import shipped_criteria
from maintenance.engine.backflow.readings import DEVICE_WORDS
from maintenance.engine.backflow.verdict_words import RESULT_WORDS
from maintenance.services.backflow.drafts import Typed, answers_of, get_draft
from maintenance.services.backflow.judge_draft import Judged, judge_answers, kind_of
from maintenance.services.backflow.sign import draft_payload
from maintenance.services.backflow.test_queries import testers_and_gauges
from maintenance.services.backflow.test_sheet import HAS_SHUT_OFFS, kept_answers
from maintenance.services.errors import ServiceError
from maintenance.web.forms.field_test import sheet_blocks
from maintenance.web.forms.field_test_words import LABELS

if TYPE_CHECKING:
    from maintenance.models import Account, Gauge, TestDraft, Tester


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why something was not stored; a conflict if someone else was faster."""

    text: str
    conflict: bool = False


@dataclass(frozen=True, slots=True)
class Difference:
    """One answer that differs from the one that is kept."""

    label: str
    typed: str
    kept: str


@dataclass(frozen=True, slots=True)
class _Seen:
    """A draft with the answers and the kit that the page shows."""

    draft: "TestDraft"
    answers: dict[str, str]
    tester: "Tester | None"
    gauge: "Gauge | None"
    testers: "list[Tester]"
    gauges: "list[Gauge]"


def sheet_context(
    account: "Account",
    draft_id: int,
    *,
    typed: Typed | None = None,
    refusal: Refusal | None = None,
) -> dict[str, Any]:
    """Return what the whole page shows."""
    seen = _seen(account, draft_id, typed)
    draft, judged = seen.draft, _judged(seen)
    device = judged.sheet.device
    retest = draft.follows_id is not None
    before = _before(draft, judged) if retest else None
    return {
        **_verdict(seen, judged, refusal, saved=False),
        "blocks": sheet_blocks(
            device,
            seen.answers,
            judged.sheet.faults,
            retest=retest,
            corrects=draft.corrects_id is not None,
        ),
        "site": draft.device.site,
        "link": draft.device.link.key,
        "words": DEVICE_WORDS[device],
        "inspection": device in ("AVB", "AG"),
        "testers": seen.testers,
        "gauges": seen.gauges if device in HAS_SHUT_OFFS else [],
        "asks_gauge": device in HAS_SHUT_OFFS,
        "tester": seen.tester,
        "gauge": seen.gauge,
        "seat": uuid4().hex,
        "before": before,
        "criteria": judged.criteria,
        "all_criteria": shipped_criteria(),
    }


def verdict_context(
    account: "Account",
    draft_id: int,
    *,
    typed: Typed,
    refusal: Refusal | None = None,
    saved: bool = False,
) -> dict[str, Any]:
    """Return what the part with the verdict shows."""
    seen = _seen(account, draft_id, typed)
    return _verdict(seen, _judged(seen), refusal, saved=saved) | {"swapped": True}


def _verdict(
    seen: _Seen, judged: Judged, refusal: Refusal | None, *, saved: bool
) -> dict[str, Any]:
    decides = judged.final or judged.initial
    repairable = (
        judged.final is None
        and judged.initial is not None
        and judged.initial.result in ("failed", "not_tested")
    )
    return {
        "draft": seen.draft,
        "result": "" if judged.sheet.is_blank else judged.result,
        "result_words": RESULT_WORDS[judged.result],
        "sentences": decides.sentences if decides else (),
        "buffer": decides.buffer if decides else None,
        "initial_result": RESULT_WORDS[judged.initial.result]
        if judged.initial and judged.final
        else "",
        "faults": list(judged.sheet.faults.items()),
        "doubts": judged.doubts,
        "flags": judged.flags,
        "repairable": repairable and not judged.sheet.is_blank,
        "refusal": refusal,
        "differences": _differences(seen) if refusal and refusal.conflict else [],
        "saved": saved,
    }


def _seen(account: "Account", draft_id: int, typed: Typed | None) -> _Seen:
    draft = get_draft(account, draft_id)
    testers, gauges = testers_and_gauges(account)
    if typed is None:
        answers = answers_of(draft)
        return _Seen(draft, answers, draft.tester, draft.gauge, testers, gauges)
    tester = next((each for each in testers if each.pk == typed.tester_id), None)
    gauge = next((each for each in gauges if each.pk == typed.gauge_id), None)
    try:
        answers = kept_answers(kind_of(draft), typed.answers)
    except ServiceError:
        answers = {key: typed.answers.get(key, "") for key in LABELS}
    return _Seen(draft, answers, tester, gauge, testers, gauges)


def _judged(seen: _Seen) -> Judged:
    return judge_answers(
        kind_of(seen.draft),
        seen.answers,
        retest=seen.draft.follows_id is not None,
        tester=seen.tester,
        gauge=seen.gauge,
    )


def _before(draft: "TestDraft", judged: Judged) -> Any:
    """Return the readings that led to a retest, without its own."""
    payload = draft_payload(draft, judged)
    return reading_table(payload | {"sets": []})


def _differences(seen: _Seen) -> list[Difference]:
    kept = answers_of(seen.draft)
    keys = [
        key
        for key in {**kept, **seen.answers}
        if kept.get(key) != seen.answers.get(key)
    ]
    found = [
        Difference(_label(key), seen.answers.get(key, ""), kept.get(key, ""))
        for key in keys
    ]
    if seen.draft.tester != seen.tester:
        found.append(
            Difference("Tester", str(seen.tester or ""), str(seen.draft.tester or ""))
        )
    if seen.draft.gauge != seen.gauge:
        found.append(
            Difference("Gauge", str(seen.gauge or ""), str(seen.draft.gauge or ""))
        )
    return found


def _label(key: str) -> str:
    return LABELS.get(key, key.removesuffix("_word").replace("_", " "))

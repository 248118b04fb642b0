"""The fields of a test report, filled in from all that was known at the test."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from maintenance.engine.backflow.report_fields import REPORT_FIELDS
from maintenance.engine.backflow.verdict_words import RESULT_WORDS
from maintenance.services.backflow.test_payload import Payload
from maintenance.services.backflow.test_sheet import CARRIED, REPAIR

Texts = Mapping[str, str]

_INCH_M: Final = 0.0254
_OF_INITIAL: Final = ("tested_on", "tested_at", "test_year")
_BY_HAND: Final = ("owner_signature", "owner_signed_on")
"""Left empty, to be written on paper."""


def report_texts(payload: Payload, followed: Payload | None) -> dict[str, str]:
    """Return the text of each report field, empty where nothing is known.

    In the report of a retest the initial readings are those of the test it follows.
    """
    texts = {field.key: "" for field in REPORT_FIELDS}
    texts |= {
        **_place(payload),
        **_assembly(payload),
        **_test(payload),
        **_kit(payload),
    }
    if followed is not None:
        before = {key: text for _, key, _, text in followed["report"]}
        texts |= {
            key: text
            for key, text in before.items()
            if key.startswith("initial_") or key in _OF_INITIAL
        }
    return {field.key: texts[field.key] for field in REPORT_FIELDS}


def report_rows(texts: Texts) -> list[list[str]]:
    """Return group, key, words and text of each field, as a record keeps them."""
    return [
        [field.group, field.key, field.words, texts[field.key]]
        for field in REPORT_FIELDS
    ]


def in_order_of(rows: Sequence[Sequence[str]], keys: Sequence[str]) -> list[list[str]]:
    """Put kept rows into an order of keys; what the order does not name comes last."""
    places = {key: place for place, key in enumerate(keys)}
    return [
        list(row)
        for row in sorted(rows, key=lambda row: places.get(row[1], len(places)))
    ]


def _place(payload: Payload) -> dict[str, str]:
    answers, facts = payload["answers"], payload["assembly"]["facts"]
    carried = {key: answers.get(key, "") for key in CARRIED}
    carried["facility_name"] = carried["facility_name"] or payload["site"]["name"]
    where = facts.get("position") or ""
    return carried | {
        "account_number": facts.get("account_number") or "",
        "downstream_hazard": facts.get("hazard") or "",
        "device_location": where or f"at {payload['assembly']['link']}",
        "protected_from_freezing": _yes_no(facts.get("kept_from_freezing")),
        "protected_from_flooding": _yes_no(facts.get("safe_from_flooding")),
        "meter_reading": answers.get("meter_reading", ""),
    }


def _assembly(payload: Payload) -> dict[str, str]:
    assembly = payload["assembly"]
    facts = assembly["facts"]
    readings = {k: v for each in payload["sets"] for k, v in each["readings"].items()}
    height_m = facts.get("height_m")
    return {
        "device": f"{assembly['device']}, {assembly['words']}",
        "manufacturer": facts.get("make") or "",
        "model": facts.get("model") or "",
        "size": assembly["size"],
        "serial": assembly["serial"],
        "height_off_floor": ""
        if height_m is None
        else f"{height_m / _INCH_M:.0f} in ({height_m:.2f} m)",
        "replaced_serial": assembly["replaced_serial"],
        "orientation_proper": _yes_no(facts.get("oriented_properly")),
        "properly_installed": readings.get("properly_installed")
        or _yes_no(facts.get("installed_properly")),
        "relief_air_gap": readings.get("relief_air_gap", ""),
    }


def _test(payload: Payload) -> dict[str, str]:
    answers, criteria = payload["answers"], payload["criteria"]
    sets = {each["name"]: each for each in payload["sets"]}
    initial, final = sets.get("initial"), sets.get("final")
    either = initial or final or {}
    texts = {
        "supply_pressure": either.get("supply_pressure", ""),
        "test_year": answers.get("test_year") or either.get("on", "")[:4],
        "criteria": f"{criteria['procedure']}, {criteria['edition']}",
        "shut_off_2_holds": either.get("shut_off_2_holds", ""),
        "unable_because": either.get("unable_because", ""),
        "comments": answers.get("comments", ""),
        **{key: payload["repair"].get(key, "") for key in REPAIR},
    }
    if initial:
        texts |= {"tested_on": initial["on"], "tested_at": initial["at"]}
        texts |= _readings("initial", initial)
    if final:
        texts |= {"retested_on": final["on"], "retested_at": final["at"]}
        texts |= _readings("final", final)
    return texts


def _readings(name: str, taken: Mapping[str, Any]) -> dict[str, str]:
    known = {field.key for field in REPORT_FIELDS}
    texts = {f"{name}_{key}": text for key, text in taken["readings"].items()}
    texts[f"{name}_buffer"] = taken["buffer"]
    texts[f"{name}_result"] = RESULT_WORDS[taken["result"]]
    return {key: text for key, text in texts.items() if key in known}


def _kit(payload: Payload) -> dict[str, str]:
    tester, gauge = payload["tester"] or {}, payload["gauge"] or {}
    signed = payload.get("signed")
    texts = {
        "gauge_make": gauge.get("make", ""),
        "gauge_serial": gauge.get("serial", ""),
        "gauge_calibrated_on": gauge.get("calibrated") or "",
        "tester_name": tester.get("name", ""),
        "tester_certificate": tester.get("certificate", ""),
        "tester_certificate_ends": tester.get("ends") or "",
        **dict.fromkeys(_BY_HAND, ""),
    }
    if signed:
        texts["tester_signature"] = f"signed here by {signed['by']}"
        texts["tester_signed_on"] = signed["on"]
    return texts


def _yes_no(value: object) -> str:
    return {True: "yes", False: "no"}.get(value, "") if isinstance(value, bool) else ""

"""Whether a certificate and a gauge's calibration were in date on the day of a test.

The last day counts. Yearly accuracy checks of gauges: a Texas city's policy
(ecode360.com/39979432). Certificates of three years: 10 NYCRR 5-1.31. That 29 February
runs out on 28 February is our own choice.
"""

from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from dateutil.relativedelta import relativedelta

from maintenance.engine.errors import InputError

Standing = Literal["in date", "ended", "not begun", "unknown"]
_LONGEST_MONTHS: Final = 1200


@dataclass(frozen=True, slots=True)
class Validity:
    """How something stood on the day of a test; ``text`` is empty where in date."""

    state: Standing
    text: str = ""

    @property
    def flagged(self) -> bool:
        """Whether a person has to look at it [-]."""
        return self.state != "in date"


def years_after(start: date, years: int) -> date:
    """Return the anniversary of a date.

    Parameters
    ----------
    start : date
        Such as the day a certificate was issued [date].
    years : int
        How long it runs [years].

    Returns
    -------
    date
        The same day of the year; for 29 February where there is none, the 28th [date].

    Raises
    ------
    InputError
        For a span below 1 month or above 100 years, or beyond the calendar.

    Examples
    --------
    >>> years_after(date(2024, 2, 29), 3).isoformat()
    '2027-02-28'
    """
    return months_after(start, 12 * years)


def months_after(start: date, months: int) -> date:
    """Return a date some months on.

    Parameters
    ----------
    start : date
        Such as the day of a calibration [date].
    months : int
        How long it runs [months].

    Returns
    -------
    date
        The same day of the month, or the month's last [date].

    Raises
    ------
    InputError
        For a span below 1 month or above 100 years, or beyond the calendar.
    """
    if not 1 <= months <= _LONGEST_MONTHS:
        raise InputError(
            f"{months} months is no span of validity; give 1 month to 100 years"
        )
    try:
        return start + relativedelta(months=months)
    except (ValueError, OverflowError) as error:
        raise InputError(f"{start} is too late a date; look at the year") from error


def certificate_on(
    tested: date, *, issued: date | None = None, ends: date | None = None
) -> Validity:
    """Say how a tester's certificate stood on the day of a test.

    Parameters
    ----------
    tested : date
        Day of the test, at the site [date].
    issued : date or None
        First day of the certificate [date].
    ends : date or None
        Its last day, None where not recorded [date].

    Returns
    -------
    Validity
        With one sentence where it was not in date, or nobody knows [text].
    """
    return _on("tester's certificate", "begins", tested, issued, ends)


def calibration_on(
    tested: date, *, calibrated: date | None = None, ends: date | None = None
) -> Validity:
    """Say how the calibration of a gauge stood on the day of a test.

    Parameters
    ----------
    tested : date
        Day of the test, at the site [date].
    calibrated : date or None
        Day of the calibration or accuracy check [date].
    ends : date or None
        Its last day, None where not recorded [date].

    Returns
    -------
    Validity
        With one sentence where it was not in date, or nobody knows [text].
    """
    return _on("gauge's calibration", "was done", tested, calibrated, ends)


def _on(
    what: str, verb: str, tested: date, begins: date | None, ends: date | None
) -> Validity:
    if ends is not None and tested > ends:
        return Validity(
            "ended", f"The {what} ended on {ends}, before the test on {tested}."
        )
    if begins is not None and tested < begins:
        return Validity(
            "not begun", f"The {what} {verb} on {begins}, after the test on {tested}."
        )
    if ends is None:
        return Validity(
            "unknown",
            f"The end of the {what} is not recorded, so nobody can tell whether it "
            f"was in date at the test on {tested}.",
        )
    return Validity("in date")

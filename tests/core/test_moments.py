"""Times with zones, against Python's datetime."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core import moments
from app.core.errors import Refused

ZONES = st.integers(-14 * 60, 14 * 60).map(lambda minutes: datetime.timezone(datetime.timedelta(minutes=minutes)))


@given(st.datetimes(datetime.datetime(1970, 1, 2), datetime.datetime(2200, 1, 1), timezones=ZONES))
def test_milliseconds_are_those_of_datetime(moment: datetime.datetime) -> None:
    moment = moment.replace(microsecond=moment.microsecond // 1000 * 1000)
    epoch = datetime.datetime(1970, 1, 1, tzinfo=datetime.UTC)
    assert moments.milliseconds(moment.isoformat(timespec="milliseconds")) == (moment - epoch) // datetime.timedelta(
        milliseconds=1
    )


@given(st.dates(datetime.date(1900, 1, 1), datetime.date(2300, 1, 1)))
def test_dates_go_there_and_back(date: datetime.date) -> None:
    days = moments.day_number(date.isoformat())
    assert days == (date - datetime.date(1970, 1, 1)).days
    if days >= 0:
        assert moments.date_text(days) == date.isoformat()


@pytest.mark.parametrize("text", ["2026-02-30", "2026-13-01", "26-01-01", "2026/01/01", "", "yesterday"])
def test_what_is_no_date_is_refused(text: str) -> None:
    with pytest.raises(Refused) as refused:
        moments.day_number(text, "calibrated")
    assert refused.value.field == "calibrated"


@pytest.mark.parametrize(
    "text", ["2026-03-14", "2026-03-14T10:22:05", "2026-03-14T25:00+01:00", "2026-03-14T10:61Z", None, 5, "2026-03-14T1a:00Z"]
)
def test_what_is_no_time_with_zone_is_refused(text: object) -> None:
    with pytest.raises(Refused):
        moments.milliseconds(text)  # type: ignore[arg-type]

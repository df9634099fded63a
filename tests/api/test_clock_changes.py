"""Nights on which the clock changes: elapsed minutes count, not the difference on the wall."""

import csv
import datetime
import os

import pytest

from bakehouse import BAKERY
from harness import ROOT, enter, place

with open(os.path.join(ROOT, "tests", "sources", "09_dst.csv"), newline="") as source:
    ROWS = {row["case"]: row for row in csv.DictReader(source)}

# Published as a start and so many hours; here the end is asked for and the start must come out.
ELAPSED = ["proof-london-spring", "proof-london-autumn", "proof-ny-autumn", "proof-berlin-spring"]


@pytest.fixture(scope="module", autouse=True)
def dough(owner):
    enter(owner, {
        "/bakery": BAKERY,
        "/ingredients/flour": {"name": "Flour", "kind": "flour", "unit": "g"},
        "/ingredients/water": {"name": "Water", "kind": "water", "unit": "g"},
        "/customers/shop": {"name": "Shop"}})


@pytest.fixture
def begins(owner):
    """begins(zone, bread day, ready at, minutes): when the mix begins, and its mixing date."""
    orders = []

    def reckon(zone, bread_day, ready_at, minutes, day_starts_at="12:00"):
        enter(owner, {
            "/bakery": {**BAKERY, "time_zone": zone, "ready_at": ready_at, "day_starts_at": day_starts_at},
            "/formulas/dough": {"name": "Dough", "basis": "final",
                                "lines": [{"ingredient": "flour", "pct": 100}, {"ingredient": "water", "pct": 60}],
                                "stages": [{"stage": "proof", "minutes": minutes}]},
            "/products/loaf": {"name": "Loaf", "parts": [{"formula": "dough", "g": 1000}]}})
        orders.append(place(owner, "shop", bread_day, loaf=10))
        dough, = owner.get(f"/days/{bread_day}/production")["doughs"]
        mix, = owner.get(f"/mixing-lists/{dough['mixing_date']}")["mixes"]
        assert mix["steps"][0]["begins_at"] == mix["begins_at"]
        return mix["begins_at"], dough["mixing_date"]

    yield reckon
    for order in orders:
        assert owner.delete(order.location).status == 204


@pytest.mark.parametrize("case", ELAPSED)
def test_twelve_hours_elapse_over_the_change(begins, case):
    row = ROWS[case]
    assert row["operation"] == "+12 h elapsed"
    end = datetime.datetime.fromisoformat(row["expected"])
    begin, mixing_date = begins(row["zone"], end.date().isoformat(), f"{end:%H:%M}", 12 * 60)
    assert begin.startswith(row["local_start"])
    assert end - datetime.datetime.fromisoformat(begin) == datetime.timedelta(hours=12)
    assert mixing_date == row["local_start"][:10]


@pytest.mark.parametrize("bread_day, hours", [("2027-03-28", 11), ("2027-10-31", 13), ("2027-03-27", 12)])
def test_a_night_from_nine_to_nine_has_its_hours(begins, bread_day, hours):
    assert ROWS["wall-london-spring"]["expected"] == "11 h elapsed"
    begin, _ = begins("Europe/London", bread_day, "09:00", hours * 60)
    assert begin[11:16] == "21:00"


@pytest.mark.parametrize("case, zone", [("uk-dates", "Europe/London"), ("us-dates", "America/New_York")])
def test_the_clock_changes_on_the_published_dates_and_on_no_day_beside_them(begins, case, zone):
    for changing in ROWS[case]["expected"].split(", "):
        date = datetime.date.fromisoformat(changing)
        clocks = [begins(zone, (date + datetime.timedelta(days=n)).isoformat(), "06:00", 12 * 60)[0][11:16]
                  for n in (-1, 0, 1)]
        assert clocks == ["18:00", "17:00" if date.month == 3 else "19:00", "18:00"]


def test_a_time_that_the_clock_skips_is_taken_by_the_clock_before(begins):
    assert ROWS["gap-london"]["operation"] == "does not exist"
    begin, _ = begins("Europe/London", "2027-03-28", "01:30", 60)
    assert begin == "2027-03-28T00:30:00+00:00"


def test_of_a_time_that_comes_twice_the_first_counts(begins):
    assert ROWS["fold-london"]["operation"] == "happens twice"
    begin, _ = begins("Europe/London", "2027-10-31", "01:30", 60)
    assert begin == "2027-10-31T00:30:00+01:00"


@pytest.mark.parametrize("bread_day, hours, mixing_date", [
    ("2027-03-20", 18, "2027-03-19"),  # an ordinary night: begins at 12:30 the day before
    ("2027-03-28", 18, "2027-03-26"),  # an hour less: begins at 11:30, in the working day before that
    ("2027-10-24", 19, "2027-10-22"),  # an ordinary night: begins at 11:30
    ("2027-10-31", 19, "2027-10-30"),  # an hour more: begins at 12:30
])
def test_the_change_moves_a_mix_into_another_working_day(begins, bread_day, hours, mixing_date):
    assert begins("Europe/London", bread_day, "06:30", hours * 60)[1] == mixing_date

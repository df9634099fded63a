"""Rates of labour, energy, overhead and delivery: dated, so that the past keeps its own."""

from decimal import Decimal

import pytest

from bakehouse import day
from harness import enter, everything, place
from pricework import MONEY, RATES, open_shop

EMPTY = {"hand_hour": None, "kwh": None, "overhead_month": None, "overhead_by": "minutes", "overhead_base": None, "round": None, "round_pieces": None}


@pytest.fixture(scope="module", autouse=True)
def shop(owner):
    open_shop(owner)


@pytest.mark.parametrize("body, shown", [
    ({}, {}),
    (RATES, RATES),
    ({"hand_hour": "0"}, {"hand_hour": "0.00"}),
    ({"kwh": "0.287654", "overhead_by": None}, {"kwh": "0.287654"}),
    ({"overhead_month": "1", "overhead_base": 1, "overhead_by": "pieces"}, {"overhead_month": "1.00", "overhead_base": 1, "overhead_by": "pieces"}),
    ({"round": "18.5", "round_pieces": 1000000000}, {"round": "18.50", "round_pieces": 1000000000})])
def test_rates_come_back_as_they_were_entered(owner, body, shown):
    path = "/rates/2019-05-01"
    created = owner.put(path, body)
    assert created.status == 201
    wanted = {**EMPTY, **{name: f"{Decimal(value):.2f}" if name in ("overhead_month",) else value for name, value in shown.items()}}
    assert created.body == {"from": "2019-05-01", **wanted}
    assert owner.get(path).body == created.body and owner.put(path, body).status == 200
    assert created.body in owner.get("/rates")["items"]
    assert owner.delete(path).status == 204 and owner.get(path).status == 404 and owner.delete(path).status == 404


@pytest.mark.parametrize("path, body, pointers", [
    ("/rates/2026-02-30", {}, [""]), ("/rates/tomorrow", {}, [""]), ("/rates/2026-1-1", {}, [""]),
    ("/rates/2026-01-01", {"hand_hour": 24.5}, ["/hand_hour"]), ("/rates/2026-01-01", {"kwh": "-0.31"}, ["/kwh"]),
    ("/rates/2026-01-01", {"kwh": "0.3100001"}, ["/kwh"]), ("/rates/2026-01-01", {"hand_hour": "1e3"}, ["/hand_hour"]),
    ("/rates/2026-01-01", {"hand_hour": "1000000000.000001"}, ["/hand_hour"]),
    ("/rates/2026-01-01", {"overhead_month": "4200"}, ["/overhead_base"]), ("/rates/2026-01-01", {"overhead_base": 1}, ["/overhead_month"]),
    ("/rates/2026-01-01", {"round": "18"}, ["/round_pieces"]), ("/rates/2026-01-01", {"round_pieces": 3}, ["/round"]),
    ("/rates/2026-01-01", {"round": "18", "round_pieces": 0}, ["/round_pieces"]),
    ("/rates/2026-01-01", {"overhead_month": "1", "overhead_base": 1.5}, ["/overhead_base"]),
    ("/rates/2026-01-01", {"overhead_by": "weight"}, ["/overhead_by"]), ("/rates/2026-01-01", {"from": "2026-01-01"}, ["/from"]),
    ("/rates/2026-01-01", [], [""]),
    ("/rates/2026-01-01", {"hand_hour": "x", "kwh": 1, "overhead_base": 0, "round": "-1", "wages": "1"},
     ["/hand_hour", "/kwh", "/overhead_base", "/overhead_month", "/round", "/round_pieces", "/wages"])])
def test_every_fault_is_told_at_its_place_and_nothing_stored(owner, path, body, pointers):
    before = owner.get("/rates").text
    answer = owner.put(path, body)
    assert (answer.status, sorted(answer.pointers)) == (422, pointers), answer
    assert owner.get("/rates").text == before


def test_nobody_overwrites_what_they_have_not_seen(owner):
    path, etag = "/rates/2020-01-01", owner.get("/rates/2020-01-01").etag
    assert owner.get(path, If_None_Match=etag).status == 304
    assert owner.put(path, {**RATES, "kwh": "0.32"}, If_Match=etag).status == 200
    assert owner.put(path, RATES, If_Match=etag).status == 412 and owner.put(path, RATES, If_None_Match="*").status == 412
    assert owner.delete(path, If_Match=etag).status == 412
    enter(owner, {path: RATES})


def test_pages_make_up_the_list_by_date(owner):
    dates = [f"2018-0{n}-01" for n in range(1, 8)]
    enter(owner, {f"/rates/{date}": {"hand_hour": str(n)} for n, date in enumerate(reversed(dates))})
    whole, cut, path = owner.list("/rates"), [], "/rates?limit=3"
    while path:
        page = owner.get(path)
        cut.append(page["items"])
        path = page["next"]
    assert sum(cut, []) == whole and [len(page) for page in cut][:-1] == [3] * (len(cut) - 1)
    assert [item["from"] for item in whole] == sorted(dates + ["2020-01-01"])
    for date in dates:
        owner.delete(f"/rates/{date}")


def test_every_day_is_costed_by_the_rates_of_its_own(owner):
    enter(owner, {f"/rates/{day(8)}": {"hand_hour": "49.00"}})
    for n in (7, 8, 9):
        place(owner, "cafe", day(n), country_loaf=24)
    before, on, after = (owner.get(f"/products/country-loaf/cost?date={day(n)}").body for n in (7, 8, 9))
    labour = {cost["date"]: next(Decimal(line["cost"]) for line in cost["lines"] if line["what"] == "labour") for cost in (before, on, after)}
    assert labour[day(8)] == labour[day(9)] and abs(labour[day(8)] - 2 * labour[day(7)]) < Decimal("0.00001")
    assert before["left_out"] == [] and on["left_out"] == ["energy", "delivery", "overhead"] and {"hand_hour"} < set(RATES)
    assert owner.delete(f"/rates/{day(8)}").status == 204
    assert owner.get(f"/products/country-loaf/cost?date={day(8)}")["left_out"] == []


def test_only_the_owner_sees_rates(owner, baker, counter):
    before = everything(owner)
    for client in (baker, counter):
        assert {client.get("/rates").status, client.get("/rates/2020-01-01").status, client.put("/rates/2020-01-01", RATES).status,
                client.delete("/rates/2020-01-01").status} == {403}
    assert everything(owner) == before and MONEY["/rates/2020-01-01"] == RATES

"""A second look at a timetable: what of it does not hold, read off its tasks alone and the bodies that
were entered. Written from what bakers can do, not from the program.

    violations(house, tasks)     {(kind, {ids})} of everything that breaks: order, mixer, deck, cold, late
    hands_short(house, tasks)    [(from, to, needed, there)] as the timetable must tell it
    whole(house, date, shown)    raises unless every piece and every gram of the day is there once

A house is {"bakery": body, "formulas": {code: body}, "products": {code: body}}.
"""

import datetime
import math
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

from clockwork import MINUTE, UTC, instant


def span(task):
    return instant(task["begins_at"]), instant(task["ends_at"])


def before_oven(formula):
    """The stages that a batch goes through; by itself the first is in the mixer."""
    stages = [dict(stage) for stage in formula.get("stages") or []]
    if stages and not formula.get("by_hand") and not any(stage.get("uses") for stage in stages):
        stages[0]["uses"] = "mixer"
    uses = [stage.get("uses") for stage in stages]
    oven = uses.index("oven") if "oven" in uses else len(stages)
    return stages[:oven], stages[oven:]


def taken_at(task, tasks):
    """When the last task that waits for it begins; else its own end."""
    waiting = [instant(other["begins_at"]) for other in tasks if task["id"] in other["after"]]
    return max([instant(task["ends_at"]), *waiting])


# --- what does not hold ---


def out_of_order(tasks):
    by_id = {task["id"]: task for task in tasks}
    return {("order", frozenset((task["id"], earlier))) for task in tasks for earlier in task["after"]
            if earlier in by_id and instant(task["begins_at"]) < instant(by_id[earlier]["ends_at"])}


def late(tasks):
    last = {task["id"] for task in tasks} - {earlier for task in tasks for earlier in task["after"]}
    return {("late", frozenset((task["id"],))) for task in tasks
            if task["id"] in last and task["ready_at"] and instant(task["ends_at"]) > instant(task["ready_at"])}


def overlapping(kind, tasks, apart):
    """Pairs of neighbours of one machine that are too close. apart(one, next): what must be between them."""
    found = set()
    timed = sorted((task for task in tasks if task["begins_at"] != task["ends_at"]), key=lambda task: (span(task)[0], task["id"]))
    for one, other in zip(timed, timed[1:]):
        if span(other)[0] < span(one)[1] + apart(one, other):
            found.add((kind, frozenset((one["id"], other["id"]))))
    return found


def machines(house, tasks):
    found = set()
    recovery = {oven["code"]: oven.get("recovery_minutes") or 0 for oven in house["bakery"].get("ovens") or []}
    for mixer in {task["mixer"] for task in tasks if task["mixer"]}:
        found |= overlapping("mixer", [task for task in tasks if task["mixer"] == mixer], lambda one, other: 0 * MINUTE)
    for oven, deck in {(task["oven"], task["deck"]) for task in tasks if task["oven"]}:
        found |= overlapping("deck", [task for task in tasks if (task["oven"], task["deck"]) == (oven, deck)],
                             lambda one, other: (recovery[oven] if one["kind"] == other["kind"] == "load" else 0) * MINUTE)
    return found


def fullest_cold(tasks):
    """The most grams that are ever in the cold at once."""
    chilled = [(instant(task["begins_at"]), taken_at(task, tasks), task["dough_g"]) for task in tasks if task["uses"] == "cold"]
    return max((sum(g for begins, ends, g in chilled if begins <= at < ends) for at, _, _ in chilled), default=Decimal(0))


def waiting(house, tasks):
    """Longer than the baker said that it may. (Where nothing was said, it is no break when a dough is taken load by load.)"""
    found = set()
    for task in tasks:
        if task["kind"] not in ("mix", "stage"):
            continue
        most = {stage["stage"]: stage.get("most_minutes") for stage in house["formulas"][task["formula"]]["stages"]}[task["stage"]]
        if most and (max(taken_at(task, tasks), span(task)[1]) - span(task)[0]) // MINUTE > most:
            found.add(("waits", task["id"]))
    return found


def violations(house, tasks):
    return out_of_order(tasks) | late(tasks) | machines(house, tasks)


# --- hands ---


def hands_there(house, at):
    zone, there = ZoneInfo(house["bakery"]["time_zone"]), 0
    today = at.astimezone(zone).date()
    for shift in house["bakery"].get("shifts") or []:
        for days in range(-2, 2):
            date = today + datetime.timedelta(days=days)
            if date.isoweekday() not in (shift.get("days") or range(1, 8)):
                continue
            begins, ends = (datetime.datetime.combine(day, datetime.time.fromisoformat(shift[clock]), zone).astimezone(UTC)
                            for day, clock in ((date, "from"), (date + datetime.timedelta(days=shift["to"] <= shift["from"]), "to")))
            there += (shift.get("hands") or 1) * (begins <= at < ends)
    return there


def hands_short(house, tasks):
    zone = ZoneInfo(house["bakery"]["time_zone"])
    busy = [(*span(task), task["hands"]) for task in tasks if task["hands"]]
    if not busy or not house["bakery"].get("shifts"):  # nobody has said who is there
        return []
    moments = {moment for begins, ends, _ in busy for moment in (begins, ends)}
    first, last = min(moments), max(moments)
    at = first
    for shift in house["bakery"].get("shifts") or []:
        for days in range(-2, (last - first).days + 3):
            date = first.astimezone(zone).date() + datetime.timedelta(days=days)
            moments |= {datetime.datetime.combine(date, datetime.time.fromisoformat(shift[clock]), zone).astimezone(UTC) for clock in ("from", "to")}
    found = []
    for at, until in zip(sorted(moments), sorted(moments)[1:]):
        needed, there = sum(hands for begins, ends, hands in busy if begins <= at < ends), hands_there(house, at)
        if needed <= there:
            continue
        if found and found[-1][1:] == (at, needed, there):
            found[-1] = (found[-1][0], until, needed, there)
        else:
            found.append((at, until, needed, there))
    return found


# --- that all is there ---


def batches(house, mix, tasks):
    """One mix of a mixing list: every batch goes through all its stages, one after the other at once."""
    formula = house["formulas"][mix["formula"]]
    stages, _ = before_oven(formula)
    mine = [task for task in tasks if task["kind"] in ("mix", "stage") and task["formula"] == mix["formula"] and task["mixing_date"] == mix["mixing_date"]]
    assert len(mine) == mix["batches"] * len(stages), mix["formula"]
    dough = Decimal(0)
    for number in range(1, mix["batches"] + 1):
        batch = sorted((task for task in mine if task["batch"] == number), key=lambda task: (span(task), len(task["after"]), task["id"]))
        shown = [(task["stage"], task["uses"], task["hands"]) for task in batch]
        assert shown == [(stage["stage"], stage.get("uses"), stage.get("hands") or 0) for stage in stages], mix["formula"]
        for task in batch:
            begins, ends = span(task)
            assert ends - begins == task["minutes"] * MINUTE
            assert task["mixer"] == (mix["mixer"] if task["uses"] == "mixer" else None) and (task["kind"] == "mix") == (task["uses"] == "mixer")
            assert (task["batches"], task["moved"], task["for"]) == (mix["batches"], False, mix["for"])
        follow_each_other(batch, stages, tasks)
        dough += batch[0]["dough_g"] if batch else 0
    assert not stages or abs(dough - mix["dough_g"]) <= Decimal("0.001") * mix["batches"]


def follow_each_other(batch, stages, tasks):
    """Each at the end of the one before; a stage lasts as long as it should, or at most as long as it may. What the last one's
    dough then still waits, while it is taken load by load, is told."""
    for one, other in zip(batch, batch[1:]):
        assert one["id"] in other["after"] and span(other)[0] == span(one)[1]
    for task, stage in zip(batch, stages):
        assert stage["minutes"] <= task["minutes"] <= max(stage["minutes"], stage.get("most_minutes") or 0), f"{task['id']} lasts {task['minutes']}"
        assert task["waits_minutes"] == (taken_at(task, tasks) - span(task)[1]) // MINUTE


def loads(house, date, production, tasks):
    """Every piece of the day is baked once, no deck holds more than it can, and each is hot when it is loaded."""
    baked = {}
    ovens = {oven["code"]: oven for oven in house["bakery"].get("ovens") or []}
    for load in (task for task in tasks if task["kind"] == "load"):
        places = Fraction(0)
        for item in load["items"]:
            bake = house["products"][item["product"]]["bake"]
            places += Fraction(item["pieces"], bake["per_place"])
            assert [(step["c"], step["minutes"]) for step in load["steps"]] == [(step["c"], step["minutes"]) for step in bake["steps"]]
            if load["for"] == [date]:
                baked[item["product"]] = baked.get(item["product"], 0) + item["pieces"]
        assert math.ceil(places) <= (ovens[load["oven"]].get("places") or 1), f"{load['id']} does not fit"
        assert 1 <= load["deck"] <= (ovens[load["oven"]].get("decks") or 1)
        assert load["minutes"] == sum(step["minutes"] for step in load["steps"]) and span(load)[1] - span(load)[0] == load["minutes"] * MINUTE
        heated(ovens[load["oven"]], load, tasks)
    wanted = {row["product"]: row["pieces"] for row in production["products"] if house["products"][row["product"]].get("bake")}
    assert baked == wanted


def heated(oven, load, tasks):
    """Somewhere before the load its deck was preheated."""
    if not oven.get("preheat_minutes"):
        return
    heats = [task for task in tasks if task["kind"] == "preheat" and (task["oven"], task["deck"]) == (load["oven"], load["deck"])
             and span(task)[1] <= span(load)[0]]
    assert heats, f"{load['id']} goes into a cold oven"
    assert {task["minutes"] for task in heats} == {oven["preheat_minutes"]}


def cooling(house, tasks):
    """After every load come the stages that its dough has after the oven, one after the other at once."""
    for load in (task for task in tasks if task["kind"] == "load"):
        _, after = before_oven(house["formulas"][load["formula"]])
        chain, ends = [load], span(load)[1]
        while True:
            following = [task for task in tasks if chain[-1]["id"] in task["after"] and task["kind"] == "cool"]
            if not following:
                break
            assert len(following) == 1 and span(following[0])[0] == ends and following[0]["items"] == load["items"]
            chain, ends = chain + following, span(following[0])[1]
        assert [task["minutes"] for task in chain[1:]] == [stage["minutes"] for stage in after[1:]]


def preferments(house, tasks):
    """A dough's first stage waits for all batches of a mix of everything that goes into it. (That it waits is looked at elsewhere.)"""
    by_id = {task["id"]: task for task in tasks}
    for task in tasks:
        if task["kind"] not in ("mix", "stage") or any(by_id[earlier]["formula"] == task["formula"] for earlier in task["after"]):
            continue
        for part in {line["formula"] for line in house["formulas"][task["formula"]]["lines"] if line.get("formula")}:
            if not before_oven(house["formulas"][part])[0]:
                continue
            taken = [by_id[earlier] for earlier in task["after"] if by_id[earlier]["formula"] == part]
            for date in {one["mixing_date"] for one in taken}:
                assert {one["batch"] for one in taken if one["mixing_date"] == date} == set(range(1, taken[0]["batches"] + 1))
            assert taken, f"{task['id']} does not wait for its {part}"


def whole(house, date, shown, production, mixes):
    tasks = shown["tasks"]
    for mix in mixes:
        batches(house, mix, tasks)
    loads(house, date, production, tasks)
    cooling(house, tasks)
    preferments(house, tasks)
    assert len({task["id"] for task in tasks}) == len(tasks)
    assert [(instant(task["begins_at"]), task["id"]) for task in tasks] == sorted((instant(task["begins_at"]), task["id"]) for task in tasks)
    if tasks:
        begins, ends = min(span(task)[0] for task in tasks), max(span(task)[1] for task in tasks)
        assert (instant(shown["begins_at"]), instant(shown["ends_at"]), shown["minutes"]) == (begins, ends, (ends - begins) // MINUTE)
        assert 0 < shown["at_least_minutes"] <= shown["minutes"]

"""A second book of what the stock is worth, in whole numbers and exact fractions: the part that the
program's first in first out and moving average are held against. Written from the rules as the
documentation tells them: everything is reckoned anew from the first movement on, for every question.

Amounts are milligrams or pieces, money millionths; None is money that is not known. Every part of a
value is rounded half to even at a millionth (round() of a Fraction is exact).
"""

import datetime
from fractions import Fraction
from typing import NamedTuple

OUT = {"mixed": "used", "fed": "used", "used": "used", "wasted": "wasted", "returned": "returned"}
STEPS = ("received", "returned", "used", "wasted", "counted")
NOTHING = (0, 0, 0)  # amount, fifo, average


class Move(NamedTuple):
    date: str
    number: int
    kind: str
    lot: int
    delta: int


def add(a, b, sign=1):
    return tuple(None if None in (x, y) else x + sign * y for x, y in zip(a, b))


class Worth:
    """One ingredient."""

    def __init__(self):
        self.lots = {}     # number -> (received, price or None)
        self.moves = []
        self.void = set()  # numbers that are passed over: what was reversed, and what reversed it

    def left(self, lot):
        return sum(move.delta for move in self.moves if move.lot == lot)

    def counting(self, until):
        """The moves that count, in their order; on a day that would go below nothing what came in goes first."""
        moves, amount, out = sorted(move for move in self.moves if move.number not in self.void and move.kind != "moved" and move.date <= until), 0, []
        for date in sorted({move.date for move in moves}):
            day = [move for move in moves if move.date == date]
            there = amount
            if any((there := there + move.delta) < 0 for move in day):
                day.sort(key=lambda move: move.delta < 0)
            amount += sum(move.delta for move in day)
            out += day
        return out

    def walk(self, until):
        """(what each move was worth by both methods, the state after the last)"""
        state, worths = State(self.lots), []
        for move in self.counting(until):
            worths.append((move, state.come(move) if move.delta > 0 else state.go(move)))
        return worths, state

    def on(self, date):
        return self.walk(date)[1].value()

    def between(self, first, last):
        """Every step from opening to closing, as (amount, fifo, average)."""
        worths, state = self.walk(last)
        flows = dict.fromkeys(STEPS, NOTHING)
        before = State(self.lots)
        for move in self.counting(max((move.date for move in self.moves if move.date < first), default="")):
            before.come(move) if move.delta > 0 else before.go(move)
        for move, worth in worths:
            if move.date >= first:
                step = OUT.get(move.kind, move.kind)
                flows[step] = add(flows[step], worth, 1 if step in ("received", "counted") else -1)
        return {"opening": before.value(), **flows, "closing": state.value()}

    def price(self, date, method):
        """(money, amount) that the ingredient costs as a day begins; "pack" before the first lot; None: not known."""
        state = self.walk(day_before(date))[1]
        return state.price[method]() if state.order else "pack"


class State:
    def __init__(self, lots):
        self.lots = lots
        self.order = []    # lots as they came in
        self.layers = {}   # lot -> [amount, value]
        self.amount, self.average = 0, 0
        self.last = {"fifo": None, "average": None}
        self.price = {"fifo": self.fifo_price, "average": self.average_price}

    def come(self, move):
        received, price = self.lots[move.lot]
        worth = None if price is None else round(Fraction(price * move.delta, received))
        if move.lot not in self.layers:
            self.order.append(move.lot)
            self.layers[move.lot] = [0, 0]
        layer = self.layers[move.lot]
        layer[0] += move.delta
        layer[1] = None if worth is None else layer[1] + worth
        empty = self.amount == 0
        self.amount += move.delta
        self.average = None if None in (worth, self.average) else self.average + worth
        if self.average is not None:
            self.last["average"] = (price, received) if empty else (self.average, self.amount)
        return move.delta, worth, worth

    def go(self, move):
        amount = -move.delta
        assert amount <= self.amount, move
        average = None if self.average is None else round(Fraction(self.average * amount, self.amount))
        self.average = None if average is None else self.average - average
        self.amount -= amount
        if self.amount == 0:
            self.average = 0
        own = [move.lot] if move.kind == "returned" and move.lot in self.layers else []
        fifo = 0
        for lot in own + self.order:
            part = min(amount, self.layers[lot][0])
            if part > 0:
                worth = self.take(lot, part)
                fifo = None if None in (fifo, worth) else fifo + worth
                amount -= part
        return move.delta, None if fifo is None else -fifo, None if average is None else -average

    def take(self, lot, part):
        layer = self.layers[lot]
        worth = None if layer[1] is None else round(Fraction(layer[1] * part, layer[0]))
        layer[0] -= part
        layer[1] = 0 if layer[0] == 0 else None if worth is None else layer[1] - worth
        if worth is not None:
            self.last["fifo"] = self.lots[lot][1], self.lots[lot][0]
        return worth

    def value(self):
        values = [value for amount, value in self.layers.values() if amount > 0]
        return self.amount, None if None in values else sum(values), self.average

    def fifo_price(self):
        for lot in self.order:
            if self.layers[lot][0] > 0:
                received, price = self.lots[lot]
                return None if price is None else (price, received)
        return self.last["fifo"]

    def average_price(self):
        return None if self.average is None else self.last["average"]


def day_before(date):
    return (datetime.date.fromisoformat(date) - datetime.timedelta(days=1)).isoformat()

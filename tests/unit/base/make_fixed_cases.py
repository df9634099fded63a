#!/usr/bin/env python3
"""Writes fixed_cases.h: a * b / c as Python's integers, which have no limit, reckon it.

    python3 make_fixed_cases.py > fixed_cases.h

The random numbers are the same on every run.
"""
import random

MAX = 2**127 - 1
MIN = -(2**127)
EDGES = [0, 1, -1, 2, 3, MAX, MIN, MAX - 1, 2**126, -(2**126), 2**64, 2**64 - 1, -(2**64) - 1, 2**63,
         10**15, 10**24, 10**38]
ROUNDINGS = ["ROUND_HALF_EVEN", "ROUND_HALF_UP", "ROUND_UP"]


def muldiv(a, b, c, rounding):
    if c == 0:
        return None
    product, c = (a * b, c) if c > 0 else (-a * b, -c)
    below, rest = divmod(product, c)
    if rounding == "ROUND_UP":
        up = rest > 0
    elif 2 * rest != c:
        up = 2 * rest > c
    elif rounding == "ROUND_HALF_EVEN":
        up = below % 2 == 1
    else:
        up = product > 0
    result = below + up
    return result if MIN <= result <= MAX else None


def some_number(rng):
    if rng.random() < 0.15:
        return rng.choice(EDGES)
    value = rng.getrandbits(rng.randrange(1, 128))
    return -value if rng.random() < 0.4 else value


def triple(rng):
    kind = rng.random()
    a, b, c = some_number(rng), some_number(rng), some_number(rng)
    if kind < 0.3 and c != 0:  # a quotient close to the end of what fits
        a = rng.choice([MAX, MIN, 2**126, MAX - rng.randrange(1000)])
        b = max(MIN, min(MAX, c + rng.choice([-1, 0, 0, 1])))
    elif kind < 0.55:  # exact halves
        b = rng.getrandbits(rng.randrange(1, 126)) | 1
        c = 2 * b
    elif kind < 0.7:  # shares of quantities, as the trade has them
        a, b, c = rng.randrange(10**21), rng.randrange(10**24), 10**24
    return a, b, c


def limbs(value):
    value &= 2**128 - 1
    return "%#x, %#x" % (value >> 64, value & (2**64 - 1))


def main():
    rng = random.Random(20261124)
    print("/* Made by make_fixed_cases.py: do not edit. Each number is its upper and lower 64 bits. */")
    print("/* clang-format off */")
    print("static const struct fixed_case fixed_cases[] = {")
    for i in range(400):
        a, b, c = triple(rng)
        rounding = ROUNDINGS[i % 3]
        result = muldiv(a, b, c, rounding)
        fits = "false, 0, 0" if result is None else "true, " + limbs(result)
        print("    {%s, %s, %s, %s, %s}," % (limbs(a), limbs(b), limbs(c), rounding, fits))
    print("};")


main()

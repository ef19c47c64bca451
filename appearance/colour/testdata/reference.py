#!/usr/bin/env python3
"""Writes reference.csv: tristimulus values, CIELAB and LRV of test spectra, by another road than the Go code.

Sums are exact fractions of the decimal numbers in the tables, cube roots have 40 digits, and 10 nm spectra are
brought to 5 nm with the published Lagrange coefficients of ASTM E2022-11 for a midpoint instead of a formula.
Needs Python 3 alone. Run: python3 reference.py > reference.csv
"""
from decimal import Decimal, getcontext
from fractions import Fraction
from pathlib import Path

getcontext().prec = 40
HERE = Path(__file__).parent
BANDS = range(380, 781, 5)
LIGHTS = ["D65", "A", "D50", "FL11", "LED-B1", "LED-RGB1"]


def curves(path):
    """id -> 81 fractions, from an embedded table of the package."""
    found, current = {}, None
    for line in path.read_text().splitlines():
        if line.startswith("["):
            current = found.setdefault(line[1 : line.index("]")], [])
        elif line and not line.startswith("#"):
            current += [Fraction(number) for number in line.split()[1:]]
    assert all(len(curve) == len(BANDS) for curve in found.values())
    return found


def rows(name):
    return [line.split(",") for line in (HERE / name).read_text().splitlines() if not line.startswith("#")]


def halved(values):
    """10 nm -> 5 nm: ASTM E2022-11 coefficients for the middle of an interval."""
    inner = [Fraction(n) for n in ("-0.0625", "0.5625", "0.5625", "-0.0625")]
    edge = [Fraction(n) for n in ("0.375", "0.75", "-0.125")]
    dot = lambda weights, part: sum(w * p for w, p in zip(weights, part, strict=True))
    out = [values[0]]
    for i in range(1, len(values)):
        if i == 1:
            middle = dot(edge, values[:3])
        elif i == len(values) - 1:
            middle = dot(edge, values[:-4:-1])
        else:
            middle = dot(inner, values[i - 2 : i + 2])
        out += [middle, values[i]]
    return out


def spectra():
    header, *readings = rows("chart24_10nm.csv")
    for column in range(1, len(header)):
        fine = halved([Fraction(reading[column]) for reading in readings])
        yield f"chart {column}", fine + [fine[-1]] * (len(BANDS) - len(fine))  # 380-730, the end held
    samples = rows("ces99_5nm.csv")
    for column in range(1, 100, 9):
        yield f"ces {column}", [Fraction(sample[column]) for sample in samples]
    yield "flat 1", [Fraction(1)] * len(BANDS)
    yield "flat 0.03", [Fraction("0.03")] * len(BANDS)
    yield "edge 600", [Fraction("0.004") if nm < 600 else Fraction("0.9") for nm in BANDS]


def decimal(x):
    return Decimal(x.numerator) / Decimal(x.denominator)


def f(ratio):
    if ratio > Fraction(216, 24389):
        return decimal(ratio) ** (Decimal(1) / 3)
    return decimal(Fraction(24389, 27) * ratio + 16) / 116


def main():
    lights, observers = curves(HERE.parent / "data/lights.txt"), curves(HERE.parent / "data/observers.txt")
    print("# Made by reference.py; see there. Tristimulus values: Y 1 for the perfect white.")
    print("spectrum,light,observer,X,Y,Z,L,a,b,LRV")
    for name, r in spectra():
        d65 = [p * y for p, y in zip(lights["D65"], observers["1964 y"])]
        lrv = 100 * sum(w * v for w, v in zip(d65, r)) / sum(d65)
        for light in LIGHTS:
            for observer in ("1931", "1964"):
                power = lights[light]
                total = lambda c, s: sum(p * o * v for p, o, v in zip(power, observers[f"{observer} {c}"], s))
                one = [Fraction(1)] * len(BANDS)
                white = [total(c, one) for c in "xyz"]
                seen = [total(c, r) for c in "xyz"]
                fx, fy, fz = (f(s / w) for s, w in zip(seen, white))
                lab = [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)]
                numbers = [decimal(s / white[1]) for s in seen] + lab + [decimal(lrv)]
                print(",".join([name, light, observer] + [f"{n:.9f}" for n in numbers]))


main()

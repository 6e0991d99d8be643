"""What the rules of thumb answer with no records: plain Monte Carlo in NumPy, written apart from the program.

python3 tests/references/rules-of-thumb.py   (2,000,000 draws, half a minute; printed digits hold to about 0.2 %)
"""
import sys

import numpy as np

draws = int(sys.argv[1]) if len(sys.argv) > 1 else 2_000_000
rng = np.random.default_rng(20260501)
slope_rng = np.random.default_rng(20260502)
seats_rng = np.random.default_rng(20260503)
air_rng = np.random.default_rng(20260504)


def normal(mean, sd):
    return rng.normal(mean, sd, draws)


def effect(scale):
    return np.abs(rng.normal(0, scale, draws)) * rng.normal(0, 1, draws)


def saturation(c):
    t = c + 273.15
    return np.exp(-5800.2206 / t + 1.3914993 - 0.048640239 * t + 4.1764768e-5 * t**2 - 1.4452093e-8 * t**3 + 6.5459673 * np.log(t))


def evaporation(air_c, rh, speed):
    vapour = rh * saturation(air_c)
    ratio = 0.621945 * vapour / (101325 - vapour)
    low, high = -10.0, air_c
    for _ in range(60):
        wet = (low + high) / 2
        at_wet = 0.621945 * saturation(wet) / (101325 - saturation(wet))
        found = ((2501 - 2.326 * wet) * at_wet - 1.006 * (air_c - wet)) / (2501 + 1.86 * air_c - 4.186 * wet)
        low, high = (wet, high) if found < ratio else (low, wet)
    return 3600 * (0.089 + 0.0782 * speed) * (saturation(low) - vapour) / 1000 / 2430


def passes_made(log_effort):
    needed = np.maximum(1, np.ceil(np.exp(log_effort))).astype(int)
    made, going = needed.copy(), np.ones(draws, bool)
    for k, chance in enumerate([0.01, 0.01, 0.05, 0.2, 0.3, 0.4] + [0.5] * 40, start=1):
        stops = going & (needed > k) & (rng.random(draws) < chance)
        made[stops] = k
        going &= ~stops
    return made


def case(name, passes=None, labour=None, water=None, spot=False, out=True, larger=1.0, aid=None, air=(20, 0.5, 0.4), dry_passes=2):
    surface = np.array([1.6, 1.7]) * larger
    level = normal(0.32, 0.12) + effect(0.12) + (0 if spot else effect(0.08)) + (normal(*passes) if passes else 0)
    sigma = np.exp(normal(np.log(0.42), 0.25))
    made = [passes_made(level + sigma * normal(0, 1)) for _ in surface]
    mean = sum(m2 * n for m2, n in zip(surface, made)) / surface.sum()
    content = 25 + 60 * out + sum(m2 * ((4 + 4 * n) if spot else (9 + 8 * n)) + 6 for m2, n in zip(surface, made))
    hours = (
        normal(0.15, 0.04) + normal(0, 0.1) * np.log((1 + mean) / 3.2) + effect(0.06) + (0 if spot else effect(0.04))
        + (normal(*labour) if labour else 0) + (0 if out else normal(0, 0.1))
        + np.exp(normal(np.log(0.075), 0.45)) * rng.standard_t(4, draws)
    )
    hours = content / 60 * np.exp(hours)
    shared = normal(-1.05, 0.25) + effect(0.2) + (0 if spot else effect(0.15)) + (normal(*water) if water else 0)
    shared += np.exp(normal(np.log(0.18), 0.4)) * normal(0, 1)
    wet, dry = normal(0.6, 0.2), normal(-0.22, 0.1)
    terms = [wet * np.log(n / 2) + (0 if spot else dry * (np.minimum(4, dry_passes / n) - 1)) for n in made]
    litres = [np.exp(shared + term + normal(0, 0.25 if spot else 0.15)) for term in terms]
    measured = sum(m2 * one for m2, one in zip(surface, litres)) / surface.sum()
    drying = normal(0.15, 0.3) + effect(0.15) + np.exp(normal(np.log(0.25), 0.4)) * normal(0, 1)
    drying += (normal(*aid) if aid else 0) + normal(0, 0.08)  # season: one of its two terms at the turn of the year
    drying += 0 if out else seats_rng.normal(0.1, 0.15, draws)
    power = 1 + slope_rng.normal(0, 0.2, draws)  # of the litres: in proportion, give or take
    still = evaporation(20, 0.5, 0.1)
    drying += air_rng.normal(0, 0.2, draws) * np.log(evaporation(*air) / still)  # what the air takes up, likewise
    drying = 0.35 * (np.maximum(*litres) / 0.35) ** power / evaporation(*air) * np.exp(drying)
    chances = [np.mean(made[0] == n) for n in (1, 2, 3)] + [np.mean(made[0] >= 4)]
    show = lambda values: "[" + ", ".join(f"{value:.4f}" for value in values) + "]"
    quantiles = lambda values: show(np.quantile(values, [0.1, 0.5, 0.9]))
    print(f"{name:16s} {show(chances)} {made[0].mean():.3f} {quantiles(hours)} {quantiles(measured)} {quantiles(drying)}")


doors = (0, 0.15)
case("moderate", aid=doors)
case("high grade", passes=(-0.3, 0.15), labour=(-0.03, 0.06), water=(-0.28, 0.15), aid=doors)
case("entry", passes=(0.18, 0.15), labour=(0.03, 0.06), water=(0.22, 0.15), aid=doors)
case("spot", passes=(-0.3, 0.2), labour=(0, 0.15), water=(-1.05, 0.3), spot=True, aid=doors)
case("light", passes=(-0.6, 0.25), labour=(-0.05, 0.08), aid=doors)
case("heavy", passes=(0.42, 0.18), labour=(0.05, 0.08), aid=doors)
case("severe", passes=(0.7, 0.25), labour=(0.1, 0.12), aid=doors)
case("seats in", out=False, aid=doors)
case("half as much more", larger=1.5, aid=doors)
case("fan", aid=(0, 0.2), air=(20, 0.5, 1.5))
case("still air", air=(20, 0.5, 0.1))
case("28 °C", aid=doors, air=(28, 0.5, 0.4))
case("35 %", aid=doors, air=(20, 0.35, 0.4))
case("four dry passes", aid=doors, dry_passes=4)

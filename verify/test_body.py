"""Heat in a closed body: the day followed by the program against scipy's stiff integrator with films from `ht`."""

import json
import os
import subprocess
from pathlib import Path

import pytest
from ht.conv_free_immersed import Nu_vertical_plate_Churchill
from scipy.constants import g, sigma
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from tool import ROOT

ZERO_C = 273.15
EXAMPLES = Path(os.environ.get("LOOMDECK_EXAMPLES") or ROOT / "target" / "release" / "examples")
CASES = sorted((ROOT / "tests" / "robots" / "body").glob("*.toml"))


def asked(path, tmp_path):
    (tmp_path / "robot.toml").write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    done = subprocess.run([EXAMPLES / "body", tmp_path], capture_output=True, text=True, timeout=120, check=True)
    return json.loads(done.stdout)[0]


def air(kelvin):
    """Conductivity, kinematic viscosity and Prandtl number of dry air by Sutherland's laws (White, Viscous Fluid Flow)."""
    ratio = kelvin / ZERO_C
    mu = 1.716e-5 * ratio**1.5 * (ZERO_C + 111) / (kelvin + 111)
    k = 0.0241 * ratio**1.5 * (ZERO_C + 194) / (kelvin + 194)
    return k, mu / (101325 / (287.05 * kelvin)), mu * 1006 / k


def film(height, a, b):
    mean = (a + b) / 2 + ZERO_C
    k, nu, prandtl = air(mean)
    grashof = g * abs(a - b) * height**3 / (mean * nu**2)
    return Nu_vertical_plate_Churchill(prandtl, grashof) * k / height


def wall(body, conductivity, inside):
    outside, height = body["outside"], body["height"] / 1000
    resistance = body["thickness"] / 1000 / conductivity
    emissivity = 0.08 if body["shiny"] else 0.9

    def given(outer):
        radiation = emissivity * sigma * ((outer + ZERO_C) ** 4 - (outside + ZERO_C) ** 4)
        return film(height, outer, outside) * (outer - outside) + radiation - body["sun"] / body["surface"]

    def gap(outer):
        inner = outer + given(outer) * resistance
        radiation = 0.5 * 0.9 * sigma * ((inside + ZERO_C) ** 4 - (inner + ZERO_C) ** 4)
        return film(height, inner, inside) * (inside - inner) + radiation - given(outer)

    return body["surface"] * given(brentq(gap, outside - 1, max(inside, outside) + 100))


def moved(body, inside):
    outside = body["outside"]
    low, high = body["vent_low"], body["vent_high"]
    stack = 0.0
    if low > 0 and high > 0 and inside > outside:
        both = (low**-2 + high**-2) ** -0.5
        mean = (inside + outside) / 2 + ZERO_C
        stack = 0.61 * both * (2 * g * body["vent_height"] / 1000 * (inside - outside) / mean) ** 0.5
    density = 101325 / (287.05 * (outside + ZERO_C))
    return density * 1006 * max(stack, body["fan"] / 3600) * (inside - outside)


# Set before looking: a thousandth of the largest rise (the program tables its wall losses every half kelvin).
@pytest.mark.parametrize("path", CASES, ids=lambda p: p.stem)
def test_day_agrees_with_scipy(path, tmp_path):
    said = asked(path, tmp_path)
    body, day = said["body"], said["found"]["day"]
    if body is None:
        assert said["found"]["typical"] is not None
        return
    capacity, conductivity = said["found"]["shell"]["capacity_j_per_k"], said["wall_w_per_m_k"]
    at, rows = body["outside"], dict(map(tuple, day["likely"]))
    full = max(rows.values()) - body["outside"]
    for (start, heat), (end, _) in zip(day["heat"][::2], day["heat"][1::2]):
        times = [t for t in rows if start < t <= end + 1e-6]
        solved = solve_ivp(
            lambda _, t, heat=heat: [(heat - wall(body, conductivity, t[0]) - moved(body, t[0])) / capacity],
            (start, end + 1e-6), [at], method="LSODA", t_eval=times, rtol=1e-8, atol=1e-8,
        )
        for t, expected in zip(times, solved.y[0]):
            assert abs(rows[t] - expected) <= 1e-3 * full, (t, rows[t], expected)
        at = solved.y[0][-1]

"""Pushed and stopped robots against closed forms and scipy.

The example `motion` of the crate `power` prints what a robot does that is pushed, with the data of its motor, its
driver's diodes and its wires. Here the same currents come from Lambert's W instead of a network, the coasting from
`solve_ivp`, the rise of a capacitor from integrating the power, and the speeds of limits from a root of the closed form.
"""

import json
import math
import os
import random
import subprocess
from pathlib import Path

import numpy as np
import pytest
from scipy.constants import g
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq
from scipy.special import lambertw
from tool import ROOT, program

ROBOTS = ROOT / "tests" / "robots"
VOLTS = 1e-6  # relative, like any operating point


def example(*args, given=None):
    folder = os.environ.get("LOOMDECK_EXAMPLES") or str(Path(program()).parent / "examples")
    done = subprocess.run(
        [str(Path(folder) / "motion"), *map(str, args)],
        capture_output=True,
        text=True,
        timeout=120,
        cwd=ROOT,
        input=given,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def robot(name):
    return example(ROBOTS / f"{name}.toml")[0]


def push(found, name, battery=True):
    return next(p for p in found["motion"]["pushes"] if p["name"] == name and p["with_battery"] == battery)


class Loop:
    """One wheel, its leads, two body diodes in series and the voltage of the bus, as closed form."""

    def __init__(self, found):
        self.motor, driver = found["motors"][0], found["drivers"][0]
        leads = {w["name"]: w["ohm"] for w in found["wires"]}
        self.ohm = self.motor["ohm"] + leads["motor-a"] + leads["motor-b"]
        self.slope = driver["slope_v"]
        self.saturation = driver["diode_a"] / math.expm1(driver["diode_v"] / self.slope)
        self.mass, self.rolling = found["mass_kg"], found["rolling"]

    def emf(self, speed):
        m = self.motor
        return m["constant"] * m["ratio"] * speed / (m["wheel_m"] / 2)

    def amperes(self, speed, bus):
        """E − V = R·i + 2·n·ln(1 + i/Is), solved exactly by Lambert's W."""
        n, r, s = 2 * self.slope, self.ohm, self.saturation
        exponent = (self.emf(speed) - bus + r * s) / n
        # w·e^w = (R·Is/n)·e^exponent, in logarithms because the exponent is in the hundreds.
        log = math.log(r * s / n) + exponent
        if log < 500:
            w = lambertw(math.exp(log)).real
        else:
            w = brentq(lambda w: w + math.log(w) - log, 1, log, xtol=1e-14, rtol=1e-15)
        return n / r * w - s

    def newtons(self, amperes):
        m = self.motor
        shaft = m["constant"] * (amperes + m["no_load_a"])
        return shaft * m["ratio"] / m["efficiency"] / (m["wheel_m"] / 2) + self.mass * g * self.rolling


@pytest.mark.parametrize("position", ["switched on", "switched off"])
def test_generator_on_its_load_line(position):
    found = robot("motion/pushed_bus_too_high_not")
    loop, sweep = Loop(found), push(found, position)
    bus = dict(map(tuple, sweep["buses"][0]["series"]))
    flowing = 0
    for point in sweep["points"]:
        speed = point["speed_m_s"]
        if point["generated_a"] < 0.1:
            continue
        flowing += 1
        amperes = loop.amperes(speed, bus[speed])
        assert point["generated_a"] == pytest.approx(amperes, rel=VOLTS)
        assert point["force_n"] == pytest.approx(loop.newtons(amperes), rel=VOLTS)
        assert point["deceleration_m_s2"] == pytest.approx(point["force_n"] / loop.mass, rel=1e-12)
    assert flowing >= 4


def test_the_speed_of_an_absolute_maximum():
    """With no way back only leakage flows, and the bus is the motor's voltage less two nearly idle diodes."""
    found = robot("motion/pushed_bus_too_high")
    loop, sweep = Loop(found), push(found, "switched off")
    victim = next(v for v in sweep["victims"] if v["name"] == "driver")
    # What the driver leaks at that voltage: 1 µS on its supply, and as nanosiemens two idle diodes.
    leak = 1e-6 * victim["limit_v"]
    drop = 2 * loop.slope * math.log1p(leak / loop.saturation)
    speed = brentq(lambda v: loop.emf(v) - drop - victim["limit_v"], 0.1, 10)
    assert victim["at_m_s"] == pytest.approx(speed, rel=1e-3)


def test_the_diode_of_the_way_back():
    """Junction by hand from its forward law, with a series resistance: u = n·ln(1 + i/Is) + i·Rs."""
    found = robot("motion/pushed_bus_too_high_not")
    diode = push(found, "switched off")["diodes"][0]
    # schottky-60a-100v-plate: 0.72 V at 60 A, 35 mV, 3 mΩ, 2.2 K/W, in air of 40 °C.
    i, n, series = diode["current_a"], 0.035, 0.003
    saturation = 60 / math.expm1((0.72 - 60 * series) / n)
    forward = n * math.log1p(i / saturation) + i * series
    assert diode["forward_v"] == pytest.approx(forward, rel=1e-6)
    assert diode["junction_c"] == pytest.approx(40 + 2.2 * forward * i, rel=1e-6)


def test_braking_gives_no_more_than_maximum_power_transfer():
    found = robot("motion/braking_overcharges")
    motor, driver, loop = found["motors"][0], found["drivers"][0], Loop(found)
    ohm = motor["ohm"] + driver["on_ohm"]
    for point in found["motion"]["braking"]["points"]:
        emf = loop.emf(point["speed_m_s"])
        currents = np.linspace(0, min(driver["peak_a"], emf / ohm), 20001)
        most = np.max(emf * currents - currents**2 * ohm)
        assert point["power_w"] == pytest.approx(most, rel=1e-7)
        # The battery gets that less what the leads and the driver take.
        assert point["into_battery_a"] * point["bus_v"] < most


def test_energy_into_the_capacitors():
    """Bound: dV/dt = P/(C·V) with the power that uses the energy up, integrated."""
    for dump in robot("motion/braking_overcharges")["motion"]["dumps"]:
        farads, start, energy = dump["farads_f"], dump["start_v"], dump["energy_j"]
        volts = solve_ivp(lambda _, v: energy / (farads * v), (0, 1), [start], rtol=1e-11, atol=1e-12).y[0, -1]
        assert dump["bound_v"] == pytest.approx(volts, rel=1e-7)


def coasts(asked):
    return example("coast", given=json.dumps(asked))


def integrated(case):
    """Time and way until it stands, by Radau on the same drag."""
    v, f = np.array(case["points"]).T

    def slow(_, y):
        speed = max(y[0], 0)
        if speed > v[-1]:
            force = f[-1] + (f[-1] - f[-2]) / (v[-1] - v[-2]) * (speed - v[-1])
        else:
            force = np.interp(speed, v, f)
        return [-(force - case["pull"]) / case["mass"], y[0]]

    stands = lambda _, y: y[0]  # noqa: E731
    stands.terminal = True
    done = solve_ivp(slow, (0, 1e5), [case["from"], 0], "DOP853", rtol=1e-12, atol=1e-13, events=stands, max_step=0.05)
    return done.t[-1], done.y[1, -1]


def test_coasting_by_closed_form():
    """Constant: v/a, v²/2a. Viscous: (m/B)·ln(1 + B·v/F) and (m/B)·(v − (F/B)·ln(1 + B·v/F))."""
    flat, viscous = coasts(
        [
            {"points": [[0, 20], [3, 20]], "mass": 40, "pull": 0, "from": 2},
            {"points": [[0, 20], [1, 35], [3, 65]], "mass": 40, "pull": 0, "from": 2},
        ]
    )
    assert (flat["time_s"], flat["distance_m"]) == pytest.approx((4, 4), rel=1e-12)
    log = math.log1p(15 * 2 / 20)
    assert viscous["time_s"] == pytest.approx(40 / 15 * log, rel=1e-12)
    assert viscous["distance_m"] == pytest.approx(40 / 15 * (2 - 20 / 15 * log), rel=1e-12)
    # The same way as an integral of v/a over the speed.
    way, _ = quad(lambda v: v * 40 / (20 + 15 * v), 0, 2)
    assert viscous["distance_m"] == pytest.approx(way, rel=1e-9)


def test_coasting_against_an_integrator():
    r = random.Random(5)
    asked = []
    for _ in range(40):
        speeds = [0, *sorted(r.uniform(0.05, 4) for _ in range(r.randint(1, 6)))]
        force, points = r.uniform(5, 60), []
        for v in speeds:
            points.append([v, force])
            force += r.choice([0, r.uniform(0, 120)])
        pull = r.choice([0, r.uniform(0, 0.9) * points[0][1]])
        asked.append({"points": points, "mass": r.uniform(5, 120), "pull": pull, "from": r.uniform(0.1, 4.5)})
    for case, told in zip(asked, coasts(asked)):
        time, way = integrated(case)
        assert told["time_s"] == pytest.approx(time, rel=1e-6)
        assert told["distance_m"] == pytest.approx(way, rel=1e-6)
        assert told["settles_m_s"] is None and not told["endless"]


def test_a_slope_has_a_speed_at_which_the_drag_balances_it():
    [told, endless] = coasts(
        [
            {"points": [[0, 30], [1, 30], [2, 130]], "mass": 40, "pull": 60, "from": 0.5},
            {"points": [[0, 30], [2, 30.001]], "mass": 40, "pull": 60, "from": 0.5},
        ]
    )
    assert told["settles_m_s"] == pytest.approx(1.3, rel=1e-12) and told["time_s"] is None
    # Integrated for long, it gets there.
    force = lambda v: np.interp(v, [0, 1, 2], [30, 30, 130])  # noqa: E731
    end = solve_ivp(lambda _, y: [(60 - force(y[0])) / 40], (0, 60), [0.5], rtol=1e-9).y[0, -1]
    assert told["settles_m_s"] == pytest.approx(end, rel=1e-6)
    assert endless["endless"]


def test_stopping_distance_of_a_robot():
    found = robot("stop/no_stop_takes_the_motors_off_not")
    row = next(r for r in found["stop"]["rows"] if r["name"] == "switch")
    loop, speed = Loop(found), found["stop"]["speed_m_s"]
    # Too slow to wake anything: rolling resistance and the idle motor alone.
    slow = loop.newtons(0) / loop.mass
    assert row["flat"]["time_s"] == pytest.approx(speed / slow, rel=1e-3)
    assert row["flat"]["distance_m"] == pytest.approx(speed**2 / (2 * slow), rel=1e-3)


def test_the_slope_of_a_robot():
    found = robot("motion/rolls_away_on_slope")
    loop, slope = Loop(found), found["motion"]["slope"]
    angle = math.atan(0.12)
    pull = loop.mass * g * math.sin(angle)
    assert slope["pull_n"] == pytest.approx(pull, rel=1e-9)
    hold = loop.newtons(0) - loop.mass * g * loop.rolling * (1 - math.cos(angle))
    assert slope["hold_n"] == pytest.approx(hold, rel=1e-4)
    # Shorted windings: current (k·ω)/R from the first turn on.
    m = loop.motor
    creep = brentq(lambda v: m["constant"] * loop.emf(v) / m["ohm"] * m["ratio"] / m["efficiency"] / (m["wheel_m"] / 2) - (pull - hold), 0, 1)
    assert slope["shorted_m_s"] == pytest.approx(creep, rel=1e-3)

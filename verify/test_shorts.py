"""Shorts: random ones in random networks and in the demos, against re-solving from scratch with an independent solver;
adiabatic heating against the published factor."""

import json
import math
import os
import subprocess
from pathlib import Path

import numpy as np
import pytest
from network import Network, NoSolution, relative
from random_robot import robot
from scipy.sparse.linalg import splu
from tool import DEMOS, ROOT, program

# As for operating points.
BOUND = 1e-6


def shorts(*folders):
    """What the example `shorts` prints of robots: shorted networks with their solutions, or (`rows`) the study."""
    binary = Path(os.environ.get("LOOMDECK_EXAMPLES") or Path(program()).parent / "examples") / "shorts"
    done = subprocess.run([binary, *map(str, folders)], capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


class Shorted(Network):
    """The independent solver, which after 60 steps takes one of 1e-9 of the largest unknown as rest: next to a short
    of a thousand amperes through a milliohm, rounding moves the last digits for ever."""

    def newton(self, x, fraction):
        for count in range(120):
            f, matrix = self.residual(x, fraction, slopes=True)
            try:
                step = splu(matrix).solve(-f)
            except RuntimeError as e:
                raise NoSolution(str(e)) from e
            self.limit_junctions(x, step)
            norm, shrink = np.abs(f).max(), 1.0
            while shrink > 1e-3 and not np.abs(self.residual(x + shrink * step, fraction)).max() <= max(2 * norm, 1e-9):
                shrink /= 2
            moved = shrink * np.abs(step).max()
            x = x + shrink * step
            if not np.isfinite(moved):
                break
            if moved < (1e-12 if count < 60 else 1e-9) * max(1.0, np.abs(x).max()):
                return x
        raise NoSolution("Newton's method does not come to rest")


def start_at(network, exported):
    """The unknowns and modes of the independent solver at the program's solution."""
    x = np.zeros(network.size)
    for node, row in network.place.items():
        x[row] = exported["voltages_v"][node]
    for n, element in enumerate(network.elements):
        k, item, i = network.first[n], element.item, exported["currents_a"][element.index]
        v, _ = network.gather(x, n)
        if element.law == "diode":
            x[k : k + 2] = v[0] - v[1] - item["series_ohm"] * i, i
        elif element.law == "channel":
            bus = v[0] - v[1]
            x[k : k + 3] = i, i, (v[2] - v[3] + item["on_ohm"] * i) / bus if bus else 0.0
            find = item["duty"]["duty"] == "find"
            if find and abs(x[k + 2]) >= 1 - 1e-6:
                element.mode = "full" if x[k + 2] > 0 else "reverse"
        elif element.own:
            x[k] = i
        limit = {"converter": "limit_a", "charger": "current_a"}.get(element.law)
        if limit and i >= item[limit] * (1 - 1e-6):
            element.mode = "limit" if element.law == "converter" else "full"
        elif limit and i <= 1e-9:
            element.mode = "off"
    return x


def differ(exported, network, x, fraction):
    volts = relative(exported["voltages_v"], network.voltages(x))
    amps = relative(exported["currents_a"], network.currents(x, fraction))
    return max(volts, amps)


def held(exported, where):
    """Whether solving from scratch gives the same. Where it gives none, or another of several solutions (a load of
    constant power has two), the program's must be one all the same: Newton's method started there must stay there."""
    fraction = exported["fraction"]
    network = Shorted(exported)
    try:
        if differ(exported, network, network.solve(fraction), fraction) <= BOUND:
            return True
    except NoSolution:
        pass
    network = Shorted(exported)
    try:
        x = network.settle(start_at(network, exported), fraction)
    except NoSolution:
        return False
    found = differ(exported, network, x, fraction)
    assert found <= BOUND, (where, exported["items"][-1], found)
    return False


@pytest.mark.parametrize("name", DEMOS)
def test_shorts_of_the_demos(name):
    (found,) = shorts(ROOT / "demos" / name)
    compared = sum(held(exported, name) for exported in found)
    assert compared >= 5 and compared >= 0.7 * len(found), (compared, len(found))


@pytest.mark.parametrize("block", range(10))
def test_random_shorts_of_random_networks(block, tmp_path):
    folders = []
    for seed in range(block * 10, block * 10 + 10):
        folder = tmp_path / str(seed)
        folder.mkdir()
        (folder / "robot.toml").write_text(robot(seed), encoding="utf-8")
        folders.append(folder)
    asked = compared = 0
    for folder, found in zip(folders, shorts(*folders)):
        for exported in found:
            if exported["fraction"] == 1:
                asked += 1
                compared += held(exported, folder.name)
    # Otherwise little would be compared.
    assert compared >= 50 and compared >= 0.9 * asked, (compared, asked)


RING = (ROOT / "crates/power/src/faults/short/ring.toml").read_text(encoding="utf-8")


def ring(folder, mm2, long_mm, fuse):
    text = RING.replace("MM2", str(mm2)).replace("LONG", str(long_mm)).replace("FUSE", fuse)
    (folder / "robot.toml").write_text(text, encoding="utf-8")
    (found,) = shorts("rows", folder)
    (row,) = [r for r in found["to_return"] if r["at"] == "load.plus"]
    return row


@pytest.mark.parametrize("mm2", [0.75, 1.5, 2.5])
@pytest.mark.parametrize("fuse", ["blade-10a", "blade-20a"])
def test_a_wire_heats_as_the_published_factor_says(mm2, fuse, tmp_path):
    # IEC 60949: I²·t = k²·S²·ln((234.5 + end)/(234.5 + start)), k = 226 A·√s/mm² for copper. Wire as sold has up to a
    # fifth more resistance than copper of its full section (IEC 60228, class 5) and so gets warmer, not cooler.
    row = ring(tmp_path, mm2, 1000, fuse)
    hot = row["hottest"]
    assert hot["time_s"] <= 5
    energy = hot["current_a"] ** 2 * hot["time_s"]
    exponent = energy / (226 * mm2) ** 2
    least = (234.5 + hot["start_c"]) * math.exp(0.97 * exponent) - 234.5
    most = (234.5 + hot["start_c"]) * math.exp(1.25 * exponent) - 234.5
    assert least <= hot["adiabatic_c"] <= most
    # What the insulation takes only cools the copper.
    assert hot["reaches_c"] is None or hot["reaches_c"] <= hot["adiabatic_c"] + 0.1


def test_fuses_open_within_the_limits_of_the_standard(tmp_path):
    # ISO 8820-3: at 350 % between 0.04 and 0.5 s, at 600 % between 0.02 and 0.1 s.
    row = ring(tmp_path, 2.5, 1000, "blade-20a")
    opening = row["full"]["opens"][0]
    multiple = opening["current_a"] / opening["rating_a"]
    if multiple >= 6:
        assert 0.02 * (6 / multiple) ** 2 * 0.999 <= opening["fastest_s"] <= opening["slowest_s"] <= 0.1
    else:
        assert multiple >= 3.5 and 0.02 <= opening["fastest_s"] <= opening["slowest_s"] <= 0.5

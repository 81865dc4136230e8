"""Batteries: charging by constant current and voltage against scipy, what a tap takes against the operating points."""

import json
import os
import subprocess
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from tool import ROOT

EXAMPLES = Path(os.environ.get("LOOMDECK_EXAMPLES") or ROOT / "target" / "release" / "examples")
CASES = sorted((ROOT / "tests" / "robots" / "pack").glob("*.toml"))


def asked(path, tmp_path):
    (tmp_path / "robot.toml").write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    done = subprocess.run([EXAMPLES / "pack", tmp_path], capture_output=True, text=True, timeout=120, check=True)
    return json.loads(done.stdout)[0]


@pytest.mark.parametrize("path", CASES, ids=lambda p: p.stem)
def test_lithium_charge_agrees_with_scipy(path, tmp_path):
    said = asked(path, tmp_path)
    for charge in said["found"]["charging"]:
        strings = said["found"]["strings"][charge["string"]]["batteries"]
        cells = [said["parts"][p]["battery"] for p in strings]
        if not all(c["chemistry"].startswith("lithium") for c in cells):
            continue
        limit = said["parts"][charge["charger"]]["charger"]["voltage"]
        capacity, ohms = min(c["capacity"] for c in cells), sum(c["resistance"] for c in cells)
        most = charge["current"]

        def current(s):
            rest = sum(c["cells"] * np.interp(s, *zip(*c["open_circuit"])) for c in cells)
            return min(most, (limit - rest) / ohms)

        def full(_, y):
            return min(current(y[0]) - min(capacity / 20, 0.9 * most), 1 - y[0])

        full.terminal = True
        solved = solve_ivp(
            lambda _, y: [0.99 * current(y[0]) / 3600 / capacity], (0, 2e6), [charge["start"]],
            events=full, rtol=1e-9, atol=1e-11, max_step=60,
        )
        # Set before looking: 1e-4 of the time.
        assert charge["time"] == pytest.approx(solved.t[-1], rel=1e-4)


@pytest.mark.parametrize("path", CASES, ids=lambda p: p.stem)
def test_ampere_hours_are_the_sum_over_the_day(path, tmp_path):
    said = asked(path, tmp_path)
    for balance in said["found"]["balance"]:
        for part, taken in zip(said["found"]["strings"][balance["string"]]["batteries"], balance["taken"]):
            total = 0.0
            for step in said["day"]:
                (battery,) = [e for e in step["parts"][part]["elements"] if e["kind"] == "battery"]
                total += battery["current"] * step["time_s"] / 3600
            assert taken == pytest.approx(total, abs=1e-9)

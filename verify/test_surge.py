"""Surges against scipy's Radau on the same network, and the inductance of two wires against a textbook.

The example `surge` of the crate `power` prints every surge as paths (resistance, inductance, source, capacitor,
diode) before anything was reduced, with the currents and voltages that it found. Here the loops are the null space
of the incidence matrix of all paths, and `solve_ivp` integrates them with its own method.
"""

import json
import os
import subprocess
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.linalg import null_space
from tool import ROOT, program

BOUND = 1e-4  # of full scale
BLOCKS = 2e4  # ohms of a diode against its direction, as the program takes it


def surges(robot):
    folder = os.environ.get("LOOMDECK_EXAMPLES") or str(Path(program()).parent / "examples")
    command = [str(Path(folder) / "surge"), str(ROOT / "demos" / robot)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, cwd=ROOT)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)[0]["surges"]


def without_dead_ends(paths):
    """Only paths that lie in a loop: the others carry nothing."""
    paths = [p for p in paths if p["a"] != p["b"]]
    while True:
        degree = {}
        for p in paths:
            for end in (p["a"], p["b"]):
                degree[end] = degree.get(end, 0) + 1
        kept = [p for p in paths if degree[p["a"]] > 1 and degree[p["b"]] > 1]
        if len(kept) == len(paths):
            return paths
        paths = kept


def solved(paths, times):
    """Current of every path and voltage of every capacitor at some times."""
    nodes = {n: k for k, n in enumerate(sorted({p[e] for p in paths for e in ("a", "b")}))}
    incidence = np.zeros((len(nodes), len(paths)))
    for k, p in enumerate(paths):
        incidence[nodes[p["a"]], k] += 1
        incidence[nodes[p["b"]], k] -= 1
    loops = null_space(incidence)
    special = [p["special"] or {"kind": "none"} for p in paths]
    caps = [k for k, s in enumerate(special) if s["kind"] == "capacitor"]
    diodes = [k for k, s in enumerate(special) if s["kind"] == "diode"]
    ohms = np.array([p["ohms"] + s.get("esr_ohm", 0.0) for p, s in zip(paths, special)])
    emf = np.array([p["emf_v"] for p in paths])
    sense = np.array([p["sense"] for p in paths])
    farads = np.array([special[k]["farads"] for k in caps])
    inverse = np.linalg.inv(loops.T @ np.diag([p["henries"] for p in paths]) @ loops)
    n = loops.shape[1]

    def diode(i):
        v, dv = np.zeros(len(paths)), np.zeros(len(paths))
        for k in diodes:
            forward, s = sense[k] * i[k], special[k]
            if forward >= 0:
                v[k] = sense[k] * s["slope_v"] * np.log1p(forward / s["saturation_a"])
                dv[k] = s["slope_v"] / (s["saturation_a"] + forward)
            else:
                v[k], dv[k] = BLOCKS * i[k], BLOCKS
        return v, dv

    def slope(_, y):
        i = loops @ y[:n]
        takes = ohms * i - emf + diode(i)[0]
        takes[caps] += sense[caps] * y[n:]
        return np.concatenate([-inverse @ (loops.T @ takes), sense[caps] * i[caps] / farads])

    def jacobian(_, y):
        all_ohms = ohms + diode(loops @ y[:n])[1]
        out = np.zeros((len(y), len(y)))
        out[:n, :n] = -inverse @ (loops.T @ (all_ohms[:, None] * loops))
        out[:n, n:] = -inverse @ (loops[caps].T * sense[caps])
        out[n:, :n] = (sense[caps] / farads)[:, None] * loops[caps]
        return out

    start = np.concatenate([np.zeros(n), [special[k]["start_v"] for k in caps]])
    done = solve_ivp(slope, (0, times[-1]), start, "Radau", times, rtol=1e-9, atol=1e-10, jac=jacobian)
    assert done.success, done.message
    return loops @ done.y[:n], {special[k]["index"]: done.y[n + m] for m, k in enumerate(caps)}


@pytest.mark.parametrize("robot", ["samovar", "samovar-first-try", "cart"])
def test_every_surge_agrees_with_radau(robot):
    found = surges(robot)
    assert found
    for surge in found:
        paths = without_dead_ends(surge["full"])
        times = np.array(surge["times_s"])
        currents, volts = solved(paths, times)
        of_item = {item: (k, way) for k, p in enumerate(paths) for item, way in p["items"]}
        ours = np.array(surge["currents_a"])
        scale = np.abs(currents).max()
        compared = 0
        for path, mine in zip(surge["paths"], ours):
            for item, way in path["items"]:
                k, direction = of_item[item]
                off = np.abs(way * mine - direction * currents[k]).max() / scale
                assert off < BOUND, f"{surge['name']}: item {item} by {off:.1e}"
                compared += 1
        for number, mine in zip(surge["capacitors"], surge["voltages_v"]):
            off = np.abs(np.array(mine) - volts[number]).max() / np.abs(volts[number]).max()
            assert off < BOUND or np.abs(volts[number]).max() < 1e-3, f"{surge['name']}: capacitor {number} by {off:.1e}"
        assert compared > 10


@pytest.mark.parametrize("robot", ["samovar", "samovar-first-try", "cart"])
def test_sources_give_what_is_stored_and_lost(robot):
    for surge in surges(robot):
        event = surge["event"]
        assert abs(event["source_j"] - event["heat_j"] - event["stored_j"]) < 1e-5 * event["source_j"]


@pytest.mark.parametrize("robot", ["pre_charge_does_not_fill", "pre_charge_does_not_fill_not", "pre_charge_too_hot"])
def test_pre_charge_counts_what_its_switch_charges(robot, tmp_path):
    """Energy, time and share of a resistor as built against sums over the capacitors that the surge reaches."""
    (tmp_path / "robot.toml").write_text((ROOT / f"tests/robots/surge/{robot}.toml").read_text())
    (surge,) = [s for s in surges(tmp_path) if s["event"]["present"]]
    present, ohms = surge["event"]["present"], surge["event"]["present"]["ohms"]
    paths = without_dead_ends(surge["full"])
    _, volts = solved(paths, np.array(surge["times_s"]))
    caps = {p["special"]["index"]: p["special"] for p in paths if p["special"] and p["special"]["kind"] == "capacitor"}
    # The battery's side of the switch holds nothing here: all that the surge reaches is behind it.
    farads = sum(c["farads"] for c in caps.values())
    energy = sum(0.5 * c["farads"] * volts[k][-1] ** 2 for k, c in caps.items())
    share = min(c["start_v"] / volts[k][-1] for k, c in caps.items())
    assert present["farads"] == pytest.approx(farads, rel=1e-9)
    assert present["energy_j"] == pytest.approx(energy, rel=1e-3)
    assert present["time_s"] == pytest.approx(4 * ohms * farads, rel=1e-9)
    assert present["filled_percent"] == pytest.approx(100 * share, abs=0.1)

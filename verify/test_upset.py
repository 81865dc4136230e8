"""Voltages between the grounds of signals, read from networks that the solver of `network.py` solves again, and the
worked example of star and chain.

The program reads them off its own solution; here each network is solved from nothing and the same two nodes are
compared. A star and a chain of three returns are worked out by Ohm's law (H. W. Ott, Noise Reduction Techniques in
Electronic Systems, 2nd edition (1988), chapter 3: series and parallel single-point grounds; from memory): in the
chain the far ground stands (i1 + i2 + i3)R1 + (i2 + i3)R2 + i3R3 above the common point, in the star i3(R1 + R2 + R3).
"""

import functools
import json
import os
import subprocess
from pathlib import Path

import pytest
from network import Network
from tool import program

DEMOS = Path(__file__).parent.parent / "demos"


@functools.cache
def answers(demo):
    binary = os.environ.get("LOOMDECK_EXCHANGE") or str(Path(program()).parent / "examples" / "exchange")
    done = subprocess.run([binary, "networks", str(DEMOS / demo)], capture_output=True, text=True, timeout=300, check=True)
    return json.loads(done.stdout)


@pytest.mark.parametrize("demo", ["samovar", "samovar-first-try"])
def test_ground_shifts_are_those_of_the_other_solver(demo):
    found = answers(demo)
    assert found["shifts"]
    compared = 0
    for entry in found["grounds"]:
        network = Network(entry["network"])
        volts = network.voltages(network.solve(entry["network"]["fraction"]))
        for shift in found["shifts"]:
            if shift["situation"] != entry["network"]["situation"]:
                continue
            mv = 1000 * (volts[shift["to"]] - volts[shift["from"]])
            # A microvolt, or a thousandth of what there is.
            assert abs(mv - shift[entry["level"]]) <= max(1e-3, 1e-3 * abs(mv)), (shift, entry["level"])
            compared += 1
    assert compared


def test_a_star_and_a_chain_by_hand():
    """Three loads of constant current on three returns: the network's solver gives the textbook's sums."""
    r, i = [0.01, 0.02, 0.005], [4.0, 1.0, 0.1]

    def solved(chain):
        nodes = ["plus", "common", "g1", "g2", "g3"]
        items = [
            {"name": "battery", "law": "branch", "a": 1, "b": 0, "resistance_ohm": 1e-3, "emf_v": 12.0, "active": True}
        ]
        before = 1
        for k in range(3):
            ohms = r[k] if chain else sum(r[: k + 1])
            back = before if chain else 1
            items.append(
                {"name": f"r{k}", "law": "branch", "a": 2 + k, "b": back, "resistance_ohm": ohms, "emf_v": 0.0, "active": True}
            )
            items.append(
                {
                    "name": f"load{k}",
                    "law": "load",
                    "a": 0,
                    "b": 2 + k,
                    "kind": "current",
                    "current_a": i[k],
                    "nominal_v": 12.0,
                    "bleed_s": 0.0,
                    "active": True,
                }
            )
            before = 2 + k
        exported = {"nodes": nodes, "items": items, "references": [1], "fraction": 1.0}
        exported["voltages_v"] = [0.0] * 5
        exported["currents_a"] = [0.0] * len(items)
        network = Network(exported)
        return network.voltages(network.solve(1.0))

    chain, star = solved(True), solved(False)
    assert chain[4] - chain[1] == pytest.approx(sum(i) * r[0] + (i[1] + i[2]) * r[1] + i[2] * r[2], rel=1e-6)
    assert star[4] - star[1] == pytest.approx(i[2] * sum(r), rel=1e-6)

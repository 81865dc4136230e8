"""Operating points of the demos and of 200 random networks against an independent solver."""

import pytest
from network import Network, differences
from random_robot import robot
from tool import DEMOS, ask, demo

# The design's figure for operating points.
BOUND = 1e-6


@pytest.mark.parametrize("name", DEMOS)
def test_operating_points_of_the_demos(name):
    situations = demo(name, "situations", "--networks")["situations"]
    assert situations
    for exported in situations:
        if exported["fraction"] < 1:
            continue  # where a branch ends, its end is looked at below
        volts, amps = differences(exported)
        assert volts <= BOUND and amps <= BOUND, (exported["situation"], volts, amps)


@pytest.mark.parametrize("block", range(20))
def test_operating_points_of_random_networks(block, tmp_path):
    for seed in range(block * 10, block * 10 + 10):
        folder = tmp_path / str(seed)
        folder.mkdir()
        (folder / "robot.toml").write_text(robot(seed), encoding="utf-8")
        (exported,) = ask("situations", folder, "--networks")["situations"]
        assert any(i["active"] for i in exported["items"]), seed
        if exported["fraction"] == 1:
            volts, amps = differences(exported)
            assert volts <= BOUND and amps <= BOUND, (seed, volts, amps)
        else:
            held_balance(exported, seed)


def held_balance(exported, seed):
    """Where the load cannot be carried in full, what was found must still balance at every node."""
    network = Network(exported)
    leaving = dict.fromkeys(network.place, 0.0)
    for element in network.elements:
        if element.law in ("branch", "diode", "load", "motor"):
            a, b = element.nodes
            i = exported["currents_a"][element.index]
            for node, value in ((a, i), (b, -i)):
                if node in leaving:
                    leaving[node] += value
            # The node of a converter or bridge has further currents.
        else:
            for node in element.nodes:
                leaving.pop(node, None)
    top = max(abs(i) for i in exported["currents_a"])
    assert leaving
    assert max(abs(i) for i in leaving.values()) <= 1e-6 * max(top, 1e-3), seed


def test_most_random_networks_carry_their_load(tmp_path):
    # Otherwise the comparison above would compare little.
    full = 0
    for seed in range(0, 200, 10):
        folder = tmp_path / str(seed)
        folder.mkdir()
        (folder / "robot.toml").write_text(robot(seed), encoding="utf-8")
        (exported,) = ask("situations", folder, "--networks")["situations"]
        full += exported["fraction"] == 1
    assert full >= 15, full

"""The drill plan: travel against exact tours, seats against the heads of the standards, nothing twice.

Exact tours come from scipy's integer programming (HiGHS) with the sub-tours cut off one by one, which shares nothing with
the program's dynamic programming and its improvements.
"""

import itertools
import math
import random

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp
from tool import DEMOS, ROOT, rows, run, table


def make(folder, robot):
    run("make", robot, "--unit", "mm", "-o", folder)
    return rows(folder / "drill-plan.csv")


def stages(plan):
    """The stages with their rows, in order."""
    return [(n, list(group)) for n, group in itertools.groupby(plan, key=lambda r: r["stage"])]


def walked(points):
    return sum(math.dist(a, b) for a, b in itertools.pairwise([(0.0, 0.0), *points]))


def exact(points):
    """Length of the shortest way from the origin over all points, ending anywhere.

    Every node but the last has one way out, every point one way in; node 0 is the start. Whatever circles the solver
    leaves are forbidden one after the other until there is none.
    """
    nodes = [(0.0, 0.0), *points]
    n = len(nodes)
    arcs = [(i, j) for i in range(n) for j in range(1, n) if i != j]
    cost = np.array([math.dist(nodes[i], nodes[j]) for i, j in arcs])
    into = np.array([[float(j == k) for _, j in arcs] for k in range(1, n)])
    out = np.array([[float(i == k) for i, _ in arcs] for k in range(n)])
    one = LinearConstraint(into, 1, 1)
    most = [LinearConstraint(out, [1] + [0] * (n - 1), 1)]
    while True:
        found = milp(cost, constraints=[one, *most], integrality=np.ones(len(arcs)), bounds=(0, 1))
        assert found.success, found.message
        follows = {arcs[a][0]: arcs[a][1] for a in np.flatnonzero(found.x > 0.5)}
        seen, here = {0}, 0
        while here in follows:
            here = follows[here]
            seen.add(here)
        rest = set(range(n)) - seen
        if not rest:
            return found.fun
        while rest:
            ring, here = set(), next(iter(rest))
            while here not in ring:
                ring.add(here)
                here = follows[here]
            inside = np.array([[float(i in ring and j in ring) for i, j in arcs]])
            most.append(LinearConstraint(inside, -np.inf, len(ring) - 1))
            rest -= ring


def test_the_exact_solver_agrees_with_trying_every_order():
    dice = random.Random(5)
    for n in range(1, 8):
        points = [(dice.uniform(0, 400), dice.uniform(0, 300)) for _ in range(n)]
        brute = min(walked(order) for order in itertools.permutations(points))
        assert exact(points) == pytest.approx(brute, abs=1e-6)


TRAY = """
format = 1
[robot]
name = "tray"
[board]
size_mm = [400, 300]
thickness_mm = 12
material = "hdpe"
depth_front_mm = 60
depth_back_mm = 60
"""


def mounts(points):
    return TRAY + "".join(
        f'[[mount]]\nname = "m{i}"\nat_mm = [{x:.2f}, {y:.2f}]\nthread = "M5"\nclear_mm = 11\n' for i, (x, y) in enumerate(points)
    )


@pytest.mark.parametrize("count", [4, 9, 14, 20, 28])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_travel_is_the_shortest_or_close_to_it(count, seed, tmp_path):
    dice = random.Random(1000 * count + seed)
    points = [(dice.uniform(8, 392), dice.uniform(8, 292)) for _ in range(count)]
    (tmp_path / "robot.toml").write_text(mounts(points), encoding="utf-8")
    plan = make(tmp_path / "out", tmp_path)
    for _, stops in stages(plan):
        at = [(r["x_mm"], r["y_mm"]) for r in stops if r["hole"] != "outer edge"]
        if not at:
            continue
        way = walked(at)
        best = exact(at)
        # Coordinates are printed to a hundredth of a millimetre.
        assert way >= best - 0.02 * len(at)
        # Up to a dozen holes there is no shorter way; beyond, improvement stops within a few per cent (bound set
        # with the result in sight).
        assert way <= best * (1 + 1e-9 if len(at) <= 12 else 1.04) + 0.02 * len(at), (stops[0]["operation"], way / best)


@pytest.fixture(scope="module", params=DEMOS)
def made(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp(request.param)
    return folder, make(folder, ROOT / "demos" / request.param)


def test_stated_travel_is_what_the_stops_come_to(made):
    _, plan = made
    for _, stops in stages(plan):
        inner = [r for r in stops if r["hole"] != "outer edge"]
        if inner:
            assert inner[-1]["travel_mm"] == pytest.approx(walked([(r["x_mm"], r["y_mm"]) for r in inner]), abs=0.02 * len(inner))


def test_every_hole_is_made_once_and_in_order(made):
    folder, plan = made
    holes = rows(folder / "holes.csv")
    final = {"drill through", "drill the registration holes", "drill to a depth", "large holes, second half"}
    for hole in holes:
        mine = [r for r in plan if r["hole"] == hole["number"]]
        begun = 1 if hole["length_mm"] == "" else 2 if hole["corner_mm"] == "" else 4
        done = [r for r in mine if r["operation"] in final]
        entry = "hole for the saw's blade" in hole["work"]
        assert len(done) == begun + entry, hole
        if hole["length_mm"] == "":
            assert done[0]["diameter_mm"] == hole["diameter_mm"]
        # What is drilled was marked before; what is sawn was drilled before.
        order = [r["operation"] for r in mine]
        marks = [i for i, o in enumerate(order) if o == "mark and punch"]
        drills = [i for i, o in enumerate(order) if o in final]
        assert marks and max(marks) < min(drills), hole
        if "saw out" in order:
            assert max(drills) < order.index("saw out") < order.index("file straight")


def test_the_board_is_turned_over_once_at_most(made):
    _, plan = made
    faces = [f for f, _ in itertools.groupby(r["board"] for r in plan if r["board"] != "on its edge")]
    assert faces in (["front up"], ["back up"], ["front up", "back up"])
    turned = [r["stage"] for r in plan if r["turn_over_first"] == "yes"]
    assert len(turned) == len(faces) - 1


SUNK = """[[type]]
name = "plate-{t}"
size_mm = [60, 30]
height_mm = 8
holes_mm = [[10, 15], [50, 15]]
hole_diameter_mm = {hole}
fixing = {{ style = "bolt-and-nut", thread = "{t}", head = "countersunk", flange_mm = 2 }}
[[part]]
name = "p-{t}"
type = "plate-{t}"
face = "front"
at_mm = [{x}, 100]
"""


def test_seats_take_the_heads_of_the_standards(tmp_path):
    heads = table("countersunk_heads.csv")
    text = TRAY + "".join(SUNK.format(t=h["thread"], hole=h["hole"], x=20 + 90 * i) for i, h in enumerate(heads))
    (tmp_path / "robot.toml").write_text(text, encoding="utf-8")
    plan = make(tmp_path / "out", tmp_path)
    holes = {r["number"]: r for r in rows(tmp_path / "out" / "holes.csv")}
    seats = [r for r in plan if r["operation"] == "countersink"]
    assert len(seats) == 2 * len(heads) and all(r["board"] == "back up" for r in seats)
    for head in heads:
        mine = [r for r in seats if holes[r["hole"]]["for"].startswith(f"p-{head['thread']}:")]
        assert len(mine) == 2
        for seat in mine:
            drilled = holes[seat["hole"]]["diameter_mm"]
            # A 90° cone: as deep as half the difference of its two diameters.
            assert seat["depth_mm"] == pytest.approx((seat["diameter_mm"] - drilled) / 2, abs=0.011)
            # The head of ISO 7046-2 fills a cone of d + 2k at its top: that lies a little below the face, never above.
            below = (seat["diameter_mm"] - (head["d"] + 2 * head["k"])) / 2
            assert 0.0 < below <= 0.2, (head["thread"], below)
            assert seat["diameter_mm"] > head["dk"]
            # ISO 15065's seat, with its own tolerance of two tenths on the diameter.
            assert head["seat"] <= seat["diameter_mm"] <= head["seat"] + 0.25
            at_medium = (seat["diameter_mm"] - head["hole"]) / 2
            assert at_medium == pytest.approx(head["seat_depth"], abs=0.1)


def test_sharp_cones_of_both_kinds_of_head_are_d_and_twice_k():
    # The geometry that the seats rest on, in the tables themselves: ISO 10642 prints the sharp diameter.
    for head in table("countersunk_heads.csv"):
        assert head["d"] + 2 * head["k_socket"] == pytest.approx(head["dk_sharp_socket"], abs=0.011)

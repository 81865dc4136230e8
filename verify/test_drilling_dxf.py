"""The DXF's layers hold what the drill plan says, operation by operation, read back with ezdxf."""

import collections

import ezdxf
import pytest
from tool import DEMOS, ROOT, rows, run

LAYERS = {
    "mark and punch": "MARK",
    "drill the registration holes": "REGISTER",
    "pilot holes": "PILOT",
    "drill through": "DRILL",
    "bore pockets for nuts": "POCKET",
    "drill to a depth": "BLIND",
    "large holes, first half": "HALF",
    "large holes, second half": "REST",
    "countersink": "COUNTERSINK",
    "saw out": "CUT",
    "break the edges": "EDGE",
}


@pytest.fixture(scope="module", params=DEMOS)
def made(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp(request.param)
    run("make", ROOT / "demos" / request.param, "--unit", "mm", "-o", folder)
    return folder


@pytest.mark.parametrize("face", ["front", "back"])
def test_each_layer_counts_what_the_plan_counts(made, face):
    wanted = collections.Counter()
    for r in rows(made / "drill-plan.csv"):
        if r["board"] in (f"{face} up", "on its edge") and r["hole"] != "outer edge" and r["operation"] in LAYERS:
            wanted[LAYERS[r["operation"]]] += 1
    doc = ezdxf.readfile(made / f"{face}.dxf")
    things = doc.modelspace().query("CIRCLE POLYLINE POINT")
    drawn = collections.Counter(t.dxf.layer.split("-")[0] for t in things)
    for other in ("OUTLINE", "HOLES"):
        drawn.pop(other, None)
    assert drawn == wanted


@pytest.mark.parametrize("face", ["front", "back"])
def test_circles_lie_where_the_plan_says(made, face):
    doc = ezdxf.readfile(made / f"{face}.dxf")
    (outline,) = [p for p in doc.modelspace().query("POLYLINE") if p.dxf.layer == "OUTLINE"]
    xs, ys = zip(*[tuple(p)[:2] for p in outline.points()])
    circles = [(c.dxf.layer.split("-")[0], c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in doc.modelspace().query("CIRCLE")]
    for r in rows(made / "drill-plan.csv"):
        if r["board"] != f"{face} up" or r["diameter_mm"] == "" or r["operation"] not in LAYERS:
            continue
        x = min(xs) + r["x_mm"] if face == "front" else max(xs) - r["x_mm"]
        y = min(ys) + r["y_mm"]
        near = [
            c
            for c in circles
            if c[0] == LAYERS[r["operation"]] and abs(c[1] - x) < 0.011 and abs(c[2] - y) < 0.011 and abs(c[3] - r["diameter_mm"] / 2) < 0.011
        ]
        assert len(near) == 1, r

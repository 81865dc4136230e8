"""Overlaps, gaps and edge distances of random polygons on both faces, against shapely (whose engine is GEOS)."""

import math
import random

import pytest
from shapely import affinity
from shapely.geometry import Point, Polygon
from shapely.validation import explain_validity
from tool import ask

LIMIT = 40.0  # gaps and edge distances up to this are reported


def star(r):
    """A simple polygon around its origin, often concave: radii by rising angle."""
    n = r.randint(3, 9)
    angles = sorted(r.uniform(0, math.tau) for _ in range(n))
    if max(b - a for a, b in zip(angles, angles[1:] + [angles[0] + math.tau])) > 3.0:
        return star(r)
    return [
        (round(q * math.cos(a), 3), round(q * math.sin(a), 3)) for a in angles for q in [r.uniform(12, 45)]
    ]


def board():
    """A rectangle with a corner cut and a notch."""
    return [(0, 0), (400, 0), (400, 260), (340, 300), (230, 300), (230, 250), (180, 250), (180, 300), (0, 300)]


def drawn(seed):
    """A robot's text, and each part's true polygon in the board's frame by name with its face."""
    r = random.Random(seed)
    edge = board()
    text = (
        'format = 1\n[robot]\nname = "shapes"\n[limits]\n'
        f"gap_mm = {LIMIT}\nedge_mm = {LIMIT}\n[board]\noutline_mm = {[list(p) for p in edge]}\nthickness_mm = 9\n"
        'material = "hdpe"\ndepth_front_mm = 100\ndepth_back_mm = 100\n'
    )
    parts = {}
    for n in range(r.randint(4, 9)):
        corners, name = star(r), f"p{n}"
        face = r.choice(["front", "back"])
        x, y = round(r.uniform(15, 385), 3), round(r.uniform(15, 285), 3)
        turn = r.choice([0, 90, 180, 270, round(r.uniform(0, 360), 2)])
        text += (
            f'[[type]]\nname = "{name}-type"\noutline_mm = {[list(c) for c in corners]}\nheight_mm = 20\n'
            f'[type.fixing]\nstyle = "adhesive"\n'
            f'[[part]]\nname = "{name}"\ntype = "{name}-type"\nface = "{face}"\nat_mm = [{x}, {y}]\nturn_deg = {turn}\n'
        )
        # Counter-clockwise as seen on its own face; the back is the mirror image about the upright axis.
        shape = affinity.rotate(Polygon(corners), turn, origin=(0, 0))
        if face == "back":
            shape = affinity.scale(shape, xfact=-1, origin=(0, 0))
        parts[name] = (face, affinity.translate(shape, x, y))
    return text, parts, Polygon(edge)


def by_pair(findings, slug):
    return {
        tuple(sorted(s["name"] for s in f["subjects"][:2])): f["values"] for f in findings if f["slug"] == slug
    }


def by_part(findings, slug):
    return {f["subjects"][0]["name"]: f["values"] for f in findings if f["slug"] == slug}


@pytest.mark.parametrize("seed", range(40))
def test_distances(seed, tmp_path):
    text, parts, edge = drawn(seed)
    for name, (_, shape) in parts.items():
        assert shape.is_valid, (name, explain_validity(shape))
    (tmp_path / "robot.toml").write_text(text, encoding="utf-8")
    findings = ask("check", tmp_path, "--json")["findings"]
    overlaps, gaps = by_pair(findings, "parts-overlap"), by_pair(findings, "gap-too-small")
    names = sorted(parts)
    for i, a in enumerate(names):
        for b in names[i + 1 :]:
            (face_a, shape_a), (face_b, shape_b) = parts[a], parts[b]
            common = shape_a.intersection(shape_b).area
            distance = shape_a.distance(shape_b)
            if face_a != face_b:
                assert (a, b) not in overlaps and (a, b) not in gaps
            elif common > 1e-6:
                assert (a, b) in overlaps and (a, b) not in gaps, (a, b, common)
                depth = overlaps[a, b]["overlap_mm"]
                assert depth > 0
            elif distance < LIMIT - 1e-4 and common == 0:
                assert gaps[a, b]["gap_mm"] == pytest.approx(distance, abs=1e-4), (a, b)
            elif distance > LIMIT + 1e-4:
                assert (a, b) not in gaps and (a, b) not in overlaps
    over, near = by_part(findings, "part-over-edge"), by_part(findings, "part-near-edge")
    for name, (_, shape) in parts.items():
        outside = shape.difference(edge).area
        distance = shape.distance(edge.exterior)
        if outside > 1e-3:
            assert name in over and name not in near, name
            # The corner that lies farthest out.
            reach = max(edge.distance(p) for p in map(Point, shape.exterior.coords))
            assert over[name]["over_mm"] >= reach - 1e-4, name
        elif outside == 0 and distance < LIMIT - 1e-4:
            assert near[name]["distance_mm"] == pytest.approx(distance, abs=1e-4), name
            assert name not in over
        elif outside == 0 and distance > LIMIT + 1e-4:
            assert name not in near and name not in over


def test_enough_is_compared():
    # Otherwise the check above would be idle.
    found = {"overlap": 0, "gap": 0, "over": 0}
    for seed in range(40):
        _, parts, edge = drawn(seed)
        shapes = list(parts.values())
        for i, (face, a) in enumerate(shapes):
            found["over"] += a.difference(edge).area > 1e-3
            for other, b in shapes[i + 1 :]:
                if face == other:
                    found["overlap"] += a.intersection(b).area > 1e-6
                    found["gap"] += 0 < a.distance(b) < LIMIT
    assert all(n >= 20 for n in found.values()), found

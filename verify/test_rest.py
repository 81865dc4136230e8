"""The board at rest: mass, what it stands on, how it bends, how it comes out.

Random boards are written, the program's example `rest` prints what it makes of them, and other libraries are asked
the same: shapely for areas, centroids and containment, scipy's ConvexHull for the facets a heap of points can
stand on, scikit-fem (Morley's element) for the bent plate.
"""

import functools
import json
import math
import os
import random
import subprocess
from pathlib import Path

import numpy as np
import pytest
import skfem
from scipy.optimize import minimize
from scipy.spatial import ConvexHull
from shapely import affinity
from shapely.geometry import MultiPoint, Point, Polygon, box
from shapely.ops import unary_union
from skfem.helpers import dd, ddot, eye, trace
from tool import program

BOARDS = 30
THICK = 9.0
DENSITY = 958.0  # HDPE, kg/m³ (ISO 1183)
GRAVITY = 9.80665
HEAD = 'format = 1\n[robot]\nname = "rest"\n[limits]\nambient_degc = 40\n'


def draw(seed):
    """A robot's text and its parts as (face, polygon in the board's frame, base, top, mass), mounts, opening."""
    r = random.Random(seed)
    w, h = r.randint(300, 600), r.randint(220, 420)
    text, parts = HEAD, []
    mounts = [(15, 15), (w - 15, 15), (15, h - 15), (w - 15, h - 15)]
    if seed % 3 == 1:
        mounts = [(x + r.randint(0, 30) * (1 if x < 50 else -1), y) for x, y in mounts]
    if seed % 3 == 2:
        mounts.append((round(w * r.uniform(0.35, 0.65)), round(h * r.uniform(0.35, 0.65))))
    for n in range(r.randint(4, 9)):
        pw, ph, top = r.randint(25, 110), r.randint(20, 90), r.randint(8, 60)
        mass, face = round(r.uniform(0.05, 1.2), 3), r.choice(["front", "back"])
        turn = r.choice([0, 90, 180, 270]) if seed % 2 else r.choice([0, 30, 77])
        reach = math.hypot(pw, ph)
        x = round(r.uniform(reach, w - reach), 1) if w > 2 * reach else round(w / 2)
        y = round(r.uniform(reach, h - reach), 1) if h > 2 * reach else round(h / 2)
        text += (
            f'[[type]]\nname = "t{n}"\nsize_mm = [{pw}, {ph}]\nheight_mm = {top}\nmass_kg = {mass}\n'
            'fixing = { style = "adhesive" }\n'
            f'[[part]]\nname = "p{n}"\ntype = "t{n}"\nface = "{face}"\nat_mm = [{x}, {y}]\nturn_deg = {turn}\n'
        )
        shape = affinity.rotate(box(0, 0, pw, ph), turn, origin=(0, 0))
        if face == "back":
            shape = affinity.scale(shape, xfact=-1, origin=(0, 0))
        parts.append((face, affinity.translate(shape, x, y), 0.0, float(top), mass))
    text += (
        f'[board]\nsize_mm = [{w}, {h}]\nthickness_mm = {THICK}\nmaterial = "hdpe"\ndepth_front_mm = 90\n'
        "depth_back_mm = 90\n"
    )
    for n, (x, y) in enumerate(mounts):
        text += f'[[mount]]\nname = "m{n}"\nat_mm = [{x}, {y}]\nthread = "M5"\n'
    opening = hole(r, w, h, seed)
    text += f"[body_opening]\noutline_mm = {[list(p) for p in opening]}\ngap_mm = 2\n"
    return text, parts, mounts, (w, h), Polygon(opening)


def hole(r, w, h, seed):
    """A rectangle, or one with a bite out of a side, about as large as an edge of the board."""
    a, b = round(h * r.uniform(0.9, 1.3)), round(r.uniform(90, 190))
    if seed % 2:
        return [(0, 0), (a, 0), (a, b), (0, b)]
    bite, deep = round(a * 0.3), round(b * r.uniform(0.1, 0.45))
    return [(0, 0), (a, 0), (a, b), (a - bite, b), (a - bite, b - deep), (bite, b - deep), (bite, b), (0, b)]


@functools.cache
def boards(folder):
    drawn, paths = [], []
    for seed in range(BOARDS):
        path = Path(folder) / f"b{seed}"
        path.mkdir()
        drawn.append(draw(seed))
        (path / "robot.toml").write_text(drawn[-1][0], encoding="utf-8")
        paths.append(str(path))
    binary = os.environ.get("LOOMDECK_REST") or str(Path(program()).parent / "examples" / "rest")
    done = subprocess.run([binary, *paths], capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    return list(zip(drawn, json.loads(done.stdout)))


@pytest.fixture(scope="module")
def all_boards(tmp_path_factory):
    return boards(str(tmp_path_factory.mktemp("boards")))


def centre_of_mass(parts, size, mounts):
    w, h = size
    # ISO 273: an M5 goes through 5.5 mm.
    sheet = box(0, 0, w, h).area - len(mounts) * math.pi * 5.5**2 / 4
    holes = [math.pi * 5.5**2 / 4 * np.array(m) for m in mounts]
    at = (box(0, 0, w, h).area * np.array([w / 2, h / 2]) - sum(holes)) / sheet
    masses = [(sheet * THICK * 1e-9 * DENSITY, np.array([*at, -THICK / 2]))]
    for face, shape, base, top, mass in parts:
        off = (base + top) / 2
        z = off if face == "front" else -THICK - off
        masses.append((mass, np.array([shape.centroid.x, shape.centroid.y, z])))
    total = sum(m for m, _ in masses)
    return total, sum(m * p for m, p in masses) / total


def test_mass_and_its_centre(all_boards):
    for (_, parts, mounts, size, _), ours in all_boards:
        total, centre = centre_of_mass(parts, size, mounts)
        mass = ours["rest"]["mass"]
        assert mass["total"] == pytest.approx(total, rel=1e-9)
        assert [mass["centre"][k] for k in "xyz"] == pytest.approx(list(centre), abs=1e-6)


def stands(parts, size, face, centre):
    """Every way the points of a face can stand: (normal towards the table, support polygon, margin, height)."""
    w, h = size
    away = lambda z: z if face == "front" else -THICK - z  # noqa: E731
    points = [(x, y, 0.0) for x in (0, w) for y in (0, h)]
    for where, shape, _, top, _ in parts:
        if where == face:
            points += [(x, y, top) for x, y in list(shape.exterior.coords)[:-1]]
    points = np.array(points)
    c = np.array([centre[0], centre[1], away(centre[2])])
    hull = ConvexHull(points, qhull_options="Qt")
    found = []
    for *normal, _ in np.unique(np.round(hull.equations, 9), axis=0):
        n = np.array(normal) / np.linalg.norm(normal)
        if n[2] <= 0.2:
            continue
        u = np.cross(n, [0, 1, 0])
        u /= np.linalg.norm(u)
        v = np.cross(n, u)
        depth = points @ n
        touching = points[depth > depth.max() - 0.05]
        polygon = MultiPoint([(p @ u, p @ v) for p in touching]).convex_hull
        at = Point(c @ u, c @ v)
        if polygon.geom_type == "Polygon" and polygon.buffer(1e-6).contains(at):
            found.append((n, polygon, polygon.exterior.distance(at), depth.max() - c @ n))
    return points, c, found


def test_what_it_stands_on(all_boards):
    looked_at = 0
    for (_, parts, mounts, size, _), ours in all_boards:
        total, centre = centre_of_mass(parts, size, mounts)
        for laid in ours["rest"]["laid"]:
            face = laid["down"]
            points, c, ways = stands(parts, size, face, centre)
            feet = [f["at"] for f in laid["feet"]]
            away = lambda z: z if face == "front" else -THICK - z  # noqa: E731
            p, q, s = (np.array([f["x"], f["y"], away(f["z"])]) for f in feet)
            n = np.cross(q - p, s - p)
            n = n / np.linalg.norm(n) * (1 if n[2] > 0 else -1)
            # Nothing stands through the table, but what is within the twentieth that counts as level.
            assert (points @ n).max() <= p @ n + 0.11
            best = min(ways, key=lambda way: 1 - way[0] @ n)
            assert best[0] @ n > 1 - 1e-5, "scipy knows of no such way to stand"
            assert laid["margin"] == pytest.approx(best[2], abs=0.1)
            assert laid["centre_height"] == pytest.approx(best[3], abs=0.1)
            assert laid["tip"] == pytest.approx(math.degrees(math.atan2(best[2], best[3])), abs=0.1)
            # The loads carry all of it, and about the centre they balance.
            loads = [f["load"] for f in laid["feet"]]
            assert sum(loads) == pytest.approx(total, rel=1e-9)
            moment = sum(m * np.cross(x - c, n) for m, x in zip(loads, (p, q, s)))
            assert np.abs(moment).max() < 0.02 * total
            looked_at += 1
    assert looked_at == 2 * BOARDS


NU, YOUNG = 0.42, 900.0  # HDPE: Poisson's ratio, MPa (ISO 527)
STIFF = YOUNG * THICK**3 / 12 / (1 - NU**2)


@skfem.BilinearForm
def bending(u, v, _):
    def moment(t):
        return STIFF * ((1 - NU) * t + NU * eye(trace(t), 2))

    return ddot(moment(dd(u)), dd(v))


def lines(length, marks, step):
    """Grid lines that pass through all marks, none much farther apart than a step."""
    marks = sorted({0.0, float(length), *map(float, marks)})
    # Two marks nearer than a tenth of a millimetre would make slivers.
    marks = [m for i, m in enumerate(marks) if i == 0 or m - marks[i - 1] > 0.1]
    out = [marks[0]]
    for a, b in zip(marks, marks[1:]):
        out += list(np.linspace(a, b, max(1, math.ceil((b - a) / step)) + 1)[1:])
    return np.array(out)


def bent(parts, mounts, size, step):
    """Greatest deflection under its weight and the mounts' forces, by Morley's element. Parts weigh evenly on
    their footprint, taken as 16 by 16 small weights."""
    w, h = size
    mesh = skfem.MeshTri.init_tensor(lines(w, [m[0] for m in mounts], step), lines(h, [m[1] for m in mounts], step))
    basis = skfem.Basis(mesh, skfem.ElementTriMorley(), intorder=4)
    stiffness = bending.assemble(basis)
    holes = len(mounts) * math.pi * 5.5**2 / 4
    even = (w * h - holes) * THICK * 1e-9 * DENSITY * GRAVITY / (w * h)
    load = even * skfem.LinearForm(lambda v, _: v).assemble(basis)
    for _, shape, _, _, mass in parts:
        x0, y0, x1, y1 = shape.bounds
        xs, ys = ((np.arange(24) + 0.5) / 24 * (b - a) + a for a, b in ((x0, x1), (y0, y1)))
        inside = np.array([(x, y) for x in xs for y in ys if shape.contains(Point(x, y))])
        load += basis.probes(inside.T).T @ np.full(len(inside), mass * GRAVITY / len(inside))
    held = [int(np.argmin(np.hypot(mesh.p[0] - x, mesh.p[1] - y))) for x, y in mounts]
    assert all(np.hypot(*(mesh.p[:, i] - np.array(m))) < 1e-6 for i, m in zip(held, mounts))
    dofs = basis.nodal_dofs[0, held]
    w_all = skfem.solve(*skfem.condense(stiffness, load, D=dofs))
    forces = (load - stiffness @ w_all)[dofs]
    return np.abs(w_all[basis.nodal_dofs[0]]).max(), forces


@pytest.mark.parametrize("seed", range(0, BOARDS, 3))
def test_the_bent_sheet_at_its_corners(all_boards, seed):
    compare_bending(all_boards[seed])


@pytest.mark.parametrize("seed", [s for s in range(BOARDS) if s % 3][:12])
def test_the_bent_sheet_held_elsewhere(all_boards, seed):
    compare_bending(all_boards[seed])


def compare_bending(pair):
    (_, parts, mounts, size, _), ours = pair
    strength = ours["rest"]["held"]["firmly"]
    sag, forces = bent(parts, mounts, size, 9.0)
    # A polynomial is too stiff and Morley's element too soft: the truth lies between.
    assert 0.95 < strength["sag"] / sag < 1.02, (strength["sag"], sag)
    loads = np.array([m["load"] for m in strength["mounts"]]) * GRAVITY
    assert loads.sum() == pytest.approx(forces.sum(), rel=1e-3)
    assert np.abs(loads - forces).max() < 0.03 * forces.sum()


def shadow(parts, size, leading):
    """What passes the opening piece by piece, as its plane sees it, with the program's signs."""
    w, h = size
    mirror = leading in ("back", "right-edge", "lower-edge")
    if leading in ("front", "back"):
        pieces = [box(0, 0, w, h), *(s for _, s, *_ in parts)]
    else:
        sideways = leading in ("left-edge", "right-edge")
        span = (lambda s: (s.bounds[1], s.bounds[3])) if sideways else (lambda s: (s.bounds[0], s.bounds[2]))
        sheet = box(0, 0, w, h)
        pieces = [box(-THICK, span(sheet)[0], 0, span(sheet)[1])]
        for face, s, _, top, _ in parts:
            low, high = (-THICK, top) if face == "front" else (-THICK - top, 0)
            pieces.append(box(low, span(s)[0], high, span(s)[1]))
    return [affinity.scale(s, xfact=-1, origin=(0, 0)) if mirror else s for s in pieces]


def placed(shape, turn, x, y):
    return affinity.translate(affinity.rotate(shape, turn, origin=(0, 0)), x, y)


def air(pieces, opening):
    """Least distance to the rim within; else below zero: how far a corner is over the rim, or how deep a corner of
    the rim lies in a piece, whichever is more."""
    if all(opening.contains(s) for s in pieces):
        return min(opening.exterior.distance(s) for s in pieces)
    rim = [Point(p) for p in opening.exterior.coords]
    shapes = [*pieces, unary_union(pieces)]
    over = [opening.distance(Point(p)) for s in shapes for p in s.exterior.coords]
    return -max(over + [s.exterior.distance(p) for s in shapes for p in rim if s.contains(p)])


def test_a_way_out_is_one(all_boards):
    goes = 0
    for (_, parts, _, size, opening), ours in all_boards:
        for way in ours["take_out"]["ways"]:
            pose, fit = way["fit"]["pose"], way["fit"]
            assert fit["at_most"] >= fit["air"]
            if fit["air"] > 1e-6:
                whole = unary_union(shadow(parts, size, way["leading"]))
                shape = placed(whole, pose["turn"], pose["shift"]["x"], pose["shift"]["y"])
                assert opening.contains(shape), way
                assert opening.exterior.distance(shape) == pytest.approx(fit["air"], abs=1e-6)
            assert way["goes"] == (fit["air"] >= 2 - 1e-9)
            goes += way["goes"]
    assert 20 < goes < 6 * BOARDS - 20, goes


@pytest.mark.parametrize("seed", range(BOARDS))
def test_no_pose_has_more_air_than_said(all_boards, seed):
    (_, parts, _, size, opening), ours = all_boards[seed]
    r = random.Random(seed)
    way = ours["take_out"]["ways"][0]
    pieces = shadow(parts, size, way["leading"])
    fit = way["fit"]
    middle = unary_union(pieces).envelope.centroid
    pieces = [affinity.translate(s, -middle.x, -middle.y) for s in pieces]
    x0, y0, x1, y1 = opening.bounds
    best = -math.inf

    def lacking(pose):
        t, x, y = pose
        return -air([placed(s, t, x, y) for s in pieces], opening)

    starts = [(t, (x0 + x1) / 2, (y0 + y1) / 2) for t in (0, 90)]
    starts += [(r.uniform(0, 360), r.uniform(x0, x1), r.uniform(y0, y1)) for _ in range(4)]
    for start in starts:
        found = minimize(lacking, start, method="Nelder-Mead", options={"maxiter": 150})
        best = max(best, -found.fun)
    assert best <= fit["at_most"] + 1e-6
    # Where other searchers get, the program gets too, but for its quarter of a millimetre; past a bite it rests
    # once the two millimetres wanted are there.
    if best > 0:
        assert fit["air"] >= (best if seed % 2 else min(best, 2)) - 0.26


def test_growth(all_boards):
    """Published: polyethylene grows by 100 to 200 millionths a kelvin; ISO 273 leaves an M5 half a millimetre."""
    for (_, _, mounts, _, _), ours in all_boards:
        growth = ours["rest"]["growth"]
        span = max(math.dist(a, b) for a in mounts for b in mounts)
        assert growth["span"] == pytest.approx(span)
        assert growth["over_span"] == pytest.approx([span * 20 * 100e-6, span * 20 * 200e-6])
        radius = max(math.dist((growth["from"]["x"], growth["from"]["y"]), m) for m in mounts)

        def largest(at):
            return max(math.dist(at, m) for m in mounts)

        best = minimize(largest, np.mean(mounts, axis=0), method="Nelder-Mead", options={"xatol": 1e-6, "fatol": 1e-6})
        assert radius <= best.fun + 1e-3
        for m in growth["mounts"]:
            r = math.dist((growth["from"]["x"], growth["from"]["y"]), mounts[m["mount"]])
            assert m["moves"] == pytest.approx([r * 20 * 100e-6, r * 20 * 200e-6])
            assert m["play"] == pytest.approx(0.25)

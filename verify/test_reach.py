"""Swept spaces of tools and wire bends, what stands in them and how deep, against shapely (whose engine is GEOS).

The example `reach` of the crate `space` prints every space as upright prisms, everything that stands on the two
faces, and what it found in the way. Here the same question is asked of shapely: do two prisms share space? How
deep is the overlap of two convex shapes (by the hull of all differences of their corners)? Does a prism hold the
bar or ring that it stands for, and how much more?
"""

import json
import math
import os
import random
import subprocess
from pathlib import Path

import pytest
from shapely import affinity
from shapely.geometry import MultiPoint, Point, Polygon, box
from shapely.ops import unary_union
from tool import DEMOS, ROOT, program

SLIGHT = 1e-4  # mm: less than this is touching
HEADS = 0.083  # a round head or nut is an octagon around its circle, 8.2 % larger at its corners


def reach(path):
    binary = os.environ.get("LOOMDECK_REACH") or str(Path(program()).parent / "examples" / "reach")
    done = subprocess.run([binary, str(path)], capture_output=True, text=True, timeout=60, cwd=ROOT)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def polygon(points):
    return Polygon([(p["x"], p["y"]) for p in points])


def name_of(told, owner):
    (kind, index), = owner.items()
    return kind, told["parts" if kind == "part" else "plugs"][index]


def standing(told, face, in_body):
    """Everything on a face: subject, shape, heights, and by how much the program draws it larger."""
    view = next(v for v in told["faces"] if v["face"] == face)
    things = []
    for b in view["bodies"]:
        things.append((name_of(told, b["owner"]), polygon(b["outline"]), b["base"], b["top"], 0.0))
    for f in view["fasteners"] + view["fixtures"]:
        if f["kind"] == "mount" and not in_body:
            continue
        if f["height"] > f["base"]:
            disc = Point(f["at"]["x"], f["at"]["y"]).buffer(f["diameter"] / 2, quad_segs=64)
            subject = (f["subject"]["kind"], f["subject"]["name"])
            things.append((subject, disc, f["base"], f["height"], HEADS * f["diameter"] / 2))
    return things


def depth(a, b):
    """Least move that parts two convex shapes: distance of the origin from the rim of their differences."""
    differences = [(p[0] - q[0], p[1] - q[1]) for p in a.exterior.coords for q in b.exterior.coords]
    hull = MultiPoint(differences).convex_hull
    return hull.exterior.distance(Point(0, 0)) if hull.contains(Point(0, 0)) else 0.0


def convex(shape):
    return shape.convex_hull.area - shape.area < 1e-6 * shape.area


def compare(told, face, solids, blockers, own, in_body):
    """Holds what the program found in some spaces against what shapely finds. Returns how many depths agreed."""
    found = {(b["by"]["kind"], b["by"].get("name")): b["overlap"] for b in blockers}
    spaces = [(polygon(s["outline"]), s["from"], s["to"]) for s in solids]
    sure, possible, alone, depths = set(), set(), {}, 0
    for subject, shape, base, top, larger in standing(told, face, in_body):
        if subject == own:
            continue
        met, touched = [], 0
        for space, low, high in spaces:
            if top - low <= 1e-6 or high - base <= 1e-6:
                continue
            shared = space.intersection(shape)
            if shared.area > 0 and convex(shape) and depth(space, shape) > SLIGHT:
                met.append(space)
                sure.add(subject)
            elif shared.area > 1e-3:
                met.append(space)
                sure.add(subject)
            if space.distance(shape) <= larger + SLIGHT:
                possible.add(subject)
                touched += 1
        if met and convex(shape) and subject in found:
            deepest = max(depth(m, shape) for m in met)
            # Several spaces at once take a move at least as long as the worst of them.
            assert found[subject] >= deepest - larger - SLIGHT, (subject, found[subject], deepest)
            alone.setdefault(subject, []).append((touched, larger, deepest))
    for subject, all_met in alone.items():
        if len(all_met) == 1 and all_met[0][:2] == (1, 0.0):
            assert abs(found[subject] - all_met[0][2]) < SLIGHT, (subject, found[subject], all_met)
            depths += 1
    named = {s for s in found if s[0] in ("part", "plug", "board-mount")} - {own}
    assert sure <= named, (sure - named, own)
    assert named <= possible | sure, (named - possible - sure, own)
    return depths


def check(told):
    uses = depths = 0
    for need, in_body in zip(told["needs"], told["in_body"]):
        own = (need["subject"]["kind"], need["subject"]["name"])
        for way in need["ways"]:
            for use in way["uses"]:
                uses += 1
                depths += compare(told, use["face"], use["solids"], use["blockers"], own, in_body)
                walls(told, use, in_body, need)
    for b in told["bends"]:
        bend = b["bend"]
        for way in bend["ways"]:
            uses += 1
            own = name_of(told, bend["owner"])
            depths += compare(told, bend["face"], way["solids"], way["blockers"], own, True)
    return uses, depths


def walls(told, use, in_body, need):
    """What reaches beyond the board's edge, and into the body."""
    if not in_body or not use["solids"]:
        return
    board = told["board"]
    edge = polygon(board["outline"])
    corners = [Point(p["x"], p["y"]) for s in use["solids"] for p in s["outline"]]
    over = max(edge.distance(c) for c in corners)
    high = max(s["to"] for s in use["solids"])
    wall = next((b["overlap"] for b in use["blockers"] if b["by"]["kind"] == "robot"), 0.0)
    if board["edge_room"] is None:
        told_over = use["beyond_edge"] or 0.0
        assert abs(told_over - over) < SLIGHT
    else:
        beyond = max(0.0, over - board["edge_room"])
        covered = use["face"] == "back" or (need["job"] != "unplug" and need["owner"] is not None)
        above = max(0.0, high - board[f"depth_{use['face']}"]) if covered else 0.0
        assert abs(wall - max(beyond, above)) < SLIGHT


FIXINGS = [
    '{ style = "bolt-and-nut", thread = "M3", head = "pan" }',
    '{ style = "bolt-and-nut", thread = "M4", head = "socket", turned = true }',
    '{ style = "standoff", thread = "M3", head = "countersunk", standoff_mm = 8 }',
    '{ style = "standoff", thread = "M3", head = "pan", standoff_mm = 30 }',
    '{ style = "insert", thread = "M4", head = "socket" }',
    '{ style = "captive-nut", thread = "M3", head = "pan" }',
    '{ style = "clip", thread = "M3", head = "pan" }',
    '{ style = "cleat", thread = "M3", head = "pan", slides = "right" }',
    '{ style = "adhesive" }',
]


def crowded(seed):
    """A crowded board: turned boxes on both faces, with cards, trimmers, plugs, mounts and wires."""
    r = random.Random(seed)
    text = (
        'format = 1\n[robot]\nname = "crowd"\n[board]\nsize_mm = [320, 240]\nthickness_mm = 9\n'
        'material = "hdpe"\ndepth_front_mm = 90\ndepth_back_mm = 70\n'
    )
    if seed % 2:
        text += f"edge_room_mm = {r.randint(5, 60)}\n"
    text += '[[zone]]\nname = "leg"\npath_mm = 300\n'
    for k, (x, y) in enumerate([(14, 14), (306, 226)]):
        text += f'[[mount]]\nname = "m{k}"\nat_mm = [{x}, {y}]\nthread = "M6"\nclear_mm = 18\n'
    text += (
        '[[type]]\nname = "plug"\ntitle = "plug"\ngroup = "plugs"\nabout = "A plug."\nbasis = "made up"\n'
        "[type.plug]\ncontacts = 2\nrating_a = 10\nresistance_mohm = 5\nvoltage_v = 60\nwire_mm2 = [0.3, 2.5]\n"
        "temperature_degc = 105\nreversible = false\nbreak_under_load = false\nshrouded = true\nwidth_mm = 12\n"
        'length_mm = 40\nheight_mm = 10\nboot_mm = 5\nend = "contact"\nlocks = true\n'
    )
    parts = r.randint(6, 11)
    for n in range(parts):
        w, h, tall = r.randint(24, 70), r.randint(20, 50), r.randint(8, 60)
        way = r.choice(["left", "right", "up", "down", "off"])
        fixing = r.choice(FIXINGS)
        high = f"height_mm = {r.randint(3, tall)}, "
        text += (
            f'[[type]]\nname = "t{n}"\ntitle = "t"\ngroup = "boxes"\nabout = "A box."\nbasis = "made up"\n'
            f"size_mm = [{w}, {h}]\nheight_mm = {tall}\nmass_g = 50\nfixing = {fixing}\n"
            f"holes_mm = [[4, 4], [{w - 4}, {h - 4}]]\nhole_diameter_mm = 4.5\n"
            f'reach = [{{ what = "{r.choice(["card", "usb", "trimmer", "button"])}", at_mm = [{w / 2}, {h / 2}], '
            f'{high}towards = "{way}", width_mm = {r.randint(6, 20)}, depth_mm = {r.randint(20, 60)}, '
            f'often = "each show", in_place = {r.choice(["true", "false"])}, tilt_deg = {r.choice([0, 0, 35])} }}]\n'
        )
        for side, x in (("a", 2), ("b", w - 2)):
            out = r.choice(["left", "right", "up", "down", "off"])
            fitting = r.choice(["screw-clamp", "stud-M5"])
            text += (
                f'[[type.terminal]]\nname = "{side}"\nat_mm = [{x}, {h / 2}]\nheight_mm = {r.randint(3, tall)}\n'
                f'exit = "{out}"\nfitting = "{fitting}"\nwire_mm2 = [0.2, 6]\nroom_for = 9\n'
                f'boot_mm = {r.randint(0, 15)}\nrole = "passive"\noptional = true\n'
            )
        text += '[[type.element]]\nkind = "resistor"\na = "a"\nb = "b"\nohms_ohm = 100\npower_w = 1\n'
    for n in range(parts):
        face = r.choice(["front", "back"])
        turn = r.choice([0, 90, 180, 270, round(r.uniform(0, 360), 1)])
        x, y = round(r.uniform(60, 260), 2), round(r.uniform(50, 190), 2)
        text += f'[[part]]\nname = "p{n}"\ntype = "t{n}"\nface = "{face}"\nat_mm = [{x}, {y}]\nturn_deg = {turn}\n'
    for n in range(2):
        x, y = round(r.uniform(40, 290), 2), round(r.uniform(30, 210), 2)
        text += (
            f'[[plug]]\nname = "q{n}"\nfamily = "plug"\nzone = "leg"\nface = "{r.choice(["front", "back"])}"\n'
            f"at_mm = [{x}, {y}]\nturn_deg = {r.choice([0, 90, 180, 270])}\n"
        )
    for n in range(parts):
        text += (
            f'[[wire]]\nname = "w{n}"\nfrom = "p{n}.a"\nto = "p{(n + 1) % parts}.b"\n'
            f"size_mm2 = {r.choice([0.5, 1.5, 4])}\n"
        )
    return text


@pytest.mark.parametrize("demo", DEMOS)
def test_what_stands_in_the_spaces_of_the_demos(demo):
    uses, _ = check(reach(ROOT / "demos" / demo))
    assert uses >= 40


def test_what_stands_in_the_spaces_of_crowded_boards(tmp_path):
    uses = depths = 0
    for seed in range(36):
        path = tmp_path / f"crowd-{seed}.toml"
        path.write_text(crowded(seed), encoding="utf-8")
        more = check(reach(path))
        uses, depths = uses + more[0], depths + more[1]
    assert uses > 3000 and depths > 300, (uses, depths)


def test_swings_hold_every_position_of_the_spanner(tmp_path):
    """The sector of an open spanner holds its bar in every position, and little more."""
    seen = 0
    for seed in range(24):
        path = tmp_path / f"crowd-{seed}.toml"
        path.write_text(crowded(seed), encoding="utf-8")
        needs = reach(path)["needs"]
        for use in [u for n in needs for w in n["ways"] for u in w["uses"] if u["tool"] == "open-spanner"]:
            # The third space is the handle, the second the jaw: 2.1 times the flats and 3 mm wide.
            jaw, handle = polygon(use["solids"][1]["outline"]), polygon(use["solids"][2]["outline"])
            at = Point(use["at"]["x"], use["at"]["y"])
            inside = min(at.distance(Point(c)) for c in jaw.exterior.coords) * math.cos(math.pi / 16) * 2
            flats = min((4.0, 5.0, 5.5, 7.0, 8.0, 10.0, 13.0), key=lambda s: abs(2.1 * s + 3 - inside))
            bar = affinity.translate(box(0, -(flats + 3) / 2, 12 * flats + 30, (flats + 3) / 2), at.x, at.y)
            ratios = []
            for start in range(0, 360, 30):
                swung = unary_union([affinity.rotate(bar, start + 30 * t / 60, origin=at) for t in range(61)])
                if handle.buffer(1e-6).contains(swung):
                    ratios.append(handle.area / swung.area)
            # What is more is the notch between the first and the last position, beside the nut.
            assert len(ratios) == 1 and ratios[0] < 1.05, (flats, inside, ratios)
            seen += 1
    assert seen >= 20


def quarter_ring(bend, turn):
    """The true quarter ring over the face of a wire that turns to one side, from its numbers."""
    angle, to = math.radians(bend["exit"]["along"]), math.radians(turn["to"])
    d, inner = bend["diameter"], bend["radius"]
    stiff = bend["boot"] + bend["straight"]
    start = (bend["at"]["x"] + stiff * math.cos(angle), bend["at"]["y"] + stiff * math.sin(angle))
    centre = (start[0] + (inner + d / 2) * math.cos(to), start[1] + (inner + d / 2) * math.sin(to))
    ring = Point(centre).buffer(inner + d, quad_segs=256).difference(Point(centre).buffer(inner, quad_segs=256))
    reach = 2 * (inner + d)
    corners = [
        centre,
        (centre[0] - reach * math.cos(to), centre[1] - reach * math.sin(to)),
        (
            centre[0] + reach * (math.cos(angle) - math.cos(to)),
            centre[1] + reach * (math.sin(angle) - math.sin(to)),
        ),
        (centre[0] + reach * math.cos(angle), centre[1] + reach * math.sin(angle)),
    ]
    return ring.intersection(Polygon(corners)), stiff


def test_bends_hold_their_ring(tmp_path):
    seen = 0
    for seed in range(40):
        path = tmp_path / f"crowd-{seed}.toml"
        path.write_text(crowded(seed), encoding="utf-8")
        for b in reach(path)["bends"]:
            bend = b["bend"]
            assert abs(b["need"] - (bend["boot"] + bend["straight"] + bend["radius"] + bend["diameter"])) < 1e-9
            for way in bend["ways"]:
                if not (isinstance(way["turn"], dict) and isinstance(bend["exit"], dict)):
                    continue
                ring, _ = quarter_ring(bend, way["turn"])
                spaces = unary_union([polygon(s["outline"]).buffer(1e-6) for s in way["solids"][1:]])
                assert ring.difference(spaces).area < 2e-3 * ring.area
                # Six facets a quarter, h = 7.5° each way: outside tan(h)/h, inside sin(2h)/(2h). With radii of 3
                # and 4 diameters that is (16 × 0.57 % + 9 × 1.14 %) / 7 = 2.8 % more.
                assert spaces.area < 1.029 * ring.area
                assert spaces.hausdorff_distance(ring) < 0.012 * (bend["radius"] + bend["diameter"])
                seen += 1
    assert seen >= 30

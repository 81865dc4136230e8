"""The DXF read back by a strict reader: no errors, no repairs, millimetres, holes and outline in place."""

import ezdxf
import pytest
from shapely.geometry import Polygon
from tool import DEMOS, ROOT, rows, run


@pytest.fixture(scope="module", params=DEMOS)
def made(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp(request.param)
    run("make", ROOT / "demos" / request.param, "--unit", "mm", "-o", folder)
    return folder


@pytest.fixture(params=["front", "back"])
def drawing(request, made):
    # `readfile` is the strict loader: it repairs nothing.
    return request.param, made, ezdxf.readfile(made / f"{request.param}.dxf")


def test_the_audit_finds_nothing(drawing):
    _, _, doc = drawing
    auditor = doc.audit()
    assert not auditor.errors, [e.message for e in auditor.errors]
    assert not auditor.fixes, [f.message for f in auditor.fixes]


def test_the_unit_is_said(drawing):
    _, _, doc = drawing
    words = " ".join(t.dxf.text for t in doc.modelspace().query("TEXT")).lower()
    # Release 12 has no header variable for the unit; newer ones say 4 for millimetres.
    assert "millimet" in words
    if doc.dxfversion > "AC1009":
        assert doc.header.get("$INSUNITS") == 4


def outline(doc):
    (line,) = [p for p in doc.modelspace().query("POLYLINE LWPOLYLINE") if p.dxf.layer == "OUTLINE"]
    return Polygon([tuple(p)[:2] for p in line.points()])


def test_holes_are_where_the_table_says(drawing):
    face, folder, doc = drawing
    left, low, right, _ = outline(doc).bounds
    circles = [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in doc.modelspace().query("CIRCLE")]
    through = [r for r in rows(folder / "holes.csv") if r["length_mm"] == "" and r["depth_mm"] == ""]
    assert through
    for r in through:
        # The demos' datum is the left lower corner; the back is mirrored as you see it.
        x = left + r["x_mm"] if face == "front" else right - r["x_mm"]
        y = low + r["y_mm"]
        near = [
            c for c in circles if abs(c[0] - x) < 0.011 and abs(c[1] - y) < 0.011 and abs(c[2] - r["diameter_mm"] / 2) < 0.011
        ]
        assert near, (r["number"], x, y, r["diameter_mm"])


def test_the_two_faces_have_the_same_outline(made):
    front, back = (outline(ezdxf.readfile(made / f"{face}.dxf")) for face in ("front", "back"))
    assert front.is_valid and front.area > 100
    assert front.area == pytest.approx(back.area, rel=1e-9)
    assert front.bounds == pytest.approx(back.bounds, abs=1e-6)

"""The PDFs read back: holes of the templates against the files' hole table, and the calibration square."""

import math

import pdfplumber
import pytest
from tool import DEMOS, ROOT, rows, run

MM = 25.4 / 72
BOUND = 0.05  # mm, the design's figure for a template


@pytest.fixture(scope="module", params=DEMOS)
def made(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp(request.param)
    run("make", ROOT / "demos" / request.param, "--unit", "mm", "-o", folder)
    return folder


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """The book of samovar, and its workshop files beside it."""
    folder = tmp_path_factory.mktemp("book")
    run("book", ROOT / "demos" / "samovar", "--unit", "mm", "-o", folder / "samovar.pdf")
    run("make", ROOT / "demos" / "samovar", "--unit", "mm", "-o", folder)
    return folder / "samovar.pdf"


def circles(page):
    """Centre from the lower left corner and radius of every circle on a page, mm."""
    found = set()
    for curve in page.curves:
        w, h = curve["width"] * MM, curve["height"] * MM
        if w > 0.5 and abs(w - h) < 0.01:
            x = (curve["x0"] + curve["x1"]) / 2 * MM
            y = (curve["y0"] + curve["y1"]) / 2 * MM
            found.add((round(x, 4), round(y, 4), round(w / 2, 4)))
    return sorted(found)


def template_pages(file):
    """Circles of each template page by the face it names."""
    faces = {"front": [], "back": []}
    with pdfplumber.open(file) as pdf:
        for page in pdf.pages:
            words = page.extract_text() or ""
            for face in faces:
                if f"{face} template" in words.lower() and "check the printer" not in words.lower():
                    faces[face].append(circles(page))
    return faces


def laid_on(holes, drawn):
    """The shift that lays most holes on circles of their size, and the pairs (hole, distance) it makes."""
    best = []
    for hx, hy, hr, _ in holes:
        for cx, cy, cr in drawn:
            if abs(hr - cr) > 0.02:
                continue
            shift = (cx - hx, cy - hy)
            pairs = []
            for x, y, r, number in holes:
                off = [
                    math.hypot(x + shift[0] - a, y + shift[1] - b) for a, b, c in drawn if abs(c - r) <= 0.02
                ]
                if off and min(off) <= 1.0:
                    pairs.append((number, min(off)))
            if len(pairs) > len(best):
                best = pairs
    return best


def table_of(folder, mirrored):
    """Round holes through the board: x, y, radius, number."""
    sign = -1 if mirrored else 1
    return [
        (sign * r["x_mm"], r["y_mm"], r["diameter_mm"] / 2, int(r["number"]))
        for r in rows(folder / "holes.csv")
        if r["length_mm"] == "" and r["depth_mm"] == ""
    ]


@pytest.mark.parametrize("face", ["front", "back"])
def test_template_holes_lie_where_the_table_says(made, face):
    pages = template_pages(made / "template.pdf")[face]
    assert pages
    # The demos measure from the left lower corner; the back is seen mirrored.
    holes = table_of(made, face == "back")
    found = set()
    for drawn in pages:
        pairs = laid_on(holes, drawn)
        assert all(off <= BOUND for _, off in pairs), pairs
        found.update(number for number, _ in pairs)
    missing = {number for *_, number in holes} - found
    assert not missing, f"not on any sheet: {missing}"


def test_the_book_carries_the_same_templates(book):
    for face in ("front", "back"):
        holes = table_of(book.parent, face == "back")
        found = set()
        for drawn in template_pages(book)[face]:
            pairs = laid_on(holes, drawn)
            assert all(off <= BOUND for _, off in pairs)
            found.update(number for number, _ in pairs)
        assert found == {number for *_, number in holes}


def squares(page):
    """Sides of all rectangles on a page, mm."""
    shapes = page.rects + page.curves
    return [(s["width"] * MM, s["height"] * MM) for s in shapes]


def test_calibration_square_is_exact(made):
    with pdfplumber.open(made / "template.pdf") as pdf:
        pages = [p for p in pdf.pages if "check the printer" in (p.extract_text() or "").lower()]
        assert pages
        for page in pages:
            exact = [s for s in squares(page) if abs(s[0] - 100) < 0.002 and abs(s[1] - 100) < 0.002]
            assert exact, squares(page)


def test_pages_have_the_size_of_the_paper(book):
    for file in (book.parent / "template.pdf", book):
        with pdfplumber.open(file) as pdf:
            for page in pdf.pages:
                size = sorted((page.width * MM, page.height * MM))
                assert size == pytest.approx((210, 297), abs=0.1) or size == pytest.approx((215.9, 279.4), abs=0.1)


def test_the_book_has_its_chapters(book):
    with pdfplumber.open(book) as pdf:
        text = "\n".join(p.extract_text() or "" for p in pdf.pages).lower()
        assert 15 <= len(pdf.pages) <= 200
    for word in ("contents", "situation", "hole", "fastener", "cut list", "label", "shopping", "spare", "fuse"):
        assert word in text, word

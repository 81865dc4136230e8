"""Sizes of screws, nuts and washers against the ISO and ASME tables.

The program's example `rest hardware` prints its own. Figures from memory in the tables are held more loosely and
never decide alone: beside them stands a law that they must obey in any case.
"""

import functools
import json
import os
import subprocess
from pathlib import Path

import pytest
from tool import program, table

INCH = 25.4


@functools.cache
def sizes():
    binary = os.environ.get("LOOMDECK_REST") or str(Path(program()).parent / "examples" / "rest")
    done = subprocess.run([binary, "hardware"], capture_output=True, text=True, timeout=60, check=True)
    return {row["thread"]: row for row in json.loads(done.stdout)}


@pytest.mark.parametrize("row", table("iso_hardware.csv"), ids=lambda r: r["thread"])
def test_metric(row):
    ours = sizes()[row["thread"]]
    exact = functools.partial(pytest.approx, abs=1e-9)
    assert ours["major_mm"] == exact(float(row["thread"][1:]))
    assert ours["pitch_mm"] == exact(row["pitch"])
    assert ours["clearance_mm"] == [exact(row[k]) for k in ("fine", "medium", "coarse")]
    assert ours["tap_mm"] == exact(row["tap"])
    for head in ("socket", "countersunk"):
        assert ours[head]["diameter_mm"] == exact(row[f"{head}_d"])
        assert ours[head]["height_mm"] == exact(row[f"{head}_k"])
    assert ours["nut"]["flats_mm"] == exact(row["nut_flats"])
    assert ours["nut"]["height_mm"] == exact(row["nut_height"])
    # The standard prints the least over corners, 1.13 times the least over flats (which for M2 may be 4.5 % below the
    # largest); ours is the sharp hexagon over the largest flats.
    assert row["nut_corners_min"] < ours["nut"]["corners_mm"] < 1.07 * row["nut_corners_min"]
    washer = ours["washer"]
    assert washer["inside_mm"] == exact(row["washer_inside"])
    assert washer["outside_mm"] == exact(row["washer_outside"])
    assert washer["thickness_mm"] == exact(row["washer_thickness"])


@pytest.mark.parametrize("row", table("asme_screws.csv"), ids=lambda r: r["thread"])
def test_inch(row):
    ours = sizes()[row["thread"]]
    number, pitch = row["thread"].split("-")
    # The diameter law of numbered screws, 0.060 + 0.013 n inch (ASME B1.1).
    assert ours["major_mm"] / INCH == pytest.approx(0.060 + 0.013 * int(number), abs=1e-9)
    assert ours["major_mm"] / INCH == pytest.approx(row["major"], abs=1e-9)
    assert ours["pitch_mm"] / INCH == pytest.approx(1 / int(pitch), abs=1e-9)
    assert ours["tap_mm"] / INCH == pytest.approx(row["tap"], abs=1e-9)
    head = ours["countersunk"]
    assert head["diameter_mm"] / INCH == pytest.approx(row["head_max"], abs=1e-9)
    assert head["height_mm"] / INCH == pytest.approx(row["head_height"], abs=1e-9)
    # From memory: two thousandths, and in any case the screw goes through with room that grows.
    close, free, loose = (c / INCH for c in ours["clearance_mm"])
    assert close == pytest.approx(row["close_memory"], abs=0.002)
    assert free == pytest.approx(row["free_memory"], abs=0.002)
    assert row["major"] < close < free < loose


def test_lengths():
    known = table("iso888_lengths.csv")
    allowed = {r["length_mm"] for r in known if not r["avoid"]}
    for thread, ours in sizes().items():
        if not thread.startswith("M"):
            # Inch lengths are whole sixteenths.
            assert all(abs(x / INCH * 16 - round(x / INCH * 16)) < 1e-9 for x in ours["lengths_mm"]), thread
            continue
        short = [x for x in ours["lengths_mm"] if x <= 70]
        assert short and set(short) <= allowed, thread
        # No length between the shortest and the longest kept is left out.
        assert sorted(x for x in allowed if short[0] <= x <= short[-1]) == short, thread


def test_every_thread_is_looked_at_or_said_to_be_from_memory():
    looked_at = {r["thread"] for r in table("iso_hardware.csv")} | {r["thread"] for r in table("asme_screws.csv")}
    # The rows of M8 and M10 are from memory altogether; the laws of the program's own tests hold for them.
    assert set(sizes()) - looked_at == {"M8", "M10"}

"""Runs the program, reads what it prints, and reads the tables in data/."""

import csv
import functools
import json
import os
import subprocess
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
DEMOS = ["cart", "samovar", "samovar-first-try"]


def program():
    return os.environ.get("LOOMDECK") or str(ROOT / "target" / "release" / "loomdeck")


def run(*args, allowed=(0, 1)):
    """Standard output of the program. Status 1 only says that there are findings."""
    done = subprocess.run([program(), *map(str, args)], capture_output=True, text=True, timeout=120, cwd=ROOT)
    assert done.returncode in allowed, f"{args}: status {done.returncode}\n{done.stderr}\n{done.stdout[:2000]}"
    return done.stdout


def ask(*args):
    """What the program prints as JSON."""
    return json.loads(run(*args))


@functools.cache
def demo(name, *args):
    """A command's JSON about a demo, asked once."""
    command, *options = args
    return ask(command, ROOT / "demos" / name, *options)


def table(name):
    """Rows of a file in data/, numbers as numbers, comment lines left out."""
    text = (HERE / "data" / name).read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return [{k: number(v) for k, v in row.items()} for row in csv.DictReader(lines)]


def number(text):
    try:
        return float(text)
    except (TypeError, ValueError):
        return text


def rows(path):
    """Rows of a CSV the program wrote."""
    with open(path, newline="", encoding="utf-8") as f:
        return [{k: number(v) for k, v in row.items()} for row in csv.DictReader(f)]

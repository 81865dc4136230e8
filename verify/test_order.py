"""The least that must come off, and the fewest changes that unlock a board, against OR-tools' CP-SAT.

The program's example `removal` draws boards from seeds (60 parts, 90 wires, fasteners with one or more ways) and
prints its answers. Here the same questions are put as a whole-number program: which things come off, at which
level, by which way; a way counts only when all that stands in it comes off at a lower level. The two methods have
nothing in common: the program meets cuts, the solver learns clauses. Orders are played back move by move.
"""

import functools
import json
import os
import random
import subprocess
from pathlib import Path

import pytest
from ortools.sat.python import cp_model
from tool import program

BOARDS = 100
PARTS, WIRES, CROWD = 60, 90, 2


@functools.cache
def boards():
    binary = os.environ.get("LOOMDECK_REMOVAL") or str(Path(program()).parent / "examples" / "removal")
    args = [binary, "1", str(BOARDS), str(PARTS), str(WIRES), str(CROWD)]
    done = subprocess.run(args, capture_output=True, text=True, timeout=300, check=True)
    return json.loads(done.stdout)["boards"]


def around(things, target):
    """The things that have a say in the target's coming off."""
    seen, queue = {target}, [target]
    while queue:
        for ways in things[queue.pop()]["conditions"]:
            for other in {t for way in ways for t in way} - seen:
                seen.add(other)
                queue.append(other)
    return sorted(seen)


def solve(model, objective):
    model.minimize(objective)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.random_seed = 1
    solver.parameters.max_time_in_seconds = 120
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE), solver.status_name(status)
    return round(solver.objective_value) if status == cp_model.OPTIMAL else None


def ask(model, things, off, level, thing, waived=None):
    """Every condition of a thing that comes off is met by one way, lower down, or is waived."""
    for c, ways in enumerate(things[thing]["conditions"]):
        chosen = []
        for way in ways:
            if any(t not in off for t in way):
                continue
            open_ = model.new_bool_var("")
            for t in way:
                model.add_implication(open_, off[t])
                model.add(level[t] < level[thing]).only_enforce_if(open_)
            chosen.append(open_)
        if waived is not None:
            chosen.append(waived[thing, c])
        model.add_bool_or([*chosen, off[thing].negated()])


def least(things, target):
    model = cp_model.CpModel()
    near = around(things, target)
    off = {t: model.new_bool_var("") for t in near}
    level = {t: model.new_int_var(0, len(near), "") for t in near}
    for t in near:
        ask(model, things, off, level, t)
    model.add(off[target] == 1)
    return solve(model, sum(things[t]["weight"] * off[t] for t in near))


def plays(things, order):
    off = set()
    for t in order:
        for ways in things[t]["conditions"]:
            assert any(off.issuperset(way) for way in ways), (t, order)
        off.add(t)


def asked():
    """Two parts of each board: the one that takes most, and one drawn."""
    for n in range(BOARDS):
        yield n, "most"
        yield n, "drawn"


@pytest.mark.parametrize("number,which", list(asked()))
def test_nothing_less_lets_a_part_off(number, which):
    board = boards()[number]
    things = board["things"]
    if which == "most":
        removal = max(board["removals"], key=lambda r: (r["weight"] is not None, r["weight"]))
    else:
        removal = random.Random(number).choice(board["removals"])
    assert least(things, removal["target"]) == removal["weight"]
    if removal["weight"] is not None:
        assert removal["exact"] and removal["bound"] == removal["weight"]


def test_orders_can_be_played_back():
    played = 0
    for board in boards():
        for removal in board["removals"]:
            if removal["weight"] is None:
                continue
            order = removal["order"]
            plays(board["things"], order)
            assert order[-1] == removal["target"] and len(set(order)) == len(order)
            assert sum(board["things"][t]["weight"] for t in order) == removal["weight"]
            played += 1
    assert played > BOARDS * PARTS / 2


def locked():
    """What a plain sweep leaves on a board."""
    for number, board in enumerate(boards()):
        off, things = set(), board["things"]
        while True:
            free = [
                t
                for t in range(len(things))
                if t not in off and all(any(off.issuperset(w) for w in ways) for ways in things[t]["conditions"])
            ]
            if not free:
                break
            off.update(free)
        left = [t for t in range(len(things)) if t not in off]
        yield number, off, left


def test_locked_boards_have_the_fewest_changes():
    compared = 0
    for number, off, left in locked():
        board = boards()[number]
        assert bool(left) == bool(board["waived"]), number
        if not left or not board["waived_exact"] or compared >= 20:
            continue
        # What comes off anyway is left out of the question.
        things = [
            {"conditions": [[[t for t in way if t not in off] for way in ways] for ways in t["conditions"]]}
            for t in board["things"]
        ]
        model = cp_model.CpModel()
        gone = {t: model.new_bool_var("") for t in left}
        level = {t: model.new_int_var(0, len(left), "") for t in left}
        waived = {(t, c): model.new_bool_var("") for t in left for c in range(len(things[t]["conditions"]))}
        for t in left:
            model.add(gone[t] == 1)
            ask(model, things, gone, level, t, waived)
        assert solve(model, sum(waived.values())) == len(board["waived"]), number
        compared += 1
    assert compared >= 15


def test_enough_of_them_are_a_choice():
    # Otherwise the checks above would be idle: many parts need others off, and some boards lock themselves.
    weights = [r for b in boards() for r in b["removals"] if r["weight"] is not None]
    others = [sum(t < PARTS for t in r["order"]) - 1 for r in weights]
    assert sum(n >= 3 for n in others) > 500
    assert sum(any(len(ways) > 1 for ways in t["conditions"]) for b in boards() for t in b["things"]) > 1000

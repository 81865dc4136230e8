"""Open-circuit curves of the library's batteries against measured parameter sets that a package carries, and
against printed figures of lead-acid."""

import numpy as np
import pybamm
import pytest
from tool import ROOT, table

try:
    import tomllib
except ModuleNotFoundError:  # Python 3.10
    import tomli as tomllib

BATTERIES = tomllib.loads((ROOT / "crates/model/library/batteries.toml").read_text(encoding="utf-8"))["type"]


def batteries(chemistry):
    """Name and element of every battery in the library of one chemistry."""
    return [
        (t["name"], e)
        for t in BATTERIES
        for e in t.get("element", [])
        if e["kind"] == "battery" and e["chemistry"] == chemistry
    ]


def curve(element, charge):
    points = [(p["charge_percent"] / 100, p["v"]) for p in element["open_circuit"]]
    x, y = zip(*points)
    return np.interp(charge, x, y)


def full_cell(name):
    """Open-circuit voltage by state of charge of a parameter set: its electrodes' potentials at stoichiometries
    that its own voltage limits fix."""
    values = pybamm.ParameterValues(name)
    low, high = values["Open-circuit voltage at 0% SOC [V]"], values["Open-circuit voltage at 100% SOC [V]"]
    solver = pybamm.lithium_ion.ElectrodeSOHSolver(values)
    x0, x100, y100, y0 = solver.get_min_max_stoichiometries()
    negative, positive = (values[f"{side} electrode OCP [V]"] for side in ("Negative", "Positive"))

    def at(charge):
        x = x0 + charge * (x100 - x0)
        y = y0 + charge * (y100 - y0)
        evaluate = lambda f, s: float(values.evaluate(f(pybamm.Scalar(s))))
        return evaluate(positive, y) - evaluate(negative, x)

    return at, low, high


CHARGE = [0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9]


# The cathode decides the curve. Nickel-manganese-cobalt, as in round cells: Chen et al., J. Electrochem. Soc. 167
# (2020) 080534, and O'Regan et al., Electrochimica Acta 425 (2022) 140700 (21700 cells); Ecker et al., J.
# Electrochem. Soc. 162 (2015) A1836, and Mohtat et al., J. Electrochem. Soc. 167 (2020) 110561 (pouch cells). Cobalt oxide: Ramadass et al., J.
# Electrochem. Soc. 151 (2004) A196; Marquis et al., J. Electrochem. Soc. 166 (2019) A3693 (a pouch cell).
NICKEL = ("Chen2020", "ORegan2022", "Ecker2015", "Mohtat2020")
COBALT = ("Ramadass2004", "Marquis2019")


def band(names):
    curves = []
    for name in names:
        at, _, _ = full_cell(name)
        curves.append([at(c) for c in CHARGE])
    return np.min(curves, axis=0), np.max(curves, axis=0)


def test_lithium_ion_lies_among_measured_cells():
    # Round cells are nickel-based; polymer packs come with either cathode.
    bands = {False: band(NICKEL), True: band(NICKEL + COBALT)}
    found = batteries("lithium-ion")
    assert len(found) >= 2
    for name, element in found:
        ours = curve(element, CHARGE)
        low, high = bands["li-po" in name]
        # Within what the measured cells span, and 30 mV for yet other makers' cells.
        assert ((ours >= low - 0.03) & (ours <= high + 0.03)).all(), (name, ours, low, high)


def test_iron_phosphate_lies_near_a_measured_cell():
    # Prada et al., J. Electrochem. Soc. 160 (2013) A616: a 26650 cell, LFP with graphite. Its set has no
    # capacity limits of the whole cell, so its electrodes are balanced here by their plateaus: the positive
    # electrode's potential between 20 and 80 % against a graphite plateau of 0.09 to 0.13 V.
    values = pybamm.ParameterValues("Prada2013")
    positive = values["Positive electrode OCP [V]"]
    plateau = [float(values.evaluate(positive(pybamm.Scalar(s)))) for s in (0.3, 0.5, 0.7)]
    found = batteries("lithium-iron-phosphate")
    assert found
    for name, element in found:
        middle = curve(element, [0.3, 0.5, 0.7])
        assert min(plateau) - 0.25 <= middle.min() and middle.max() <= max(plateau) - 0.05, (name, middle, plateau)


@pytest.mark.parametrize("chemistry", ["lead-agm", "lead-gel", "lead-flooded"])
def test_lead_acid_follows_the_printed_figures(chemistry):
    # 0.1 V a 12 V block: guides differ by that much, AGM and gel rest a little higher than flooded ones.
    for name, element in batteries(chemistry):
        for row in table("lead_acid_rest.csv"):
            ours = 6 * curve(element, row["charge_percent"] / 100)
            assert ours == pytest.approx(row["volts"], abs=0.25 if chemistry != "lead-flooded" else 0.1), (name, row)


def test_every_curve_rises():
    for t in BATTERIES:
        for element in t.get("element", []):
            if element["kind"] == "battery":
                points = element["open_circuit"]
                charge = [p["charge_percent"] for p in points]
                volts = [p["v"] for p in points]
                assert charge[0] == 0 and charge[-1] == 100
                assert all(np.diff(charge) > 0) and all(np.diff(volts) > 0), t["name"]

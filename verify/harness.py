"""A robot for measuring wires: one stiff source, and circuits of two equal wires with a current sink.

It has no board, so nothing is routed: every wire has its measured length and lies alone.
"""

from dataclasses import dataclass

from tool import ask


@dataclass
class Circuit:
    """One load at the end of two wires of the same size."""

    name: str
    size: str  # as in the files: `size_mm2 = 1.5`
    amps: float
    length_mm: float = 1000.0
    insulation: str = "pvc-105"


TYPES = """
format = 1
[robot]
name = "bench"
[limits]
ambient_degc = {ambient}
[[zone]]
name = "bench"
path_mm = 500
[[type]]
name = "source"
size_mm = [100, 100]
height_mm = 50
{terminals}
[[type.element]]
kind = "battery"
plus = "plus"
minus = "minus"
chemistry = "lithium-ion"
cells = 12
capacity_ah = 1000
rated_hours = 1
peukert = 1
resistance_mohm = 0.001
open_circuit = [{{ charge_percent = 0, v = 4 }}, {{ charge_percent = 100, v = 4 }}]
discharge_limit_a = 20000
charge_limit_a = 1000
cut_off_per_cell_v = 3
charge_voltage_per_cell_v = 4.2
[[type]]
name = "sink"
size_mm = [50, 50]
height_mm = 50
[[type.terminal]]
name = "plus"
at_mm = [0, 10]
fitting = "stud-M10"
wire_mm2 = [0.05, 120]
role = "positive"
[[type.terminal]]
name = "minus"
at_mm = [0, 40]
fitting = "stud-M10"
wire_mm2 = [0.05, 120]
role = "return"
[[type.element]]
kind = "load"
plus = "plus"
minus = "minus"
law = "current"
nominal_v = 48
brown_out_v = 1
damage_v = 100
usual = "on"
activities = [{{ name = "on", mean_a = 1 }}]
[[part]]
name = "source"
type = "source"
zone = "bench"
[[situation]]
name = "on"
about = "all sinks draw their current"
charge_percent = 100
lasting = true
activity = {{ {activity} }}
"""

TERMINAL = """[[type.terminal]]
name = "{pole}-{n}"
node = "{pole}"
at_mm = [0, {y}]
fitting = "stud-M10"
wire_mm2 = [0.05, 120]
room_for = 4
role = "{role}"
"""

CIRCUIT = """[[part]]
name = "{name}"
type = "sink"
zone = "bench"
[[wire]]
name = "{name}-out"
from = "source.plus-{n}"
to = "{name}.plus"
{size}
insulation = "{insulation}"
length_mm = {length}
[[wire]]
name = "{name}-back"
from = "{name}.minus"
to = "source.minus-{n}"
{size}
insulation = "{insulation}"
length_mm = {length}
"""


def text(circuits, ambient_c):
    terminals = "".join(
        TERMINAL.format(pole=pole, n=n, y=1 + n, role=role)
        for n in range(len(circuits))
        for pole, role in [("plus", "positive"), ("minus", "return")]
    )
    activity = ", ".join(f'{c.name} = {{ mean_a = {c.amps!r} }}' for c in circuits)
    body = "".join(
        CIRCUIT.format(name=c.name, n=n, size=c.size, length=c.length_mm, insulation=c.insulation)
        for n, c in enumerate(circuits)
    )
    return TYPES.format(ambient=ambient_c, terminals=terminals, activity=activity) + body


def measure(folder, circuits, ambient_c):
    """Each circuit's outgoing wire as `situations --json` reports it, by the circuit's name."""
    (folder / "robot.toml").write_text(text(circuits, ambient_c), encoding="utf-8")
    (situation,) = ask("situations", folder, "--json")["situations"]
    wires = {w["name"]: w for w in situation["wires"]}
    return {c.name: wires[f"{c.name}-out"] for c in circuits}


COPPER_ZERO = 234.5  # NBS Handbook 100: R(T) goes as 234.5 + T.


def cold_resistance(wire, length_mm):
    """Ohms per metre at 20 °C from current, drop and temperature."""
    warm = wire["drop_v"] / wire["current_a"] / (length_mm / 1000)
    return warm * (COPPER_ZERO + 20) / (COPPER_ZERO + wire["temperature_c"])

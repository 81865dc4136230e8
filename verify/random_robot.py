"""Robots drawn from a seed: a network of batteries, switches, wires, fuses, diodes, converters, bridges, motors,
chargers and loads of every law, with measured wires and no board. Currents are kept to what the wires bear, so
that most of them have a solution."""

import random

METRIC = [0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25]


class Robot:
    """Text of the files as it grows."""

    def __init__(self, seed):
        self.r = random.Random(seed)
        self.types, self.parts, self.wires = [], [], []
        self.closed, self.activity, self.motors, self.powered = [], {}, {}, []
        self.count = 0

    def name(self, stem):
        self.count += 1
        return f"{stem}-{self.count}"

    def part(self, stem, terminals, elements, extra=""):
        """Adds a type and its one part; gives the part's name. Terminals are (name, role, room)."""
        name = self.name(stem)
        text = f'[[type]]\nname = "{name}-type"\nsize_mm = [60, 60]\nheight_mm = 20\n'
        for n, (terminal, node, role, room) in enumerate(terminals):
            text += (
                f'[[type.terminal]]\nname = "{terminal}"\nnode = "{node}"\nat_mm = [0, {1 + n}]\nfitting = "stud-M8"\n'
                f'wire_mm2 = [0.2, 60]\nroom_for = {room}\nrole = "{role}"\n'
            )
        for element in elements:
            text += "[[type.element]]\n" + "".join(f"{k} = {toml(v)}\n" for k, v in element.items())
        self.types.append(text)
        self.parts.append(f'[[part]]\nname = "{name}"\ntype = "{name}-type"\nzone = "body"\n{extra}')
        return name

    def wire(self, a, b, thick=False):
        size = self.r.choice(METRIC[6:] if thick else METRIC[2:7])
        length = round(self.r.uniform(50, 1500), 1)
        self.wires.append(
            f'[[wire]]\nname = "{self.name("wire")}"\nfrom = "{a}"\nto = "{b}"\nsize_mm2 = {size}\nlength_mm = {length}\n'
            f'insulation = "silicone"\n'
        )

    def two(self, stem, kind, ends=("plus", "minus"), roles=("positive", "return"), extra="", **keys):
        """A part with one element between two terminals."""
        terminals = [(end, end, role, 6) for end, role in zip(ends, roles)]
        element = {"kind": kind, **dict(zip(ends, ends)), **keys}
        return self.part(stem, terminals, [element], extra)

    # ---- parts

    def battery(self, volts):
        cells = max(1, round(volts / 3))
        cell = volts / cells
        curve = [{"charge_percent": 0, "v": cell * 0.9}, {"charge_percent": 100, "v": cell}]
        return self.two(
            "battery", "battery", chemistry="lithium-ion", cells=cells, capacity_ah=self.r.uniform(5, 60), rated_hours=1,
            peukert=1, resistance_ohm=self.r.uniform(0.002, 0.05), open_circuit=curve, discharge_limit_a=500,
            charge_limit_a=50, cut_off_per_cell_v=cell * 0.8, charge_voltage_per_cell_v=cell * 1.1,
        )

    def switch(self):
        name = self.two(
            "switch", "switch", ("a", "b"), ("passive", "passive"), closed_ohm=self.r.uniform(0.0005, 0.01),
            rating_a=200, voltage_v=60,
        )
        self.closed.append(name)
        return name

    def diode(self):
        return self.two(
            "diode", "diode", ("anode", "cathode"), ("passive", "passive"), forward_v=self.r.uniform(0.3, 1.0),
            at_current_a=self.r.uniform(1, 20), slope_v=self.r.uniform(0.026, 0.052),
            series_ohm=self.r.uniform(0.0005, 0.01), rating_a=60, reverse_v=100,
        )

    def resistor(self, ohms):
        return self.two("resistor", "resistor", ("a", "b"), ("passive", "passive"), ohms_ohm=ohms, power_w=100)

    def bus(self):
        terminals = [(f"s{n}", "bar", "passive", 50) for n in range(1, 3)]
        return self.part("bus", terminals, [{"kind": "bus", "node": "bar", "rating_a": 500}])

    def load(self, volts, watts):
        amps = watts / volts
        law = self.r.choice(["current", "power", "resistance"])
        name = self.two(
            "load", "load", law=law, nominal_v=volts, brown_out_v=volts * 0.5, damage_v=volts * 3, usual="on",
            activities=[{"name": "on", "mean_a": amps}],
        )
        self.activity[name] = f"{{ mean_a = {amps * self.r.uniform(0.2, 1.2):.4f} }}"
        return name

    def converter(self, volts, output):
        points = [
            {"load_percent": p, "efficiency_percent": self.r.uniform(lo, 97)}
            for p, lo in ((10, 60), (50, 80), (100, 80))
        ]
        terminals = [
            ("in-plus", "in-plus", "positive", 6), ("minus", "minus", "return", 6),
            ("out-plus", "out-plus", "positive", 6), ("out-minus", "minus", "return", 6),
        ]
        element = {
            "kind": "converter", "in_plus": "in-plus", "in_minus": "minus", "out_plus": "out-plus",
            "out_minus": "minus", "window_low_v": volts * 0.4, "window_high_v": volts * 2, "absolute_max_v": volts * 3,
            "output_v": output, "limit_a": self.r.uniform(3, 15), "efficiency": points,
            "idle_w": self.r.uniform(0.05, 0.5),
        }
        if output < volts * 0.9:
            element["drop_out_v"] = self.r.uniform(0.2, 2)
        return self.part("converter", terminals, [element])

    def driver(self, volts):
        terminals = [
            ("plus", "plus", "positive", 6), ("minus", "minus", "return", 6), ("a", "a", "motor", 4), ("b", "b", "motor", 4),
        ]
        element = {
            "kind": "driver", "plus": "plus", "minus": "minus",
            "channels": [{"name": "one", "a": "a", "b": "b"}], "window_low_v": volts * 0.4,
            "window_high_v": volts * 2, "absolute_max_v": volts * 3, "continuous_a": 30,
            "peak_a": self.r.uniform(15, 60), "on_resistance_ohm": self.r.uniform(0.005, 0.05), "body_diode_v": 0.9,
            "idle_a": self.r.uniform(0.01, 0.1),
        }
        return self.part("driver", terminals, [element])

    def motor(self, volts, task=True):
        ohms = self.r.uniform(0.3, 2.0)
        name = self.two(
            "motor", "motor", ("a", "b"), ("motor", "motor"), constant_v_s=volts / self.r.uniform(300, 700),
            resistance_ohm=ohms, no_load_a=self.r.uniform(0.05, 0.5), gear_ratio=self.r.uniform(5, 60),
            gear_efficiency_percent=self.r.uniform(60, 95), back_drivable=True, continuous_a=20, nominal_v=volts,
        )
        torque = self.r.uniform(0.2, 3)
        if task:
            self.motors[name] = self.r.choice([
                f"{{ duty_percent = {self.r.uniform(-100, 100):.3f}, torque_nm = {torque:.4f} }}",
                f"{{ turning_rpm = {self.r.uniform(5, 120):.3f}, torque_nm = {torque:.4f} }}",
                f"{{ stalled = true, duty_percent = {self.r.uniform(5, 60):.3f} }}",
                f"{{ torque_nm = {torque:.4f} }}",
            ])
        return name

    def charger(self, volts):
        name = self.two(
            "charger", "charger", current_a=self.r.uniform(1, 8), voltage_v=volts * self.r.uniform(0.98, 1.1),
            chemistry="lithium-ion",
        )
        self.powered.append(name)
        return name

    # ---- the whole

    def consumer(self, plus, minus, volts):
        kind = self.r.choice(["load", "load", "resistor", "diode", "driver", "motor", "converter"])
        if kind == "load":
            load = self.load(volts, self.r.uniform(2, 60))
            self.wire(plus, f"{load}.plus")
            self.wire(f"{load}.minus", minus)
        elif kind == "resistor":
            resistor = self.resistor(self.r.uniform(5, 100))
            self.wire(plus, f"{resistor}.a")
            self.wire(f"{resistor}.b", minus)
        elif kind == "diode":
            diode, load = self.diode(), self.load(volts, self.r.uniform(2, 40))
            self.wire(plus, f"{diode}.anode")
            self.wire(f"{diode}.cathode", f"{load}.plus")
            self.wire(f"{load}.minus", minus)
        elif kind == "driver":
            driver, motor = self.driver(volts), self.motor(volts)
            self.wire(plus, f"{driver}.plus", thick=True)
            self.wire(f"{driver}.minus", minus, thick=True)
            ends = ["a", "b"] if self.r.random() < 0.7 else ["b", "a"]
            self.wire(f"{driver}.a", f"{motor}.{ends[0]}")
            self.wire(f"{driver}.b", f"{motor}.{ends[1]}")
        elif kind == "motor":
            motor = self.motor(volts)
            self.wire(plus, f"{motor}.a")
            self.wire(f"{motor}.b", minus)
        else:
            output = self.r.choice([5.0, 6.0, 12.0])
            converter = self.converter(volts, output)
            self.wire(plus, f"{converter}.in-plus")
            self.wire(f"{converter}.minus", minus)
            for _ in range(self.r.randint(1, 3)):
                load = self.load(output, self.r.uniform(1, 15))
                self.wire(f"{converter}.out-plus", f"{load}.plus")
                # Some returns go round the converter: a loop through the bus.
                self.wire(f"{load}.minus", f"{converter}.out-minus" if self.r.random() < 0.8 else minus)

    def text(self):
        volts = self.r.choice([12.0, 24.0, 36.0])
        plus_bars, minus_bars = [self.bus()], [self.bus()]
        in_series = self.r.random() < 0.3
        first = low = self.battery(volts / 2 if in_series else volts)
        if in_series:
            second = self.battery(volts / 2)
            self.wire(f"{second}.plus", f"{first}.minus", thick=True)
            low = second
        switch = self.switch()
        self.wire(f"{first}.plus", f"{switch}.a", thick=True)
        self.wire(f"{switch}.b", f"{plus_bars[0]}.s1", thick=True)
        self.wire(f"{low}.minus", f"{minus_bars[0]}.s1", thick=True)
        if self.r.random() < 0.3:
            # A second battery behind a diode.
            other, diode = self.battery(volts * self.r.uniform(0.95, 1.0)), self.diode()
            self.wire(f"{other}.plus", f"{diode}.anode", thick=True)
            self.wire(f"{diode}.cathode", f"{plus_bars[0]}.s2", thick=True)
            self.wire(f"{other}.minus", f"{minus_bars[0]}.s2", thick=True)
        for _ in range(self.r.randint(0, 2)):
            # Further bars, sometimes joined by two ways.
            plus, minus = self.bus(), self.bus()
            for _ in range(self.r.randint(1, 2)):
                self.wire(f"{self.r.choice(plus_bars)}.s2", f"{plus}.s1", thick=True)
                self.wire(f"{self.r.choice(minus_bars)}.s2", f"{minus}.s1", thick=True)
            plus_bars.append(plus)
            minus_bars.append(minus)
        for _ in range(self.r.randint(2, 8)):
            self.consumer(f"{self.r.choice(plus_bars)}.s1", f"{self.r.choice(minus_bars)}.s1", volts)
        if self.r.random() < 0.2:
            charger = self.charger(volts)
            self.wire(f"{charger}.plus", f"{plus_bars[-1]}.s2")
            self.wire(f"{charger}.minus", f"{minus_bars[-1]}.s2")
        return self.written()

    def written(self):
        inline = lambda d: "{ " + ", ".join(f"{k} = {v}" for k, v in d.items()) + " }"
        quoted = lambda names: "[" + ", ".join(f'"{n}"' for n in names) + "]"
        situation = (
            f'[[situation]]\nname = "one"\nclosed = {quoted(self.closed)}\npowered = {quoted(self.powered)}\n'
            f'charge_percent = {self.r.uniform(20, 100):.2f}\nambient_degc = {self.r.uniform(10, 45):.1f}\nlasting = true\n'
            f"activity = {inline(self.activity)}\nmotors = {inline(self.motors)}\n"
        )
        head = 'format = 1\n[robot]\nname = "drawn"\n[[zone]]\nname = "body"\npath_mm = 300\n'
        return head + "".join(self.types + self.parts + self.wires) + situation


def toml(value):
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list):
        return "[" + ", ".join(toml(v) for v in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {toml(v)}" for k, v in value.items()) + " }"
    return f"{value:.6g}"


def robot(seed):
    return Robot(seed).text()

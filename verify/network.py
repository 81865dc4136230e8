"""An independent solver for the networks that `situations --networks` prints.

It shares nothing with the program but the laws of the elements. The program solves a modified nodal
analysis with complementarity functions and analytic slopes; here each limited source has a named mode that is
held while Newton's method runs and changed between runs (an active set), the slopes are complex-step
derivatives of the laws as written below, and the load is raised in steps from nothing.
"""

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.linalg import splu

KNEE = 0.05  # below this fraction of nominal voltage, loads are resistors


class NoSolution(Exception):
    """Newton's method or the change of modes did not come to rest."""


def smaller(x, y):
    return x if x.real <= y.real else y


def larger(x, y):
    return x if x.real >= y.real else y


def load_current(kind, amps, nominal, v):
    if kind == "resistance" or v.real < 0:
        return v * amps / nominal
    knee = KNEE * nominal
    if kind == "current":
        return amps + 0 * v if v.real >= knee else amps * v / knee
    return constant_power(amps * nominal, v, knee)


def constant_power(power, v, floor):
    return power / v if v.real >= floor else power * v / floor**2


def loss(points, i):
    """Linear between the points, in proportion beyond the last."""
    i = larger(i, 0 * i)
    last_i, last_w = points[-1]
    if i.real >= last_i and last_i > 0:
        return last_w * i / last_i
    for (i0, w0), (i1, w1) in zip(points, points[1:]):
        if i.real <= i1:
            return w0 + (w1 - w0) / (i1 - i0) * (i - i0)
    return last_w + 0 * i


def motor_current(item, v, fraction):
    r, kind = item["resistance_ohm"], item["kind"]

    def turning(most):
        if abs(v.real) < most * r:
            return v / r
        return most * (1 if v.real >= 0 else -1) + 0 * v

    if kind["motor"] == "turned":
        return (v - kind["emf_v"]) / r
    if kind["motor"] == "loaded":
        return turning(fraction * kind["current_a"])
    if kind["current_a"] * kind["emf_v"] >= 0:
        return turning(fraction * abs(kind["current_a"]))
    return fraction * kind["current_a"] + 0 * v


class Element:
    """One active item: its nodes, its own unknowns, its mode."""

    def __init__(self, index, item, items):
        self.index, self.item, self.items = index, item, items
        self.law = item["law"]
        self.motor = None
        getattr(self, "init_" + self.law)(item)

    def init_branch(self, item):
        self.nodes, self.own, self.mode = [item["a"], item["b"]], 1, None

    def init_diode(self, item):
        self.nodes, self.own, self.mode = [item["a"], item["b"]], 2, None

    def init_load(self, item):
        self.nodes, self.own, self.mode = [item["a"], item["b"]], 0, None

    init_motor = init_load

    def init_charger(self, item):
        self.nodes, self.own, self.mode = [item["plus"], item["minus"]], 1, "hold"

    def init_converter(self, item):
        keys = ("in_plus", "in_minus", "out_plus", "out_minus")
        self.nodes, self.own, self.mode = [item[k] for k in keys], 1, "regulates"

    def init_channel(self, item):
        self.nodes = [item[k] for k in ("plus", "minus", "a", "b")]
        self.own = 3
        find = item["duty"]["duty"] == "find"
        self.mode = "finds" if find else "value"
        if find:
            self.motor = self.items[item["motor"]]
            self.nodes += [self.motor["a"], self.motor["b"]]

    def evaluate(self, v, own, fraction):
        """Currents that leave the nodes into the element, and the element's own equations."""
        return getattr(self, "eval_" + self.law)(self.item, v, own, fraction)

    def eval_branch(self, e, v, own, fraction):
        (i,) = own
        return [i, -i], [v[0] - v[1] + e["emf_v"] - e["resistance_ohm"] * i]

    def eval_diode(self, e, v, own, fraction):
        u, i = own
        through = i - e["leak_s"] * u
        if through.real > e["saturation_a"]:
            # Solved for the voltage, which is mild where the exponential is steep.
            law = u - e["slope_v"] * np.log(through / e["saturation_a"] + 1)
        else:
            x = smaller(u / e["slope_v"], 1.0 + 0 * u)
            law = e["saturation_a"] * (np.exp(x) - 1) - through
        return [i, -i], [v[0] - v[1] - u - e["series_ohm"] * i, law]

    def eval_load(self, e, v, own, fraction):
        i = load_current(e["kind"], fraction * e["current_a"], e["nominal_v"], v[0] - v[1])
        i = i + e["bleed_s"] * (v[0] - v[1])
        return [i, -i], []

    def eval_motor(self, e, v, own, fraction):
        i = motor_current(e, v[0] - v[1], fraction)
        return [i, -i], []

    def eval_charger(self, e, v, own, fraction):
        (i,) = own
        law = {"hold": v[0] - v[1] - e["voltage_v"], "full": i - e["current_a"], "off": i}[self.mode]
        return [-i, i], [law]

    def set_point(self, e, v_in):
        if e["drop_out_v"] is None:
            return e["output_v"] + 0 * v_in
        return smaller(e["output_v"] + 0 * v_in, larger(v_in - e["drop_out_v"], 0 * v_in))

    def eval_converter(self, e, v, own, fraction):
        (i,) = own
        v_in, v_out = v[0] - v[1], v[2] - v[3]
        taken = constant_power(1.0, v_in, e["floor_v"]) * (v_out * i + loss(e["loss"], i))
        given = i - e["bleed_s"] * v_out
        law = {
            "regulates": v_out - self.set_point(e, v_in),
            "limit": i - e["limit_a"],
            "off": i,
        }[self.mode]
        return [taken, -taken, -given, given], [law]

    def eval_channel(self, e, v, own, fraction):
        ia, ib, d = own
        bus, half = v[0] - v[1], e["on_ohm"] / 2
        up, down = larger(d, 0 * d), larger(-d, 0 * d)
        from_plus = up * ia - down * ib
        laws = [
            v[2] - v[1] - up * bus + half * ia,
            v[3] - v[1] - down * bus - half * ib,
        ]
        if self.mode == "value":
            laws.append(d - fraction * e["duty"]["value"])
        elif self.mode == "peak":
            laws.append(self.sign(fraction) * ia - e["duty"]["peak_a"])
        elif self.mode == "finds":
            laws.append(self.emf_gap(v, fraction))
        else:
            laws.append(d - (1 if self.mode == "full" else -1))
        currents = [from_plus, ia - ib - from_plus, -ia, ib]
        return currents + [0 * d] * (len(self.nodes) - 4), laws

    def sign(self, fraction):
        return -1 if fraction * self.item["duty"]["value"] < 0 else 1

    def emf_gap(self, v, fraction):
        """Electromotive force of the motor, less what is wanted."""
        volts = v[4] - v[5]
        turned = volts - self.motor["resistance_ohm"] * motor_current(self.motor, volts, fraction)
        return turned - self.motor["kind"].get("emf_v", 0.0)

    def better_mode(self, v, own, fraction):
        """The mode that these values ask for; the present one when it is consistent."""
        e, eps = self.item, 1e-9
        if self.law == "charger":
            (i,) = own
            high = v[0] - v[1] - e["voltage_v"]
            if self.mode == "hold":
                return "full" if i > e["current_a"] * (1 + eps) else "off" if i < -eps else "hold"
            if self.mode == "full":
                return "hold" if high > eps else "full"
            return "hold" if high < -eps else "off"
        if self.law == "converter":
            (i,) = own
            high = v[2] - v[3] - self.set_point(e, np.complex128(v[0] - v[1])).real
            if self.mode == "regulates":
                return "limit" if i > e["limit_a"] * (1 + eps) else "off" if i < -eps else "regulates"
            if self.mode == "limit":
                return "regulates" if high > eps else "limit"
            return "regulates" if high < -eps else "off"
        if self.law == "channel":
            ia, _, d = own
            if self.mode == "value":
                return "peak" if self.sign(fraction) * ia > e["duty"]["peak_a"] * (1 + eps) else "value"
            if self.mode == "peak":
                beyond = self.sign(fraction) * (d - fraction * e["duty"]["value"])
                return "value" if beyond > eps else "peak"
            if self.mode == "finds":
                return "full" if d > 1 + eps else "reverse" if d < -1 - eps else "finds"
            gap = e["duty"]["sense"] * self.emf_gap([np.complex128(x) for x in v], fraction).real
            if self.mode == "full":
                return "finds" if gap > eps else "full"
            return "finds" if gap < -eps else "reverse"
        return self.mode


class Network:
    """The active part of an exported network."""

    def __init__(self, exported):
        self.exported = exported
        fed = [v is not None for v in exported["voltages_v"]]
        self.elements = []
        for n, item in enumerate(exported["items"]):
            element = Element(n, item, exported["items"])
            if item["active"] and all(fed[node] for node in element.nodes):
                self.elements.append(element)
            else:
                # Switched off, or hanging on nothing.
                assert exported["currents_a"][n] == 0, item["name"]
        held = set(exported["references"])
        self.place = {}
        for node, is_fed in enumerate(fed):
            if is_fed and node not in held:
                self.place[node] = len(self.place)
        self.rows = len(self.place)
        self.first = []
        size = self.rows
        for element in self.elements:
            self.first.append(size)
            size += element.own
        self.size = size
        self.straight, self.constant = self.linear_part()

    def linear_part(self):
        """Matrix and constant of all wires, contacts and batteries, which never change."""
        rows, columns, values, constant = [], [], [], np.zeros(self.size)
        for n, element in enumerate(self.elements):
            if element.law != "branch":
                continue
            k = self.first[n]
            constant[k] = element.item["emf_v"]
            entries = [(k, k, -element.item["resistance_ohm"])]
            for node, sign in zip(element.nodes, (1.0, -1.0)):
                row = self.place.get(node)
                if row is not None:
                    entries += [(row, k, sign), (k, row, sign)]
            for row, column, value in entries:
                rows.append(row)
                columns.append(column)
                values.append(value)
        return csr_matrix((values, (rows, columns)), shape=(self.size, self.size)), constant

    def gather(self, x, n):
        element, k = self.elements[n], self.first[n]
        v = [x[self.place[node]] if node in self.place else 0.0 for node in element.nodes]
        return v, list(x[k : k + element.own])

    def residual(self, x, fraction, slopes=False):
        """Balance of every node and every element's own equations; with their matrix when asked for."""
        f = self.straight @ x + self.constant
        rows, columns, values = [], [], []
        for n, element in enumerate(self.elements):
            if element.law == "branch":
                continue
            v, own = self.gather(x, n)
            unknowns = [self.place.get(node) for node in element.nodes]
            unknowns += range(self.first[n], self.first[n] + element.own)
            targets = [self.place.get(node) for node in element.nodes]
            targets += range(self.first[n], self.first[n] + element.own)
            z = np.array(v + own, dtype=complex)
            for value, row in zip(self.all_of(element, z, fraction), targets):
                if row is not None:
                    f[row] += value.real
            if not slopes:
                continue
            for j, column in enumerate(unknowns):
                if column is None:
                    continue
                z[j] += 1e-30j
                for value, row in zip(self.all_of(element, z, fraction), targets):
                    if row is not None and value.imag != 0:
                        rows.append(row)
                        columns.append(column)
                        values.append(value.imag / 1e-30)
                z[j] = z[j].real
        if not slopes:
            return f
        bent = csr_matrix((values, (rows, columns)), shape=(self.size, self.size))
        return f, (self.straight + bent).tocsc()

    @staticmethod
    def all_of(element, z, fraction):
        count = len(element.nodes)
        currents, laws = element.evaluate(list(z[:count]), list(z[count:]), fraction)
        return [np.complex128(value) for value in currents + laws]

    def start(self, fraction):
        """No current anywhere; voltages as the sources say along the wires."""
        exported, v = self.exported, dict.fromkeys(self.exported["references"], 0.0)
        changed = True
        while changed:
            changed = False
            for element in self.elements:
                steps = []
                if element.law == "branch":
                    a, b = element.nodes
                    steps = [(a, b, element.item["emf_v"])]
                elif element.law == "converter":
                    _, low, plus, minus = element.nodes
                    steps = [(minus, plus, element.item["output_v"]), (low, minus, 0.0)]
                for a, b, rise in steps:
                    for here, there, step in ((a, b, rise), (b, a, -rise)):
                        if here in v and there not in v:
                            v[there] = v[here] + step
                            changed = True
        x = np.zeros(self.size)
        for n, element in enumerate(self.elements):
            if element.law == "channel":
                self.start_bridge(element, v, x, self.first[n], fraction)
        for node, row in self.place.items():
            x[row] = v.get(node, 0.0)
        return x

    @staticmethod
    def start_bridge(element, v, x, k, fraction):
        """A guess of the duty, and the outputs that follow from it."""
        plus, minus, a, b = element.nodes[:4]
        low, bus = v.get(minus, 0.0), v.get(plus, 0.0) - v.get(minus, 0.0)
        if element.mode == "value":
            duty = fraction * element.item["duty"]["value"]
        else:
            duty = 0.5 * element.item["duty"].get("sense", 1) * np.sign(element.motor["kind"].get("emf_v", 0.0))
        x[k + 2] = duty
        for node, volts in ((a, low + max(duty, 0) * bus), (b, low + max(-duty, 0) * bus)):
            v.setdefault(node, volts)
        if element.motor is not None:
            v.setdefault(element.motor["a"], v[a])
            v.setdefault(element.motor["b"], v[b])

    def newton(self, x, fraction):
        """Newton's method with the modes held."""
        for _ in range(80):
            f, matrix = self.residual(x, fraction, slopes=True)
            try:
                step = splu(matrix).solve(-f)
            except RuntimeError as e:
                raise NoSolution(str(e)) from e
            self.limit_junctions(x, step)
            norm, shrink = np.abs(f).max(), 1.0
            while shrink > 1e-3 and not np.abs(self.residual(x + shrink * step, fraction)).max() <= max(2 * norm, 1e-9):
                shrink /= 2
            moved = shrink * np.abs(step).max()
            x = x + shrink * step
            if not np.isfinite(moved):
                break
            if moved < 1e-12 * max(1.0, np.abs(x).max()):
                return x
        raise NoSolution("Newton's method does not come to rest")

    def limit_junctions(self, x, step):
        """A junction voltage grows by a few slopes at a time where the exponential is steep."""
        for n, element in enumerate(self.elements):
            if element.law == "diode":
                k, slope = self.first[n], element.item["slope_v"]
                knee = slope * np.log(max(slope / (1.414 * element.item["saturation_a"]), 2.0))
                new = x[k] + step[k]
                if new > knee and step[k] > 2 * slope:
                    limited = x[k] + slope * np.log1p(step[k] / slope) if x[k] > 0 else slope * np.log(max(new / slope, 2))
                    step[k] = min(step[k], limited - x[k])

    def settle(self, x, fraction):
        """Newton's method, and modes changed until all are consistent."""
        seen = set()
        for _ in range(60):
            x = self.newton(x, fraction)
            wanted = [e.better_mode(*self.gather(x, n), fraction) for n, e in enumerate(self.elements)]
            if all(w == e.mode for w, e in zip(wanted, self.elements)):
                return x
            key = tuple(wanted)
            if key in seen:
                # Going round in circles: change one at a time.
                for element, mode in zip(self.elements, wanted):
                    if element.mode != mode:
                        element.mode = mode
                        break
            else:
                seen.add(key)
                for element, mode in zip(self.elements, wanted):
                    element.mode = mode
        raise NoSolution("the modes do not come to rest")

    def solve(self, fraction):
        """The solution continued from no load; where the walk gets stuck (a bridge at hardly any duty is
        nearly singular), the one that Newton's method finds from no load in one go."""
        modes = [e.mode for e in self.elements]
        try:
            return self.walk(fraction)
        except NoSolution:
            for element, mode in zip(self.elements, modes):
                element.mode = mode
            return self.settle(self.start(fraction), fraction)

    def walk(self, fraction):
        x, done, step = self.settle(self.start(0.0), 0.0), 0.0, fraction / 4 if fraction else 0.0
        while done < fraction:
            modes = [e.mode for e in self.elements]
            goal = min(done + step, fraction)
            try:
                x, done, step = self.near(x, self.settle(x, goal), step, fraction), goal, step * 1.5
            except NoSolution:
                for element, mode in zip(self.elements, modes):
                    element.mode = mode
                step /= 2
                if step < fraction * 1e-3:
                    raise
        return x

    def near(self, before, after, step, fraction):
        """Refuses a leap to another branch: voltages move little in a small step of the load."""
        top = np.abs(before[: self.rows]).max(initial=1.0)
        leap = np.abs(after[: self.rows] - before[: self.rows]).max(initial=0.0)
        if leap > 0.1 * top and step > fraction * 2e-3:
            raise NoSolution("a leap")
        return after

    def voltages(self, x):
        """By node; None where nothing feeds."""
        fed = [v is not None for v in self.exported["voltages_v"]]
        return [
            None if not fed[n] else (x[self.place[n]] if n in self.place else 0.0) for n in range(len(fed))
        ]

    def currents(self, x, fraction):
        """By item, as the program counts them; nothing through what is not active."""
        all_of = [0.0] * len(self.exported["items"])
        for n, element in enumerate(self.elements):
            v, own = self.gather(x, n)
            if element.law == "diode":
                value = own[1]
            elif element.own:
                value = own[0]
            else:
                value = self.all_of(element, np.array(v, dtype=complex), fraction)[0].real
            all_of[element.index] = value
        return all_of


def differences(exported):
    """Largest relative difference of voltages and of currents between the program's solution and ours.

    Voltages are held against the largest of the network, or their own size when that is at least a
    hundredth of it; currents likewise.
    """
    fraction = exported["fraction"]
    network = Network(exported)
    x = network.solve(fraction)
    volts = relative(exported["voltages_v"], network.voltages(x))
    amps = relative(exported["currents_a"], network.currents(x, fraction))
    return volts, amps


def relative(theirs, ours):
    pairs = [(a, b) for a, b in zip(theirs, ours) if a is not None and b is not None]
    assert sum(a is not None for a in theirs) == len(pairs)
    if not pairs:
        return 0.0
    top = max(max(abs(a), abs(b)) for a, b in pairs)
    return max(abs(a - b) / max(abs(b), top / 100, 1e-6) for a, b in pairs)

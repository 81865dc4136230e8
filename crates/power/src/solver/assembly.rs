//! Residuals and Jacobian of a network. Where the entries of the matrix lie depends on the structure
//! alone, so that it is found once for all numbers.

use super::law;
use crate::netlist::{Device, Duty, MotorKind, Netlist};
use faer::sparse::SymbolicSparseColMat;

/// Values of all unknowns.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Node voltages, then the further unknowns of each element in order.
    pub x: Vec<f64>,
    /// Fraction of load at which it is a solution.
    pub fraction: f64,
}

/// Where the unknowns of a network lie.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pattern {
    /// Number of nodes.
    pub nodes: usize,
    /// Number of unknowns.
    pub size: usize,
    /// First further unknown of each element.
    pub extra: Vec<usize>,
}

/// Where the entries of a network's matrix lie.
#[derive(Clone, Debug)]
pub(super) struct Entries {
    /// The places, column by column.
    pub layout: SymbolicSparseColMat<usize>,
    /// Place of each entry in the order in which they are visited.
    slots: Vec<usize>,
}

impl Default for Entries {
    fn default() -> Self {
        Self {
            layout: SymbolicSparseColMat::new_checked(0, 0, vec![0], None, vec![]),
            slots: Vec::new(),
        }
    }
}

/// How many unknowns an element has besides its node voltages.
const fn extras(device: &Device) -> usize {
    match device {
        Device::Branch { .. }
        | Device::Diode { .. }
        | Device::Converter { .. }
        | Device::Charger { .. } => 1,
        Device::Channel { .. } => 3,
        Device::Load { .. } | Device::Motor { .. } => 0,
    }
}

impl Pattern {
    /// The structure of a network. Networks that differ only in numbers and in what is active share
    /// one.
    pub fn of(netlist: &Netlist) -> Self {
        let nodes = netlist.nodes.len();
        let mut extra = Vec::with_capacity(netlist.items.len());
        let mut size = nodes;
        for item in &netlist.items {
            extra.push(size);
            size += extras(&item.device);
        }
        Self { nodes, size, extra }
    }

    /// Fills residual and matrix values at a point.
    pub(super) fn fill(
        &self,
        netlist: &Netlist,
        at: (&[f64], f64),
        references: &[bool],
        entries: &Entries,
        residual: &mut [f64],
        values: &mut [f64],
    ) {
        values.fill(0.0);
        let mut slots = entries.slots.iter();
        self.stamp(netlist, at, references, residual, &mut |_, _, v| {
            if let Some(&slot) = slots.next() {
                values[slot] += v;
            }
        });
    }

    /// Residual alone.
    pub(super) fn residual(
        &self,
        netlist: &Netlist,
        at: (&[f64], f64),
        references: &[bool],
        residual: &mut [f64],
    ) {
        self.stamp(netlist, at, references, residual, &mut |_, _, _| {});
    }

    /// Visits every element in order. It must report the same (row, column) sequence whatever the
    /// numbers are: entries that do not apply are reported as zero.
    fn stamp(
        &self,
        netlist: &Netlist,
        (x, fraction): (&[f64], f64),
        references: &[bool],
        f: &mut [f64],
        entry: &mut impl FnMut(usize, usize, f64),
    ) {
        f.fill(0.0);
        let mut s = Stamp { f, entry, references, nodes: self.nodes };
        for (item, &k) in netlist.items.iter().zip(&self.extra) {
            s.device(netlist, &item.device, item.active, k, x, fraction);
        }
        for node in 0..self.nodes {
            let held = references[node];
            if held {
                s.f[node] = x[node];
            }
            (s.entry)(node, node, if held { 1.0 } else { 0.0 });
        }
    }
}

impl Entries {
    /// Of a network.
    pub fn of(netlist: &Netlist, pattern: &Pattern) -> Self {
        let n = pattern.size;
        let mut visited: Vec<(usize, usize, usize)> = Vec::new();
        let (zero, none, mut residual) = (vec![0.0; n], vec![false; pattern.nodes], vec![0.0; n]);
        pattern.stamp(netlist, (&zero, 1.0), &none, &mut residual, &mut |row, column, _| {
            visited.push((column, row, visited.len()));
        });
        let mut slots = vec![0; visited.len()];
        visited.sort_unstable();
        let (mut start, mut rows) = (Vec::with_capacity(n + 1), Vec::new());
        let mut last = None;
        for (column, row, index) in visited {
            if last != Some((column, row)) {
                while start.len() <= column {
                    start.push(rows.len());
                }
                rows.push(row);
                last = Some((column, row));
            }
            slots[index] = rows.len() - 1;
        }
        start.resize(n + 1, rows.len());
        Self { layout: SymbolicSparseColMat::new_checked(n, n, start, None, rows), slots }
    }

    /// Number of stored entries.
    pub fn count(&self) -> usize {
        self.layout.row_idx().len()
    }
}

struct Stamp<'a, E> {
    f: &'a mut [f64],
    entry: &'a mut E,
    references: &'a [bool],
    nodes: usize,
}

impl<E: FnMut(usize, usize, f64)> Stamp<'_, E> {
    /// Adds to a row, unless it is the row of a reference node, whose balance is redundant.
    fn add(&mut self, row: usize, value: f64) {
        if row >= self.nodes || !self.references[row] {
            self.f[row] += value;
        }
    }

    fn jac(&mut self, row: usize, column: usize, value: f64) {
        let value = if row < self.nodes && self.references[row] { 0.0 } else { value };
        (self.entry)(row, column, value);
    }

    /// A current from `a` to `b` with its slope against v(a) − v(b).
    fn through(&mut self, a: usize, b: usize, current: f64, slope: f64) {
        self.add(a, current);
        self.add(b, -current);
        for (row, column, sign) in [(a, a, 1.0), (a, b, -1.0), (b, a, -1.0), (b, b, 1.0)] {
            self.jac(row, column, sign * slope);
        }
    }

    fn device(
        &mut self,
        netlist: &Netlist,
        device: &Device,
        active: bool,
        k: usize,
        x: &[f64],
        fraction: f64,
    ) {
        let on = if active { 1.0 } else { 0.0 };
        match *device {
            Device::Branch { a, b, resistance_ohm, emf_v } => {
                let i = x[k];
                self.add(a, i);
                self.add(b, -i);
                self.jac(a, k, 1.0);
                self.jac(b, k, -1.0);
                let law = x[a] - x[b] + emf_v - resistance_ohm * i;
                self.add(k, if active { law } else { i });
                self.jac(k, a, on);
                self.jac(k, b, -on);
                self.jac(k, k, if active { -resistance_ohm } else { 1.0 });
            }
            Device::Diode { a, b, saturation_a, slope_v, series_ohm, leak_s } => {
                let u = x[k];
                let (i, di) = law::junction(saturation_a, slope_v, leak_s, u);
                self.add(a, on * i);
                self.add(b, -on * i);
                self.jac(a, k, on * di);
                self.jac(b, k, -on * di);
                self.add(k, if active { x[a] - x[b] - u - series_ohm * i } else { u });
                self.jac(k, a, on);
                self.jac(k, b, -on);
                self.jac(k, k, if active { -1.0 - series_ohm * di } else { 1.0 });
            }
            Device::Load { a, b, kind, current_a, nominal_v, bleed_s } => {
                let v = x[a] - x[b];
                let (i, di) = law::load(kind, fraction * current_a, nominal_v, v);
                self.through(a, b, on * (i + bleed_s * v), on * (di + bleed_s));
            }
            Device::Motor { a, b, resistance_ohm, kind } => {
                let (i, di) = motor(kind, resistance_ohm, x[a] - x[b], fraction);
                self.through(a, b, on * i, on * di);
            }
            Device::Charger { plus, minus, current_a, voltage_v } => {
                let i = x[k];
                self.add(plus, -i);
                self.add(minus, i);
                self.jac(plus, k, -1.0);
                self.jac(minus, k, 1.0);
                let gap = x[plus] - x[minus] - voltage_v;
                let (held, law) = law::limited(i, current_a, gap, current_a / voltage_v);
                let by_gap = if active && held { 1.0 } else { 0.0 };
                self.add(k, if active { law } else { i });
                self.jac(k, plus, by_gap);
                self.jac(k, minus, -by_gap);
                self.jac(k, k, 1.0 - by_gap);
            }
            Device::Converter { .. } => self.converter(device, active, k, x),
            Device::Channel { .. } => self.channel(netlist, device, active, k, x, fraction),
        }
    }

    fn converter(&mut self, device: &Device, active: bool, k: usize, x: &[f64]) {
        let &Device::Converter {
            in_plus,
            in_minus,
            out_plus,
            out_minus,
            output_v,
            limit_a,
            drop_out_v,
            ref loss,
            floor_v,
            bleed_s,
        } = device
        else {
            return;
        };
        let on = if active { 1.0 } else { 0.0 };
        let (i, v_in, v_out) = (x[k], x[in_plus] - x[in_minus], x[out_plus] - x[out_minus]);
        self.add(out_plus, -i);
        self.add(out_minus, i);
        self.jac(out_plus, k, -1.0);
        self.jac(out_minus, k, 1.0);
        self.through(out_plus, out_minus, on * bleed_s * v_out, on * bleed_s);

        let (lost, d_lost) = law::loss(loss, i);
        let power = v_out * i + lost;
        let (unit, d_unit) = law::constant_power(1.0, v_in, floor_v);
        self.through(in_plus, in_minus, on * power * unit, on * power * d_unit);
        let (by_v, by_i) = (on * i * unit, on * (v_out + d_lost) * unit);
        for (row, sign) in [(in_plus, 1.0), (in_minus, -1.0)] {
            self.jac(row, out_plus, sign * by_v);
            self.jac(row, out_minus, -sign * by_v);
            self.jac(row, k, sign * by_i);
        }

        let follows = drop_out_v.is_some_and(|d| v_in - d < output_v);
        let set = if follows { (v_in - drop_out_v.unwrap_or(0.0)).max(0.0) } else { output_v };
        let moves = if follows && set > 0.0 { 1.0 } else { 0.0 };
        let (held, law) = law::limited(i, limit_a, v_out - set, limit_a / output_v);
        let gap = if active && held { 1.0 } else { 0.0 };
        self.add(k, if active { law } else { i });
        self.jac(k, out_plus, gap);
        self.jac(k, out_minus, -gap);
        self.jac(k, in_plus, -gap * moves);
        self.jac(k, in_minus, gap * moves);
        self.jac(k, k, 1.0 - gap);
    }

    fn channel(
        &mut self,
        netlist: &Netlist,
        device: &Device,
        active: bool,
        k: usize,
        x: &[f64],
        fraction: f64,
    ) {
        let &Device::Channel { plus, minus, a, b, on_ohm, motor, duty } = device else { return };
        let (ia, ib, d) = (x[k], x[k + 1], x[k + 2]);
        let (up, down) = (d.max(0.0), (-d).max(0.0));
        let (d_up, d_down) = if d >= 0.0 { (1.0, 0.0) } else { (0.0, -1.0) };
        let on = if active { 1.0 } else { 0.0 };
        let half = on_ohm / 2.0;
        let bus = x[plus] - x[minus];

        self.add(a, -ia);
        self.add(b, ib);
        self.jac(a, k, -1.0);
        self.jac(b, k + 1, 1.0);
        let from_plus = up * ia - down * ib;
        self.add(plus, from_plus);
        self.add(minus, ia - ib - from_plus);
        let by_duty = d_up * ia - d_down * ib;
        self.jac(plus, k, up);
        self.jac(plus, k + 1, -down);
        self.jac(plus, k + 2, by_duty);
        self.jac(minus, k, 1.0 - up);
        self.jac(minus, k + 1, -1.0 + down);
        self.jac(minus, k + 2, -by_duty);

        for (row, node, share, d_share, i, sign) in
            [(k, a, up, d_up, ia, 1.0), (k + 1, b, down, d_down, ib, -1.0)]
        {
            let law = x[node] - x[minus] - share * bus + sign * half * i;
            self.add(row, if active { law } else { i });
            self.jac(row, node, on);
            self.jac(row, minus, on * (share - 1.0));
            self.jac(row, plus, -on * share);
            self.jac(row, k + 2, -on * d_share * bus);
            self.jac(row, row, if active { sign * half } else { 1.0 });
        }
        let leads = motor_leads(netlist, motor).unwrap_or((a, b, 0.0, MotorKind::Turned { emf_v: 0.0 }));
        self.duty(leads, duty, active, k, x, fraction);
    }

    /// The row that says what the duty is. Every kind of duty fills the same places.
    fn duty(&mut self, leads: Leads, duty: Duty, active: bool, k: usize, x: &[f64], fraction: f64) {
        let row = k + 2;
        let d = x[row];
        let (a, b, resistance, kind) = leads;
        let (mut law, mut by_duty, mut by_current, mut by_volts) = (d, 1.0, 0.0, 0.0);
        match duty {
            _ if !active => {}
            Duty::Fixed { value, peak_a } => {
                let target = fraction * value;
                let sign = if target < 0.0 { -1.0 } else { 1.0 };
                let (short, room) = (sign * (target - d), 1.0 - sign * x[k] / peak_a);
                if room < short {
                    (law, by_duty, by_current) = (room, 0.0, -sign / peak_a);
                } else {
                    (law, by_duty) = (short, -sign);
                }
            }
            Duty::Find { sense } => {
                let emf = match kind {
                    MotorKind::Driven { emf_v, .. } | MotorKind::Turned { emf_v } => emf_v,
                    MotorKind::Loaded { .. } => 0.0,
                };
                let v = x[a] - x[b];
                let (i, di) = motor(kind, resistance, v, fraction);
                let gap = sense * (v - resistance * i - emf);
                let (held, middle) = law::limited(d + 1.0, 2.0, gap, 1.0 / emf.abs().max(1.0));
                law = middle;
                if held {
                    (by_duty, by_volts) = (0.0, sense * (1.0 - resistance * di));
                }
            }
        }
        self.add(row, law);
        self.jac(row, row, by_duty);
        self.jac(row, k, by_current);
        self.jac(row, a, by_volts);
        self.jac(row, b, -by_volts);
    }
}

/// Leads, winding and law of a motor.
type Leads = (usize, usize, f64, MotorKind);

fn motor_leads(netlist: &Netlist, index: Option<usize>) -> Option<Leads> {
    match netlist.items.get(index?)?.device {
        Device::Motor { a, b, resistance_ohm, kind } => Some((a, b, resistance_ohm, kind)),
        _ => None,
    }
}

/// Current of a motor at voltage `v`, and its slope.
pub(super) fn motor(kind: MotorKind, resistance: f64, v: f64, fraction: f64) -> (f64, f64) {
    let loaded = |most: f64| {
        if v.abs() < most * resistance {
            (v / resistance, 1.0 / resistance)
        } else {
            (most.copysign(v), 0.0)
        }
    };
    match kind {
        MotorKind::Turned { emf_v } => ((v - emf_v) / resistance, 1.0 / resistance),
        MotorKind::Loaded { current_a } => loaded(fraction * current_a),
        MotorKind::Driven { current_a, emf_v } if current_a * emf_v >= 0.0 => {
            loaded(fraction * current_a.abs())
        }
        MotorKind::Driven { current_a, .. } => (fraction * current_a, 0.0),
    }
}

/// Current of an element at a solution, from `a` to `b`; of converters and chargers the output, of
/// bridges that out of `a`. `k` is its first further unknown.
pub fn current(device: &Device, k: usize, x: &[f64], fraction: f64) -> f64 {
    match *device {
        Device::Branch { .. }
        | Device::Converter { .. }
        | Device::Charger { .. }
        | Device::Channel { .. } => x[k],
        Device::Diode { saturation_a, slope_v, leak_s, .. } => {
            law::junction(saturation_a, slope_v, leak_s, x[k]).0
        }
        Device::Load { a, b, kind, current_a, nominal_v, bleed_s } => {
            let v = x[a] - x[b];
            law::load(kind, fraction * current_a, nominal_v, v).0 + bleed_s * v
        }
        Device::Motor { a, b, resistance_ohm, kind } => {
            motor(kind, resistance_ohm, x[a] - x[b], fraction).0
        }
    }
}

/// Power that an element takes from the network (negative when it gives), W.
pub fn power(device: &Device, k: usize, x: &[f64], fraction: f64) -> f64 {
    let i = current(device, k, x, fraction);
    match *device {
        Device::Branch { a, b, .. }
        | Device::Diode { a, b, .. }
        | Device::Load { a, b, .. }
        | Device::Motor { a, b, .. } => (x[a] - x[b]) * i,
        Device::Charger { plus, minus, .. } => -(x[plus] - x[minus]) * i,
        Device::Converter {
            in_plus, in_minus, out_plus, out_minus, ref loss, floor_v, bleed_s, ..
        } => {
            let (v_in, v_out) = (x[in_plus] - x[in_minus], x[out_plus] - x[out_minus]);
            let asked = v_out * i + law::loss(loss, i).0;
            let i_in = law::constant_power(asked, v_in, floor_v).0;
            v_in * i_in - v_out * i + bleed_s * v_out * v_out
        }
        Device::Channel { plus, minus, a, b, .. } => {
            let (ia, ib, d) = (x[k], x[k + 1], x[k + 2]);
            let from_plus = d.max(0.0) * ia - (-d).max(0.0) * ib;
            let bus = x[plus] - x[minus];
            bus * from_plus - (x[a] - x[minus]) * ia + (x[b] - x[minus]) * ib
        }
    }
}

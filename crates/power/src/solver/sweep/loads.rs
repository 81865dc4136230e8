//! The loads of a network, and which of them get too little voltage to work.

use super::Sweep;
use crate::netlist::{Device, Netlist};

/// A load: its item in the core and in the whole network, its nodes in the core, its voltage and current.
#[derive(Clone, Copy, Debug)]
pub(super) struct LoadPlace {
    pub(super) core: usize,
    pub(super) whole: usize,
    pub(super) nodes: (usize, usize),
    pub(super) nominal: f64,
    pub(super) current: f64,
}

/// Share of its nominal voltage below which a load no longer works.
const OFF: f64 = 0.5;

impl LoadPlace {
    /// Whether this voltage is too little for it.
    pub(super) fn starves(&self, v: f64) -> bool {
        v < OFF * self.nominal
    }
}

/// The loads that take current. Both networks hold them in the same order.
pub(super) fn loads(core: &Netlist, whole: &Netlist) -> Vec<LoadPlace> {
    let of = |netlist: &Netlist| -> Vec<usize> {
        let items = netlist.items.iter().enumerate();
        items.filter(|(_, i)| matches!(i.device, Device::Load { .. })).map(|(at, _)| at).collect()
    };
    let both = of(core).into_iter().zip(of(whole));
    both.filter_map(|(small, large)| match core.items[small].device {
        Device::Load { a, b, nominal_v, current_a, .. }
            if core.items[small].active && current_a > 0.0 =>
        {
            let nodes = (a, b);
            Some(LoadPlace { core: small, whole: large, nodes, nominal: nominal_v, current: current_a })
        }
        _ => None,
    })
    .collect()
}

impl Sweep<'_> {
    /// Switches off the loads whose voltage is too low for them. Whether there are new ones.
    pub(super) fn shed(&mut self, x: &[f64], shed: &mut Vec<usize>) -> bool {
        let before = shed.len();
        for (at, load) in self.loads.iter().enumerate() {
            if load.starves(x[load.nodes.0] - x[load.nodes.1]) && !shed.contains(&at) {
                shed.push(at);
            }
        }
        for &at in &shed[before..] {
            self.set_load(at, 0.0);
        }
        shed.len() > before
    }

    pub(super) fn set_load(&mut self, at: usize, amperes: f64) {
        if let Device::Load { current_a, .. } = &mut self.netlist.items[self.loads[at].core].device {
            *current_a = amperes;
        }
    }
}

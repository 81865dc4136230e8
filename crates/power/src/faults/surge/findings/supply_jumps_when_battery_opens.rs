//! The battery lets go while motors brake, and the supply jumps.

use crate::faults::surge::types::*;
use crate::findings::{All, help, shelf};
use loomdeck_model::units::{Amperes, Volts};
use loomdeck_model::{Finding, Page, Remedy, Severity};

/// The page.
pub const PAGE: Page = Page {
    slug: "supply-jumps-when-battery-opens",
    severity: Severity::Danger,
    title: "The supply jumps when the battery lets go of braking motors",
    physics: "A driver that brakes sends current into the battery. When a fuse, a plug or the battery's protection opens that way, the current goes on: into the driver's own capacitor. At that instant its voltage jumps by the current times the capacitor's series resistance, and swings with the inductance of the wires by up to I·√(L/C). Then it goes on rising with I/C for as long as the motors brake, which is told where motors feed back.\n\nThe current is bounded by the largest electrical power that the motors can give at the fastest speed of any situation, (k·ω)²/(4·R) or what the driver's peak current allows, over the supply.",
    source: "Maximum power transfer from a source with inner resistance; energy in an inductance and a capacitor; the driver's stated absolute maximum",
    limits: "A bound of the first instant, no waveform. Series resistance of the driver's capacitors where it is not stated: 40 µs over their value (common practice, no source).",
    before: small_robot!(
        load_with!("player", 100, 40),
        two_batteries!(),
        two_wheels!(
            "dual-motor-driver-12v-24v-10a",
            "drive-gearmotor-24v-250w",
            4,
            "lower.minus",
            driving!()
        )
    ),
    after: small_robot!(
        load_with!("player", 100, 40),
        two_batteries!(),
        two_wheels!(
            "dual-motor-driver-24v-30a",
            "drive-gearmotor-24v-250w",
            4,
            "lower.minus",
            driving!()
        )
    ),
};

pub(super) fn find(all: &All<'_>, found: &Surge, out: &mut Vec<Finding>) {
    for d in found.dumps.iter().filter(|d| d.peak_v > d.limit_v && d.before_v <= d.limit_v) {
        let name = &all.robot.parts[d.driver.0].name;
        let f = Finding::new(
            PAGE.slug,
            Severity::Danger,
            help::part(all.robot, d.driver),
            format!(
                "When the battery lets go while the motors on {name} brake, its supply jumps from {:.1} to as much as {:.1}; it is destroyed above {:.1}.",
                Volts(d.before_v),
                Volts(d.peak_v),
                Volts(d.limit_v)
            ),
            format!(
                "The motors can send up to {} into the supply at {:.1}\u{2009}m/s, and its capacitor of {:.0}\u{2009}µF must take it at once.",
                Amperes(d.current_a),
                d.speed_m_s,
                1e6 * d.capacitance_f.unwrap_or(0.0)
            ),
            PAGE.source,
        )
        .with_value("voltage_v", d.peak_v)
        .with_limit("voltage_v", d.limit_v);
        let own = shelf::driver(all.robot.type_of(d.driver)).cloned();
        let stronger = own.and_then(|own| {
            shelf::other_driver(
                all,
                d.driver,
                |o| {
                    o.absolute_max.0 > d.peak_v
                        && o.continuous >= own.continuous
                        && o.window_low.0 <= own.window_low.0.max(0.6 * d.before_v)
                },
                ", which bears this voltage",
            )
        });
        out.push(help::with_first(
            f,
            stronger,
            Remedy::advice(
                "Put a capacitor of low series resistance and some thousand microfarads beside the driver, or a surge suppressor (a transient-voltage diode) that clamps below its limit.",
            ),
        ));
    }
}

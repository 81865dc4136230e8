//! Electrical elements of a part type, from checked tables.

use super::tree::{Node, Value};
use super::value::shown;
use super::view::{Gather, View, element_spec, tables_of};
use super::words;
use crate::element::*;
use crate::units::*;

/// The nodes of a part type, gathered while its terminals and elements are read.
#[derive(Debug, Default)]
pub struct Nodes {
    /// Names, by index.
    pub names: Vec<String>,
    /// How often each is touched.
    pub touched: Vec<usize>,
}

impl Nodes {
    /// The node of that name, made when it is new.
    pub fn touch(&mut self, name: &str) -> LocalNode {
        let i = self.names.iter().position(|n| n == name).unwrap_or_else(|| {
            self.names.push(name.to_owned());
            self.touched.push(0);
            self.names.len() - 1
        });
        self.touched[i] += 1;
        LocalNode(i)
    }
}

/// Reads the elements of a type. Tables must have been checked.
pub fn elements(list: Option<&Node>, nodes: &mut Nodes, gather: &mut Gather<'_>) -> Vec<Element> {
    let Some(list) = list else { return Vec::new() };
    let tables: Vec<_> = tables_of(list).collect();
    let mut elements: Vec<Element> = Vec::new();
    for table in &tables {
        let Some(spec) = element_spec(table) else { continue };
        let view = View::new(spec, table);
        let name = view.text("name").unwrap_or("main").to_owned();
        if elements.iter().any(|e| e.name == name) {
            let help = "Give each element its own `name`.".to_owned();
            gather.say(
                &table.span,
                format!("A second element is called `{}`.", shown(&name)),
                Some(help),
            );
        }
        if let Some(kind) = kind(&view, nodes, gather) {
            elements.push(Element { name, kind });
        }
    }
    loads_agree(&elements, list, gather);
    elements
}

/// Situations name one activity for a part, so its loads must have the same ones.
fn loads_agree(elements: &[Element], list: &Node, gather: &mut Gather<'_>) {
    let mut loads = elements.iter().filter_map(|e| match &e.kind {
        ElementKind::Load(l) => Some(l.activities.iter().map(|a| a.name.as_str()).collect::<Vec<_>>()),
        _ => None,
    });
    if let Some(first) = loads.next()
        && loads.any(|l| l != first)
    {
        let help = "Name the same activities, in the same order, in every load of the type.".to_owned();
        gather.say(&list.span, "The loads of this type have different activities.", Some(help));
    }
}

fn kind(v: &View<'_>, nodes: &mut Nodes, gather: &mut Gather<'_>) -> Option<ElementKind> {
    let mut at = |key: &str| v.text(key).map(|n| nodes.touch(n));
    Some(match v.spec.name {
        "battery" => {
            let (plus, minus) = (at("plus")?, at("minus")?);
            ElementKind::Battery(battery(v, plus, minus, gather)?)
        }
        "switch" => ElementKind::Switch(Switch {
            a: at("a")?,
            b: at("b")?,
            closed: Ohms(v.number("closed")?),
            rating: Amperes(v.number("rating")?),
            make_break: v.number("make_break").map(Amperes),
            voltage: Volts(v.number("voltage")?),
        }),
        "contactor" => ElementKind::Contactor(Contactor {
            coil_plus: at("coil_plus")?,
            coil_minus: at("coil_minus")?,
            a: at("a")?,
            b: at("b")?,
            coil: Ohms(v.number("coil")?),
            pull_in: Volts(v.number("pull_in")?),
            drop_out: Volts(v.number("drop_out")?),
            coil_max: Volts(v.number("coil_max")?),
            closed: Ohms(v.number("closed")?),
            rating: Amperes(v.number("rating")?),
            make_break: v.number("make_break").map(Amperes),
            voltage: Volts(v.number("voltage")?),
            normally_closed: v.flag("normally_closed"),
        }),
        "fuse-way" => ElementKind::FuseWay(FuseWay {
            a: at("a")?,
            b: at("b")?,
            form: v.text("form")?.to_owned(),
            limit: Amperes(v.number("limit")?),
            contact: Ohms(v.number("contact")?),
        }),
        "diode" => ElementKind::Diode(Diode {
            anode: at("anode")?,
            cathode: at("cathode")?,
            forward: Volts(v.number("forward")?),
            at_current: Amperes(v.number("at_current")?),
            slope: Volts(v.number("slope")?),
            series: Ohms(v.number("series")?),
            rating: Amperes(v.number("rating")?),
            reverse: Volts(v.number("reverse")?),
            thermal_k_per_w: v.number("thermal_k_per_w"),
        }),
        "resistor" => ElementKind::Resistor(Resistor {
            a: at("a")?,
            b: at("b")?,
            ohms: Ohms(v.number("ohms")?),
            power: Watts(v.number("power")?),
        }),
        "capacitor" => ElementKind::Capacitor(Capacitor {
            plus: at("plus")?,
            minus: at("minus")?,
            farads: Farads(v.number("farads")?),
            esr: Ohms(v.number("esr")?),
            voltage: Volts(v.number("voltage")?),
        }),
        "converter" => {
            let ends = (at("in_plus")?, at("in_minus")?, at("out_plus")?, at("out_minus")?);
            ElementKind::Converter(converter(v, ends, gather)?)
        }
        "driver" => {
            let (plus, minus) = (at("plus")?, at("minus")?);
            let channels = v.tables("channels");
            let channels = channels.iter().filter_map(|c| {
                Some(Channel {
                    name: c.text("name")?.to_owned(),
                    a: nodes.touch(c.text("a")?),
                    b: nodes.touch(c.text("b")?),
                })
            });
            ElementKind::Driver(Driver {
                plus,
                minus,
                channels: channels.collect(),
                window_low: Volts(v.number("window_low")?),
                window_high: Volts(v.number("window_high")?),
                absolute_max: Volts(v.number("absolute_max")?),
                continuous: Amperes(v.number("continuous")?),
                peak: Amperes(v.number("peak")?),
                on_resistance: Ohms(v.number("on_resistance")?),
                body_diode: Volts(v.number("body_diode")?),
                idle: Amperes(v.number("idle")?),
                capacitance: v.number("capacitance").map(Farads),
                signal_loss: v.text("signal_loss").and_then(words::signal_loss),
                shorted: v.text("shorted").and_then(words::shorted).unwrap_or_default(),
            })
        }
        "motor" => ElementKind::Motor(Motor {
            a: at("a")?,
            b: at("b")?,
            resistance: Ohms(v.number("resistance")?),
            constant: v.number("constant_v_s")?,
            no_load: Amperes(v.number("no_load")?),
            gear_ratio: v.number("gear_ratio").unwrap_or(1.0),
            gear_efficiency: v.number("gear_efficiency").unwrap_or(1.0),
            back_drivable: !v.has("back_drivable") || v.flag("back_drivable"),
            wheel: v.number("wheel").map(Millimetres),
            continuous: Amperes(v.number("continuous")?),
            nominal: Volts(v.number("nominal")?),
        }),
        "load" => {
            let (plus, minus) = (at("plus")?, at("minus")?);
            ElementKind::Load(load(v, plus, minus, gather)?)
        }
        "charger" => ElementKind::Charger(Charger {
            plus: at("plus")?,
            minus: at("minus")?,
            current: Amperes(v.number("current")?),
            voltage: Volts(v.number("voltage")?),
            chemistry: words::chemistry(v.text("chemistry")?)?,
        }),
        "protection" => ElementKind::Protection(Protection {
            a: at("a")?,
            b: at("b")?,
            closed: Ohms(v.number("closed")?),
            discharge_limit: Amperes(v.number("discharge_limit")?),
            charge_limit: Amperes(v.number("charge_limit")?),
            rating: Amperes(v.number("rating")?),
            opens_below: v.number("opens_below").map(Volts),
            opens_above: v.number("opens_above").map(Volts),
        }),
        "slip-ring" => {
            let circuits = v.tables("circuits");
            let circuits = circuits.iter().filter_map(|c| {
                Some(Circuit { a: nodes.touch(c.text("a")?), b: nodes.touch(c.text("b")?) })
            });
            ElementKind::SlipRing(SlipRing {
                circuits: circuits.collect(),
                resistance: Ohms(v.number("resistance")?),
                rating: Amperes(v.number("rating")?),
                voltage: Volts(v.number("voltage")?),
            })
        }
        "meter" => ElementKind::Meter(Meter {
            plus: at("plus")?,
            minus: at("minus")?,
            current: Amperes(v.number("current")?),
            voltage: Volts(v.number("voltage")?),
        }),
        "bus" => ElementKind::Bus(Bus { node: at("node")?, rating: Amperes(v.number("rating")?) }),
        _ => return None,
    })
}

/// Says so when the first numbers of a table's points do not rise.
fn rising(points: &[f64], what: &str, v: &View<'_>, key: &str, gather: &mut Gather<'_>) {
    if let Some(pair) = points.windows(2).find(|w| w[0] >= w[1]) {
        gather.say(
            v.span(key),
            format!(
                "The points must rise in {what}, and {} does not lie above {}.",
                three_digits(pair[1]),
                three_digits(pair[0])
            ),
            None,
        );
    }
}

fn battery(v: &View<'_>, plus: LocalNode, minus: LocalNode, gather: &mut Gather<'_>) -> Option<Battery> {
    let chemistry = words::chemistry(v.text("chemistry")?)?;
    let curve: Vec<(f64, Volts)> = v
        .tables("open_circuit")
        .iter()
        .filter_map(|p| Some((p.number("charge")?, Volts(p.number("v")?))))
        .collect();
    rising(&curve.iter().map(|p| p.0 * 100.0).collect::<Vec<_>>(), "charge", v, "open_circuit", gather);
    if curve.len() < 2 {
        gather.say(
            v.span("open_circuit"),
            "At least two points of the open-circuit curve are needed.",
            None,
        );
        return None;
    }
    if let Some(w) = curve.windows(2).find(|w| w[0].1 > w[1].1) {
        gather.say(
            v.span("open_circuit"),
            format!("The voltage falls from {} to {} while the charge rises.", w[0].1, w[1].1),
            None,
        );
    }
    Some(Battery {
        plus,
        minus,
        chemistry,
        cells: v.number("cells")? as u32,
        capacity: AmpereHours(v.number("capacity")?),
        rated_hours: v.number("rated_hours")?,
        peukert: v.number("peukert").unwrap_or(if chemistry.is_lead() { 1.15 } else { 1.0 }),
        resistance: Ohms(v.number("resistance")?),
        open_circuit: curve,
        discharge_limit: Amperes(v.number("discharge_limit")?),
        charge_limit: Amperes(v.number("charge_limit")?),
        cut_off_per_cell: Volts(v.number("cut_off_per_cell")?),
        charge_voltage_per_cell: Volts(v.number("charge_voltage_per_cell")?),
    })
}

fn converter(
    v: &View<'_>,
    (in_plus, in_minus, out_plus, out_minus): (LocalNode, LocalNode, LocalNode, LocalNode),
    gather: &mut Gather<'_>,
) -> Option<Converter> {
    let efficiency: Vec<(f64, f64)> = v
        .tables("efficiency")
        .iter()
        .filter_map(|p| Some((p.number("load")?, p.number("efficiency")?)))
        .collect();
    rising(&efficiency.iter().map(|p| p.0 * 100.0).collect::<Vec<_>>(), "load", v, "efficiency", gather);
    if efficiency.is_empty() {
        gather.say(v.span("efficiency"), "At least one point of the efficiency is needed.", None);
        return None;
    }
    let (low, high) = (v.number("window_low")?, v.number("window_high")?);
    if low >= high {
        gather.say(
            v.span("window_high"),
            "The upper end of the input window must lie above the lower end.",
            None,
        );
    }
    Some(Converter {
        in_plus,
        in_minus,
        out_plus,
        out_minus,
        window_low: Volts(low),
        window_high: Volts(high),
        absolute_max: Volts(v.number("absolute_max")?),
        output: Volts(v.number("output")?),
        limit: Amperes(v.number("limit")?),
        drop_out: v.number("drop_out").map(Volts),
        efficiency,
        idle: Watts(v.number("idle")?),
        input_capacitance: v.number("input_capacitance").map(Farads),
        shorted: v.text("shorted").and_then(words::shorted).unwrap_or_default(),
    })
}

/// What a load takes: mean, rms, peak and its time, with the defaults of the format.
pub fn activity(v: &View<'_>, name: &str, gather: &mut Gather<'_>) -> Option<Activity> {
    let mean = v.number("mean")?;
    let rms = v.number("rms").unwrap_or(mean);
    let peak = v.number("peak").unwrap_or(rms);
    // Strict order up to rounding: a steady load may state all three alike.
    if rms < mean * (1.0 - 1e-9) || peak < rms * (1.0 - 1e-9) {
        gather.say(
            &v.table.span,
            format!(
                "Here the mean is {}, the rms {} and the peak {}; each must be at least the one before.",
                Amperes(mean),
                Amperes(rms),
                Amperes(peak)
            ),
            None,
        );
    }
    Some(Activity {
        name: name.to_owned(),
        mean: Amperes(mean),
        rms: Amperes(rms),
        peak: Amperes(peak),
        peak_time: Seconds(v.number("peak_time").unwrap_or(0.0)),
    })
}

fn load(v: &View<'_>, plus: LocalNode, minus: LocalNode, gather: &mut Gather<'_>) -> Option<Load> {
    let mut activities: Vec<Activity> = Vec::new();
    for a in v.tables("activities") {
        let Some(name) = a.text("name") else { continue };
        if activities.iter().any(|x| x.name == name) {
            gather.say(a.span("name"), format!("A second activity is called `{}`.", shown(name)), None);
        }
        activities.extend(activity(&a, name, gather));
    }
    if activities.is_empty() {
        gather.say(v.span("activities"), "A load needs at least one activity.", None);
        return None;
    }
    let usual = match v.text("usual") {
        None => 0,
        Some(name) => activities.iter().position(|a| a.name == name).unwrap_or_else(|| {
            let known: Vec<&str> = activities.iter().map(|a| a.name.as_str()).collect();
            let help = Some(format!("There is: {}.", known.join(", ")));
            gather.say(v.span("usual"), format!("There is no activity called `{}`.", shown(name)), help);
            0
        }),
    };
    let (brown_out, damage) = (v.number("brown_out")?, v.number("damage")?);
    if brown_out >= damage {
        gather.say(v.span("damage"), "The damage voltage must lie above the brown-out voltage.", None);
    }
    Some(Load {
        plus,
        minus,
        law: match v.text("law")? {
            "current" => LoadLaw::Current,
            "power" => LoadLaw::Power,
            _ => LoadLaw::Resistance,
        },
        nominal: Volts(v.number("nominal")?),
        brown_out: Volts(brown_out),
        damage: Volts(damage),
        activities,
        usual,
        capacitance: v.number("capacitance").map(Farads),
    })
}

/// The text of a node, for messages.
pub fn node_text(node: &Node) -> &str {
    match &node.value {
        Value::Text(t) => t,
        _ => "",
    }
}

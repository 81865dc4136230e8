#![allow(clippy::unwrap_used, clippy::expect_used)]
use crate::*;
#[test]
fn scratch() {
    let robot = load();
    let geo = crate::testing::measured(&robot);
    let t = std::time::Instant::now();
    let s = study(&robot, &geo);
    eprintln!("{} parts {} wires {} situations; {:?}", robot.parts.len(), robot.wires.len(), robot.situations.len(), t.elapsed());
    let c = crate::circuit::Circuit::of(&robot, &geo);
    eprintln!("size {} entries {}", c.pattern.size, c.pattern.entries());
    for r in &s.situations {
        eprintln!("== {} {:?} peak {:?} balance {:.3e} of {:.2} unfed {:?}", robot.situations[r.situation.0].name, r.outcome, r.peak_outcome, r.balance_w, r.turnover_w, r.unfed.iter().map(|u| u.parts.iter().map(|p| robot.parts[p.0].name.clone()).collect::<Vec<_>>()).collect::<Vec<_>>());
        let mut ws: Vec<_> = r.wires.iter().filter(|w| w.current.0.abs()>0.5).collect();
        ws.sort_by(|a,b| b.current.0.abs().total_cmp(&a.current.0.abs()));
        for w in ws.iter().take(6) { eprintln!("   {} {:.2} A rms {:.2} peak {:.2} {:?} of air {}", robot.wires[w.wire.0].name, w.current.0, w.rms.0, w.peak.0, w.temperature, w.ambient); }
        for p in &r.parts { for e in &p.elements { match e { ElementResult::Motor{..}|ElementResult::Driver{..}|ElementResult::Converter{..} => eprintln!("   {} {:?}", robot.parts[p.part.0].name, e), _=>{} } } }
    }
    for f in &s.fuses { if f.fuse.is_some() { eprintln!("{} {} rating {:?} mean {:.2} peak {:.2} for {} window {:?} [{}] .. {:?} [{}] thin {:?} prosp {:.0} wires {}", robot.parts[f.part.0].name, f.way, f.rating.map(|r| r.0), f.mean.0, f.peak.0, f.peak_time, f.smallest.map(|x|x.0), f.smallest_because, f.largest.map(|x|x.0), f.largest_because, f.thin.len(), f.prospective.0, f.wires.len()); } }
    for u in &s.unfused { eprintln!("unfused {} {:?}", robot.wires[u.wire.0].name, u); }
    eprintln!("{:?}", s.day.as_ref().map(|d| (d.run_time, d.fits, d.planned, &d.batteries)));
    for r in &s.spare { eprintln!("{:?} {} {:.2}/{:.2} {:.0}%", r.what, r.name, r.used, r.limit, r.headroom_percent); }
    for g in &s.good_news { eprintln!("good: {g}"); }
    for f in findings(&robot, &geo, &s) { eprintln!("F {:?} {} {} | {} | {}", f.severity, f.slug, f.what, f.why, f.remedies.iter().map(|r| format!("{} {}", r.text, r.edits.len())).collect::<Vec<_>>().join(" / ")); }
}
#[test]
fn debug_newton() {
    let robot = crate::scratch::load();
    let geo = crate::testing::measured(&robot);
    let c = crate::circuit::Circuit::of(&robot, &geo);
    let s = &robot.situations[1];
    let states = crate::circuit::values::States::new(&c);
    let ready = c.ready(&robot, s, crate::circuit::values::Level::Mean, &states, &c.cold);
    let zero = crate::solver::guess(&ready.netlist, &c.pattern, &ready.fed);
    let r = crate::solver::solve(&ready.netlist, &c.pattern, &ready.fed.references, &zero, 0.0);
    eprintln!("{:?}", r.as_ref().map(|_| ()));
    let op = crate::operate::operate(&c, &robot, s, crate::circuit::values::Level::Mean, &c.cold);
    eprintln!("{:?}", op.end);
    let ready = op.ready;
    for (i, n) in ready.netlist.nodes.iter().enumerate() { if ready.fed.references[i] { eprint!("{n} "); } }
    eprintln!();
    for (i, it) in ready.netlist.items.iter().enumerate() { if it.active != c.template.items[i].active { eprint!("[{}] ", it.name); } }
}
pub fn load() -> loomdeck_model::Robot {
    let dir = std::env::var("ROBOT").unwrap_or("/work/main/demos/samovar".into());
    let mut files = vec![];
    for e in std::fs::read_dir(&dir).unwrap() { let p = e.unwrap().path(); if p.extension().is_some_and(|x| x=="toml") { files.push((p.file_name().unwrap().to_string_lossy().into_owned(), std::fs::read_to_string(&p).unwrap())); } }
    files.sort();
    let folder = loomdeck_model::Folder { files: files.into_iter().map(|(a,b)| (a.into(), b.into())).collect(),  };
    let (robot, problems) = loomdeck_model::read(&folder);
    for p in problems.iter().take(5) { eprintln!("{p}"); }
    robot.unwrap()
}
#[test]
fn list() {
    use loomdeck_model::element::ElementKind::*;
    let (types, _) = loomdeck_model::library::all();
    for t in &types {
        if t.fuse.is_some() { continue; }
        let e: Vec<String> = t.elements.iter().map(|e| match &e.kind {
            Battery(b) => format!("battery {}Ah {}mΩ dis {} chg {} cells {} {:?}", b.capacity.0, b.resistance.0*1e3, b.discharge_limit.0, b.charge_limit.0, b.cells, b.chemistry),
            Load(l) => format!("load {:?} {}V bo {} dmg {} {:?}", l.law, l.nominal.0, l.brown_out.0, l.damage.0, l.activities.iter().map(|a| format!("{}:{}/{}/{}", a.name, a.mean.0, a.rms.0, a.peak.0)).collect::<Vec<_>>()),
            Converter(c) => format!("conv {}-{} max {} -> {}V {}A", c.window_low.0, c.window_high.0, c.absolute_max.0, c.output.0, c.limit.0),
            Driver(d) => format!("driver {}-{} max {} cont {} peak {}", d.window_low.0, d.window_high.0, d.absolute_max.0, d.continuous.0, d.peak.0),
            Motor(m) => format!("motor R {} k {} i0 {} N {} cont {} wheel {:?} bd {}", m.resistance.0, m.constant, m.no_load.0, m.gear_ratio, m.continuous.0, m.wheel.map(|w| w.0), m.back_drivable),
            Switch(s) => format!("switch {}A", s.rating.0),
            FuseWay(w) => format!("{}:{} {}A", e.name, w.form, w.limit.0),
            k => k.word().to_owned(),
        }).collect();
        eprintln!("{} [{}] ({}) noise {:?} | {}", t.name, t.terminals.iter().map(|t| format!("{} {}-{}mm² {}A {}°", t.name, t.thinnest.0, t.thickest.0, t.current.map_or(0.0, |c| c.0), t.temperature.map_or(0.0,|c| c.0))).collect::<Vec<_>>().join("; "), t.plug_family.as_ref().map_or(String::new(), |f| format!("plug {}x{}A", f.contacts, f.rating.0)), t.noise, e.join(" + "));
    }
}

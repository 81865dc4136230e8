//! Works it all out.

use super::strings::{Metal, poles, series, strings};
use super::types::Pack;
use super::{balance, charging, cut_off, parallel, storage};
use crate::faults::Ground;

/// Works it out.
pub fn study(ground: &Ground<'_>) -> Pack {
    let poles = poles(ground);
    if poles.is_empty() {
        return Pack::default();
    }
    let robot = ground.robot;
    let metal = Metal::of(&ground.circuit, robot, &[]);
    let strung = strings(&poles, &metal);
    let (draws, stored) = storage::study(ground, &poles);
    let opens = cut_off::opens(ground, &poles);
    let mut pack = Pack {
        strings: strung.iter().map(|s| series(robot, &poles, s)).collect(),
        balance: strung
            .iter()
            .enumerate()
            .filter_map(|(n, s)| balance::of_string(ground, &poles, &metal, n, s))
            .collect(),
        charging: charging::all(ground, &poles, &metal, &strung),
        draws,
        storage: stored,
        cut_off: cut_off::study(ground, &poles, &strung, &opens),
        opens,
        parallel: parallel::study(&poles, &metal, &strung),
        ..Pack::default()
    };
    pack.validity = validity(&pack);
    pack.good_news = good_news(ground, &pack);
    pack
}

fn validity(pack: &Pack) -> Vec<String> {
    let mut all = vec![
        "New batteries at 25\u{2009}°C; age and cold take up to half of the capacity and double the resistance.".to_owned(),
        "Self-discharge doubles about every 10\u{2009}K; the figures are usual ones for the chemistry, not your batteries'.".to_owned(),
    ];
    if !pack.balance.is_empty() {
        all.push(
            "A lead-acid string that is charged long at a low current evens out a little by itself; that is not counted on.".to_owned(),
        );
    }
    if !pack.charging.is_empty() {
        all.push(
            "Charging is followed at constant current and then constant voltage; the last tenth of a lead-acid battery may take half as long again as told.".to_owned(),
        );
    }
    all
}

fn good_news(ground: &Ground<'_>, pack: &Pack) -> Vec<String> {
    let robot = ground.robot;
    let mut news = Vec::new();
    for balance in &pack.balance {
        if balance.lowest.is_none() && !balance.taken.is_empty() {
            news.push(format!(
                "{} give the same all day: nothing hangs between them.",
                pack.strings[balance.string].names.join(" and ")
            ));
        }
    }
    for charge in &pack.charging {
        if charge.current <= charge.limit {
            news.push(format!(
                "{} charges {} after the day in {:.1} to {:.1}\u{2009}h, with {:.1} of {:.1}.",
                robot.parts[charge.charger.0].name,
                pack.strings[charge.string].names.join(" and "),
                charge.time.0 / 3600.0,
                charge.up_to.0 / 3600.0,
                charge.current,
                charge.limit
            ));
        }
    }
    if let Some(first) = pack.storage.iter().min_by(|a, b| a.flat_days.total_cmp(&b.flat_days))
        && first.flat_days >= 90.0
    {
        news.push(format!(
            "Put away with everything off, {} lasts {:.0} days.",
            first.name, first.flat_days
        ));
    }
    let guarded: Vec<&str> =
        pack.cut_off.iter().filter(|c| c.opened_by.is_some()).map(|c| c.name.as_str()).collect();
    if !guarded.is_empty() && guarded.len() == pack.cut_off.len() {
        news.push(format!("Something opens before the cells of {} are damaged.", guarded.join(", ")));
    }
    news
}

//! Standard lengths of screws and standoffs.

use loomdeck_model::part_type::Thread;
use loomdeck_model::units::{MM_PER_INCH, Millimetres};

/// Preferred nominal lengths, mm. Source: ISO 888 (from memory); 14, 18, 22 and 28 mm are to be
/// avoided and are left out.
pub const METRIC_LENGTHS: [f64; 24] = [
    2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0,
    60.0, 65.0, 70.0, 80.0, 90.0, 100.0,
];

/// Lengths of inch machine screws, sixteenths of an inch (series in which they are commonly sold).
const INCH_SIXTEENTHS: [u32; 16] = [3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 20, 24, 28, 32, 40, 48];

/// Lengths of wood screws, mm (commonly on sale).
pub const WOOD_LENGTHS: [f64; 11] = [8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0];

/// Lengths of standoffs and spacers for a metric thread, mm (common practice, no source).
const STANDOFFS: [f64; 16] =
    [5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 16.0, 18.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0];

/// The same with an inch thread, sixteenths of an inch.
const STANDOFF_SIXTEENTHS: [u32; 8] = [3, 4, 5, 6, 8, 10, 12, 16];

/// Plain spacers below the shortest standoff, mm and sixteenths of an inch.
const SHORT_SPACERS: [f64; 3] = [2.0, 3.0, 4.0];
const SPACER_SIXTEENTHS: [u32; 2] = [1, 2];

fn sixteenths(n: &[u32]) -> Vec<f64> {
    n.iter().map(|n| f64::from(*n) / 16.0 * MM_PER_INCH).collect()
}

/// Shortest and longest screw that shops keep for a thread, mm (common practice).
const fn kept(thread: Thread) -> (f64, f64) {
    match thread {
        Thread::M2 => (3.0, 20.0),
        Thread::M2_5 => (4.0, 25.0),
        Thread::M3 => (4.0, 50.0),
        Thread::M4 => (5.0, 60.0),
        Thread::M5 => (6.0, 70.0),
        Thread::M6 => (8.0, 100.0),
        Thread::M8 => (10.0, 100.0),
        Thread::M10 => (12.0, 100.0),
        Thread::No4 => (4.0, 38.2),
        Thread::No6 => (4.0, 50.9),
        Thread::No8 => (6.0, 63.6),
        Thread::No10 => (6.0, 76.3),
    }
}

/// Standard lengths of screws with this thread, shortest first, mm.
pub fn lengths(thread: Thread) -> Vec<f64> {
    let (shortest, longest) = kept(thread);
    let all = if thread.is_inch() { sixteenths(&INCH_SIXTEENTHS) } else { METRIC_LENGTHS.to_vec() };
    all.into_iter().filter(|l| (shortest..=longest).contains(l)).collect()
}

/// Standard lengths of standoffs for this thread, shortest first, mm.
pub fn standoffs(thread: Thread) -> Vec<f64> {
    if thread.is_inch() { sixteenths(&STANDOFF_SIXTEENTHS) } else { STANDOFFS.to_vec() }
}

/// Standard lengths of plain spacers for this thread, shortest first, mm: those of standoffs, and
/// shorter ones, since no two screws have to find room in them (common practice, no source).
pub fn spacers(thread: Thread) -> Vec<f64> {
    let short = if thread.is_inch() { sixteenths(&SPACER_SIXTEENTHS) } else { SHORT_SPACERS.to_vec() };
    [short, standoffs(thread)].concat()
}

/// A length stands in a series.
pub fn is_kept(series: &[f64], length: Millimetres) -> bool {
    // Inch lengths are often written with two decimals of a millimetre.
    series.iter().any(|l| (l - length.0).abs() < 0.01)
}

/// The smallest length of a series from `least` up, and whether it stays within `most`. When it does
/// not, the longest that does no harm is given instead, or failing that the longest there is.
pub fn choose(series: &[f64], least: Millimetres, most: Option<Millimetres>) -> (Millimetres, bool) {
    const FUZZ: f64 = 1e-6;
    let harmless = |l: &f64| most.is_none_or(|m| *l <= m.0 + FUZZ);
    if let Some(l) = series.iter().find(|l| **l >= least.0 - FUZZ).filter(|l| harmless(l)) {
        return (Millimetres(*l), true);
    }
    let instead = series.iter().rev().find(|l| harmless(l)).or(series.first());
    (Millimetres(instead.copied().unwrap_or(least.0)), false)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn avoided_lengths_are_avoided() {
        // ISO 888 marks 14, 18, 22 and 28 mm "to be avoided" (from memory).
        assert!([14.0, 18.0, 22.0, 28.0].iter().all(|l| !METRIC_LENGTHS.contains(l)));
        assert_eq!(choose(&lengths(Thread::M3), Millimetres(12.5), None), (Millimetres(16.0), true));
        assert_eq!(choose(&lengths(Thread::M2), Millimetres(22.0), None), (Millimetres(20.0), false));
    }

    #[test]
    fn spacers_come_in_steps() {
        assert!(is_kept(&spacers(Thread::M3), Millimetres(3.0)));
        assert!(!is_kept(&standoffs(Thread::M3), Millimetres(3.0)));
        assert!(!is_kept(&spacers(Thread::M3), Millimetres(7.5)));
        assert!(is_kept(&standoffs(Thread::No6), Millimetres(6.35)));
        for t in Thread::ALL {
            assert!(spacers(t).windows(2).all(|p| p[0] < p[1]), "{}", t.word());
        }
    }

    proptest! {
        #[test]
        fn the_choice_is_the_smallest_that_fits(least in 1.0f64..120.0, room in 0.0f64..20.0, t in 0usize..12) {
            let series = lengths(Thread::ALL[t]);
            let (length, fits) = choose(&series, Millimetres(least), Some(Millimetres(least + room)));
            prop_assert!(series.contains(&length.0));
            let candidates: Vec<f64> =
                series.iter().copied().filter(|l| *l >= least && *l <= least + room).collect();
            prop_assert_eq!(fits, !candidates.is_empty());
            if fits {
                prop_assert_eq!(length.0, candidates[0]);
            }
        }
    }
}

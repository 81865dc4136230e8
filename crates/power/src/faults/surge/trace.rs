//! A surge as it was integrated, and what is read off it.

use super::network::{Network, Path, Special};
use super::rodas::{self, Stuck, System};
use super::types::Series;

/// Fraction of the largest slope times time at which nothing moves any more.
const STILL: f64 = 1e-3;
/// Longest time that is followed, s.
const LONGEST: f64 = 100.0;
/// Points of a curve that is drawn.
const POINTS: usize = 120;

/// All accepted steps.
#[derive(Clone, Debug)]
pub struct Trace {
    /// The network.
    pub network: Network,
    /// Times, from 0.
    pub times: Vec<f64>,
    states: Vec<Vec<f64>>,
    slopes: Vec<Vec<f64>>,
}

/// Where something is largest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extreme {
    /// Value.
    pub value: f64,
    /// Time.
    pub time: f64,
}

/// Points and weights of Gauss's rule on 0 to 1: exact up to the seventh power, and the square of a
/// cubic has the sixth.
const GAUSS: [(f64, f64); 4] = [
    (0.069_431_844_202_973_7, 0.173_927_422_568_726_9),
    (0.330_009_478_207_571_9, 0.326_072_577_431_273_1),
    (0.669_990_521_792_428_1, 0.326_072_577_431_273_1),
    (0.930_568_155_797_026_3, 0.173_927_422_568_726_9),
];

/// Value between two points with known slopes, `x` from 0 to 1.
fn hermite(h: f64, x: f64, (y0, f0): (f64, f64), (y1, f1): (f64, f64)) -> f64 {
    let (a, b) = (1.0 - x, x);
    a * a * ((1.0 + 2.0 * b) * y0 + h * b * f0) + b * b * ((1.0 + 2.0 * a) * y1 - h * a * f1)
}

impl Trace {
    /// Follows a network from rest until nothing moves any more.
    ///
    /// # Errors
    /// [`Stuck`] when the integrator does not get through.
    pub fn of(network: Network) -> Result<Self, Stuck> {
        let n = network.loops.len();
        let start = network.start();
        let mut slope = vec![0.0; start.len()];
        network.slope(&start, &mut slope);
        let (mut times, mut states, mut slopes) = (vec![0.0], vec![start.clone()], vec![slope]);
        let at_least = slowest(&network);
        let (mut amperes, mut volts): (f64, f64) = (1e-3, 1e-3);
        rodas::integrate(&network, &start, 1e-8, &mut |s| {
            let t = s.from + s.h;
            times.push(t);
            states.push(s.y1.to_vec());
            slopes.push(s.f1.to_vec());
            s.y1[..n].iter().for_each(|i| amperes = amperes.max(i.abs()));
            s.y1[n..].iter().for_each(|v| volts = volts.max(v.abs()));
            let still = |f: &[f64], scale: f64| f.iter().all(|f| f.abs() * t < STILL * scale);
            // What is left may be a diode's leakage, which goes on for seconds and is no surge.
            let over = s.y1[..n].iter().all(|i| i.abs() < STILL * amperes);
            let settled = still(&s.f1[..n], amperes) && still(&s.f1[n..], volts);
            !(t > at_least && (over || settled)) && t < LONGEST
        })?;
        Ok(Self { network, times, states, slopes })
    }

    /// Steps taken.
    pub fn steps(&self) -> usize {
        self.times.len() - 1
    }

    /// Slope of a linear function of the state at first.
    pub fn first_slope(&self, of: &dyn Fn(&[f64]) -> f64) -> f64 {
        of(&self.slopes[0])
    }

    /// State at the end.
    pub fn last(&self) -> &[f64] {
        self.states.last().map(Vec::as_slice).unwrap_or_default()
    }

    /// A linear function of the state at a time.
    pub fn at(&self, time: f64, of: &dyn Fn(&[f64]) -> f64) -> f64 {
        let next = self.times.partition_point(|&t| t <= time).clamp(1, self.times.len() - 1);
        let (t0, h) = (self.times[next - 1], self.times[next] - self.times[next - 1]);
        self.between(next - 1, ((time - t0) / h).clamp(0.0, 1.0), of)
    }

    fn between(&self, step: usize, x: f64, of: &dyn Fn(&[f64]) -> f64) -> f64 {
        let h = self.times[step + 1] - self.times[step];
        let end = |k: usize| (of(&self.states[k]), of(&self.slopes[k]));
        hermite(h, x, end(step), end(step + 1))
    }

    /// Where a linear function of the state is largest.
    pub fn largest(&self, of: &dyn Fn(&[f64]) -> f64) -> Extreme {
        const PARTS: usize = 24;
        let mut best = Extreme { value: of(&self.states[0]), time: 0.0 };
        for step in 0..self.steps() {
            let h = self.times[step + 1] - self.times[step];
            for part in 1..=PARTS {
                let x = part as f64 / PARTS as f64;
                let value = self.between(step, x, of);
                if value > best.value {
                    best = Extreme { value, time: self.times[step] + x * h };
                }
            }
        }
        best
    }

    /// ∫ g(current) dt of a path.
    fn integral(&self, path: usize, g: &dyn Fn(f64) -> f64) -> f64 {
        let current = |y: &[f64]| self.network.current(path, y);
        (0..self.steps())
            .map(|step| {
                let h = self.times[step + 1] - self.times[step];
                let sum: f64 = GAUSS.iter().map(|&(x, w)| w * g(self.between(step, x, &current))).sum();
                h * sum
            })
            .sum()
    }

    /// ∫i²·dt of a path.
    pub fn i2t(&self, path: usize) -> f64 {
        self.integral(path, &|i| i * i)
    }

    /// ∫i·dt of a path.
    pub fn charge(&self, path: usize) -> f64 {
        self.integral(path, &|i| i)
    }

    /// Energy from the sources, turned into heat, and gained by capacitors and inductances; J.
    pub fn energies(&self) -> (f64, f64, f64) {
        let net = &self.network;
        let (mut source, mut heat) = (0.0, 0.0);
        for (p, path) in net.paths.iter().enumerate() {
            if path.emf_v != 0.0 {
                source += path.emf_v * self.charge(p);
            }
            heat += match path.special {
                Some(Special::Diode { .. }) => self.integral(p, &|i| i * Network::takes(path, i).0),
                _ => path.all_ohms() * self.i2t(p),
            };
        }
        (source, heat, self.held(self.last()) - self.held(&self.states[0]))
    }

    /// ½·C·v² and ½·L·i² of a state.
    fn held(&self, y: &[f64]) -> f64 {
        let (net, n) = (&self.network, self.network.loops.len());
        let capacitors = net.capacitors.iter().enumerate().map(|(k, &p)| match net.paths[p].special {
            Some(Special::Capacitor { farads, .. }) => 0.5 * farads * y[n + k] * y[n + k],
            _ => 0.0,
        });
        let coil = |(p, path): (usize, &Path)| 0.5 * path.henries * net.current(p, y).powi(2);
        capacitors.sum::<f64>() + net.paths.iter().enumerate().map(coil).sum::<f64>()
    }

    /// Time after which a function stays below a fraction of its extreme.
    pub fn lasts(&self, fraction: f64, of: &dyn Fn(&[f64]) -> f64) -> f64 {
        let most = self.states.iter().map(|y| of(y).abs()).fold(0.0, f64::max);
        let last = self.states.iter().rposition(|y| of(y).abs() >= fraction * most);
        last.map_or(0.0, |k| self.times[(k + 1).min(self.steps())])
    }

    /// A curve to draw, up to a time.
    pub fn curve(&self, until: f64, of: &dyn Fn(&[f64]) -> f64) -> Series {
        let until = until.min(self.times[self.steps()]);
        let peak = self.largest(&|y| of(y).abs()).time;
        // A point on the peak, which may be a needle.
        let mut times: Vec<f64> = (0..=POINTS).map(|k| until * k as f64 / POINTS as f64).collect();
        times.extend([0.25 * peak, 0.5 * peak, 0.75 * peak, peak].into_iter().filter(|t| *t <= until));
        times.sort_by(f64::total_cmp);
        times.dedup();
        times.into_iter().map(|t| (t, self.at(t, of))).collect()
    }
}

/// A few of the slowest time constants there can be: the largest resistance on all capacitance.
fn slowest(network: &Network) -> f64 {
    let ohms = network.paths.iter().map(Path::all_ohms).fold(0.0, f64::max);
    let farads: f64 = network
        .paths
        .iter()
        .map(|p| match p.special {
            Some(Special::Capacitor { farads, .. }) => farads,
            _ => 0.0,
        })
        .sum();
    // Ten times what its coils need, besides, where there is no capacitor.
    let coils = network.paths.iter().map(|p| p.henries / p.all_ohms().max(1e-6)).fold(0.0, f64::max);
    (5.0 * ohms * farads).max(10.0 * coils).min(LONGEST)
}

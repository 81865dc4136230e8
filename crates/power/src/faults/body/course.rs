//! The temperature of the air in a body over a day: one lump of heat capacity behind the shell.

use super::shell::{Draught, Shell};

/// Step of the table of wall losses, K, and its length.
const STEP: f64 = 0.5;
const ENTRIES: usize = 241;
/// Most steps for one stretch of a day.
const MOST_STEPS: f64 = 4000.0;
/// Points of a plot for one stretch of a day.
const PLOTTED: usize = 12;

/// The losses of a body as a function of the temperature inside, tabled once.
#[derive(Clone, Debug)]
pub struct Losses {
    outside: f64,
    factor: f64,
    wall: Vec<f64>,
}

impl Losses {
    /// Of a shell; `factor` on convection and flow.
    pub fn of(shell: &Shell, factor: f64) -> Self {
        let wall = (0..ENTRIES).map(|i| shell.loss(shell.outside + STEP * i as f64, factor)).collect();
        Self { outside: shell.outside, factor, wall }
    }

    /// Heat through the wall, W, by straight lines between the entries; beyond the table as its last.
    pub fn wall(&self, inside: f64) -> f64 {
        let at = ((inside - self.outside) / STEP).max(0.0);
        let i = (at as usize).min(ENTRIES - 2);
        self.wall[i] + (self.wall[i + 1] - self.wall[i]) * (at - i as f64)
    }

    /// Heat out by wall and moving air, W.
    pub fn all(&self, draught: &Draught, inside: f64) -> f64 {
        self.wall(inside) + draught.heat(inside, self.outside, self.factor)
    }

    /// Rate at which the losses grow with the temperature, W/K.
    fn slope(&self, draught: &Draught, inside: f64) -> f64 {
        let inside = inside.max(self.outside + 1.0);
        (self.all(draught, inside + 0.5) - self.all(draught, inside - 0.5)).max(1e-6)
    }
}

/// A stretch of constant heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heating {
    /// Heat inside, W.
    pub watts: f64,
    /// For how long, s.
    pub seconds: f64,
}

/// The temperature over stretches, from air as warm as outside.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Course {
    /// Time in s, temperature in °C.
    pub points: Vec<(f64, f64)>,
    /// Warmest of each stretch.
    pub warmest: Vec<f64>,
}

impl Course {
    /// Warmest of all.
    pub fn peak(&self) -> f64 {
        self.warmest.iter().copied().fold(f64::NEG_INFINITY, f64::max)
    }
}

/// Follows C·dT/dt = P − losses(T) by the classical Runge-Kutta rule with steps below a quarter of the
/// shortest time constant.
pub fn follow(stretches: &[Heating], losses: &Losses, draught: &Draught, capacity: f64) -> Course {
    let mut at = losses.outside;
    let mut clock = 0.0;
    let mut course = Course { points: vec![(0.0, at)], warmest: Vec::new() };
    for stretch in stretches {
        let hottest = at.max(losses.outside + 40.0);
        let shortest = capacity / losses.slope(draught, hottest);
        let count = (4.0 * stretch.seconds / shortest).ceil().clamp(PLOTTED as f64, MOST_STEPS);
        let count = (count / PLOTTED as f64).ceil() as usize * PLOTTED;
        let dt = stretch.seconds / count as f64;
        let rate = |t: f64| (stretch.watts - losses.all(draught, t)) / capacity;
        let mut warmest = at;
        for step in 1..=count {
            let k1 = rate(at);
            let k2 = rate(at + dt / 2.0 * k1);
            let k3 = rate(at + dt / 2.0 * k2);
            let k4 = rate(at + dt * k3);
            at += dt / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
            warmest = warmest.max(at);
            if step % (count / PLOTTED) == 0 {
                course.points.push((clock + dt * step as f64, at));
            }
        }
        clock += stretch.seconds;
        course.warmest.push(warmest);
    }
    course
}

/// The least value up to `most` at which a falling function is at or below a limit, by halving.
pub fn least(most: f64, limit: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    if f(most) > limit {
        return None;
    }
    let (mut low, mut high) = (0.0, most);
    for _ in 0..24 {
        let middle = (low + high) / 2.0;
        if f(middle) > limit {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(high)
}

//! Which fuses there are for a way.

use super::curve;
use loomdeck_model::Robot;
use loomdeck_model::element::FuseWay;
use std::sync::LazyLock;

/// The fuses of the built-in library: form, rating, name.
static SHELF: LazyLock<Vec<(String, f64, String)>> = LazyLock::new(|| {
    let mut all: Vec<_> = loomdeck_model::library::fuses()
        .into_iter()
        .filter_map(|t| t.fuse.map(|f| (f.form, f.rating.0, t.name)))
        .collect();
    all.sort_by(|a, b| (&a.0, a.1).partial_cmp(&(&b.0, b.1)).unwrap_or(std::cmp::Ordering::Equal));
    all
});

/// The name of a fuse type of this form and rating, the robot's own first.
pub fn fuse_named(robot: &Robot, form: &str, rating: f64) -> Option<String> {
    let own = robot
        .types
        .iter()
        .find(|t| t.fuse.as_ref().is_some_and(|f| f.form == form && (f.rating.0 - rating).abs() < 1e-9));
    own.map(|t| t.name.clone()).or_else(|| {
        SHELF.iter().find(|s| s.0 == form && (s.1 - rating).abs() < 1e-9).map(|s| s.2.clone())
    })
}

/// Ratings to choose from: the fuse types of this form that the robot uses or the library has; the
/// series of blade fuses when there are none.
pub fn ratings(robot: &Robot, way: &FuseWay) -> Vec<f64> {
    let own = robot.types.iter().filter_map(|t| t.fuse.as_ref()).filter(|f| f.form == way.form);
    let shelf = SHELF.iter().filter(|s| s.0 == way.form).map(|s| s.1);
    let mut all: Vec<f64> = own.map(|f| f.rating.0).chain(shelf).collect();
    if all.len() < 2 {
        all.extend(curve::RATINGS);
    }
    all.sort_by(f64::total_cmp);
    all.dedup();
    all
}

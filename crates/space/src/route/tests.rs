#![allow(clippy::unwrap_used)]
use crate::geometry::*;
use crate::samples;
use loomdeck_model::testing::robot;

#[test]
fn every_wire_of_a_sample_finds_its_way() {
    let robot = robot(&samples::rows(40, 90));
    let geometry = crate::study(&robot);
    for b in geometry.blocked.iter().take(8) {
        println!("{} {:?}", robot.wires[b.wire.0].name, b);
    }
    let mut longest = 0.0f64;
    for w in &geometry.wires {
        longest = longest.max(w.length.0);
    }
    println!("blocked {} longest {longest}", geometry.blocked.len());
    assert!(geometry.blocked.is_empty());
    assert!(geometry.wires.iter().all(|w| w.basis == LengthBasis::Routed));
}

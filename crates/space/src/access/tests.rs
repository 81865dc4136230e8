//! Reach.
#![allow(clippy::unwrap_used, clippy::panic)]

use super::*;
use crate::findings::robot as small;
use loomdeck_model::testing::robot;

/// What is to be reached on the board of a text.
fn of(text: &str) -> Vec<Need> {
    crate::study(&robot(text)).access.needs
}

fn fasteners<'a>(needs: &'a [Need], name: &str) -> Vec<&'a Need> {
    let of = |n: &&Need| n.subject.name() == name && matches!(n.job, Job::Fastener { .. });
    needs.iter().filter(of).collect()
}

#[test]
fn a_bolt_needs_both_faces_and_a_nut_under_a_part_is_blocked_by_it() {
    // Bolts at (54, 54) and (86, 76); the box on the back covers x 52..92, y 67..97.
    let text = small!(
        "[[part]]\nname = \"amp\"\ntype = \"box\"\nface = \"front\"\nat_mm = [50, 50]\n\
         [[part]]\nname = \"player\"\ntype = \"box\"\nface = \"back\"\nat_mm = [92, 67]\n\
         fixing = { style = \"adhesive\" }\n"
    );
    let needs = of(text);
    let all = fasteners(&needs, "amp");
    assert_eq!(all.len(), 2);
    assert!(fasteners(&needs, "player").is_empty());
    let free = &all[0].ways[0];
    assert_eq!(
        free.uses.iter().map(|u| u.tool).collect::<Vec<_>>(),
        [Tool::Screwdriver, Tool::NutDriver]
    );
    assert_eq!((free.uses[0].face, free.uses[1].face), (Face::Front, Face::Back));
    assert!(all[0].is_free());
    assert!(!all[1].is_free());
    for way in &all[1].ways {
        let by: Vec<_> = way.uses.iter().flat_map(|u| &u.blockers).collect();
        assert!(by.iter().all(|b| b.by.name() == "player"), "{by:?}");
        // The nut is 6 mm from two edges of the box; its washer and socket are wider than 7 mm.
        assert!(by[0].overlap.0 > 6.0 + 3.5);
    }
}

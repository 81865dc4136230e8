//! Figures of the materials a sheet is made of.

use loomdeck_model::Material;

/// What the estimates need to know of a material, at room temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// Density, kg/m³.
    pub density: f64,
    /// Modulus of elasticity for a load of seconds, MPa; of plywood that across the grain of its faces,
    /// the weaker way.
    pub modulus: f64,
    /// The same after 1,000 hours under load, MPa: plastics and wood go on giving way.
    pub creep_modulus: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Stress at which it yields or breaks, MPa.
    pub strength: f64,
    /// Least and greatest linear expansion given for it, 1/K.
    pub expansion: (f64, f64),
    /// Where the figures come from.
    pub source: &'static str,
}

impl Sheet {
    /// Bending stiffness of a plate of this thickness (mm), N·mm: E·t³ / 12 (1 − ν²).
    pub fn stiffness(&self, thickness: f64) -> f64 {
        self.modulus * thickness.powi(3) / (12.0 * (1.0 - self.poisson * self.poisson))
    }
    /// How much more it bends after 1,000 hours than at once.
    pub fn creep(&self) -> f64 {
        self.modulus / self.creep_modulus
    }
}

/// The figures of a material. Where a band is published, density takes its upper end, moduli and
/// strength the lower, so that no estimate is flattered.
pub const fn sheet(material: Material) -> Sheet {
    match material {
        Material::Hdpe => Sheet {
            density: 958.0,
            modulus: 900.0,
            creep_modulus: 350.0,
            poisson: 0.42,
            strength: 26.0,
            expansion: (100e-6, 200e-6),
            source: "Published data of pipe and sheet grades: density by ISO 1183, modulus and yield by \
                     ISO 527, 1,000 hour creep modulus by ISO 899. Poisson's ratio from memory.",
        },
        Material::Plywood => Sheet {
            density: 680.0,
            modulus: 5000.0,
            creep_modulus: 2780.0,
            poisson: 0.1,
            strength: 25.0,
            expansion: (6.0e-6, 6.5e-6),
            source: "Expansion as published. Density of birch plywood, modulus and strength across the grain \
                     of the faces, and creep (EN 1995-1-1, deformation factor 0.8) from memory; along the \
                     grain 8.2 to 10.3 GPa by ASTM D3043 are published.",
        },
        Material::Acrylic => Sheet {
            density: 1200.0,
            modulus: 2240.0,
            creep_modulus: 1400.0,
            poisson: 0.37,
            strength: 48.0,
            expansion: (50e-6, 90e-6),
            source: "Handbook tables: density 1,170 to 1,200 kg/m³, modulus 2.24 to 3.24 GPa, tensile strength \
                     48 to 76 MPa. Creep and Poisson's ratio from memory.",
        },
        Material::Abs => Sheet {
            density: 1050.0,
            modulus: 1380.0,
            creep_modulus: 900.0,
            poisson: 0.37,
            strength: 34.0,
            expansion: (53e-6, 110e-6),
            source: "Handbook tables: density 1,030 to 1,050 kg/m³, tensile modulus 1.4 to 1.9 GPa. Strength, \
                     creep and Poisson's ratio from memory.",
        },
        Material::Polycarbonate => Sheet {
            density: 1200.0,
            modulus: 2380.0,
            creep_modulus: 1800.0,
            poisson: 0.37,
            strength: 60.0,
            expansion: (65e-6, 70e-6),
            source: "Handbook tables: density 1,190 to 1,200 kg/m³, tensile modulus 2.38 GPa. Strength, creep and \
                     Poisson's ratio from memory.",
        },
        Material::Aluminium => Sheet {
            density: 2710.0,
            modulus: 69_000.0,
            creep_modulus: 69_000.0,
            poisson: 0.33,
            strength: 80.0,
            expansion: (21e-6, 24e-6),
            source: "Expansion as published. Density, modulus, Poisson's ratio and the yield of soft sheet from \
                     memory.",
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_possible() {
        let all = [
            Material::Hdpe,
            Material::Plywood,
            Material::Acrylic,
            Material::Abs,
            Material::Polycarbonate,
            Material::Aluminium,
        ];
        for m in all {
            let s = sheet(m);
            assert!(s.creep() >= 1.0 && s.creep() < 3.0, "{}", m.word());
            assert!(s.expansion.0 <= s.expansion.1 && s.poisson < 0.5, "{}", m.word());
            // A sheet yields at a strain between a part in a thousand and a twentieth.
            assert!((1e-3..0.05).contains(&(s.strength / s.modulus)), "{}", m.word());
        }
    }

    /// Stiffness by hand: 69,000 × 27 / (12 × 0.8911) = 174,223 N·mm for 3 mm of aluminium.
    #[test]
    fn stiffness_by_hand() {
        assert!((sheet(Material::Aluminium).stiffness(3.0) - 174_223.0).abs() < 1.0);
    }
}

//! Nut factors: the published ranges, and what the friction form comes to as a nut factor.

use crate::agreement::{Agreement, Deviation};
use matchmark::analysis::fastener::class::Material;
use matchmark::analysis::fastener::friction::of_state;
use matchmark::analysis::fastener::hexagon::bearing_diameter;
use matchmark::analysis::fastener::preload::{Friction, friction_lever};
use matchmark::analysis::fastener::thread::Thread;

/// State in words, material, lower and upper end, and the figure to compute with where one is published.
///
/// Sources, all found: a fastener distributor's engineering data (dry steel, oiled, zinc, cadmium, phosphate, dry stainless), a
/// newsletter (0.20 clean and dry, 0.15 lubricated), a bolt seller's guidance (oiled zinc, black oxide, stainless with anti-seize
/// or oil, PTFE and wax), a page on hygienic clamps (0.30 for stainless on stainless); 0.20 for zinc and 0.16 for
/// cadmium: a textbook table, from memory. Not taken, because each is one doubtful figure from memory or fits no state that a
/// register can name: black unplated steel 0.30, lubricated 0.18, anti-seize on steel 0.12, as-received 0.158 to 0.267, sanitary
/// lubricant 0.20, zinc 0.17.
const RANGES: [(&str, Material, f64, f64, f64); 10] = [
    ("clean and dry", Material::Steel, 0.18, 0.27, 0.20),
    ("oiled", Material::Steel, 0.10, 0.26, 0.15),
    ("zinc plated, dry", Material::Steel, 0.17, 0.35, 0.20),
    ("zinc plated, light oil", Material::Steel, 0.18, 0.22, 0.0),
    ("black oxide, oiled", Material::Steel, 0.15, 0.18, 0.0),
    ("cadmium plated, dry", Material::Steel, 0.15, 0.19, 0.16),
    ("phosphated and oiled", Material::Steel, 0.15, 0.22, 0.0),
    ("waxed", Material::Steel, 0.10, 0.14, 0.0),
    ("clean and dry", Material::Stainless, 0.30, 0.50, 0.30),
    ("anti-seize on the threads", Material::Stainless, 0.14, 0.18, 0.0),
];

pub(crate) fn published() -> Agreement {
    let mut worst = Deviation::default();
    for (state, material, low, high, nominal) in RANGES {
        let factor = of_state(state, material).expect(state);
        worst.hold(state, factor.low, low, 0.0);
        worst.hold(state, factor.high, high, 0.0);
        let middle = f64::midpoint(low, high);
        worst.hold(state, factor.nominal, if nominal > 0.0 { nominal } else { middle }, 1e-9);
    }
    Agreement {
        table: "nut factors by state",
        rows: RANGES.len(),
        worst,
        tolerance: "exact; the middle of the range where no figure is published",
        source: "engineering data and guidance of fastener sellers, found; two figures from memory",
    }
}

/// Size, friction in thread and under head, and the nut factor that VDI 2230-1's formula makes of it with a hexagon head: computed by
/// another hand from (0.16 P + 0.58 d2 µ + DKm/2 µ) / d.
#[rustfmt::skip]
const EQUIVALENTS: [(&str, f64, f64); 30] = [
    ("M6", 0.10, 0.1430), ("M6", 0.12, 0.1662), ("M6", 0.14, 0.1895), ("M6", 0.16, 0.2128), ("M6", 0.20, 0.2593),
    ("M8", 0.10, 0.1415), ("M8", 0.12, 0.1648), ("M8", 0.14, 0.1881), ("M8", 0.16, 0.2114), ("M8", 0.20, 0.2580),
    ("M10", 0.10, 0.1403), ("M10", 0.12, 0.1636), ("M10", 0.14, 0.1869), ("M10", 0.16, 0.2102), ("M10", 0.20, 0.2567),
    ("M12", 0.10, 0.1385), ("M12", 0.12, 0.1616), ("M12", 0.14, 0.1846), ("M12", 0.16, 0.2077), ("M12", 0.20, 0.2538),
    ("M16", 0.10, 0.1358), ("M16", 0.12, 0.1589), ("M16", 0.14, 0.1821), ("M16", 0.16, 0.2053), ("M16", 0.20, 0.2516),
    ("M20", 0.10, 0.1360), ("M20", 0.12, 0.1592), ("M20", 0.14, 0.1825), ("M20", 0.16, 0.2057), ("M20", 0.20, 0.2521),
];

pub(crate) fn equivalents() -> Agreement {
    let mut worst = Deviation::default();
    for (size, friction, factor) in EQUIVALENTS {
        let thread = Thread::parse(size).expect(size);
        let both = Friction { thread: friction, head: friction };
        let lever = friction_lever(&thread, bearing_diameter(&thread).expect(size), both);
        worst.hold(&format!("{size} at {friction}"), lever / thread.diameter, factor, 0.003);
    }
    Agreement {
        table: "nut factors of the friction form",
        rows: EQUIVALENTS.len(),
        worst,
        tolerance: "0.3 % (bearing of the head to 0.01 mm here, 0.1 mm there)",
        source: "VDI 2230-1 formula, computed by another hand",
    }
}

#[test]
fn nut_factors_agree() {
    published();
    equivalents();
}

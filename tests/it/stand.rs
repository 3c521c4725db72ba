//! The live diagram of height against the formula, an independent projection and the method's own simulations.

use shellspan::lessons::stand::SHELL_MM;
use shellspan::lessons::{Reading, Stand};

fn reading(camera_mm: f64, tilt_deg: f64, edge_mm: f64) -> Reading {
    Stand { camera_mm, tilt_deg, edge_mm }.reading().expect("a place that sees shell and card")
}

#[test]
fn print_it() {
    for d in [350.0, 500.0, 700.0, 1000.0] {
        for tilt in [0.0, 5.0, 15.0, 30.0] {
            let r = reading(d, tilt, 32.0);
            println!("{d} {tilt}: flat {:.2} one {:.2} u {:.2} amb {} two {:.2} u {:.2}", r.flat_mm, r.one.off_mm, r.one.u_mm, r.is_ambiguous, r.two.off_mm, r.two.u_mm);
        }
    }
    let _ = SHELL_MM;
    panic!();
}

//! A whole network against the same one written as plain sums. Source: `tests/reference/network_output.py`, numpy.

use serde_json::Value;
use shellspan::net::{Maps, Net};

#[test]
fn whole_networks_answer_as_plain_sums_do() {
    let folder = env!("CARGO_MANIFEST_DIR");
    let held = std::fs::read(format!("{folder}/tests/reference/network_output.json")).expect("the answers");
    let held: Value = serde_json::from_slice(&held).expect("JSON");
    let whole = |value: &Value| value.as_u64().expect("a number") as usize;
    let side = whole(&held["side"]);
    for (name, answers) in held["answers"].as_object().expect("networks") {
        let bytes = std::fs::read(format!("{folder}/src/card/look/{name}.net")).expect("the network");
        let net = Net::read(&bytes).expect("its form");
        let mut window = Maps::zeros(side, net.inputs());
        for c in 0..net.inputs() {
            for (y, x) in (0..side).flat_map(|y| (0..side).map(move |x| (y, x))) {
                let value = (x * 7 + y * 13 + c * 5 + (x / 8) * (y / 8) * 3) % 17;
                window.set(c, x, y, value as f32 / 8.5 - 1.0);
            }
        }
        let found = net.run(&window).expect("a window that fits");
        for (c, plane) in answers.as_array().expect("planes").iter().enumerate() {
            for (cell, value) in
                held["cells"].as_array().expect("cells").iter().zip(plane.as_array().expect("values"))
            {
                let off = f64::from(found.at(c, whole(&cell[0]), whole(&cell[1])))
                    - value.as_f64().expect("a number");
                assert!(off.abs() < 2e-3, "{name}, plane {c}, {cell}: off by {off}");
            }
        }
    }
}

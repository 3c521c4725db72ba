//! Where the card lies, on the shell or beside it: told wrongly, the picture says so and nothing is kept.
//!
//! Source of true points, widths and placements: the JSON beside each photo, written by the renderer
//! (samples/README.md).

use serde_json::Value;

use super::command::{answer, exits, path, run};

struct Told {
    width_mm: f64,
    true_mm: f64,
    verdict: String,
    codes: Vec<String>,
}

/// Measures with the true points, the card told to lie at `placement`; the limit is `below_mm` under the true width.
fn told(photo: &str, placement: &str, below_mm: f64) -> Told {
    let truth = std::fs::read_to_string(path(&format!("{photo}.json"))).expect("the truth");
    let truth: Value = serde_json::from_str(&truth).expect("JSON");
    let shell = &truth["shell"];
    let point = |side: &str| format!("{},{}", shell[side][0], shell[side][1]);
    let (file, left, right) = (format!("{photo}.jpg"), point("left_px"), point("right_px"));
    let true_mm = shell["width_mm"].as_f64().expect("a width");
    let limit = (true_mm - below_mm).to_string();
    let species = shell["species"].as_str().expect("a kind").replace('_', "-");
    let output = run(&[
        "measure",
        &file,
        "--json",
        "--left",
        &left,
        "--right",
        &right,
        "--species",
        &species,
        "--limit",
        &limit,
        "--card-placement",
        placement,
    ]);
    exits(&output, 0);
    let answer = answer(&output);
    let codes = answer["warnings"].as_array().expect("a list").iter();
    Told {
        width_mm: answer["width_mm"].as_f64().expect("a width"),
        true_mm,
        verdict: answer["verdict"].as_str().expect("a verdict").to_owned(),
        codes: codes.map(|warning| warning["code"].as_str().expect("a code").to_owned()).collect(),
    }
}

#[test]
fn a_card_on_the_back_is_not_taken_for_one_beside_the_crab() {
    let photo = "tests/back/on-the-back";
    let right = told(photo, "back", 8.0);
    assert!((right.width_mm - right.true_mm).abs() < 2.0, "{} {}", right.width_mm, right.true_mm);
    assert_eq!(right.verdict, "keep");
    assert!(!right.codes.iter().any(|code| code.starts_with("card-")), "{:?}", right.codes);
    for placement in ["deck", "level"] {
        let wrong = told(photo, placement, 12.0);
        assert_eq!(wrong.verdict, "gauge", "{placement}");
        assert!(wrong.codes.contains(&"card-on-shell".to_owned()), "{placement}: {:?}", wrong.codes);
    }
}

#[test]
fn a_card_beside_the_crab_is_not_taken_for_one_on_its_back() {
    let photo = "samples/crab-02";
    let right = told(photo, "deck", 12.0);
    assert_eq!(right.verdict, "keep");
    assert!(!right.codes.iter().any(|code| code.starts_with("card-")), "{:?}", right.codes);
    let wrong = told(photo, "back", 0.0);
    assert!(wrong.width_mm > wrong.true_mm + 20.0, "{} {}", wrong.width_mm, wrong.true_mm);
    assert_eq!(wrong.verdict, "gauge");
    assert!(wrong.codes.contains(&"card-beside-shell".to_owned()), "{:?}", wrong.codes);
}

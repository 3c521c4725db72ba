//! The native command as a person runs it: exit codes, the fields of its JSON, rule packs.
//!
//! Source of true points and widths: the JSON beside each sample, written by the renderer
//! (samples/README.md).

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

pub(crate) fn path(of: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(of)
}

pub(crate) fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shellspan"))
        .args(arguments)
        .current_dir(path(""))
        .output()
        .expect("the built command starts")
}

#[track_caller]
pub(crate) fn exits(output: &Output, code: i32) {
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(code), "{said}");
}

#[track_caller]
pub(crate) fn answer(output: &Output) -> Value {
    let text = String::from_utf8(output.stdout.clone()).expect("UTF-8");
    assert_eq!(text.lines().count(), 1, "one object a line: {text}");
    serde_json::from_str(&text).expect("JSON")
}

/// Measures a sample with its true points; the answer and the true width.
#[track_caller]
fn measure(sample: &str, more: &[&str]) -> (Value, f64) {
    let truth = std::fs::read_to_string(path(&format!("samples/{sample}.json"))).expect("the truth");
    let truth: Value = serde_json::from_str(&truth).expect("JSON");
    let point = |side: &str| format!("{},{}", truth["shell"][side][0], truth["shell"][side][1]);
    let (photo, left, right) = (format!("samples/{sample}.jpg"), point("left_px"), point("right_px"));
    let placement = truth["card"]["placement"].as_str().expect("a placement");
    let mut arguments = vec!["measure", &photo, "--json", "--left", &left, "--right", &right];
    arguments.extend(["--card-placement", placement]);
    arguments.extend(more);
    let output = run(&arguments);
    exits(&output, 0);
    (answer(&output), truth["shell"]["width_mm"].as_f64().expect("a width"))
}

/// The photo that comes with the page is another one made small (`samples/README.md`): measured from the file alone and with
/// its true points, it tells the same crab.
#[test]
fn the_small_practice_photo_measures_like_the_one_it_was_made_from() {
    let bytes = std::fs::metadata(path("samples/crab-00.jpg")).expect("the photo").len();
    assert!(bytes <= 350_000, "{bytes} bytes");
    for sample in ["crab-00", "crab-02"] {
        let (by_hand, true_mm) = measure(sample, &[]);
        let photo = format!("samples/{sample}.jpg");
        let output = run(&["measure", &photo, "--json", "--species", "dungeness"]);
        exits(&output, 0);
        for answer in [by_hand, answer(&output)] {
            let number = |field: &Value| field.as_f64().expect("a number");
            let (from, to) = (number(&answer["interval_mm"][0]), number(&answer["interval_mm"][1]));
            assert!((from..=to).contains(&true_mm), "{sample}: {true_mm} in {from} to {to}");
            assert!((number(&answer["width_mm"]) - true_mm).abs() < 1.5, "{sample}: {answer}");
            assert!(number(&answer["u_mm"]) < 4.0, "{sample}: {answer}");
        }
    }
}

/// The fields that readers of the JSON rely on: added to, never renamed.
pub(crate) const FIELDS: [&str; 19] = [
    "/photo",
    "/status",
    "/reason",
    "/next_step",
    "/size_px",
    "/card",
    "/camera",
    "/points",
    "/height_mm",
    "/height_u_mm",
    "/width_mm",
    "/u_mm",
    "/interval_mm",
    "/budget_mm",
    "/conformity",
    "/verdict",
    "/warnings",
    "/elapsed_ms",
    "/elapsed_ms/decode",
];

/// Those within, once a width came out.
const FIELDS_WITHIN: [&str; 24] = [
    "/card/corners_px/3/1",
    "/card/corner_u_px",
    "/card/placement",
    "/camera/focal_px",
    "/camera/focal_from",
    "/camera/distance_mm",
    "/camera/tilt_deg",
    "/points/left_px/1",
    "/points/right_px/1",
    "/points/from",
    "/points/dimension",
    "/interval_mm/1",
    "/budget_mm/corners",
    "/budget_mm/points",
    "/budget_mm/height",
    "/budget_mm/focal",
    "/budget_mm/card",
    "/elapsed_ms/card",
    "/elapsed_ms/pose",
    "/elapsed_ms/shell",
    "/elapsed_ms/width",
    "/size_px/1",
    "/conformity",
    "/verdict",
];

#[track_caller]
pub(crate) fn has(answer: &Value, fields: &[&str]) {
    let missing: Vec<&&str> = fields.iter().filter(|field| answer.pointer(field).is_none()).collect();
    assert!(missing.is_empty(), "{missing:?} in {answer}");
}

#[test]
fn true_points_give_the_true_width_and_a_verdict_by_limit() {
    let (keeps, width_mm) = measure("crab-06", &["--species", "brown", "--limit", "165"]);
    has(&keeps, &FIELDS);
    has(&keeps, &FIELDS_WITHIN);
    assert_eq!(keeps["status"], "measured");
    assert_eq!(keeps["points"]["from"], "given");
    assert!(keeps.get("rule").is_none(), "no pack was given");
    let number = |field: &str| keeps[field].as_f64().expect("a number");
    let (found_mm, u_mm) = (number("width_mm"), number("u_mm"));
    assert!((found_mm - width_mm).abs() < 4.0 * u_mm, "{found_mm}, u {u_mm}, in truth {width_mm}");
    assert!(0.05 < u_mm && u_mm < 4.0, "{u_mm}");
    assert_eq!(keeps["verdict"], "keep");
    let (goes, _) = measure("crab-06", &["--species", "brown", "--limit", "195"]);
    assert_eq!(goes["verdict"], "release");
    let at_its_width = found_mm.to_string();
    let (near, _) = measure("crab-06", &["--species", "brown", "--limit", &at_its_width]);
    assert_eq!(near["verdict"], "gauge");
    assert!((near["conformity"].as_f64().expect("a probability") - 0.5).abs() < 0.01, "{near}");
}

/// Source of the sizes: www/rules/uk-eng.json, eastern district 115 mm, the others 130 mm (both seen).
#[test]
fn a_pack_brings_the_distance_and_decides_the_size_alone() {
    let pack = ["--rules", "www/rules/uk-eng.json", "--species", "brown", "--date", "2026-11-25", "--area"];
    let (wide, _) = measure("crab-06", &[&pack[..], &["eastern"]].concat());
    assert_eq!(wide["points"]["dimension"], "widest");
    assert_eq!(wide["verdict"], "keep");
    assert_eq!(wide["rule"]["decided_by"], "size-alone");
    assert_eq!(wide["rule"]["mark"], "seen");
    assert_eq!(wide["rule"]["area"], "eastern");
    assert!(!wide["rule"]["open_check"].is_null(), "sex, eggs and shell are open");
    has(
        &wide,
        &["/rule/words", "/rule/source/title", "/rule/sizes/0/words", "/rule/reasons/0", "/rule/warnings"],
    );
    let (narrow, _) = measure("crab-04", &[&pack[..], &["outside-eastern"]].concat());
    assert_eq!(narrow["verdict"], "release", "114 mm in truth");
    assert_eq!(narrow["rule"]["decided_by"], "rule", "one failed check settles it");
}

/// What the size alone says is no keep where the pack does not know whether the kind may be taken, and says so where
/// the kind is invasive. The pack is made for this test.
#[test]
fn the_size_alone_warns_of_what_may_not_be_taken() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("pack.json");
    let ask = |facts: &str| {
        let pack = super::rules::PLAIN
            .replace("\"blue\"", "\"brown\"")
            .replace("\"tips\"", "\"widest\"")
            .replace("165 mm", "115 mm")
            .replace("\"sizes\": [", &format!("{facts} \"sizes\": ["));
        std::fs::write(&file, pack).expect("written");
        let pack = ["--rules", file.to_str().expect("a path"), "--area", "bay", "--date", "2026-11-25"];
        measure("crab-06", &[&pack[..], &["--species", "brown"]].concat()).0
    };
    let plain = ask("");
    assert_eq!(
        (plain["verdict"].as_str(), plain["rule"]["open_check"].as_str()),
        (Some("keep"), Some("season"))
    );
    assert!(plain["rule"]["warnings"].to_string().contains("Whether the water is open today is not known"));
    let unknown = ask("\"take\": [{ \"mark\": \"unknown\" }],");
    assert_eq!(unknown["verdict"], "gauge", "{unknown}");
    let duties =
        "{ \"keep\": \"may\", \"keep_alive\": \"not-stated\", \"kill\": \"may\", \"put_back\": \"must-not\",
        \"report\": \"must\", \"words\": \"Report it.\" }";
    let invasive =
        ask(&format!("\"invasive\": [{{ \"value\": {duties}, \"mark\": \"seen\", \"source\": \"s\" }}],"));
    assert!(invasive["rule"]["warnings"].to_string().contains("This kind is invasive here"), "{invasive}");
}

/// Source of the size: www/rules/us-wa.json, Columbia River, 5 3/4 in between the notches, from memory.
#[test]
fn a_figure_from_memory_never_keeps() {
    let area = ["--rules", "www/rules/us-wa.json", "--area", "columbia-river", "--species", "dungeness"];
    let (answer, width_mm) = measure("crab-02", &[&area[..], &["--date", "2026-11-25"]].concat());
    assert!(width_mm > 146.05 + 15.0, "clearly of size");
    assert!(answer["conformity"].as_f64().expect("a probability") > 0.99, "{answer}");
    assert_eq!(answer["verdict"], "gauge");
    assert_eq!(answer["rule"]["mark"], "memory");
    let reason = answer["rule"]["reasons"][0].as_str().expect("a reason");
    assert!(reason.contains("not confirmed"), "{reason}");
    let (later, _) = measure("crab-02", &[&area[..], &["--date", "2029-01-01"]].concat());
    let warnings = later["rule"]["warnings"].to_string();
    assert!(warnings.contains("last checked"), "a pack of three years ago: {warnings}");
}

#[test]
fn a_photo_without_a_card_exits_with_2_and_a_broken_file_with_1() {
    let refused = run(&["measure", "tests/bad/no-card.jpg", "--json"]);
    exits(&refused, 2);
    let answer = answer(&refused);
    has(&answer, &FIELDS);
    assert_eq!(answer["status"], "refused");
    assert!(answer["reason"].is_string() && answer["next_step"].is_string());
    let unusable = run(&["measure", "samples/README.md", "tests/bad/no-card.jpg"]);
    exits(&unusable, 1);
    assert!(String::from_utf8_lossy(&unusable.stdout).contains("not-a-photo"));
    exits(&run(&["measure", "samples/none.jpg"]), 1);
}

/// Source of the code: EX_USAGE is 64 in BSD's sysexits.h. Asking for help is no mistake.
#[test]
fn a_command_that_is_not_understood_exits_with_64() {
    for wrong in [
        &["measure"][..],
        &["weigh", "samples/crab-02.jpg"],
        &["measure", "samples/crab-02.jpg", "--limit", "-5"],
        &["measure", "samples/crab-02.jpg", "--rules", "www/rules/us-wa.json"],
        &["rules", "check"],
    ] {
        let output = run(wrong);
        exits(&output, 64);
        assert!(!output.stderr.is_empty() && output.stdout.is_empty(), "{wrong:?}");
    }
    exits(&run(&["--help"]), 0);
    exits(&run(&["--version"]), 0);
}

/// Source of the sizes: www/rules/us-wa.json, Puget Sound, 6 1/4 in (seen); of blue crab it has no rule.
#[test]
fn a_refused_photo_carries_the_rule_that_was_asked_for() {
    let ask = |kind: &str| {
        let pack = ["--rules", "www/rules/us-wa.json", "--area", "puget-sound", "--date", "2026-11-25"];
        let output =
            run(&[&["measure", "tests/bad/no-card.jpg", "--json", "--species", kind][..], &pack].concat());
        exits(&output, 2);
        answer(&output)
    };
    let refused = ask("dungeness");
    assert_eq!(refused["status"], "refused");
    assert!(refused["verdict"].is_null() && refused["conformity"].is_null(), "{refused}");
    let rule = &refused["rule"];
    assert!(rule["decided_by"].is_null() && rule["open_check"].is_string(), "{rule}");
    assert_eq!(rule["sizes"][0]["words"], "at least 6 1/4 in");
    assert_eq!(rule["sizes"][0]["mark"], "seen");
    let without = ask("blue");
    assert_eq!(without["verdict"], "release", "what has no rule goes back, whatever its size");
    assert_eq!(without["rule"]["decided_by"], "rule");
}

#[test]
fn a_damaged_pack_tells_its_other_mistakes_with_field_and_line() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("cut.json");
    let text = super::rules::PLAIN.replace("2026-06-01", "2026-02-31");
    let mut bytes = text.as_bytes()[..text.find("\"limits\"").expect("the limits")].to_vec();
    let bay = text.find("The bay").expect("the bay");
    bytes[bay] = 0xe4;
    std::fs::write(&file, &bytes).expect("written");
    let output = run(&["rules", "check", file.to_str().expect("a path")]);
    exits(&output, 1);
    let said = String::from_utf8(output.stderr).expect("UTF-8");
    for line in [
        "3 mistakes",
        "line 3, checked:",
        "line 5, areas[0].name: letters",
        "line 11, areas[0].rules[0].facts:",
    ] {
        assert!(said.contains(line), "{line}\n{said}");
    }
}

#[test]
fn every_pack_is_read_out_with_marks_and_sources() {
    let list = std::fs::read_to_string(path("www/rules/index.json")).expect("the list");
    let files: Vec<String> = serde_json::from_str(&list).expect("names");
    let files: Vec<String> = files.iter().map(|file| format!("www/rules/{file}")).collect();
    let arguments: Vec<&str> =
        ["rules", "check"].into_iter().chain(files.iter().map(String::as_str)).collect();
    let output = run(&arguments);
    exits(&output, 0);
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    for file in &files {
        assert!(text.contains(&format!("{file}: pack `")), "{file}");
    }
    assert!(text.contains("6 1/4 in") && text.contains(" seen ") && text.contains(" memory "));
}

#[test]
fn a_bad_pack_exits_with_1_and_every_mistake() {
    let bad = "tests/bad/rules/many-mistakes.json";
    let checked = run(&["rules", "check", bad, "www/rules/je.json"]);
    exits(&checked, 1);
    let mistakes = String::from_utf8(checked.stderr).expect("UTF-8");
    assert!(mistakes.contains("line 7, checked: `2026-13-01`"), "{mistakes}");
    // Source of the count: tests/bad/rules/messages.txt.
    assert!(mistakes.contains("22 mistakes"), "{mistakes}");
    let photo = "samples/crab-02.jpg";
    let rest = ["--species", "dungeness", "--date", "2026-11-25", "--area"];
    let refused = run(&[&["measure", photo, "--rules", bad][..], &rest, &["bay"]].concat());
    exits(&refused, 1);
    assert_eq!(String::from_utf8(refused.stderr).expect("UTF-8"), mistakes);
    let elsewhere = ["measure", photo, "--rules", "www/rules/us-wa.json"];
    let refused = run(&[&elsewhere[..], &rest, &["nowhere"]].concat());
    exits(&refused, 1);
    assert!(String::from_utf8_lossy(&refused.stderr).contains("puget-sound"), "the areas there are");
}

/// The picture has the photo's pixels but for what is drawn, and nothing of the camera or the place.
#[test]
fn the_picture_shows_the_measurement_and_nothing_of_the_place() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out.png");
    let out = out.to_str().expect("a plain name");
    exits(&run(&["measure", "samples/crab-06.jpg", "--species", "red-rock", "--picture", out]), 0);
    let bytes = std::fs::read(out).expect("a picture");
    for chunk in [&b"eXIf"[..], b"tEXt", b"iTXt", b"zTXt", b"tIME"] {
        assert!(!bytes.windows(4).any(|four| four == chunk), "{}", String::from_utf8_lossy(chunk));
    }
    let drawn = image::load_from_memory(&bytes).expect("a PNG").to_rgb8();
    let size = size_px(&run(&["measure", "samples/crab-06.jpg", "--species", "red-rock", "--json"]));
    assert_eq!(drawn.dimensions(), size);
    // The caption's ground: pure black and pure white in the lower left corner.
    let corner: Vec<[u8; 3]> = (0..40)
        .flat_map(|x| (1..30).map(move |y| (x, y)))
        .map(|(x, y)| drawn.get_pixel(x, drawn.height() - y).0)
        .collect();
    assert!(corner.contains(&[0; 3]) && corner.contains(&[255; 3]), "no caption");
    let refused = run(&["measure", "samples/crab-06.jpg", "samples/crab-02.jpg", "--picture", out]);
    assert_ne!(refused.status.code(), Some(0));
}

fn size_px(output: &Output) -> (u32, u32) {
    let size = &answer(output)["size_px"];
    let side = |at: usize| u32::try_from(size[at].as_u64().expect("pixels")).expect("a photo's side");
    (side(0), side(1))
}

/// Points that were placed less exactly make the width less sure.
#[test]
fn how_exactly_points_were_placed_can_be_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let u_mm = |u_px: &str| {
        let file = folder.path().join("points.json");
        let text =
            format!("{{\"crab-02.jpg\": {{\"left_px\": [1566, 1344], \"right_px\": [312, 1812]{u_px}}}}}");
        std::fs::write(&file, text).expect("written");
        let points = file.to_str().expect("a plain name");
        let output =
            run(&["measure", "samples/crab-02.jpg", "--json", "--species", "dungeness", "--points", points]);
        (output.status.code(), String::from_utf8_lossy(&output.stdout).into_owned())
    };
    let of = |(code, text): (Option<i32>, String)| {
        assert_eq!(code, Some(0), "{text}");
        serde_json::from_str::<Value>(&text).expect("JSON")["u_mm"].as_f64().expect("an uncertainty")
    };
    let (told, crude) = (of(u_mm("")), of(u_mm(", \"u_px\": [12, 12]")));
    assert!(crude > told + 0.1, "{told} and {crude}");
    assert_eq!(u_mm(", \"u_px\": [0, 12]").0, Some(1), "nothing is placed exactly");
}

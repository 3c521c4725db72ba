//! The native command with what it should not be given: mistyped values, points off the shell, pipes, odd names, an
//! output that goes nowhere.

use std::process::{Command, Stdio};

use serde_json::Value;

use super::command::{FIELDS, answer, exits, has, path, run};

const PHOTO: &str = "samples/crab-02.jpg";
/// The true points of the sample (its JSON), 170 mm apart.
const POINTS: [&str; 4] = ["--left", "1566.076,1343.922", "--right", "312.338,1812.277"];

#[track_caller]
fn not_understood(arguments: &[&str], says: &str) {
    let output = run(&[&["measure", PHOTO][..], arguments].concat());
    exits(&output, 64);
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains(says) && output.stdout.is_empty(), "{said}");
}

/// Source: one inch is 25.4 mm.
#[test]
fn a_limit_in_inches_or_centimetres_is_no_limit_in_millimetres() {
    not_understood(&["--limit", "6.25"], "158.75 mm");
    not_understood(&["--limit", "16"], "160 mm");
    for wrong in ["0", "-158.75", "nan", "inf", "1e9", "6 1/4", "158,75"] {
        not_understood(&["--limit", wrong], "a length in mm");
    }
}

#[test]
fn a_day_is_written_in_one_way() {
    let pack = ["--rules", "www/rules/us-wa.json", "--area", "puget-sound", "--species", "dungeness"];
    for wrong in ["20261103", "2026-11-03T10:00", "-009999-01-01", "2026-02-30", "tomorrow"] {
        not_understood(&[&pack[..], &[&format!("--date={wrong}")]].concat(), "a day like 2026-11-25");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_pack_without_end_is_refused_by_its_size() {
    let output = run(&["rules", "check", "/dev/zero"]);
    exits(&output, 1);
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains("a pack has at most"), "{said}");
}

/// A pipe that nobody writes to would be waited for without end.
#[cfg(unix)]
#[test]
fn a_pack_in_a_pipe_is_refused_at_once() {
    let folder = tempfile::tempdir().expect("a folder");
    let pipe = folder.path().join("pack.json");
    let made = Command::new("mkfifo").arg(&pipe).status().expect("mkfifo is part of POSIX");
    assert!(made.success());
    let output = run(&["rules", "check", pipe.to_str().expect("a path")]);
    exits(&output, 1);
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains("is a pipe, not a file"), "{said}");
}

/// A pack's words stay on their line and move no cursor, sound or not.
#[test]
fn words_of_a_pack_cannot_pass_for_the_commands() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("pack.json");
    let check = |text: &str| {
        std::fs::write(&file, text).expect("written");
        let output = run(&["rules", "check", file.to_str().expect("a path")]);
        String::from_utf8([output.stdout, output.stderr].concat()).expect("UTF-8")
    };
    let turned = "A\\u001b[2Kfake\\n    sex  seen  either sex\\u202e";
    let sound = super::rules::PLAIN.replace("A source", turned);
    let named = super::rules::PLAIN.replace("\"rules\"", &format!("\"x{turned}\": 1, \"rules\""));
    for (text, of) in [(sound, "min size"), (named, "unknown field")] {
        let said = check(&text);
        assert!(said.contains(of) && said.contains("fake"), "{said}");
        assert!(!said.contains(['\u{1b}', '\u{202e}', '\r']), "{said:?}");
        assert!(!said.lines().any(|line| line.trim_start().starts_with("sex")), "{said}");
    }
}

/// A pack that was checked on a day to come was not checked.
#[test]
fn a_check_in_the_future_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("pack.json");
    std::fs::write(&file, super::rules::PLAIN.replace("2026-06-01", "2199-06-01")).expect("written");
    let output = run(&["rules", "check", file.to_str().expect("a path")]);
    exits(&output, 1);
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains("line 3, checked: 2199-06-01 is yet to come"), "{said}");
}

#[test]
fn a_mistyped_kind_is_told_and_a_name_is_taken_in_any_spelling() {
    not_understood(&["--species", "dungenes"], "dungeness, red-rock");
    not_understood(&["--species", ""], "dungeness");
    let dimension = |kind: &str| {
        let output = run(&[&["measure", PHOTO, "--json", "--species", kind][..], &POINTS].concat());
        exits(&output, 0);
        answer(&output)["points"]["dimension"].as_str().expect("a dimension").to_owned()
    };
    // Between the notches: tips would make a short crab a keeper.
    assert_eq!(dimension("Dungeness"), "notch");
    assert_eq!(dimension("dungeness crab"), "notch");
    assert_eq!(dimension("red_rock"), "tips");
}

#[test]
fn points_that_cannot_be_are_told() {
    for wrong in ["NaN,5", "inf,5", "5", "5,5,5", "1e400,3"] {
        not_understood(&["--left", wrong, "--right", "5,5"], "--left");
    }
    not_understood(&["--left", "5,5"], "--right");
    not_understood(&["--left", "900,900", "--right", "900.2,900"], "the same point");
    let far = run(&["measure", PHOTO, "--json", "--left", "1e308,1e308", "--right", "900,900"]);
    exits(&far, 2);
    let refused = answer(&far);
    has(&refused, &FIELDS);
    assert_eq!(refused["reason"], "points-outside", "the card is at 35 degrees: no matter of tilt");
}

/// The whole picture across: no crab is that wide.
#[test]
fn points_off_the_shell_keep_no_crab() {
    for (left, right, warning) in
        [("1500,0", "1500,4031", "unlikely-width"), ("-300,1500", "1566,1344", "points-outside")]
    {
        let output = run(&["measure", PHOTO, "--json", "--limit", "100", "--left", left, "--right", right]);
        exits(&output, 0);
        let found = answer(&output);
        assert!(found["width_mm"].as_f64().expect("a width") > 100.0);
        assert!(found["warnings"].to_string().contains(warning), "{found}");
        assert_eq!(found["verdict"], "gauge", "{found}");
    }
}

#[test]
fn a_refused_photo_tells_its_size() {
    let output = run(&["measure", "tests/bad/no-card.jpg", "--json"]);
    let size = answer(&output)["size_px"].clone();
    assert!(size[0].as_u64().is_some_and(|width| width > 100), "{size}");
}

/// The order is that of the arguments, whatever becomes of each; the worst decides the exit code.
#[test]
fn many_paths_give_a_line_each_in_their_order() {
    let folder = tempfile::tempdir().expect("a folder");
    let odd = folder.path().join("two\nlines \"and\" Ünï.jpg");
    std::fs::copy(path("tests/bad/no-card.jpg"), &odd).expect("copied");
    let odd = odd.to_str().expect("UTF-8");
    let empty = folder.path().join("empty.jpg");
    std::fs::write(&empty, []).expect("written");
    let empty = empty.to_str().expect("UTF-8");
    let paths = [PHOTO, "none.jpg", odd, "samples", empty, "samples/README.md", PHOTO];
    let output = run(&[&["measure", "--json"][..], &POINTS, &paths].concat());
    exits(&output, 1);
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    let answers: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
    assert_eq!(
        answers.iter().map(|answer| answer["photo"].as_str().expect("a path")).collect::<Vec<_>>(),
        paths
    );
    let reasons: Vec<&str> = answers.iter().map(|answer| answer["reason"].as_str().unwrap_or("-")).collect();
    let expected = ["-", "cannot-open", "no-card", "cannot-open", "not-a-photo", "not-a-photo", "-"];
    assert_eq!(reasons, expected);
    for found in &answers {
        has(found, &FIELDS);
    }
    assert_eq!(answers[0]["width_mm"], answers[6]["width_mm"]);
    let words = run(&["measure", odd, empty]);
    assert_eq!(String::from_utf8(words.stdout).expect("UTF-8").lines().count(), 2, "a line each");
}

/// Who stops a long run half way has the answers so far.
#[test]
fn each_answer_comes_as_soon_as_those_before_it_are_there() {
    use std::io::{BufRead, BufReader};
    let many = [PHOTO; 40];
    let mut running = Command::new(env!("CARGO_BIN_EXE_shellspan"))
        .args(["measure", "samples/README.md"])
        .args(many)
        .current_dir(path(""))
        .stdout(Stdio::piped())
        .spawn()
        .expect("it starts");
    let mut lines = BufReader::new(running.stdout.take().expect("its output")).lines();
    let first = lines.next().expect("a line").expect("UTF-8");
    assert!(first.starts_with("samples/README.md: not-a-photo"), "{first}");
    // Forty photos are measured for seconds: the first line came before the last photo.
    assert!(running.try_wait().expect("its state").is_none(), "still at work");
    drop(lines);
    // Nobody reads on: it ends with the next answer, long before the last photo.
    assert_eq!(running.wait().expect("its end").code(), Some(1));
}

#[cfg(unix)]
#[test]
fn a_device_without_end_and_a_pipe_without_writer_are_not_waited_for() {
    let folder = tempfile::tempdir().expect("a folder");
    let pipe = folder.path().join("pipe.jpg");
    let made = Command::new("mkfifo").arg(&pipe).status().expect("mkfifo of coreutils");
    assert!(made.success());
    let output = run(&["measure", "--json", "/dev/zero", pipe.to_str().expect("UTF-8")]);
    exits(&output, 1);
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert_eq!(text.lines().filter(|line| line.contains("cannot-open")).count(), 2, "{text}");
}

/// Source of the code: EX_IOERR is 74 in BSD's sysexits.h.
#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_cannot_be_written_is_told_without_a_panic() {
    let command = || {
        let mut command = Command::new(env!("CARGO_BIN_EXE_shellspan"));
        command.args(["measure", "samples/README.md", "--json"]).current_dir(path("")).stderr(Stdio::piped());
        command
    };
    let full = std::fs::File::options().write(true).open("/dev/full").expect("the full device");
    let output = command().stdout(full).output().expect("it starts");
    exits(&output, 74);
    assert!(String::from_utf8_lossy(&output.stderr).starts_with("The answer cannot be written"));
    // Nobody reads on: `shellspan measure ... | head -1`.
    let (reader, writer) = std::io::pipe().expect("a pipe");
    drop(reader);
    let output = command().stdout(writer).output().expect("it starts");
    exits(&output, 1);
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
}

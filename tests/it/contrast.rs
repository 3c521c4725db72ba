//! The style sheet's colours against each other, by the contrast ratio of WCAG 2.2 (definitions "relative
//! luminance" and "contrast ratio"; success criteria 1.4.6 and 1.4.11).

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// Contrast (enhanced), for text of any size: figures and verdicts are read on a wet deck in sunlight.
const TEXT: f64 = 7.0;
/// Non-text contrast, for frames, curves and marks that carry a meaning.
const GRAPHICS: f64 = 3.0;

/// Ink and the ground that the style sheet puts it on.
const TEXTS: [(&str, &str); 11] = [
    ("ink", "ground"),
    ("ink", "raised"),
    ("muted", "ground"),
    ("muted", "raised"),
    ("accent", "ground"),
    ("accent", "raised"),
    ("on-accent", "accent"),
    ("keep", "raised"),
    ("release", "raised"),
    ("gauge", "raised"),
    ("mark", "mark-halo"),
];

/// What is drawn, and what it is drawn on.
const DRAWN: [(&str, &str); 6] = [
    ("line", "ground"),
    ("line", "raised"),
    ("alert", "raised"),
    ("ink", "hill"),
    ("hatch", "raised"),
    ("hatch", "hill"),
];

type Rgb = [u8; 3];

fn parse(hex: &str) -> Option<Rgb> {
    let digits = hex.trim().strip_prefix('#').filter(|digits| digits.len() == 6)?;
    let [_, red, green, blue] = u32::from_str_radix(digits, 16).ok()?.to_be_bytes();
    Some([red, green, blue])
}

fn luminance(colour: Rgb) -> f64 {
    let [red, green, blue] = colour.map(|byte| {
        let share = f64::from(byte) / 255.0;
        if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    });
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

fn ratio(a: Rgb, b: Rgb) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn sheets() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("www/style");
    let mut sheets: Vec<(String, String)> = fs::read_dir(folder)
        .expect("the style sheets")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|end| end == "css"))
        .map(|path| (path.display().to_string(), fs::read_to_string(&path).expect("text")))
        .collect();
    sheets.sort();
    sheets
}

/// The colours that the theme's block names: `--name: #rrggbb;`.
fn theme(name: &str) -> BTreeMap<String, Rgb> {
    let selector = format!(":root[data-theme=\"{name}\"] {{");
    let mut colours = BTreeMap::new();
    for (_, sheet) in sheets() {
        for block in sheet.split(&selector).skip(1) {
            let block = block.split('}').next().expect("a block");
            for line in block.split(';') {
                let Some((property, value)) = line.split_once(':') else { continue };
                let Some(property) = property.trim().strip_prefix("--") else { continue };
                let colour = parse(value).unwrap_or_else(|| panic!("{property}: {value} is no #rrggbb"));
                colours.insert(property.to_owned(), colour);
            }
        }
    }
    colours
}

/// Values on white, to four digits, computed apart from this program by the formula of WCAG 2.2.
#[test]
fn the_formula_gives_the_known_ratios() {
    let known = [
        ("#767676", 4.5422),
        ("#777777", 4.4781),
        ("#595959", 7.0047),
        ("#5a5a5a", 6.8969),
        ("#949494", 3.0335),
        ("#959595", 2.9953),
        ("#ff0000", 3.9985),
        ("#0000ff", 8.5925),
        ("#008000", 5.1374),
        ("#000000", 21.0),
    ];
    for (colour, expected) in known {
        let found = ratio(parse(colour).expect("a colour"), [255; 3]);
        assert!((found - expected).abs() < 6e-5, "{colour}: {found}, not {expected}");
    }
}

#[test]
fn both_themes_can_be_read() {
    let mut failures = Vec::new();
    for name in ["sun", "night"] {
        let colours = theme(name);
        let colour =
            |name: &str| *colours.get(name).unwrap_or_else(|| panic!("no --{name} among {colours:?}"));
        for (pairs, wanted) in [(&TEXTS[..], TEXT), (&DRAWN[..], GRAPHICS)] {
            for (ink, ground) in pairs {
                let found = ratio(colour(ink), colour(ground));
                println!("{name}: {ink} on {ground} {found:.2}");
                if found < wanted {
                    failures.push(format!("{name}: {ink} on {ground} is {found:.2}, below {wanted}"));
                }
            }
        }
    }
    assert!(failures.is_empty(), "{failures:#?}");
}

/// Every colour comes from the theme, so that the pairs above are all there are; the drawings' own grounds
/// aside.
#[test]
fn no_rule_has_a_colour_of_its_own() {
    for (path, sheet) in sheets().into_iter().filter(|(path, _)| !path.ends_with("10-theme.css")) {
        for line in sheet.lines().map(str::trim).filter(|line| line.ends_with(';')) {
            let is_own = ["#", "rgb(", "hsl("].iter().any(|colour| line.contains(colour));
            assert!(!is_own || line.starts_with("--drawing-"), "{path}: {line}");
        }
    }
}

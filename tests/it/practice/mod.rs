//! Practice: the crabs of a seed, their drawings, how answers are marked, and the photo beside a card.

mod course;
mod crabs;
mod drawing;
mod learner;
mod photo;

use std::fs;
use std::path::Path;

use jiff::civil::{Date, date};
use shellspan::practice::crab::Crab;
use shellspan::practice::judge::Truth;
use shellspan::practice::water::{Grounds, Water};
use shellspan::rules::read_pack;

const TODAY: Date = date(2026, 7, 15);
/// Where the rule tells of everything that is practised: Dungeness and red rock crabs, males only, hard shells.
const PUGET_SOUND: (&str, &str) = ("us-wa", "puget-sound");
/// Waters with other rules: males only or both sexes, notches, tips or the widest place, one kind or more.
const WATERS: [(&str, &str); 6] = [
    PUGET_SOUND,
    ("us-ca", "north-counties"),
    ("us-md", "chesapeake-bay"),
    ("uk-nir", "northern-ireland"),
    ("au-qld", "tidal"),
    ("ca-bc", "tidal"),
];

fn water((pack, area): (&str, &str)) -> Water {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("www/rules/{pack}.json"));
    let pack = read_pack(&fs::read_to_string(path).expect("a pack")).expect("a sound pack");
    Water { pack, area: area.to_owned(), date: TODAY, confirmations: Vec::new() }
}

fn grounds(at: (&str, &str)) -> Grounds {
    Grounds::at(&water(at))
}

fn crabs(seed: u64, count: u32, grounds: &Grounds) -> Vec<(Crab, Truth)> {
    (0..count).map(|number| Crab::of(seed, number, grounds).expect("the water has crabs")).collect()
}

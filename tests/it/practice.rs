//! Practice: the crabs of a seed, their drawings, and how answers are marked.

use std::fs;
use std::path::Path;

use jiff::civil::date;
use shellspan::practice::crab::Crab;
use shellspan::practice::draw::{Look, draw};
use shellspan::practice::water::{Grounds, Water};
use shellspan::rules::read_pack;
use shellspan::terms::Dimension;

fn water(pack: &str, area: Option<&str>) -> Water {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("www/rules/{pack}.json"));
    let pack = read_pack(&fs::read_to_string(path).expect("a pack")).expect("a sound pack");
    let area = area.map_or_else(|| pack.areas[0].id.clone(), str::to_owned);
    Water { pack, area, date: date(2026, 7, 15), confirmations: Vec::new() }
}

#[test]
fn print_them() {
    let mut all = 0;
    for entry in fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("www/rules")).expect("packs") {
        let name = entry.expect("entry").file_name().to_string_lossy().replace(".json", "");
        if ["schema", "index", "species"].contains(&name.as_str()) {
            continue;
        }
        let pack = water(&name, None).pack;
        for area in &pack.areas {
            let water = water(&name, Some(&area.id));
            let grounds = Grounds::at(&water);
            let ids = |list: &[shellspan::practice::water::Ground]| list.iter().map(|g| format!("{} {} taken {}", g.kind.id, g.date, g.taken.len())).collect::<Vec<_>>();
            let mut calls = std::collections::BTreeMap::new();
            if !grounds.sought.is_empty() {
                all += 1;
                for number in 0..60 {
                    let (_, truth) = Crab::of(1, number, &grounds).expect("a crab");
                    *calls.entry(format!("{:?} {:?}", truth.call, truth.fails)).or_insert(0) += 1;
                }
            }
            println!("{name} {} : {:?} / {:?} {calls:?}", area.id, ids(&grounds.sought), ids(&grounds.look_alikes));
        }
    }
    println!("{all}");
    let out = Path::new("/tmp/practice-svg");
    fs::create_dir_all(out).unwrap();
    for (pack, area) in [("us-wa", None), ("uk-eng", None), ("us-md", None), ("us-ma", None), ("us-ca", None), ("au-qld", None)] {
        let grounds = Grounds::at(&water(pack, area));
        if grounds.sought.is_empty() { continue; }
        for number in 0..14 {
            let (crab, truth) = Crab::of(1, number, &grounds).expect("a crab");
            for (name, look) in [("top", Look::Top), ("belly", Look::Belly), ("edge", Look::Edge), ("claw", Look::Claw), ("joint", Look::PressJoint), ("gauge", Look::Gauge { gap_mm: grounds.of(crab.kind.id).and_then(|g| g.limits.first()).map_or(100.0, |l| l.mm), at: Dimension::Notch })] {
                let drawn = draw(&crab, look);
                fs::write(out.join(format!("{pack}-{number:02}-{}-{name}.svg", crab.kind.id)), drawn.svg).unwrap();
            }
            println!("{pack} {number} {} {:?} {:?} {:?} {:?} {:?} {:.1} {truth:?}", crab.kind.id, crab.sex, crab.eggs, crab.firmness, crab.coat, crab.claws, crab.width_mm(Dimension::Notch), truth = truth.fails);
        }
    }
}

#[test]
fn print_photos() {
    use shellspan::measure::{Request, measure};
    use shellspan::photo::{Limits, Photo};
    use shellspan::practice::scene::photograph;
    let out = Path::new("/tmp/practice-svg");
    let mut all = (0, 0, 0);
    for (pack, from) in [("us-wa", 0), ("uk-nir", 0), ("us-tx", 0)] {
        let grounds = Grounds::at(&water(pack, None));
        for number in from..from + 4 {
            let (crab, _) = Crab::of(1, number, &grounds).expect("a crab");
            let started = std::time::Instant::now();
            let scene = photograph(&crab, 1);
            let drawn = started.elapsed();
            let png = scene.png();
            fs::write(out.join(format!("photo-{pack}-{number}.png")), &png).unwrap();
            let photo = Photo::decode(&png, &Limits::default()).expect("a photo");
            let points = scene.points(&crab, Dimension::Notch).expect("seen");
            let request = Request { points: Some(points), species: Some(crab.kind.id.into()), ..Request::default() };
            let found = measure(&photo, &request, &mut || 0.0).0;
            all.0 += 1;
            match found {
                Ok(found) => {
                    all.1 += 1;
                    let w = found.width;
                    let truth = crab.width_mm(Dimension::Notch);
                    let inside = w.interval_mm[0] <= truth && truth <= w.interval_mm[1];
                    all.2 += usize::from(inside);
                    println!("{pack} {number} {} truth {truth:.2} got {:.2} u {:.2} {inside} k {:.3} {:?} {drawn:?} {}", crab.kind.id, w.width_mm, w.u_mm, scene.view.height_share, w.interval_mm, png.len());
                }
                Err(refused) => println!("{pack} {number} {} refused {:?} {drawn:?}", crab.kind.id, refused.refusal),
            }
        }
    }
    println!("{all:?}");
}

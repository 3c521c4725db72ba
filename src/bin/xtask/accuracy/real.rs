//! Real photographs, got beforehand: labels by hand tell of the card's corners, of the shell's ends, or of both. A photo
//! without a truth beside it shows no card.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use rayon::prelude::*;
use serde::Deserialize;
use shellspan::measure::{Request, find_scene, propose};
use shellspan::photo::{Limits, Photo};
use shellspan::refusal::Refusal;
use shellspan::terms::{Dimension, Placement};
use shellspan::units::PhotoPoint;
use shellspan::width::on_height_plane;

use super::row::{corner_errors, is_same_card, rms};

/// Labels of a photo; more may stand beside them.
#[derive(Deserialize)]
struct Labels {
    card: LabelledCard,
    shell: Option<LabelledShell>,
}

#[derive(Deserialize)]
struct LabelledCard {
    corners_px: [[f64; 2]; 4],
}

#[derive(Deserialize)]
struct LabelledShell {
    species: String,
    dimension: Dimension,
    left_px: [f64; 2],
    right_px: [f64; 2],
    mean_height_above_card_mm: f64,
}

/// What became of one photo.
struct Judged {
    name: String,
    labels: Option<Labels>,
    card: Card,
    /// Width between the proposed points over that between the labelled ones, less one.
    width_off: Option<f64>,
}

enum Card {
    /// The labelled one, its corners off by so many px.
    Right([f64; 4]),
    Wrong,
    None(Refusal),
}

/// The report on all photos of `folders`, as Markdown; says so where there are none.
pub fn report(folders: &[PathBuf]) -> Result<String> {
    if folders.is_empty() {
        return Ok("\nReal photographs: skipped, none were given (`--real FOLDER`).\n".to_owned());
    }
    let photos = super::photos_in(folders)?;
    let judged: Vec<Judged> = photos.par_iter().map(|path| judge(path)).collect::<Result<_>>()?;
    Ok(table(&judged))
}

fn judge(path: &Path) -> Result<Judged> {
    let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let photo = Photo::decode(&std::fs::read(path)?, &Limits::default())?;
    let beside = path.with_extension("json");
    let labels: Option<Labels> = if beside.exists() {
        let text = std::fs::read(&beside)?;
        Some(serde_json::from_slice(&text).with_context(|| format!("read {}", beside.display()))?)
    } else {
        None
    };
    let shell = labels.as_ref().and_then(|labels| labels.shell.as_ref());
    let request = shell.map_or(Request::default(), |shell| Request {
        placement: Placement::Deck,
        dimension: shell.dimension,
        species: Some(shell.species.replace('_', "-")),
        ..Request::default()
    });
    let scene = match find_scene(&photo, &request) {
        Ok((scene, _)) => scene,
        Err(refused) => {
            let is_other = |corners| {
                labels.as_ref().is_none_or(|labels| !is_same_card(corners, &labels.card.corners_px))
            };
            let card = match &refused.scene {
                Some(scene) if is_other(&scene.card.corners) => Card::Wrong,
                _ => Card::None(refused.refusal),
            };
            return Ok(Judged { name, labels, card, width_off: None });
        }
    };
    let card = labels.as_ref().map_or(Card::Wrong, |labels| {
        let corners = &scene.card.corners;
        let truth = labels.card.corners_px;
        match <[f64; 4]>::try_from(corner_errors(corners, &truth.map(PhotoPoint::from))) {
            Ok(off_px) if is_same_card(corners, &truth) => Card::Right(off_px),
            _ => Card::Wrong,
        }
    });
    let width_off = shell.filter(|_| matches!(card, Card::Right(_))).and_then(|shell| {
        let points = propose(&photo, &scene, &request)?.points.map(|marked| marked.point);
        let pose = scene.poses.first()?;
        let width = |ends: [PhotoPoint; 2]| {
            let on_shell =
                |at| on_height_plane(&pose.intrinsics, &pose.pose, at, shell.mean_height_above_card_mm);
            Some((on_shell(ends[0])? - on_shell(ends[1])?).norm())
        };
        Some(width(points)? / width([shell.left_px, shell.right_px].map(PhotoPoint::from))? - 1.0)
    });
    Ok(Judged { name, labels, card, width_off })
}

fn table(judged: &[Judged]) -> String {
    let mut out = "\n| real photo | card | corners px | width off |\n|---|---|---|---|\n".to_owned();
    for one in judged {
        let (card, corners) = match &one.card {
            Card::Right(off_px) => ("right".to_owned(), off_px.map(|px| format!("{px:.2}")).join(" ")),
            Card::Wrong => ("WRONG".to_owned(), String::new()),
            Card::None(refusal) => {
                (format!("none: {}", shellspan::text::measure::refusal(*refusal).code), String::new())
            }
        };
        let off = one.width_off.map_or(String::new(), |off| format!("{:+.1} %", 100.0 * off));
        let _ = writeln!(out, "| {} | {card} | {corners} | {off} |", one.name);
    }
    let with = judged.iter().filter(|one| one.labels.is_some());
    let corners: Vec<[f64; 4]> = judged
        .iter()
        .filter_map(|one| match one.card {
            Card::Right(off_px) => Some(off_px),
            _ => None,
        })
        .collect();
    let mut all: Vec<f64> = corners.iter().flatten().copied().collect();
    all.sort_by(f64::total_cmp);
    let wrong = |one: &&Judged| matches!(one.card, Card::Wrong);
    let _ = writeln!(
        out,
        "\n| figure | real photos |\n|---|---|\n| card found; something else taken for it | {} of {}; {} |",
        corners.len(),
        with.clone().count(),
        with.clone().filter(wrong).count()
    );
    let without: Vec<&Judged> = judged.iter().filter(|one| one.labels.is_none()).collect();
    let _ = writeln!(
        out,
        "| a card seen where there is none | {} of {} |",
        without.iter().copied().filter(wrong).count(),
        without.len()
    );
    let _ = writeln!(
        out,
        "| corners, px: median, RMS | {:.2}, {:.2} |",
        all.get(all.len() / 2).copied().unwrap_or(f64::NAN),
        rms(all.iter().copied()).0
    );
    let shells = with.filter(|one| one.labels.as_ref().is_some_and(|labels| labels.shell.is_some()));
    let offs: Vec<f64> = judged.iter().filter_map(|one| one.width_off).collect();
    let within = |share: f64| offs.iter().filter(|off| off.abs() <= share).count();
    let _ = writeln!(
        out,
        "| shell proposed; width within 3 %, wrong by 8 % | {} of {}; {}, {} |",
        offs.len(),
        shells.count(),
        within(0.03),
        offs.len() - within(0.08)
    );
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(with_shell: bool) -> Option<Labels> {
        let shell = with_shell.then(|| LabelledShell {
            species: "brown".into(),
            dimension: Dimension::Widest,
            left_px: [0.0; 2],
            right_px: [1.0; 2],
            mean_height_above_card_mm: 30.0,
        });
        Some(Labels { card: LabelledCard { corners_px: [[0.0; 2]; 4] }, shell })
    }

    #[test]
    fn what_is_found_and_what_is_not_is_counted() {
        let one = |labels, card, width_off| Judged { name: "a".into(), labels, card, width_off };
        let table = table(&[
            one(labels(true), Card::Right([1.0; 4]), Some(0.02)),
            one(labels(true), Card::Right([3.0; 4]), Some(-0.09)),
            one(labels(true), Card::None(Refusal::NoCard), None),
            one(labels(false), Card::Wrong, None),
            one(None, Card::Wrong, None),
            one(None, Card::None(Refusal::NoCard), None),
        ]);
        assert!(table.contains("| card found; something else taken for it | 2 of 4; 1 |"), "{table}");
        assert!(table.contains("| a card seen where there is none | 1 of 2 |"), "{table}");
        assert!(table.contains("| corners, px: median, RMS | 3.00, 2.24 |"), "{table}");
        assert!(
            table.contains("| shell proposed; width within 3 %, wrong by 8 % | 2 of 3; 1, 1 |"),
            "{table}"
        );
    }

    #[test]
    fn no_folder_is_said() {
        assert!(report(&[]).is_ok_and(|said| said.contains("skipped")));
    }
}

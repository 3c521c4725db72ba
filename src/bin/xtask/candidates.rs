//! `cargo xtask candidates`: what the finder takes for a card before its face is looked at, one line each.
//! The training of the networks in `src/card` and of the weights in `search/merit.rs` and `look` learns from what
//! it gets wrong.

use std::path::{Path, PathBuf};

use super::corner_truth::{Tally, camera_of_crop, tell};
use shellspan::camera::CameraPrior;
use shellspan::card::choose::Choice;
use shellspan::card::judge::judge;
use shellspan::card::search::SearchPicture;
use shellspan::card::search::picture::FINE_SIDE;
use shellspan::photo::reduced::LinearLight;
use shellspan::photo::{Limits, Photo};
use shellspan::units::PhotoPoint;

/// Which photos.
#[derive(clap::Args)]
pub struct Options {
    /// Tell the signs of all that differ in the reduced picture, before any is judged.
    #[arg(long)]
    signs: bool,
    /// Tell those that are looked at closely, with all that speaks for and against each.
    #[arg(long, conflicts_with = "signs")]
    looked: bool,
    /// Hold the corners of the card that is found against the truth beside the photo, with the true camera.
    #[arg(long, conflicts_with_all = ["signs", "looked"])]
    truth: bool,
    /// Photos.
    #[arg(required = true)]
    photos: Vec<PathBuf>,
}

/// Candidates of one photo that are judged and told.
const MOST: usize = 40;
/// Candidates of one photo whose signs are told.
const MOST_SIGNS: usize = 4000;
/// How well the focal length of a drawn scene counts as known.
const DRAWN_FOCAL_U: f64 = 0.02;

/// Prints `PHOTO <path>`, then for each judged candidate `CANDIDATE <score> <x y of the four corners>`, or with
/// `--signs` for each that differs `SIGNS <px per reduced px> <x y of the four corners> <signs>`, or with `--looked`
/// `LOOKED <x y of the four corners> <signs>`.
pub fn run(options: &Options) -> anyhow::Result<()> {
    let light = LinearLight::default();
    let mut tally = Tally::default();
    for path in &options.photos {
        let photo = match Photo::decode(&std::fs::read(path)?, &Limits::default()) {
            Ok(photo) => photo,
            Err(error) => {
                eprintln!("{}: {error}", path.display());
                continue;
            }
        };
        println!("PHOTO {}", path.display());
        if options.truth {
            tell(path, &photo, &mut tally)?;
            continue;
        }
        let (mut prior, _, _) = CameraPrior::of(&photo.exif, photo.size());
        if let Some(true_prior) = camera_of_crop(path) {
            prior = true_prior;
        } else if let Some(focal_px) = drawn_focal_px(path) {
            prior.intrinsics.focal_px = focal_px;
            prior.focal_relative_u = DRAWN_FOCAL_U;
        }
        if options.looked {
            let choice = Choice::of(&photo, &light, &prior, None);
            for looked in choice.looked() {
                let signs = looked.signs().map(|sign| format!("{sign:.4}")).join(" ");
                println!("LOOKED {} {signs}", told(&looked.judged.corners));
            }
            continue;
        }
        let picture = SearchPicture::of(&photo, FINE_SIDE);
        if options.signs {
            for candidate in picture.candidates(&prior, None).best(MOST_SIGNS) {
                let signs = candidate.signs.map(|sign| format!("{sign:.4}")).join(" ");
                println!("SIGNS {} {} {signs}", picture.factor(), told(&candidate.corners));
            }
            continue;
        }
        for candidate in picture.candidates(&prior, None).best(MOST) {
            let reach = picture.corner_reach_px();
            let Some(judged) = judge(&photo, &light, &candidate.corners, &prior, reach) else { continue };
            println!("CANDIDATE {:.3} {}", judged.score, told(&judged.corners));
        }
    }
    if options.truth {
        tally.print();
    }
    Ok(())
}

fn told(corners: &[PhotoPoint; 4]) -> String {
    corners.map(|corner| format!("{:.2} {:.2}", corner.x, corner.y)).join(" ")
}

/// The focal length that `tests/reference/card/scenes.py` writes beside a scene: its pictures have no EXIF.
fn drawn_focal_px(photo: &Path) -> Option<f64> {
    let text = std::fs::read_to_string(photo.with_extension("json")).ok()?;
    serde_json::from_str::<serde_json::Value>(&text).ok()?["focal"].as_f64()
}

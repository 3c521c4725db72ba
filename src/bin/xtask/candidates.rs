//! `cargo xtask candidates`: what the finder takes for a card before its face is looked at, one line each.
//! The training of `src/card/face.net` learns from what it gets wrong.

use std::path::PathBuf;

use shellspan::camera::CameraPrior;
use shellspan::card::candidates::SearchPicture;
use shellspan::card::judge::judge;
use shellspan::photo::reduced::LinearLight;
use shellspan::photo::{Limits, Photo};

/// Which photos.
#[derive(clap::Args)]
pub struct Options {
    /// Photos.
    #[arg(required = true)]
    photos: Vec<PathBuf>,
}

/// Candidates of one photo that are told.
const MOST: usize = 40;

/// Prints `PHOTO <path>`, then for each judged candidate `CANDIDATE <score> <x y of the four corners>`.
pub fn run(options: &Options) -> anyhow::Result<()> {
    let light = LinearLight::default();
    for path in &options.photos {
        let photo = match Photo::decode(&std::fs::read(path)?, &Limits::default()) {
            Ok(photo) => photo,
            Err(error) => {
                eprintln!("{}: {error}", path.display());
                continue;
            }
        };
        println!("PHOTO {}", path.display());
        let (prior, _, _) = CameraPrior::of(&photo.exif, photo.size());
        let picture = SearchPicture::of(&photo);
        for candidate in picture.candidates(&prior, None, MOST) {
            let reach = picture.corner_reach_px();
            let Some(judged) = judge(&photo, &light, &candidate.corners, &prior, reach) else { continue };
            let corners = judged.corners.map(|corner| format!("{:.2} {:.2}", corner.x, corner.y)).join(" ");
            println!("CANDIDATE {:.3} {corners}", judged.score);
        }
    }
    Ok(())
}

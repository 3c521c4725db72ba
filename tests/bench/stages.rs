//! Milliseconds by stage over the sample photos: median of seven runs, and the range. `cargo bench`.

#![expect(clippy::disallowed_methods, reason = "it times, and never runs in the browser")]

use std::path::{Path, PathBuf};
use std::time::Instant;

use shellspan::measure::{Request, measure};
use shellspan::photo::{Limits, Photo};
use shellspan::terms::Placement;

const RUNS: usize = 7;
const STAGES: [&str; 5] = ["decode", "card", "pose", "shell", "width"];

fn main() -> std::io::Result<()> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples");
    let mut photos: Vec<PathBuf> =
        std::fs::read_dir(folder)?.filter_map(|entry| entry.ok().map(|entry| entry.path())).collect();
    photos.retain(|path| path.extension().is_some_and(|ending| ending == "jpg"));
    photos.sort();
    print!("{:<14}", "ms");
    for stage in STAGES {
        print!("{stage:>24}");
    }
    println!();
    for path in photos {
        let bytes = std::fs::read(&path)?;
        let request = Request { placement: placement(&path), ..Request::default() };
        let mut runs: [Vec<f64>; 5] = Default::default();
        let mut outcome = "";
        for _ in 0..RUNS {
            let started = Instant::now();
            let mut clock = || started.elapsed().as_secs_f64() * 1e3;
            let decoded = Photo::decode(&bytes, &Limits::default());
            let decode_ms = clock();
            let Ok(photo) = decoded else {
                outcome = "  unusable";
                break;
            };
            let (told, elapsed) = measure(&photo, &request, &mut clock);
            outcome = if told.is_ok() { "" } else { "  refused" };
            let stages = [decode_ms, elapsed.card, elapsed.pose, elapsed.shell, elapsed.width];
            for (run, ms) in runs.iter_mut().zip(stages) {
                run.push(ms);
            }
        }
        print!("{:<14}", path.file_name().unwrap_or_default().to_string_lossy());
        for run in &mut runs {
            run.sort_by(f64::total_cmp);
            if let (Some(least), Some(median), Some(most)) = (run.first(), run.get(run.len() / 2), run.last())
            {
                print!("{:>24}", format!("{median:.2} ({least:.2}-{most:.2})"));
            }
        }
        println!("{outcome}");
    }
    Ok(())
}

/// Where the card lies, as the truth beside the photo says; the deck where it says nothing.
fn placement(photo: &Path) -> Placement {
    let told = std::fs::read(photo.with_extension("json"))
        .ok()
        .and_then(|bytes| serde_json::from_slice::<serde_json::Value>(&bytes).ok());
    told.and_then(|truth| serde_json::from_value(truth["card"]["placement"].clone()).ok()).unwrap_or_default()
}

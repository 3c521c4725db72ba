//! The measuring points of several photos, from a JSON file.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Deserialize;
use shellspan::units::PhotoPoint;

use crate::file::read_pack;

/// The points of one photo, upright px.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
struct Pair {
    left_px: [f64; 2],
    right_px: [f64; 2],
    /// How exactly each was placed, px; none: as with the magnifier.
    #[serde(default)]
    u_px: Option<[f64; 2]>,
}

/// Points by the photo's path as given, or by its file name.
#[derive(Debug, Clone, Default)]
pub struct GivenPoints(BTreeMap<String, Pair>);

impl GivenPoints {
    /// Reads the file, for a person's words where it cannot be used.
    pub fn read(path: &Path) -> Result<Self, String> {
        let bytes = read_pack(path)?;
        let points: BTreeMap<String, Pair> = serde_json::from_slice(&bytes).map_err(|error| {
            format!(
                "{}: no points ({error}). Write {{\"a.jpg\": {{\"left_px\": [x, y], \"right_px\": [x, y]}}}}.\n",
                path.display()
            )
        })?;
        let is_pair = |pair: &Pair| {
            let [left, right] = [pair.left_px, pair.right_px].map(PhotoPoint::from);
            let is_told = pair.u_px.is_none_or(|u_px| u_px.iter().all(|u| u.is_finite() && *u > 0.0));
            left.is_finite() && right.is_finite() && left.distance_px(right) >= 1.0 && is_told
        };
        match points.iter().find(|(_, pair)| !is_pair(pair)) {
            Some((name, _)) => {
                Err(format!("{}: the points of `{name}` are one, or no numbers.\n", path.display()))
            }
            None => Ok(Self(points)),
        }
    }

    /// The points of a photo, and how exactly they were placed, where that is said.
    pub fn of(&self, photo: &Path) -> (Option<[PhotoPoint; 2]>, Option<[f64; 2]>) {
        let by_name = || self.0.get(&*photo.file_name()?.to_string_lossy());
        match self.0.get(&*photo.to_string_lossy()).or_else(by_name) {
            Some(pair) => (Some([pair.left_px, pair.right_px].map(PhotoPoint::from)), pair.u_px),
            None => (None, None),
        }
    }
}

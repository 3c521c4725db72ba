//! Waters that a position may mean: a suggestion, never a choice. The position is looked at and forgotten.

use super::{AreaEntry, search};
use crate::rules::pack::{Pack, Place};

/// More would not be a suggestion.
const MOST: usize = 8;

/// Waters of the packs whose coarse box holds the position, the nearest by their points first; those without
/// a point behind them. Empty where no box holds it, and for what is no position.
pub fn suggest(packs: &[Pack], at: Place) -> Vec<AreaEntry> {
    let holds = |pack: &&Pack| pack.extent.is_some_and(|extent| extent.contains(at));
    let mut found: Vec<(f64, AreaEntry)> = packs
        .iter()
        .filter(holds)
        .flat_map(|pack| search(std::slice::from_ref(pack), ""))
        .map(|entry| (entry.place.map_or(f64::INFINITY, |place| haversine(place, at)), entry))
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.truncate(MOST);
    found.into_iter().map(|(_, entry)| entry).collect()
}

/// Square of the sine of half the great-circle angle: grows with the distance (Sinnott 1984).
fn haversine(a: Place, b: Place) -> f64 {
    let half = |degrees: f64| libm::sin(degrees.to_radians() / 2.0).powi(2);
    half(a.latitude_deg - b.latitude_deg)
        + libm::cos(a.latitude_deg.to_radians())
            * libm::cos(b.latitude_deg.to_radians())
            * half(a.longitude_deg - b.longitude_deg)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::built_in_pack;
    use crate::rules::pack::Extent;

    fn at(latitude_deg: f64, longitude_deg: f64) -> Place {
        Place { latitude_deg, longitude_deg }
    }

    /// Source: Seattle lies at 47.61 N 122.33 W, Westport at 46.89 N 124.10 W (memory).
    #[test]
    fn the_nearest_waters_come_first_and_far_ones_not_at_all() {
        let packs = [built_in_pack()];
        let first = |place| suggest(&packs, place).first().map(|entry| entry.choice.area.clone());
        assert_eq!(first(at(47.61, -122.33)).as_deref(), Some("puget-sound"));
        let westport = first(at(46.89, -124.10));
        assert!(["coast", "grays-harbor"].map(Some).contains(&westport.as_deref()), "{westport:?}");
        assert_eq!(first(at(37.8, -122.4)), None, "San Francisco is in no box of this pack");
        assert_eq!(first(at(f64::NAN, f64::INFINITY)), None);
    }

    #[test]
    fn a_box_may_run_over_the_180th_meridian() {
        let extent = Extent {
            south_deg: 51.0,
            north_deg: 71.6,
            west_deg: 172.0,
            east_deg: -129.9,
            mark: crate::rules::Mark::Memory,
        };
        assert!(extent.contains(at(52.0, 173.0)) && extent.contains(at(58.3, -134.4)));
        assert!(!extent.contains(at(58.3, 0.0)) && !extent.contains(at(48.0, -134.4)));
    }
}

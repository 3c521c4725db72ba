//! Words by which a person finds a water.

use shellspan::rules::search;

use super::saying::load;

/// The names are those of the agency's news release of November 2021 and of its pamphlet of 2017, page "Marine Area
/// Definitions and Codes". A number is held as a whole: area 1 is not area 10.
#[test]
fn a_town_or_an_areas_number_finds_its_water() {
    let packs = [load("us-wa")];
    let found = |query: &str| -> Vec<(String, Option<String>)> {
        search(&packs, query).into_iter().map(|entry| (entry.choice.area, entry.part)).collect()
    };
    let of = |area: &str, part: &str| (area.to_owned(), Some(part.to_owned()));
    assert_eq!(found("Seattle"), [of("puget-sound", "Marine Area 10 (Seattle/Bremerton)")]);
    assert_eq!(found("marine area 10"), [of("puget-sound", "Marine Area 10 (Seattle/Bremerton)")]);
    assert_eq!(found("marine area 1"), [of("coast", "Marine Area 1 (Ilwaco)")]);
    assert_eq!(found("8-2"), [of("puget-sound", "Marine Area 8-2 (Port Susan/Everett)")]);
    // Two parts of one area that close on their own: both are shown.
    let areas: Vec<String> = found("marine area 13").into_iter().map(|(area, _)| area).collect();
    assert_eq!(areas, ["puget-sound", "hood-canal-south-and-13"]);
}

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
    // What has an entry of its own stands before the water around it, which has the rest of that part.
    let areas: Vec<String> = found("marine area 13").into_iter().map(|(area, _)| area).collect();
    assert_eq!(areas, ["hood-canal-south-and-13", "puget-sound"]);
    let whole: Vec<_> = found("puget sound").into_iter().map(|(area, _)| area).collect();
    assert_eq!(whole, ["puget-sound", "hood-canal-south-and-13"], "who names the water means all of it");
    // The part that was asked for goes with the choice.
    let chosen = search(&packs, "seattle").remove(0).choice;
    assert_eq!(chosen.part.as_deref(), Some("Marine Area 10 (Seattle/Bremerton)"));
}

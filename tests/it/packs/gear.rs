//! Figures of gear, each written again from the text that the pack names.

use shellspan::rules::words::InWords;

use super::saying::rule;

/// Figures of gear, each written again from the text that the pack names as its source: WAC 220-330-020 (from memory) and
/// 220-56-320(8), ADF&G on Southeast Tanner crab, 5 AAC 02.207, the Florida proposal of 2020, Queensland on dillies, 31 TAC
/// 57, Louisiana on traps.
#[test]
fn figures_of_gear_are_told_with_their_units() {
    for (pack, area, kind, wanted) in [
        (
            "us-wa",
            "puget-sound",
            "dungeness",
            "2 escape rings, inside: at least 4 1/4 in; in the upper half of the pot, for Dungeness crab",
        ),
        ("us-wa", "coast", "dungeness", "pot volume: at most 13 cubic feet"),
        ("us-ak", "southeast-personal", "tanner", "2 escape rings, inside: at least 4 3/4 in"),
        (
            "us-ak",
            "pws-subsistence",
            "tanner",
            "2 escape rings, inside: at least 4 3/8 in; for king and Tanner crab",
        ),
        (
            "us-fl",
            "state-federal",
            "stone",
            "escape ring: 2 3/16 in; in wood and plastic traps (proposal of 2020, by October 2023)",
        ),
        ("au-qld", "tidal", "mud", "float: at least 15 cm"),
        (
            "us-tx",
            "coastal",
            "blue",
            "crab traps out of the water for 10 days from the third Friday of February",
        ),
        (
            "us-la",
            "statewide",
            "blue",
            "crab traps not tended from 30 minutes after sunset to 30 minutes before sunrise",
        ),
    ] {
        let gear = rule(pack, area, kind).facts.gear;
        let words: Vec<_> = gear.iter().filter_map(|fact| fact.known().map(InWords::in_words)).collect();
        assert!(words.iter().any(|words| words == wanted), "{pack} {area}: {words:?}");
    }
}

/// Counts of gear, each written again from the text that the pack names as its source: the pages of the Washington and
/// Louisiana agencies on gear, the Irish order on pot fishing, the Queensland guide; British Columbia and Oregon from
/// memory, as their marks say.
#[test]
fn gear_is_counted_for_whom_the_source_says() {
    for (pack, area, kind, alone, two_aboard) in [
        ("us-wa", "puget-sound", "dungeness", 2, 4),
        ("us-wa", "coast", "dungeness", 2, 4),
        ("us-wa", "columbia-river", "dungeness", 3, 6),
        ("us-la", "statewide", "blue", 10, 20),
        ("ie", "ireland", "brown", 6, 6),
        ("au-qld", "tidal", "mud", 4, 8),
        ("us-or", "statewide", "dungeness", 3, 6),
        ("ca-bc", "tidal", "dungeness", 2, 4),
        // Two for each person, and two for the boat.
        ("us-ak", "pws-subsistence", "tanner", 2, 2),
    ] {
        let facts = rule(pack, area, kind).facts;
        let found = (facts.most_pots(1), facts.most_pots(2));
        assert_eq!(found, (Some(alone), Some(two_aboard)), "{pack} {area} {kind}");
    }
    // Here the text gives no count, or does not say for whom.
    assert_eq!(rule("uk-nir", "northern-ireland", "brown").facts.most_pots(1), None);
    assert_eq!(rule("us-ca", "ocean", "dungeness").facts.most_pots(1), None);
}

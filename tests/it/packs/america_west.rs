//! The Pacific coast of North America.

use super::check;

#[test]
fn washington() {
    check(&[
        // WDFW rule reminder, 'Additional information', 2019-07-31: 6 1/4 in, males, hard shell, recorded
        // at once. Landmark: WDFW leaflet, 'To measure crabs', 2010. Limit: WDFW rule change, 2023-09-28.
        // Night: WDFW statewide shellfish gear rules, 'General gear rules', page undated.
        (
            "us-wa",
            "puget-sound",
            "dungeness",
            &[
                "size notch/seen, min 6 1/4 in = 158.75 mm/seen",
                "sex males-only/seen",
                "shell hard-only/seen",
                "parts whole-only/seen",
                "limit 5/seen per person/memory and day",
                "season by-order/seen",
                "season closed night 60 60 (from a vessel)/seen",
                "record at-once/seen",
                "record by-date/seen",
            ],
        ),
        // The same reminder: 5 in, either sex, hard shell; 6 in the rule change of 2023-09-28.
        (
            "us-wa",
            "puget-sound",
            "red-rock",
            &[
                "size notch/seen, min 5 in = 127 mm/seen",
                "sex either/seen",
                "shell hard-only/seen",
                "limit 6/seen per person/memory and day",
            ],
        ),
        // WDFW notices 2019 by press: 4 1/2 in, either sex; 6 in the rule change of 2023-09-28.
        (
            "us-wa",
            "puget-sound",
            "tanner",
            &[
                "size ?/unknown, min 4 1/2 in = 114.3 mm/memory",
                "sex either/memory",
                "limit 6/seen per person/memory and day",
            ],
        ),
        // WSR 04-13-023, purpose statement, filed 2004-06-07.
        ("us-wa", "statewide", "tanner", &["limit 6/seen per ?/unknown and day"]),
        // WDFW Grays Harbor (Area 2-2), rules table, page undated; landmark from the leaflet of 2010.
        (
            "us-wa",
            "grays-harbor",
            "dungeness",
            &[
                "size notch/seen, min 6 in = 152.4 mm/seen",
                "sex males-only/seen",
                "shell hard-only/seen",
                "limit 6/seen per person/seen and day",
                "season open 12-01..09-15 (pots)/seen",
                "season open/seen",
            ],
        ),
        // The same table: 5 in, either sex, 6; no landmark on the page.
        (
            "us-wa",
            "grays-harbor",
            "red-rock",
            &[
                "size not-stated/seen, min 5 in = 127 mm/seen",
                "sex either/seen",
                "limit 6/seen per person/seen and day",
            ],
        ),
        // WDFW pamphlet, coast: from an unofficial excerpt of 2005/06. Season: WAC 220-56-330 (2), old.
        (
            "us-wa",
            "coast",
            "dungeness",
            &[
                "size notch/memory, min 6 in = 152.4 mm/memory",
                "sex males-only/memory",
                "limit 6/memory per person/memory and day",
                "season open 12-01..09-15 (pots)/seen",
                "record not-required/memory",
            ],
        ),
        (
            "us-wa",
            "coast",
            "red-rock",
            &["size notch/memory, min 5 in = 127 mm/memory", "limit 6/memory per person/memory and day"],
        ),
        // WDFW pamphlet, Columbia River: from an unofficial excerpt of 2005/06. Pots: rule change 2015-09-29.
        (
            "us-wa",
            "columbia-river",
            "dungeness",
            &[
                "size notch/memory, min 5 3/4 in = 146.05 mm/memory",
                "limit 12/memory per person/memory and day",
                "season open (pots)/seen",
            ],
        ),
        // WDFW rule change, 'Additional information', 2023-09-28: closed for the rest of 2023.
        (
            "us-wa",
            "hood-canal-south-and-13",
            "dungeness",
            &["season closed 2023-09-28..2023-12-31/seen", "size notch/seen, min 6 1/4 in = 158.75 mm/seen"],
        ),
        // WDFW Reel Life, June 2025, p. 40.
        ("us-wa", "statewide", "green", &["take forbidden/seen"]),
    ]);
}

#[test]
fn oregon() {
    check(&[
        // OAR 635-039-0090, not read; press of 2011 quoting the agency.
        (
            "us-or",
            "ocean-bays-estuaries",
            "dungeness",
            &[
                "size notch/memory, min 5 3/4 in = 146.05 mm/memory",
                "sex males-only/memory",
                "limit 12/memory per ?/unknown and day",
            ],
        ),
        (
            "us-or",
            "ocean-bays-estuaries",
            "red-rock",
            &[
                "size ?/unknown, min none/memory",
                "sex either/memory",
                "limit 24/memory per ?/unknown and day",
            ],
        ),
        // Oregon Sport Fishing Regulations, marine zone, not read.
        ("us-or", "ocean", "dungeness", &["season closed 10-16..11-30/memory"]),
        ("us-or", "bays-estuaries", "dungeness", &["season open/memory"]),
        (
            "us-or",
            "statewide",
            "green",
            &[
                "take allowed/memory",
                "limit 35/memory per ?/unknown and day",
                "invasive keep may, put back must-not, report not-stated/memory",
            ],
        ),
    ]);
}

/// Cal. Code Regs. tit. 14 s 29.85 (copy current through 2024-11-01), subsection beside each row.
#[test]
fn california() {
    check(&[
        // (b)(5) size in front of the points; (b)(3) ten; (b) no sex rule.
        (
            "us-ca",
            "ocean",
            "dungeness",
            &[
                "size notch/seen, min 5 3/4 in = 146.05 mm/seen",
                "sex either/seen",
                "limit 10/seen per ?/unknown and day",
            ],
        ),
        // (b)(2)(A) and (B).
        ("us-ca", "north-counties", "dungeness", &["season open 11-sat1..07-30/seen"]),
        ("us-ca", "other-counties", "dungeness", &["season open 11-sat1..06-30/seen"]),
        // (c)(3) and (c)(1)-(2).
        (
            "us-ca",
            "ocean",
            "rock",
            &["size widest/seen, min 4 in = 101.6 mm/seen", "limit 35/seen per ?/unknown and day"],
        ),
        ("us-ca", "districts-8-and-9", "rock", &["size not-stated/seen, min none/seen"]),
        // (b)(1).
        ("us-ca", "san-francisco-bays", "dungeness", &["take forbidden/seen"]),
    ]);
}

/// Fisheries and Oceans Canada, Pacific Region: crabs and crabbing, size and sex paragraphs, page undated.
#[test]
fn british_columbia() {
    check(&[
        (
            "ca-bc",
            "tidal",
            "dungeness",
            &[
                "size tips/seen, min 165 mm = 165 mm/seen",
                "sex males-only/seen",
                "limit ?/unknown per ?/unknown and day",
            ],
        ),
        ("ca-bc", "tidal", "red-rock", &["size tips/seen, min 115 mm = 115 mm/seen", "sex males-only/seen"]),
    ]);
}

#[test]
fn alaska() {
    check(&[
        // ADF&G Dungeness crab management, first paragraph, page undated; landmark 5 AAC 75.995 not read.
        (
            "us-ak",
            "statewide",
            "dungeness",
            &["size notch/memory, min 6 1/2 in = 165.1 mm/seen", "sex males-only/seen"],
        ),
        // ADF&G Southeast personal use Tanner crab: size, bag and season lines, page undated.
        (
            "us-ak",
            "southeast-personal",
            "tanner",
            &[
                "size not-stated/seen, min 5 1/2 in = 139.7 mm/seen",
                "sex males-only/seen",
                "limit 30/seen per ?/unknown and day",
                "limit 30/seen per ?/unknown and possession",
                "season open 07-01..06-15/seen",
            ],
        ),
        // ADF&G field guide to king crab, Prince William Sound, 'How to determine size', 2008.
        (
            "us-ak",
            "pws-subsistence",
            "golden-king",
            &[
                "size tips/seen, min 7 in = 177.8 mm/seen",
                "sex males-only/seen",
                "limit 3/seen per household/seen and year",
            ],
        ),
        ("us-ak", "pws-subsistence", "red-king", &["take forbidden/seen"]),
        // 5 AAC 02.620 (1), (4), amended through 2004-12-01.
        (
            "us-ak",
            "bering-sea-subsistence",
            "king",
            &[
                "limit 6/seen per ?/unknown and day",
                "limit 6/seen per ?/unknown and possession",
                "season open 06-01..01-31/seen",
            ],
        ),
        // ADF&G Southcentral sport fishing regulations, not read.
        ("us-ak", "southcentral", "dungeness", &["season closed/memory"]),
        ("us-ak", "southeast-sport", "dungeness", &["limit ?/unknown per ?/unknown and day"]),
    ]);
}

/// Source: WDFW news release, winter cards due 1 February (January 2024): the winter card of 2023 covered 5 September to
/// 31 December; summer card: June to Labor Day (card page, undated), the first Monday of September: 4 September 2023 and
/// 7 September 2026 (GNU cal).
#[test]
fn the_record_of_puget_sound_names_its_card() {
    use jiff::civil::{Date, date};
    use shellspan::day::book::Names;
    use shellspan::day::record::Card;
    use shellspan::day::{Book, CrabEntry, Id, Moment, StepName, What};
    use shellspan::session::words::duty_words;

    let line = |day: Date, kind: &str| {
        let (mut book, mut names) = (Book::default(), Names { seed: 3, given: 0 });
        let crab = CrabEntry::kept(Some(kind), Id::first_person(), Moment { day, clock: None });
        let row = (names.draw(), What::Crab(Box::new(crab)));
        book.step(&mut names, StepName::Kept, day, vec![row]);
        let rule = std::rc::Rc::new(super::saying::rule("us-wa", "puget-sound", kind));
        let days = book.double_check(day, &|_| Some(rule.clone()), &|_, _| None);
        let line = days[0].lines[0].clone();
        (duty_words(&line), line.card)
    };
    for (day, card) in [
        (date(2023, 6, 1), "summer card"),
        (date(2023, 9, 4), "summer card"),
        (date(2023, 9, 5), "winter card"),
        (date(2023, 12, 31), "winter card"),
        (date(2026, 9, 7), "summer card"),
        (date(2026, 9, 8), "winter card"),
    ] {
        let (words, found) = line(day, "dungeness");
        assert_eq!(found, Card::Named(card.to_owned()), "{day}");
        assert_eq!(words, format!("Goes on the official record: {card}."));
    }
    for day in [date(2026, 5, 31), date(2026, 1, 1)] {
        let (words, found) = line(day, "dungeness");
        assert_eq!(found, Card::NoneOnDay, "{day}");
        assert!(words.contains("No card is known for this day"), "{words}");
    }
    // The card is for Dungeness.
    assert_eq!(line(date(2026, 7, 15), "red-rock").1, Card::Unnamed);
}

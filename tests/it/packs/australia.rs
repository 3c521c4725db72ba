//! Australia.

use super::check;

#[test]
fn new_south_wales_and_queensland() {
    check(&[
        // NSW DPI: measuring fish, crabs and lobsters, March 2023: length. Size: press of 2021-03-04.
        (
            "au-nsw",
            "nsw",
            "blue-swimmer",
            &[
                "size length/seen, min 6.5 cm = 65 mm/memory",
                "limit 10/memory per ?/unknown and day",
                "eggs release/memory",
            ],
        ),
        // NSW DPI saltwater bag and size limits, not read.
        (
            "au-nsw",
            "nsw",
            "mud",
            &["size length/seen, min 8.5 cm = 85 mm/memory", "limit 5/memory per ?/unknown and day"],
        ),
        ("au-nsw", "nsw", "spanner", &["size length/seen"]),
        // Queensland DAF: how to measure your catch, undated; sizes by press, c. 2008; Declaration 2019 not read.
        (
            "au-qld",
            "tidal",
            "mud",
            &[
                "size widest/seen, min 15 cm = 150 mm/memory",
                "sex males-only/seen",
                "limit ?/unknown per ?/unknown and possession",
            ],
        ),
        (
            "au-qld",
            "tidal",
            "blue-swimmer",
            &[
                "size notch/seen, min 11.5 cm = 115 mm/memory",
                "sex males-only/seen",
                "limit ?/unknown per ?/unknown and possession",
            ],
        ),
        ("au-qld", "tidal", "spanner", &["size length/seen, min 10 cm = 100 mm/memory"]),
    ]);
}

#[test]
fn western_and_south_australia() {
    check(&[
        // Western Australia fisheries rules: crab, blue swimmer, page undated: size, bag, boat, closure.
        (
            "au-wa",
            "western-australia",
            "blue-swimmer",
            &["size tips/seen, min 127 mm = 127 mm/seen", "eggs release/seen"],
        ),
        (
            "au-wa",
            "swan-canning-cockburn",
            "blue-swimmer",
            &[
                "limit 5/seen per person/memory and day",
                "limit 20/seen per boat/seen and day",
                "season ?/unknown",
            ],
        ),
        (
            "au-wa",
            "west-coast",
            "blue-swimmer",
            &["limit 10/seen per person/memory and day", "limit 20/seen per boat/seen and day"],
        ),
        (
            "au-wa",
            "geographe-bay",
            "blue-swimmer",
            &[
                "limit 10/seen per person/memory and day",
                "limit[female] 5/seen per person/memory and day",
                "limit 20/seen per boat/seen and day",
                "limit[female] 10/seen per boat/seen and day",
            ],
        ),
        (
            "au-wa",
            "other-bioregions",
            "blue-swimmer",
            &["limit 20/seen per person/memory and day", "limit 40/seen per boat/seen and day"],
        ),
        // Pilbara News, 2016-03-02.
        (
            "au-wa",
            "western-australia",
            "green-mud",
            &[
                "size widest/memory, min 150 mm = 150 mm/memory",
                "limit 5/memory per person/memory and day with brown-mud",
                "limit 10/memory per boat/memory and day with brown-mud",
            ],
        ),
        ("au-wa", "western-australia", "brown-mud", &["size widest/memory, min 120 mm = 120 mm/memory"]),
        // PIRSA Fish Facts, December 2017, reviewed 2017-11-02: from the base of the largest spines.
        (
            "au-sa",
            "south-australia",
            "blue-swimmer",
            &[
                "size notch/seen, min 11 cm = 110 mm/seen",
                "limit 20/seen per person/seen and day with sand",
                "limit 60/seen per boat/seen and day with sand (three or more aboard)",
                "eggs release/seen",
            ],
        ),
    ]);
}

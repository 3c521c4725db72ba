//! The British Isles, Ireland and the European Union.

use super::check;

#[test]
fn england() {
    check(&[
        // S.I. 2000/2029 article 2(1), as at 2020-12-31: landmark; 130 mm by Kent and Essex IFCA, undated.
        ("uk-eng", "england", "brown", &["size widest/seen"]),
        // The byelaws of the districts, which may ask more, were not read: an unknown size stands beside.
        (
            "uk-eng",
            "outside-eastern",
            "brown",
            &["size widest/seen, min 130 mm = 130 mm/seen", "size widest/seen, min ?/unknown"],
        ),
        // Kent and Essex IFCA, lobsters and crabs, undated; Eastern IFCA byelaws 6 and 7, undated.
        (
            "uk-eng",
            "eastern",
            "brown",
            &[
                "size widest/seen, min 115 mm = 115 mm/seen",
                "eggs release/seen",
                "shell hard-only/seen",
                "parts whole-only/seen",
            ],
        ),
        (
            "uk-eng",
            "ices-7d",
            "brown",
            &["size widest/seen, min 140 mm = 140 mm/seen", "size widest/seen, min ?/unknown"],
        ),
        // Southern IFCA, minimum sizes table, older: 14.0 cm; spider as width, velvet as length.
        (
            "uk-eng",
            "southern",
            "brown",
            &["size widest/seen, min 14.0 cm = 140 mm/seen", "size widest/seen, min ?/unknown"],
        ),
        (
            "uk-eng",
            "southern",
            "spider",
            &[
                "size[male] ?/unknown, min 130 mm = 130 mm/seen",
                "size[female] ?/unknown, min 120 mm = 120 mm/seen",
            ],
        ),
        ("uk-eng", "southern", "velvet", &["size ?/unknown, min 65 mm = 65 mm/seen"]),
        // S.I. 2000/1502 and S.I. 1989/919, figures not read.
        (
            "uk-eng",
            "england",
            "spider",
            &[
                "size[male] length/memory, min 130 mm = 130 mm/memory",
                "size[female] length/memory, min 120 mm = 120 mm/memory",
            ],
        ),
        ("uk-eng", "england", "velvet", &["size notch/memory, min 65 mm = 65 mm/memory"]),
        // Defra blog, 2025-12-11: 160 and 150 mm by licence condition, for commercial vessels only.
        (
            "uk-eng",
            "south-west",
            "brown",
            &["size[male] widest/seen, min ?/unknown", "size[female] widest/seen, min ?/unknown"],
        ),
        // Cornwall IFCA, shellfish permit byelaw, undated.
        ("uk-eng", "cornwall", "brown", &["limit 5/seen per boat/seen and day with spider"]),
        ("uk-eng", "other-districts", "brown", &["size widest/seen, min ?/unknown"]),
    ]);
}

#[test]
fn wales_scotland_northern_ireland() {
    check(&[
        // S.I. 2015/2076 (W. 312), article 2 (read) and article 3 (not read).
        ("uk-wls", "wales", "brown", &["size widest/seen, min ?/unknown"]),
        (
            "uk-wls",
            "wales",
            "spider",
            &[
                "size[male] length/seen, min 130 mm = 130 mm/memory",
                "size[female] length/seen, min 120 mm = 120 mm/memory",
            ],
        ),
        ("uk-wls", "wales", "velvet", &["size notch/seen, min 65 mm = 65 mm/memory"]),
        // Byelaw 30(1), undated.
        (
            "uk-wls",
            "former-north-district",
            "brown",
            &["limit 5/seen per ?/unknown and day with spider+velvet"],
        ),
        // S.S.I. 2017/57 articles 2, 5; outcome report of January 2017.
        (
            "uk-sct",
            "except-shetland",
            "brown",
            &[
                "size widest/memory, min 150 mm = 150 mm/memory",
                "limit 5/seen per boat/seen and day with green+spider+velvet",
            ],
        ),
        ("uk-sct", "scotland", "brown", &["size ?/unknown, min ?/unknown"]),
        ("uk-sct", "scotland", "velvet", &["size notch/memory, min 70 mm = 70 mm/seen", "eggs release/seen"]),
        ("uk-sct", "scotland", "spider", &["size[male] length/seen, min ?/unknown"]),
        // S.S.I. 2016/50 article 5, in force 2016-03-07.
        ("uk-sct", "orkney", "green", &["size tips/seen, min 70 mm = 70 mm/seen"]),
        // Edible Crabs (Conservation) (Amendment) Regulations (N. Ireland) 2023, note, 2023-02-10; eggs: 2020,
        // regulation 4. Limit and record: DAERA consultation, undated.
        (
            "uk-nir",
            "northern-ireland",
            "brown",
            &[
                "size widest/seen, min 150 mm = 150 mm/seen",
                "eggs release/seen",
                "shell hard-only/seen",
                "limit 5/seen per boat/memory and day",
                "record not-required/seen",
            ],
        ),
    ]);
}

#[test]
fn islands_ireland_and_the_union() {
    check(&[
        // States of Jersey scrutiny comments P.41/2019, 2019-05-13: proposed.
        ("je", "jersey", "brown", &["size widest/memory, min 150 mm = 150 mm/memory"]),
        // Report of an Isle of Man notice, 2021-08-12.
        ("im", "isle-of-man", "brown", &["size widest/memory, min 140 mm = 140 mm/memory"]),
        // Marine Times, May 2023; SFPA reminder, list, undated.
        (
            "ie",
            "ireland",
            "brown",
            &[
                "size widest/memory, min 140 mm = 140 mm/memory",
                "limit 5/seen per ?/unknown and day with brown+spider+velvet",
                "season open 05-01..09-30 (pots)/seen",
            ],
        ),
        (
            "ie",
            "ireland",
            "spider",
            &[
                "size[male] length/memory, min 130 mm = 130 mm/memory",
                "size[female] length/memory, min 125 mm = 125 mm/memory",
            ],
        ),
        ("ie", "ireland", "velvet", &["size not-stated/memory, min 65 mm = 65 mm/memory"]),
        // Regulation (EU) 2019/1241, annexes V-VII, not read.
        ("eu", "regulation-2019-1241", "brown", &["size widest/memory, min ?/unknown"]),
        ("eu", "regulation-2019-1241", "spider", &["size length/memory, min 120 mm = 120 mm/memory"]),
        ("eu", "regulation-2019-1241", "velvet", &["size ?/unknown, min 65 mm = 65 mm/memory"]),
    ]);
}

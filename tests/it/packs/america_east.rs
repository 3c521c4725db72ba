//! The Atlantic coast and the Gulf.

use super::check;

#[test]
fn maryland() {
    check(&[
        // COMAR 08.02.03 size limits, not read (5 in, from 15 July 5 1/4 in; peelers 3 1/4, then 3 1/2 in).
        // Soft: Md. Code, Natural Resources 4-809(a)(1), undated copy. Sex and limits: COMAR 08.02.03.10 A,
        // through 2025-03-21. Wednesday: COMAR 08.02.03.14 A(1)-(2), page undated.
        (
            "us-md",
            "chesapeake-bay",
            "blue",
            &[
                "size[male hard 04-01..07-14] tips/memory, min 5 in = 127 mm/memory",
                "size[male hard 07-15..12-31] tips/memory, min 5 1/4 in = 133.35 mm/memory",
                "size[soft] tips/seen, min 3 1/2 in = 88.9 mm/seen",
                "size[male peeler 04-01..07-14] tips/memory, min 3 1/4 in = 82.55 mm/memory",
                "size[male peeler 07-15..12-31] tips/memory, min 3 1/2 in = 88.9 mm/memory",
                "sex[hard peeler] males-only/seen",
                "sex[soft] either/seen",
                "eggs release/memory",
                "limit[male hard] 24/seen per person/seen and day (unlicensed person)",
                "limit[soft peeler] 12/seen per person/seen and day (unlicensed person)",
                "limit[male hard] 1 bushel/seen per container/seen and day (licensed person, male hard crabs kept in a bushel)",
                "limit[male hard] 72/seen per person/seen and day (licensed person, not kept in a bushel)",
                "limit[soft peeler] 24/seen per person/seen and day (licensed person)",
                "limit 24/seen per boat/seen and day (one unlicensed person aboard)",
                "limit 48/seen per boat/seen and day (two or more unlicensed persons aboard)",
                "limit 1 bushel/seen per boat/seen and day (one licensed person aboard, kept in a bushel)",
                "limit 72/seen per boat/seen and day (one licensed person aboard, not kept in a bushel)",
                "limit 2 bushels/seen per boat/seen and day (two or more licensed persons aboard, kept in bushels)",
                "limit 144/seen per boat/seen and day (two or more licensed persons aboard, not kept in bushels)",
                "season closed wednesday (all gear but pots from private property, dip nets and handlines)/seen",
            ],
        ),
        // COMAR 08.02.03, coastal bays, not read.
        (
            "us-md",
            "coastal-bays",
            "blue",
            &[
                "size[male hard] tips/memory, min 5 in = 127 mm/memory",
                "size[immature hard] tips/memory, min 5 in = 127 mm/memory",
                "size[mature] tips/memory, min none/memory",
                "limit 1 bushel/memory per person/memory and day",
                "limit 2 bushels/memory per boat/memory and day (two or more persons aboard)",
            ],
        ),
        // Md. Code, Natural Resources 4-809(c), undated copy.
        ("us-md", "statewide", "blue", &["size[mature] not-stated/seen, min none/seen"]),
        // COMAR 08.02.03, not read: from 1 April to mid-December, the end set by public notice.
        ("us-md", "statewide", "blue", &["season closed 01-01..03-31/memory", "season by-order/memory"]),
    ]);
}

#[test]
fn virginia() {
    check(&[
        // Code 28.2-708, 4VAC20-270-55 and -670-25, not read; eggs: 4VAC20-370-15 and -20 D, 2024-11-23, of
        // which the period and the colour were read and the effect was not.
        (
            "us-va",
            "tidal",
            "blue",
            &[
                "size[male hard] tips/memory, min 5 in = 127 mm/memory",
                "size[immature hard] tips/memory, min 5 in = 127 mm/memory",
                "size[mature hard] tips/memory, min none/memory",
                "size[peeler 03-17..07-15] tips/memory, min 3 1/4 in = 82.55 mm/memory",
                "size[peeler 07-16..11-30] tips/memory, min 3 1/2 in = 88.9 mm/memory",
                "size[soft] tips/memory, min 3 1/2 in = 88.9 mm/memory",
                "limit[hard] 1 bushel/memory per person/memory and day",
                "limit[peeler] 24/memory per person/memory and day",
                "eggs[03-17..06-15] release-when-dark/memory",
                "eggs[06-16..03-16] may-be-kept/memory",
            ],
        ),
    ]);
}

#[test]
fn delaware_new_jersey_new_york() {
    check(&[
        // 7 Del. C. 2301, undated copy.
        (
            "us-de",
            "statewide",
            "blue",
            &[
                "size[male hard] tips/seen, min 5 in = 127 mm/seen",
                "size[immature hard] tips/seen, min 5 in = 127 mm/seen",
                "size[mature hard] not-stated/seen, min none/seen",
                "size[soft] tips/seen, min 3 1/2 in = 88.9 mm/seen",
                "size[peeler] tips/seen, min 3 in = 76.2 mm/seen",
                "limit 1 bushel/memory per ?/unknown and day",
                "eggs release/memory",
            ],
        ),
        // Trade-press print of the 2021 digest.
        (
            "us-nj",
            "statewide",
            "blue",
            &[
                "size[hard] tips/memory, min 4 1/2 in = 114.3 mm/memory",
                "size[soft] tips/memory, min 3 1/2 in = 88.9 mm/memory",
                "size[peeler] tips/memory, min 3 in = 76.2 mm/memory",
                "limit 1 bushel/memory per person/memory and day",
            ],
        ),
        // N.J. Admin. Code 7:25-14.11 (c) and (a), amended to 49 N.J.R. 1681(a).
        ("us-nj", "statewide", "jonah", &["limit 50/seen per person/seen and day"]),
        ("us-nj", "newark-bay", "blue", &["take forbidden/seen"]),
        // 6 NYCRR 44.2(a)(4) landmark, undated; sizes 44.2(d) not read; ECL 13-0331(1), 2026-01-01 text, and (5).
        (
            "us-ny",
            "marine-district",
            "blue",
            &[
                "size[hard] tips/seen, min 4 1/2 in = 114.3 mm/memory",
                "size[soft] tips/seen, min 3 1/2 in = 88.9 mm/memory",
                "size[peeler] tips/seen, min 3 in = 76.2 mm/memory",
                "limit 50/seen per person/seen and day",
                "eggs release-also-when-removed/seen",
            ],
        ),
        ("us-ny", "marine-district", "jonah", &["size tips/seen, min 4 3/4 in = 120.65 mm/memory"]),
    ]);
}

#[test]
fn new_england() {
    check(&[
        // R.I. Gen. Laws 20-7-16, P.L. 1981; the regulation is believed to have 5 in.
        (
            "us-ri",
            "statewide",
            "blue",
            &[
                "size tips/seen, min 4 1/8 in = 104.775 mm/seen",
                "size tips/memory, min 5 in = 127 mm/memory",
                "eggs release-also-when-removed/seen",
            ],
        ),
        // Massachusetts DMF commercial table, note 1, 2017-09-20; recreational only on a town's page.
        (
            "us-ma",
            "coastal",
            "blue",
            &[
                "size tips/seen, min 5 in = 127 mm/memory",
                "limit 25/memory per ?/unknown and day",
                "eggs release/memory",
            ],
        ),
        ("us-ma", "coastal", "jonah", &["size not-stated/seen, min ?/unknown"]),
        // N.H. Admin. Code Fis 607.06 (a), (c), (d), (e), (f), current through 2024-12-12.
        (
            "us-nh",
            "state",
            "jonah",
            &[
                "size widest/seen, min none/memory",
                "eggs release/seen",
                "parts whole-only/seen",
                "limit 50/seen per ?/unknown and day with atlantic-rock (personal use, with a licence)",
                "limit 12/seen per ?/unknown and day with atlantic-rock (by angling, diving or hand, without a licence)",
            ],
        ),
        // 50 CFR 697.17 and 697.20, not read.
        (
            "us-federal",
            "eez-maine-virginia",
            "jonah",
            &[
                "size tips/memory, min 4.75 in = 120.65 mm/memory",
                "limit 50/memory per person/memory and day",
                "eggs release/memory",
            ],
        ),
    ]);
}

#[test]
fn north_carolina() {
    check(&[
        // N.C. DEQ release of 2020-04-17: 5 in for mature females, no immature ones. 15A NCAC 03L .0201 not
        // read. DMF note F, older: dark sponge crabs in April.
        (
            "us-nc",
            "coastal",
            "blue",
            &[
                "size[male hard] tips/memory, min 5 in = 127 mm/memory",
                "size[mature hard] tips/memory, min 5 in = 127 mm/seen, max ?/unknown",
                "sex[hard] no-immature-females/seen",
                "eggs[04-01..04-30] release-when-dark/seen",
                "limit 50/memory per person/memory and day",
                "limit 100/memory per boat/memory and day",
                "season by-order/memory",
            ],
        ),
        // 15A NCAC 03L .0208 (1)-(5), effective 2006-12-01.
        (
            "us-nc",
            "coastal",
            "stone",
            &[
                "size claw/seen, min 2 3/4 in = 69.85 mm/seen",
                "parts claws-only/seen",
                "season closed 06-15..08-15/seen",
                "eggs release/seen",
            ],
        ),
    ]);
}

#[test]
fn gulf() {
    check(&[
        // F.A.C. 68B-13 and 68B-45, not read.
        (
            "us-fl",
            "state-federal",
            "stone",
            &[
                "size claw/memory, min 2 7/8 in = 73.025 mm/memory",
                "parts claws-only/memory",
                "season open 10-15..05-01/memory",
                "limit 1 gallon of claws/memory per person/memory and day",
                "limit 2 gallons of claws/memory per boat/memory and day",
            ],
        ),
        (
            "us-fl",
            "state",
            "blue",
            &[
                "size ?/unknown, min none/memory",
                "limit 10 gallons whole/memory per person/memory and day",
                "eggs release/memory",
            ],
        ),
        // LDWF recreational crabbing, older page: eggs, traps at night; size and limit from press of 2017.
        (
            "us-la",
            "statewide",
            "blue",
            &[
                "size ?/unknown, min none/memory",
                "limit 144/memory per person/memory and day",
                "eggs release/seen",
                "season closed night 30 30 (crab traps)/seen",
            ],
        ),
        ("us-la", "statewide", "stone", &["size claw/seen, min ?/unknown", "parts ?/unknown"]),
        // 31 Texas Admin. Code 57, rule on crabs, (a)(2), (a)(3)(A)-(D), undated.
        (
            "us-tx",
            "coastal",
            "blue",
            &[
                "size tips/seen, min 5 in = 127 mm/seen",
                "limit unlimited/seen per ?/unknown and day",
                "eggs release/seen",
            ],
        ),
        (
            "us-tx",
            "coastal",
            "stone",
            &["size claw/seen, min 2 1/2 in = 63.5 mm/seen", "parts right-claw-only/seen"],
        ),
    ]);
}

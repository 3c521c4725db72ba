//! The guide and its sheet: every line of the rule, in the order of a practised hand, with source and date.

use super::*;

/// The check at which a group hears of a topic; none for what is settled after the crab.
fn asked_at(topic: rules::Topic) -> Option<Check> {
    use rules::Topic;
    let checks = [
        (Check::Kind, &[Topic::Take, Topic::Invasive][..]),
        (Check::Season, &[Topic::Season]),
        (Check::Sex, &[Topic::Sex]),
        (Check::Eggs, &[Topic::Eggs]),
        (Check::Shell, &[Topic::Shell]),
        (Check::Claws, &[Topic::Parts]),
        (Check::Size, &[Topic::MinSize, Topic::MaxSize, Topic::Dimension, Topic::Landmarks]),
    ];
    checks.into_iter().find(|(_, topics)| topics.contains(&topic)).map(|(check, _)| check)
}

/// Every line of every rule stands in just one step of its guide, with its source.
#[test]
fn the_guide_leaves_nothing_of_the_rule_out() {
    let mut lines = 0;
    for file in fs::read_dir(root().join("www/rules")).expect("the packs") {
        let path = file.expect("an entry").path();
        let Ok(pack) = rules::read_pack(&fs::read_to_string(&path).expect("a text")) else { continue };
        for entry in rules::search(std::slice::from_ref(&pack), "") {
            for kind in &entry.species {
                let rule = RuleInForce::find(&pack, &entry.choice.area, kind).expect("a rule");
                let steps = guide(&rule);
                for line in rule.lines() {
                    let holds = steps.iter().filter(|step| {
                        step.rule.iter().any(|says| {
                            says.words == line.words
                                && says.source == line.source
                                && says.about == line.topic.noun()
                                && says.doubt.is_none() == (line.mark == rules::Mark::Seen)
                        })
                    });
                    let found: Vec<Option<Check>> = holds.map(|step| step.check).collect();
                    assert_eq!(found, [asked_at(line.topic)], "{} {kind}: {}", entry.choice.area, line.words);
                    lines += 1;
                }
            }
        }
    }
    assert!(lines > 1000, "{lines} lines were read");
}

#[test]
fn the_guide_asks_in_the_order_of_a_practised_hand() {
    let pack = rules::built_in_pack();
    let rule = RuleInForce::find(&pack, "puget-sound", "dungeness").expect("a rule");
    let steps = guide(&rule);
    let asked: Vec<Option<Check>> = steps.iter().map(|step| step.check).collect();
    // Nothing in Puget Sound depends on whether a female is mature.
    let wanted = Check::ALL.into_iter().filter(|check| *check != Check::Maturity).map(Some).chain([None]);
    assert_eq!(asked, wanted.collect::<Vec<_>>());
    let of = |check: Check| steps.iter().find(|step| step.check == Some(check)).expect("a step");
    assert!(of(Check::Size).rule.iter().any(|says| says.words.contains("6 1/4")));
    for (check, words) in [
        (Check::Sex, "males only"),
        (Check::Shell, "hard shells only"),
        (Check::Claws, "whole crabs only"),
        (Check::Season, "weekdays"),
    ] {
        assert!(of(check).rule.iter().any(|says| says.words.contains(words)), "{check:?} without {words:?}");
    }
    let after = steps.last().expect("limit and record");
    for words in ["5 crabs per person", "catch record card"] {
        assert!(after.rule.iter().any(|says| says.words.contains(words)), "without {words:?}");
    }
    assert_eq!(of(Check::Size).dimensions, [rules::MeasuredDimension::Notch]);
    // A kind is told by its own marks: no tooth is asked for where the edge has none.
    assert!(of(Check::Kind).how.contains("tenth, last tooth"));
    let england = rules::read_pack(&text("www/rules/uk-eng.json")).expect("a pack");
    let area = rules::search(std::slice::from_ref(&england), "")
        .into_iter()
        .find(|entry| entry.species.iter().any(|kind| kind == "brown"))
        .expect("brown crabs are caught there");
    let brown = guide(&RuleInForce::find(&england, &area.choice.area, "brown").expect("a rule"));
    assert!(brown[0].how.contains("pie crust") && !brown[0].how.contains("tooth"), "{}", brown[0].how);
    let delaware = rules::read_pack(&text("www/rules/us-de.json")).expect("a pack");
    let asks = rules::search(std::slice::from_ref(&delaware), "").iter().any(|entry| {
        entry.species.iter().any(|kind| {
            let rule = RuleInForce::find(&delaware, &entry.choice.area, kind).expect("a rule");
            guide(&rule).iter().any(|step| step.check == Some(Check::Maturity))
        })
    });
    assert!(asks, "in Delaware mature females have no smallest size");
}

#[test]
fn the_sheet_says_the_rule_its_sources_and_its_date() {
    let pack = rules::built_in_pack();
    let mut rule = RuleInForce::find(&pack, "puget-sound", "dungeness").expect("a rule");
    let day = jiff::civil::date(2026, 7, 15);
    let sheet = sheet::sheet(&rule, &guide(&rule), day, day);
    for line in rule.lines() {
        for words in [&line.words, &line.source] {
            assert!(sheet.contains(&html::escaped(words)), "{words}");
        }
    }
    for source in rule.sources.values() {
        assert!(sheet.contains(&html::escaped(&source.address)), "{}", source.address);
    }
    for words in ["2026-07-15", &rule.checked.to_string(), NOT_LEGAL_ADVICE, "from memory: look it up"] {
        assert!(sheet.contains(words), "{words}");
    }
    // Words of a person's own pack are no markup.
    rule.species_name = "<b>crab</b>".into();
    assert!(!sheet::sheet(&rule, &guide(&rule), day, day).contains("<b>"));
}

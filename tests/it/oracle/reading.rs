//! One crab judged by the JSON of a pack.

use jiff::civil::Date;
use serde_json::Value;
use shellspan::decide::{Answer, Answers, Eggs, GaugeReading, LicenceWord, Parts};
use shellspan::rules::when::{Maturity, Sex, Stage};
use shellspan::terms::Dimension;

use super::json::{in_span, is_known, is_seen, items, text};
use super::times::times;

/// One crab, with the JSON of the pack it is judged by.
pub struct Reading<'a> {
    pub pack: &'a Value,
    pub area: &'a str,
    pub kind: &'a str,
    pub date: Date,
    pub answers: &'a Answers,
    pub width: Option<(f64, f64, Dimension)>,
    pub gauge: Option<GaugeReading>,
    pub kept: u32,
    pub licence: LicenceWord,
    pub aboard: &'a [LicenceWord],
}

/// Holds, does not, or is still to be asked.
#[derive(Clone, Copy, PartialEq)]
enum Holds {
    Yes,
    No,
    Asked,
}

impl Reading<'_> {
    fn area(&self, id: &str) -> &Value {
        items(self.pack, "areas").iter().find(|area| text(area, "id") == id).expect("an area")
    }

    fn chain(&self, id: &str) -> Vec<&Value> {
        let mut chain = vec![self.area(id)];
        while let Some(around) = chain.last().and_then(|area| area.get("within")).and_then(Value::as_str) {
            chain.push(self.area(around));
        }
        chain
    }

    /// The facts of each rule that speaks of the kind: its own before any crab's, the innermost first.
    fn rules(&self, id: &str) -> Vec<&Value> {
        let chain = self.chain(id);
        [self.kind, "any-crab"]
            .iter()
            .flat_map(|wanted| {
                chain
                    .iter()
                    .flat_map(|area| items(area, "rules"))
                    .filter(move |rule| text(rule, "species") == *wanted)
            })
            .map(|rule| &rule["facts"])
            .collect()
    }

    fn facts(&self, topic: &str) -> &[Value] {
        let rules = self.rules(self.area);
        rules.into_iter().map(|facts| items(facts, topic)).find(|facts| !facts.is_empty()).unwrap_or_default()
    }

    fn holds(&self, of: &Value) -> Holds {
        let Some(when) = of.get("when") else { return Holds::Yes };
        if when.get("days").is_some_and(|days| !in_span(days, self.date)) {
            return Holds::No;
        }
        let given = |answer: Option<String>, wanted: Vec<&str>| match answer {
            _ if wanted.is_empty() => Holds::Yes,
            None => Holds::Asked,
            Some(answer) if wanted.contains(&answer.as_str()) => Holds::Yes,
            Some(_) => Holds::No,
        };
        let name = |debug: String| debug.to_lowercase();
        let wanted_maturity: Vec<&str> = when.get("maturity").and_then(Value::as_str).into_iter().collect();
        let mut wanted_sex: Vec<&str> = when.get("sex").and_then(Value::as_str).into_iter().collect();
        if !wanted_maturity.is_empty() && wanted_sex.is_empty() {
            wanted_sex.push("female");
        }
        let stages: Vec<&str> = items(when, "stage").iter().filter_map(Value::as_str).collect();
        let all = [
            given(self.answers.sex.given().map(|sex| name(format!("{sex:?}"))), wanted_sex),
            given(self.answers.maturity.given().map(|found| name(format!("{found:?}"))), wanted_maturity),
            given(self.answers.shell.given().map(|stage| name(format!("{stage:?}"))), stages),
        ];
        if all.contains(&Holds::No) {
            Holds::No
        } else if all.contains(&Holds::Asked) {
            Holds::Asked
        } else {
            Holds::Yes
        }
    }

    /// The facts of a topic that hold; `None` where one of them is still to be asked.
    fn holding(&self, topic: &str) -> Option<Vec<&Value>> {
        let facts = self.facts(topic).iter().map(|fact| (fact, self.holds(fact)));
        let found: Vec<_> = facts.filter(|(_, holds)| *holds != Holds::No).collect();
        if found.iter().any(|(_, holds)| *holds == Holds::Asked) {
            return None;
        }
        Some(found.into_iter().map(|(fact, _)| fact).collect())
    }

    pub fn may_be_kept(&self) -> bool {
        let is_named = self
            .chain(self.area)
            .iter()
            .flat_map(|area| items(area, "rules"))
            .any(|rule| text(rule, "species") == self.kind);
        is_named
            && self.answers.kind.given().is_some()
            && self.taken()
            && self.in_season()
            && self.within_limits()
            && self.sex()
            && self.eggs()
            && self.shell()
            && self.parts()
            && self.size()
    }

    fn taken(&self) -> bool {
        let invasive = self.facts("invasive").iter().filter(|fact| is_known(fact));
        let may = |fact: &Value| is_seen(fact) && ["may", "must"].contains(&text(&fact["value"], "keep"));
        let mut takes = self.holding("take");
        invasive.clone().all(may)
            && takes
                .take()
                .is_some_and(|takes| takes.iter().all(|fact| is_seen(fact) && fact["value"] == "allowed"))
    }

    fn in_season(&self) -> bool {
        let checked: Date = text(self.pack, "checked").parse().expect("a date");
        let days = (self.date - checked).get_days();
        let is_stale = !(-365..=365).contains(&days);
        let season: Vec<&[Value]> =
            self.rules(self.area).iter().map(|facts| items(facts, "season")).collect();
        let (closed, mut open) = times(&season, self.date);
        open &= !is_stale;
        // Parts with times of their own, or in which the kind may not be taken.
        let mut closed_parts = 0;
        for part in items(self.pack, "areas").iter().filter(|part| text(part, "id") != self.area) {
            let is_within = self.chain(text(part, "id")).iter().any(|area| text(area, "id") == self.area);
            let speaks = items(part, "rules").iter().any(|rule| {
                [self.kind, "any-crab"].contains(&text(rule, "species"))
                    && !(items(&rule["facts"], "season").is_empty()
                        && items(&rule["facts"], "take").is_empty())
            });
            if !is_within || !speaks {
                continue;
            }
            let rules = self.rules(text(part, "id"));
            let layers: Vec<&[Value]> = rules.iter().map(|facts| items(facts, "season")).collect();
            let takes = rules.iter().map(|facts| items(facts, "take")).find(|takes| !takes.is_empty());
            let is_forbidden =
                takes.unwrap_or_default().iter().any(|fact| is_seen(fact) && fact["value"] == "forbidden");
            let (is_closed, is_open) = times(&layers, self.date);
            closed_parts += usize::from(is_closed || is_forbidden);
            open &= is_open && !is_forbidden;
        }
        // Which part is meant is not said by a word on the whole water.
        let closed = closed || closed_parts > 0;
        !closed
            && (open || self.answers.open == Answer::Given(true))
            && self.answers.open != Answer::Given(false)
    }

    /// Whether a limit for some only is the person's; `None`: who would know that is not here.
    fn is_theirs(&self, limit: &Value) -> Option<bool> {
        let by = limit.get("by_licence")?;
        let own = [self.licence];
        let asked = by.get("aboard").and_then(Value::as_str);
        let words: &[LicenceWord] = if asked.is_some() { self.aboard } else { &own };
        let is_count = match asked {
            None => true,
            Some("one") => words.len() == 1,
            Some(_) => words.len() > 1,
        };
        let licensed = words.iter().filter(|word| **word == LicenceWord::Held).count();
        let without = words.iter().filter(|word| **word == LicenceWord::NotHeld).count();
        let (right, wrong) = if by["licence"] == "held" { (licensed, without) } else { (without, licensed) };
        if words.is_empty() {
            None
        } else if wrong == words.len() {
            Some(false)
        } else if right == words.len() {
            if !is_count {
                Some(false)
            } else if by["and_more"] == true {
                None
            } else {
                Some(true)
            }
        } else {
            None
        }
    }

    fn within_limits(&self) -> bool {
        self.facts("limits").iter().all(|limit| {
            let amount = &limit["amount"];
            let Some(most) =
                amount.pointer("/value/crabs").and_then(Value::as_u64).filter(|_| is_known(amount))
            else {
                return true;
            };
            let holds = self.holds(amount);
            if holds == Holds::No {
                return true;
            }
            let (kept, holder) = (u64::from(self.kept), &limit["holder"]);
            let is_of_a_thing = is_known(holder) && ["container", "gear"].contains(&text(holder, "value"));
            let theirs = if limit.get("condition").is_some() { self.is_theirs(limit) } else { Some(true) };
            if theirs == Some(false) {
                return true;
            }
            if theirs.is_none() {
                // For some only: whether for this person, nobody knows here. Their own catch counts whoever holds it.
                let is_counted = !is_of_a_thing && limit["per"] != "year";
                let is_licensed = limit.pointer("/by_licence/licence").is_some_and(|asked| asked == "held");
                let is_firm = kept == 0 || !is_licensed || is_seen(amount);
                return !is_counted || (kept < most && holds == Holds::Yes && is_firm);
            }
            if most == 0 {
                return false;
            }
            if !is_known(holder) {
                return kept < most || limit["per"] == "year";
            }
            if limit.get("condition").is_some() && holder["value"] != "person" {
                return kept < most || is_of_a_thing || limit["per"] == "year";
            }
            let is_counted = holder["value"] == "person" && limit["per"] != "year";
            !is_counted || (kept < most && holds == Holds::Yes && (kept == 0 || is_seen(amount)))
        })
    }

    fn sex(&self) -> bool {
        let Some(facts) = self.holding("sex") else { return false };
        let (sex, maturity) = (self.answers.sex.given(), self.answers.maturity.given());
        if facts.is_empty() {
            return sex == Some(&Sex::Male);
        }
        facts.iter().all(|fact| match (text(fact, "value"), sex) {
            _ if !is_known(fact) => false,
            ("females-only", Some(Sex::Male)) => false,
            (_, Some(Sex::Male)) => true,
            ("either", _) => is_seen(fact),
            (_, None) | ("males-only", _) => false,
            ("no-immature-females", _) => is_seen(fact) && maturity == Some(&Maturity::Mature),
            ("no-mature-females", _) => is_seen(fact) && maturity == Some(&Maturity::Immature),
            _ => is_seen(fact),
        })
    }

    fn eggs(&self) -> bool {
        let is_male = self.answers.sex == Answer::Given(Sex::Male);
        let eggs = match self.answers.eggs {
            Answer::Given(Eggs::None) => return true,
            Answer::Unanswered => return is_male,
            Answer::NotSure => return false,
            Answer::Given(eggs) => eggs,
        };
        let Some(facts) = self.holding("eggs") else { return false };
        let known: Vec<&&Value> = facts.iter().filter(|fact| is_known(fact)).collect();
        !is_male
            && !known.is_empty()
            && known.iter().all(|fact| {
                let allows = match text(fact, "value") {
                    "may-be-kept" => true,
                    "release-when-dark" => eggs == Eggs::Light,
                    _ => false,
                };
                allows && is_seen(fact)
            })
    }

    fn shell(&self) -> bool {
        let stage = self.answers.shell.given();
        let Some(facts) = self.holding("shell") else { return false };
        if facts.is_empty() {
            let has_size = |stage: &Stage| {
                let name = format!("{stage:?}").to_lowercase();
                self.facts("sizes").iter().any(|size| {
                    size.get("when")
                        .is_some_and(|when| items(when, "stage").iter().any(|known| *known == name.as_str()))
                })
            };
            return stage.is_some_and(|stage| *stage == Stage::Hard || has_size(stage));
        }
        facts.iter().all(|fact| match text(fact, "value") {
            _ if !is_known(fact) => false,
            "any" => is_seen(fact) || stage == Some(&Stage::Hard),
            _ => stage == Some(&Stage::Hard),
        })
    }

    fn parts(&self) -> bool {
        let Some(facts) = self.holding("parts") else { return false };
        let kept = self.answers.parts.given();
        facts.iter().all(|fact| match (text(fact, "value"), kept) {
            _ if !is_known(fact) => false,
            ("any", _) => true,
            ("whole-only", kept) => kept == Some(&Parts::Whole),
            ("right-claw-only", kept) => kept == Some(&Parts::RightClaw) && is_seen(fact),
            (_, kept) => kept.is_some_and(|kept| *kept != Parts::Whole) && is_seen(fact),
        })
    }

    fn size(&self) -> bool {
        let Some(sizes) = self.holding("sizes") else { return false };
        !sizes.is_empty() && sizes.iter().all(|size| self.one_size(size))
    }

    fn one_size(&self, size: &Value) -> bool {
        let bounds: Vec<(&str, &Value)> =
            ["min", "max"].into_iter().filter_map(|key| Some((key, size.get(key)?))).collect();
        if bounds.is_empty() || !bounds.iter().all(|(_, bound)| is_seen(bound)) {
            return false;
        }
        let figure = |bound: &Value| {
            let exact = bound.pointer("/value/at/exact").and_then(Value::as_str)?;
            let (number, unit) = exact.split_once(' ').expect("a number and a unit");
            let (over, under) = number.split_once('/').unwrap_or((number, "1"));
            let number = over.parse::<f64>().expect("a number") / under.parse::<f64>().expect("a number");
            Some(
                number
                    * match unit {
                        "in" => 25.4,
                        "cm" => 10.0,
                        _ => 1.0,
                    },
            )
        };
        let figures: Vec<(&str, f64)> =
            bounds.iter().filter_map(|(key, bound)| Some((*key, figure(bound)?))).collect();
        if figures.is_empty() {
            return true;
        }
        let dimension = &size["dimension"];
        let named = if is_seen(dimension) { text(dimension, "value") } else { "not-stated" };
        if named == "not-stated" {
            return false;
        }
        let least = figures.iter().find(|(key, _)| *key == "min").map_or(f64::NEG_INFINITY, |(_, at)| *at);
        let most = figures.iter().find(|(key, _)| *key == "max").map_or(f64::INFINITY, |(_, at)| *at);
        // The chance that the crab is of size by the photo, where that shows the distance that the rule names.
        let by_photo = self.width.and_then(|(mean, u, measured)| {
            let is_named = format!("{measured:?}").to_lowercase() == named;
            is_named.then(|| normal_between((least - mean) / u, (most - mean) / u))
        });
        // A gauge decides unless a photo says that the crab is not of size.
        let is_contradicted = by_photo.is_some_and(|chance| chance < 0.1);
        match self.gauge {
            // A gauge's word tells nothing of a largest size.
            Some(GaugeReading::OfSize) => figures.iter().all(|(key, _)| *key == "min") && !is_contradicted,
            Some(GaugeReading::NotOfSize) => false,
            Some(GaugeReading::Reads(length)) => {
                let reads = length.millimetres().0;
                // No crab is wider than 300 mm or narrower than 15.
                let is_crabs = (15.0..=300.0).contains(&reads);
                least <= reads && reads <= most && is_crabs && !is_contradicted
            }
            None => by_photo.is_some_and(|chance| chance >= 0.99),
        }
    }
}

/// Share of the normal distribution between two z, by the trapezium rule in 4000 steps of 9 sigma to either side.
fn normal_between(from: f64, to: f64) -> f64 {
    let (from, to) = (from.clamp(-9.0, 9.0), to.clamp(-9.0, 9.0));
    let steps = 4000;
    let width = (to - from).max(0.0) / f64::from(steps);
    let density = |z: f64| (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
    let inner: f64 = (1..steps).map(|step| density(from + width * f64::from(step))).sum();
    width * (inner + 0.5 * (density(from) + density(to)))
}

//! A water with one rule, made for a test, and a crab in it.

use jiff::civil::Date;
use serde_json::{Value, json};
use shellspan::decide::{
    Answer, Answers, Call, Case, CatchSoFar, Finding, GaugeReading, LocalClock, MeasuredWidth, Outcome, Risk,
    decide,
};
use shellspan::rules::when::{Sex, Stage};
use shellspan::rules::{self, Pack, RuleInForce};
use shellspan::terms::Dimension;

pub fn seen(value: Value) -> Value {
    json!({ "value": value, "mark": "seen", "source": "s" })
}

pub fn at_least(size: &str, dimension: &str, when: Value) -> Value {
    let min = seen(json!({ "at": { "exact": size, "published": size } }));
    let mut rule = json!({ "dimension": seen(json!(dimension)), "min": min });
    if !when.is_null() {
        rule["when"] = when;
    }
    rule
}

/// One area with one rule of `facts` for `species`.
pub fn water(species: &str, facts: Value) -> Pack {
    let text = json!({
        "format": 1, "id": "test", "country": "Test", "jurisdiction": "TEST", "name": "Test",
        "checked": "2026-06-01", "sources": { "s": { "title": "A source", "year": 2026 } },
        "areas": [{
            "id": "here", "name": "Here", "place": { "latitude_deg": 48.12, "longitude_deg": -122.76 },
            "rules": [{ "species": species, "facts": facts }]
        }]
    });
    rules::read_pack(&text.to_string()).unwrap_or_else(|mistakes| panic!("{mistakes:?}"))
}

pub struct Crab {
    pub answers: Answers,
    pub measured: Option<MeasuredWidth>,
    pub gauge: Option<GaugeReading>,
    pub catch: CatchSoFar,
    pub date: Date,
    pub clock: Option<LocalClock>,
}

pub fn day(month: i8, day: i8) -> Date {
    Date::new(2026, month, day).expect("a date")
}

/// A hard male of `kind`, `mm` wide across `dimension`, from a water that the person looked up: open.
pub fn male(kind: &str, mm: f64, dimension: Dimension) -> Crab {
    Crab {
        answers: Answers {
            kind: Answer::Given(kind.to_owned()),
            sex: Answer::Given(Sex::Male),
            shell: Answer::Given(Stage::Hard),
            open: Answer::Given(true),
            ..Answers::default()
        },
        measured: Some(MeasuredWidth::normal(mm, 0.5, dimension)),
        gauge: None,
        catch: CatchSoFar::default(),
        date: day(7, 4),
        clock: None,
    }
}

impl Crab {
    pub fn decide(&self, pack: &Pack) -> Outcome {
        self.look(pack, decide)
    }

    pub fn look<T>(&self, pack: &Pack, look: impl FnOnce(&Case<'_>) -> T) -> T {
        let kind = self.answers.kind.given().expect("a kind");
        let rule = RuleInForce::find(pack, "here", kind).expect("the area");
        look(&Case {
            rule: &rule,
            date: self.date,
            clock: self.clock,
            answers: &self.answers,
            measured: self.measured.as_ref(),
            gauge: self.gauge.as_ref(),
            catch: &self.catch,
            confirmations: &[],
            risk: Risk::default(),
        })
    }

    #[track_caller]
    pub fn call(&self, pack: &Pack) -> Call {
        let outcome = self.decide(pack);
        outcome.verdict().unwrap_or_else(|| panic!("still open: {outcome:?}")).call()
    }

    #[track_caller]
    pub fn deciding(&self, pack: &Pack) -> Finding {
        self.decide(pack).verdict().expect("settled").reasons()[0].finding.clone()
    }
}

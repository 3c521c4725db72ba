//! What a rule pack says of a measured crab: the rule in force and its size, through `decide`.

use std::path::Path;

use jiff::civil::Date;
use serde_json::{Value, json};
use shellspan::decide::{
    Answer, Answers, Call, Case, CatchSoFar, CitedRule, Finding, MeasuredWidth, Outcome, Reason, Risk,
    SizeAlone, decide, photo_dimension, size_alone,
};
use shellspan::report::Report;
use shellspan::rules::pack::ANY_CRAB;
use shellspan::rules::species::HeightPrior;
use shellspan::rules::{
    Cited, Mark, Pack, Report as Checked, RuleInForce, Topic, built_in_species, on_one_line, read_pack_bytes,
};
use shellspan::terms::Dimension;

use crate::file::read_pack;

/// The rule in force for one kind of crab, in one area, on one day.
pub struct Ruling {
    rule: RuleInForce,
    date: Date,
    answers: Answers,
    catch: CatchSoFar,
}

/// What the report lists of a size.
const SIZE_TOPICS: [Topic; 4] = [Topic::MinSize, Topic::MaxSize, Topic::Dimension, Topic::Landmarks];

/// What a ruling says of one measured width.
pub struct Ruled {
    /// Probability that the width conforms, were every figure confirmed; `None` where a photo cannot tell.
    conformity: Option<f64>,
    /// `keep`, `release` or `gauge`; `None` where without a width nothing is settled.
    verdict: Option<&'static str>,
    /// The `rule` of the report.
    rule: Value,
    /// The same for a person, one line each.
    lines: Vec<String>,
}

impl Ruled {
    /// Puts it on the report; gives the lines for a person.
    pub fn put_on(self, report: &mut Report) -> Vec<String> {
        report.conformity = self.conformity;
        report.verdict = self.verdict.map(str::to_owned);
        report.rule = Some(self.rule);
        self.lines
    }
}

impl Ruling {
    /// Reads the pack and finds the rule; otherwise what is wrong, all of it.
    pub fn load(file: &Path, area: &str, species: &str, date: Date) -> Result<Self, String> {
        let name = file.display().to_string();
        let bytes = read_pack(file)?;
        let pack = read_pack_bytes(&bytes).map_err(|mistakes| Checked::Mistaken(mistakes).to_text(&name))?;
        if !is_known(&pack, species) {
            let kinds: Vec<String> =
                pack.species.iter().cloned().chain(built_in_species()).map(|info| info.id).collect();
            let told = format!("{name}: no kind is called `{species}`. One of: {}", kinds.join(", "));
            return Err(on_one_line(&told) + "\n");
        }
        let rule = RuleInForce::find(&pack, area, species).ok_or_else(|| {
            let areas: Vec<&str> = pack.areas.iter().map(|area| area.id.as_str()).collect();
            on_one_line(&format!("{name}: no area is called `{area}`. One of: {}", areas.join(", "))) + "\n"
        })?;
        let answers = Answers { kind: Answer::Given(species.to_owned()), ..Answers::default() };
        Ok(Self { rule, date, answers, catch: CatchSoFar::default() })
    }

    /// The distance that the rule measures, where a photo can.
    pub fn dimension(&self) -> Option<Dimension> {
        photo_dimension(&self.case(&self.rule, None))
    }

    /// The height prior of the kind, the pack's own before the general one.
    pub fn height_prior(&self) -> Option<HeightPrior> {
        self.rule.species_info.as_ref().map(|info| info.height_prior())
    }

    /// Decides a width, or what holds without one. What was not answered stays open: then the size alone is
    /// judged, and says so.
    pub fn of(&self, measured: Option<&MeasuredWidth>) -> Ruled {
        let case = self.case(&self.rule, measured);
        let (verdict, decided_by, reasons, open, notices) = match decide(&case) {
            Outcome::Settled(verdict) => {
                let reasons: Vec<Reason> = verdict.reasons().to_vec();
                (Some(call_word(verdict.call())), Some("rule"), reasons, None, verdict.notices().to_vec())
            }
            Outcome::Open { next, notices } if measured.is_none() => {
                (None, None, Vec::new(), Some(next), notices)
            }
            Outcome::Open { next, mut notices } => {
                let (found, more) = size_alone(&case);
                notices
                    .extend(more.into_iter().filter(|notice| !notices.contains(notice)).collect::<Vec<_>>());
                let (verdict, reasons, open) = match found {
                    SizeAlone::OfSize(reason) => ("keep", vec![reason], next),
                    SizeAlone::NotOfSize(reason) => ("release", vec![reason], next),
                    SizeAlone::Undecided(reason) => ("gauge", vec![reason], next),
                    SizeAlone::Needs(check) => ("gauge", Vec::new(), check),
                };
                (Some(verdict), Some("size-alone"), reasons, Some(open), notices)
            }
        };
        let mut sentences: Vec<String> = reasons.iter().map(Reason::sentence).collect();
        if let (true, true, Some(check)) = (reasons.is_empty(), measured.is_some(), open) {
            sentences.push(format!("The size that holds depends on a check: {}", check.question()));
        }
        let cited = reasons.iter().find_map(|reason| reason.rule.as_ref());
        let warnings: Vec<String> = notices.iter().map(|notice| notice.sentence()).collect();
        let facts: Vec<Value> = self
            .rule
            .lines()
            .into_iter()
            .filter(|line| SIZE_TOPICS.contains(&line.topic))
            .map(|line| {
                json!({ "about": line.about, "words": line.words, "mark": line.mark, "source": line.source })
            })
            .collect();
        let mut lines = sentences.clone();
        lines.extend(cited.map(CitedRule::citation));
        lines.extend(warnings.iter().cloned());
        lines.extend(open.map(|check| format!("Still to be checked: {}", check.question())));
        let lines: Vec<String> = lines.iter().map(|line| on_one_line(line)).collect();
        let rule = json!({
            "pack": self.rule.pack,
            "area": self.rule.area,
            "area_name": self.rule.area_name,
            "species": self.rule.species,
            "date": self.date.to_string(),
            "checked": self.rule.checked.to_string(),
            "decided_by": decided_by,
            "reasons": sentences,
            "words": cited.map(|cited| cited.words.clone()),
            "mark": cited.map(|cited| cited.mark),
            "source": cited.and_then(|cited| cited.source.clone()),
            "sizes": facts,
            "open_check": open,
            "warnings": warnings,
        });
        Ruled { conformity: measured.and_then(|measured| self.probability(measured)), verdict, rule, lines }
    }

    fn case<'a>(&'a self, rule: &'a RuleInForce, measured: Option<&'a MeasuredWidth>) -> Case<'a> {
        Case {
            rule,
            date: self.date,
            clock: None,
            answers: &self.answers,
            measured,
            gauge: None,
            catch: &self.catch,
            confirmations: &[],
            risk: Risk::default(),
        }
    }

    /// The chance of being of size if the figures are right, whatever their marks: never a verdict.
    fn probability(&self, measured: &MeasuredWidth) -> Option<f64> {
        fn trust<T>(fact: &mut Cited<T>) {
            if fact.mark == Mark::Memory {
                fact.mark = Mark::Seen;
            }
        }
        let mut trusted = self.rule.clone();
        for size in &mut trusted.facts.sizes {
            trust(&mut size.dimension);
            size.min.iter_mut().chain(size.max.iter_mut()).for_each(trust);
        }
        match size_alone(&self.case(&trusted, Some(measured))).0 {
            SizeAlone::OfSize(reason) | SizeAlone::NotOfSize(reason) | SizeAlone::Undecided(reason) => {
                match reason.finding {
                    Finding::SizeByPhoto { probability, .. } => Some(probability),
                    _ => None,
                }
            }
            SizeAlone::Needs(_) => None,
        }
    }
}

fn is_known(pack: &Pack, species: &str) -> bool {
    species != ANY_CRAB && pack.species.iter().chain(&built_in_species()).any(|info| info.id == species)
}

fn call_word(call: Call) -> &'static str {
    match call {
        Call::Keep => "keep",
        Call::Release => "release",
        Call::Gauge => "gauge",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use shellspan::decide::PointsHint;

    fn puget_sound() -> Ruling {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("www/rules/us-wa.json");
        let date = Date::new(2026, 7, 4).expect("a date");
        Ruling::load(&file, "puget-sound", "dungeness", date).unwrap_or_else(|mistakes| panic!("{mistakes}"))
    }

    /// Source: 165 mm between the tips is about 154 mm between the notches (B. D. Smith, UBC thesis 1988).
    #[test]
    fn points_that_look_like_the_tips_are_no_keeper() {
        let measured = MeasuredWidth::normal(165.0, 1.0, Dimension::Notch);
        assert_eq!(puget_sound().of(Some(&measured)).verdict, Some("keep"));
        let ruled = puget_sound().of(Some(&measured.with_hint(Some(PointsHint::NearTips))));
        assert_eq!(ruled.verdict, Some("gauge"));
        assert!(ruled.rule["warnings"].to_string().contains("look like the tips"), "{}", ruled.rule);
    }

    #[test]
    fn without_a_width_the_rule_is_still_told() {
        let ruled = puget_sound().of(None);
        assert_eq!((ruled.verdict, ruled.conformity), (None, None));
        assert!(ruled.rule["decided_by"].is_null() && ruled.rule["sizes"][0]["words"].is_string());
    }
}

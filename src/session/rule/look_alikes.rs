//! Kinds that are taken for one that may be kept, where no rule is for them.

use super::RuleBook;
use crate::rules::{SpeciesInfo, species};

impl RuleBook {
    /// Kinds that are taken for one of the chosen area, and that none of its rules names.
    pub fn look_alikes(&self) -> Vec<SpeciesInfo> {
        let kinds = self.kinds();
        let mut found: Vec<SpeciesInfo> = Vec::new();
        let infos = kinds.iter().filter_map(|kind| self.rule_of(kind)?.species_info);
        for info in infos.flat_map(|info| info.look_alikes).filter_map(|id| species(&id)) {
            if !kinds.contains(&info.id) && !found.contains(&info) {
                found.push(info);
            }
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use crate::decide::{Call, Verdict};
    use crate::session::tests::{after, start};
    use crate::session::{Action, Plain, Reply, Session};

    fn named(session: &Session) -> Vec<String> {
        session.rules.look_alikes().into_iter().map(|info| info.id).collect()
    }

    /// Puget Sound: the graceful crab is taken for a Dungeness crab (Plate Watch leaflet, in the table of species), and
    /// Washington's rules name it nowhere; "only Dungeness, red rock and Tanner crab may be kept" (WDFW pamphlet, from
    /// memory). Red rock and green crab have rules of their own there.
    #[test]
    fn a_look_alike_without_a_rule_is_told_and_never_kept() {
        assert_eq!(named(&start()), ["graceful"]);
        for kind in ["graceful", "other"] {
            let told =
                after(start(), [Action::Reply(Reply::Season(true)), Action::Reply(Reply::Kind(kind.into()))]);
            let gauged = Plain::EitherKeeper.crab(Some(kind.into())).gauge.expect("of size");
            let gauged = told.apply(Action::Reply(Reply::Gauge(gauged)));
            for session in [told, gauged] {
                let call = session.outcome().and_then(|outcome| outcome.verdict().map(Verdict::call));
                assert_eq!(call, Some(Call::Release), "{kind}");
            }
        }
        assert_eq!(named(&Session::new(start().today)), [""; 0], "without a water nothing is told");
    }
}

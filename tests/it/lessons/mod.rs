//! Every lesson: each fact with its source, few words, drawings that tell, and figures as the rest of the house has them.

mod guided;
mod numbers;
mod weight;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use shellspan::card::ID1_MM;
use shellspan::decide::Check;
use shellspan::decide::size::conformity::{Risk, normal_cdf};
use shellspan::decide::words::NOT_LEGAL_ADVICE;
use shellspan::lessons::check::{WORDS_ON_A_SCREEN, drawings, facts, lesson_schema_text, words};
use shellspan::lessons::diagram;
use shellspan::lessons::{Lesson, Listed, Mistake, Part, Stand, guide, lesson_of, mistakes};
use shellspan::lessons::{html, sheet};
use shellspan::rules::facts::Bound;
use shellspan::rules::{self, RuleInForce};
use shellspan::terms::Placement;
use shellspan::width::HeightPrior;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn text(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn names(ending: &str) -> BTreeSet<String> {
    let entries = fs::read_dir(root().join("www/lessons")).expect("the lessons are part of the source");
    let files = entries.map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned());
    files.filter_map(|file| file.strip_suffix(ending).map(str::to_owned)).collect()
}

fn lesson(name: &str) -> Lesson {
    serde_json::from_str(&text(&format!("www/lessons/{name}.json")))
        .unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// Every lesson, in the order of teaching.
fn lessons() -> Vec<(String, Lesson)> {
    let list: Vec<Listed> = serde_json::from_str(&text("www/lessons/index.json")).expect("the list");
    list.into_iter()
        .map(|listed| {
            let found = lesson(&listed.name);
            assert_eq!(found.title, listed.title, "{}", listed.name);
            (listed.name, found)
        })
        .collect()
}

#[test]
fn every_lesson_keeps_the_frame() {
    for (name, lesson) in lessons() {
        assert_eq!(mistakes(&lesson), Vec::new(), "{name}");
    }
}

#[test]
fn the_list_names_every_lesson_once() {
    let listed: Vec<String> = lessons().into_iter().map(|(name, _)| name).collect();
    let mut files = names(".json");
    assert!(files.remove("index") && files.remove("schema"));
    assert_eq!(listed.iter().cloned().collect::<BTreeSet<_>>(), files);
    assert_eq!(listed.len(), files.len(), "one stands twice");
}

/// Run with `SHELLSPAN_WRITE=1` to write the file anew.
#[test]
fn the_published_schema_is_that_of_the_types() {
    let now = lesson_schema_text();
    if std::env::var_os("SHELLSPAN_WRITE").is_some() {
        fs::write(root().join("www/lessons/schema.json"), &now).expect("written");
    }
    assert!(
        text("www/lessons/schema.json") == now,
        "www/lessons/schema.json is old: run with SHELLSPAN_WRITE=1"
    );
}

#[test]
fn every_check_leads_to_its_lesson() {
    for (check, word) in [
        (Check::Kind, "kinds"),
        (Check::Season, "Before you go"),
        (Check::Sex, "female"),
        (Check::Maturity, "female"),
        (Check::Eggs, "eggs"),
        (Check::Shell, "soft"),
        (Check::Claws, "Claws"),
        (Check::Size, "points"),
    ] {
        let title = lesson(lesson_of(check)).title;
        assert!(title.contains(word), "{check:?} leads to {title:?}");
    }
    assert_eq!(Check::ALL.len(), 8);
}

#[test]
fn the_screens_come_in_the_order_of_the_frame() {
    for (name, lesson) in lessons() {
        let looks = lesson.look.len();
        let parts: Vec<Part> = (0..lesson.screens()).map(|at| lesson.screen(at).part).collect();
        let mut wanted = vec![Part::What, Part::Why];
        wanted.extend(std::iter::repeat_n(Part::Look, looks));
        wanted.extend([Part::Feel, Part::Trap, Part::TryIt]);
        assert_eq!(parts, wanted, "{name}");
        let said: Vec<&str> = (0..lesson.screens()).flat_map(|at| lesson.screen(at).says).collect();
        let screens =
            [&lesson.what, &lesson.why].into_iter().chain(&lesson.look).chain([&lesson.feel, &lesson.trap]);
        let all = screens.flat_map(|screen| screen.facts.iter().map(|fact| fact.says.as_str()));
        assert_eq!(said, all.chain([lesson.try_it.task.as_str()]).collect::<Vec<_>>(), "{name}");
        let answers: Vec<_> = (0..lesson.screens()).filter_map(|at| lesson.screen(at).answer).collect();
        assert_eq!(answers, [&lesson.try_it.answer], "{name}");
    }
}

#[test]
fn where_a_fact_is_from_can_be_read_beside_it() {
    for (name, lesson) in lessons() {
        for fact in facts(&lesson) {
            let line = lesson.origin(fact);
            match lesson.sources.get(&fact.from) {
                Some(source) => {
                    for part in [&source.title, &source.publisher, &source.date, &source.address] {
                        assert!(line.contains(part.as_str()), "{name}: {line}");
                    }
                }
                None => assert_eq!(line, "Common practice.", "{name}"),
            }
        }
    }
}

#[test]
fn every_drawing_is_there_and_has_a_lesson() {
    let own = names(".svg");
    let shown: BTreeSet<String> =
        lessons().iter().flat_map(|(_, lesson)| drawings(lesson)).map(|drawn| drawn.name.clone()).collect();
    assert!(own.is_subset(&shown), "no lesson shows {:?}", own.difference(&shown));
    for name in &shown {
        assert!(drawing(name).is_some(), "{name}");
    }
}

/// The text of a drawing: beside the lessons, or one of the page's own.
fn drawing(name: &str) -> Option<String> {
    let mut open =
        ["www/lessons", "src/page/drawings", "www/drawings"].map(|folder| root().join(folder)).to_vec();
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).into_iter().flatten() {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                open.push(path);
            } else if path.file_name().is_some_and(|file| *file == *format!("{name}.svg")) {
                return Some(fs::read_to_string(path).expect("a text"));
            }
        }
    }
    None
}

#[test]
fn a_written_lesson_holds_every_word_and_every_drawing() {
    for (name, lesson) in lessons() {
        let written = html::written(&lesson, drawing).expect("every drawing is there");
        let screens: Vec<&str> = written.split(html::NEXT_SCREEN).collect();
        assert_eq!(screens.len(), lesson.screens(), "{name}");
        for (at, screen) in screens.into_iter().enumerate() {
            let (body, folded) = screen.split_once(html::FOLDED).expect("both parts");
            let shown = lesson.screen(at);
            for says in &shown.says {
                assert!(body.contains(&html::shown(says)), "{name} {at}: {says}");
            }
            for fact in &shown.facts {
                assert!(folded.contains(&html::shown(&lesson.origin(fact))), "{name} {at}: {}", fact.from);
            }
            if let Some(answer) = shown.answer {
                let (_, hidden) = body.split_once("<details").expect("the answer is folded away");
                assert!(hidden.contains(&html::shown(&answer.says)), "{name}");
            }
            assert_eq!(body.matches("<svg").count(), usize::from(shown.drawing.is_some()), "{name} {at}");
            if let Some(drawn) = shown.drawing {
                let told = format!("role=\"img\" aria-label=\"{}\"", html::escaped(&drawn.shows));
                assert!(body.contains(&told), "{name} {at}");
            }
            assert_eq!(body.ends_with(html::DIAGRAM), shown.diagram, "{name} {at}");
        }
    }
    let lesson = lesson("gauge");
    assert_eq!(html::written(&lesson, |_| None), Err(html::NoDrawing("gauge_passes".into())));
    assert_eq!(html::escaped("a < b & \"c\" > d"), "a &lt; b &amp; &quot;c&quot; &gt; d");
}

fn changed(edit: impl FnOnce(&mut Lesson)) -> Vec<Mistake> {
    let mut lesson = lesson("hard-or-soft");
    edit(&mut lesson);
    mistakes(&lesson)
}

#[test]
fn the_check_sees_each_mistake() {
    let no_source = changed(|lesson| lesson.what.facts[0].from = "hearsay".into());
    assert!(matches!(no_source[..], [Mistake::NoSource { .. }, Mistake::UnusedSource(_)]), "{no_source:?}");
    let answer = changed(|lesson| lesson.try_it.answer.from = String::new());
    assert!(matches!(answer[..], [Mistake::NoSource { .. }]), "{answer:?}");
    let bare = changed(|lesson| {
        for source in lesson.sources.values_mut() {
            source.publisher.clear();
        }
    });
    assert_eq!(bare.len(), lesson("hard-or-soft").sources.len(), "{bare:?}");
    let untold =
        changed(|lesson| lesson.look[0].drawing.as_mut().expect("a drawing").shows = "A shell.".into());
    assert!(matches!(untold[..], [Mistake::Untold(_)]), "{untold:?}");
    let empty = changed(|lesson| lesson.trap.facts.clear());
    assert!(empty.contains(&Mistake::Empty(6)), "{empty:?}");
    // Title and heading count; one word less than the limit is fine.
    let wordy = |count: usize| {
        changed(|lesson| {
            lesson.feel.facts[0].says = "word ".repeat(count - words(&lesson.title) - words("Feel"))
        })
    };
    assert!(matches!(wordy(60)[..], [Mistake::Wordy { words: 60, .. }]), "{:?}", wordy(60));
    assert_eq!(wordy(59), Vec::new());
    let long = changed(|lesson| {
        let look = lesson.look[0].clone();
        lesson.look.extend(std::iter::repeat_n(look, 12));
    });
    assert!(matches!(long[..], [Mistake::Long { .. }]), "{long:?}");
}

/// The bound holds wherever the sliders are, the words of the diagram included; and they are counted where it stands.
#[test]
fn the_screen_of_the_sliders_keeps_its_bound_at_every_stand() {
    let lesson = lesson("height");
    let at = (0..lesson.screens()).find(|&at| lesson.screen(at).diagram).expect("a diagram");
    let shown = lesson.screen(at);
    let said: usize = shown.says.iter().map(|says| words(says)).sum();
    let beside = words(&lesson.title) + words(shown.part.words()) + said;
    let [camera, tilt, edge] = diagram::sliders(&diagram::START).map(|slider| slider.range);
    let mut most = 0;
    for camera_mm in [camera[0], diagram::START.camera_mm, camera[1]] {
        for tilt_deg in [tilt[0], diagram::START.tilt_deg, tilt[1]] {
            for edge_mm in [edge[0], diagram::START.edge_mm, edge[1]] {
                let stand = Stand { camera_mm, tilt_deg, edge_mm };
                let shown = diagram::words_shown(&stand);
                assert!(shown > 20, "{stand:?} shows {shown} words");
                most = most.max(shown);
            }
        }
    }
    assert!(beside + most < WORDS_ON_A_SCREEN, "{} words", beside + most);
    // A task of so many words more is too much for the check as well.
    let spare = WORDS_ON_A_SCREEN - beside - diagram::words_shown(&diagram::START);
    let mut wordy = lesson.clone();
    wordy.look[at - 2].facts[0].says += &" word".repeat(spare);
    assert!(matches!(mistakes(&wordy)[..], [Mistake::Wordy { words: 60, .. }]), "{:?}", mistakes(&wordy));
}

/// Whoever asks for a kind by its name is shown what tells it, with its source, wherever a pack names it.
#[test]
fn every_kind_of_every_water_has_a_field_mark_and_a_lesson() {
    // Drawing and words of every screen of the lessons of kinds.
    let mut screens: Vec<(String, String)> = Vec::new();
    for (_, lesson) in lessons().iter().filter(|(name, _)| name.starts_with("kinds")) {
        for shown in (0..lesson.screens()).map(|at| lesson.screen(at)) {
            let drawn = shown.drawing.map(|drawn| drawn.name.clone()).unwrap_or_default();
            screens.push((drawn, shown.says.join(" ").to_lowercase()));
        }
    }
    let taught = |kind: &str| {
        let own = format!("kind_{}", kind.replace('-', "_"));
        let (drawing, word) = match kind {
            "dungeness" => ("tip_light", "dungeness"),
            "rock" | "red-rock" => ("tip_dark", "rock crab"),
            "king" | "red-king" | "blue-king" | "golden-king" => ("kind_king", "king crab"),
            "mud" | "green-mud" | "brown-mud" => ("kind_mud", "mud crab"),
            other => (own.as_str(), other),
        };
        let word = word.replace('-', " ");
        screens.iter().any(|(drawn, says)| drawn == drawing && says.contains(&word))
    };
    let mut kinds = BTreeMap::<String, Vec<String>>::new();
    for file in fs::read_dir(root().join("www/rules")).expect("the packs") {
        let path = file.expect("an entry").path();
        let Ok(pack) = rules::read_pack(&fs::read_to_string(&path).expect("a text")) else { continue };
        // Some kinds only share another's limit and have no rule of their own.
        for own in &pack.species {
            assert!(!own.tell_tales.is_empty(), "{} has no field mark in {}", own.id, path.display());
            kinds
                .entry(own.id.clone())
                .or_insert_with(|| own.tell_tales.iter().map(|mark| mark.value.clone()).collect());
        }
        for entry in rules::search(std::slice::from_ref(&pack), "") {
            for kind in &entry.species {
                let rule = RuleInForce::find(&pack, &entry.choice.area, kind).expect("a rule");
                let marks = rule.species_info.map(|info| info.tell_tales).unwrap_or_default();
                assert!(!marks.is_empty(), "{kind} has no field mark in {}", path.display());
                assert!(marks.iter().all(|mark| mark.source.len() > 8), "{kind} in {}", path.display());
                let words: Vec<String> = marks.into_iter().map(|mark| mark.value).collect();
                let first = kinds.entry(kind.clone()).or_insert_with(|| words.clone());
                assert_eq!(*first, words, "{kind} is told otherwise in {}", path.display());
            }
        }
    }
    assert!(kinds.len() > 18, "{:?}", kinds.keys());
    for kind in kinds.keys() {
        assert!(taught(kind), "no lesson tells {kind}");
    }
}

#[test]
fn what_the_frame_does_not_know_is_refused() {
    let good = text("www/lessons/gauge.json");
    for (from, to) in [
        ("\"feel\"", "\"feels\""),
        ("\"says\"", "\"style\""),
        ("\"title\"", "\"colour\": 1, \"title\""),
        ("\"shows\"", "\"text\""),
    ] {
        let bad = good.replacen(from, to, 1);
        assert!(bad != good && serde_json::from_str::<Lesson>(&bad).is_err(), "{from} to {to} is taken");
    }
}

//! The Yew skin (wasm only): it draws a [`Session`](crate::session::Session) and dispatches actions.
//!
//! `screens` compose `parts`; a hook owns one thing of the browser and gives it back.
//!
//! Elements that tests and style sheets may rely on, by id:
//!
//! | id | what |
//! |---|---|
//! | `screen-day`, `screen-record`, `screen-aboard`, `go-day`, `go-photo`, `go-record`, `go-aboard` | the day, its record, persons and pots |
//! | `day-photo`, `start-checks`, `sort-kind`, `sort-` and: `keeper`, `short`, `female`, `soft`, `eggs`, `other-kind`, `one-claw`, `not-needed` | the crab that comes next |
//! | `crab-in-hand`, `go-on`, `put-away`, `pull-in-hand`, `pull-sorted`, `undo-step`, `overdue`, `to-write` | what is in hand, and what waits |
//! | `person-new`, `person-add`, `person-name-0` (`-licence`, `-aboard`), `pot-label` (`-depth`, `-bottom`, `-bait`, `-due`, `-add`), `pot-set-0`, `pot-pull-0`, `pot-place-0`, `effort` | persons and pots |
//! | `pots-full`, `pots-over` | as many pots are in the water as the rule allows, or more |
//! | `before-pot`, `pots-count`, `gear-facts`, `line-depth`, `line-tide`, `line-scope`, `line-sum`, `pot-current`, `line-across`, `buoy-across`, `buoy-high`, `weight-sum` | before a pot goes over |
//! | `write-0`, `written-0`, `flags-0`, `crabs`, `save-csv`, `save-copy`, `restore-copy`, `copies-said` | the record and copies |
//! | `despite`, `despite-reason`, `despite-0`, `for-kind`, `all-reasons`, `being-written` | at the verdict |
//! | `body[data-day-kept]` | `yes` while the disk has all of the day |
//! | `pick-photo`, `take-photo` | the two file inputs of the start screen |
//! | `sample-0`, `sample-1`, ... | the practice photos |
//! | `screen-practice`, `go-practice`, `practice-heading`, `practice-drawing`, `look-top` (`-belly`, `-edge`, `-claw`, `-joint`, `-back`), `gauge-0-notch` (`-tips`), `practice-kind-` and a species id, `practice-keep`, `practice-release`, `practice-why-kind` (`-sex`, `-eggs`, `-shell`, `-size`), `practice-mark` (`data-right`), `practice-next`, `practice-photo`, `practice-sheet`, `practice-sort`, `practice-seed`, `practice-name` (each with `-do`), `certificate`, `practice-print` | practice |
//! | `right-points`, `points-apart`, `next-practice-photo`, `back-to-practice` | after the points of a practice photo |
//! | `drop-zone` | round the inputs; a file may be dropped or pasted anywhere |
//! | `screen-start`, `screen-measure`, `screen-checks`, `screen-verdict`, `screen-rules` | the screens |
//! | `go-checks`, `go-verdict`, `go-rules` | the ways between them |
//! | `rule-in-force` | water, area, date, source and age of the rule |
//! | `message`, `next-step` | what did not work, and what to do |
//! | `progress`, `cancel` | work in hand |
//! | `photo-wider`, `photo-closer` | how closely the photo is shown |
//! | `photo`, `mark-0`, `mark-1`, `card-outline` | the photo and the marks on it |
//! | `aim`, `aim-set`, `aim-close`, `aim-snap`, `nudge-left` (`-right`, `-up`, `-down`) | the aiming window |
//! | `undo`, `look-again`, `place-points`, `point-card`, `point-shell`, `place-corners` | the tools |
//! | `placement-deck`, `placement-level`, `placement-back` | where the card lies |
//! | `confirm-points`, and once they are `to-checks` or `see-verdict` | the points are right, and the way on |
//! | `strip`, `strip-show-1`, `strip-drop-1`, ... | the photos of this crab |
//! | `both-points`, `piece-0`, `piece-1` | both points magnified |
//! | `one-more`, `one-more-gain`, `more-take`, `more-pick`, `next-view` | one more photo of this crab |
//! | `fit`, `apart`, `card-elsewhere` | how its photos fit |
//! | `width-mm`, `width-u`, `width-inches`, `ruler`, `remedy` | the width |
//! | `asks-kind` (`-sex`, `-maturity`, `-eggs`, `-shell`, `-claws`, `-size`) | the check that is asked |
//! | `answer-` and: a species id, `other`; `male`, `female`; `mature`, `immature`; `eggs-none`, `eggs-light`, `eggs-dark`, `eggs-removed`; `hard`, `soft`, `peeler`; `whole`, `right-claw`, `left-claw`; `season-open`, `season-closed`; `gauge-of-size`, `gauge-too-small`; `not-sure` | answers |
//! | `gauge-reading`, `enter-reading`, `by-photo` | size by caliper, or in a photo |
//! | `check-kind` and so on | goes back to a check |
//! | `season-water` | the water whose season is asked |
//! | `verdict` (`data-call`: `keep`, `release`, `gauge`), `reason-0`, ..., `next-acts`, `landmarks-length` (and others), `notices` | the verdict |
//! | `kept-it` (`kept-it-1` and on with more persons), `kept-today`, `reading-day`, `kept-undo`, `earlier-none-KIND` (`-some`, `-less`, `-more`) | the count of what was kept today, and of earlier days |
//! | `confirm-rule`, `confirm-who`, `confirm-facts` | the person read a figure in the official rule |
//! | `rule-search`, `rule-date`, `area-PACK-AREA`, `rule-kind`, `rule-facts` | the choice of the rule |
//! | `suggest-water`, `suggest-words`, `suggested` | waters near the device, on a tap |
//! | `import-pack`, `pack-mistakes`, `own-rule`, `own-new-water`, `own-water`, `own-min` (`own-min-0` and on where sizes differ), ..., `own-for-all`, `own-take-it`, `own-taken`, `own-mistakes` | rules of one's own |
//! | `screen-learn`, `go-learn`, `lesson-` and a lesson's name, `learn-photos`, `go-guide` | the lessons |
//! | `screen-lesson`, `lesson-back`, `lesson-next`, `lesson-leave`, `lesson-answer`, `learn-this` (at a check) | one lesson, and the way to it from a check |
//! | `diagram`, `stand-camera`, `stand-tilt`, `stand-edge`, `stand-flat`, `stand-one`, `stand-two` | the live diagram of height |
//! | `screen-guide`, `guide-kind`, `guide-rule`, `guide-back`, `guide-next`, `guide-leave`, `guide-print`, `guide-sheet` | the checks for a group, and the printed sheet |
//! | `body[data-late]` | `there` once the second program is |
//! | `body[data-kept]` | `yes` while the disk has all of the crab in hand |
//! | `coming-back`, `not-kept` (`data-code`), `not-kept-seen` | the crab that was in hand before a reload, and what of it is not kept |
//! | `next-crab`, `other-photo` | done with this one |
//! | `theme-sun`, `theme-night`, `vibration` | the switches |
//! | `late-coming`, `late-again` (message `late-missing`) | a screen of the second program, on its way or not to be had |
//! | `offline-state`, `install` | ready without a network, and the browser's offer to install the page |

pub mod app;
pub mod drawings;
pub mod hooks;
pub mod later;
pub mod parts;
pub mod screens;
pub mod store;

/// Draws the page into `#app` and looks after it until the page is closed; `fetch` gives its second program.
pub fn run(fetch: later::Fetch) {
    hooks::panic::show_panics();
    let Some(root) = gloo::utils::document().get_element_by_id("app") else { return };
    root.set_inner_html("");
    yew::Renderer::<app::App>::with_root_and_props(root, app::AppProps { fetch }).render();
}

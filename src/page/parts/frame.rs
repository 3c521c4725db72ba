//! The frame round every screen: name, ways, switches.

use std::rc::Rc;

use jiff::civil::Date;
use yew::prelude::*;

use super::rule::line::RuleLine;
use super::update_bar::UpdateBar;
use crate::page::hooks::device::install::{accept_install, use_install_offer};
use crate::page::hooks::device::offline::use_offline_ready;
use crate::rules::RuleInForce;

use crate::session::{Action, Screen, Settings, Theme};

/// What the frame shows.
#[derive(Properties, PartialEq)]
pub struct FrameProps {
    /// The screen of the moment.
    pub screen: Screen,
    /// A photo is in hand.
    pub has_photo: bool,
    /// Theme and vibration.
    pub settings: Settings,
    /// What was done.
    pub act: Callback<Action>,
    /// What holds at the chosen water.
    pub rule: Option<Rc<RuleInForce>>,
    /// The season on the chosen day, in a few words.
    pub season: AttrValue,
    /// The water in a word or two.
    pub water: AttrValue,
    /// The day of the catch.
    pub date: Date,
    /// Today.
    pub today: Date,
    /// What was kept today, in short.
    pub kept: Option<String>,
    /// The screen.
    pub children: Html,
}

/// Head, screen and foot.
#[component]
pub fn Frame(props: &FrameProps) -> Html {
    let way = |id: &'static str, words: &'static str, screen: Screen, beside: Html| {
        let act = props.act.clone();
        let current = (props.screen == screen).then_some("page");
        html! {
            <button {id} type="button" class="way" aria-current={current}
                onclick={move |_| act.emit(Action::Show(screen))}>{ words }{ beside }</button>
        }
    };
    let theme = |id: &'static str, words: &'static str, theme: Theme| {
        let act = props.act.clone();
        let pressed = (props.settings.theme == theme).to_string();
        html! {
            <button {id} type="button" class="switch" aria-pressed={pressed}
                onclick={move |_| act.emit(Action::SetTheme(theme))}>{ words }</button>
        }
    };
    let is_offline_ready = use_offline_ready();
    let may_install = use_install_offer();
    let vibration = {
        let (act, on) = (props.act.clone(), props.settings.vibration);
        move |_| act.emit(Action::SetVibration(!on))
    };
    // The running count stands on every screen, where it takes no room of its own.
    let kept = props
        .kept
        .as_ref()
        .map_or_else(Html::default, |kept| html! { <span class="way-count">{ kept }</span> });
    html! {
        <>
            <header class="head">
                <nav class="ways" aria-label="Steps">
                    { way("go-day", "Day", Screen::Day, kept) }
                    { way("go-photo", "Photo", if props.has_photo { Screen::Measure } else { Screen::Start }, html!()) }
                    { way("go-checks", "Checks", Screen::Checks, html!()) }
                    { way("go-verdict", "Verdict", Screen::Verdict, html!()) }
                </nav>
                <RuleLine rule={props.rule.clone()} season={props.season.clone()} water={props.water.clone()} date={props.date} today={props.today} act={props.act.clone()} />
            </header>
            <UpdateBar />
            <main id="main" tabindex="-1">{ props.children.clone() }</main>
            <footer class="foot">
                <div class="switches" role="group" aria-label="Look">
                    { theme("theme-sun", "Sun", Theme::Sun) }
                    { theme("theme-night", "Night", Theme::Night) }
                    <button id="vibration" type="button" class="switch"
                        aria-pressed={props.settings.vibration.to_string()} onclick={vibration}>
                        { "Vibrate at a verdict" }
                    </button>
                </div>
                if may_install {
                    <button id="install" type="button" onclick={|_| accept_install()}>{ "Install on this device" }</button>
                }
                <p id="offline-state" class="small-print" role="status">
                    { if is_offline_ready { "Ready without a network." } else { "Not yet ready without a network." } }
                </p>
                // Once before the work, not under every step of it.
                if matches!(props.screen, Screen::Day | Screen::Start) {
                    <p class="small-print">
                        { "Nothing leaves this device. Claws pinch: hold the crab from behind, by the last legs, and \
                           keep a hand for yourself on a wet deck." }
                    </p>
                }
            </footer>
        </>
    }
}

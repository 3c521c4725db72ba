//! For everyone: large enough to hit and to read, named for those who do not see it, all by keyboard.

use std::collections::BTreeSet;

use anyhow::{Context, bail, ensure};
use fantoccini::key::Key;
use serde_json::{Value, json};

use crate::e2e::browser::ChromiumCommand;
use crate::e2e::person::{
    GOOD, aim, measure_by_hand, sample, set_date, shown_width, to_photos, wait_for_answer, walk,
};
use crate::e2e::visit::Visit;

/// Targets of 48 px (more than the 44 of WCAG 2.2, 2.5.5), text of 16 px and figures of 28, nothing wider than
/// the screen, one heading of the first rank, no id twice, and no focus order but that of the document
/// (WCAG 2.2, 2.4.3).
const LOOK: &str = "
  const bad = [], shown = (e) => e.checkVisibility() && !e.closest('.unseen');
  const name = (e) => `${e.tagName.toLowerCase()}#${e.id}.${e.getAttribute('class') ?? ''}`;
  const targets = 'button, a[href], summary, select, textarea, input:not([type=file]), label.pick, [role=button], [role=application]';
  for (const target of [...document.querySelectorAll(targets)].filter(shown)) {
    const box = (target.querySelector('.mark-reach') ?? target).getBoundingClientRect();
    if (box.width < 47.9 || box.height < 47.9) bad.push(`${name(target)} is ${box.width} x ${box.height}`);
    if (target.tabIndex > 0) bad.push(`${name(target)} has a place of its own in the focus order`);
  }
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let text = texts.nextNode(); text; text = texts.nextNode()) {
    const parent = text.parentElement;
    if (!text.data.trim() || !shown(parent) || parent.closest('title, script, style')) continue;
    const scale = parent.ownerSVGElement?.getScreenCTM().a ?? 1;
    const size = parseFloat(getComputedStyle(parent).fontSize) * scale;
    if (size < 15.99) bad.push(`\"${text.data.trim().slice(0, 20)}\" in ${name(parent)} is ${size} px high`);
  }
  for (const figure of document.querySelectorAll('#width-mm, #width-u, #width-inches, #verdict'))
    if (parseFloat(getComputedStyle(figure).fontSize) < 28) bad.push(`${name(figure)} is below 28 px`);
  if (document.documentElement.scrollWidth > innerWidth) bad.push(`${document.documentElement.scrollWidth} px wide`);
  const ids = [...document.querySelectorAll('[id]')].map((e) => e.id);
  for (const id of ids.filter((id, i) => ids.indexOf(id) !== i)) bad.push(`the id ${id} twice`);
  const heads = [...document.querySelectorAll('h1')].filter((e) => e.checkVisibility()).length;
  if (heads !== 1) bad.push(`${heads} headings of the first rank`);
  return bad.join('; ')";

/// What a person acts on, by the browser's own roles.
const NAMED: [&str; 12] = [
    "button",
    "link",
    "textbox",
    "searchbox",
    "combobox",
    "spinbutton",
    "Date",
    "checkbox",
    "image",
    "img",
    "application",
    "DisclosureTriangle",
];

pub async fn every_screen_is_in_reach(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.resize(360, 740).await?;
    visit.open().await?;
    to_photos(visit).await?;
    visit.find("#sample-0").await?;
    let mut seen = BTreeSet::new();
    look(visit, "start", &mut seen).await?;
    visit.click("#go-rules").await?;
    look(visit, "rules", &mut seen).await?;
    set_date(visit, "2026-07-15").await?;
    measure_by_hand(visit, 1).await?;
    let told = visit.ask_text("return document.querySelector('#told[role=status]').textContent").await?;
    ensure!(told.contains("mm"), "screen readers hear no width: \"{told}\"");
    look(visit, "measure", &mut seen).await?;
    the_ruler_is_in_sight(visit).await?;
    visit.press_on("#mark-0", &[Key::Enter]).await?;
    visit.find("#aim").await?;
    look(visit, "aim", &mut seen).await?;
    visit.click("#aim-close").await?;
    visit.click("#confirm-points").await?;
    // The worker looks at the points once more.
    visit.find("#screen-checks").await?;
    for (check, answer) in GOOD {
        if visit.find_now(&format!("#asks-{check}")).await? {
            look(visit, check, &mut seen).await?;
            visit.click(answer).await?;
        }
    }
    visit.find("#verdict").await?;
    let focus = visit.ask_text("return document.activeElement.id").await?;
    ensure!(focus == "verdict", "the verdict is not read out: the focus is on \"{focus}\"");
    ensure!(visit.attribute_of("#verdict", "data-call").await? == "gauge", "another verdict");
    look(visit, "verdict", &mut seen).await?;
    visit.click("#check-size, #back-to-checks").await?;
    visit.click("#check-size").await?;
    look(visit, "size", &mut seen).await?;
    visit.click("#next-crab").await?;
    visit.click("#start-checks").await?;
    walk(visit, &[GOOD[0], GOOD[1], ("sex", "#answer-female")]).await?;
    look(visit, "release", &mut seen).await?;
    // The tree of roles was really read: these kinds of things are on the screens.
    for role in ["button", "searchbox", "application", "image"] {
        ensure!(seen.contains(role), "no {role} among {seen:?}");
    }
    Ok(())
}

async fn look(visit: &Visit<'_>, screen: &str, seen: &mut BTreeSet<String>) -> anyhow::Result<()> {
    let mut bad = visit.ask_text(LOOK).await?;
    let tree =
        visit.browser.issue_cmd(ChromiumCommand::devtools("Accessibility.getFullAXTree", json!({}))).await?;
    for node in tree["nodes"].as_array().context("the tree of roles")? {
        let role = node["role"]["value"].as_str().unwrap_or_default();
        if node["ignored"] == true || !NAMED.contains(&role) {
            continue;
        }
        seen.insert(role.to_owned());
        if node["name"]["value"].as_str().unwrap_or_default().trim().is_empty() {
            bad.push_str(&format!("; a {role} without a name, node {}", node["backendDOMNodeId"]));
        }
    }
    ensure!(bad.is_empty(), "{screen}: {bad}");
    Ok(())
}

/// Photo, figures and ruler together, without scrolling, and the next act under the thumb.
async fn the_ruler_is_in_sight(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.ask("scrollTo({ top: 0, behavior: 'instant' }); return true").await?;
    let places = visit
        .ask(
            "const end = (s) => document.querySelector(s).getBoundingClientRect();
             return { photo: end('.photo-frame').height, ruler: end('#ruler').bottom, act: end('.act-bar').top,
                      act_end: end('.act-bar').bottom, mark: [0, 1].map((i) => {
                        const box = document.querySelector(`#mark-${i} .mark-reach`).getBoundingClientRect();
                        const frame = end('.photo-frame'), y = box.top + box.height / 2, x = box.left + box.width / 2;
                        return frame.top < y && y < frame.bottom && frame.left < x && x < frame.right; }) }",
        )
        .await?;
    let number = |key: &str| places[key].as_f64().with_context(|| format!("{key} in {places}"));
    ensure!(number("photo")? >= 200.0, "only {places} left for the photo");
    ensure!(number("ruler")? <= number("act")? + 1.0, "the ruler is covered: {places}");
    ensure!(number("act_end")? <= 740.5, "the next act is out of sight: {places}");
    ensure!(places["mark"] == json!([true, true]), "a point is out of the photo's window: {places}");
    Ok(())
}

/// A person who needs a dark ground sets it in the system (`forced-colors`, CSS Color Adjustment 1): text follows
/// by itself, shapes in SVG do not. 3:1 at least between them and the ground (WCAG 2.2, 1.4.11).
pub async fn forced_colours(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    let features = json!([{ "name": "forced-colors", "value": "active" }, { "name": "prefers-color-scheme", "value": "dark" }]);
    let emulate =
        ChromiumCommand::devtools("Emulation.setEmulatedMedia", json!({ "media": "", "features": features }));
    visit.browser.issue_cmd(emulate).await?;
    measure_by_hand(visit, 9).await?;
    seen_on_its_ground(visit, ".rule, .tick, .hill, .needle").await?;
    visit.click("#confirm-points").await?;
    // The practice photo has brought its kind.
    visit.click(GOOD[1].1).await?;
    visit.find("#asks-sex").await?;
    seen_on_its_ground(visit, ".answer .drawing path[stroke]").await
}

async fn seen_on_its_ground(visit: &Visit<'_>, selector: &str) -> anyhow::Result<()> {
    let script = format!(
        "const light = (colour) => {{
           const [r, g, b] = colour.match(/[\\d.]+/g).map((c) => c / 255)
             .map((c) => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
           return 0.2126 * r + 0.7152 * g + 0.0722 * b; }};
         const ground = light(getComputedStyle(document.body).backgroundColor);
         return [...document.querySelectorAll('{selector}')].map((shape) => {{
           const line = light(getComputedStyle(shape).stroke);
           return (Math.max(line, ground) + 0.05) / (Math.min(line, ground) + 0.05); }})"
    );
    let contrasts = visit.ask(&script).await?;
    let contrasts: Vec<f64> =
        contrasts.as_array().context("contrasts")?.iter().filter_map(Value::as_f64).collect();
    ensure!(!contrasts.is_empty(), "nothing drawn: {selector}");
    ensure!(contrasts.iter().all(|&contrast| contrast >= 3.0), "{selector}: {contrasts:.1?}");
    Ok(())
}

/// From a practice photo to the verdict without a pointer.
pub async fn keyboard_alone(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    to_photos(visit).await?;
    visit.find("#sample-9").await?;
    press_key_on(visit, "#sample-9").await?;
    wait_for_answer(visit).await?;
    press_key_on(visit, "#place-points").await?;
    let sample = sample(9)?;
    for side in ["left", "right"] {
        visit
            .wait_until(
                "the aiming window to take the focus",
                "return document.activeElement.classList.contains('aim-pane')",
            )
            .await?;
        let (x, y) = sample.point(side)?;
        aim(visit, x, y).await?;
        visit.find(if side == "left" { "#mark-0" } else { "#mark-1" }).await?;
    }
    let shown = shown_width(visit).await?;
    ensure!((shown.width_mm - sample.width_mm()?).abs() < 4.0 * shown.u_mm, "{shown:?}");
    press_key_on(visit, "#confirm-points").await?;
    for (check, answer) in GOOD {
        visit
            .wait_until(
                "a question or the verdict",
                "return document.activeElement.matches('#verdict, article.check .question')",
            )
            .await?;
        if visit.find_now(&format!("#asks-{check}")).await? {
            press_key_on(visit, answer).await?;
            visit
                .wait_until("the next question", &format!("return !document.getElementById('asks-{check}')"))
                .await?;
        }
    }
    let call = visit.ask_text("return document.getElementById('verdict').dataset.call").await?;
    ensure!(call == "keep", "{call}");
    Ok(())
}

/// Goes on with the tabulator from where the focus is until an element of `selector` has it, then presses
/// Enter.
async fn press_key_on(visit: &Visit<'_>, selector: &str) -> anyhow::Result<()> {
    visit.find(selector).await?;
    let script = format!("return document.activeElement?.matches({}) ?? false", json!(selector));
    for _ in 0..90 {
        if visit.ask(&script).await? == Value::Bool(true) {
            return visit.press(&[Key::Enter]).await;
        }
        visit.press(&[Key::Tab]).await?;
    }
    bail!("the tabulator does not come to {selector}")
}

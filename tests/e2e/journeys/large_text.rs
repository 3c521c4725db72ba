//! Twice the text, small windows, long names: everything is there, one below the other.

use std::fs;

use anyhow::{Context, ensure};
use serde_json::{Value, json};

use crate::e2e::person::{GOOD, at_noon_in_summer, measure_by_hand, set_date, to_photos, walk};
use crate::e2e::visit::Visit;
use crate::repo;

/// A phone and a laptop at 200 % zoom (WCAG 2.2, 1.4.4), and the 320 px to which content must reflow (1.4.10).
const WINDOWS: [(u32, u32); 4] = [(180, 370), (320, 568), (640, 400), (360, 740)];

/// No scrolling sideways, no word below 16 px, out of the window or out of its own button. `WINDOW` stands for the width
/// that was set: an emulated phone zooms out and tells the width of what does not fit as its own.
const CUT: &str = "
  const bad = [], name = (e) => `${e.tagName.toLowerCase()}#${e.id}.${e.getAttribute('class') ?? ''}`;
  const root = document.documentElement;
  if (root.scrollWidth > WINDOW) bad.push(`${root.scrollWidth} px wide`);
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), range = document.createRange();
  for (let text = texts.nextNode(); text; text = texts.nextNode()) {
    const parent = text.parentElement;
    if (!text.data.trim() || !parent.checkVisibility() || parent.closest('.unseen, svg, select, script, style')) continue;
    range.selectNodeContents(text);
    const box = range.getBoundingClientRect(), said = text.data.trim().slice(0, 24);
    if (parseFloat(getComputedStyle(parent).fontSize) < 15.99) bad.push(`\"${said}\" is small`);
    if (box.left < -0.5 || box.right > WINDOW + 0.5) bad.push(`\"${said}\" from ${box.left} to ${box.right}`);
    const target = parent.closest('button, summary, label.pick, .verdict')?.getBoundingClientRect();
    if (target && (box.left < target.left - 0.5 || box.right > target.right + 0.5
        || box.top < target.top - 0.5 || box.bottom > target.bottom + 0.5))
      bad.push(`\"${said}\" leaves ${name(parent.closest('button, summary, label.pick, .verdict'))}`);
  }
  return bad.join('; ')";

/// The words of the tabs stand each on one line, within the window: on a phone of 320 px at 200 % zoom, and where the
/// device enlarges the text alone.
async fn no_tab_breaks(visit: &Visit<'_>) -> anyhow::Result<()> {
    const BROKEN: &str = "return [...document.querySelectorAll('.way')].filter((way) => {
             const range = document.createRange();
             range.selectNodeContents(way.firstChild);
             const [box, ...more] = range.getClientRects();
             return more.length > 0 || box.left < 0 || box.right > WINDOW;
         }).map((way) => way.innerText).join()";
    for (width, text) in [(160, "100%"), (320, "200%"), (360, "200%")] {
        visit.resize(width, 568).await?;
        visit.ask(&format!("document.documentElement.style.fontSize = '{text}'; return true")).await?;
        let broken = visit.ask_text(&BROKEN.replace("WINDOW", &width.to_string())).await?;
        ensure!(broken.is_empty(), "at {width} px and {text}: {broken}");
    }
    visit.ask("document.documentElement.style.fontSize = ''; return true").await?;
    Ok(())
}

/// The whole way from photo to verdict.
pub async fn nothing_is_cut(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    to_photos(visit).await?;
    visit.find("#sample-0").await?;
    fits(visit, "start").await?;
    visit.click("#go-rules").await?;
    visit.find("#screen-rules").await?;
    fits(visit, "rules").await?;
    set_date(visit, "2026-07-15").await?;
    measure_by_hand(visit, 1).await?;
    fits(visit, "measure").await?;
    visit.resize(180, 370).await?;
    visit.click("#confirm-points").await?;
    visit.find(".question").await?;
    for (check, answer) in GOOD {
        if visit.find_now(&format!("#asks-{check}")).await? {
            starts_in_sight(visit, ".question").await?;
            fits(visit, check).await?;
            visit.resize(180, 370).await?;
            visit.click(answer).await?;
        }
    }
    visit.find("#verdict[data-call=gauge]").await?;
    starts_in_sight(visit, "#verdict").await?;
    fits(visit, "gauge").await?;
    visit.click("#next-crab").await?;
    visit.click("#start-checks").await?;
    walk(visit, &[GOOD[0], GOOD[1], ("sex", "#answer-female")]).await?;
    fits(visit, "release").await?;
    // Last: so narrow a window leaves the emulated phone zoomed out.
    no_tab_breaks(visit).await
}

/// Sixty letters without a space, for the water and for the kind.
const LONG: &str = "krabbenfanggebietsverordnungsausnahmegenehmigungsverzeichnis";

/// Thirty crabs kept, of a kind and in a water with a very long name, and one more: then the limit is full.
pub async fn full_day_with_long_names(visit: &Visit<'_>) -> anyhow::Result<()> {
    ensure!(LONG.len() == 60);
    let mut pack: Value = serde_json::from_slice(&fs::read(repo::root().join("www/rules/us-wa.json"))?)?;
    let area = &mut pack["areas"][0];
    area["water"] = json!(LONG);
    area["name"] = json!(LONG);
    let rules = area["rules"].as_array_mut().context("rules")?;
    let mut long = rules.iter().find(|rule| rule["species"] == "dungeness").context("Dungeness")?.clone();
    long["species"] = json!(LONG);
    long["facts"]["limits"][0]["amount"]["value"] = json!({ "crabs": 31 });
    // Any size: the count is looked at here, not the photo.
    for size in long["facts"]["sizes"].as_array_mut().context("sizes")? {
        size["min"]["value"] = json!("none");
    }
    rules.push(long);
    pack["species"] = json!([{ "id": LONG, "names": [LONG], "scientific": "none, for this test" }]);
    let file = visit.folder().join("long.json");
    fs::write(&file, pack.to_string())?;

    at_noon_in_summer(visit).await?;
    visit.open().await?;
    visit.click("#go-rules").await?;
    visit.choose_file("#import-pack", &file).await?;
    visit
        .wait_until(
            "the long name",
            &format!("return document.getElementById('rule-in-force').innerText.includes({})", json!(LONG)),
        )
        .await?;
    fits(visit, "rules").await?;
    keep_earlier(visit, 30).await?;
    visit.open().await?;
    fits(visit, "start").await?;
    visit.click("#go-checks").await?;
    fits(visit, "kinds").await?;
    let kind = format!("#answer-{LONG}");
    let call = walk(visit, &[("kind", &kind), GOOD[1], GOOD[2], GOOD[3], GOOD[4], GOOD[5]]).await?;
    ensure!(call == "keep", "{call}");
    fits(visit, "keep").await?;
    visit.click("#kept-it").await?;
    let told = visit.text_of("#kept-today").await?;
    ensure!(told.contains("31 of 31"), "{told}");
    fits(visit, "kept").await?;
    visit.click("#next-crab").await?;
    visit.click("#go-verdict").await?;
    let call = visit.ask_text("return document.getElementById('verdict').dataset.call").await?;
    let reason = visit.text_of("#reason-0").await?;
    ensure!(call == "release" && reason.contains("31 kept, and 31 is the limit"), "{call}: {reason}");
    fits(visit, "full").await
}

/// As an earlier build of the page left crabs that were kept today.
async fn keep_earlier(visit: &Visit<'_>, count: usize) -> anyhow::Result<()> {
    visit
        .ask(&format!(
            "const now = new Date(), two = (n) => String(n).padStart(2, '0');
             const day = `${{now.getFullYear()}}-${{two(now.getMonth() + 1)}}-${{two(now.getDate())}}`;
             localStorage.setItem('shellspan.kept-today', JSON.stringify({{ day, kinds: Array({count}).fill('{LONG}') }}));
             return true"
        ))
        .await?;
    Ok(())
}

async fn fits(visit: &Visit<'_>, screen: &str) -> anyhow::Result<()> {
    for (width, height) in WINDOWS {
        visit.resize(width, height).await?;
        let bad = visit.ask_text(&CUT.replace("WINDOW", &width.to_string())).await?;
        if !bad.is_empty() {
            visit.whole_picture(&visit.folder().join("cut.png")).await?;
        }
        ensure!(bad.is_empty(), "{screen} at {width} x {height}: {bad}");
    }
    Ok(())
}

/// What the screen is for stands in the upper half of the window: its head has scrolled away.
async fn starts_in_sight(visit: &Visit<'_>, selector: &str) -> anyhow::Result<()> {
    let script =
        format!("return document.querySelector('{selector}').getBoundingClientRect().top / innerHeight");
    let top = visit.ask(&script).await?.as_f64().context("a place")?;
    ensure!((0.0..0.5).contains(&top), "{selector} begins at {:.0} % of the window", 100.0 * top);
    Ok(())
}

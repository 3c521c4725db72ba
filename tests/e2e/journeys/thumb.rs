//! One thumb on a small phone: a point dragged, aimed at, stepped.

use std::time::Duration;

use anyhow::{Context, ensure};
use fantoccini::actions::{InputSource, PointerAction, TouchActions};
use serde_json::json;

use crate::e2e::browser::ChromiumCommand;
use crate::e2e::person::{measure_by_hand, sample, shown_width, take_sample};
use crate::e2e::visit::Visit;

const THUMB: &str = "thumb";

/// The middle of an element in CSS pixels.
async fn middle(visit: &Visit<'_>, selector: &str) -> anyhow::Result<(f64, f64)> {
    visit.find(selector).await?;
    let place = visit
        .ask(&format!(
            "const box = document.querySelector({}).getBoundingClientRect();
             return [box.left + box.width / 2, box.top + box.height / 2]",
            json!(selector)
        ))
        .await?;
    Ok((place[0].as_f64().context("x")?, place[1].as_f64().context("y")?))
}

fn at((x, y): (f64, f64)) -> PointerAction {
    PointerAction::MoveTo { duration: None, x, y }
}

async fn act(visit: &Visit<'_>, actions: &[PointerAction]) -> anyhow::Result<()> {
    let touch = TouchActions::new(THUMB.into());
    let touch = actions.iter().cloned().fold(touch, InputSource::then);
    visit.browser.perform_actions(touch).await.context("touching the screen")
}

/// A finger that stays down from one call to the next, which WebDriver's own actions do not keep.
async fn touch(visit: &Visit<'_>, kind: &str, place: Option<(f64, f64)>) -> anyhow::Result<()> {
    let points: Vec<_> = place.iter().map(|(x, y)| json!({ "x": x, "y": y })).collect();
    let parameters = json!({ "type": kind, "touchPoints": points });
    visit.browser.issue_cmd(ChromiumCommand::devtools("Input.dispatchTouchEvent", parameters)).await?;
    Ok(())
}

const DOWN: PointerAction = PointerAction::Down { button: 0 };
const UP: PointerAction = PointerAction::Up { button: 0 };

pub async fn drags_a_point(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.resize(360, 740).await?;
    visit.open().await?;
    let before = measure_by_hand(visit, 2).await?;
    visit.ask("scrollTo({ top: 0, behavior: 'instant' }); return true").await?;
    let start = middle(visit, "#mark-0 .mark-reach").await?;
    swipe_scrolls(visit, start).await?;
    ensure!(shown_width(visit).await? == before, "a swipe that began on a cross moved it");
    ensure!(!visit.find_now("#aim").await?, "a swipe that began on a cross opened the aiming window");
    visit
        .ask(
            "scrollTo({ top: 0, behavior: 'instant' });
             document.querySelector('#mark-0').scrollIntoView({ block: 'center', behavior: 'instant' });
             return true",
        )
        .await?;
    let start = middle(visit, "#mark-0 .mark-reach").await?;

    let to = (start.0 - 24.0, start.1 + 16.0);
    touch(visit, "touchStart", Some(start)).await?;
    // A finger that rests picks the point up, and the magnifier says so.
    visit.find(".loupe").await?;
    touch(visit, "touchMove", Some((start.0 - 12.0, start.1 + 8.0))).await?;
    touch(visit, "touchMove", Some(to)).await?;
    let clear = visit
        .ask(&format!(
            "const box = document.querySelector('.loupe').getBoundingClientRect();
             const x = {}, y = {}, reach = 40;
             const seen = 0 <= box.left && box.right <= innerWidth && 0 <= box.top && box.bottom <= innerHeight;
             return seen && (box.right < x - reach || x + reach < box.left || box.bottom < y - reach)",
            to.0, to.1
        ))
        .await?;
    ensure!(clear == true, "the magnifier is under the thumb or out of sight");
    touch(visit, "touchEnd", None).await?;
    visit.wait_until("the magnifier to close", "return document.querySelector('.loupe') === null").await?;

    let after = shown_width(visit).await?;
    let px_per_css = visit
        .ask(
            "const svg = document.querySelector('#photo svg');
             return svg.viewBox.baseVal.width / svg.getBoundingClientRect().width",
        )
        .await?
        .as_f64()
        .context("a scale")?;
    let (dx, dy) = (after.marks[0].0 - before.marks[0].0, after.marks[0].1 - before.marks[0].1);
    ensure!(
        (dx / px_per_css + 24.0).abs() < 1.5 && (dy / px_per_css - 16.0).abs() < 1.5,
        "the point moved by {dx:.0}, {dy:.0} px at {px_per_css:.2} px each CSS pixel"
    );
    visit.click("#undo").await?;
    let undone = shown_width(visit).await?;
    ensure!(undone.marks == before.marks, "one undo takes the whole drag back: {:?}", undone.marks);
    Ok(())
}

/// A finger comes down and moves up at once, as who scrolls does; the page or the photo goes with it.
async fn swipe_scrolls(visit: &Visit<'_>, from: (f64, f64)) -> anyhow::Result<()> {
    const SCROLLED: &str =
        "const frame = document.querySelector('.photo-frame'); return scrollY + frame.scrollTop";
    let before = visit.ask(SCROLLED).await?.as_f64().context("how far")?;
    touch(visit, "touchStart", Some(from)).await?;
    for step in 1..=6 {
        touch(visit, "touchMove", Some((from.0, from.1 - 20.0 * f64::from(step)))).await?;
    }
    touch(visit, "touchEnd", None).await?;
    visit.wait_until("the swipe to scroll", &format!("{SCROLLED} > {before} + 30")).await?;
    // A finger that comes down while the page still glides stops it, and picks nothing up.
    visit
        .wait_until(
            "the scrolling to rest",
            "const now = scrollY + document.querySelector('.photo-frame').scrollTop;
             if (window.resting?.at !== now) window.resting = { at: now, since: performance.now() };
             return performance.now() - window.resting.since > 500",
        )
        .await
}

/// Whatever becomes of the window, both points stay within the part of the photo that is shown.
pub async fn turns_the_phone(visit: &Visit<'_>) -> anyhow::Result<()> {
    const IN_SIGHT: &str = "const frame = document.querySelector('.photo-frame').getBoundingClientRect();
        return ['#mark-0', '#mark-1'].every(id => {
            const box = document.querySelector(id).getBoundingClientRect();
            const x = (box.left + box.right) / 2, y = (box.top + box.bottom) / 2;
            return frame.left < x && x < frame.right && frame.top < y && y < frame.bottom;
        })";
    const PLACE: &str = "const frame = document.querySelector('.photo-frame').getBoundingClientRect();
        const box = document.querySelector('#mark-0').getBoundingClientRect();
        return [box.left - frame.left, box.top - frame.top]";
    let place = async || -> anyhow::Result<(f64, f64)> {
        let at = visit.ask(PLACE).await?;
        Ok((at[0].as_f64().context("across")?, at[1].as_f64().context("down")?))
    };
    visit.resize(360, 740).await?;
    visit.open().await?;
    take_sample(visit, &sample(9)?).await?;
    visit.wait_until("both points in sight", IN_SIGHT).await?;
    let before = place().await?;
    for (width, height) in [(360, 2400), (360, 740), (740, 360), (360, 740), (1280, 800), (360, 740)] {
        visit.resize(width, height).await?;
        let name = format!("both points in sight at {width} x {height}");
        visit.wait_until(&name, IN_SIGHT).await?;
        if (width, height) == (360, 740) {
            // The photo follows the window a moment later.
            let (mut after, mut moved) = (before, f64::INFINITY);
            for _ in 0..20 {
                after = place().await?;
                moved = (after.0 - before.0).hypot(after.1 - before.1);
                if moved < 8.0 {
                    break;
                }
                tokio::time::sleep(Duration::from_millis(100)).await;
            }
            ensure!(moved < 8.0, "the photo moved by {moved:.0} px: from {before:?} to {after:?}");
        }
    }
    Ok(())
}

/// A wet finger bounces: the second touch falls on an answer of the next question, and is none.
pub async fn bounces(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.resize(360, 740).await?;
    visit.open().await?;
    visit.click("#start-checks").await?;
    let (x, _) = middle(visit, "#answer-dungeness").await?;
    let top = visit
        .ask("return document.querySelector('#answer-dungeness').getBoundingClientRect().top")
        .await?
        .as_f64()
        .context("a place")?;
    // Within both the picture of the kind and the answer that comes in its place.
    let place = (x, top + 120.0);
    for _ in 0..2 {
        touch(visit, "touchStart", Some(place)).await?;
        touch(visit, "touchEnd", None).await?;
    }
    visit.find("#asks-season").await?;
    let below = visit
        .ask_text(&format!(
            "return document.elementFromPoint({}, {}).closest('.answer')?.id ?? 'nothing'",
            place.0, place.1
        ))
        .await?;
    ensure!(below == "answer-season-open", "the second touch fell on {below}");
    // Once it is over the same place can be touched again, and counts.
    tokio::time::sleep(Duration::from_millis(800)).await;
    ensure!(visit.find_now("#asks-season").await?, "a bounce answered the next question");
    touch(visit, "touchStart", Some(place)).await?;
    touch(visit, "touchEnd", None).await?;
    visit.find("#asks-sex").await.map(|_| ())
}

/// In the aiming window: slid by a finger, one pixel by a tap on an arrow, many while it is held.
pub async fn aims_to_a_pixel(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.resize(360, 740).await?;
    visit.open().await?;
    measure_by_hand(visit, 2).await?;
    let mark = middle(visit, "#mark-1 .mark-reach").await?;
    act(visit, &[at(mark), DOWN, UP]).await?;
    visit.find("#aim").await?;
    let free = visit
        .ask(
            "const photo = document.querySelector('.photo-frame').getBoundingClientRect();
             return document.getElementById('aim').getBoundingClientRect().top - Math.max(photo.top, 0)",
        )
        .await?;
    ensure!(free.as_f64().is_some_and(|free| free > 150.0), "only {free} px of the photo left in sight");

    let from = aimed_at(visit).await?;
    let pane = middle(visit, ".aim-pane").await?;
    act(visit, &[at(pane), DOWN, at((pane.0 + 20.0, pane.1)), at((pane.0 + 40.0, pane.1)), UP]).await?;
    let slid = aimed_at(visit).await?;
    ensure!(
        slid.0 < from.0 && slid.1 == from.1,
        "sliding to the right looks to the left: {from:?}, {slid:?}"
    );

    let arrow = middle(visit, "#nudge-down").await?;
    act(visit, &[at(arrow), DOWN, UP]).await?;
    let stepped = aimed_at(visit).await?;
    ensure!(stepped == (slid.0, slid.1 + 1.0), "a tap steps by one: {slid:?}, {stepped:?}");

    let held = TouchActions::new(THUMB.into()).then(DOWN).pause(Duration::from_millis(1500)).then(UP);
    visit.browser.perform_actions(held).await?;
    let ran = aimed_at(visit).await?;
    ensure!(ran.1 - stepped.1 >= 4.0, "held, it goes on: {stepped:?}, {ran:?}");
    tokio::time::sleep(Duration::from_millis(400)).await;
    ensure!(aimed_at(visit).await? == ran, "let go, it stops");

    visit.click("#aim-set").await?;
    let set = shown_width(visit).await?.marks[1];
    ensure!((set.0 - ran.0).abs() < 0.51 && (set.1 - ran.1).abs() < 0.51, "set at {set:?}, aimed at {ran:?}");
    Ok(())
}

/// What lies under the cross, in whole upright pixels.
async fn aimed_at(visit: &Visit<'_>) -> anyhow::Result<(f64, f64)> {
    let place = visit
        .ask("return document.querySelector('.aim-pane').ariaLabel.match(/[0-9]+/g).map(Number)")
        .await?;
    Ok((place[0].as_f64().context("x")?, place[1].as_f64().context("y")?))
}

/// Two fingers spread on the photo: it grows about them, and the page does not.
pub async fn two_fingers_zoom(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.resize(360, 740).await?;
    visit.open().await?;
    take_sample(visit, &sample(2)?).await?;
    let (x, y) = middle(visit, ".photo-frame").await?;
    let at = (x + 40.0, y);
    // The place of the photo under a point of the window, as shares of the sheet, and the sheet's width.
    let look = format!(
        "const box = document.getElementById('photo').getBoundingClientRect();
         return [({} - box.left) / box.width, ({} - box.top) / box.height, box.width, visualViewport.scale]",
        at.0, at.1
    );
    let seen = || async {
        let seen = visit.ask(&look).await?;
        anyhow::Ok(std::array::from_fn::<f64, 4, _>(|i| seen[i].as_f64().unwrap_or(f64::NAN)))
    };
    let before = seen().await?;
    let fingers = |apart: f64| json!([{ "x": at.0 - apart, "y": at.1, "id": 0 }, { "x": at.0 + apart, "y": at.1, "id": 1 }]);
    for (kind, points) in [
        ("touchStart", fingers(30.0)),
        ("touchMove", fingers(36.0)),
        ("touchMove", fingers(45.0)),
        ("touchEnd", json!([])),
    ] {
        let parameters = json!({ "type": kind, "touchPoints": points });
        visit.browser.issue_cmd(ChromiumCommand::devtools("Input.dispatchTouchEvent", parameters)).await?;
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    let after = seen().await?;
    let grown = after[2] / before[2];
    ensure!((grown - 1.5).abs() < 0.05, "grown {grown:.2} times for fingers 1.5 times as far apart");
    ensure!((after[3] - 1.0).abs() < 1e-6, "the page itself was zoomed");
    for side in 0..2 {
        let moved = (after[side] - before[side]).abs();
        ensure!(moved < 0.01, "the place between the fingers moved: {before:?}, {after:?}");
    }
    Ok(())
}

//! What a person does on Shellspan's own screens: take a sample, place points, read the width.

use std::fs;
use std::path::PathBuf;

use anyhow::{Context, bail, ensure};
use fantoccini::actions::{InputSource, MouseActions, PointerAction};
use fantoccini::key::Key;
use serde_json::{Value, json};

use super::visit::Visit;
use crate::repo;

/// One sample photo and what is known of it.
pub struct Sample {
    /// The photo.
    pub photo: PathBuf,
    /// Its truth, as `samples/README.md` explains it.
    pub truth: Value,
    /// Where it stands in the page's list, from 0.
    pub index: usize,
}

/// The sample `crab-NUMBER.jpg`.
pub fn sample(number: usize) -> anyhow::Result<Sample> {
    let folder = repo::root().join("samples");
    let photo = folder.join(format!("crab-{number:02}.jpg"));
    let truth = serde_json::from_slice(&fs::read(folder.join(format!("crab-{number:02}.json")))?)?;
    Ok(Sample { photo, truth, index: number })
}

impl Sample {
    /// A measuring point: `left` or `right`, the crab's own, in upright pixels.
    pub fn point(&self, side: &str) -> anyhow::Result<(f64, f64)> {
        let at = &self.truth["shell"][format!("{side}_px")];
        Ok((at[0].as_f64().context("x of a point")?, at[1].as_f64().context("y of a point")?))
    }

    /// Where the card lies: `deck`, `level` or `back`.
    pub fn placement(&self) -> anyhow::Result<&str> {
        self.truth["card"]["placement"].as_str().context("the placement of the card")
    }

    /// The true width.
    pub fn width_mm(&self) -> anyhow::Result<f64> {
        self.truth["shell"]["width_mm"].as_f64().context("the true width")
    }
}

/// Goes to where a photo is chosen, unless it is there already.
pub async fn to_photos(visit: &Visit<'_>) -> anyhow::Result<()> {
    if !visit.find_now("#screen-start").await? {
        visit.click("#go-photo").await?;
    }
    visit.find("#screen-start").await.map(|_| ())
}

/// Takes a sample from the page's list and waits until the worker has answered.
pub async fn take_sample(visit: &Visit<'_>, sample: &Sample) -> anyhow::Result<()> {
    to_photos(visit).await?;
    visit.click(&format!("#sample-{}", sample.index)).await?;
    wait_for_answer(visit).await
}

/// Has the browser draw the sample `crab-NUMBER.jpg` at `size`, run `draw` on the `context` with the `photo`,
/// and save it as a JPEG without a word of the camera; the page gets it as a chosen file.
pub async fn make_photo(
    visit: &Visit<'_>,
    number: usize,
    size: (u32, u32),
    draw: &str,
) -> anyhow::Result<()> {
    to_photos(visit).await?;
    let made = visit
        .ask(&format!(
            "const done = arguments[arguments.length - 1];
             const folder = new URL(document.querySelector('meta[name=shellspan-samples]').content, location.href);
             (async () => {{
               const whole = await (await fetch(new URL('crab-{number:02}.jpg', folder))).blob();
               const photo = await createImageBitmap(whole);
               const canvas = new OffscreenCanvas({}, {}), context = canvas.getContext('2d');
               context.drawImage(photo, 0, 0, canvas.width, canvas.height);
               {draw}
               const made = await canvas.convertToBlob({{ type: 'image/jpeg', quality: 0.9 }});
               const files = new DataTransfer();
               files.items.add(new File([made], 'made.jpg', {{ type: 'image/jpeg' }}));
               const input = document.getElementById('pick-photo');
               input.files = files.files;
               input.dispatchEvent(new Event('change', {{ bubbles: true }}));
             }})().then(() => done('made'), (error) => done(String(error)));",
            size.0, size.1
        ))
        .await?;
    ensure!(made == "made", "{made}");
    Ok(())
}

/// Waits until the page shows either a card or a message, and no work in hand.
pub async fn wait_for_answer(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit
        .wait_until(
            "the worker's answer",
            "return !document.getElementById('cancel') && \
             !!document.querySelector('#screen-measure #card-outline, #screen-measure #message')",
        )
        .await
}

/// Says where the card lies, takes what is proposed away and places both measuring points where the truth has them, to a pixel:
/// a tap on the photo, then arrow keys in the aiming window, then Enter.
pub async fn place_both(visit: &Visit<'_>, sample: &Sample) -> anyhow::Result<()> {
    let placement = format!("#placement-{}", sample.placement()?);
    visit.find(&placement).await?;
    // The next act stays at the screen's foot, over what lies there.
    visit
        .ask(&format!(
            "document.querySelector('{placement}').scrollIntoView({{ block: 'center', behavior: 'instant' }});
             return true"
        ))
        .await?;
    visit.click(&placement).await?;
    visit.click("#place-points").await?;
    for (which, side) in ["left", "right"].into_iter().enumerate() {
        let (x, y) = sample.point(side)?;
        tap_photo(visit, x, y).await?;
        aim(visit, x, y).await?;
        visit.find(&format!("#mark-{which}")).await?;
    }
    Ok(())
}

/// Taps the photo at an upright pixel, as nearly as the screen allows.
pub async fn tap_photo(visit: &Visit<'_>, x: f64, y: f64) -> anyhow::Result<()> {
    let (photo_x, photo_y) = (x, y);
    let place = visit
        .ask(&format!(
            "const svg = document.querySelector('#photo svg'), view = svg.viewBox.baseVal;
             const frame = svg.closest('.photo-frame');
             const place = () => {{ const box = svg.getBoundingClientRect();
               return [box.left + ({x} - view.x) / view.width * box.width,
                       box.top + ({y} - view.y) / view.height * box.height]; }};
             const box = frame.getBoundingClientRect(), [left, top] = place();
             frame.scrollBy({{ left: left - box.left - box.width / 2, top: top - box.top - box.height / 2,
                               behavior: 'instant' }});
             // The aiming window covers the lower part of a small screen.
             const free = document.querySelector('#aim')?.getBoundingClientRect().top ?? innerHeight;
             scrollBy({{ top: place()[1] - Math.max(free, innerHeight / 3) / 2, behavior: 'instant' }});
             return place()"
        ))
        .await?;
    let (x, y) = (place[0].as_f64().context("x to tap")?, place[1].as_f64().context("y to tap")?);
    let tap = MouseActions::new("mouse".into())
        .then(PointerAction::MoveTo { duration: None, x, y })
        .then(PointerAction::Down { button: 0 })
        .then(PointerAction::Up { button: 0 });
    visit.browser.perform_actions(tap).await.context("tapping the photo")?;
    // Where the aiming window is open, the tap moves it: the keys come after that.
    visit
        .wait_until(
            "the tap to arrive in the aiming window",
            &format!(
                "const pane = document.querySelector('#aim .aim-pane'); if (!pane) return true;
                 const svg = document.querySelector('#photo svg');
                 const reach = 8 * svg.viewBox.baseVal.width / svg.getBoundingClientRect().width;
                 const [x, y] = pane.ariaLabel.match(/[0-9]+/g).map(Number);
                 return Math.abs(x - {photo_x}) < reach && Math.abs(y - {photo_y}) < reach"
            ),
        )
        .await
}

/// Brings the cross of the open aiming window to an upright pixel and sets it.
pub async fn aim(visit: &Visit<'_>, x: f64, y: f64) -> anyhow::Result<()> {
    let label = visit.attribute_of("#aim .aim-pane", "aria-label").await?;
    let numbers: Vec<f64> =
        label.split(|letter: char| !letter.is_ascii_digit()).filter_map(|word| word.parse().ok()).collect();
    ensure!(numbers.len() >= 2, "no place in \"{label}\"");
    let mut keys = String::new();
    for (by, less, more) in
        [(x.round() - numbers[0], Key::Left, Key::Right), (y.round() - numbers[1], Key::Up, Key::Down)]
    {
        let key = char::from(if by < 0.0 { less } else { more });
        let steps = by.abs() as usize;
        ensure!(steps < 2000, "{steps} px to go");
        keys.extend(std::iter::repeat_n(key, steps % 10));
        keys.push(char::from(Key::Shift));
        keys.extend(std::iter::repeat_n(key, steps / 10));
        keys.push(char::from(Key::Shift));
    }
    let pane = visit.find("#aim .aim-pane").await?;
    pane.send_keys(&keys).await?;
    pane.send_keys(&char::from(Key::Enter).to_string()).await.context("setting the point")
}

/// What the page says of the width.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// Width in mm, to the last digit that the page has.
    pub width_mm: f64,
    /// Standard uncertainty in mm, as shown.
    pub u_mm: f64,
    /// Both marks in upright pixels, to a hundredth.
    pub marks: [(f64, f64); 2],
    /// How exactly each is placed, in px.
    pub marks_u_px: [f64; 2],
}

/// Reads the width, its uncertainty and the marks.
pub async fn shown_width(visit: &Visit<'_>) -> anyhow::Result<Shown> {
    visit.find("#width-mm").await?;
    let read = visit
        .ask(
            "const mark = (i) => { const c = document.querySelector(`#mark-${i} .mark-reach`);
               return [Number(c.getAttribute('cx')), Number(c.getAttribute('cy')), Number(c.parentElement.dataset.uPx)]; };
             const width = document.getElementById('width-mm');
             return { exact: Number(width.dataset.exact), shown: Number(width.textContent),
                      u: Number(document.getElementById('width-u').textContent), marks: [mark(0), mark(1)] }",
        )
        .await?;
    let number = |value: &Value| value.as_f64().with_context(|| format!("no number in {read}"));
    let mark = |i: usize| anyhow::Ok((number(&read["marks"][i][0])?, number(&read["marks"][i][1])?));
    let (exact, rounded) = (number(&read["exact"])?, number(&read["shown"])?);
    ensure!((exact - rounded).abs() <= 0.051, "{exact} mm is shown as {rounded} mm");
    let mark_u = |i: usize| number(&read["marks"][i][2]);
    let marks_u_px = [mark_u(0)?, mark_u(1)?];
    Ok(Shown { width_mm: exact, u_mm: number(&read["u"])?, marks: [mark(0)?, mark(1)?], marks_u_px })
}

/// Sets the day of the catch, as typed into the field on the rules' screen, and goes back to the start.
pub async fn set_date(visit: &Visit<'_>, date: &str) -> anyhow::Result<()> {
    visit.click("#go-rules").await?;
    visit.find("#rule-date").await?;
    // A date field is typed in differently in every language of the browser.
    visit
        .ask(&format!(
            "const field = document.getElementById('rule-date'); field.value = '{date}';
             field.dispatchEvent(new Event('change', {{ bubbles: true }})); return true"
        ))
        .await?;
    visit.click("#go-day").await?;
    visit.find("#screen-day").await.map(|_| ())
}

/// Puts the photo away and goes back to the start.
pub async fn other_photo(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.click("#other-photo").await?;
    visit.find("#screen-start").await.map(|_| ())
}

/// The page's message: its code, what was seen, the next step.
pub async fn message(visit: &Visit<'_>) -> anyhow::Result<(String, String, String)> {
    visit.find("#message").await?;
    let read = visit
        .ask(
            "const box = document.querySelector('.message');
             return [box.dataset.code, document.getElementById('message').textContent,
                     document.getElementById('next-step').textContent]",
        )
        .await?;
    let part =
        |i: usize| read[i].as_str().map(str::to_owned).with_context(|| format!("message {}", json!(read)));
    Ok((part(0)?, part(1)?, part(2)?))
}

/// A hard male Dungeness.
pub const GOOD: [(&str, &str); 6] = [
    ("kind", "#answer-dungeness"),
    ("season", "#answer-season-open"),
    ("sex", "#answer-male"),
    ("eggs", "#answer-eggs-none"),
    ("shell", "#answer-hard"),
    ("claws", "#answer-whole"),
];

/// Takes a sample from the page's list, a practice photo, and places both points by hand.
pub async fn measure_by_hand(visit: &Visit<'_>, number: usize) -> anyhow::Result<Shown> {
    let sample = sample(number)?;
    take_sample(visit, &sample).await?;
    place_and_read(visit, &sample).await
}

/// Chooses the same photo as a file: a crab in hand.
pub async fn measure_file_by_hand(visit: &Visit<'_>, number: usize) -> anyhow::Result<Shown> {
    let sample = sample(number)?;
    to_photos(visit).await?;
    visit.choose_file("#pick-photo", &sample.photo).await?;
    wait_for_answer(visit).await?;
    place_and_read(visit, &sample).await
}

/// Places both points by hand; the width is within four times its uncertainty.
async fn place_and_read(visit: &Visit<'_>, sample: &Sample) -> anyhow::Result<Shown> {
    place_both(visit, sample).await?;
    let shown = shown_width(visit).await?;
    let truth = sample.width_mm()?;
    ensure!(0.05 < shown.u_mm && shown.u_mm < 10.0, "uncertainty {} mm", shown.u_mm);
    // Four standard uncertainties: once in 16000 for a normal error, so a broken frame or unit shows.
    ensure!(
        (shown.width_mm - truth).abs() < 4.0 * shown.u_mm,
        "{} ± {} mm, in truth {truth} mm",
        shown.width_mm,
        shown.u_mm
    );
    Ok(shown)
}

/// With a queue of crabs waiting nobody scrolls: what `selector` names shows at once on a small phone.
pub async fn in_sight_on_a_phone(visit: &Visit<'_>, selector: &str) -> anyhow::Result<()> {
    visit.resize(360, 740).await?;
    visit.ask("scrollTo({ top: 0, behavior: 'instant' }); return true").await?;
    let script = format!("return document.querySelector('{selector}').getBoundingClientRect().bottom");
    let bottom = visit.ask(&script).await?.as_f64().context("a place")?;
    ensure!(bottom <= 740.0, "{selector} ends at {bottom:.0} of 740 px");
    Ok(())
}

/// Noon of a day in summer in every page opened from now on, whatever the machine's clock says: only a crab of
/// today can be counted as kept.
pub async fn at_noon_in_summer(visit: &Visit<'_>) -> anyhow::Result<()> {
    let source = "const Real = Date, ahead = new Real(2026, 6, 15, 12).getTime() - Real.now();
        globalThis.Date = class extends Real {
          constructor(...given) { if (given.length) super(...given); else super(Real.now() + ahead); }
          static now() { return Real.now() + ahead; }
        };";
    visit.ahead_of_pages(source).await
}

/// Answers whatever is asked, in the order it is asked, until the verdict stands; gives the verdict.
///
/// Another kind can ask for other points of the photo: then they are confirmed again on the way.
pub async fn walk(visit: &Visit<'_>, answers: &[(&str, &str)]) -> anyhow::Result<String> {
    for _ in 0..=2 * answers.len() {
        visit
            .wait_until(
                "a question or the verdict",
                "return !!document.querySelector('#verdict, #screen-checks article.check')",
            )
            .await?;
        let asked = visit
            .ask_text(
                "return document.getElementById('verdict') ? ''
                   : document.querySelector('#screen-checks article.check').id.replace('asks-', '')",
            )
            .await?;
        if asked.is_empty() {
            return visit.ask_text("return document.getElementById('verdict').dataset.call").await;
        }
        let answer = answers.iter().find(|(check, _)| *check == asked);
        let (_, selector) =
            answer.with_context(|| format!("asked for the {asked}, which should be settled"))?;
        visit.click(selector).await?;
        visit
            .wait_until("the next question", &format!("return !document.getElementById('asks-{asked}')"))
            .await?;
    }
    bail!("the questions do not end")
}

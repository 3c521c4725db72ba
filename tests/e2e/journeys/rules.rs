//! Rules of one's own, and waters suggested from a position.

use anyhow::ensure;
use serde_json::json;

use crate::e2e::browser::ChromiumCommand;
use crate::e2e::person::{GOOD, at_noon_in_summer, set_date, walk};
use crate::e2e::visit::Visit;
use crate::repo;

/// An emergency order for the chosen water: every mistake first, then in force and marked, after a reload too.
pub async fn own_rule(visit: &Visit<'_>) -> anyhow::Result<()> {
    open_form(visit).await?;
    visit.write("#own-min", "six").await?;
    visit.click("#own-take-it").await?;
    let mistakes = visit.text_of("#own-mistakes").await?;
    ensure!(mistakes.lines().count() == 3, "size, text and name: {mistakes}");
    visit.write("#own-min", "6 1/2 in").await?;
    visit.write("#own-title", "Emergency order 26-1").await?;
    visit.write("#own-who", "Ann").await?;
    visit.click("#own-read").await?;
    visit.click("#own-take-it").await?;
    let taken = visit.text_of("#own-taken").await?;
    ensure!(taken.contains("Dungeness") && taken.contains("Puget Sound"), "{taken}");
    visit.reload().await?;
    visit.click("#go-checks").await?;
    visit.click("#answer-dungeness").await?;
    in_force(visit, "your own rule").await
}

/// Who never chose a water has no rule; who did is asked once a day, for each kind, whether it is open.
pub async fn first_visit(visit: &Visit<'_>) -> anyhow::Result<()> {
    at_noon_in_summer(visit).await?;
    visit.open_first().await?;
    in_force(visit, "No water chosen").await?;
    visit.click("#choose-water").await?;
    visit.write("#rule-search", "puget").await?;
    visit.click("#area-us-wa-puget-sound").await?;
    in_force(visit, "Puget Sound").await?;
    in_force(visit, "not known if open").await?;
    let source = visit.text_of("#rule-source").await?;
    ensure!(source.contains("20") && source.contains("checked"), "source and age: {source}");
    visit.click("#go-checks").await?;
    visit.click(GOOD[0].1).await?;
    visit.find("#asks-season").await?;
    let told = visit.text().await?;
    ensure!(told.contains("open weekdays are set each year"), "the pack's words: {told}");
    ensure!(visit.text_of("#look-up").await?.contains("http"), "nowhere to look it up");
    visit.click("#answer-season-open").await?;
    visit.find("#asks-sex").await?;
    in_force(visit, "open, looked up").await?;
    // The crab in hand comes back with its answers; the next one of its kind is not asked for the season again.
    visit.click("#answer-male").await?;
    visit.wait_until("the next question", "return !document.getElementById('asks-sex')").await?;
    visit.reload().await?;
    visit.find("#screen-checks article.check").await?;
    ensure!(!visit.find_now("#asks-season, #asks-sex").await?, "asked again after a reload");
    visit.click("#next-crab").await?;
    visit.click("#go-checks").await?;
    visit.find("#asks-sex").await?;
    visit.click("#check-kind").await?;
    visit.click("#answer-red-rock").await?;
    visit.find("#asks-season").await?;
    visit.click("#answer-season-closed").await?;
    let told = visit.text_of("#reason-0").await?;
    ensure!(told.contains("closed for this kind on this day"), "{told}");
    Ok(())
}

/// The word that a water is open can be taken back: nothing is kept on it any more, and the next crab asks anew.
pub async fn season_word_taken_back(visit: &Visit<'_>) -> anyhow::Result<()> {
    at_noon_in_summer(visit).await?;
    visit.open().await?;
    visit.click("#go-checks").await?;
    visit.click(GOOD[0].1).await?;
    visit.click("#answer-season-open").await?;
    visit.find("#asks-sex").await?;
    in_force(visit, "open, looked up").await?;
    visit.click("#check-season").await?;
    visit.click("#asks-season #answer-not-sure").await?;
    in_force(visit, "not known if open").await?;
    let verdict = visit.attribute_of("#verdict", "data-call").await?;
    ensure!(verdict == "release", "{verdict}");
    visit.reload().await?;
    in_force(visit, "not known if open").await?;
    visit.click("#next-crab").await?;
    visit.click("#go-checks").await?;
    visit.find("#asks-season").await?;
    Ok(())
}

/// Sizes that differ by stage and day have a field each; Chesapeake Bay has five of blue crab.
pub async fn sizes_that_differ(visit: &Visit<'_>) -> anyhow::Result<()> {
    open_form(visit).await?;
    visit.write("#rule-search", "chesapeake").await?;
    visit.click("#area-us-md-chesapeake-bay").await?;
    in_force(visit, "Chesapeake").await?;
    visit
        .ask(
            "const kinds = document.getElementById('own-kind');
             kinds.selectedIndex = [...kinds.options].findIndex((kind) => /^blue crab/i.test(kind.text));
             kinds.dispatchEvent(new Event('change', { bubbles: true })); return true",
        )
        .await?;
    visit.find("#own-min-4").await?;
    ensure!(!visit.find_now("#own-min").await?, "one field for all, unasked");
    visit.click("#own-for-all").await?;
    visit.find("#own-min").await.map(|_| ())
}

/// A water that no pack has.
pub async fn new_water(visit: &Visit<'_>) -> anyhow::Result<()> {
    open_form(visit).await?;
    visit.click("#own-new-water").await?;
    for (id, text) in [
        ("own-water", "Lagoon of our club"),
        ("own-min", "115 mm"),
        ("own-title", "Club table"),
        ("own-who", "Ann"),
    ] {
        visit.write(&format!("#{id}"), text).await?;
    }
    visit.click("#own-take-it").await?;
    in_force(visit, "Lagoon of our club").await?;
    in_force(visit, "your own rule").await
}

/// A position suggests, chooses nothing and stays nowhere; a refused one is told.
pub async fn suggested_water(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit.click("#go-rules").await?;
    permit(visit, "denied").await?;
    visit.click("#suggest-water").await?;
    says(visit, "may not tell where you are").await?;
    permit(visit, "granted").await?;
    // Nanaimo, British Columbia.
    let place = json!({ "latitude": 49.1659, "longitude": -123.9401, "accuracy": 50 });
    devtools(visit, "Emulation.setGeolocationOverride", place).await?;
    visit
        .wait_until(
            "the packs",
            "return parseInt(document.querySelector('#screen-rules .hint').textContent) > 20",
        )
        .await?;
    visit.click("#suggest-water").await?;
    visit.find("#suggested #suggested-ca-bc-tidal").await?;
    in_force(visit, "Puget Sound").await?;
    visit.click("#suggested-ca-bc-tidal").await?;
    in_force(visit, "British Columbia").await?;
    let kept = visit.ask_text("return JSON.stringify(localStorage)").await?;
    ensure!(!kept.contains("49.16") && !kept.contains("123.94"), "the position was kept: {kept}");
    Ok(())
}

/// A bad file tells all its mistakes and changes nothing; a good one takes force, marked as one's own.
pub async fn rules_file(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit.click("#go-rules").await?;
    let root = repo::root();
    visit.choose_file("#import-pack", &root.join("tests/bad/rules/many-mistakes.json")).await?;
    let mistakes = visit.text_of("#pack-mistakes").await?;
    // Source of the count: tests/bad/rules/messages.txt.
    ensure!(mistakes.lines().count() == 22 && mistakes.contains("line 7, checked: "), "{mistakes}");
    in_force(visit, "Puget Sound").await?;
    visit.choose_file("#import-pack", &root.join("www/rules/us-or.json")).await?;
    in_force(visit, "Oregon").await?;
    in_force(visit, "your own rule").await?;
    ensure!(!visit.find_now("#pack-mistakes").await?, "the old mistakes still stand");
    Ok(())
}

/// New South Wales measures blue swimmers along the shell: the points are drawn, and the gauge has the word.
pub async fn length_by_gauge(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit.click("#go-rules").await?;
    visit.write("#rule-search", "new south wales").await?;
    visit.click("#area-au-nsw-nsw").await?;
    visit.click("#go-checks").await?;
    let mut answers = GOOD;
    answers[0] = ("kind", "#answer-blue-swimmer");
    let call = walk(visit, &answers).await?;
    ensure!(call == "gauge", "{call}");
    let told = visit.text().await?;
    ensure!(told.contains("along the midline of the shell, which a photo cannot tell"), "{told}");
    visit.find("#screen-verdict #landmarks-length").await?;
    visit.click("#screen-verdict #answer-gauge-too-small").await?;
    let told = visit.text_of("#reason-0").await?;
    ensure!(told.contains("so the gauge says"), "{told}");
    ensure!(visit.attribute_of("#verdict", "data-call").await? == "release", "{told}");
    Ok(())
}

/// A rule of one's own for the chosen water: Dungeness from this size on.
pub async fn own_least_size(visit: &Visit<'_>, least: &str) -> anyhow::Result<()> {
    open_form(visit).await?;
    for (id, text) in [("own-min", least), ("own-title", "Club order 7"), ("own-who", "Ann")] {
        visit.write(&format!("#{id}"), text).await?;
    }
    visit.click("#own-read").await?;
    visit.click("#own-take-it").await?;
    visit.find("#own-taken").await.map(|_| ())
}

async fn open_form(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit.click("#go-rules").await?;
    visit.click("#own-rules summary").await?;
    visit.find("#own-rule").await.map(|_| ())
}

async fn in_force(visit: &Visit<'_>, words: &str) -> anyhow::Result<()> {
    let words = json!(words);
    let script = format!("return document.getElementById('rule-in-force').innerText.includes({words})");
    visit.wait_until(&format!("the rule in force to say {words}"), &script).await
}

async fn says(visit: &Visit<'_>, words: &str) -> anyhow::Result<()> {
    let words = json!(words);
    let script = format!("return document.getElementById('suggest-words').innerText.includes({words})");
    visit.wait_until(&format!("the suggestion to say {words}"), &script).await
}

pub async fn permit(visit: &Visit<'_>, setting: &str) -> anyhow::Result<()> {
    let asked = json!({ "permission": { "name": "geolocation" }, "setting": setting });
    devtools(visit, "Browser.setPermission", asked).await
}

pub async fn devtools(visit: &Visit<'_>, method: &str, parameters: serde_json::Value) -> anyhow::Result<()> {
    visit.browser.issue_cmd(ChromiumCommand::devtools(method, parameters)).await?;
    Ok(())
}

/// An order that shortens a season, in the form of one's own rule: outside its days the water is closed, inside them
/// the season is still to be looked up.
pub async fn open_only(visit: &Visit<'_>) -> anyhow::Result<()> {
    open_form(visit).await?;
    for (id, day) in [("own-open-from", "2026-07-18"), ("own-open-to", "2026-07-20")] {
        // A date field is typed in differently in every language of the browser.
        visit
            .ask(&format!(
                "const field = document.getElementById('{id}'); field.value = '{day}';
                 for (const name of ['input', 'change']) field.dispatchEvent(new Event(name, {{ bubbles: true }}));
                 return true"
            ))
            .await?;
    }
    visit.write("#own-title", "Order 26-7").await?;
    visit.write("#own-date", "July 2026").await?;
    visit.write("#own-who", "Ann").await?;
    visit.click("#own-read").await?;
    visit.click("#own-take-it").await?;
    visit.find("#own-taken").await?;
    for (day, season) in [("2026-07-17", "closed"), ("2026-07-19", "not known"), ("2026-07-21", "closed")] {
        set_date(visit, day).await?;
        visit.click("#go-checks").await?;
        if visit.find_now("#answer-dungeness").await? {
            visit.click("#answer-dungeness").await?;
        }
        in_force(visit, &format!(": {season}")).await?;
    }
    Ok(())
}

//! A new version on the host.

use anyhow::ensure;

use crate::e2e::visit::Visit;
use crate::site::dist::Files;

/// Looks for a new version and tells whether one waits. Asked for again until it does: the browser also looks by
/// itself after a start, and a look asked for meanwhile is joined to that one and shares its outcome
/// (Service Workers, "Schedule Job"), be it from before the host's files changed.
const UPDATE_WAITS: &str =
    "navigator.serviceWorker.getRegistration().then((r) => r.update()).catch(() => {});
     return document.body.dataset.update === 'waiting'";
const BUILD: &str = "return document.querySelector('meta[name=shellspan-build]').content";
const CACHES: &str =
    "const done = arguments[arguments.length - 1]; caches.keys().then((names) => done(names.join('\\n')))";

fn one_more_file() -> Files {
    Files::from([("update-journey.txt".to_owned(), b"a newer build".to_vec())])
}

pub async fn waits_and_comes_whole(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit.wait_until_offline_ready().await?;
    let old = visit.ask_text(BUILD).await?;
    let new = visit.site.borrow().publish(one_more_file())?;
    ensure!(old != new, "the second build has the same name");

    visit.wait_until("the new version to wait", UPDATE_WAITS).await?;
    // Not accepted: a reload, even with the new files on the host, still gives the old version, whole.
    visit.reload().await?;
    ensure!(visit.ask_text(BUILD).await? == old, "a reload brought the new version unasked");
    let foreign = format!(
        "return performance.getEntriesByType('resource').filter((e) => e.name.includes('b-{new}/')).length === 0"
    );
    ensure!(visit.ask(&foreign).await? == true, "the old page loaded files of the new build");

    visit
        .wait_until(
            "the new version to be offered again",
            "return document.body.dataset.update === 'waiting'",
        )
        .await?;
    visit.click("#take-update").await?;
    visit
        .wait_until(
            "the new version",
            &format!(
                "return document.body?.dataset.started === 'yes' && \
                 document.querySelector('meta[name=shellspan-build]').content === '{new}'"
            ),
        )
        .await?;
    visit
        .wait_until(
            "the old version's files to be removed",
            &format!(
                "const done = arguments[arguments.length - 1];
                 caches.keys().then((names) => done(!names.some((name) => name.endsWith('build {old}'))));"
            ),
        )
        .await?;
    let names = visit.ask_text(CACHES).await?;
    ensure!(names.contains(&format!("build {new}")), "caches: {names}");

    visit.site.borrow_mut().stop()?;
    visit.reload().await?;
    ensure!(visit.ask_text(BUILD).await? == new, "offline the old version came back");
    Ok(())
}

/// The service worker's file has arrived on the host, one of the files it lists has other content.
pub async fn half_copied_is_not_taken(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit.wait_until_offline_ready().await?;
    let old = visit.ask_text(BUILD).await?;
    let new = visit.site.borrow().publish(one_more_file())?;
    visit.site.borrow().spoil(&format!("b-{new}/update-journey.txt"))?;

    let outcome = visit
        .ask_text(
            "const done = arguments[arguments.length - 1];
             navigator.serviceWorker.getRegistration().then(async (registration) => {
               registration.addEventListener('updatefound', () => {
                 const worker = registration.installing;
                 worker.addEventListener('statechange', () => done(worker.state));
               });
               await registration.update();
             });",
        )
        .await?;
    ensure!(outcome == "redundant", "the half-copied version is {outcome}");
    visit.reload().await?;
    ensure!(visit.ask_text(BUILD).await? == old, "the half-copied version came up");

    // Once the copy is complete, it is taken.
    visit.site.borrow().publish(one_more_file())?;
    visit.wait_until("the complete version to wait", UPDATE_WAITS).await
}

//! Without a network.

use anyhow::ensure;

use crate::e2e::visit::Visit;

pub async fn starts_without_server(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit.wait_until_offline_ready().await?;
    visit.site.borrow_mut().stop()?;
    ensure!(!answers(visit).await?, "the server should be gone");

    visit.reload().await?;
    let controlled = visit.ask("return navigator.serviceWorker.controller !== null").await?;
    ensure!(controlled == true, "the page was not loaded through the service worker");
    // Every file of the build answers, also those that no screen has asked for yet.
    let missing = visit
        .ask_text(
            "const done = arguments[arguments.length - 1];
             const root = new URL(document.querySelector('meta[name=shellspan-root]').content, location.href);
             (async () => {
               const missing = [];
               for (const name of await caches.keys())
                 for (const request of await (await caches.open(name)).keys())
                   if (!(await fetch(request.url)).ok) missing.push(request.url);
               done(missing.join(' '));
             })();",
        )
        .await?;
    ensure!(missing.is_empty(), "not there offline: {missing}");
    // A screen of the second program, and back by the phone's key.
    visit.click("#go-learn").await?;
    visit.find("#screen-learn").await?;
    visit.browser.back().await?;
    visit.find("#screen-day").await?;
    Ok(())
}

/// Whether anything answers at the site's address, asked past the service worker.
async fn answers(visit: &Visit<'_>) -> anyhow::Result<bool> {
    let address = visit.site.borrow().address().to_owned();
    let port = address.split(':').nth(2).and_then(|rest| rest.split('/').next()?.parse::<u16>().ok());
    let port = port.ok_or_else(|| anyhow::anyhow!("no port in {address}"))?;
    Ok(std::net::TcpStream::connect(("127.0.0.1", port)).is_ok())
}

/// What the foot of the page says of it.
const SAID: &str = "return document.getElementById('offline-state').textContent.trim()";

/// Does `act` to the kept response of the build's file `name`.
async fn spoil_copy(visit: &Visit<'_>, name: &str, act: &str) -> anyhow::Result<()> {
    let script = format!(
        "const done = arguments[arguments.length - 1];
         const base = new URL(document.querySelector('meta[name=shellspan-base]').content, location.href);
         const url = new URL('{name}', base);
         (async () => {{
           for (const key of await caches.keys()) {{
             const cache = await caches.open(key);
             if (await cache.match(url)) {{ {act} return done(true); }}
           }}
           done(false);
         }})();"
    );
    ensure!(visit.ask(&script).await? == true, "{name} is not kept");
    Ok(())
}

const DAMAGE: &str =
    "await cache.put(url, new Response('half of', { headers: { 'content-type': 'application/wasm' } }));";

/// Ready is said while every file is there, and not a moment longer; what is damaged is fetched again.
pub async fn says_ready_while_it_is(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit.wait_until("the offline copy", "return document.body.dataset.offline === 'ready'").await?;
    let said = visit.ask_text(SAID).await?;
    ensure!(said == "Ready without a network.", "{said}");

    visit.site.borrow_mut().stop()?;
    spoil_copy(visit, "worker_bg.wasm", "await cache.delete(url);").await?;
    // The browser's own cache would give it back, and rightly.
    visit.devtools("Network.clearBrowserCache", serde_json::json!({})).await?;
    visit.ask("window.dispatchEvent(new Event('focus')); return true").await?;
    visit.wait_until("the missing file to be felt", "return document.body.dataset.offline === 'no'").await?;
    let said = visit.ask_text(SAID).await?;
    ensure!(said == "Not yet ready without a network.", "{said}");

    visit.site.borrow_mut().restart()?;
    visit.ask("window.dispatchEvent(new Event('focus')); return true").await?;
    visit.wait_until("the file to be fetched", "return document.body.dataset.offline === 'ready'").await?;

    // The program itself is damaged: the page cannot start, says so, and has it mended by the next time.
    spoil_copy(visit, "page_bg.wasm", DAMAGE).await?;
    visit.browser.refresh().await?;
    visit
        .wait_until(
            "the damage to be told and mended",
            "const failed = document.getElementById('failed');
             return failed && !failed.hidden && failed.innerText.includes('mended now: reload')
               && failed.innerText.includes('physical gauge')",
        )
        .await?;
    visit.reload().await?;

    // The second program is damaged: the day stands, the damage is told or mended before, and the screen comes.
    spoil_copy(visit, "split_later.wasm", DAMAGE).await?;
    visit.reload().await?;
    visit.find("#screen-day").await?;
    visit.click("#go-learn").await?;
    visit.find("#screen-learn").await?;
    Ok(())
}

/// The program cannot be had and there is no copy: in words what to do, and the gauge meanwhile.
pub async fn tells_a_failed_start(visit: &Visit<'_>) -> anyhow::Result<()> {
    let build = visit.site.borrow().publish(crate::site::dist::Files::new())?;
    visit.site.borrow().spoil(&format!("b-{build}/page_bg.wasm"))?;
    let address = visit.site.borrow().address().to_owned();
    visit.browser.goto(&address).await?;
    let failed = visit.text_of("#failed").await?;
    for words in ["Shellspan could not start", "Reload it", "use a physical gauge"] {
        ensure!(failed.contains(words), "no \"{words}\" in: {failed}");
    }
    ensure!(!visit.find_now("#starting").await?, "it still says that it starts");

    // The first program is there, the second is not: the day stands, and a tap on another screen says what to do.
    let build = visit.site.borrow().publish(crate::site::dist::Files::new())?;
    visit.site.borrow().spoil(&format!("b-{build}/split_later.wasm"))?;
    visit.devtools("Network.clearBrowserCache", serde_json::json!({})).await?;
    visit.reload().await?;
    visit.click("#go-learn").await?;
    visit.find("#late-again").await?;
    let missing = visit.text_of("#main").await?;
    for words in ["could not be fetched", "reload the page", "use a physical gauge"] {
        ensure!(missing.contains(words), "no \"{words}\" in: {missing}");
    }
    visit.click("#go-day").await?;
    visit.find("#screen-day").await?;
    // What was damaged lies in the browser's cache, and is not taken from there again.
    visit.site.borrow().publish(crate::site::dist::Files::new())?;
    visit.click("#go-learn").await?;
    visit.find("#screen-learn").await?;
    Ok(())
}

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
    Ok(())
}

/// Whether anything answers at the site's address, asked past the service worker.
async fn answers(visit: &Visit<'_>) -> anyhow::Result<bool> {
    let address = visit.site.borrow().address().to_owned();
    let port = address.split(':').nth(2).and_then(|rest| rest.split('/').next()?.parse::<u16>().ok());
    let port = port.ok_or_else(|| anyhow::anyhow!("no port in {address}"))?;
    Ok(std::net::TcpStream::connect(("127.0.0.1", port)).is_ok())
}

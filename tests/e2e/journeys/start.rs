//! The page starts, under its policy.

use anyhow::ensure;

use crate::e2e::visit::Visit;

pub async fn starts(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    let hidden = visit
        .ask("return document.getElementById('failed').hidden && document.getElementById('panic').hidden")
        .await?;
    ensure!(hidden == true, "a failure is shown");
    Ok(())
}

pub async fn loads_one_build(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    visit.wait_until_offline_ready().await?;
    let strange = visit
        .ask_text(
            "const root = location.href, base = document.querySelector('meta[name=shellspan-base]').content;
             const samples = document.querySelector('meta[name=shellspan-samples]').content;
             const own = [new URL(base, root).href, new URL(samples, root).href,
                          new URL('manifest.webmanifest', root).href, new URL('sw.js', root).href, root];
             return performance.getEntriesByType('resource').map((entry) => entry.name)
               .filter((name) => !name.startsWith('blob:' + location.origin))
               .filter((name) => !own.slice(0, 2).some((start) => name.startsWith(start)) && !own.includes(name))
               .join(' ')",
        )
        .await?;
    ensure!(strange.is_empty(), "loaded from elsewhere: {strange}");
    let wrong = visit
        .ask_text(
            "const done = arguments[arguments.length - 1];
             const base = new URL(document.querySelector('meta[name=shellspan-base]').content, location.href);
             const expected = { 'page.js': 'text/javascript', 'worker-boot.js': 'text/javascript',
               'page_bg.wasm': 'application/wasm', 'worker_bg.wasm': 'application/wasm',
               'icons/icon-512.png': 'image/png', 'icons/icon.svg': 'image/svg+xml' };
             Promise.all(Object.entries(expected).map(async ([name, type]) => {
               const answer = await fetch(new URL(name, base));
               const got = answer.headers.get('content-type') ?? '';
               return answer.ok && got.startsWith(type) ? '' : `${name}: ${answer.status} ${got}; `;
             })).then((list) => done(list.join('')));",
        )
        .await?;
    ensure!(wrong.is_empty(), "{wrong}");
    Ok(())
}

pub async fn inline_script_is_refused(visit: &Visit<'_>) -> anyhow::Result<()> {
    visit.open().await?;
    let outcome = visit
        .ask_text(
            "const done = arguments[arguments.length - 1];
             document.addEventListener('securitypolicyviolation', (event) =>
               done(window.smuggled ? 'ran' : 'refused by ' + event.effectiveDirective), { once: true });
             const script = document.createElement('script');
             script.textContent = 'window.smuggled = true';
             document.body.append(script);
             if (window.smuggled) done('ran');",
        )
        .await?;
    ensure!(outcome == "refused by script-src-elem", "the inline script: {outcome}");
    // The refusal above is in the console, as it should be: empty it before the common check.
    ensure!(visit.check_console().await.is_err(), "the console should tell of the refusal");
    Ok(())
}

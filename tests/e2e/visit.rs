//! One browser on one site, and what a person does there: look, click, type, choose a file.

use std::cell::RefCell;
use std::fs;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Duration;

use anyhow::{Context, bail};
use base64::Engine;
use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::elements::Element;
use fantoccini::key::Key;
use fantoccini::wd::TimeoutConfiguration;
use fantoccini::{Client, Locator};
use serde_json::{Value, json};

use super::browser::{ChromiumCommand, Driver};
use super::site::Site;
use super::{Waited, Workshop};

/// How long to wait for anything before the journey fails.
const PATIENCE: Duration = Duration::from_secs(60);
const LOOK_AGAIN: Duration = Duration::from_millis(50);

/// A browser, fresh, on a site of its own.
pub struct Visit<'a> {
    /// What the journeys are made with.
    pub workshop: &'a Workshop,
    /// The site, to stop, restart and update.
    pub site: Rc<RefCell<Site>>,
    /// The browser.
    pub browser: Client,
    driver: &'a Driver,
    folder: PathBuf,
}

impl<'a> Visit<'a> {
    /// Serves a site and opens a browser; the page is not opened yet.
    pub async fn begin(
        workshop: &'a Workshop,
        driver: &'a Driver,
        folder: &Path,
        public_url: &str,
    ) -> anyhow::Result<Self> {
        let site = Site::start(&workshop.generated, &folder.join("site"), public_url)?;
        Self::with_site(workshop, driver, folder, Rc::new(RefCell::new(site))).await
    }

    /// Opens one more browser on the same site. Its profile is `name`: the same name after its end finds what it kept.
    pub async fn beside(&self, name: &str) -> anyhow::Result<Self> {
        let folder = self.folder.join(name);
        fs::create_dir_all(&folder)?;
        Self::with_site(self.workshop, self.driver, &folder, self.site.clone()).await
    }

    async fn with_site(
        workshop: &'a Workshop,
        driver: &'a Driver,
        folder: &Path,
        site: Rc<RefCell<Site>>,
    ) -> anyhow::Result<Self> {
        let browser =
            driver.open(&workshop.chromium, &folder.join("profile"), &folder.join("net-log.json")).await?;
        // Without these a page that never finishes loading would hold the driver for five minutes.
        let patience = Some(PATIENCE);
        browser.update_timeouts(TimeoutConfiguration::new(patience, patience, None)).await?;
        Ok(Self { workshop, site, browser, driver, folder: folder.into() })
    }

    /// Kills the browser, as a device does that runs out of memory.
    pub async fn kill(self) {
        // It dies with the command, so nothing answers.
        let _dead = self.devtools("Browser.crash", json!({})).await;
        let _gone = self.browser.close().await;
    }

    /// Closes the browser; gives the log of its connections.
    pub async fn end(self) -> anyhow::Result<PathBuf> {
        self.browser.close().await?;
        // A profile is tens of megabytes and tells nothing.
        let _kept = fs::remove_dir_all(self.folder.join("profile"));
        Ok(self.folder.join("net-log.json"))
    }

    /// Opens the page as somebody who has chosen Puget Sound on an earlier visit, and waits until it has started.
    pub async fn open(&self) -> anyhow::Result<()> {
        let chosen = "if (!localStorage.getItem('shellspan.rule') || localStorage.getItem('shellspan.rule') === 'null')
           localStorage.setItem('shellspan.rule', JSON.stringify({ pack: 'us-wa', area: 'puget-sound' }));";
        self.ahead_of_pages(&format!("try {{ {chosen} }} catch {{}}")).await?;
        self.open_first().await
    }

    /// Opens the page as on a first visit, and waits until it has started.
    pub async fn open_first(&self) -> anyhow::Result<()> {
        let address = self.site.borrow().address().to_owned();
        self.browser.goto(&address).await?;
        self.wait_until("the page to start", "return document.body.dataset.started === 'yes'").await
    }

    /// Runs `script` ahead of every page opened from now on.
    pub async fn ahead_of_pages(&self, script: &str) -> anyhow::Result<()> {
        self.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": script })).await
    }

    /// Loads the page again and waits until it has started.
    pub async fn reload(&self) -> anyhow::Result<()> {
        self.browser.refresh().await?;
        self.wait_until("the page to start again", "return document.body.dataset.started === 'yes'").await
    }

    /// Waits until everything, samples included, is on the device.
    pub async fn wait_until_offline_ready(&self) -> anyhow::Result<()> {
        self.wait_until(
            "the offline copy",
            "const service = navigator.serviceWorker.controller;
             if (!service || document.body.dataset.offline !== 'ready') return false;
             // As the button of the practice photos does.
             service.postMessage('keep-samples');
             return true",
        )
        .await?;
        self.wait_until(
            "every sample to be kept for offline use",
            "const done = arguments[arguments.length - 1];
             if (!navigator.serviceWorker.controller) return done(false);
             const folder = new URL(document.querySelector('meta[name=shellspan-samples]').content, location.href);
             fetch(new URL('index.json', folder)).then((list) => list.json()).then(async (photos) => {
               for (const { name } of photos) if (!(await caches.match(new URL(name, folder)))) return done(false);
               done(photos.length > 0);
             });",
        )
        .await
    }

    /// Waits until `script` returns something true; one that names `arguments` calls back instead.
    pub async fn wait_until(&self, what: &str, script: &str) -> anyhow::Result<()> {
        let looked = async {
            loop {
                let answer = self.ask(script).await;
                match answer {
                    Ok(Value::Bool(false) | Value::Null) => {}
                    Ok(_) => return Ok(()),
                    // The page may be on its way to another one.
                    Err(error) if is_passing(&error) => {}
                    Err(error) => return Err(error),
                }
                tokio::time::sleep(LOOK_AGAIN).await;
            }
        };
        match tokio::time::timeout(PATIENCE, looked).await {
            Ok(looked) => looked.with_context(|| format!("waiting for {what}")),
            Err(_) => Err(Waited { limit: PATIENCE, what: what.to_owned() }.into()),
        }
    }

    /// What `script` returns.
    pub async fn ask(&self, script: &str) -> anyhow::Result<Value> {
        Ok(if script.contains("arguments[") {
            self.browser.execute_async(script, vec![]).await?
        } else {
            self.browser.execute(script, vec![]).await?
        })
    }

    /// What `script` returns, as text.
    pub async fn ask_text(&self, script: &str) -> anyhow::Result<String> {
        match self.ask(script).await? {
            Value::String(text) => Ok(text),
            other => bail!("expected text, not {other}, from {script}"),
        }
    }

    /// The first element of a CSS selector that is shown, waiting for it.
    pub async fn find(&self, selector: &str) -> anyhow::Result<Element> {
        let selector_json = json!(selector);
        self.wait_until(
            &format!("{selector} to show"),
            &format!(
                "return [...document.querySelectorAll({selector_json})].some((e) => e.checkVisibility())"
            ),
        )
        .await?;
        let shown = async {
            loop {
                for element in self.browser.find_all(Locator::Css(selector)).await? {
                    match element.is_displayed().await {
                        Ok(true) => return anyhow::Ok(element),
                        Ok(false) => {}
                        // The page put another element in its place meanwhile.
                        Err(error) if error.is_stale_element_reference() => {}
                        Err(error) => return Err(error.into()),
                    }
                }
                tokio::time::sleep(LOOK_AGAIN).await;
            }
        };
        match tokio::time::timeout(PATIENCE, shown).await {
            Ok(shown) => shown,
            Err(_) => Err(Waited { limit: PATIENCE, what: format!("{selector} to stay") }.into()),
        }
    }

    /// The text of the first element of a CSS selector that is shown, waiting for it; read in one go, so that the page
    /// cannot put another in its place meanwhile.
    pub async fn text_of(&self, selector: &str) -> anyhow::Result<String> {
        self.read_of(selector, "innerText.trim()").await
    }

    /// An attribute of the first element of a CSS selector that is shown, as [`Self::text_of`].
    pub async fn attribute_of(&self, selector: &str, name: &str) -> anyhow::Result<String> {
        self.read_of(selector, &format!("getAttribute('{name}') ?? ''")).await
    }

    async fn read_of(&self, selector: &str, what: &str) -> anyhow::Result<String> {
        let read = format!(
            "[...document.querySelectorAll({})].find((e) => e.checkVisibility())?.{what}",
            json!(selector)
        );
        self.wait_until(&format!("{selector} to show"), &format!("return ({read}) !== undefined")).await?;
        self.ask_text(&format!("return {read} ?? ''")).await
    }

    /// Clicks the element of a selector once it is shown and enabled. Where the page put another element in its place
    /// meanwhile, nothing was clicked: the new one is.
    pub async fn click(&self, selector: &str) -> anyhow::Result<()> {
        let mut clicked = self.find(selector).await?.click().await;
        for _ in 0..3 {
            match clicked {
                Err(error) if error.is_stale_element_reference() => {
                    clicked = self.find(selector).await?.click().await;
                }
                _ => break,
            }
        }
        clicked.with_context(|| format!("clicking {selector}"))
    }

    /// All text shown.
    pub async fn text(&self) -> anyhow::Result<String> {
        self.ask_text("return document.body.innerText").await
    }

    /// Types `text` over what stands in the field of a selector.
    pub async fn write(&self, field: &str, text: &str) -> anyhow::Result<()> {
        let field = self.find(field).await?;
        field.clear().await?;
        field.send_keys(text).await.context("typing")
    }

    /// Chooses a file in one of the page's file inputs; it need not be shown.
    pub async fn choose_file(&self, input: &str, file: &Path) -> anyhow::Result<()> {
        let file = fs::canonicalize(file).with_context(|| file.display().to_string())?;
        let input = self.browser.wait().at_most(PATIENCE).for_element(Locator::Css(input)).await?;
        input.send_keys(&file.to_string_lossy()).await.context("choosing a file")
    }

    /// Presses keys while the element of a selector has the focus.
    pub async fn press_on(&self, selector: &str, keys: &[Key]) -> anyhow::Result<()> {
        self.find(selector).await?;
        self.ask(&format!("document.querySelector({}).focus(); return true", json!(selector))).await?;
        self.press(keys).await
    }

    /// Presses keys, wherever the focus is.
    pub async fn press(&self, keys: &[Key]) -> anyhow::Result<()> {
        let mut presses = KeyActions::new("keyboard".into());
        for value in keys.iter().copied().map(char::from) {
            presses = presses.then(KeyAction::Down { value }).then(KeyAction::Up { value });
        }
        self.browser.perform_actions(presses).await.context("pressing keys")
    }

    /// Where this visit may write.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Makes the screen `width` by `height` CSS pixels, as a phone's or a desktop's.
    pub async fn resize(&self, width: u32, height: u32) -> anyhow::Result<()> {
        let parameters =
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600 });
        self.devtools("Emulation.setDeviceMetricsOverride", parameters).await
    }

    /// Whether the element of a selector is there and shown, without waiting.
    pub async fn find_now(&self, selector: &str) -> anyhow::Result<bool> {
        let script = format!("return !!document.querySelector({})?.checkVisibility()", json!(selector));
        Ok(self.ask(&script).await? == true)
    }

    /// Saves the whole page as a PNG, below the fold too.
    pub async fn whole_picture(&self, file: &Path) -> anyhow::Result<()> {
        let parameters = json!({ "format": "png", "captureBeyondViewport": true });
        let answer =
            self.browser.issue_cmd(ChromiumCommand::devtools("Page.captureScreenshot", parameters)).await?;
        let text = answer["data"].as_str().context("the browser made no picture")?;
        let picture = base64::engine::general_purpose::STANDARD.decode(text)?;
        fs::write(file, picture).with_context(|| file.display().to_string())
    }

    /// Saves what is shown as a PNG.
    pub async fn picture(&self, file: &Path) -> anyhow::Result<()> {
        fs::write(file, self.browser.screenshot().await?).with_context(|| file.display().to_string())
    }

    /// Fails when the console tells of a violated policy or an uncaught error.
    pub async fn check_console(&self) -> anyhow::Result<()> {
        let log = self.browser.issue_cmd(ChromiumCommand::console()).await?;
        let entries = log.as_array().context("the console's log is a list")?;
        let messages = entries.iter().filter_map(|entry| entry["message"].as_str());
        let signs = ["Content Security Policy", "Content-Security-Policy", "Uncaught", "panicked"];
        let bad: Vec<&str> =
            messages.filter(|message| signs.iter().any(|sign| message.contains(sign))).collect();
        if !bad.is_empty() {
            bail!("the console says: {}", bad.join(" | "));
        }
        Ok(())
    }

    /// What there is to see, for the report of a failure; saves a picture too.
    pub async fn describe(&self) -> String {
        // The report goes on with what can be had.
        let _picture = self.picture(&self.folder.join("failed.png")).await;
        let text = self.text().await.unwrap_or_else(|error| format!("no text: {error}"));
        let console = match self.browser.issue_cmd(ChromiumCommand::console()).await {
            Ok(log) => log.to_string(),
            Err(error) => format!("no console: {error}"),
        };
        let text: String = text.replace('\n', " / ").chars().take(600).collect();
        format!("the page showed: {text}\n        the console: {console}")
    }

    /// One call of the DevTools protocol.
    pub async fn devtools(&self, method: &str, parameters: Value) -> anyhow::Result<()> {
        self.browser.issue_cmd(ChromiumCommand::devtools(method, parameters)).await?;
        Ok(())
    }
}

/// Errors that come from asking a page while it is being replaced.
fn is_passing(error: &anyhow::Error) -> bool {
    let text = format!("{error:#}");
    ["execution context", "document unloaded", "aborted by navigation", "no such execution", "detached"]
        .iter()
        .any(|sign| text.contains(sign))
}

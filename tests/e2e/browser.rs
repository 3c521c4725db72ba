//! The browser and its WebDriver server, as processes.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use anyhow::Context;
use fantoccini::wd::WebDriverCompatibleCommand;
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};

/// A running WebDriver server; ends when dropped.
pub struct Driver {
    process: Child,
    address: String,
}

impl Driver {
    /// Starts it on a port of its own choice; it writes every command into `log`.
    pub fn start(program: &Path, log: &Path) -> anyhow::Result<Self> {
        let mut process = Command::new(program)
            .arg("--port=0")
            .arg("--verbose")
            .arg(format!("--log-path={}", log.display()))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .with_context(|| format!("could not start {}", program.display()))?;
        let output = process.stdout.take().context("the driver has no output")?;
        let mut lines = BufReader::new(output).lines();
        let port = lines.by_ref().find_map(|line| {
            let line = line.ok()?;
            let (_, port) = line.split_once("started successfully on port ")?;
            port.trim_end_matches('.').parse::<u16>().ok()
        });
        // Whatever it still says is read away, so that its pipe never fills.
        std::thread::spawn(move || lines.for_each(drop));
        let port = port.context("the driver did not say on which port it listens")?;
        Ok(Self { process, address: format!("http://localhost:{port}") })
    }

    /// Opens a browser with a fresh profile that logs every connection to `net_log`.
    pub async fn open(&self, chromium: &Path, profile: &Path, net_log: &Path) -> anyhow::Result<Client> {
        let arguments = [
            "--headless".to_owned(),
            "--no-sandbox".into(),
            "--disable-gpu".into(),
            "--disable-dev-shm-usage".into(),
            "--disable-quic".into(),
            "--no-first-run".into(),
            "--disable-background-networking".into(),
            "--disable-component-update".into(),
            "--disable-default-apps".into(),
            "--disable-sync".into(),
            "--disable-features=OptimizationHints,MediaRouter,Translate".into(),
            "--window-size=1280,800".into(),
            format!("--user-data-dir={}", profile.display()),
            format!("--log-net-log={}", net_log.display()),
        ];
        let capabilities = json!({
            "goog:chromeOptions": { "binary": chromium, "args": arguments },
            "goog:loggingPrefs": { "browser": "ALL" },
        });
        let Value::Object(capabilities) = capabilities else { unreachable!("an object, as written above") };
        ClientBuilder::new(HttpConnector::new())
            .capabilities(capabilities)
            .connect(&self.address)
            .await
            .context("the browser did not start")
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // Already ended is as good.
        let _ended = self.process.kill();
        let _waited = self.process.wait();
    }
}

/// A command that only Chromium's driver knows, below `session/{id}/`.
#[derive(Debug)]
pub struct ChromiumCommand {
    path: &'static str,
    body: Value,
}

impl ChromiumCommand {
    /// One call of the DevTools protocol.
    pub fn devtools(method: &str, parameters: Value) -> Self {
        Self { path: "goog/cdp/execute", body: json!({ "cmd": method, "params": parameters }) }
    }

    /// What was logged to the console since the last call.
    pub fn console() -> Self {
        Self { path: "se/log", body: json!({ "type": "browser" }) }
    }
}

impl WebDriverCompatibleCommand for ChromiumCommand {
    fn endpoint(&self, base: &url::Url, session: Option<&str>) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/{}", session.unwrap_or_default(), self.path))
    }

    fn method_and_body(&self, _url: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(self.body.to_string()))
    }
}

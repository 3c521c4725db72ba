//! The page served to one journey: a folder of its own and a server process that can really be stopped.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use anyhow::{Context, ensure};

use crate::repo;
use crate::site::dist::{self, Files};
use crate::site::packed;

/// One served site.
pub struct Site {
    generated: PathBuf,
    folder: PathBuf,
    public_url: String,
    server: Option<Child>,
    address: String,
}

impl Site {
    /// Lays the build out in `folder` and serves it.
    pub fn start(generated: &Path, folder: &Path, public_url: &str) -> anyhow::Result<Self> {
        let mut site = Self {
            generated: generated.into(),
            folder: folder.into(),
            public_url: public_url.into(),
            server: None,
            address: String::new(),
        };
        site.publish(Files::new())?;
        site.serve("0")?;
        Ok(site)
    }

    /// Replaces the site by a build with `more` files in it; gives that build's name.
    pub fn publish(&self, more: Files) -> anyhow::Result<String> {
        let built = dist::gather(&repo::root(), &self.generated, &self.public_url, more)?;
        dist::write(&built, &self.folder)?;
        Ok(built.hash)
    }

    /// Lays it out as `build` does for a real host, with packed copies.
    pub fn publish_packed(&self) -> anyhow::Result<()> {
        let mut built = dist::gather(&repo::root(), &self.generated, &self.public_url, Files::new())?;
        built.files.extend(packed::beside(&built.files)?);
        dist::write(&built, &self.folder)
    }

    /// Overwrites one published file, as a copy that broke off would leave it.
    pub fn spoil(&self, path: &str) -> anyhow::Result<()> {
        let file = self.folder.join(path);
        ensure!(file.is_file(), "{path} is not part of the site");
        Ok(std::fs::write(file, "half of")?)
    }

    /// Where the page is, with the path and a slash at the end.
    pub fn address(&self) -> &str {
        &self.address
    }

    /// Ends the server: from here on nobody listens at the address.
    pub fn stop(&mut self) -> anyhow::Result<()> {
        if let Some(mut server) = self.server.take() {
            server.kill()?;
            server.wait()?;
        }
        Ok(())
    }

    /// Serves again at the same address.
    pub fn restart(&mut self) -> anyhow::Result<()> {
        let before = self.address.clone();
        let port =
            before.split(':').nth(2).and_then(|rest| rest.split('/').next()).context("no port")?.to_owned();
        self.serve(&port)?;
        ensure!(self.address == before, "the port {port} was taken by somebody else meanwhile");
        Ok(())
    }

    fn serve(&mut self, port: &str) -> anyhow::Result<()> {
        let mut command = Command::new(repo::tool()?);
        command.args(["serve", "--no-build", "--port", port, "--out"]).arg(&self.folder);
        if !self.public_url.is_empty() {
            command.args(["--public-url", &self.public_url]);
        }
        let mut server = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn()?;
        let output = server.stdout.take().context("the server has no output")?;
        self.server = Some(server);
        let line = BufReader::new(output).lines().next().context("the server said nothing")??;
        let address = line.strip_prefix("Serving on ").with_context(|| format!("the server said: {line}"))?;
        self.address = address.to_owned();
        Ok(())
    }
}

impl Drop for Site {
    fn drop(&mut self) {
        // Nothing left to do about a server that will not end.
        let _stopped = self.stop();
    }
}

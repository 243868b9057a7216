//! What cargo says of the crates of the workspace and of what they depend on. The only place that calls cargo.

use serde::Deserialize;
use std::error::Error;
use std::path::Path;
use std::process::Command;

/// The workspace as `cargo metadata --no-deps` describes it.
#[derive(Clone, Debug, Deserialize)]
pub struct Metadata {
    /// Where the workspace is.
    pub workspace_root: String,
    /// Our crates.
    pub packages: Vec<Package>,
}

/// One of our crates.
#[derive(Clone, Debug, Deserialize)]
pub struct Package {
    /// Its name.
    pub name: String,
    /// Where its manifest is.
    pub manifest_path: String,
    /// What it depends on directly.
    pub dependencies: Vec<Dependency>,
}

/// A direct dependency.
#[derive(Clone, Debug, Deserialize)]
pub struct Dependency {
    /// The name of the crate depended on.
    pub name: String,
    /// Absent for a normal one, else `dev` or `build`.
    pub kind: Option<String>,
    /// Where it is, if it is ours.
    pub path: Option<String>,
}

impl Metadata {
    /// Asks cargo about the workspace at `root`, without network.
    pub fn read(root: &Path) -> Result<Self, Box<dyn Error>> {
        let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let output = Command::new(cargo)
            .args(["metadata", "--format-version", "1", "--no-deps", "--offline"])
            .current_dir(root)
            .output()?;
        if !output.status.success() {
            return Err(String::from_utf8_lossy(&output.stderr).into());
        }
        Ok(serde_json::from_slice(&output.stdout)?)
    }

    /// The folder of a crate from the root of the workspace (`crates/model`).
    pub fn folder<'a>(&self, package: &'a Package) -> &'a str {
        let inside =
            package.manifest_path.strip_prefix(&self.workspace_root).unwrap_or(&package.manifest_path);
        inside.trim_start_matches('/').trim_end_matches("Cargo.toml").trim_end_matches('/')
    }

    /// Crates of the product: those under `crates/`.
    pub fn product(&self) -> impl Iterator<Item = &Package> {
        self.packages.iter().filter(|package| self.folder(package).starts_with("crates/"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cargo_tells_of_this_crate_and_where_it_is() {
        let metadata = Metadata::read(&crate::root()).unwrap();
        let own = metadata.packages.iter().find(|package| package.name == "setwright-xtask").unwrap();
        assert_eq!(metadata.folder(own), "dev/xtask");
        assert!(own.dependencies.iter().any(|dependency| dependency.name == "serde_json"));
        assert!(metadata.product().all(|package| package.name != "setwright-xtask"));
    }
}

//! A Rust toolchain that can build for WebAssembly: the one in use, or Debian's.
//!
//! Rustup's needs the target's own standard library. Debian's ships none, but ships its source, which cargo then builds
//! along. Nothing is installed from here: where both are missing the error says what to install.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The target of a component's core module.
pub const TARGET: &str = "wasm32-unknown-unknown";

/// A way to build.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Toolchain {
    /// The cargo in use; its standard library for the target is installed.
    InUse {
        /// What `rustc --version` says.
        version: String,
    },
    /// Debian's `cargo-web`, `rustc-web` and `rust-web-src`, with lld as linker.
    Debian {
        /// What `rustc --version` says.
        version: String,
        /// The linker.
        linker: PathBuf,
    },
}

/// Says what to install.
pub const ADVICE: &str = "no Rust toolchain here can build for wasm32-unknown-unknown; install one of:\n\
    rustup: `rustup target add wasm32-unknown-unknown`\n\
    Debian: `apt-get install cargo-web rustc-web rust-web-src lld-19`";

const DEBIAN_CARGO: &str = "/usr/bin/cargo";
const DEBIAN_RUSTC: &str = "/usr/bin/rustc";

impl Toolchain {
    /// The first that can build here.
    pub fn find() -> Option<Toolchain> {
        Toolchain::in_use().or_else(Toolchain::debian)
    }

    fn in_use() -> Option<Toolchain> {
        let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
        let libraries = PathBuf::from(said(&rustc, &["--print", "target-libdir", "--target", TARGET])?);
        let installed = std::fs::read_dir(libraries).ok()?.flatten();
        let mut names = installed.map(|entry| entry.file_name().to_string_lossy().into_owned());
        names.any(|name| name.starts_with("libstd-")).then_some(())?;
        Some(Toolchain::InUse { version: said(&rustc, &["--version"])? })
    }

    fn debian() -> Option<Toolchain> {
        let rustc = OsString::from(DEBIAN_RUSTC);
        let version = said(&rustc, &["--version"])?;
        let source = Path::new(&said(&rustc, &["--print", "sysroot"])?).join("lib/rustlib/src/rust/library/std");
        let linker = linker()?;
        (source.is_dir() && Path::new(DEBIAN_CARGO).is_file()).then_some(Toolchain::Debian { version, linker })
    }

    /// What `rustc --version` says.
    pub fn version(&self) -> &str {
        match self {
            Toolchain::InUse { version } | Toolchain::Debian { version, .. } => version,
        }
    }

    /// `cargo build` for the target; the caller adds the package.
    pub(crate) fn cargo_build(&self) -> Command {
        match self {
            Toolchain::InUse { .. } => {
                let mut cargo = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
                cargo.args(["build", "--target", TARGET]);
                cargo
            }
            Toolchain::Debian { linker, .. } => {
                let mut cargo = Command::new(DEBIAN_CARGO);
                cargo.args(["build", "--target", TARGET, "-Zbuild-std=std,panic_abort"]);
                // Building the standard library along is an unstable option, which Debian's stable cargo has all the same.
                cargo.env("RUSTC_BOOTSTRAP", "1").env("RUSTC", DEBIAN_RUSTC).env_remove("RUSTUP_TOOLCHAIN");
                cargo.env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker);
                cargo
            }
        }
    }
}

/// LLVM's linker for WebAssembly; Debian puts the version into the name.
fn linker() -> Option<PathBuf> {
    let names = std::iter::once("wasm-ld".to_owned()).chain((14..30).rev().map(|version| format!("wasm-ld-{version}")));
    names.map(|name| Path::new("/usr/bin").join(name)).find(|path| path.is_file())
}

/// The first line that a program prints, if it runs well.
fn said(program: &OsString, arguments: &[&str]) -> Option<String> {
    let output = Command::new(program).args(arguments).output().ok()?;
    let text = String::from_utf8(output.stdout).ok()?;
    output.status.success().then(|| text.trim().to_owned())
}

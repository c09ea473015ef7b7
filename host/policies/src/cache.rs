//! Compiled components on disk, so that a policy is compiled once and not at each start.
//!
//! A file is `<dir>/<engine fingerprint>/<component digest>.cwasm`: the code, then a seal. Compiled code is trusted code,
//! so the directory must be one that only its owner may write to, and a file whose seal does not fit is passed over and
//! written again. Trouble with the cache never stops a policy from being loaded; it is compiled then.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use sha2::{Digest, Sha256};

const SEAL_BYTES: usize = 32;

pub(crate) struct Cache {
    dir: PathBuf,
    fingerprint: String,
}

impl Cache {
    pub(crate) fn new(dir: &Path, fingerprint: String) -> Self {
        Cache { dir: dir.join(&fingerprint), fingerprint }
    }

    /// The code for a component, if it is there and whole.
    pub(crate) fn code(&self, digest: &str) -> Option<Vec<u8>> {
        if !is_private(&self.dir) {
            return None;
        }
        let mut bytes = fs::read(self.path(digest)).ok()?;
        let code = bytes.len().checked_sub(SEAL_BYTES)?;
        let whole = self.seal(digest, &bytes[..code])[..] == bytes[code..];
        bytes.truncate(code);
        whole.then_some(bytes)
    }

    /// Keeps the code for a component. A reader never sees half a file.
    pub(crate) fn keep(&self, digest: &str, code: &[u8]) {
        static NEXT: AtomicU32 = AtomicU32::new(0);
        if create_private(&self.dir).is_err() || !is_private(&self.dir) {
            return;
        }
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let half = self.dir.join(format!("{digest}.{}-{number}.half", std::process::id()));
        let written = fs::File::create(&half).and_then(|mut file| {
            file.write_all(code)?;
            file.write_all(&self.seal(digest, code))
        });
        if written.and_then(|()| fs::rename(&half, self.path(digest))).is_err() {
            // Nothing more can be done; the next load compiles again.
            let _ = fs::remove_file(&half);
        }
    }

    fn path(&self, digest: &str) -> PathBuf {
        self.dir.join(format!("{digest}.cwasm"))
    }

    /// Binds the code to the engine and the component, so that a file in the wrong place does not fit.
    fn seal(&self, digest: &str, code: &[u8]) -> [u8; SEAL_BYTES] {
        let mut hash = Sha256::new();
        hash.update(b"classwright compiled policy\0");
        hash.update(self.fingerprint.as_bytes());
        hash.update(digest.as_bytes());
        hash.update(code);
        hash.finalize().into()
    }
}

#[cfg(unix)]
fn create_private(dir: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::DirBuilderExt;
    fs::DirBuilder::new().recursive(true).mode(0o700).create(dir)
}

#[cfg(not(unix))]
fn create_private(dir: &Path) -> std::io::Result<()> {
    fs::create_dir_all(dir)
}

/// True where nobody but the owner may write.
#[cfg(unix)]
fn is_private(dir: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt;
    fs::metadata(dir).is_ok_and(|meta| meta.is_dir() && meta.permissions().mode() & 0o022 == 0)
}

#[cfg(not(unix))]
fn is_private(dir: &Path) -> bool {
    dir.is_dir()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cache(dir: &Path) -> Cache {
        Cache::new(dir, "engine-a".into())
    }

    #[test]
    fn code_comes_back_as_it_went_in() {
        let dir = tempfile::tempdir().unwrap();
        cache(dir.path()).keep("d1", b"code");
        assert_eq!(cache(dir.path()).code("d1").unwrap(), b"code");
        assert_eq!(cache(dir.path()).code("d2"), None);
    }

    #[test]
    fn a_changed_file_is_passed_over() {
        let dir = tempfile::tempdir().unwrap();
        cache(dir.path()).keep("d1", b"code");
        let path = dir.path().join("engine-a/d1.cwasm");
        let mut bytes = fs::read(&path).unwrap();
        bytes[0] ^= 1;
        fs::write(&path, &bytes).unwrap();
        assert_eq!(cache(dir.path()).code("d1"), None);
        fs::write(&path, b"short").unwrap();
        assert_eq!(cache(dir.path()).code("d1"), None);
    }

    #[test]
    fn a_file_of_another_component_or_engine_is_passed_over() {
        let dir = tempfile::tempdir().unwrap();
        cache(dir.path()).keep("d1", b"code");
        let home = dir.path().join("engine-a");
        fs::copy(home.join("d1.cwasm"), home.join("d2.cwasm")).unwrap();
        assert_eq!(cache(dir.path()).code("d2"), None);
        let other = Cache::new(dir.path(), "engine-b".into());
        create_private(&other.dir).unwrap();
        fs::copy(home.join("d1.cwasm"), other.path("d1")).unwrap();
        assert_eq!(other.code("d1"), None);
    }

    #[cfg(unix)]
    #[test]
    fn a_directory_that_others_may_write_to_is_not_used() {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir().unwrap();
        cache(dir.path()).keep("d1", b"code");
        let home = dir.path().join("engine-a");
        assert_eq!(fs::metadata(&home).unwrap().permissions().mode() & 0o777, 0o700);
        fs::set_permissions(&home, fs::Permissions::from_mode(0o777)).unwrap();
        assert_eq!(cache(dir.path()).code("d1"), None);
        cache(dir.path()).keep("d2", b"code");
        assert!(!home.join("d2.cwasm").exists());
    }
}

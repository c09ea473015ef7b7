//! What can be said of a component without running it, and whether the host takes it.

use std::fmt;

use crate::{FailureKind, Kind};

/// The contract's package, without its version.
const PACKAGE: &str = "classwright:policy/";
/// The interfaces that a policy may import. `cards` has no functions: a component names it for its types.
const OFFERED: [&str; 3] = ["library", "last-words", "cards"];

/// A version of the contract.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Contract {
    /// Types: another major is another contract.
    pub major: u64,
    /// Functions: a host takes its own minor and all before it.
    pub minor: u64,
    /// Words.
    pub patch: u64,
}

/// The newest version of the contract that this host knows.
pub const CONTRACT: Contract = Contract { major: 1, minor: 0, patch: 0 };

impl fmt::Display for Contract {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}.{}", self.major, self.minor, self.patch)
    }
}

impl Contract {
    fn parse(text: &str) -> Option<Contract> {
        let mut numbers = text.splitn(3, '.').map(|number| number.parse().ok());
        let contract = Contract { major: numbers.next()??, minor: numbers.next()??, patch: numbers.next()?? };
        Some(contract)
    }

    fn is_taken(self) -> bool {
        self.major == CONTRACT.major && (self.major, self.minor) <= (CONTRACT.major, CONTRACT.minor)
    }
}

/// What can be said of a component without running it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inspection {
    /// SHA-256 of the component, hex.
    pub digest: String,
    /// Its length in bytes.
    pub size: u64,
    /// The kinds of question that it answers; never empty.
    pub kinds: Vec<Kind>,
    /// Names of its imports, sorted.
    pub imports: Vec<String>,
    /// Names of its exports, sorted.
    pub exports: Vec<String>,
    /// The newest version of the contract that it names.
    pub contract: Contract,
}

impl Inspection {
    /// Takes a component or says why not: first the version, since all else depends on it, then what it asks for, then
    /// what it offers.
    pub(crate) fn new(
        digest: String,
        size: u64,
        mut imports: Vec<String>,
        mut exports: Vec<String>,
    ) -> Result<Self, FailureKind> {
        imports.sort();
        exports.sort();
        let contract = newest(imports.iter().chain(&exports))?;
        let refused: Vec<String> = imports
            .iter()
            .filter(|name| !interface(name).is_some_and(|(interface, _)| OFFERED.contains(&interface)))
            .cloned()
            .collect();
        if !refused.is_empty() {
            return Err(FailureKind::ImportRefused { imports: refused });
        }
        let has = |wanted: &str| exports.iter().any(|name| interface(name).is_some_and(|(found, _)| found == wanted));
        let kinds: Vec<Kind> = Kind::ALL.into_iter().filter(|kind| has(rule(*kind))).collect();
        let (Some(contract), true, false) = (contract, has("about"), kinds.is_empty()) else {
            let found = match &exports[..] {
                [] => "a component that exports nothing".into(),
                names => format!("a component that exports only {}", names.join(", ")),
            };
            return Err(FailureKind::Incompatible { found, wanted: wanted() });
        };
        Ok(Inspection { digest, size, kinds, imports, exports, contract })
    }

    /// The full name under which it exports an interface of the contract.
    pub(crate) fn export(&self, wanted: &str) -> Option<&str> {
        let is = |name: &&String| interface(name).is_some_and(|(found, _)| found == wanted);
        self.exports.iter().find(is).map(String::as_str)
    }
}

/// What the host takes, in the words of a failure.
pub(crate) fn wanted() -> String {
    let Contract { major, minor, .. } = CONTRACT;
    let versions = if minor == 0 { format!("{major}.0") } else { format!("{major}.0 to {major}.{minor}") };
    format!("a component that exports `about` and a rule of classwright:policy {versions}")
}

/// The interface of the contract that holds a kind's rule.
pub(crate) const fn rule(kind: Kind) -> &'static str {
    match kind {
        Kind::Scaling => "scaling-rule",
        Kind::Substitution => "substitution-rule",
        Kind::Heats => "heats-rule",
    }
}

/// The newest version among names of the contract; refuses one that the host does not know.
fn newest<'a>(names: impl Iterator<Item = &'a String>) -> Result<Option<Contract>, FailureKind> {
    let mut newest = None;
    for (_, contract) in names.filter_map(|name| interface(name)) {
        if !contract.is_taken() {
            let found = format!("a policy for classwright:policy {contract}");
            return Err(FailureKind::Incompatible { found, wanted: wanted() });
        }
        newest = newest.max(Some(contract));
    }
    Ok(newest)
}

/// Splits `classwright:policy/library@1.0.0` into interface and version.
fn interface(name: &str) -> Option<(&str, Contract)> {
    let (interface, version) = name.strip_prefix(PACKAGE)?.split_once('@')?;
    Some((interface, Contract::parse(version)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inspect(imports: &[&str], exports: &[&str]) -> Result<Inspection, FailureKind> {
        let owned = |names: &[&str]| names.iter().map(|name| name.to_string()).collect();
        Inspection::new("d".into(), 1, owned(imports), owned(exports))
    }

    #[test]
    fn a_policy_is_taken_with_its_kinds() {
        let exports = ["classwright:policy/heats-rule@1.0.7", "classwright:policy/about@1.0.0"];
        let inspection = inspect(&["classwright:policy/last-words@1.0.0"], &exports).unwrap();
        assert_eq!(inspection.kinds, [Kind::Heats]);
        assert_eq!(inspection.contract.to_string(), "1.0.7");
        assert_eq!(inspection.export("heats-rule"), Some(exports[0]));
    }

    #[test]
    fn another_version_is_incompatible_before_anything_else() {
        for version in ["2.0.0", "1.1.0", "0.9.0"] {
            let about = format!("classwright:policy/about@{version}");
            let failure = inspect(&["wasi:cli/environment@0.2.0"], &[&about]).unwrap_err();
            let FailureKind::Incompatible { found, wanted } = failure else { panic!("{failure:?}") };
            assert_eq!(found, format!("a policy for classwright:policy {version}"));
            assert!(wanted.contains("classwright:policy 1.0"), "{wanted}");
        }
    }

    #[test]
    fn imports_outside_the_contract_are_listed() {
        let imports =
            ["wasi:cli/environment@0.2.0", "classwright:policy/library@1.0.0", "classwright:policy/about@1.0.0"];
        let failure = inspect(&imports, &["classwright:policy/about@1.0.0"]).unwrap_err();
        let expected = vec!["classwright:policy/about@1.0.0".to_string(), "wasi:cli/environment@0.2.0".to_string()];
        assert_eq!(failure, FailureKind::ImportRefused { imports: expected });
    }

    #[test]
    fn a_component_without_a_rule_or_without_about_is_incompatible() {
        for exports in
            [&[][..], &["run"], &["classwright:policy/about@1.0.0"], &["classwright:policy/heats-rule@1.0.0"]]
        {
            assert_eq!(inspect(&[], exports).unwrap_err().id(), "incompatible", "{exports:?}");
        }
    }
}

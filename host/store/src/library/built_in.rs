//! The files that are built in: one a pattern, and the kinds of kit. A test holds the list to the folder.

use std::path::PathBuf;

use crate::file::Text;

macro_rules! patterns {
    ($($name:literal),* $(,)?) => {
        /// All movement patterns. The list is the host's: a policy groups movements by them, so a gym cannot add one by a
        /// slip of the pen.
        pub const PATTERNS: [&str; 24] = [$($name),*];

        const MOVEMENTS: [(&str, &str); 24] =
            [$((concat!("movements/", $name, ".toml"), include_str!(concat!("../../movements/", $name, ".toml")))),*];
    };
}

patterns![
    "arm",
    "calf",
    "carry",
    "clean",
    "front-squat",
    "hinge",
    "horizontal-press",
    "horizontal-pull",
    "jerk",
    "jump",
    "lunge",
    "machine",
    "mobility",
    "overhead-squat",
    "rope",
    "rotation",
    "run",
    "snatch",
    "squat",
    "swing",
    "trunk",
    "vertical-press",
    "vertical-pull",
    "whole-body",
];

/// The movement files.
pub(super) fn movements() -> Vec<Text> {
    MOVEMENTS.iter().map(|(name, text)| built_in(name, text)).collect()
}

/// The kinds of kit.
pub(super) fn kit_kinds() -> Text {
    built_in("kit-kinds.toml", include_str!("../../kit-kinds.toml"))
}

fn built_in(name: &str, text: &str) -> Text {
    Text { path: PathBuf::from("built-in").join(name), text: text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_file_of_the_folder_is_built_in() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/movements");
        let mut there: Vec<String> = std::fs::read_dir(folder)
            .expect("it is in the crate")
            .map(|entry| format!("movements/{}", entry.expect("it can be read").file_name().to_string_lossy()))
            .collect();
        there.sort();
        assert_eq!(there, MOVEMENTS.map(|(name, _)| name.to_owned()));
    }
}

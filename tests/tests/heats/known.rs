//! What is known of the floors of `tests/data/heats`.

/// Floor, the earliest end known and the highest bound known: `tests/data/heats/README.md`.
pub(crate) const KNOWN: [(&str, u32, u32); 11] = [
    ("c08a", 927, 927),
    ("c08c", 977, 977),
    ("c16a", 908, 822),
    ("c16c", 1043, 842),
    ("c24a", 998, 949),
    ("c24c", 1516, 1457),
    ("c24e", 1317, 1102),
    ("c40a", 1124, 888),
    ("c40c", 967, 887),
    ("c60a", 1047, 927),
    ("c60c", 1502, 1398),
];

//! Exit codes, as `--help` and the manual page list them. DEVELOPERS.md has the same table; a test holds them together.

/// Each code with its meaning.
const CODES: [(&str, &str); 11] = [
    ("0", "done"),
    ("1", "a fault in classwright itself"),
    ("2", "the input is not right: arguments, session, a gym's files, a name"),
    ("3", "a file, or the data of a gym, cannot be read or written, or no host answers"),
    ("4", "the policy runtime cannot start on this machine"),
    ("5", "a policy cannot be built, or its cases do not pass"),
    ("6", "no floor plan is possible"),
    ("7", "it was changed in the meantime: nothing was done; look again"),
    ("8", "whoever asked may not do that, or is not known: a token is needed"),
    ("9", "too much is going on at the moment: nothing was done; try again"),
    ("20-29", "a policy failed; DEVELOPERS.md lists the kinds"),
];

/// The table for `--help`.
pub(crate) fn help() -> String {
    let line = |(code, meaning): &(&str, &str)| format!("  {code:<6} {meaning}");
    let lines: Vec<String> = CODES.iter().map(line).collect();
    format!("Exit codes:\n{}", lines.join("\n"))
}

#[cfg(test)]
mod tests {
    use super::CODES;

    const MAP: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../DEVELOPERS.md");

    /// Codes with their meanings that no row of the developers' table begins with.
    fn missing(map: &str) -> Vec<String> {
        let rows: Vec<&str> = map.lines().filter(|line| line.starts_with('|')).collect();
        let row = |(code, meaning): &(&str, &str)| {
            format!("| {code} | {}", meaning.split([':', ';', ',']).next().unwrap_or(meaning))
        };
        CODES.iter().map(row).filter(|wanted| !rows.iter().any(|row| row.starts_with(wanted.as_str()))).collect()
    }

    #[test]
    fn the_developers_page_has_the_same_codes() {
        let map = std::fs::read_to_string(MAP).expect("DEVELOPERS.md");
        assert_eq!(missing(&map), Vec::<String>::new());
        let without = map.replace("| 7 |", "| 17 |");
        assert_eq!(missing(&without).len(), 1, "a row with another code is found out");
    }
}

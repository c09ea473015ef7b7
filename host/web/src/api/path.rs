//! Paths of what was made, for `Location`.

use std::fmt::Write;

/// The path of something in a gym.
pub(crate) fn in_gym(gym: &str, parts: &[&str]) -> String {
    let mut path = String::from("/v1/gyms/");
    push(&mut path, gym);
    for part in parts {
        path.push('/');
        push(&mut path, part);
    }
    path
}

/// One part, with everything escaped that could mean something else in a path.
fn push(path: &mut String, part: &str) {
    for byte in part.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.' | b'~') {
            path.push(char::from(byte));
        } else {
            write!(path, "%{byte:02X}").expect("a text takes every letter");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::in_gym;

    #[test]
    fn what_could_mean_something_else_is_escaped() {
        assert_eq!(in_gym("hall", &["athletes", "a/ö ?"]), "/v1/gyms/hall/athletes/a%2F%C3%B6%20%3F");
    }
}

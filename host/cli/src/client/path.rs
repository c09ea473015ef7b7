//! Paths of the service: what is between slashes may be any text.

use std::fmt;

/// A path with what is asked behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Path {
    path: String,
    query: String,
}

impl Path {
    /// From the top: `Path::new(&["v1", "gyms", id])`.
    pub(crate) fn new(steps: &[&str]) -> Path {
        Path { path: String::new(), query: String::new() }.then(steps)
    }

    /// Further down.
    pub(crate) fn then(mut self, steps: &[&str]) -> Path {
        for step in steps {
            self.path.push('/');
            self.path += &escaped(step);
        }
        self
    }

    /// With something asked.
    pub(crate) fn query(mut self, name: &str, value: &str) -> Path {
        self.query.push(if self.query.is_empty() { '?' } else { '&' });
        self.query += &format!("{name}={}", escaped(value));
        self
    }

    /// With something asked, where there is something to ask.
    pub(crate) fn maybe(self, name: &str, value: Option<&str>) -> Path {
        match value {
            Some(value) => self.query(name, value),
            None => self,
        }
    }
}

impl fmt::Display for Path {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.path, self.query)
    }
}

/// Everything but letters, digits and `-._~` as RFC 3986, section 2.1 writes it.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => out.push(char::from(byte)),
            _ => out += &format!("%{byte:02X}"),
        }
    }
    // A step of dots alone would be taken for a way up.
    match out.as_str() {
        "." => "%2E".into(),
        ".." => "%2E%2E".into(),
        _ => out,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_breaks_out_of_its_step() {
        let path = Path::new(&["v1", "gyms", "a/b?c", ".."]).query("after", "2026 & on").maybe("to", None);
        assert_eq!(path.to_string(), "/v1/gyms/a%2Fb%3Fc/%2E%2E?after=2026%20%26%20on");
    }
}

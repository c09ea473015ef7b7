//! Putting what stands for an erased person in the place of their id and name, in JSON that was kept.
//!
//! The text is changed string by string and otherwise stays byte for byte as it was. An id is an everyday word as often
//! as not, so it is left alone where only names of other things can stand: `row` is a movement there. A name is
//! replaced wherever it stands.

/// Who was erased, and what stands in their place.
#[derive(Clone, Debug)]
pub(crate) struct Former {
    /// Their id.
    pub(crate) id: String,
    /// Their name.
    pub(crate) name: String,
    /// The id that stands in its place.
    pub(crate) stands: String,
}

/// The name that stands in place of a name.
pub(crate) const NAME: &str = "Former athlete";

/// Keys under which no athlete's id can stand.
const OTHER: [&str; 33] = [
    "about",
    "ask",
    "bar",
    "bar_kind",
    "by",
    "call",
    "class",
    "cues",
    "date",
    "digest",
    "from",
    "gym",
    "heading",
    "intent",
    "kind",
    "kit",
    "laid_out_by",
    "measure",
    "movement",
    "notes",
    "only_in",
    "or_choose",
    "part",
    "place",
    "policy",
    "region",
    "rule",
    "sides",
    "starts",
    "state",
    "title",
    "to",
    "version",
];

impl Former {
    /// The JSON without them; `None` where they are not in it.
    pub(crate) fn rewritten(&self, json: &str) -> Option<String> {
        let mut written = String::with_capacity(json.len());
        let mut changed = false;
        for token in Tokens::of(json) {
            match token {
                Token::Text { raw, key, holder } => match self.replaced(raw, key, holder) {
                    Some(new) => {
                        changed = true;
                        written += &new;
                    }
                    None => written += raw,
                },
                Token::Other(raw) => written += raw,
            }
        }
        changed.then_some(written)
    }

    /// Whether a text speaks of them.
    pub(crate) fn is_in(&self, text: &str) -> bool {
        let name = self.name_in_json();
        word(text, &self.id).is_some() || word(text, &self.name).is_some() || word(text, &name).is_some()
    }

    /// Whether a text has their name.
    pub(crate) fn is_named_in(&self, text: &str) -> bool {
        word(text, &self.name).is_some()
    }

    /// Patterns of SQL's LIKE that every text fits which speaks of them, with `\` as its escape.
    pub(crate) fn patterns(&self) -> [String; 2] {
        let pattern = |text: &str| {
            let escaped = text.replace('\\', "\\\\").replace('%', "\\%").replace('_', "\\_");
            format!("%{escaped}%")
        };
        [pattern(&inner(&self.id)), pattern(&self.name_in_json())]
    }

    fn name_in_json(&self) -> String {
        inner(&self.name)
    }

    /// A string of JSON, quotes and all, without them.
    fn replaced(&self, raw: &str, key: &str, holder: &str) -> Option<String> {
        let text: String = serde_json::from_str(raw).ok()?;
        let mut new = all_words(&text, &self.name, NAME);
        let of_movement = key == "name" && holder == "movements";
        let of_item = key == "text" && holder == "items";
        if !OTHER.contains(&key) && !of_movement && !of_item {
            new = all_words(&new, &self.id, &self.stands);
        }
        (new != text).then(|| serde_json::Value::from(new).to_string())
    }
}

/// A text as it stands between the quotes of JSON.
fn inner(text: &str) -> String {
    let quoted = serde_json::Value::from(text).to_string();
    quoted[1..quoted.len() - 1].to_owned()
}

fn all_words(text: &str, old: &str, new: &str) -> String {
    let mut written = String::new();
    let mut rest = text;
    // What stands before the rest decides whether a word begins with it.
    let mut done = 0;
    while let Some(at) = word_after(text, done, old) {
        written += &text[done..at];
        written += new;
        done = at + old.len();
        rest = &text[done..];
    }
    written + rest
}

fn word(text: &str, word: &str) -> Option<usize> {
    word_after(text, 0, word)
}

/// Where a word stands by itself, from some place on.
fn word_after(text: &str, from: usize, word: &str) -> Option<usize> {
    if word.is_empty() {
        return None;
    }
    let goes_on = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_');
    text[from..].match_indices(word).map(|(at, _)| from + at).find(|&at| {
        let before = text[..at].chars().next_back();
        let after = text[at + word.len()..].chars().next();
        // A backslash before a letter is an escape of JSON, which is no part of a word.
        let escaped = text[..at].ends_with("\\n") || text[..at].ends_with("\\t");
        (escaped || !before.is_some_and(goes_on)) && !after.is_some_and(goes_on)
    })
}

/// A piece of JSON.
enum Token<'t> {
    /// A string that is a value: with its quotes, the key it stands under, and the key that the object stands under.
    Text { raw: &'t str, key: &'t str, holder: &'t str },
    /// Everything else.
    Other(&'t str),
}

/// JSON piece by piece; put together they are the whole again.
struct Tokens<'t> {
    json: &'t str,
    at: usize,
    /// Keys of the objects that are open; `None` for a list.
    open: Vec<Option<&'t str>>,
    key_is_next: bool,
}

impl<'t> Tokens<'t> {
    fn of(json: &'t str) -> Self {
        Tokens { json, at: 0, open: Vec::new(), key_is_next: false }
    }
}

impl<'t> Iterator for Tokens<'t> {
    type Item = Token<'t>;

    fn next(&mut self) -> Option<Token<'t>> {
        let rest = &self.json[self.at..];
        let first = rest.chars().next()?;
        if first != '"' {
            match first {
                '{' => self.open.push(Some("")),
                '[' => self.open.push(None),
                '}' | ']' => drop(self.open.pop()),
                _ => {}
            }
            match first {
                '{' | ',' | '}' | ']' => self.key_is_next = matches!(self.open.last(), Some(Some(_))),
                ':' | '[' => self.key_is_next = false,
                _ => {}
            }
            let raw = &rest[..first.len_utf8()];
            self.at += raw.len();
            return Some(Token::Other(raw));
        }
        let mut escaped = false;
        let end = rest[1..].find(|c| match (escaped, c) {
            (true, _) => {
                escaped = false;
                false
            }
            (false, '\\') => {
                escaped = true;
                false
            }
            (false, c) => c == '"',
        });
        let raw = end.map_or(rest, |end| &rest[..end + 2]);
        self.at += raw.len();
        if self.key_is_next {
            if let Some(Some(key)) = self.open.last_mut() {
                *key = raw.trim_matches('"');
            }
            return Some(Token::Other(raw));
        }
        let mut keys = self.open.iter().rev().filter_map(|key| *key);
        let (key, holder) = (keys.next().unwrap_or_default(), keys.next().unwrap_or_default());
        Some(Token::Text { raw, key, holder })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn former(id: &str, name: &str) -> Former {
        Former { id: id.into(), name: name.into(), stands: "erased-1".into() }
    }

    #[test]
    fn ids_and_names_go_and_everything_else_stays_as_it_was() {
        let json = r#"{ "cards": [ {"athlete":"ama", "name":"Ama \"T\" Wöll", "n": 1.50,
            "why":["ama waits for bram; ama's bar"]} ], "together":[["bram","ama"]], "amazing":"amaranth ama-2"}"#;
        let new = former("ama", "Ama \"T\" Wöll").rewritten(json).expect("she is in it");
        let expected = r#"{ "cards": [ {"athlete":"erased-1", "name":"Former athlete", "n": 1.50,
            "why":["erased-1 waits for bram; erased-1's bar"]} ], "together":[["bram","erased-1"]], "amazing":"amaranth ama-2"}"#;
        assert_eq!(new, expected);
        assert!(!former("ama", "Ama \"T\" Wöll").is_in(&new));
        assert_eq!(former("kofi", "Kofi Lund").rewritten(json), None);
    }

    #[test]
    fn a_word_that_is_an_id_too_stays_where_it_means_something_else() {
        let json = r#"{"cards":[{"athlete":"row","items":[{"text":"15 cal row machine","movements":[{"movement":"row",
            "name":"row"}]}]}],"cautions":[{"text":"row is in two classes"}]}"#;
        let new = former("row", "Row Anselm").rewritten(json).expect("they are in it");
        assert!(new.contains(r#""athlete":"erased-1","items":[{"text":"15 cal row machine""#), "{new}");
        assert!(new.contains(r#""movement":"row""#) && new.contains(r#""name":"row""#), "{new}");
        assert!(new.contains("erased-1 is in two classes"), "{new}");
    }

    #[test]
    fn patterns_find_what_has_signs_of_their_own() {
        let [id, name] = former("a_b%", r#"Bo "X""#).patterns();
        assert_eq!(id, r"%a\_b\%%");
        // The quote is escaped once for JSON, and the backslash of that once for LIKE.
        assert_eq!(name, r#"%Bo \\"X\\"%"#);
    }

    #[test]
    fn a_line_break_before_a_name_hides_it_not() {
        let raw = r#"{"text":"sheet\nama,Ama Tidewell,1"}"#;
        assert!(former("ama", "Ama Tidewell").is_in(raw));
        assert!(former("ama", "Ama Tidewell").rewritten(raw).is_some());
    }
}

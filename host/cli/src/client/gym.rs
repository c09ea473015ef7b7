//! Which gym.

use super::{Call, Client, Method, Path};
use crate::error::CliError;

impl Client {
    /// A path within the gym that was named, or within the only one there is.
    pub(crate) fn gym(&self, steps: &[&str]) -> Result<Path, CliError> {
        let gym = match &self.gym {
            Some(gym) => gym.clone(),
            None => self.only_gym()?,
        };
        Ok(Path::new(&["v1", "gyms", &gym]).then(steps))
    }

    /// Whether there is a gym, as far as whoever asks may know.
    pub(crate) fn has_gym(&self, gym: &Path) -> Result<bool, CliError> {
        let answer = self.send(&Call::new(Method::Get, gym.clone()))?;
        if answer.is_no_gym() { Ok(false) } else { answer.or_problem().map(|_| true) }
    }

    fn only_gym(&self) -> Result<String, CliError> {
        let mut gyms = self.list(Path::new(&["v1", "gyms"]))?;
        let ids: Vec<String> = match gyms["items"].take() {
            serde_json::Value::Array(items) => {
                items.iter().filter_map(|item| item["id"].as_str().map(str::to_owned)).collect()
            }
            _ => Vec::new(),
        };
        match ids.as_slice() {
            [only] => Ok(only.clone()),
            [] => Err(CliError::new("error: there is no gym yet: make one with `classwright gym make ID NAME`", 2)),
            several => {
                let text = format!("error: which gym? Name one with --gym: {}", several.join(", "));
                Err(CliError::new(text, 2))
            }
        }
    }
}

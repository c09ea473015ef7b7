//! The log: JSON, a line an event, on standard error.

use tracing_subscriber::EnvFilter;

use crate::settings::{SettingFault, Settings};

/// Begins to log as the settings say. Where something logs already, it goes on as it was.
pub fn begin(settings: &Settings) -> Result<(), SettingFault> {
    let filter = EnvFilter::try_new(&settings.log).map_err(|error| SettingFault {
        key: "log.level".into(),
        from: String::new(),
        problem: format!("`{}` is no level: {error}", settings.log),
    })?;
    let lines = tracing_subscriber::fmt().json().flatten_event(true).with_target(false).with_env_filter(filter);
    let _ = lines.with_writer(std::io::stderr).try_init();
    Ok(())
}

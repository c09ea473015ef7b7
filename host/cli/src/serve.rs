//! `classwright serve`: a host that runs until it is told to stop.

use std::path::PathBuf;

use classwright_web::ServeError;

use crate::client::{env, runtime};
use crate::error::CliError;
use crate::{Output, config};

/// Run a host.
#[derive(clap::Args)]
pub(crate) struct ServeArgs {
    /// The gym's data: a file, which is made where it is not there, or postgres://…; CLASSWRIGHT_DATA or the settings
    /// where it is left out.
    #[arg(long, value_name = "PLACE")]
    data: Option<String>,
    /// Address and port, such as 127.0.0.1:8080; port 0 takes any that is free.
    #[arg(long, value_name = "ADDR")]
    listen: Option<String>,
    /// A settings file; `classwright config sample` prints one.
    #[arg(long, value_name = "FILE")]
    settings: Option<PathBuf>,
}

/// Runs a host.
pub(crate) fn run(args: &ServeArgs) -> Result<Output, CliError> {
    let (mut settings, faults) = config::read(args.settings.as_ref());
    config::right(&faults)?;
    if let Some(data) = args.data.clone().or_else(|| env("CLASSWRIGHT_DATA")) {
        settings.data = data;
    }
    if let Some(listen) = &args.listen {
        settings.listen.clone_from(listen);
    }
    match runtime()?.block_on(classwright_web::serve(settings)) {
        Ok(()) => Ok(String::new().into()),
        Err(ServeError::Settings(faults)) => config::right(&faults).map(|()| String::new().into()),
        Err(ServeError::App(error)) => Err(error.into()),
        Err(error) => Err(CliError::new(format!("error: {error}"), error.exit_code())),
    }
}

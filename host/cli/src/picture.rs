//! `classwright picture`.

use std::io::{IsTerminal, Read};
use std::path::{Path, PathBuf};

use classwright_app::AppError;
use classwright_app::picture::{NoPicture, Picture, RowsBy, svg, terminal};

use crate::error::CliError;
use crate::whole::write_whole;
use crate::{Output, json};

/// Columns where standard output is no terminal.
const COLUMNS: u16 = 100;
/// The longest plan that is read: many times the largest class.
const MOST_BYTES: u64 = 64 << 20;

/// Draw the floor plan of a plan as a timeline.
#[derive(clap::Args)]
pub(crate) struct PictureArgs {
    /// What `classwright plan --json` printed; `-` for standard input.
    plan: PathBuf,
    /// What a row is.
    #[arg(long, value_enum, default_value = "heat")]
    by: By,
    /// Write an SVG file for a landscape A4 page instead, in place of a file that is there; `-` for standard output.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["width", "ascii", "json"])]
    svg: Option<PathBuf>,
    /// Columns of the text, 40 to 1000; those of the terminal, or 100, where it is left out.
    #[arg(long, value_name = "COLUMNS", value_parser = clap::value_parser!(u16).range(40..=1000))]
    width: Option<u16>,
    /// For a terminal that cannot show blocks and shades.
    #[arg(long)]
    ascii: bool,
    /// Print rows, spans, labels and marks as one JSON document (see `classwright schema picture`).
    #[arg(long, conflicts_with_all = ["width", "ascii"])]
    json: bool,
}

/// What a row is.
#[derive(Clone, Copy, clap::ValueEnum)]
enum By {
    /// A heat: who is called when.
    Heat,
    /// A bar: who has it, loaded how.
    Bar,
}

/// Draws and prints, or writes the file.
pub(crate) fn run(args: &PictureArgs) -> Result<Output, CliError> {
    let by = match args.by {
        By::Heat => RowsBy::Heat,
        By::Bar => RowsBy::Bar,
    };
    let picture = Picture::read(&read(&args.plan)?, by).map_err(|error| no_picture(&args.plan, &error))?;
    match &args.svg {
        Some(file) if file == Path::new("-") => Ok(svg(&picture).into()),
        Some(file) => {
            write_whole(file, &svg(&picture))?;
            Ok(format!("{}: written\n", file.display()).into())
        }
        None if args.json => json(&picture).map(Output::from),
        None => Ok(terminal(&picture, usize::from(args.width.unwrap_or_else(columns)), args.ascii).into()),
    }
}

fn no_picture(plan: &Path, error: &NoPicture) -> CliError {
    CliError::new(format!("error: {}: {error}", plan.display()), error.exit_code())
}

fn read(plan: &Path) -> Result<Vec<u8>, CliError> {
    let mut bytes = Vec::new();
    let read = match plan == Path::new("-") {
        true => std::io::stdin().lock().take(MOST_BYTES).read_to_end(&mut bytes),
        false => std::fs::File::open(plan).and_then(|file| file.take(MOST_BYTES).read_to_end(&mut bytes)),
    };
    read.map_err(|error| AppError::File { path: plan.into(), problem: error.to_string() })?;
    Ok(bytes)
}

fn columns() -> u16 {
    let shown = std::io::stdout().is_terminal().then(terminal_size::terminal_size).flatten();
    shown.map_or(COLUMNS, |(terminal_size::Width(columns), _)| columns.max(40))
}

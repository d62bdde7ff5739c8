//! `lengthwise fit`: a fitting card in, target and job out.

use crate::clock::today;
use crate::documents::{Documents, Format};
use crate::failure::Kind;
use crate::output::{print, print_json, read};
use crate::report::text::{self, Detail};
use crate::{Failure, Stop};
use bench::SetPlan;
use jiff::civil::Date;
use serde_json::json;
use std::path::{Path, PathBuf};

/// Arguments of `fit`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The fitting card (TOML), or - for standard input
    card: PathBuf,
    /// Print one JSON document instead of text
    #[arg(long)]
    json: bool,
    /// Write the job sheet to this .html or .pdf file, and the golfer's sheet beside it as NAME-golfer
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    /// Show the ways of every club, not only of the one that goes first
    #[arg(long)]
    all: bool,
    /// Date on the sheets and for the golfer's age; today when not given
    #[arg(long, value_name = "YYYY-MM-DD")]
    date: Option<String>,
}

/// Plans the card's set, prints it and writes the sheets.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    fit(arguments).map_err(|failures| refuse(arguments.json, &failures))
}

fn fit(arguments: &Arguments) -> Result<(), Vec<Failure>> {
    let one = |failure: Failure| vec![failure];
    let format = arguments.sheet.as_deref().map(Format::of).transpose().map_err(one)?;
    let day = arguments.date.as_deref().map_or_else(|| Ok(today()), day).map_err(one)?;
    let plan = planned(&arguments.card, day)?;
    let documents = match (&arguments.sheet, format) {
        (Some(path), Some(format)) => {
            Some(Documents::write(&plan, day, path, format, Some(&arguments.card)).map_err(one)?)
        }
        _ => None,
    };
    let printed = if arguments.json {
        print_json(&sheet::plan_json(&plan))
    } else {
        let written = documents.iter().map(Documents::sentence).collect::<String>();
        let detail = if arguments.all { Detail::AllClubs } else { Detail::FirstClub };
        print(&format!("{}{written}", text::report(&plan, detail)))
    };
    printed.map_err(|stop| match stop {
        Stop::Tell(failures) => failures,
        Stop::Told(_) => Vec::new(),
    })
}

/// Reads the day given on the command line.
fn day(text: &str) -> Result<Date, Failure> {
    text.trim().parse().map_err(|_| {
        Failure::bad_input(format!("expected a date such as 2026-11-03, found \"{text}\"")).field("--date")
    })
}

/// Reads and plans a card.
pub(crate) fn planned(path: &Path, day: Date) -> Result<SetPlan, Vec<Failure>> {
    let bytes = read(path, card::LARGEST).map_err(|failure| vec![failure])?;
    let text = card::decode(&bytes).map_err(|problem| vec![problem.into()])?;
    planned_from(text, day)
}

/// Plans the card in a text.
pub(crate) fn planned_from(text: &str, day: Date) -> Result<SetPlan, Vec<Failure>> {
    let failures = |problems: Vec<card::CardProblem>| problems.into_iter().map(Failure::from).collect();
    card::read(text, day).and_then(|card| card.plan()).map_err(failures)
}

/// Tells what is wrong: as JSON on standard output where JSON was asked for, else on standard error.
fn refuse(as_json: bool, failures: &[Failure]) -> Stop {
    if !as_json {
        return Stop::Tell(failures.to_vec());
    }
    let code = failures.iter().map(|failure| failure.kind.exit_code()).max();
    let code = code.unwrap_or(Kind::OurFault.exit_code());
    let document = json!({ "error": failures.first(), "errors": failures });
    print_json(&document).map_or_else(|stop| stop, |()| Stop::Told(code))
}

//! `lengthwise`: from body readings to a bench job, on the command line.
//!
//! Thin: each command reads its input, asks the domain and shows the answer. Exit codes: 0 done, 2 bad
//! input, 3 bad file or settings, 70 our fault.
#![expect(clippy::print_stderr, reason = "a command line tells its failures there")]

mod apart;
mod calc;
mod clock;
mod commands;
mod documents;
mod failure;
mod log;
mod output;
mod report;

use clap::{CommandFactory, Parser, Subcommand};
use failure::Failure;
use std::process::ExitCode;

/// From a golfer's knuckle height to iron lengths, with how sure that is, and the bench job to get there
#[derive(Debug, Parser)]
#[command(name = "lengthwise", version, max_term_width = 100)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Plan a set from a fitting card: target, ways and job
    Fit(commands::fit::Arguments),
    /// Answer one question of the bench: JSON in, JSON out
    Calc(commands::calc::Arguments),
    /// Plan a strike trial, or say what its strikes tell
    Trial(commands::trial::Arguments),
    /// Run the whole job for an invented golfer, write the sheets, and open an invented studio
    Demo(commands::demo::Arguments),
    /// Open the studio in the browser, on this machine, and on paired devices with --lan
    Serve(commands::serve::Arguments),
    /// Set the passphrase other devices are asked for
    Passphrase(commands::passphrase::Arguments),
    /// Make a verified copy of the studio, also while it is open
    Backup(commands::backup::Arguments),
    /// Go back to a copy: it is verified, and what is there is set aside
    Restore(commands::restore::Arguments),
    /// Read what can still be read of a damaged studio into a new file
    Salvage(commands::salvage::Arguments),
    /// Write the studio, or one golfer, to a file: JSON, or tables for a spreadsheet
    Export(commands::export::Arguments),
    /// Take golfers from a studio file this program exported
    Import(commands::import::Arguments),
    /// Take a golfer who asks for it out of the studio for good
    Forget(commands::forget::Arguments),
    /// Keep several studios in one PostgreSQL database: each fitter sees theirs, an owner all
    Chain(commands::chain::Arguments),
    /// Check the whole studio: the file, what hangs on what, every record
    Check(commands::check::Arguments),
    /// Make the photo on standard input small; the studio starts this itself
    #[command(hide = true)]
    ShrinkPhoto,
    /// Read a sheet of the workbook on standard input; the program starts this itself
    #[command(hide = true)]
    ReadWorkbook(commands::read_workbook::Arguments),
    /// Print a completion script for a shell
    Completions(commands::completions::Arguments),
    /// Print the manual page
    Man,
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let done = match arguments.command {
        Command::Fit(arguments) => commands::fit::run(&arguments),
        Command::Calc(arguments) => commands::calc::run(&arguments),
        Command::Trial(arguments) => commands::trial::run(&arguments),
        Command::Demo(arguments) => commands::demo::run(&arguments),
        Command::Serve(arguments) => commands::serve::run(&arguments),
        Command::Passphrase(arguments) => commands::passphrase::run(&arguments),
        Command::Backup(arguments) => commands::backup::run(&arguments),
        Command::Restore(arguments) => commands::restore::run(&arguments),
        Command::Salvage(arguments) => commands::salvage::run(&arguments),
        Command::Export(arguments) => commands::export::run(&arguments),
        Command::Import(arguments) => commands::import::run(&arguments),
        Command::Forget(arguments) => commands::forget::run(&arguments),
        Command::Chain(arguments) => commands::chain::run(&arguments),
        Command::Check(arguments) => commands::check::run(&arguments),
        Command::ShrinkPhoto => commands::shrink_photo::run(),
        Command::ReadWorkbook(arguments) => commands::read_workbook::run(&arguments),
        Command::Completions(arguments) => commands::completions::run(&arguments, Arguments::command()),
        Command::Man => commands::man::run(Arguments::command()),
    };
    // in the log of a studio, where the command began one
    match done {
        Ok(()) => {
            tracing::info!("done");
            ExitCode::SUCCESS
        }
        Err(stop) => {
            tracing::warn!("ended early");
            stop.told()
        }
    }
}

/// Why a command ended early, and whether it has been told yet.
enum Stop {
    /// Still to be told, on standard error.
    Tell(Vec<Failure>),
    /// Already part of the JSON on standard output.
    Told(u8),
}

impl Stop {
    /// Tells what is still to be told and gives the exit code.
    fn told(self) -> ExitCode {
        match self {
            Self::Told(code) => ExitCode::from(code),
            Self::Tell(failures) => {
                for failure in &failures {
                    eprintln!("{}", output::failure_text(failure));
                }
                ExitCode::from(failures.iter().map(|failure| failure.kind.exit_code()).max().unwrap_or(70))
            }
        }
    }
}

impl From<Failure> for Stop {
    fn from(failure: Failure) -> Self {
        Self::Tell(vec![failure])
    }
}

//! `lengthwise completions`: a completion script for a shell.

use crate::Stop;
use crate::output::print;
use clap_complete::Shell;

/// Arguments of `completions`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The shell to complete in
    shell: Shell,
}

/// Prints the script.
pub(crate) fn run(arguments: &Arguments, mut command: clap::Command) -> Result<(), Stop> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut command, "lengthwise", &mut script);
    print(&String::from_utf8_lossy(&script))
}

//! `lengthwise man`: the manual page, one section for each command.

use crate::output::print;
use crate::{Failure, Stop};

/// Prints the page in roff.
pub(crate) fn run(mut command: clap::Command) -> Result<(), Stop> {
    command.build();
    let mut page = Vec::new();
    let rendered = |page: &mut Vec<u8>, command: clap::Command| {
        clap_mangen::Man::new(command)
            .render(page)
            .map_err(|error| Failure::our_fault(format!("the manual page cannot be written: {error}")))
    };
    rendered(&mut page, command.clone())?;
    for part in command.get_subcommands().filter(|part| part.get_name() != "help") {
        rendered(&mut page, part.clone())?;
    }
    print(&String::from_utf8_lossy(&page))
}

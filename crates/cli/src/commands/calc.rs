//! `lengthwise calc`: reads JSON from standard input, answers on standard output.

use crate::calc::{self, What};
use crate::failure::Kind;
use crate::output::{print_json, read};
use crate::{Failure, Stop};
use std::path::Path;

/// Largest JSON input, bytes.
const LARGEST: usize = 16 * 1024 * 1024;

/// Signs of `impact`, which no single key says whole.
const SIGNS: &str = "\
Signs of impact: what goes in is the golfer's own, for either hand. Open, upright, toe, high, up and a path toward the \
trail side are +. A head's axes, and the world's for a right-hander: x to the target, y left (the toe points to -y), z up. \
What comes out is seen along the target line: start, side spin and tilt are + to the right. A left-hander \
(\"plays\": \"left-handed\") is worked out as a right-hander and these change their signs.";

/// Arguments of `calc`.
#[derive(Debug, clap::Args)]
#[command(after_long_help = SIGNS)]
pub(crate) struct Arguments {
    /// The question
    what: What,
    /// Print the JSON Schema of input and output instead of answering
    #[arg(long)]
    schema: bool,
}

/// Answers one question, or several in an array.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    if arguments.schema {
        return print_json(&calc::schema(arguments.what));
    }
    let refuse = |failure: Failure| {
        let code = failure.kind.exit_code();
        print_json(&calc::as_json(&failure)).map(|()| Stop::Told(code)).unwrap_or_else(|stop| stop)
    };
    let bytes = read(Path::new("-"), LARGEST)?;
    if bytes.len() > LARGEST {
        let message = format!("expected at most {} MB of JSON", LARGEST / 1024 / 1024);
        return Err(refuse(Failure::bad_input(message).hint("Ask in several goes.")));
    }
    let text = String::from_utf8(bytes)
        .map_err(|_| refuse(Failure::bad_input("expected UTF-8 text").hint("Save the input as UTF-8.")))?;
    let answered = calc::answer(arguments.what, &text);
    print_json(&answered.document)?;
    if answered.all_answered { Ok(()) } else { Err(Stop::Told(Kind::BadInput.exit_code())) }
}

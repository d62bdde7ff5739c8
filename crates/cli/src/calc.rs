//! `lengthwise calc WHAT`: one question of the bench, JSON in, JSON out.
//!
//! Keys carry their unit. One object gives one answer, an array gives an array of the same length in which
//! a bad element is an error in its place. Outputs are not rounded; only labels are.

mod alter;
mod carry;
mod conditions;
mod flight;
mod grip;
mod impact;
mod length;
mod lie;
mod match_set;
mod pendulum;
mod pool;
mod shaft;
mod sole;
mod statics;
mod tape;

use crate::failure::Failure;
use clap::ValueEnum;
use schemars::{JsonSchema, schema_for};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use serde_json::{Value, json};

/// The questions that can be asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum What {
    /// Six-iron length and set from knuckle heights
    Length,
    /// Mass, balance, swingweight and inertia of a club
    Statics,
    /// What an alteration does to a club
    Alter,
    /// Where a wrong lie points the face, or what a change of length asks of the lie
    Lie,
    /// Sole marks to degrees
    Sole,
    /// Head masses of a set for one swingweight or one inertia
    Match,
    /// Inertia from a timed swing
    Pendulum,
    /// What several studios' errors of the length rule say together
    Pool,
    /// Tape for so many points
    Tape,
    /// Outside size of a grip
    Grip,
    /// What a head does to a ball at impact; open, upright, toe and high are +, and start and side spin to the right
    Impact,
    /// Where a launched ball comes down and lies; left is +, a tilt that curves right is +
    Flight,
    /// Where a strike sends the ball, and what it loses against one on the middle of the face
    Carry,
    /// How fast a clamped club vibrates, what work does to that, and the frequency line of a set
    Shaft,
}

/// One number or several.
#[derive(Deserialize, JsonSchema)]
#[serde(untagged, expecting = "expected a number or a list of numbers")]
enum OneOrMore {
    One(f64),
    More(Vec<f64>),
}

impl OneOrMore {
    fn all(self) -> Vec<f64> {
        match self {
            Self::One(number) => vec![number],
            Self::More(numbers) => numbers,
        }
    }
}

/// One question: its input, its output and the answer.
trait Calculation {
    type Input: DeserializeOwned + JsonSchema;
    type Output: Serialize + JsonSchema;

    fn answer(input: Self::Input) -> Result<Self::Output, Failure>;
}

/// The document a question gives, and whether every element of it could be answered.
pub(crate) struct Answered {
    pub(crate) document: Value,
    pub(crate) all_answered: bool,
}

/// Answers the question for every object of `text`.
pub(crate) fn answer(what: What, text: &str) -> Answered {
    match what {
        What::Length => answer_all::<length::Calc>(text),
        What::Statics => answer_all::<statics::Calc>(text),
        What::Alter => answer_all::<alter::Calc>(text),
        What::Lie => answer_all::<lie::Calc>(text),
        What::Sole => answer_all::<sole::Calc>(text),
        What::Match => answer_all::<match_set::Calc>(text),
        What::Pendulum => answer_all::<pendulum::Calc>(text),
        What::Pool => answer_all::<pool::Calc>(text),
        What::Tape => answer_all::<tape::Calc>(text),
        What::Grip => answer_all::<grip::Calc>(text),
        What::Impact => answer_all::<impact::Calc>(text),
        What::Flight => answer_all::<flight::Calc>(text),
        What::Carry => answer_all::<carry::Calc>(text),
        What::Shaft => answer_all::<shaft::Calc>(text),
    }
}

/// Returns the JSON Schema of a question's input and output.
pub(crate) fn schema(what: What) -> Value {
    match what {
        What::Length => schemas::<length::Calc>(),
        What::Statics => schemas::<statics::Calc>(),
        What::Alter => schemas::<alter::Calc>(),
        What::Lie => schemas::<lie::Calc>(),
        What::Sole => schemas::<sole::Calc>(),
        What::Match => schemas::<match_set::Calc>(),
        What::Pendulum => schemas::<pendulum::Calc>(),
        What::Pool => schemas::<pool::Calc>(),
        What::Tape => schemas::<tape::Calc>(),
        What::Grip => schemas::<grip::Calc>(),
        What::Impact => schemas::<impact::Calc>(),
        What::Flight => schemas::<flight::Calc>(),
        What::Carry => schemas::<carry::Calc>(),
        What::Shaft => schemas::<shaft::Calc>(),
    }
}

fn schemas<C: Calculation>() -> Value {
    json!({ "input": schema_for!(C::Input), "output": schema_for!(C::Output) })
}

fn answer_all<C: Calculation>(text: &str) -> Answered {
    let is_list = text.trim_start().starts_with('[');
    if !is_list {
        let answer = answer_one::<C>(text);
        return Answered {
            all_answered: answer.is_ok(),
            document: answer.unwrap_or_else(|error| as_json(&error)),
        };
    }
    match serde_json::from_str::<Vec<Box<RawValue>>>(text) {
        Ok(elements) => {
            let answers: Vec<_> = elements.iter().map(|element| answer_one::<C>(element.get())).collect();
            Answered {
                all_answered: answers.iter().all(Result::is_ok),
                document: answers
                    .into_iter()
                    .map(|answer| answer.unwrap_or_else(|error| as_json(&error)))
                    .collect(),
            }
        }
        Err(error) => Answered { all_answered: false, document: as_json(&not_json(&error)) },
    }
}

fn answer_one<C: Calculation>(text: &str) -> Result<Value, Failure> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let input = serde_path_to_error::deserialize(&mut reader).map_err(|error| refused::<C>(&error))?;
    reader.end().map_err(|error| not_json(&error))?;
    let output = C::answer(input)?;
    serde_json::to_value(output).map_err(|error| Failure::our_fault(error.to_string()))
}

/// Turns what the JSON reader refused into a failure that names the field and the nearest known one.
fn refused<C: Calculation>(error: &serde_path_to_error::Error<serde_json::Error>) -> Failure {
    let inner = error.inner();
    if !inner.is_data() {
        return not_json(inner);
    }
    let message = inner.to_string();
    let named = ["unknown field", "missing field", "duplicate field"]
        .iter()
        .any(|kind| message.starts_with(kind))
        .then(|| message.split('`').nth(1).map(str::to_owned))
        .flatten();
    let path = error.path().to_string();
    let field = named.clone().or_else(|| (path != ".").then_some(path));
    let failure = Failure { field, ..Failure::bad_input(message.clone()) };
    let (Some(found), true) = (named, message.starts_with("unknown field")) else {
        return failure.hint("Run with --schema to see what is taken.");
    };
    let schema = schema_for!(C::Input);
    let known: Vec<&str> = schema
        .get("properties")
        .and_then(Value::as_object)
        .map(|keys| keys.keys().map(String::as_str).collect())
        .unwrap_or_default();
    match card::nearest(&found, &known) {
        Some(meant) => failure.hint(format!("Did you mean \"{meant}\"?")),
        None => failure.hint(format!("Known here: {}.", known.join(", "))),
    }
}

fn not_json(error: &serde_json::Error) -> Failure {
    Failure::bad_input(format!("expected one JSON object or an array of them: {error}"))
        .hint("Numbers stand bare, keys in double quotes, such as {\"length_in\": 37}.")
}

pub(crate) fn as_json(failure: &Failure) -> Value {
    json!({ "error": failure })
}

/// Reads numbers of a JSON input into quantities, naming the field when one cannot be meant.
mod read {
    use crate::failure::Failure;
    use quantity::{Angle, Length, Mass};
    use std::ops::RangeInclusive;

    pub(super) fn inches(field: &str, value: f64) -> Result<Length, Failure> {
        Length::try_from_inches(value).map_err(|error| Failure::from(error).field(field))
    }

    pub(super) fn grams(field: &str, value: f64) -> Result<Mass, Failure> {
        Mass::try_from_grams(value).map_err(|error| Failure::from(error).field(field))
    }

    pub(super) fn degrees(field: &str, value: f64) -> Result<Angle, Failure> {
        Angle::try_from_degrees(value).map_err(|error| Failure::from(error).field(field))
    }

    /// A field that this form of the question cannot do without.
    pub(super) fn needed(field: &'static str, value: Option<f64>) -> Result<f64, Failure> {
        value.ok_or_else(|| Failure::bad_input(format!("expected {field}, found nothing")).field(field))
    }

    /// A length in the range its field can mean. Kind of the ranges: definition of what the tool takes.
    pub(super) fn inches_within(
        field: &str,
        value: f64,
        range: RangeInclusive<f64>,
    ) -> Result<Length, Failure> {
        within(field, value, &range, "in")?;
        inches(field, value)
    }

    /// A mass in the range its field can mean.
    pub(super) fn grams_within(field: &str, value: f64, range: RangeInclusive<f64>) -> Result<Mass, Failure> {
        within(field, value, &range, "g")?;
        grams(field, value)
    }

    fn within(field: &str, value: f64, range: &RangeInclusive<f64>, unit: &str) -> Result<(), Failure> {
        if range.contains(&value) {
            return Ok(());
        }
        let message = format!("expected {} to {} {unit}, found {value} {unit}", range.start(), range.end());
        Err(Failure::bad_input(message).field(field))
    }

    /// An angle in the range its field can mean.
    pub(super) fn degrees_within(
        field: &str,
        value: f64,
        range: RangeInclusive<f64>,
    ) -> Result<Angle, Failure> {
        within(field, value, &range, "deg")?;
        degrees(field, value)
    }

    /// A mass that weighs something.
    pub(super) fn some_grams(field: &str, value: f64) -> Result<Mass, Failure> {
        let mass = grams(field, value)?;
        if mass < Mass::ZERO {
            return Err(
                Failure::bad_input(format!("expected a mass of 0 g or more, found {value} g")).field(field)
            );
        }
        Ok(mass)
    }
}

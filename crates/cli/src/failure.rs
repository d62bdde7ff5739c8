//! What went wrong, whose fault it was, and how it is told: exit code, text and JSON.

use ball::flight::FlightError;
use ball::impact::ImpactError;
use ball::shot::ShotError;
use bench::BenchError;
use card::CardProblem;
use club::ClubError;
use fitting::FittingError;
use quantity::QuantityError;
use serde::Serialize;
use store::StoreError;
use studio::StudioError;
use web::{NotSet, ServeError};

/// Whose fault it was; decides the exit code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Kind {
    /// What was typed or given cannot be meant.
    BadInput,
    /// A file, a folder or a setting is not as it should be.
    BadFile,
    /// Ours.
    OurFault,
}

impl Kind {
    /// Returns the process exit code.
    pub(crate) fn exit_code(self) -> u8 {
        match self {
            Self::BadInput => 2,
            Self::BadFile => 3,
            Self::OurFault => 70,
        }
    }
}

/// One thing that went wrong.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Failure {
    pub(crate) kind: Kind,
    pub(crate) message: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) hint: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) field: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) line: Option<usize>,
}

impl Failure {
    pub(crate) fn bad_input(message: impl Into<String>) -> Self {
        Self::new(Kind::BadInput, message)
    }

    pub(crate) fn bad_file(message: impl Into<String>) -> Self {
        Self::new(Kind::BadFile, message)
    }

    pub(crate) fn our_fault(message: impl Into<String>) -> Self {
        Self::new(Kind::OurFault, message)
    }

    fn new(kind: Kind, message: impl Into<String>) -> Self {
        Self { kind, message: message.into(), hint: None, field: None, line: None }
    }

    pub(crate) fn hint(self, hint: impl Into<String>) -> Self {
        Self { hint: Some(hint.into()), ..self }
    }

    pub(crate) fn field(self, field: impl Into<String>) -> Self {
        Self { field: Some(field.into()), ..self }
    }

    /// A refusal of the domain, with its own hint.
    fn refused(message: String, hint: Option<String>) -> Self {
        Self { hint, ..Self::bad_input(message) }
    }
}

impl From<QuantityError> for Failure {
    fn from(error: QuantityError) -> Self {
        Self::refused(error.to_string(), error.hint())
    }
}

impl From<ClubError> for Failure {
    fn from(error: ClubError) -> Self {
        Self::refused(error.to_string(), error.hint())
    }
}

impl From<ImpactError> for Failure {
    fn from(error: ImpactError) -> Self {
        let hint = error.hint();
        Self::bad_input(error.to_string()).hint(hint)
    }
}

impl From<FlightError> for Failure {
    fn from(error: FlightError) -> Self {
        let hint = error.hint();
        Self::bad_input(error.to_string()).hint(hint)
    }
}

impl From<ShotError> for Failure {
    fn from(error: ShotError) -> Self {
        let hint = error.hint();
        Self::bad_input(error.to_string()).hint(hint)
    }
}

impl From<FittingError> for Failure {
    fn from(error: FittingError) -> Self {
        Self::refused(error.to_string(), error.hint())
    }
}

impl From<BenchError> for Failure {
    fn from(error: BenchError) -> Self {
        Self::refused(error.to_string(), error.hint())
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        let kind = match &error {
            StoreError::Refused(_) => Kind::BadInput,
            StoreError::Failed(_) => Kind::OurFault,
            _ => Kind::BadFile,
        };
        let hint = error.hint();
        Self::new(kind, error.to_string()).hint(hint)
    }
}

impl From<StudioError> for Failure {
    fn from(error: StudioError) -> Self {
        Self::refused(error.to_string(), error.hint())
    }
}

impl From<NotSet> for Failure {
    fn from(error: NotSet) -> Self {
        match error {
            NotSet::Store(error) => error.into(),
            NotSet::Problem(_) => Self::bad_input(error.to_string())
                .hint("Five words drawn by chance do well: lengthwise passphrase --draw."),
            NotSet::File(_) => Self::bad_file(error.to_string()),
        }
    }
}

impl From<ServeError> for Failure {
    fn from(error: ServeError) -> Self {
        match error {
            ServeError::Store(error) => error.into(),
            ServeError::NotLoopback(_) => Self::bad_input(error.to_string()).field("--listen"),
            ServeError::CannotListen { .. } => Self::bad_file(error.to_string())
                .hint("Choose another port with --listen, as in --listen 127.0.0.1:7701."),
            ServeError::NoName => Self::bad_input(error.to_string()).field("--lan-name"),
            ServeError::Tls(_) => Self::bad_file(error.to_string()),
            ServeError::Stopped(_) => Self::our_fault(error.to_string()),
        }
    }
}

impl From<CardProblem> for Failure {
    fn from(problem: CardProblem) -> Self {
        Self { field: problem.key, line: problem.line, ..Self::refused(problem.message, problem.hint) }
    }
}

//! What a studio keeps of its golfers, and what follows from it.
//!
//! Records as a person would file them: golfers, every reading with who and when, clubs, targets, jobs with their
//! ticks, follow-ups, remarks. A reading is kept as it was typed and never changed; a newer one stands in front
//! of it. From a golfer's [`Dossier`] follow the fitting card ([`Dossier::card`]), the six stations of the spine
//! ([`Dossier::spine`]) and what is due. Ids, the day and the time come in as arguments. Pure.

mod bench_bias;
mod card_text;
mod chain_rule;
mod changes;
mod check;
mod club;
mod day;
mod dossier;
mod error;
mod field;
mod finished;
mod follow_up;
mod golfer;
mod house;
mod id;
mod in_yards;
mod job;
mod learnt_rule;
mod money;
mod on_an_example;
mod part_words;
mod photo;
mod planned;
mod quote;
mod reading;
mod record;
mod remark;
mod response;
mod search;
mod set_build;
mod shelf;
mod spine;
mod stock;
mod target;
mod trial;
mod typed;
mod visit;
mod work;

pub use bench_bias::{BenchBias, FEWEST_JOBS, FinishedWork, learn_bench_bias};
pub use card_text::{CardText, Source};
pub use chain_rule::{BranchRule, ChainRule};
pub use changes::{Changes, Put};
pub use club::OwnedClub;
pub use day::read_day;
pub use dossier::{Dossier, Kept, NoPlan};
pub use error::StudioError;
pub use field::{Field, Kind, Subject};
pub use finished::{FinishedReading, SetFinding};
pub use follow_up::FollowUp;
pub use golfer::{Consent, GolferFile};
pub use house::{HouseSettings, Part, SETTINGS, Setting, Units};
pub use id::Id;
pub use in_yards::InYards;
pub use job::{JobFile, JobState, Tick};
pub use learnt_rule::{Expectation, KeptProfile, LearntRule, tell_of_the_rule};
pub use money::{Money, Share};
pub use on_an_example::{ChangedLine, changes_on_an_example};
pub use photo::Photo;
pub use quote::{Accepted, Quote, QuoteLine, Terms};
pub use reading::Reading;
pub use record::{Record, RecordKind};
pub use remark::Remark;
pub use response::read_response;
pub use search::{digits, folded};
pub use set_build::{SetBuild, build_from_shelf};
pub use shelf::{Booked, PutAside, Shelf};
pub use spine::{NextStep, Spine, Station, StationName, StationState, target_words};
pub use stock::{
    MOST_AT_ONCE, PartUse, ShelfRecords, StockMove, StockWhy, StockedPart, TypedPart, count as read_count,
    pieces_mg as read_pieces,
};
pub use target::KeptTarget;
pub use trial::{ClubsMadeBy, KeptVerdict, StrikeMark, TrialFile, TrialReason, place_words, read_place};
pub use typed::{Typed, plain_text};
pub use visit::Visit;
pub use work::{Check, Taken, Verdict, Work, WorkClub, WorkPart, WorkSection, WorkStep};

//! Which step bears which number: the same job every time, from ids of its own.

use jiff::ToSpan;
use jiff::civil::{Date, DateTime, date};
use studio::{Changes, Field, FollowUp, GolferFile, Id, OwnedClub, Photo, Reading, Remark, Units, Visit};

/// A step of the job.
pub(crate) enum Step {
    /// An act of the fitter.
    Save(Changes),
    /// A picture, then the act with its record.
    Picture(Id, Vec<u8>, Changes),
    /// The golfer's name is changed; the act needs the revision that stands.
    Rename(GolferFile, Id),
    /// An act is undone.
    Undo { act: Id, as_id: Id },
    /// A copy that is due.
    Copy(DateTime),
    /// The journal is folded in.
    Fold,
    /// The studio is closed and opened again.
    Reopen,
}

/// Steps until they begin anew with another golfer.
const ROUND: u64 = 12;
/// Ids of a step: its own and those of its records.
const IDS: u64 = 64;
const WHO: &str = "I. F.";

/// When the step of a number happens, milliseconds UTC.
pub(crate) fn at_ms(number: u64) -> i64 {
    1_793_700_000_000 + i64::try_from(number).unwrap_or_default() * 1000
}

/// The id of the act of a step.
pub(crate) fn act_id(number: u64) -> Id {
    id(number, 0)
}

/// The number of the step an id was made for.
pub(crate) fn number_of(id: &Id) -> Option<u64> {
    let (_, last) = id.as_str().rsplit_once('-')?;
    Some(u64::from_str_radix(last, 16).ok()? / IDS)
}

/// The picture a step keeps: of many sizes, and no two alike.
pub(crate) fn picture(number: u64) -> Vec<u8> {
    let length = 3000 + usize::try_from(number * 977 % 20_000).unwrap_or_default();
    let mut state = number.wrapping_mul(2_654_435_761) + 1;
    let mut bytes = Vec::with_capacity(length);
    while bytes.len() < length {
        // Marsaglia's 64-bit xorshift (2003), triple 13, 7, 17: noise, so that no stretch is like another
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        bytes.extend_from_slice(&state.to_le_bytes());
    }
    bytes.truncate(length);
    bytes
}

/// The step of a number.
pub(crate) fn step(number: u64) -> Step {
    let round = number / ROUND;
    let first = round * ROUND;
    let golfer = golfer(first);
    let new = |sentence: &str| Changes::new(act_id(number), WHO, sentence);
    match number % ROUND {
        0 => {
            let club = OwnedClub {
                id: id(first, 2),
                golfer: golfer.id.clone(),
                name: "7 iron".to_owned(),
                way: None,
                removed: false,
            };
            let weighed = reading(number, 3, Some(&club.id), Field::Mass, "424 g");
            Step::Save(new("Opened").with_new(golfer).with_new(club).with_new(weighed))
        }
        1 => Step::Save(new("Read").with_new(reading(number, 1, None, Field::Stature, "70 in"))),
        2 => Step::Save(new("A remark").with_new(remark(number, 300))),
        3 => Step::Rename(GolferFile { name: format!("Golfer {round} renamed"), ..golfer }, act_id(number)),
        4 => {
            let bytes = picture(number);
            let photo = Photo {
                id: id(number, 1),
                golfer: golfer.id,
                club: None,
                caption: Some("the hosel".to_owned()),
                bytes: i64::try_from(bytes.len()).unwrap_or_default(),
                width: 3,
                height: 2,
                by: WHO.to_owned(),
                at_ms: at_ms(number),
                removed: false,
            };
            Step::Picture(photo.id.clone(), bytes, new("A photo").with_new(photo))
        }
        5 => Step::Save(new("Came").with_new(Visit {
            id: id(number, 1),
            golfer: golfer.id,
            day: DAY,
            about: Some("longer irons".to_owned()),
            by: WHO.to_owned(),
            at_ms: at_ms(number),
            removed: false,
        })),
        6 => Step::Undo { act: act_id(first + 2), as_id: act_id(number) },
        7 => Step::Save(new("A long remark").with_new(remark(number, Remark::LONGEST))),
        8 => Step::Copy(
            DAY.at(9, 0, 0, 0).saturating_add(i64::try_from(round * 13).unwrap_or_default().hours()),
        ),
        9 => Step::Save(new("To come again").with_new(FollowUp {
            id: id(number, 1),
            golfer: golfer.id,
            job: None,
            due: DAY,
            what: Some("lie".to_owned()),
            done: None,
            found: None,
            removed: false,
        })),
        10 => {
            let mut act = new("Read many");
            for place in 1..=40 {
                act.add_new(reading(number, place, None, Field::KnuckleHeight, "31 1/8 in"));
            }
            Step::Save(act)
        }
        _ if round.is_multiple_of(2) => Step::Fold,
        _ => Step::Reopen,
    }
}

fn golfer(first: u64) -> GolferFile {
    GolferFile {
        id: id(first, 1),
        name: format!("Golfer {}", first / ROUND),
        contact: None,
        plays: fitting::Handedness::Right,
        sex: fitting::Sex::NotSaid,
        born: None,
        consent: None,
        overruled: None,
        hold: None,
        removed: false,
    }
}

fn remark(number: u64, signs: usize) -> Remark {
    Remark {
        id: id(number, 1),
        golfer: golfer(number / ROUND * ROUND).id,
        text: "heel side, the turf goes to the left. ".chars().cycle().take(signs - 1).chain(['.']).collect(),
        health_consent: None,
        by: WHO.to_owned(),
        at_ms: at_ms(number),
        removed: false,
    }
}

fn reading(number: u64, place: u64, club: Option<&Id>, field: Field, typed: &str) -> Reading {
    let read = field.read(typed, Units::Inches).expect("a length or a mass as it is written here");
    Reading {
        id: id(number, place),
        golfer: golfer(number / ROUND * ROUND).id,
        club: club.cloned(),
        job: None,
        field,
        typed: read.text,
        value_si: read.value_si,
        shoes: club.is_none().then_some(fitting::Shoes::On),
        instrument: Some("rule".to_owned()),
        by: WHO.to_owned(),
        day: DAY,
        at_ms: at_ms(number),
        removed: false,
    }
}

const DAY: Date = date(2026, 11, 3);

fn id(number: u64, place: u64) -> Id {
    Id::parse(&format!("01938a6e-1b2c-7def-8123-{:012x}", number * IDS + place))
        .expect("hexadecimal digits in the places of a UUID")
}

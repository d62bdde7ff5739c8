//! From clubs that were read to the act that files them.

use super::ImportedClub;
use jiff::civil::Date;
use studio::{Changes, Id, OwnedClub, Reading};

/// Makes one act of the clubs and their readings, so that one undo takes them back.
///
/// `new_id` is asked first for the act's own id, then for those of the clubs and then of the readings, in the order
/// of the file.
#[must_use]
pub fn to_changes(
    clubs: &[ImportedClub],
    golfer: &Id,
    by: &str,
    day: Date,
    now_ms: i64,
    mut new_id: impl FnMut() -> Id,
) -> Changes {
    let count = |count: usize, one: &str| format!("{count} {one}{}", if count == 1 { "" } else { "s" });
    let readings = clubs.iter().map(|club| club.readings.len()).sum();
    let sentence = format!("{} with {} from a table", count(clubs.len(), "club"), count(readings, "reading"));
    let mut act = Changes::new(new_id(), by, sentence);
    let mut ids = Vec::with_capacity(clubs.len());
    for club in clubs {
        let id = new_id();
        ids.push(id.clone());
        act = act.with_new(OwnedClub {
            id,
            golfer: golfer.clone(),
            name: club.name.clone(),
            way: None,
            removed: false,
        });
    }
    for (club, id) in clubs.iter().zip(&ids) {
        for (field, read) in &club.readings {
            act = act.with_new(Reading {
                id: new_id(),
                golfer: golfer.clone(),
                club: Some(id.clone()),
                job: None,
                field: *field,
                typed: read.text.clone(),
                value_si: read.value_si,
                shoes: None,
                instrument: None,
                by: by.to_owned(),
                day,
                at_ms: now_ms,
                removed: false,
            });
        }
    }
    act
}

#[cfg(test)]
mod tests {
    use super::to_changes;
    use crate::ImportedClub;
    use jiff::civil::date;
    use studio::{Field, Id, Record, Units};

    #[test]
    fn one_act_holds_the_clubs_and_then_their_readings() {
        let club = |line, name: &str, readings: &[(Field, &str)]| ImportedClub {
            line,
            name: name.to_owned(),
            readings: readings
                .iter()
                .map(|(field, typed)| (*field, field.read(typed, Units::Inches).unwrap()))
                .collect(),
        };
        let clubs = [
            club(2, "7 iron", &[(Field::ClubLength, "37 in"), (Field::Lie, "62")]),
            club(3, "8 iron", &[(Field::ClubLength, "36 1/2 in")]),
        ];
        let mut next = 0_u64;
        let mut new_id = || {
            next += 1;
            Id::parse(&format!("00000000-0000-7000-8000-{next:012x}")).unwrap()
        };
        let golfer = new_id();
        let act = to_changes(&clubs, &golfer, "Ines", date(2026, 11, 3), 1_000, &mut new_id);
        assert_eq!(act.sentence, "2 clubs with 3 readings from a table");
        assert_eq!((act.golfer(), act.by.as_str()), (Some(&golfer), "Ines"));
        assert!(act.puts.iter().all(|put| put.seen.is_none()));
        let kinds: Vec<&str> = act.puts.iter().map(|put| put.record.kind().word()).collect();
        assert_eq!(kinds, ["club", "club", "reading", "reading", "reading"]);
        let Record::Reading(last) = &act.puts[4].record else { panic!("a reading") };
        assert_eq!(last.club.as_ref(), Some(act.puts[1].record.id()));
        assert_eq!((last.field, last.typed.as_str()), (Field::ClubLength, "36 1/2 in"));
        assert_eq!((last.day, last.at_ms, last.by.as_str()), (date(2026, 11, 3), 1_000, "Ines"));
    }
}

//! The cells of the set's table: what was typed held against what is kept, and the readings that follow.

use crate::acts;
use crate::app::Now;
use crate::form::Form;
use crate::parts::problem::Problem;
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use studio::{Changes, Dossier, Field, HouseSettings, Id, Kept, OwnedClub, Reading, plain_text};

/// The fields of the table; the others stand on the club's own page.
pub(crate) const TABLE_FIELDS: [Field; 7] = [
    Field::ClubLength,
    Field::Lie,
    Field::Loft,
    Field::Mass,
    Field::Balance,
    Field::Swingweight,
    Field::GripMass,
];
/// Rows for new clubs.
pub(crate) const NEW_ROWS: usize = 14;

/// The name of a cell, `c.<club>.<field>` or `n.<place>.<field>`.
pub(crate) fn cell_name(row: &str, field: Field) -> String {
    format!("{row}.{}", field.key())
}

/// A mark of what a row showed: it changes when any of its readings does, so that a second page cannot save over it
/// unseen.
pub(crate) fn row_mark(dossier: &Dossier, club: &OwnedClub) -> String {
    let mut digest = Sha256::new();
    for kept in dossier.readings.iter().filter(|kept| kept.record.club.as_ref() == Some(&club.id)) {
        digest.update(kept.record.id.as_str());
        digest.update([u8::from(kept.record.removed)]);
    }
    let mut mark = String::with_capacity(16);
    for byte in digest.finalize().iter().take(8) {
        // writing into a String does not fail
        let _ = write!(mark, "{byte:02x}");
    }
    mark
}

/// Gathers one act from many cells.
pub(crate) struct Cells<'a> {
    dossier: &'a Dossier,
    house: &'a HouseSettings,
    now: &'a Now,
    changes: Changes,
    problems: Vec<Problem>,
    said: Vec<String>,
}

impl<'a> Cells<'a> {
    pub(crate) fn new(
        dossier: &'a Dossier,
        house: &'a HouseSettings,
        now: &'a Now,
        changes: Changes,
    ) -> Self {
        Self { dossier, house, now, changes, problems: Vec::new(), said: Vec::new() }
    }

    /// Takes the row of a club that is known.
    pub(crate) fn club(&mut self, kept: &Kept<OwnedClub>, form: &Form, fields: &[Field]) {
        self.club_with_way(kept, form, fields, kept.record.way.clone(), kept.revision);
    }

    /// The same with the way wished for, and the revision of the club the page saw.
    pub(crate) fn club_with_way(
        &mut self,
        kept: &Kept<OwnedClub>,
        form: &Form,
        fields: &[Field],
        way: Option<String>,
        seen: i64,
    ) {
        let club = &kept.record;
        let row = format!("c.{}", club.id);
        let name = self.name(&format!("{row}.name"), form).unwrap_or_else(|| club.name.clone());
        if name != club.name || way != club.way {
            if name != club.name {
                self.said.push(format!("{} is now {name}", club.name));
            }
            if way != club.way {
                self.said.push(format!("{name}: {}", way.as_deref().unwrap_or("the tool's way")));
            }
            let changed = OwnedClub { name: name.clone(), way, ..club.clone() };
            self.changes = std::mem::replace(&mut self.changes, blank()).with_changed(changed, seen);
        }
        let is_unchanged =
            form.get(&format!("{row}.was")).is_none_or(|was| was == row_mark(self.dossier, club));
        for field in fields {
            self.cell(&cell_name(&row, *field), club, &name, *field, form, is_unchanged);
        }
    }

    fn cell(
        &mut self,
        cell: &str,
        club: &OwnedClub,
        name: &str,
        field: Field,
        form: &Form,
        is_unchanged: bool,
    ) {
        let Some(typed) = form.get(cell) else { return };
        let kept = self.dossier.club_reading(&club.id, field);
        let kept_text = kept.map_or("", |reading| reading.typed.as_str());
        // a cell shows the number without its unit; left as it was, it is no change
        if typed.trim() == kept_text || typed.trim() == field.bare(kept_text, self.house.units()) {
            return;
        }
        if typed.trim().is_empty() {
            let of = self.dossier.readings.iter().find(|of| kept.is_some_and(|kept| kept.id == of.record.id));
            if let (Some(of), true) = (of, is_unchanged) {
                self.said.push(format!("{name} {} taken back", field.label().to_lowercase()));
                let removed = Reading { removed: true, ..of.record.clone() };
                self.changes =
                    std::mem::replace(&mut self.changes, blank()).with_changed(removed, of.revision);
            }
            return;
        }
        match field.read(typed, self.house.units()) {
            Ok(read) if read.text == kept_text => {}
            Ok(_) if !is_unchanged => self.problems.push(Problem {
                field: cell.to_owned(),
                words: format!(
                    "{name}, {}: changed elsewhere to {}; you typed {}. Save again to keep yours, or clear it.",
                    field.label().to_lowercase(),
                    if kept_text.is_empty() { "nothing" } else { kept_text },
                    typed.trim()
                ),
            }),
            Ok(read) => {
                self.said.push(format!("{name} {} {}", field.label().to_lowercase(), read.text));
                self.add(club.id.clone(), field, read);
            }
            Err(error) => self.problems.push(Problem::of(cell, &format!("{name}, {}", field.label().to_lowercase()), &error)),
        }
    }

    /// What a close look found, when it is not what is kept.
    pub(crate) fn conditions(&mut self, club: &OwnedClub, found: &str) {
        let kept =
            self.dossier.club_reading(&club.id, Field::Condition).map(|reading| reading.typed.as_str());
        if kept == Some(found) || (kept.is_none() && found.is_empty()) {
            return;
        }
        if let Ok(read) = Field::Condition.read(found, self.house.units()) {
            self.said.push(format!("{}: {}", club.name, read.read_back));
            self.add(club.id.clone(), Field::Condition, read);
        }
    }

    /// Takes a row for a new club: all of it, or nothing when a cell is refused.
    pub(crate) fn new_club(&mut self, row: &str, form: &Form) {
        let filled: Vec<(Field, String, &str)> = TABLE_FIELDS
            .into_iter()
            .filter_map(|field| {
                let cell = cell_name(row, field);
                form.filled(&cell).map(|typed| (field, cell.clone(), typed))
            })
            .collect();
        let name_cell = format!("{row}.name");
        let Some(name) = self.name(&name_cell, form) else {
            if !filled.is_empty() && Problem::at(&self.problems, &name_cell).is_none() {
                let words = "A new club: expected a name such as 7 iron, found nothing.".to_owned();
                self.problems.push(Problem { field: name_cell, words });
            }
            return;
        };
        let mut readings = Vec::new();
        let before = self.problems.len();
        for (field, cell, typed) in filled {
            match field.read(typed, self.house.units()) {
                Ok(read) => readings.push((field, read)),
                Err(error) => self.problems.push(Problem::of(
                    &cell,
                    &format!("{name}, {}", field.label().to_lowercase()),
                    &error,
                )),
            }
        }
        if self.problems.len() > before {
            return;
        }
        let club = OwnedClub {
            id: self.next_id(),
            golfer: self.dossier.golfer.record.id.clone(),
            name: name.clone(),
            way: None,
            removed: false,
        };
        let id = club.id.clone();
        let typed: Vec<&str> = readings.iter().map(|(_, read)| read.text.as_str()).collect();
        self.said.push(if typed.is_empty() { name } else { format!("{name} {}", typed.join(", ")) });
        self.changes = std::mem::replace(&mut self.changes, blank()).with_new(club);
        for (field, read) in readings {
            self.add(id.clone(), field, read);
        }
    }

    /// A name that says a club; what is wrong with it is noted.
    fn name(&mut self, cell: &str, form: &Form) -> Option<String> {
        let typed = form.filled(cell)?;
        let read =
            plain_text("club", typed).map_err(|error| Problem::of(cell, "Club", &error)).and_then(|name| {
                let name = name.unwrap_or_default();
                OwnedClub::check_name(&name).map(|()| name).map_err(|error| Problem::of(cell, "Club", &error))
            });
        match read {
            Ok(name) => Some(name),
            Err(problem) => {
                self.problems.push(problem);
                None
            }
        }
    }

    fn next_id(&self) -> Id {
        acts::record_id(&self.changes.id, self.changes.puts.len())
    }

    fn add(&mut self, club: Id, field: Field, read: studio::Typed) {
        let reading = Reading {
            id: self.next_id(),
            golfer: self.dossier.golfer.record.id.clone(),
            club: Some(club),
            job: None,
            field,
            typed: read.text,
            value_si: read.value_si,
            shoes: None,
            instrument: None,
            by: self.changes.by.clone(),
            day: self.now.day,
            at_ms: self.now.ms,
            removed: false,
        };
        self.changes = std::mem::replace(&mut self.changes, blank()).with_new(reading);
    }

    /// The act, and what is wrong with the cells that are not part of it.
    pub(crate) fn done(mut self) -> (Changes, Vec<Problem>) {
        const MOST_SAID: usize = 4;
        let more = self.said.len().saturating_sub(MOST_SAID);
        self.said.truncate(MOST_SAID);
        let mut sentence = format!("Clubs: {}", self.said.join("; "));
        if more > 0 {
            let _ = write!(sentence, "; and {more} more");
        }
        self.changes.sentence = sentence;
        (self.changes, self.problems)
    }
}

/// Stands in while an act is taken apart; it never leaves this file.
fn blank() -> Changes {
    Changes::new(HouseSettings::fixed_id(), "", "")
}

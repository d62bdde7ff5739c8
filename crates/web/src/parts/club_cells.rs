//! The cells of the set's table: what was typed held against what is kept, and the readings that follow.

use crate::acts;
use crate::app::Now;
use crate::form::Form;
use crate::parts::problem::Problem;
use maud::{Markup, html};
use std::fmt::Write as _;
use studio::{Changes, Dossier, Field, Id, Kept, OwnedClub, Reading, Subject, Units, plain_text};

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

/// What a row showed when it was drawn: the club's name, and the reading of every field. A second page then cannot save
/// over a change it has not seen, and a cell nobody typed into is no wish.
pub(crate) fn row_seen(dossier: &Dossier, kept: &Kept<OwnedClub>, row: &str) -> Markup {
    let club = &kept.record;
    let seen: Vec<String> = Field::of(Subject::Club)
        .filter_map(|field| Some(format!("{}:{}", field.key(), dossier.club_reading(&club.id, field)?.id)))
        .collect();
    html! {
        input type="hidden" name=(format!("{row}.was")) value=(seen.join(","));
        input type="hidden" name=(format!("{row}.called")) value=(club.name);
    }
}

/// Gathers one act from many cells.
pub(crate) struct Cells<'a> {
    dossier: &'a Dossier,
    units: Units,
    now: &'a Now,
    changes: Changes,
    problems: Vec<Problem>,
    said: Vec<String>,
}

impl<'a> Cells<'a> {
    pub(crate) fn new(dossier: &'a Dossier, units: Units, now: &'a Now, changes: Changes) -> Self {
        Self { dossier, units, now, changes, problems: Vec::new(), said: Vec::new() }
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
        let name = self.new_name(club, &row, form);
        if name != club.name || way != club.way {
            if name != club.name {
                self.said.push(format!("{} is now {name}", club.name));
            }
            if way != club.way {
                self.said.push(format!("{name}: {}", way.as_deref().unwrap_or("the tool's way")));
            }
            let changed = OwnedClub { name: name.clone(), way, ..club.clone() };
            self.changes.add_changed(changed, seen);
        }
        let was = form.get(&format!("{row}.was"));
        for field in fields {
            let was = was.map(|was| self.seen_text(was, *field));
            self.cell(&cell_name(&row, *field), club, &name, *field, form, was);
        }
    }

    /// The name typed, unless it was only shown, or was changed elsewhere meanwhile.
    fn new_name(&mut self, club: &OwnedClub, row: &str, form: &Form) -> String {
        let cell = format!("{row}.name");
        let called = form.get(&format!("{row}.called")).unwrap_or(&club.name);
        let typed = form.filled(&cell).unwrap_or(called);
        if typed == called || typed == club.name {
            return club.name.clone();
        }
        if called != club.name {
            self.problems.push(Problem::changed_elsewhere(&cell, called, &club.name, typed));
            return club.name.clone();
        }
        self.name(&cell, form).unwrap_or_else(|| club.name.clone())
    }

    /// The text of the reading a page showed in this field; nothing when it showed none.
    fn seen_text(&self, was: &str, field: Field) -> String {
        let id = was.split(',').find_map(|pair| pair.strip_prefix(field.key())?.strip_prefix(':'));
        let reading = self.dossier.readings.iter().find(|kept| id == Some(kept.record.id.as_str()));
        reading.map(|kept| kept.record.typed.clone()).unwrap_or_default()
    }

    fn cell(
        &mut self,
        cell: &str,
        club: &OwnedClub,
        name: &str,
        field: Field,
        form: &Form,
        was: Option<String>,
    ) {
        let Some(typed) = form.get(cell).map(str::trim) else { return };
        let kept = self.dossier.club_reading(&club.id, field);
        let kept_text = kept.map_or("", |reading| reading.typed.as_str());
        let shown = |text: &str| typed == text || typed == field.bare(text, self.units);
        // a cell shows the number without its unit; left as it was shown, it is no wish
        if shown(kept_text) || was.as_deref().is_some_and(shown) {
            return;
        }
        if was.as_deref().is_some_and(|was| was != kept_text) {
            let what = format!("{name}, {}", field.label().to_lowercase());
            self.problems.push(Problem::changed_elsewhere(cell, &what, kept_text, typed));
            return;
        }
        if typed.is_empty() {
            let of = self.dossier.readings.iter().find(|of| kept.is_some_and(|kept| kept.id == of.record.id));
            if let Some(of) = of {
                self.said.push(format!("{name} {} taken back", field.label().to_lowercase()));
                let removed = Reading { removed: true, ..of.record.clone() };
                self.changes.add_changed(removed, of.revision);
            }
            return;
        }
        match field.read(typed, self.units) {
            Ok(read) if read.text == kept_text => {}
            Ok(read) => {
                self.said.push(format!("{name} {} {}", field.label().to_lowercase(), read.text));
                self.add(club.id.clone(), field, read);
            }
            Err(error) => {
                self.problems.push(Problem::of(
                    cell,
                    &format!("{name}, {}", field.label().to_lowercase()),
                    &error,
                ));
            }
        }
    }

    /// What a close look found, when it is not what is kept.
    pub(crate) fn conditions(&mut self, club: &OwnedClub, found: &str) {
        let kept =
            self.dossier.club_reading(&club.id, Field::Condition).map(|reading| reading.typed.as_str());
        if kept == Some(found) || (kept.is_none() && found.is_empty()) {
            return;
        }
        if let Ok(read) = Field::Condition.read(found, self.units) {
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
            match field.read(typed, self.units) {
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
        self.changes.add_new(club);
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
        self.changes.add_new(reading);
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

//! What is done with a golfer in the bay and at the counter: readings, clubs, remarks, the target, seeing them again.

use super::Folder;
use crate::clock::Moment;
use crate::shop::FITTER;
use crate::table::Table;
use fitting::Shoes;
use jiff::ToSpan;
use studio::{
    Field, FollowUp, Id, KeptTarget, OwnedClub, Reading, Record, Remark, StationName, Units, Visit,
};

impl Folder<'_> {
    /// Writes down that the golfer came, and what for.
    pub(crate) fn came(&mut self, at: Moment, about: &str) {
        let visit = Visit {
            id: self.ids.next(),
            golfer: self.golfer(),
            day: at.day,
            about: Some(about.to_owned()),
            by: FITTER.to_owned(),
            at_ms: at.at_ms,
            removed: false,
        };
        self.act(at, format!("Came for: {about}"), vec![Record::Visit(visit)]);
    }

    /// Measures the golfer.
    pub(crate) fn measure(&mut self, at: Moment, shoes: Shoes, readings: &[(Field, &str)]) {
        let said: Vec<String> = readings
            .chunk_by(|one, next| one.0 == next.0)
            .map(|of_field| {
                let typed: Vec<&str> = of_field.iter().map(|(_, typed)| *typed).collect();
                format!("{} {}", of_field[0].0.label().to_lowercase(), typed.join(" and "))
            })
            .collect();
        let records = readings
            .iter()
            .map(|&(field, typed)| {
                let is_in_shoes = matches!(field, Field::KnuckleHeight | Field::WristHeight);
                let reading = self.reading(at, None, field, typed);
                Record::Reading(Reading { shoes: is_in_shoes.then_some(shoes), ..reading })
            })
            .collect();
        self.act(at, format!("Measured: {}", said.join(", ")), records);
    }

    /// Writes clubs down, with whatever was read of them.
    pub(crate) fn write_down(&mut self, at: Moment, clubs: &Table) {
        let mut records = Vec::new();
        let mut names = Vec::new();
        for (name, readings) in clubs.rows() {
            let id = self.ids.next();
            names.push(name);
            records.push(Record::Club(OwnedClub {
                id: id.clone(),
                golfer: self.golfer(),
                name: name.to_owned(),
                way: None,
                removed: false,
            }));
            for (field, typed) in readings {
                records.push(Record::Reading(self.reading(at, Some(&id), field, typed)));
            }
        }
        self.act(at, format!("Clubs: {}", names.join(", ")), records);
    }

    /// Writes down what a close look found on clubs that the job changed.
    pub(crate) fn found_after(&mut self, at: Moment, clubs: &[&str], condition: &str) {
        let job = self.dossier.job().expect("the story made a job before").record.id.clone();
        let records = clubs
            .iter()
            .map(|club| {
                let id = self.dossier.club_named(club).expect("the story's own club");
                let reading = self.reading(at, Some(&id), Field::Condition, condition);
                Record::Reading(Reading { job: Some(job.clone()), ..reading })
            })
            .collect();
        self.act(at, format!("Clubs: {} {condition}", clubs.join(", ")), records);
    }

    /// Chooses the way for a club, over the tool's own.
    pub(crate) fn wish(&mut self, at: Moment, club: &str, way: &str) {
        let found = self.dossier.live_clubs().find(|kept| kept.record.name == club);
        let found = found.expect("the story's own club").record.clone();
        let record = Record::Club(OwnedClub { way: Some(way.to_owned()), ..found });
        self.act(at, format!("{club}: {way}"), vec![record]);
    }

    /// Makes a reading.
    pub(super) fn reading(&mut self, at: Moment, club: Option<&Id>, field: Field, typed: &str) -> Reading {
        let read = field.read(typed, Units::Inches).expect("the stories' readings can be read");
        Reading {
            id: self.ids.next(),
            golfer: self.golfer(),
            club: club.cloned(),
            job: None,
            field,
            typed: read.text,
            value_si: read.value_si,
            shoes: None,
            instrument: instrument(field).map(str::to_owned),
            by: FITTER.to_owned(),
            day: at.day,
            at_ms: at.at_ms,
            removed: false,
        }
    }

    /// Writes a remark.
    pub(crate) fn remark(&mut self, at: Moment, text: &str) {
        let remark = self.remark_of(at, text);
        self.act(at, "A remark", vec![Record::Remark(remark)]);
    }

    /// Writes a remark about health, to which the golfer agreed on that day.
    pub(crate) fn health_remark(&mut self, at: Moment, text: &str) {
        let remark = Remark { health_consent: Some(at.day), ..self.remark_of(at, text) };
        self.act(at, "A remark about health", vec![Record::Remark(remark)]);
    }

    fn remark_of(&mut self, at: Moment, text: &str) -> Remark {
        Remark {
            id: self.ids.next(),
            golfer: self.golfer(),
            text: text.to_owned(),
            health_consent: None,
            by: FITTER.to_owned(),
            at_ms: at.at_ms,
            removed: false,
        }
    }

    /// Keeps the target the readings give on that day.
    pub(crate) fn keep_target(&mut self, at: Moment) {
        let house = &self.shop.house;
        let plan = self.dossier.plan(house, at.day).expect("the stories' targets follow from good readings");
        let card = self.dossier.card(house).expect("a plan has a card");
        let spine = self.dossier.spine(house, at.day);
        let station = spine.stations.into_iter().find(|station| station.name == StationName::Target);
        let words = station.expect("the spine has all six stations").number;
        let six_iron = plan.target.six_iron;
        let target = KeptTarget {
            id: self.ids.next(),
            golfer: self.golfer(),
            six_iron_in: six_iron.value.as_inches(),
            half_width_in: six_iron.half_width.as_inches(),
            words,
            card: card.as_str().to_owned(),
            by: FITTER.to_owned(),
            at_ms: at.at_ms,
            removed: false,
        };
        self.act(at, format!("Target kept: six-iron {}", target.words), vec![Record::Target(target)]);
    }

    /// Sets a day to see the golfer again, so many days on.
    pub(crate) fn see_again(&mut self, at: Moment, days: i32, what: &str) {
        let follow_up = FollowUp {
            id: self.ids.next(),
            golfer: self.golfer(),
            job: self.dossier.job().map(|kept| kept.record.id.clone()),
            due: at.day.saturating_add(days.days()),
            what: Some(what.to_owned()),
            done: None,
            found: None,
            removed: false,
        };
        self.act(
            at,
            format!("To be seen again on {}", follow_up.due.strftime("%-d %b %Y")),
            vec![Record::FollowUp(follow_up)],
        );
    }

    /// Writes down what was found when the golfer was seen again.
    pub(crate) fn seen_again(&mut self, at: Moment, found: &str) {
        let due = self.dossier.follow_up().expect("the story set a day before").record.clone();
        let done = FollowUp { done: Some(at.day), found: Some(found.to_owned()), ..due };
        self.act(at, "Seen again", vec![Record::FollowUp(done)]);
    }
}

/// What the invented fitter reads a field with.
fn instrument(field: Field) -> Option<&'static str> {
    Some(match field {
        Field::KnuckleHeight | Field::WristHeight | Field::HandLength | Field::MiddleFinger => "rule",
        Field::Stature => "wall rule",
        Field::HeadSpeed => "radar",
        Field::ClubLength => "48 in rule with a plate at 60 degrees",
        Field::Lie | Field::Loft => "lie and loft gauge",
        Field::Mass | Field::HeadMass | Field::GripMass => "gram scale",
        Field::ButtMassPerInch | Field::PlugMassPerInch => "gram scale, an off-cut",
        Field::Balance => "knife edge and rule",
        Field::Swingweight => "14-inch scale",
        Field::Frequency => "frequency analyser, butt clamped 5 in",
        Field::GroovePitch | Field::ButtDiameter | Field::ButtWall | Field::PlugSeated => "caliper",
        Field::HeadConstruction | Field::ShaftMaterial | Field::GripCore | Field::Condition => return None,
    })
}

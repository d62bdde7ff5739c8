//! What a record must be to be kept, whichever door it comes in by: texts that can be shown, values that can be read,
//! words that are known. Rules about golf are the domain's and are asked when a plan is made.

use crate::stock::{HEAVIEST_PIECE_MG, MOST_AT_ONCE};
use crate::{
    Changes, Field, FollowUp, GolferFile, HouseSettings, JobFile, KeptTarget, OwnedClub, Photo, Quote,
    Reading, Record, Remark, StockMove, StockedPart, StrikeMark, StudioError, Subject, Tick, TrialFile,
    Units, Visit, plain_text,
};
use bench::WayKind;
use jiff::civil::Date;

/// Most records one act may hold. A pasted set of forty clubs with every field is under a thousand.
const MOST_PUTS: usize = 2000;
/// Most lines of parts one job takes. Definition of what the tool takes.
const MOST_USES: usize = 500;
/// Largest kept card or work, bytes.
const LARGEST: usize = 256 * 1024;
/// Milliseconds from 1970 to 2200: no instant lies beyond. Derived.
const LAST_MS: i64 = 7_258_118_400_000;

impl Changes {
    /// Refuses an act that cannot be kept.
    ///
    /// # Errors
    /// The first thing wrong with it.
    pub fn check(&self) -> Result<(), StudioError> {
        text("who did it", &self.by)?;
        if self.sentence.chars().count() > 2000 {
            return Err(bad("a sentence of up to 2000 characters", "more"));
        }
        if self.puts.is_empty() || self.puts.len() > MOST_PUTS {
            return Err(bad(&format!("1 to {MOST_PUTS} records"), &self.puts.len().to_string()));
        }
        let golfer = self.golfer();
        for put in &self.puts {
            if put.record.golfer().is_some() && put.record.golfer() != golfer {
                return Err(bad("records of one golfer", "records of two"));
            }
            put.record.check()?;
        }
        Ok(())
    }
}

impl Record {
    /// Refuses a record that cannot be kept.
    ///
    /// # Errors
    /// What was expected and found.
    pub fn check(&self) -> Result<(), StudioError> {
        match self {
            Self::Golfer(record) => golfer(record),
            Self::Visit(record) => visit(record),
            Self::Club(record) => club(record),
            Self::Job(record) => job(record),
            Self::Trial(record) => trial(record),
            Self::Strike(record) => strike(record),
            Self::Reading(record) => reading(record),
            Self::Target(record) => target(record),
            Self::Tick(record) => tick(record),
            Self::FollowUp(record) => follow_up(record),
            Self::Remark(record) => remark(record),
            Self::Photo(record) => photo(record),
            Self::House(record) => house(record),
            Self::Part(record) => part(record),
            Self::Stock(record) => stock(record),
        }
    }
}

pub(crate) fn bad(expected: &str, found: &str) -> StudioError {
    let found: String = found.chars().take(60).collect();
    StudioError::BadValue { message: format!("expected {expected}, found {found}"), hint: None }
}

/// A text that is there, tidy already.
fn text(what: &'static str, value: &str) -> Result<(), StudioError> {
    match plain_text(what, value)? {
        Some(tidy) if tidy == value => Ok(()),
        Some(_) => Err(StudioError::BadText {
            what,
            expected: "a text without spaces around it, its letters composed".to_owned(),
            found: "another".to_owned(),
        }),
        None => {
            Err(StudioError::BadText { what, expected: format!("a {what}"), found: "nothing".to_owned() })
        }
    }
}

fn some_text(what: &'static str, value: Option<&String>) -> Result<(), StudioError> {
    value.map_or(Ok(()), |value| text(what, value))
}

fn instant(at_ms: i64) -> Result<(), StudioError> {
    if (0..LAST_MS).contains(&at_ms) {
        Ok(())
    } else {
        Err(bad("milliseconds since 1970", &at_ms.to_string()))
    }
}

fn day(day: Date) -> Result<(), StudioError> {
    if (1900..2200).contains(&day.year()) {
        Ok(())
    } else {
        Err(bad("a day from 1900 to 2199", &day.to_string()))
    }
}

fn finite(value: Option<f64>) -> Result<(), StudioError> {
    if value.is_none_or(f64::is_finite) { Ok(()) } else { Err(bad("a finite number", "none")) }
}

fn golfer(record: &GolferFile) -> Result<(), StudioError> {
    text("name", &record.name)?;
    some_text("contact", record.contact.as_ref())?;
    some_text("reason", record.overruled.as_ref())?;
    record.born.map_or(Ok(()), day)?;
    if let Some(consent) = &record.consent {
        text("who agreed", &consent.by)?;
        text("how it was checked", &consent.how)?;
        day(consent.day)?;
    }
    match record.hold.as_deref() {
        None | Some("swingweight" | "inertia" | "neither") => Ok(()),
        Some(other) => Err(bad("swingweight, inertia or neither", other)),
    }
}

fn visit(record: &Visit) -> Result<(), StudioError> {
    text("who saw them", &record.by)?;
    some_text("what they came for", record.about.as_ref())?;
    day(record.day)?;
    instant(record.at_ms)
}

fn club(record: &OwnedClub) -> Result<(), StudioError> {
    text("club", &record.name)?;
    OwnedClub::check_name(&record.name)?;
    match record.way.as_deref() {
        Some(way) if WayKind::from_words(way).is_none_or(|kind| kind.words() != way) => {
            Err(bad("leave, grip down, cut, extend, regrip or other shaft", way))
        }
        _ => Ok(()),
    }
}

fn trial(record: &TrialFile) -> Result<(), StudioError> {
    text("club", &record.club)?;
    text("who planned it", &record.by)?;
    some_text("the letter thought the longest", record.thought_longest.as_ref())?;
    if let Some(verdict) = &record.verdict {
        text("verdict", &verdict.words)?;
        finite(verdict.length_in)?;
        finite(verdict.half_width_in)?;
    }
    if let Some(expects) = record.expects {
        expects.belief().check()?;
    }
    if let Some(profile) = &record.profile {
        trial::Profile::from_numbers(&profile.numbers)?;
        if !(0.2..=1.5).contains(&profile.knuckle_height_m) {
            return Err(bad("knuckles 0.2 to 1.5 m above the floor", &profile.knuckle_height_m.to_string()));
        }
    }
    record.opened.map_or(Ok(()), day)?;
    instant(record.at_ms)?;
    if !(0.3..=1.5).contains(&record.base_length_m) {
        return Err(bad("a club of 0.3 to 1.5 m", &record.base_length_m.to_string()));
    }
    if !(0.0..=10.0).contains(&record.sweet_spot_sd_mm) {
        return Err(bad("a sweet spot known to 0 to 10 mm", &record.sweet_spot_sd_mm.to_string()));
    }
    Ok(record.plan().check()?)
}

fn strike(record: &StrikeMark) -> Result<(), StudioError> {
    text("who read it", &record.by)?;
    day(record.day)?;
    instant(record.at_ms)?;
    if record.visit == 0 || record.ball == 0 || record.visit > 99 || record.ball > 999 {
        return Err(bad(
            "a visit and a ball from 1",
            &format!("visit {}, ball {}", record.visit, record.ball),
        ));
    }
    let ball = trial::Strike {
        session: record.visit,
        order: record.ball,
        offset_in: record.offset_in,
        x_mm: record.x_mm,
        y_mm: record.y_mm,
    };
    ball.check()?;
    Ok(record.responses.check()?)
}

fn reading(record: &Reading) -> Result<(), StudioError> {
    text("who read it", &record.by)?;
    some_text("instrument", record.instrument.as_ref())?;
    day(record.day)?;
    instant(record.at_ms)?;
    let is_of_a_club = record.field.subject() == Subject::Club;
    if record.club.is_some() != is_of_a_club {
        let (of, found) = if is_of_a_club { ("a club", "none") } else { ("the golfer", "a club") };
        return Err(bad(&format!("{} of {of}", record.field.label()), found));
    }
    if record.field == Field::Condition && record.typed.is_empty() {
        return Ok(());
    }
    let read = record.field.read(&record.typed, Units::Inches)?;
    if read.text != record.typed {
        return Err(bad(&format!("\"{}\"", read.text), &format!("\"{}\"", record.typed)));
    }
    let is_same = match (read.value_si, record.value_si) {
        (Some(read), Some(kept)) => (read - kept).abs() <= 1e-9 * read.abs().max(1e-3),
        (None, None) => true,
        _ => false,
    };
    if is_same {
        return Ok(());
    }
    let shown = |value: Option<f64>| value.map_or_else(|| "none".to_owned(), |value| value.to_string());
    Err(bad(&format!("the value {} of \"{}\"", shown(read.value_si), record.typed), &shown(record.value_si)))
}

fn target(record: &KeptTarget) -> Result<(), StudioError> {
    text("target", &record.words)?;
    text("who kept it", &record.by)?;
    finite(Some(record.six_iron_in))?;
    finite(Some(record.half_width_in))?;
    instant(record.at_ms)?;
    size(record.card.len())
}

fn job(record: &JobFile) -> Result<(), StudioError> {
    some_text("note", record.note.as_ref())?;
    instant(record.since_ms)?;
    instant(record.made_ms)?;
    record.cured_ms.map_or(Ok(()), instant)?;
    record.promised.map_or(Ok(()), day)?;
    if !(0..=1_000_000_000).contains(&record.number) {
        return Err(bad("a number of a job, or 0 for the next", &record.number.to_string()));
    }
    if let Some(quote) = &record.quote {
        quote_of(quote)?;
    }
    if record.uses.len() > MOST_USES {
        return Err(bad(&format!("up to {MOST_USES} parts"), &record.uses.len().to_string()));
    }
    for used in &record.uses {
        text("step", &used.step)?;
        piece(used.piece_mg)?;
        if used.count == 0 || i64::from(used.count) > MOST_AT_ONCE {
            return Err(bad(&format!("1 to {MOST_AT_ONCE} of a part"), &used.count.to_string()));
        }
    }
    size(record.card.len())?;
    let work = serde_json::to_string(&record.work)
        .map_err(|error| bad("work that can be written", &error.to_string()))?;
    size(work.len())
}

fn part(record: &StockedPart) -> Result<(), StudioError> {
    text("name", &record.name)?;
    some_text("note", record.note.as_ref())?;
    for size in [record.diameter_m, record.length_m].into_iter().flatten() {
        if !(0.0..=2.0).contains(&size) {
            return Err(bad("a size of 0 to 2 m", &size.to_string()));
        }
    }
    if let Some(mass) = record.mass_kg.filter(|mass| !(0.0..=1.0).contains(mass)) {
        return Err(bad("a mass of 0 to 1 kg", &mass.to_string()));
    }
    match record.cost.filter(|cost| cost.as_cents() < 0 || !cost.is_believable()) {
        Some(cost) => Err(bad("a price of 0 to ten million", &cost.to_string())),
        None => Ok(()),
    }
}

fn stock(record: &StockMove) -> Result<(), StudioError> {
    text("who did it", &record.by)?;
    some_text("step", record.step.as_ref())?;
    instant(record.at_ms)?;
    piece(record.piece_mg)?;
    if record.count == 0 || record.count.abs() > MOST_AT_ONCE {
        return Err(bad(&format!("1 to {MOST_AT_ONCE} that came or went"), &record.count.to_string()));
    }
    Ok(())
}

fn piece(mass_mg: Option<i64>) -> Result<(), StudioError> {
    match mass_mg.filter(|mass| !(1..=HEAVIEST_PIECE_MG).contains(mass)) {
        Some(mass) => Err(bad("a piece of up to 1000 g", &format!("{mass} mg"))),
        None => Ok(()),
    }
}

fn quote_of(quote: &Quote) -> Result<(), StudioError> {
    day(quote.made)?;
    day(quote.valid_until)?;
    let lines = || quote.labour.iter().chain(&quote.parts);
    for line in lines() {
        text("line of a quote", &line.what)?;
    }
    if let Some(accepted) = &quote.accepted {
        text("how the golfer agreed", &accepted.how)?;
        day(accepted.day)?;
    }
    let amounts = lines().flat_map(|line| [line.each, line.amount()]);
    let amounts = amounts.chain([quote.to_the_minimum, quote.total()]);
    match amounts.into_iter().find(|amount| !amount.is_believable()) {
        Some(amount) => Err(bad("amounts up to ten million", &amount.to_string())),
        None => Ok(()),
    }
}

fn size(bytes: usize) -> Result<(), StudioError> {
    if bytes <= LARGEST { Ok(()) } else { Err(bad(&format!("up to {LARGEST} bytes"), &bytes.to_string())) }
}

fn tick(record: &Tick) -> Result<(), StudioError> {
    text("step", &record.step)?;
    text("who did it", &record.by)?;
    some_text("reading", record.typed.as_ref())?;
    finite(record.value_si)?;
    instant(record.at_ms)
}

fn follow_up(record: &FollowUp) -> Result<(), StudioError> {
    day(record.due)?;
    record.done.map_or(Ok(()), day)?;
    some_text("what to look at", record.what.as_ref())?;
    some_text("what was found", record.found.as_ref())
}

fn remark(record: &Remark) -> Result<(), StudioError> {
    text("who wrote it", &record.by)?;
    instant(record.at_ms)?;
    record.health_consent.map_or(Ok(()), day)?;
    let count = record.text.chars().count();
    let has_odd_signs = record.text.chars().any(|sign| sign.is_control() && !matches!(sign, '\n' | '\t'));
    if count == 0 || count > Remark::LONGEST || has_odd_signs {
        return Err(bad(
            &format!("a remark of up to {} characters that can be shown", Remark::LONGEST),
            &count.to_string(),
        ));
    }
    Ok(())
}

fn photo(record: &Photo) -> Result<(), StudioError> {
    some_text("caption", record.caption.as_ref())?;
    text("who took it", &record.by)?;
    instant(record.at_ms)?;
    if record.bytes <= 0 || record.width <= 0 || record.height <= 0 {
        return Err(bad("a picture with a size", "none"));
    }
    Ok(())
}

fn house(record: &HouseSettings) -> Result<(), StudioError> {
    if record.id != HouseSettings::fixed_id() {
        return Err(bad("the house's own id", record.id.as_str()));
    }
    let most = HouseSettings::MOST_MATCHINGS;
    if record.matchings.len() > most {
        let found = record.matchings.len().to_string();
        return Err(bad(&format!("up to {most} kinds of spreadsheet"), &found));
    }
    for (shape, columns) in &record.matchings {
        text("shape of a spreadsheet", shape)?;
        let most = HouseSettings::MOST_COLUMNS;
        if columns.len() > most {
            return Err(bad(&format!("up to {most} columns of a spreadsheet"), &columns.len().to_string()));
        }
        if columns.iter().any(|column| column.len() > 60) {
            return Err(bad("names of columns", "longer texts"));
        }
    }
    if let Some(rule) = &record.learnt_rule {
        text("who said that it is to be used", &rule.by)?;
        day(rule.day)?;
        // at the anchor, where nothing is stretched
        let errors = &rule.errors;
        errors.belief(0.0)?;
        if [errors.slope, errors.slope_sd, errors.intercept_with_slope]
            .iter()
            .any(|number| !(-1.0..=1.0).contains(number))
        {
            return Err(bad("a slope's error of -1 to 1 in an inch", &errors.slope.to_string()));
        }
    }
    let mut rebuilt = HouseSettings::usual();
    for (key, value) in &record.values {
        let setting = HouseSettings::setting(key).ok_or_else(|| bad("a setting of the house", key))?;
        text(setting.label, value)?;
        rebuilt.values.insert(key.clone(), value.clone());
    }
    // settings hold each other: they are judged together
    for (key, value) in &record.values {
        rebuilt.with(key, value)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use crate::{Changes, Field, GolferFile, HouseSettings, Id, OwnedClub, Reading, Record};
    use fitting::Handedness;
    use jiff::civil::date;

    fn id(last: char) -> Id {
        Id::parse(&format!("01938a6e-1b2c-7def-8123-45678900000{last}")).unwrap()
    }

    fn reading(field: Field, typed: &str, value_si: Option<f64>, club: Option<Id>) -> Record {
        Record::Reading(Reading {
            id: id('1'),
            golfer: id('0'),
            club,
            job: None,
            field,
            typed: typed.to_owned(),
            value_si,
            shoes: None,
            instrument: None,
            by: "I. F.".to_owned(),
            day: date(2026, 11, 3),
            at_ms: 0,
            removed: false,
        })
    }

    #[test]
    fn a_reading_is_what_its_text_says() {
        assert!(reading(Field::Stature, "70 in", Some(1.778), None).check().is_ok());
        assert!(reading(Field::Stature, "70 in", Some(1.7), None).check().is_err(), "another value");
        assert!(reading(Field::Stature, "70 in", None, None).check().is_err(), "no value");
        assert!(reading(Field::Stature, "tall", None, None).check().is_err(), "no length");
        assert!(
            reading(Field::Stature, "70 in", Some(1.778), Some(id('2'))).check().is_err(),
            "a body has no club"
        );
        assert!(
            reading(Field::Mass, "426 g", Some(0.426), None).check().is_err(),
            "a club's reading without its club"
        );
        assert!(reading(Field::Condition, "", None, Some(id('2'))).check().is_ok(), "nothing found");
    }

    #[test]
    fn an_act_is_about_one_golfer_and_holds_something() {
        let golfer = |last| GolferFile::new(id(last), "N", Handedness::Right).unwrap();
        let act = || Changes::new(id('9'), "I. F.", "Opened");
        assert!(act().check().is_err());
        assert!(act().with_new(golfer('0')).check().is_ok());
        assert!(act().with_new(golfer('0')).with_new(golfer('1')).check().is_err());
        let club = |name: &str| OwnedClub {
            id: id('3'),
            golfer: id('0'),
            name: name.to_owned(),
            way: None,
            removed: false,
        };
        assert!(act().with_new(club("7 iron")).check().is_ok());
        assert!(act().with_new(club("trombone")).check().is_err());
    }

    #[test]
    fn a_house_is_checked_as_a_whole() {
        let house = HouseSettings::usual().with("round_to", "1/16 in").unwrap();
        assert!(Record::from(house.clone()).check().is_ok());
        let mut odd = house;
        odd.values.insert("cure_hours".to_owned(), "soon".to_owned());
        assert!(Record::from(odd).check().is_err());
    }
}

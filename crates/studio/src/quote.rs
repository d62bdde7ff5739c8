//! The quote of a job: the house's prices put on the work and the parts it needs, to the cent, and the golfer's yes.

use crate::money::{Money, Share};
use crate::{HouseSettings, StudioError};
use bench::{PartKind, SetPlan, WayKind};
use jiff::ToSpan;
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One line of a quote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct QuoteLine {
    /// What it is for.
    pub what: String,
    /// How many.
    pub count: u32,
    /// What one costs.
    pub each: Money,
}

impl QuoteLine {
    /// What the line comes to.
    #[must_use]
    pub fn amount(&self) -> Money {
        self.each * self.count
    }
}

/// A golfer's yes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Accepted {
    /// The day.
    #[schemars(with = "String", extend("format" = "date"))]
    pub day: Date,
    /// How it was said: signed, by message.
    pub how: String,
}

/// A quote as it was made: nothing of it changes when the house's prices do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Quote {
    /// What the amounts are in, as the house writes it.
    pub currency: String,
    /// Labour, by operation.
    pub labour: Vec<QuoteLine>,
    /// Parts the work uses up; spares are not charged.
    pub parts: Vec<QuoteLine>,
    /// Taken off labour and parts.
    pub discount: Share,
    /// Put on what is left, for work before its turn.
    pub rush: Share,
    /// Put on what is left, to reach the least the house works for.
    pub to_the_minimum: Money,
    /// Tax on the sum.
    pub tax: Share,
    /// Share of the total that is paid with the yes.
    pub deposit: Share,
    /// The day it was made.
    #[schemars(with = "String", extend("format" = "date"))]
    pub made: Date,
    /// The last day it holds.
    #[schemars(with = "String", extend("format" = "date"))]
    pub valid_until: Date,
    /// The golfer's yes; a new quote needs a new one.
    #[serde(default)]
    pub accepted: Option<Accepted>,
}

/// What the fitter decides when a quote is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Terms {
    /// The work goes before its turn.
    pub is_rush: bool,
    /// A discount of its own; the house's for a whole set where nothing.
    pub discount: Option<Share>,
}

/// The setting of the house that prices an operation.
const fn operation_key(way: WayKind) -> Option<&'static str> {
    match way {
        WayKind::Extend => Some("price.extend"),
        WayKind::Cut => Some("price.cut"),
        WayKind::OtherShaft => Some("price.other_shaft"),
        WayKind::Regrip => Some("price.regrip"),
        WayKind::GripDown => Some("price.grip_down"),
        WayKind::Leave => None,
    }
}

/// The setting of the house that prices a part; nothing for what goes with the labour.
const fn part_key(part: PartKind) -> Option<&'static str> {
    match part {
        PartKind::Plug => Some("price.plug"),
        PartKind::Grip => Some("price.grip"),
        PartKind::Shaft => Some("price.shaft"),
        PartKind::Ferrule => Some("price.ferrule"),
        PartKind::TipWeight | PartKind::ButtWeight => Some("price.weight"),
        PartKind::HeadTape | PartKind::GripTape | PartKind::Glue => None,
    }
}

impl Quote {
    /// Puts the house's prices on a plan's work.
    ///
    /// # Errors
    /// [`StudioError::BadValue`] naming the prices that are missing, or the setting that cannot be read.
    pub fn of(plan: &SetPlan, house: &HouseSettings, terms: Terms, today: Date) -> Result<Self, StudioError> {
        let prices = Prices { house };
        let mut missing = Vec::new();
        let mut priced = |key: &'static str, what: String, count: u32| match prices.amount(key) {
            Ok(Some(each)) => Some(Ok(QuoteLine { what, count, each })),
            Ok(None) => {
                missing.push(HouseSettings::setting(key).map_or(key, |setting| setting.label));
                None
            }
            Err(error) => Some(Err(error)),
        };
        let sections = plan.job.sections.iter().filter_map(|section| {
            let count = u32::try_from(section.clubs.len()).unwrap_or(u32::MAX);
            let names: Vec<&str> = section.clubs.iter().map(|club| club.name.as_str()).collect();
            Some((
                operation_key(section.kind)?,
                format!("{}: {}", section.kind.heading(), names.join(", ")),
                count,
            ))
        });
        let labour = sections
            .filter_map(|(key, what, count)| priced(key, what, count))
            .collect::<Result<Vec<_>, _>>()?;
        let parts =
            plan.job.parts.iter().filter_map(|part| Some((part_key(part.kind)?, part.words(), part.needed)));
        let parts =
            parts.filter_map(|(key, what, count)| priced(key, what, count)).collect::<Result<Vec<_>, _>>()?;
        if !missing.is_empty() {
            missing.dedup();
            return Err(StudioError::BadValue {
                message: format!("expected a price for {}, found none", missing.join(", ").to_lowercase()),
                hint: Some("Prices stand on the House page; 0 is a price too.".to_owned()),
            });
        }
        let clubs: u32 = labour.iter().map(|line| line.count).sum();
        let discount = match terms.discount {
            Some(own) => own,
            None => prices
                .set_discount()?
                .filter(|(_, from)| clubs >= *from)
                .map_or(Share::default(), |(share, _)| share),
        };
        let mut quote = Self {
            currency: house.value("currency").to_owned(),
            labour,
            parts,
            discount,
            rush: if terms.is_rush { prices.share("price.rush")? } else { Share::default() },
            to_the_minimum: Money::ZERO,
            tax: prices.share("price.tax")?,
            deposit: prices.share("price.deposit")?,
            made: today,
            valid_until: today.saturating_add(i64::from(prices.valid_days()).days()),
            accepted: None,
        };
        let least = prices.amount("price.minimum")?.unwrap_or_default();
        quote.to_the_minimum = (least - quote.before_tax()).max(Money::ZERO);
        Ok(quote)
    }

    /// Sum of the labour.
    #[must_use]
    pub fn labour_sum(&self) -> Money {
        self.labour.iter().map(QuoteLine::amount).sum()
    }

    /// Sum of the parts.
    #[must_use]
    pub fn parts_sum(&self) -> Money {
        self.parts.iter().map(QuoteLine::amount).sum()
    }

    /// What the discount takes off.
    #[must_use]
    pub fn discount_amount(&self) -> Money {
        (self.labour_sum() + self.parts_sum()).share(self.discount)
    }

    /// What going before its turn puts on.
    #[must_use]
    pub fn rush_amount(&self) -> Money {
        (self.labour_sum() + self.parts_sum() - self.discount_amount()).share(self.rush)
    }

    /// Labour and parts less discount, with rush and what reaches the minimum.
    #[must_use]
    pub fn before_tax(&self) -> Money {
        self.labour_sum() + self.parts_sum() - self.discount_amount()
            + self.rush_amount()
            + self.to_the_minimum
    }

    /// The tax.
    #[must_use]
    pub fn tax_amount(&self) -> Money {
        self.before_tax().share(self.tax)
    }

    /// What the golfer pays in all.
    #[must_use]
    pub fn total(&self) -> Money {
        self.before_tax() + self.tax_amount()
    }

    /// What is paid with the yes.
    #[must_use]
    pub fn deposit_amount(&self) -> Money {
        self.total().share(self.deposit)
    }

    /// What is left for the hand-over.
    #[must_use]
    pub fn balance(&self) -> Money {
        self.total() - self.deposit_amount()
    }

    /// An amount with its currency.
    #[must_use]
    pub fn say(&self, amount: Money) -> String {
        format!("{} {amount}", self.currency).trim_start().to_owned()
    }
}

/// The prices of a house.
struct Prices<'a> {
    house: &'a HouseSettings,
}

impl Prices<'_> {
    fn amount(&self, key: &str) -> Result<Option<Money>, StudioError> {
        match self.house.value(key) {
            "" => Ok(None),
            typed => Money::parse(typed).map(Some),
        }
    }

    fn share(&self, key: &str) -> Result<Share, StudioError> {
        match self.house.value(key) {
            "" => Ok(Share::default()),
            typed => Share::parse(typed),
        }
    }

    fn set_discount(&self) -> Result<Option<(Share, u32)>, StudioError> {
        match self.house.value("price.set_discount") {
            "" => Ok(None),
            typed => set_discount(typed).map(Some),
        }
    }

    fn valid_days(&self) -> i32 {
        crate::house::days(self.house.value("price.valid")).unwrap_or(30)
    }
}

/// Reads `10 % from 8 clubs`.
fn set_discount(typed: &str) -> Result<(Share, u32), StudioError> {
    let bad = || StudioError::BadValue {
        message: format!(
            "expected a discount such as 10 % from 8 clubs, found \"{}\"",
            typed.chars().take(40).collect::<String>()
        ),
        hint: None,
    };
    let (share, from) = typed.split_once("from").ok_or_else(bad)?;
    let clubs = from.trim().trim_end_matches("clubs").trim_end_matches("club").trim();
    let clubs = clubs.parse().ok().filter(|clubs| (1..=20).contains(clubs)).ok_or_else(bad)?;
    Ok((Share::parse(share).map_err(|_| bad())?, clubs))
}

/// Refuses a price the house cannot have.
///
/// # Errors
/// [`StudioError::BadValue`] with what was expected and found.
pub(crate) fn check_price(key: &str, typed: &str) -> Result<(), StudioError> {
    match key {
        "price.rush" | "price.tax" | "price.deposit" => Share::parse(typed).map(|_| ()),
        "price.set_discount" => set_discount(typed).map(|_| ()),
        "price.valid" => crate::house::days(typed).map(|_| ()).ok_or_else(|| StudioError::BadValue {
            message: format!("expected 1 to 365 days, found \"{typed}\""),
            hint: None,
        }),
        _ => Money::parse(typed).map(|_| ()),
    }
}

#[cfg(test)]
mod tests {
    use super::{Quote, QuoteLine, Terms, set_discount};
    use crate::{HouseSettings, JobFile, JobState, Money, Share};
    use bench::{House, SetPlan, WishedClub, plan};
    use club::ClubEntry;
    use fitting::{BodyReadings, Golfer, Handedness, Shoes};
    use jiff::civil::date;
    use proptest::prelude::*;
    use quantity::{Length, Mass};

    /// Irons so much too short that each is extended.
    fn planned(clubs: usize) -> SetPlan {
        let golfer = Golfer {
            name: "Ines Falk".to_owned(),
            plays: Handedness::Right,
            readings: BodyReadings::of_knuckle(vec![Length::inches(31.0)], Shoes::On),
            head_speed: None,
            trial: None,
            overruled: None,
        };
        let names = ["9 iron", "8 iron", "7 iron", "6 iron", "5 iron", "4 iron", "3 iron", "PW"];
        let wished = names.iter().take(clubs).enumerate().map(|(place, name)| {
            let place = f64::from(u32::try_from(place.min(6)).unwrap());
            let length = if *name == "PW" { 35.25 } else { 35.75 + 0.5 * place };
            let entry = ClubEntry {
                name: (*name).to_owned(),
                length: Some(Length::inches(length)),
                mass: Some(Mass::grams(430.0)),
                balance: Some(Length::inches(length * 28.25 / 37.0)),
                ..ClubEntry::default()
            };
            WishedClub { entry, wish: None }
        });
        plan(&golfer, &wished.collect::<Vec<_>>(), &House::default()).unwrap()
    }

    fn priced(prices: &[(&str, &str)]) -> HouseSettings {
        let usual = [
            ("currency", "EUR"),
            ("price.extend", "22.50"),
            ("price.cut", "18"),
            ("price.other_shaft", "40"),
            ("price.regrip", "12"),
            ("price.plug", "4"),
            ("price.grip", "9.95"),
            ("price.shaft", "35"),
            ("price.ferrule", "1.20"),
            ("price.weight", "2.50"),
        ];
        let all = usual.iter().chain(prices);
        all.fold(HouseSettings::usual(), |house, (key, typed)| house.with(key, typed).unwrap())
    }

    fn quoted(clubs: usize, prices: &[(&str, &str)], terms: Terms) -> Quote {
        Quote::of(&planned(clubs), &priced(prices), terms, date(2026, 11, 3)).unwrap()
    }

    #[test]
    fn a_quote_is_the_houses_prices_on_the_jobs_own_work_and_parts() {
        let quote = quoted(2, &[("price.tax", "20 %"), ("price.deposit", "30 %")], Terms::default());
        assert_eq!(quote.labour.len(), 1);
        assert_eq!((quote.labour[0].count, quote.labour[0].amount().as_cents()), (2, 4500));
        let parts = planned(2).job.parts;
        let of = |word: &str| {
            parts.iter().filter(|part| part.what.starts_with(word)).map(|part| part.needed).sum::<u32>()
        };
        let by_hand = 400 * of("Plug")
            + 995 * of("Grip,")
            + 120 * of("Ferrule")
            + 250 * (of("Tip weight") + of("Butt weight"));
        assert_eq!(quote.parts_sum().as_cents(), i64::from(by_hand));
        assert!(by_hand > 0);
        let before = 4500 + i64::from(by_hand);
        assert_eq!(quote.before_tax().as_cents(), before);
        // half a cent away from nothing
        assert_eq!(quote.tax_amount().as_cents(), (before * 20 + 50) / 100);
        assert_eq!(quote.valid_until, date(2026, 12, 3));
        assert_eq!(quote.say(Money::cents(4500)), "EUR 45.00");
    }

    #[test]
    fn a_set_gets_its_discount_a_small_job_its_minimum_and_the_fitters_word_goes_before() {
        let discount = [("price.set_discount", "10 % from 8 clubs")];
        assert!(quoted(7, &discount, Terms::default()).discount.is_nothing());
        assert_eq!(quoted(8, &discount, Terms::default()).discount, Share::parse("10").unwrap());
        let own = Terms { discount: Some(Share::parse("0").unwrap()), is_rush: true };
        let rushed = quoted(8, &[discount[0], ("price.rush", "25 %")], own);
        assert!(rushed.discount.is_nothing());
        assert_eq!(
            rushed.rush_amount(),
            (rushed.labour_sum() + rushed.parts_sum()).share(Share::parse("25").unwrap())
        );
        let small = quoted(1, &[("price.minimum", "80")], Terms::default());
        assert_eq!(small.before_tax().as_cents(), 8000);
        assert!(small.to_the_minimum > Money::ZERO);
        assert_eq!(quoted(8, &[("price.minimum", "80")], Terms::default()).to_the_minimum, Money::ZERO);
    }

    #[test]
    fn prices_that_are_missing_are_named_and_what_cannot_be_a_price_is_refused() {
        let refused =
            Quote::of(&planned(2), &HouseSettings::usual(), Terms::default(), date(2026, 11, 3)).unwrap_err();
        let said = refused.to_string();
        assert!(said.contains("extending a club") && said.contains("a plug"), "{said}");
        for (key, typed) in [
            ("price.extend", "about 20"),
            ("price.tax", "120 %"),
            ("price.set_discount", "10 %"),
            ("price.set_discount", "10 % from 0 clubs"),
            ("price.valid", "never"),
        ] {
            assert!(HouseSettings::usual().with(key, typed).is_err(), "{key} {typed}");
        }
        assert_eq!(set_discount("7,5 % from 9 clubs").unwrap(), (Share::parse("7.5").unwrap(), 9));
    }

    #[test]
    fn a_change_needs_a_new_yes_and_nothing_is_quoted_at_the_bench() {
        let job = JobFile {
            id: crate::Id::of_bytes([1; 16]),
            golfer: crate::Id::of_bytes([2; 16]),
            number: 1,
            state: JobState::Measured,
            since_ms: 0,
            cured_ms: None,
            note: None,
            card: String::new(),
            work: crate::Work::default(),
            made_ms: 0,
            quote: None,
            uses: Vec::new(),
            promised: None,
            removed: false,
        };
        let yes = || super::Accepted { day: date(2026, 11, 4), how: "by message".to_owned() };
        assert!(job.accepted(yes(), 1).is_err(), "no quote, no yes");
        let quote = quoted(2, &[], Terms::default());
        let agreed = job.quoted(quote.clone(), 1).unwrap().accepted(yes(), 2).unwrap();
        assert_eq!(agreed.state, JobState::Agreed);
        let anew = agreed.quoted(Quote { accepted: Some(yes()), ..quote.clone() }, 3).unwrap();
        assert_eq!((anew.state, anew.quote.as_ref().unwrap().accepted.as_ref()), (JobState::Quoted, None));
        let on_the_bench = agreed.moved_to(JobState::OnTheBench, 4).unwrap();
        assert!(on_the_bench.quoted(quote, 5).is_err());
        assert!(on_the_bench.quote.unwrap().accepted.is_some(), "what was agreed stays");
    }

    prop_compose! {
        fn line()(count in 0..40_u32, cents in 0..5_000_000_i64) -> QuoteLine {
            QuoteLine { what: "work".to_owned(), count, each: Money::cents(cents) }
        }
    }

    fn share() -> impl Strategy<Value = Share> {
        (0..=10_000_i64).prop_map(|hundredths| Share::parse(&Money::cents(hundredths).to_string()).unwrap())
    }

    proptest! {
        /// Cents always add up, whatever the shares: labour, parts, discount, rush, minimum and tax to the total, deposit and
        /// balance to the same.
        #[test]
        fn cents_always_add_up(
            labour in prop::collection::vec(line(), 0..6),
            parts in prop::collection::vec(line(), 0..12),
            (discount, rush, tax, deposit) in (share(), share(), share(), share()),
            top_up in 0..100_000_i64,
        ) {
            let quote = Quote {
                currency: String::new(),
                labour,
                parts,
                discount,
                rush,
                to_the_minimum: Money::cents(top_up),
                tax,
                deposit,
                made: date(2026, 11, 3),
                valid_until: date(2026, 12, 3),
                accepted: None,
            };
            let sum = quote.labour_sum() + quote.parts_sum() - quote.discount_amount() + quote.rush_amount()
                + quote.to_the_minimum
                + quote.tax_amount();
            prop_assert_eq!(sum, quote.total());
            prop_assert_eq!(quote.deposit_amount() + quote.balance(), quote.total());
            prop_assert!(quote.total() >= Money::ZERO && quote.deposit_amount() <= quote.total());
            // a share is within half a cent of the exact one
            let exact = i128::from(quote.before_tax().as_cents()) * i128::from(Money::parse(&tax.to_string().replace(" %", "")).unwrap().as_cents());
            prop_assert!((i128::from(quote.tax_amount().as_cents()) * 10_000 - exact).abs() <= 5_000);
        }
    }
}

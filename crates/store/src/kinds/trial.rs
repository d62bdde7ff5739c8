//! Strike trials.

use super::{Stored, day, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::{ClubsMadeBy, Expectation, KeptVerdict, TrialFile, TrialReason};
use trial::Response;

static TABLE: Table = LazyLock::new(|| {
    Statements::of(
        "trial",
        &[
            "id",
            "golfer_id",
            "club",
            "base_length_m",
            "offsets_in",
            "visits",
            "rounds",
            "balls_in_a_row",
            "seed",
            "made_by",
            "sweet_spot_sd_mm",
            "reason",
            "also_read",
            "expects_mean_in",
            "expects_sd_in",
            "by_whom",
            "at_ms",
            "thought_longest",
            "opened",
            "verdict_words",
            "verdict_length_in",
            "verdict_half_width_in",
            "profile",
            "removed",
        ],
    )
});

impl Stored for TrialFile {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.golfer.as_str().into(),
            self.club.clone().into(),
            self.base_length_m.into(),
            offsets_text(&self.offsets_in).into(),
            i64::from(self.visits).into(),
            i64::from(self.rounds).into(),
            i64::from(self.balls_in_a_row).into(),
            i64::from(self.seed).into(),
            self.made_by.words().to_owned().into(),
            self.sweet_spot_sd_mm.into(),
            self.reason.words().to_owned().into(),
            also_read_text(&self.also_read).into(),
            self.expects.map(|expects| expects.mean_in).into(),
            self.expects.map(|expects| expects.sd_in).into(),
            self.by.clone().into(),
            self.at_ms.into(),
            self.thought_longest.clone().into(),
            self.opened.map(|day| day.to_string()).into(),
            self.verdict.as_ref().map(|verdict| verdict.words.clone()).into(),
            self.verdict.as_ref().and_then(|verdict| verdict.length_in).into(),
            self.verdict.as_ref().and_then(|verdict| verdict.half_width_in).into(),
            self.profile.as_ref().map(serde_json::to_string).transpose()?.into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        let (length_in, half_width_in) =
            (row.some_real("verdict_length_in")?, row.some_real("verdict_half_width_in")?);
        Ok(Self {
            id: row.formed("id", id)?,
            golfer: row.formed("golfer_id", id)?,
            club: row.text("club")?,
            base_length_m: row.real("base_length_m")?,
            offsets_in: row.formed("offsets_in", offsets)?,
            visits: row.small("visits")?,
            rounds: row.small("rounds")?,
            balls_in_a_row: row.small("balls_in_a_row")?,
            seed: row.small("seed")?,
            made_by: row.formed("made_by", ClubsMadeBy::from_words)?,
            sweet_spot_sd_mm: row.real("sweet_spot_sd_mm")?,
            reason: row.formed("reason", TrialReason::from_words)?,
            also_read: row.some_formed("also_read", also_read)?.unwrap_or_default(),
            expects: row
                .some_real("expects_mean_in")?
                .zip(row.some_real("expects_sd_in")?)
                .map(|(mean_in, sd_in)| Expectation { mean_in, sd_in }),
            by: row.text("by_whom")?,
            at_ms: row.int("at_ms")?,
            thought_longest: row.some_text("thought_longest")?,
            opened: row.some_formed("opened", day)?,
            verdict: row.some_text("verdict_words")?.map(|words| KeptVerdict {
                words,
                length_in,
                half_width_in,
            }),
            profile: row.some_text("profile")?.map(|text| serde_json::from_str(&text)).transpose()?,
            removed: row.flag("removed")?,
        })
    }
}

/// What is read besides, with commas between; nothing where nothing is.
fn also_read_text(responses: &[Response]) -> Option<String> {
    let words: Vec<&str> = responses.iter().map(|response| response.words()).collect();
    (!words.is_empty()).then(|| words.join(","))
}

fn also_read(text: &str) -> Option<Vec<Response>> {
    text.split(',').map(Response::from_words).collect()
}

/// Offsets with spaces between: the shortest text that reads back to the same numbers.
fn offsets_text(offsets_in: &[f64]) -> String {
    offsets_in.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}

fn offsets(text: &str) -> Option<Vec<f64>> {
    text.split(' ').map(|offset| offset.parse().ok()).collect()
}

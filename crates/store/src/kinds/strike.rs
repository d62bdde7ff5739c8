//! Balls of strike trials.

use super::{Stored, day, id};
use crate::StoreError;
use crate::columns::{Reader, Statements, Table, Value};
use std::sync::LazyLock;
use studio::StrikeMark;
use trial::Responses;

static TABLE: Table = LazyLock::new(|| {
    Statements::of(
        "strike",
        &[
            "id",
            "golfer_id",
            "trial_id",
            "visit",
            "ball",
            "offset_in",
            "x_mm",
            "y_mm",
            "head_speed_mps",
            "ball_speed_mps",
            "carry_m",
            "tempo",
            "by_whom",
            "day",
            "at_ms",
            "removed",
        ],
    )
});

impl Stored for StrikeMark {
    fn table() -> &'static Table {
        &TABLE
    }

    fn values(&self) -> Result<Vec<Value>, StoreError> {
        Ok(vec![
            self.id.as_str().into(),
            self.golfer.as_str().into(),
            self.trial.as_str().into(),
            i64::from(self.visit).into(),
            i64::from(self.ball).into(),
            self.offset_in.into(),
            self.x_mm.into(),
            self.y_mm.into(),
            self.responses.head_speed_mps.into(),
            self.responses.ball_speed_mps.into(),
            self.responses.carry_m.into(),
            self.responses.tempo.into(),
            self.by.clone().into(),
            self.day.to_string().into(),
            self.at_ms.into(),
            self.removed.into(),
        ])
    }

    fn read(row: &Reader<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            id: row.formed("id", id)?,
            golfer: row.formed("golfer_id", id)?,
            trial: row.formed("trial_id", id)?,
            visit: row.small("visit")?,
            ball: row.small("ball")?,
            offset_in: row.real("offset_in")?,
            x_mm: row.real("x_mm")?,
            y_mm: row.real("y_mm")?,
            responses: Responses {
                head_speed_mps: row.some_real("head_speed_mps")?,
                ball_speed_mps: row.some_real("ball_speed_mps")?,
                carry_m: row.some_real("carry_m")?,
                tempo: row.some_real("tempo")?,
            },
            by: row.text("by_whom")?,
            day: row.formed("day", day)?,
            at_ms: row.int("at_ms")?,
            removed: row.flag("removed")?,
        })
    }
}

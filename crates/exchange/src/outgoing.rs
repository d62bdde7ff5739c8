//! Who and what goes out, and in which order.

use studio::{Dossier, Remark};

/// Whether remarks about health go out too.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HealthRemarks {
    /// They do: the golfer's own export, or a whole studio that moves.
    Included,
    /// They stay here.
    LeftOut,
}

impl HealthRemarks {
    /// Returns the remarks that go out.
    pub(crate) fn of(self, dossier: &Dossier) -> impl Iterator<Item = &Remark> {
        dossier
            .remarks
            .iter()
            .map(|kept| &kept.record)
            .filter(move |remark| self == Self::Included || !remark.is_about_health())
    }
}

/// Golfers by id, so that the same records give the same file however they were fetched.
pub(crate) fn by_id(dossiers: &[Dossier]) -> Vec<&Dossier> {
    let mut sorted: Vec<&Dossier> = dossiers.iter().collect();
    sorted.sort_by(|a, b| a.golfer.record.id.cmp(&b.golfer.record.id));
    sorted
}

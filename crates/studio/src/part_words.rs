//! The kind of a part by its word, as it stands in records and files.

use bench::PartKind;
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serializer};

fn kind_of<E: Error>(word: &str) -> Result<PartKind, E> {
    PartKind::from_words(word).ok_or_else(|| {
        let known: Vec<&str> = PartKind::ALL.iter().map(|kind| kind.words()).collect();
        E::custom(format!("expected {}, found \"{word}\"", known.join(", ")))
    })
}

pub(crate) fn serialize<S: Serializer>(kind: &PartKind, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(kind.words())
}

pub(crate) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<PartKind, D::Error> {
    kind_of(&String::deserialize(from)?)
}

/// Several of them.
pub(crate) mod many {
    use super::kind_of;
    use bench::PartKind;
    use serde::{Deserialize, Deserializer, Serializer};

    pub(crate) fn serialize<S: Serializer>(kinds: &[PartKind], to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(kinds.iter().map(|kind| kind.words()))
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<PartKind>, D::Error> {
        Vec::<String>::deserialize(from)?.iter().map(|word| kind_of(word)).collect()
    }
}

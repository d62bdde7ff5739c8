//! The fields of a form or of what is asked behind the question mark of an address: flat, each once, so many at most.

use std::collections::BTreeMap;

/// Most fields of a form.
pub(crate) const MOST_FIELDS: usize = 2000;

/// Why fields were not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum FieldsProblem {
    /// More than any page sends.
    TooMany,
    /// This one stands there twice.
    Twice(String),
}

/// Reads fields.
pub(crate) fn read(sent: &[u8]) -> Result<BTreeMap<String, String>, FieldsProblem> {
    once_each(form_urlencoded::parse(sent).map(|(name, value)| (name.into_owned(), value.into_owned())))
}

/// Takes fields, each once.
pub(crate) fn once_each(
    sent: impl IntoIterator<Item = (String, String)>,
) -> Result<BTreeMap<String, String>, FieldsProblem> {
    let mut fields = BTreeMap::new();
    for (name, value) in sent {
        if fields.len() >= MOST_FIELDS {
            return Err(FieldsProblem::TooMany);
        }
        if fields.contains_key(&name) {
            return Err(FieldsProblem::Twice(name));
        }
        fields.insert(name, value);
    }
    Ok(fields)
}

/// Writes fields as they are sent.
pub(crate) fn to_text(fields: &BTreeMap<String, String>) -> String {
    form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish()
}

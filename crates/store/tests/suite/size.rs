//! How much a proof does: little in every check, much before a release.

/// The size an environment variable asks for, or the usual one.
pub(crate) fn size(asked_by: &str, usual: usize) -> usize {
    std::env::var(asked_by).map_or(usual, |asked| {
        asked.parse().unwrap_or_else(|_| panic!("expected a number in {asked_by}, found {asked}"))
    })
}

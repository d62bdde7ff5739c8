//! The manifest of the pictures beside a copy: a line for each, its SHA-256, two spaces, its name.
//!
//! Nothing here reads files, so that any text at all can be tried on it (`fuzz/targets/manifest.rs`).

use studio::Id;

/// A line of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Listed<'m> {
    /// The SHA-256 in hexadecimal digits.
    pub(crate) digest: &'m str,
    /// The name: a picture's, so that it leads to no other folder.
    pub(crate) name: &'m str,
}

/// Tells whether a file's name is a picture's: an id and its ending.
pub(crate) fn is_picture(name: &str) -> bool {
    name.strip_suffix(".jpg").is_some_and(|id| Id::parse(id).is_ok())
}

/// Writes a line.
pub(crate) fn line(digest: &str, name: &str) -> String {
    format!("{digest}  {name}\n")
}

/// Reads a manifest, as strictly as it is written; what cannot be read is said in words.
pub(crate) fn read(manifest: &str) -> Result<Vec<Listed<'_>>, &'static str> {
    let listed = |line| {
        let (digest, name) =
            str::split_once(line, "  ").ok_or("the manifest of its photos cannot be read")?;
        let is_digest =
            digest.len() == 64 && digest.bytes().all(|sign| matches!(sign, b'0'..=b'9' | b'a'..=b'f'));
        if !is_digest {
            return Err("the manifest of its photos cannot be read");
        }
        if !is_picture(name) {
            return Err("the manifest of its photos names what is no photo");
        }
        Ok(Listed { digest, name })
    };
    manifest.lines().map(listed).collect()
}

#[cfg(test)]
mod tests {
    use super::{line, read};

    #[test]
    fn a_manifest_is_read_as_it_is_written_and_not_otherwise() {
        let (digest, name) = ("0f".repeat(32), "01938a6e-1b2c-7def-8123-456789abcdef.jpg");
        let written = line(&digest, name);
        let listed = read(&written).unwrap();
        assert_eq!((listed.len(), listed[0].digest, listed[0].name), (1, digest.as_str(), name));
        for odd in [
            format!("{digest}  ../{name}"),
            format!("{digest}  {name}\r"),
            format!("{digest} {name}"),
            format!("0f  {name}"),
            format!("{}  {name}", digest.to_uppercase()),
            format!("{written}\n"),
        ] {
            assert!(read(&odd).is_err(), "{odd:?}");
        }
        assert_eq!(read("").unwrap(), []);
    }
}

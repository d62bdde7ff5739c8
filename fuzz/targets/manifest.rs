//! Any text taken for the manifest of a copy's photos names files of its own folder alone, or is refused; what was read
//! is read the same again when it is written.
#![no_main]

#[path = "../../crates/store/src/manifest.rs"]
mod manifest;

use libfuzzer_sys::fuzz_target;
use std::path::{Component, Path};

fuzz_target!(|text: &str| {
    let listed = match manifest::read(text) {
        Ok(listed) => listed,
        Err(words) => return assert!(!words.is_empty()),
    };
    assert_eq!(listed.len(), text.lines().count());
    let folder = Path::new("/copies/of.photos");
    for one in &listed {
        let file = folder.join(one.name);
        assert_eq!(file.parent(), Some(folder), "{one:?}");
        assert!(manifest::is_picture(one.name) && one.digest.len() == 64, "{one:?}");
        assert!(file.components().all(|part| part != Component::ParentDir), "{one:?}");
    }
    let written: String = listed.iter().map(|one| manifest::line(one.digest, one.name)).collect();
    assert_eq!(manifest::read(&written).expect("what is written can be read"), listed);
});

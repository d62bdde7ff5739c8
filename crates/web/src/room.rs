//! How much room the disk has left for a studio in a file, and what is not taken when there is little.

use crate::error::PageError;
use axum::http::StatusCode;
use store::Address;

/// Less than this is said on every page, bytes. House choice.
const LITTLE: u64 = 1_000_000_000;
/// With less than this no photo and no file is taken, bytes. House choice: readings and strikes go on.
const TOO_LITTLE: u64 = 200_000_000;
/// With less than this only strikes are taken, bytes. House choice: what is left is for what nobody can make again.
const FOR_STRIKES_ALONE: u64 = 50_000_000;

/// What the disk has left, where the system tells.
fn left(address: &Address) -> Option<u64> {
    #[cfg(unix)]
    {
        let folder = address.folder()?;
        let folder = if folder.as_os_str().is_empty() { std::path::Path::new(".") } else { folder };
        let disk = rustix::fs::statvfs(folder).ok()?;
        Some(disk.f_bavail.saturating_mul(disk.f_frsize))
    }
    #[cfg(not(unix))]
    {
        let _ = address;
        None
    }
}

/// Says how much is left, where it is little, and what is no longer taken.
pub(crate) fn warning(address: &Address) -> Option<String> {
    let left = left(address).filter(|left| *left < LITTLE)?;
    let refused = match left {
        0..FOR_STRIKES_ALONE => " Only strikes are taken.",
        FOR_STRIKES_ALONE..TOO_LITTLE => " Photos and files are not taken.",
        _ => "",
    };
    Some(format!("{} MB left.{refused}", left / 1_000_000))
}

/// Refuses what is large while there is little room.
///
/// # Errors
/// With what to do.
pub(crate) fn for_a_file(address: &Address) -> Result<(), PageError> {
    refuse_with_less_than(TOO_LITTLE, address, |mb| {
        format!(
            "The disk has {mb} MB left: photos and files are not taken. Make room first; readings and strikes go on."
        )
    })
}

/// Refuses everything but strikes while there is hardly any room.
///
/// # Errors
/// With what to do.
pub(crate) fn for_a_record(address: &Address) -> Result<(), PageError> {
    refuse_with_less_than(FOR_STRIKES_ALONE, address, |mb| {
        format!(
            "The disk has {mb} MB left: only strikes are taken. Nothing that was saved is lost, and all of it can be read \
             and exported. Make room and save again."
        )
    })
}

fn refuse_with_less_than(
    least: u64,
    address: &Address,
    words: impl FnOnce(u64) -> String,
) -> Result<(), PageError> {
    match left(address) {
        Some(left) if left < least => {
            Err(PageError::Status(StatusCode::INSUFFICIENT_STORAGE, words(left / 1_000_000)))
        }
        _ => Ok(()),
    }
}

#[cfg(all(test, unix))]
mod tests {
    use super::left;
    use store::Address;

    #[test]
    fn the_room_of_a_folder_is_told_and_a_servers_is_not() {
        let folder = std::env::temp_dir();
        assert!(left(&Address::File(folder.join("studio.db"))).is_some_and(|left| left > 0));
        assert!(left(&Address::File("studio.db".into())).is_some());
        assert_eq!(left(&Address::Server("postgres://localhost/s".to_owned())), None);
    }
}

//! Wanjiru Kamau telephoned this morning: a name, and nothing else yet.

use crate::Act;
use crate::folder::Folder;
use crate::shop::Shop;
use fitting::Handedness;

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let call = shop.clock.ago(0, 25);
    Folder::open(shop, 12, call, ("Wanjiru Kamau", Handedness::Right), |_| ()).into_acts()
}

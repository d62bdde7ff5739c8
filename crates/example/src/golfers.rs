//! The invented golfers, a file each: who they are, what was read, and what happened.

mod benita_okafor;
mod edwin_achterberg;
mod joost_vermeer;
mod karel_dvorak;
mod lukasz_wrobel;
mod maeve_brannigan;
mod maisie_thorne;
mod marta_lindqvist;
mod pavel_horak;
mod soren_krogh;
mod tendai_moyo;
mod wanjiru_kamau;

use crate::Act;
use crate::shop::Shop;

/// Tells what happened with one golfer.
pub(crate) type Story = fn(&Shop) -> Vec<Act>;

/// Every golfer, in the order in which they first came.
pub(crate) const STORIES: [Story; 12] = [
    edwin_achterberg::story,
    maeve_brannigan::story,
    benita_okafor::story,
    joost_vermeer::story,
    karel_dvorak::story,
    marta_lindqvist::story,
    tendai_moyo::story,
    lukasz_wrobel::story,
    pavel_horak::story,
    soren_krogh::story,
    maisie_thorne::story,
    wanjiru_kamau::story,
];

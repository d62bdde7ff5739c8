//! One file for each command.

pub(crate) mod backup;
pub(crate) mod calc;
pub(crate) mod chain;
pub(crate) mod check;
pub(crate) mod completions;
pub(crate) mod demo;
pub(crate) mod export;
pub(crate) mod fit;
pub(crate) mod forget;
pub(crate) mod import;
pub(crate) mod man;
pub(crate) mod passphrase;
pub(crate) mod read_workbook;
pub(crate) mod restore;
pub(crate) mod salvage;
pub(crate) mod serve;
pub(crate) mod shrink_photo;
pub(crate) mod trial;

//! `lengthwise export`: the studio, or one golfer, as a studio file or as tables.

use crate::commands::serve::{address, runtime};
use crate::output::{print, write_together};
use crate::{Failure, Stop};
use exchange::{HealthRemarks, LARGEST_STUDIO_FILE, archive, export_csv, export_json};
use std::path::{Path, PathBuf};
use store::{Everything, Photos, Store, StoreError};
use studio::{Dossier, HouseSettings, Id, ShelfRecords};

/// Arguments of `export`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The studio; the platform's data folder when not given
    #[arg(long, value_name = "PATH|URL", env = "LENGTHWISE_DATA", hide_env_values = true)]
    data: Option<String>,
    /// One golfer only, by id; with their remarks about health, which an export of all leaves out
    #[arg(long, value_name = "ID")]
    golfer: Option<String>,
    /// Studio file to write, or with --tables the folder for the tables
    #[arg(value_name = "FILE|FOLDER")]
    to: PathBuf,
    /// Write tables for a spreadsheet instead of a studio file
    #[arg(long)]
    tables: bool,
    /// Write everything of the golfer into one archive (ZIP), with photos and a page to read
    #[arg(long, requires = "golfer", conflicts_with = "tables")]
    archive: bool,
}

/// Writes the file, or every table, whole.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let golfer = arguments
        .golfer
        .as_deref()
        .map(Id::parse)
        .transpose()
        .map_err(|error| Failure::bad_input(error.to_string()).field("--golfer"))?;
    let Everything { house, shelf, dossiers } = read(arguments, golfer.as_ref())?;
    let health = if golfer.is_some() { HealthRemarks::Included } else { HealthRemarks::LeftOut };
    let written = if arguments.archive {
        whole_archive(arguments, &house, &dossiers)?
    } else if arguments.tables {
        tables(&arguments.to, &dossiers, health)?
    } else {
        studio_file(&arguments.to, &house, &shelf, &dossiers, health)?
    };
    let golfers =
        if dossiers.len() == 1 { "1 golfer".to_owned() } else { format!("{} golfers", dossiers.len()) };
    print(&format!("{golfers} written to {} as {written}.\n", arguments.to.display()))
}

fn read(arguments: &Arguments, golfer: Option<&Id>) -> Result<Everything, Failure> {
    let address = address(arguments.data.as_deref())?;
    crate::log::begin_for("export", &address);
    let read = runtime()?.block_on(async {
        let store = Store::open_there(&address).await?;
        Ok::<_, StoreError>(match golfer {
            // the shelf is the house's
            Some(golfer) => Everything {
                house: store.house().await?.record,
                shelf: ShelfRecords::default(),
                dossiers: vec![store.dossier(golfer).await?],
            },
            None => store.everything().await?,
        })
    });
    Ok(read?)
}

fn whole_archive(
    arguments: &Arguments,
    house: &HouseSettings,
    dossiers: &[Dossier],
) -> Result<String, Failure> {
    let photos = Photos::of(&address(arguments.data.as_deref())?);
    for dossier in dossiers {
        let ids = dossier.photos.iter().map(|kept| kept.record.id.clone());
        let pictures = ids.filter_map(|id| Some((id.clone(), photos.as_ref()?.get(&id)?)));
        let bytes = archive(house, dossier, &pictures.collect::<Vec<_>>());
        write_together(&[(&arguments.to, &bytes)])?;
    }
    Ok("an archive".to_owned())
}

fn tables(folder: &Path, dossiers: &[Dossier], health: HealthRemarks) -> Result<String, Failure> {
    std::fs::create_dir_all(folder).map_err(|error| {
        Failure::bad_file(format!("cannot make the folder {}: {error}", folder.display()))
            .hint("Name another.")
    })?;
    let tables = export_csv(dossiers, health);
    let paths: Vec<PathBuf> = tables.iter().map(|table| folder.join(table.name)).collect();
    let files: Vec<(&Path, &[u8])> =
        paths.iter().zip(&tables).map(|(path, table)| (path.as_path(), table.text.as_bytes())).collect();
    write_together(&files)?;
    Ok(format!("{} tables", tables.len()))
}

fn studio_file(
    file: &Path,
    house: &HouseSettings,
    shelf: &ShelfRecords,
    dossiers: &[Dossier],
    health: HealthRemarks,
) -> Result<String, Failure> {
    let text = export_json(house, shelf, dossiers, health);
    write_together(&[(file, text.as_bytes())])?;
    Ok(if text.len() > LARGEST_STUDIO_FILE {
        format!(
            "a studio file too large to be read again ({} MB): export golfer by golfer for that",
            text.len() / 1_000_000
        )
    } else {
        "a studio file".to_owned()
    })
}

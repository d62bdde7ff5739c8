//! Ticks of a job: what is ticked is booked off the shelf in the same act, once.

use crate::acts::id_of_name;
use crate::app::{App, Now};
use crate::error::PageError;
use store::{Refusal, StoreError};
use studio::{Changes, JobFile, Shelf, Tick};

/// How often a booking is tried when others book at the same moment. House choice: two tablets at one bench.
const TRIES: usize = 8;

/// Saves a tick with what it takes off the shelf, or gives back. Where another was faster, it is looked at again: the
/// shelf never goes below nothing, and a step is booked once, however many devices tick it.
pub(crate) async fn save(
    app: &App,
    changes: Changes,
    tick: &Tick,
    job: &JobFile,
    now: &Now,
) -> Result<(), PageError> {
    let takes_parts = job.uses.iter().any(|used| used.step == tick.step);
    for left in (0..TRIES).rev() {
        let mut act = changes.clone().with_new(tick.clone());
        if takes_parts {
            let shelf = app.store.shelf_for(&job.id).await?;
            let moves = shelf.booking(job, &tick.step, tick.done, (&tick.by, now.ms), id_of_name);
            act.sentence += &what_is_short(&shelf, job, tick);
            moves.into_iter().for_each(|moved| act.add_new(moved));
        }
        act.check()?;
        match app.store.save(act, now.ms).await {
            Ok(_) => return Ok(()),
            Err(StoreError::Refused(Refusal::ChangedElsewhere { .. } | Refusal::NotOnTheShelf { .. }))
                if takes_parts && left > 0 => {}
            Err(error) => return Err(error.into()),
        }
    }
    Ok(())
}

/// What the shelf does not have of what a ticked step uses up: `, the shelf is 1 short of Round, standard`.
fn what_is_short(shelf: &Shelf, job: &JobFile, tick: &Tick) -> String {
    if !tick.done {
        return String::new();
    }
    let short = job.uses.iter().filter(|used| used.step == tick.step).filter_map(|used| {
        let missing = i64::from(used.count) - shelf.taken(&job.id, used) - shelf.stock(&used.part).max(0);
        Some((missing, &shelf.part(&used.part)?.record.name)).filter(|(missing, _)| *missing > 0)
    });
    short.map(|(missing, name)| format!(", the shelf is {missing} short of {name}")).collect()
}

//! Heavy work: maps, verdicts, imports, photos and exports. A few at a time, each on a thread of its own, so that light
//! pages are answered meanwhile; the others wait their turn, and are told when it does not come.

use std::future::Future;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::sync::Arc;
use std::time::Duration;
use tokio::runtime::Handle;
use tokio::sync::{Semaphore, oneshot};

/// How many are worked on at once. House choice: a laptop with two cores still answers.
const AT_ONCE: usize = 2;
/// How many may wait for their turn. House choice: each may hold a file in memory.
const MOST_WAITING: usize = 32;
/// How long a turn may take to come. House choice: less than the ten seconds after which a page gives up itself.
pub(crate) const PATIENCE: Duration = Duration::from_secs(8);
/// After how many seconds whoever got no turn may ask again. House choice.
pub(crate) const AGAIN_S: u16 = 5;

/// The turns.
#[derive(Debug, Clone)]
pub(crate) struct Heavy {
    turns: Arc<Semaphore>,
    places: Arc<Semaphore>,
    patience: Duration,
}

/// No turn came in time, or too many wait for one already. Nothing was begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NoTurn;

impl Default for Heavy {
    fn default() -> Self {
        Self {
            turns: Arc::new(Semaphore::new(AT_ONCE)),
            places: Arc::new(Semaphore::new(AT_ONCE + MOST_WAITING)),
            patience: PATIENCE,
        }
    }
}

impl Heavy {
    /// Does a piece of work when its turn has come. A panic in it is passed on.
    ///
    /// # Errors
    /// [`NoTurn`].
    pub(crate) async fn run<T: Send + 'static>(
        &self,
        work: impl Future<Output = T> + Send + 'static,
    ) -> Result<T, NoTurn> {
        let place = Arc::clone(&self.places).try_acquire_owned().map_err(|_| NoTurn)?;
        let coming = Arc::clone(&self.turns).acquire_owned();
        let turn =
            tokio::time::timeout(self.patience, coming).await.map_err(|_| NoTurn)?.map_err(|_| NoTurn)?;
        let engine = Handle::current();
        let (sender, receiver) = oneshot::channel();
        let worker = std::thread::Builder::new().name("heavy".to_owned()).spawn(move || {
            let _held = (place, turn);
            stand_back();
            let done = catch_unwind(AssertUnwindSafe(|| engine.block_on(work)));
            // nobody waits for it any more when the studio stops
            drop(sender.send(done));
        });
        // a machine that gives no thread is too busy as well
        worker.map_err(|_| NoTurn)?;
        let done = receiver.await.expect("the thread sends before it ends");
        Ok(done.unwrap_or_else(|panic| resume_unwind(panic)))
    }
}

/// Lets the threads that answer light pages go first: on Linux, where this holds for the calling thread alone.
fn stand_back() {
    #[cfg(target_os = "linux")]
    {
        /// How far, of 19. House choice.
        const BACK: i32 = 10;
        // a system that does not let it is only less smooth
        let _ = rustix::process::setpriority_process(None, BACK);
    }
}

#[cfg(test)]
mod tests {
    use super::{AT_ONCE, Heavy, MOST_WAITING, NoTurn};
    use std::sync::Arc;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::time::{Duration, Instant};
    use tokio::sync::Notify;

    #[tokio::test]
    async fn two_are_worked_on_at_once_and_every_one_comes_to_its_end() {
        let heavy = Heavy::default();
        let (now, most) = (Arc::new(AtomicUsize::new(0)), Arc::new(AtomicUsize::new(0)));
        let under_way: Vec<_> = (0..12)
            .map(|number| {
                let (heavy, now, most) = (heavy.clone(), Arc::clone(&now), Arc::clone(&most));
                tokio::spawn(async move {
                    let work = async move {
                        most.fetch_max(now.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
                        std::thread::sleep(Duration::from_millis(10));
                        now.fetch_sub(1, Ordering::SeqCst);
                        number
                    };
                    heavy.run(work).await
                })
            })
            .collect();
        for (number, work) in under_way.into_iter().enumerate() {
            assert_eq!(work.await.unwrap(), Ok(number));
        }
        assert_eq!(most.load(Ordering::SeqCst), AT_ONCE);
    }

    /// On an engine of one thread: whoever kept that thread busy would be the only one that is answered.
    #[tokio::test]
    async fn light_work_is_done_while_heavy_work_keeps_its_threads() {
        let heavy = Heavy::default();
        for _ in 0..8 {
            let heavy = heavy.clone();
            tokio::spawn(
                async move { heavy.run(async { std::thread::sleep(Duration::from_millis(500)) }).await },
            );
        }
        tokio::task::yield_now().await;
        let begun = Instant::now();
        tokio::time::sleep(Duration::from_millis(1)).await;
        assert!(begun.elapsed() < Duration::from_millis(200), "{:?}", begun.elapsed());
    }

    #[tokio::test]
    async fn whoever_gets_no_turn_is_told_and_nothing_of_theirs_was_begun() {
        let heavy = Heavy { patience: Duration::from_millis(50), ..Heavy::default() };
        let end = Arc::new(Notify::new());
        for _ in 0..AT_ONCE {
            let (heavy, end) = (heavy.clone(), Arc::clone(&end));
            tokio::spawn(async move { heavy.run(async move { end.notified().await }).await });
        }
        while heavy.turns.available_permits() > 0 {
            tokio::task::yield_now().await;
        }
        let begun = Arc::new(AtomicUsize::new(0));
        let waiting: Vec<_> = (0..MOST_WAITING)
            .map(|_| {
                let (heavy, begun) = (heavy.clone(), Arc::clone(&begun));
                tokio::spawn(
                    async move { heavy.run(async move { begun.fetch_add(1, Ordering::SeqCst) }).await },
                )
            })
            .collect();
        while heavy.places.available_permits() > 0 {
            tokio::task::yield_now().await;
        }
        // one more than may wait is told at once, the others when their patience is over
        assert_eq!(heavy.run(async {}).await, Err(NoTurn));
        for waited in waiting {
            assert_eq!(waited.await.unwrap(), Err(NoTurn));
        }
        assert_eq!(begun.load(Ordering::SeqCst), 0);
        end.notify_waiters();
        let unhurried = Heavy { patience: super::PATIENCE, ..heavy };
        assert!(unhurried.run(async {}).await.is_ok(), "the turns come back");
    }

    #[tokio::test]
    async fn a_panic_is_passed_on_and_gives_its_turn_back() {
        let heavy = Heavy::default();
        for _ in 0..=AT_ONCE {
            let its = heavy.clone();
            let work = tokio::spawn(async move { its.run(async { panic!("of the test") }).await });
            assert!(work.await.unwrap_err().is_panic());
        }
        assert_eq!(heavy.run(async { 1 }).await, Ok(1));
    }
}

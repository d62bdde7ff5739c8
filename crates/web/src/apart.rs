//! Reading what someone sent in a process apart: what eats all memory there, or never ends, is an ordinary refusal here.
//!
//! Decoding a picture or a workbook can run out of memory, which nothing catches. So our own program is started anew
//! under a hidden command, fed on standard input and heard on standard output; it sets its own limit of memory. One
//! such process runs at a time, so that several files sent at once cannot take more together than one may.

use std::path::PathBuf;
use std::process::Stdio;
use std::sync::Arc;
use std::time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::process::Command;
use tokio::sync::Semaphore;

/// How long the process may take. House choice.
const PATIENCE: Duration = Duration::from_secs(30);

/// Our own program, to be started apart.
#[derive(Debug, Clone)]
pub struct Apart {
    program: PathBuf,
    turn: Arc<Semaphore>,
}

/// How a process ended by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Ended {
    /// Its exit code.
    pub(crate) code: i32,
    /// What it wrote to standard output.
    pub(crate) written: Vec<u8>,
}

/// The process did not come to an end of its own: out of memory, out of time, or never started.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the process that was to read it did not come to its end")]
pub(crate) struct DidNotEnd;

impl Apart {
    /// The program at this path, which has to be our own.
    #[must_use]
    pub fn of(program: PathBuf) -> Self {
        Self { program, turn: Arc::new(Semaphore::new(1)) }
    }

    /// Starts the program with these arguments and feeds it, when its turn has come.
    ///
    /// # Errors
    /// [`DidNotEnd`], also when it writes more than `most` bytes.
    pub(crate) async fn run(
        &self,
        arguments: &[&str],
        input: impl AsRef<[u8]> + Send + 'static,
        most: usize,
    ) -> Result<Ended, DidNotEnd> {
        let _turn = self.turn.acquire().await.map_err(|_| DidNotEnd)?;
        tokio::time::timeout(PATIENCE, self.run_now(arguments, input, most)).await.map_err(|_| DidNotEnd)?
    }

    async fn run_now(
        &self,
        arguments: &[&str],
        input: impl AsRef<[u8]> + Send + 'static,
        most: usize,
    ) -> Result<Ended, DidNotEnd> {
        let failed = |_| DidNotEnd;
        let mut child = Command::new(&self.program)
            .args(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .kill_on_drop(true)
            .spawn()
            .map_err(failed)?;
        let (mut stdin, stdout) =
            (child.stdin.take().ok_or(DidNotEnd)?, child.stdout.take().ok_or(DidNotEnd)?);
        let fed = tokio::spawn(async move {
            // a process that refuses early closes its end; what it says counts
            drop(stdin.write_all(input.as_ref()).await);
        });
        let mut written = Vec::new();
        let limit = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
        let read = stdout.take(limit).read_to_end(&mut written).await;
        let code = match read {
            Ok(_) if written.len() <= most => child.wait().await.map_err(failed)?.code(),
            Ok(_) | Err(_) => None,
        };
        fed.abort();
        Ok(Ended { code: code.ok_or(DidNotEnd)?, written })
    }
}

#[cfg(all(test, unix))]
mod tests {
    use super::{Apart, DidNotEnd, Ended};
    use std::path::PathBuf;

    async fn shell(script: &str, input: &'static [u8]) -> Result<Ended, DidNotEnd> {
        Apart::of(PathBuf::from("/bin/sh")).run(&["-c", script], input, 8).await
    }

    #[tokio::test]
    async fn what_it_writes_and_its_code_come_back() {
        assert_eq!(
            shell("cat; exit 3", b"12345678").await,
            Ok(Ended { code: 3, written: b"12345678".into() })
        );
        // one that does not listen is heard all the same
        assert_eq!(shell("echo no", &[0; 1 << 20]).await, Ok(Ended { code: 0, written: b"no\n".into() }));
    }

    #[tokio::test]
    async fn a_death_a_flood_and_no_program_are_ordinary_errors() {
        assert_eq!(shell("kill -9 $$", b"").await, Err(DidNotEnd));
        assert_eq!(shell("cat", b"123456789").await, Err(DidNotEnd));
        let none = Apart::of(PathBuf::from("/no/such/program"));
        assert_eq!(none.run(&[], b"", 8).await, Err(DidNotEnd));
    }
}

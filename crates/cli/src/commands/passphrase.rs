//! `lengthwise passphrase`: sets the passphrase other devices are asked for, from this machine.
//!
//! It is read from the terminal, unseen, or from standard input; never from the command line, where others of this
//! machine could read it.

use crate::commands::serve::{address, runtime};
use crate::output::print;
use crate::{Failure, Stop};
use std::io::{BufRead, IsTerminal, Read};
use store::{Address, Store, StoreError};

/// Longest line read, bytes: more than any passphrase.
const LONGEST: u64 = 4096;

/// Arguments of `passphrase`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The studio: a file, or a PostgreSQL URL; the platform's data folder when not given
    #[arg(long, value_name = "PATH|URL", env = "LENGTHWISE_DATA", hide_env_values = true)]
    data: Option<String>,
    /// Draw five words by chance, set them and print them
    #[arg(long)]
    draw: bool,
}

/// Sets the passphrase.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let address = address(arguments.data.as_deref())?;
    crate::log::begin_for("passphrase", &address);
    let typed = if arguments.draw { web::drawn_passphrase() } else { asked()? };
    let (address, name) = named(&address)?;
    web::set_passphrase(&address, &typed, &name).map_err(Failure::from)?;
    if arguments.draw {
        print(&format!("{typed}\n"))?;
    }
    print("The passphrase is set. Everyone on other devices is signed out.\n")?;
    Ok(())
}

/// The studio's address, of a chain with its studio, and its name, which is no passphrase; none of a studio that cannot be
/// opened.
fn named(address: &Address) -> Result<(Address, String), Failure> {
    let is_there = !matches!(address, Address::File(path) if !path.exists());
    runtime()?.block_on(async {
        if !is_there {
            return Ok((address.clone(), String::new()));
        }
        let store = match Store::open(address).await {
            Ok(store) => store,
            // for whom the passphrase would be set is not known
            Err(
                error @ (StoreError::WhichStudio(_) | StoreError::NotLetIn(_) | StoreError::NoSuchStudio(_)),
            ) => {
                return Err(error.into());
            }
            Err(_) => return Ok((address.clone(), String::new())),
        };
        let address = store.address().clone();
        let name = store.house().await.map(|house| house.record.value("name").to_owned());
        store.close().await;
        Ok((address, name.unwrap_or_default()))
    })
}

fn asked() -> Result<String, Failure> {
    if !std::io::stdin().is_terminal() {
        return line();
    }
    let first = unseen("New passphrase: ")?;
    if unseen("Once more: ")? == first {
        Ok(first)
    } else {
        Err(Failure::bad_input("expected the same passphrase twice, found two").hint("Begin again."))
    }
}

/// Reads a line that the terminal does not show.
fn unseen(prompt: &str) -> Result<String, Failure> {
    print(prompt).map_err(|_| Failure::our_fault("the terminal takes no words"))?;
    #[cfg(unix)]
    let _unseen = Unseen::begin()
        .map_err(|error| Failure::our_fault(format!("the terminal cannot hide what is typed: {error}")))?;
    let line = line();
    print("\n").map_err(|_| Failure::our_fault("the terminal takes no words"))?;
    line
}

/// While it lasts the terminal shows nothing that is typed.
#[cfg(unix)]
struct Unseen(rustix::termios::Termios);

#[cfg(unix)]
impl Unseen {
    fn begin() -> rustix::io::Result<Self> {
        use rustix::termios::{LocalModes, OptionalActions, tcgetattr, tcsetattr};
        let before = tcgetattr(rustix::stdio::stdin())?;
        let mut unseen = before.clone();
        unseen.local_modes.remove(LocalModes::ECHO);
        tcsetattr(rustix::stdio::stdin(), OptionalActions::Flush, &unseen)?;
        Ok(Self(before))
    }
}

#[cfg(unix)]
impl Drop for Unseen {
    fn drop(&mut self) {
        // a terminal that is gone shows nothing anyway
        let stdin = rustix::stdio::stdin();
        let _ = rustix::termios::tcsetattr(stdin, rustix::termios::OptionalActions::Flush, &self.0);
    }
}

fn line() -> Result<String, Failure> {
    let mut line = String::new();
    std::io::stdin()
        .lock()
        .take(LONGEST)
        .read_line(&mut line)
        .map_err(|error| Failure::bad_input(format!("expected a line of text: {error}")))?;
    // as typed, but for the end of the line
    Ok(line
        .strip_suffix('\n')
        .map(|line| line.strip_suffix('\r').unwrap_or(line))
        .unwrap_or(&line)
        .to_owned())
}

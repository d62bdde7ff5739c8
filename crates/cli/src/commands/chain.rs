//! `lengthwise chain`: several studios in one PostgreSQL database, who may enter which, and what they say together.

use crate::commands::serve::{address, runtime};
use crate::output::print;
use crate::{Failure, Stop};
use std::fmt::Write as _;
use store::{Address, Branch, Chain, Place, Store, StoreError};
use studio::ChainRule;

/// Arguments of `chain`.
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    what: What,
    /// The database, as someone who may do this there
    #[arg(long, global = true, value_name = "URL", env = "LENGTHWISE_DATA", hide_env_values = true)]
    data: Option<String>,
}

#[derive(Debug, clap::Subcommand)]
enum What {
    /// Make a studio; the first makes the database a chain, which is then yours
    Open {
        /// Its name: small letters, digits, hyphens
        #[arg(value_name = "STUDIO")]
        studio: String,
    },
    /// List the studios and who is let in
    List,
    /// Let a login of the server in to one studio, or as an owner to all
    LetIn(Who),
    /// Shut a login out
    ShutOut(Who),
    /// Say what the trials of all your studios tell of the length rule
    Rule,
}

#[derive(Debug, clap::Args)]
struct Who {
    /// The login, as the server knows it
    #[arg(value_name = "LOGIN")]
    login: String,
    /// The studio
    #[arg(long, value_name = "STUDIO", required_unless_present = "owner", conflicts_with = "owner")]
    studio: Option<String>,
    /// Every studio, also those opened later
    #[arg(long)]
    owner: bool,
}

impl Who {
    fn place(&self) -> Place {
        self.studio.clone().map_or(Place::Owner, Place::Fitter)
    }
}

/// Does it and says what was done.
pub(crate) fn run(arguments: &Arguments) -> Result<(), Stop> {
    let address = address(arguments.data.as_deref())?;
    crate::log::begin_for("chain", &address);
    print(&runtime()?.block_on(done(&address, &arguments.what))?)
}

async fn done(address: &Address, what: &What) -> Result<String, Failure> {
    let mut chain = Chain::at(address).await?;
    let said = match what {
        What::Open { studio } => {
            let place = chain.open_studio(studio).await?;
            format!(
                "The studio {studio} is open at {place}. Let its fitter in with `lengthwise chain let-in`.\n"
            )
        }
        What::List => list(&mut chain).await?,
        What::LetIn(who) => {
            chain.let_in(&who.login, &who.place()).await?;
            format!("{} is let in to {}.\n", who.login, where_to(&who.place()))
        }
        What::ShutOut(who) => {
            let is_ended = chain.shut_out(&who.login, &who.place()).await?;
            let open = if is_ended {
                "Open connections were ended."
            } else {
                "Connections that are open end within ten minutes; the server did not let us end them now."
            };
            format!("{} is shut out of {}. {open}\n", who.login, where_to(&who.place()))
        }
        What::Rule => rule(address, &mut chain).await?,
    };
    chain.close().await?;
    Ok(said)
}

fn where_to(place: &Place) -> String {
    match place {
        Place::Fitter(studio) => format!("the studio {studio}"),
        Place::Owner => "every studio".to_owned(),
    }
}

async fn list(chain: &mut Chain) -> Result<String, StoreError> {
    let studios = chain.studios().await?;
    if studios.is_empty() {
        return Ok(
            "This database is no chain: it has no studio opened by `lengthwise chain open`.\n".to_owned()
        );
    }
    let mut text = String::new();
    for Branch { name, may_enter, logins } in &studios {
        let fitters = if logins.is_empty() { "nobody yet".to_owned() } else { logins.join(", ") };
        let closed = if *may_enter { "" } else { " (not open to you)" };
        // writing to a text cannot fail
        let _ = writeln!(text, "{name}{closed}: {fitters}");
    }
    let owners = chain.owners().await?;
    let _ =
        writeln!(text, "Owners: {}", if owners.is_empty() { "none".to_owned() } else { owners.join(", ") });
    Ok(text)
}

async fn rule(address: &Address, chain: &mut Chain) -> Result<String, Failure> {
    let mut trials = Vec::new();
    for studio in chain.studios().await?.into_iter().filter(|studio| studio.may_enter) {
        let store = Store::open(&address.within(&studio.name)).await?;
        trials.push((studio.name, store.opened_trials().await?));
        store.close().await;
    }
    Ok(told(&ChainRule::learn(&trials)?))
}

fn told(rule: &ChainRule) -> String {
    let mut text = String::new();
    for branch in &rule.studios {
        let _ = writeln!(text, "{}: {} golfers with a trial that tells", branch.name, branch.own.telling);
    }
    if !rule.all.may_speak() {
        let _ = writeln!(
            text,
            "Together {}; below {} nothing is said of the rule.",
            rule.all.telling,
            trial::FEWEST_GOLFERS
        );
        return text;
    }
    let interval = |learnt: &trial::Learnt| {
        format!("{:+.2} in ({:+.2} to {:+.2})", learnt.mean, learnt.low, learnt.high)
    };
    let _ = writeln!(text, "\nThe rule is short by, at 28 in, with intervals of 80 in 100:");
    let _ = writeln!(text, "  all studios: {}", interval(&rule.pooled.together_in));
    for (branch, learnt) in rule.studios.iter().zip(&rule.pooled.studios_in) {
        let _ = writeln!(text, "  {}: {}", branch.name, interval(learnt));
    }
    let _ = writeln!(
        text,
        "Studios differ by {:.2} in ({:.2} to {:.2}).",
        rule.pooled.between_in.mean, rule.pooled.between_in.low, rule.pooled.between_in.high
    );
    text
}

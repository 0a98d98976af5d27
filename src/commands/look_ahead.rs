//! What is asked about what may come, and about other choices.

use super::args::Dated;
use crate::engine::risk::TRIALS;
use clap::Args;
use std::path::PathBuf;

/// Trials of what may come.
#[derive(Debug, Args)]
pub struct Trials {
    /// Add what may come, from so many trials
    #[arg(long = "risk", value_name = "N", value_parser = trials)]
    pub trials: Option<u32>,
    /// What the numbers drawn hang on: the same seed draws the same
    #[arg(long, value_name = "NUMBER", default_value = "1", requires = "trials")]
    pub seed: u64,
    /// How many threads share the trials; all cores when not given
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..=256), requires = "trials")]
    pub threads: Option<u16>,
    /// How sure the last order days are to be, in percent; as the project says when not given
    #[arg(long, value_name = "PERCENT", value_parser = clap::value_parser!(u32).range(1..=99),
          requires = "trials")]
    pub confidence: Option<u32>,
}

/// How many trials are made.
fn trials(text: &str) -> Result<u32, String> {
    let most = *TRIALS.end();
    let count = text.parse().ok().filter(|count| TRIALS.contains(count));
    count.ok_or_else(|| format!("write how many trials to make, a whole number from 1 to {most}"))
}

/// What `choose` is asked.
#[derive(Debug, Args)]
pub struct ChooseRequest {
    #[command(flatten)]
    pub of: Dated,
    /// The day to finish by
    #[arg(long, value_name = "DATE")]
    pub finish: String,
    #[command(flatten)]
    pub limits: Limits,
    /// The project file to write; the project's own may be written over
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Replace another FILE when it is there already
    #[arg(long)]
    pub force: bool,
}

/// What may be changed.
#[derive(Debug, Args)]
pub struct Limits {
    /// What is chosen and not ordered yet may be changed too
    #[arg(long)]
    pub reopen_all: bool,
    /// A selection with a choice that may be changed; may be given again
    #[arg(long, value_name = "KEY")]
    pub reopen: Vec<String>,
    /// A room in which nothing is changed; may be given again
    #[arg(long, value_name = "ROOM")]
    pub keep: Vec<String>,
    /// Only candidates that are here by a day
    #[arg(long, value_name = "DATE")]
    pub here_by: Option<String>,
    /// Only candidates whose finish is worded as that of what counts now
    #[arg(long)]
    pub same_finish: bool,
    /// Only sets with which the total is no more than this
    #[arg(long, value_name = "AMOUNT")]
    pub at_most: Option<String>,
}

//! Needline: the program. Without a window it answers commands; see `needline --help`.

#![deny(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout, clippy::print_stderr)]

use needline::commands::{self, Outcome};
use std::path::PathBuf;
use std::process::ExitCode;

fn main() -> ExitCode {
    // What others log is for those who work on them; a user is told in words of this program.
    env_logger::Builder::from_env(env_logger::Env::default().default_filter_or("off,needline=warn")).init();
    match commands::run(std::env::args_os().skip(1).collect()) {
        Outcome::Exit(code) => ExitCode::from(code),
        Outcome::Window(file) => open_window(file),
    }
}

#[cfg(feature = "gui")]
fn open_window(file: Option<PathBuf>) -> ExitCode {
    match needline::ui::open_window(file, commands::complain) {
        Ok(()) => ExitCode::from(commands::GOOD),
        Err(why) => complain(&format!("{why:#}")),
    }
}

#[cfg(not(feature = "gui"))]
fn open_window(_: Option<PathBuf>) -> ExitCode {
    complain("this build has no window; needline --help shows the commands it has")
}

fn complain(why: &str) -> ExitCode {
    commands::complain(why);
    ExitCode::from(commands::BAD)
}

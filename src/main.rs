//! The program.

fn main() {}

//! The `platewright` command.

fn main() {}

//! Tests of the window live in `tests/`.

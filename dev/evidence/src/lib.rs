//! What the outside checks share: plain exercises to test with, the tables of studies, and the fit of the few
//! constants that no paper gives. The checks themselves are in `tests/`, one file per section of the table.

pub mod bench;
pub mod fit;
pub mod rest;
